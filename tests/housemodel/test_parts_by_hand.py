"""The parts of the house model one by one: masses and links, thermostat, set points, vents, misfits, the clear sky."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.misfit import Noise, cloud_rule, memory, new_in_readings, soft
from ledger.heat.housemodel.network import BARE, BUILT, Network, network, start_temperatures, step_matrix
from ledger.heat.housemodel.priors import Figure, Prior, Scale, natural_values, priors
from ledger.heat.housemodel.sky import clear_sun_w_per_m2, low_sun_excess, slot_weights, sun_hour_and_day
from ledger.heat.housemodel.structure import Bed, Floor, Structure, candidates
from ledger.heat.housemodel.switches import find_side, set_point, smoothed, waits
from ledger.heat.housemodel.thermostat import Branch, FanRule, fan_rule, repeated, rule_of_each, switched_on
from ledger.heat.housemodel.vents import vent_temperature_c
from tests.heat.builders import SITE
from tests.housemodel.plain import HOUSE, plain_grid
from tests.known import known

Floats = NDArray[np.float64]

FIGURES = {
    Figure.HEAT_LOSS: 200.0,
    Figure.AIR_MASS: 1e6,
    Figure.LIGHT_MASS: 2e6,
    Figure.LIGHT_LINK: 300.0,
    Figure.FLOOR_FILM: 500.0,
    Figure.FLOOR_TOP_MASS: 9e6,
    Figure.FLOOR_LOW_MASS: 4e7,
    Figure.FLOOR_INSIDE: 250.0,
    Figure.FLOOR_DOWN: 50.0,
    Figure.SOIL_CONDUCTIVITY: 1.0,
    Figure.SOIL_CAPACITY: 2e6,
    Figure.SUN_AREA: 10.0,
    Figure.SUN_FLOOR: 0.6,
    Figure.DEEP: 10.0,
    Figure.FLOOR_START: 1.0,
    Figure.TANK_LINK: 150.0,
    Figure.TANK_MASS: 2e7,
    Figure.TANK_SUN: 0.25,
    Figure.BED_NEAR_MASS: 2.5e7,
    Figure.BED_FAR_MASS: 5e7,
    Figure.BED_INSIDE: 220.0,
    Figure.BED_UP: 60.0,
    Figure.BED_DOWN: 55.0,
    Figure.BED_START: 3.0,
    Figure.BED_DEEP: 2.0,
}
VALUES = {figure: np.array([value]) for figure, value in FIGURES.items()}
TANK_HOUSE = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=True)
BED_HOUSE = Structure(Floor.LADDER, Bed.LINKED, tank=False)


def links(net: Network) -> dict[tuple[int, int], float]:
    """Links that are there, each once; a link that is not the same from both ends fails."""
    link = net.link_w_per_k[0]
    assert np.array_equal(link, link.T)
    return {(int(a), int(b)): float(link[a, b]) for a, b in zip(*np.nonzero(np.triu(link)), strict=True)}


def test_a_house_with_two_layers_and_a_tank_is_put_together_as_written() -> None:
    """Nodes: air 0, floor 1 and 2, tank 3, plants 4. Sun 10 m2: 6 to the floor, a quarter of that, 1.5, to the tank."""
    net = network(VALUES, TANK_HOUSE, HOUSE, BUILT)
    assert net.mass_j_per_k[0].tolist() == [1e6, 9e6, 4e7, 2e7, 2e6]
    assert links(net) == {(0, 4): 300.0, (0, 1): 500.0, (1, 2): 250.0, (0, 3): 150.0}
    assert net.deep_w_per_k[0].tolist() == [0.0, 0.0, 50.0, 0.0, 0.0]
    assert net.deep_over_k[0].tolist() == [0.0] * 5
    assert net.sun_m2[0].tolist() == [0.0, 4.5, 0.0, 1.5, 4.0]
    assert net.outdoor_w_per_k.tolist() == [200.0]


def test_without_its_tank_the_same_house_keeps_the_tank_s_sun_on_the_floor_and_no_link_to_it() -> None:
    net = network(VALUES, TANK_HOUSE, HOUSE, BARE)
    assert links(net) == {(0, 4): 300.0, (0, 1): 500.0, (1, 2): 250.0}
    assert net.sun_m2[0].tolist() == [0.0, 6.0, 0.0, 0.0, 4.0]


def test_soil_in_layers_conducts_from_middle_to_middle() -> None:
    """50 m2 of soil of 1 W/m/K in layers of 4, 10, 25 and 50 cm: 50 W·m/K ÷ the way between two middles.

    Air to the first: the film's 500 W/K and 2 cm of soil in series, 1 ÷ (1/500 + 0.02/50); then 7, 17.5 and 37.5 cm;
    the last to the deep ground 25 cm and 60 cm more. Nodes: air 0, soil 1 to 4, bed 5 and 6, plants 7; the bed hangs on
    the third layer.
    """
    net = network(VALUES, BED_HOUSE, HOUSE, BUILT)
    assert net.mass_j_per_k[0].tolist() == pytest.approx([1e6, 4e6, 1e7, 2.5e7, 5e7, 2.5e7, 5e7, 2e6])
    assert links(net) == pytest.approx(
        {
            (0, 1): 1.0 / (1.0 / 500.0 + 0.02 / 50.0),
            (1, 2): 50.0 / 0.07,
            (2, 3): 50.0 / 0.175,
            (3, 4): 50.0 / 0.375,
            (5, 6): 220.0,
            (3, 5): 60.0,
            (0, 7): 300.0,
        }
    )
    assert net.deep_w_per_k[0].tolist() == pytest.approx([0.0, 0.0, 0.0, 0.0, 50.0 / 0.85, 0.0, 55.0, 0.0])
    assert net.deep_over_k[0].tolist() == [0.0] * 6 + [2.0, 0.0]


def test_a_step_keeps_what_is_stored_and_what_leaves_in_balance() -> None:
    """For any temperatures T at its end: (C/Δt + K) · T is what was stored and put in. All masses at 1 K: stored
    Σ C/Δt, lost H · factor outdoors and 50 W to the ground."""
    net = network(VALUES, TANK_HOUSE, HOUSE, BUILT)
    forward = np.linalg.inv(step_matrix(net, step_s=900.0, loss_factor=1.5)[0])
    at_one = forward @ np.ones(5)
    assert at_one.sum() == pytest.approx(net.mass_j_per_k[0].sum() / 900.0 + 200.0 * 1.5 + 50.0)
    assert at_one == pytest.approx(net.mass_j_per_k[0] / 900.0 + np.array([300.0, 0.0, 50.0, 0.0, 0.0]))


def test_a_running_fan_links_air_and_bed_both_ways() -> None:
    net = network(VALUES, BED_HOUSE, HOUSE, BUILT)
    plain, fanned = (
        np.linalg.inv(step_matrix(net, step_s=900.0, loss_factor=1.0, fan=fan)[0]) for fan in ((None, 0.0), (5, 80.0))
    )
    change = np.zeros((8, 8))
    change[0, 0] = change[5, 5] = 80.0
    change[0, 5] = change[5, 0] = -80.0
    assert fanned - plain == pytest.approx(change, abs=1e-6)


def test_masses_begin_between_the_air_and_the_deep_ground() -> None:
    """Floor: 8 °C of the first days + 1 K above, 10 + 2 °C below; 15, 30, 50, 70 % of the way, or 20 and 50 %."""
    bed = start_temperatures(VALUES, BED_HOUSE, first_air_c=7.0, first_days_c=8.0, water_c=None)[0]
    assert bed.tolist() == pytest.approx([7.0, 9.45, 9.9, 10.5, 11.1, 15.0, 15.0, 7.0])
    read = start_temperatures(VALUES, TANK_HOUSE, first_air_c=7.0, first_days_c=8.0, water_c=25.0)[0]
    assert read.tolist() == pytest.approx([7.0, 9.6, 10.5, 25.0, 7.0])
    unread = start_temperatures(VALUES, TANK_HOUSE, first_air_c=7.0, first_days_c=8.0, water_c=None)[0]
    assert unread[3] == 8.0


def test_a_structure_names_its_masses_and_its_nodes_in_order() -> None:
    whole = Structure(Floor.LADDER, Bed.LINKED, tank=True)
    assert (whole.nodes, whole.tank_node, whole.near_node, whole.far_node, whole.light_node) == (9, 5, 6, 7, 8)
    assert (whole.under_bed_layer, replace(whole, floor=Floor.TWO_LAYERS).under_bed_layer) == (3, 2)
    assert (TANK_HOUSE.nodes, TANK_HOUSE.near_node, TANK_HOUSE.far_node, BED_HOUSE.tank_node) == (5, None, None, None)
    assert whole.words == ", ".join([Floor.LADDER.value, Bed.LINKED.value, "tank"])
    assert TANK_HOUSE.words == f"{Floor.TWO_LAYERS.value}, tank"
    assert [s.floor for s in candidates(bed=True, tank=False)] == [Floor.TWO_LAYERS, Floor.LADDER]
    assert {s.bed for s in candidates(bed=False, tank=True)} == {Bed.NONE}


COLD = Branch(1.0, 6.0, 8.0, 3.0, 1.0)
WARM = Branch(-1.0, -20.0, -18.0, 3.0, 1.0)


@pytest.mark.parametrize(
    ("running", "air_c", "bed_c", "on"),
    [
        (False, 5.9, 9.0, True),
        (False, 6.0, 12.0, False),
        (False, 5.9, 8.9, False),
        (True, 7.9, 9.0, True),
        (True, 8.0, 12.0, False),
        (True, 7.9, 8.9, False),
        (False, 20.1, 17.0, True),
        (False, 20.0, 12.0, False),
        (True, 18.1, 17.0, True),
        (True, 18.0, 12.0, False),
        (False, 21.0, 18.5, False),
        (False, 13.0, 13.0, False),
    ],
)
def test_a_thermostat_wants_cold_air_and_a_warmer_bed_or_warm_air_and_a_cooler_one(
    running: bool, air_c: float, bed_c: float, on: bool
) -> None:
    """Cold side: on under 6 °C with the bed more than 3 K warmer, until 8 °C or 1 K; warm side the same above 20 and
    18 °C with the bed cooler."""
    ran, air, bed = np.array([running]), np.array([air_c]), np.array([bed_c])
    assert switched_on(FanRule(COLD, WARM, None), 0, ran, air, bed).tolist() == [on]
    assert switched_on(FanRule(None, None, None), 0, ran, air, bed).tolist() == [False]


def test_logged_hours_stand_for_a_thermostat_that_none_explains() -> None:
    rule = FanRule(COLD, WARM, np.array([False, True]))
    ran, warm = np.zeros(2, dtype=bool), np.full(2, 13.0)
    assert [switched_on(rule, row, ran, warm, warm).tolist() for row in (0, 1)] == [[False, False], [True, True]]
    assert repeated(rule, np.array([0, 0])) is rule


def test_the_settings_of_each_bed_go_with_its_runs() -> None:
    both = np.array([1.0, 1.0])
    cold = Branch(1.0, 6.0 * both, 8.0 * both, np.array([3.0, 4.0]), both)
    each = FanRule(cold, None, None)
    taken = known(repeated(each, np.array([1, 1, 0])).cold)
    assert np.asarray(taken.over_on_k).tolist() == [4.0, 4.0, 3.0]
    assert known(repeated(FanRule(None, replace(WARM, on_c=np.array([-20.0])), None), np.array([0])).warm).sign == -1.0


def cycles(air: list[list[float]], *, fan: tuple[float, ...] = (0.0, 0.0, 1.0, 1.0)) -> Grid:
    """A grid whose air and fan go through these rounds of four steps, after one and before another round at rest."""
    indoor = np.concatenate([np.asarray(r) for r in air])
    grid = plain_grid(len(indoor))
    share = np.tile(np.asarray(fan), len(air))
    return replace(grid, indoor_c=indoor, fan_share=share, fan_level=np.where(share > 0.5, 2, 0))


AT_SIX = [8.0, 8.0, 4.0, 4.0]
WAITED = [2.0, 2.0, 2.0, 2.0]


def test_a_fan_that_starts_at_six_degrees_has_its_set_point_there() -> None:
    """Readings 8, 8, 4, 4: means of three are 6.67 before and 5.33 after each start, 6 in the middle; so at a stop."""
    side = known(find_side(cycles([AT_SIX] * 8), sign=1.0))
    assert side.at_air_on.air_c.tolist() == pytest.approx([6.0] * 8)
    assert side.at_air_on.rows.tolist() == [1, 5, 9, 13, 17, 21, 25, 29]
    assert side.at_air_off.air_c.tolist() == pytest.approx([6.0] * 7)
    assert (len(side.waits_on.rows), len(side.waits_off.rows)) == (0, 0)
    assert sorted({int(r) % 4 for r in side.running}) == [2, 3]
    assert find_side(cycles([AT_SIX] * 8), sign=-1.0) is None
    assert find_side(cycles([AT_SIX] * 5), sign=1.0) is None


def test_the_warm_side_is_the_mirror_of_the_cold_one() -> None:
    side = known(find_side(cycles([[28.0 - t for t in AT_SIX]] * 8), sign=-1.0))
    assert side.at_air_on.air_c.tolist() == pytest.approx([22.0] * 8)
    assert find_side(cycles([[28.0 - t for t in AT_SIX]] * 8), sign=1.0) is None


def test_starts_far_below_the_set_point_waited_for_the_bed() -> None:
    """Ten starts at 6 °C, then seven with the air at 2 °C all along: 4 K past the mark."""
    on, off = waits(cycles([AT_SIX] * 10 + [WAITED] * 7))
    assert on.air_c.tolist() == pytest.approx([2.0] * 7)
    assert off.air_c.tolist()[-6:] == pytest.approx([2.0] * 6)
    assert (on.usual_over_k, off.usual_over_k) == (3.0, 2.0)
    assert waits(cycles([AT_SIX] * 10)) == ()
    assert waits(replace(cycles([AT_SIX] * 10 + [WAITED] * 7), fan_level=None)) == ()


def test_the_thermostat_is_read_off_the_switchings_and_the_bed() -> None:
    """On at 6 °C; starts and stops that waited did so at 2 °C with a bed of 7: a lead of 5 K."""
    grid = cycles([AT_SIX] * 10 + [WAITED] * 7)
    rule = fan_rule(grid, np.full(grid.steps, 7.0))
    read = rule_of_each(
        FanRule(COLD, None, None), grid, np.full((grid.steps, 2), 7.0), misread_k=(np.ones(2), np.zeros(2))
    )
    cold = known(read.cold)
    assert np.asarray(cold.on_c).tolist() == pytest.approx([6.0, 6.0])
    assert np.asarray(cold.over_on_k).tolist() == pytest.approx([6.0, 6.0])
    assert np.asarray(cold.over_off_k).tolist() == pytest.approx([6.0, 6.0])
    assert read.warm is None
    assert rule.hours is not None or rule.cold is not None


def test_a_fan_without_waits_needs_the_lead_that_it_seldom_ran_below() -> None:
    """A bed of 9 °C: running, the air was 5.33 and 4.67, 5.33 in the middle between steps and less; the lead that one
    step in twenty lay below is the least, 9 − 6 = 3."""
    grid = cycles([AT_SIX] * 12)
    rule = fan_rule(grid, np.full(grid.steps, 9.0))
    cold = known(rule.cold)
    assert rule.hours is None
    assert np.array([cold.on_c, cold.off_c]) == pytest.approx(6.0)
    assert float(np.asarray(cold.over_on_k).squeeze()) == pytest.approx(3.0)


def test_a_fan_that_no_thermostat_explains_runs_its_logged_hours() -> None:
    """Its starts pile up at 6 °C, but it stood still in most hours as cold as that."""
    rounds = [AT_SIX if k % 2 else [4.0, 4.0, 4.0, 4.0] for k in range(24)]
    grid = cycles(rounds)
    still = np.where(np.arange(grid.steps) // 4 % 2 == 0, 0.0, grid.fan_share)
    still[-1] = 0.0
    grid = replace(grid, fan_share=still, fan_level=np.where(still > 0.5, 2, 0))
    rule = fan_rule(grid, np.full(grid.steps, 20.0))
    assert rule.cold is None
    assert known(rule.hours).tolist() == (still > 0.5).tolist()


def test_the_set_point_is_the_highest_strong_pile_or_the_upper_end_apart_from_it() -> None:
    def starts(*piles: tuple[int, float]) -> Floats:
        return np.concatenate([np.full(count, at) for count, at in piles])

    assert set_point(starts((50, 4.0), (50, 6.0))) == pytest.approx(6.0, abs=0.06)
    assert set_point(starts((50, 4.0), (10, 6.0))) == pytest.approx(6.0, abs=0.06)
    assert set_point(starts((200, 4.0), (1, 6.0))) == pytest.approx(4.0, abs=0.06)
    assert set_point(starts((100, 4.0), (60, 4.6))) == pytest.approx(4.2, abs=0.25)


def test_readings_are_smoothed_over_three_where_all_are_there() -> None:
    smooth = smoothed(np.array([1.0, 4.0, 7.0, np.nan, 5.0]))
    assert smooth[[0, 1, 2, 4]].tolist() == [1.0, 4.0, 7.0, 5.0]
    assert np.isnan(smooth[3])
    assert smoothed(np.array([0.0, 3.0, 9.0]))[1] == 4.0


def test_vents_show_as_a_pile_of_readings_just_under_the_highest() -> None:
    """400 readings spread over 0 to 20 °C and 200 at 25 °C: the pile's foot is 25 − 1.2, a reading 0.3 K into it."""
    spread_out = np.linspace(0.0, 20.0, 400)
    assert vent_temperature_c(np.concatenate([spread_out, np.full(200, 25.0)])) == pytest.approx(24.1)
    assert vent_temperature_c(np.concatenate([spread_out, np.full(50, 25.0)])) is None, "fewer than 500 readings"
    assert vent_temperature_c(np.linspace(0.0, 30.0, 3000)) is None
    half_again = np.concatenate([np.linspace(20.0, 22.4, 200, endpoint=False), np.linspace(22.5, 23.6, 140)])
    assert vent_temperature_c(np.concatenate([np.linspace(0.0, 10.0, 400), half_again])) is None


def test_what_is_new_in_a_reading_is_its_misfit_less_what_is_left_of_the_one_before() -> None:
    """Misfits 1, 1, 3 and half kept: 1 − 0.5 = 0.5 and 3 − 0.5 = 2.5; a reading of no use drops itself and the next."""
    readings, model, every = np.array([1.0, 2.0, 4.0]), np.array([0.0, 1.0, 1.0]), np.ones(3, dtype=bool)
    new, rows = new_in_readings(readings, model, every, 0.5)
    assert (new.tolist(), rows.tolist()) == ([0.5, 2.5], [1, 2])
    batch, _ = new_in_readings(readings, model[:, None], every, 0.5)
    assert batch.tolist() == [[0.5], [2.5]]
    assert new_in_readings(readings, model, np.array([True, False, True]), 0.5)[1].size == 0


def test_misfits_beyond_far_grow_like_a_root() -> None:
    """Huber: x² up to 2, then 2 · 2 · |x| − 4; of 4 it is 12, of −7 it is 24."""
    assert soft(np.array([1.0, -2.0, 4.0, -7.0]), 2.0) == pytest.approx([1.0, -2.0, np.sqrt(12.0), -np.sqrt(24.0)])


def test_memory_fades_by_the_quarter_hour_and_readings_close_together_count_as_fewer() -> None:
    """0.9 a quarter of an hour is 0.81 in half an hour. Four quarter-hours as one: of half-hours two, noise 0.5 K:
    1 ÷ (0.25 · 2) = 2."""
    assert memory(0.9, 900.0) == pytest.approx(0.9)
    assert memory(0.9, 1800.0) == pytest.approx(0.81)
    rule = cloud_rule(plain_grid(4), Noise(np.full(4, 0.5), 0.25))
    assert rule.air_weight.tolist() == pytest.approx([2.0] * 4)
    assert rule.tank_weight == pytest.approx(8.0)
    assert [rule.air_memory, rule.tank_memory] == pytest.approx([0.81, 0.98**2])


def test_the_clear_sky_gives_what_the_paper_s_formula_gives() -> None:
    """Haurwitz: 1098 · exp(−0.059) = 1035.1 W/m2 with the sun overhead; 1098 · 0.5 · exp(−0.118) = 487.9 at 30°;
    6 % more at 2,000 m; nothing below the horizon."""
    high = clear_sun_w_per_m2(np.array([90.0, 30.0, -5.0]), elevation_m=0.0)
    assert high == pytest.approx([1098.0 * np.exp(-0.059), 549.0 * np.exp(-0.118), 0.0])
    assert clear_sun_w_per_m2(np.array([90.0]), elevation_m=2000.0)[0] == pytest.approx(high[0] * 1.06)


def test_a_low_sun_gives_a_standing_cover_more_within_bounds() -> None:
    """(1/sin h − 2)/2: −0.5 overhead, 0 at 30°, 1 from sin h = 1/4 down, 0 at night."""
    assert low_sun_excess(np.array([90.0, 30.0, 10.0, -1.0])) == pytest.approx([-0.5, 0.0, 1.0, 0.0])


def test_model_days_turn_at_five_by_the_mean_sun() -> None:
    """11° east is 44 minutes ahead of Greenwich: 4:15 UTC is 4:59 and yesterday, 4:16 is 5:00 and today."""
    at = pd.DatetimeIndex(pd.to_datetime(["2026-01-14T12:00Z", "2026-01-15T04:15Z", "2026-01-15T04:16Z"]))
    hour, day = sun_hour_and_day(at, SITE)
    assert hour == pytest.approx([12.0 + 11 / 15, 4.25 + 11 / 15, 5.0])
    assert day.tolist() == [0, 0, 1]


def test_three_cloud_factors_share_the_day_and_add_up_to_one() -> None:
    weights = slot_weights(np.linspace(0.0, 24.0, 97))
    assert weights.sum(axis=1) == pytest.approx(np.ones(97))
    assert weights.min() >= 0.0
    assert weights[0].tolist() == [1.0, 0.0, 0.0]
    assert weights[48].tolist() == pytest.approx([0.0, 1.0, 0.0])
    assert weights[-1].tolist() == [0.0, 0.0, 1.0]


def test_each_scale_leads_back_to_the_figure() -> None:
    for scale, fitted in ((Scale.LOG, np.log(0.25)), (Scale.LOGIT, np.log(0.25 / 0.75)), (Scale.PLAIN, 0.25)):
        prior = Prior(Figure.SUN_FLOOR, scale, 0.25, 1.0, "", "")
        assert prior.fitted_centre == pytest.approx(fitted)
        assert natural_values([prior], np.array([[fitted]]))[Figure.SUN_FLOOR] == pytest.approx([0.25])


@pytest.mark.parametrize(
    ("figure", "low", "high", "widest"),
    [
        (Figure.AIR_MASS, 5e3 * 50.0, 40e3 * 50.0, 4.0),
        (Figure.LIGHT_LINK, 3.0 * 50.0, 16.0 * 50.0, 5.0),
        (Figure.FLOOR_FILM, 4.0 * 50.0, 8.0 * 50.0, 3.0),
        (Figure.SOIL_CONDUCTIVITY, 0.55, 2.5, 3.0),
        (Figure.SOIL_CAPACITY, 1.4e6, 3.0e6, 2.0),
        (Figure.TANK_MASS, 1.9e7, 2.1e7, 1.2),
        (Figure.FAN_HEAT, 0.75, 1.3, 1.5),
        (Figure.BED_FLOW, 120.0, 900.0, 5.0),
    ],
)
def test_a_prior_reaches_over_the_range_that_it_names_and_not_much_further(
    figure: Figure, low: float, high: float, widest: float
) -> None:
    """The range in its own reason (ISO 13370, ISO 6946, the ledger's tank), or one of common practice (no source), lies
    within 95 % of the prior, whose ends lie within so many times its middle."""
    structure = Structure(Floor.LADDER, Bed.LINKED, tank=True)
    (one,) = (p for p in priors(HOUSE, structure, annual_outdoor_c=8.0, windy=True) if p.figure is figure)
    factor = np.exp(1.96 * one.sd)
    assert one.scale is Scale.LOG
    assert one.centre / factor <= low <= one.centre <= high <= one.centre * factor
    assert factor <= widest
