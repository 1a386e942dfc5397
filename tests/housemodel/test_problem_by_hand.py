"""What drives a march, by hand: vents, heat put in, the sun's factor, wind, matrices by step, where it begins."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.network import BARE, BUILT, Build, Network, Values, step_matrix
from ledger.heat.housemodel.priors import Figure, natural_values
from ledger.heat.housemodel.problem import (
    Problem,
    built_network,
    heat_in_w,
    loss_factors,
    start,
    stepper,
    sun_shape,
    vented,
    wind_coefficient,
)
from ledger.heat.housemodel.sky import evaporating_share
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from tests.housemodel.plain import HOUSE, plain_grid, with_figures

Floats = NDArray[np.float64]

PLAIN = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=False)
WITH_BED = Structure(Floor.TWO_LAYERS, Bed.LINKED, tank=False)
SCREENED = replace(HOUSE, cover_area_m2=100.0, day_factor=1.5, bare_factor_night=2.0, bare_factor_day=3.0)
UNREAD = np.nan


def net_of(*, outdoor_w_per_k: tuple[float, ...] = (10.0,)) -> Network:
    """Air and a floor: 5 W/K from the floor to a ground 2 K warmer than the one under it."""
    batch = len(outdoor_w_per_k)
    return Network(
        mass_j_per_k=np.ones((batch, 2)),
        link_w_per_k=np.zeros((batch, 2, 2)),
        outdoor_w_per_k=np.array(outdoor_w_per_k),
        deep_w_per_k=np.tile([0.0, 5.0], (batch, 1)),
        deep_over_k=np.tile([0.0, 2.0], (batch, 1)),
        sun_m2=np.zeros((batch, 2)),
    )


def values_of(*, deep_c: float = 0.0, trend_k: float = 0.0, sky: float = 0.0) -> dict[Figure, Floats]:
    return {Figure.DEEP: np.array([deep_c]), Figure.DEEP_TREND: np.array([trend_k]), Figure.SKY: np.array([sky])}


def problem_of(grid: Grid, structure: Structure = PLAIN) -> Problem:
    return Problem(grid, SCREENED, structure, (), grid.read, np.zeros(grid.steps))


def night_and_day(grid: Grid) -> Grid:
    """The first step by night, the others by day, the second of them at sunrise itself."""
    return replace(grid, elevation_deg=np.array([-1.0, 0.0, *np.full(grid.steps - 2, 20.0)]))


def heat(problem: Problem, values: Values, stands: Build = BUILT, *, heater: float = 0.0, fan: float = 0.0) -> Floats:
    """Heat put into the two masses of `net_of`."""
    steps = problem.grid.steps
    return heat_in_w(problem, net_of(), values, stands, heater_w=np.full(steps, heater), fan_w=np.full(steps, fan))[
        :, 0
    ]


def test_a_reading_above_the_vents_temperature_is_vented_and_one_at_it_is_not() -> None:
    grid = plain_grid(4)
    air = np.array([25.1, 25.0, 24.9, UNREAD])
    assert vented(replace(grid, vent_c=25.0), air).tolist() == [True, False, False, False]
    assert vented(grid, air).tolist() == [False] * 4


def test_the_cover_as_it_stands_or_as_it_was_by_night_and_by_day() -> None:
    problem = problem_of(plain_grid(2))
    assert loss_factors(problem, BUILT) == (1.0, 1.5)
    assert loss_factors(problem, BARE) == (2.0, 3.0)
    assert loss_factors(problem, Build(tank=True, bed=True, envelope=False)) == (2.0, 3.0)


def test_outdoor_air_comes_in_by_the_loss_of_the_hour() -> None:
    """10 W/K at −4 °C: −40 W by night, 1.5 times as much by day; twice and three times with the old cover."""
    problem = problem_of(night_and_day(plain_grid(3, outdoor_c=-4.0)))
    assert heat(problem, values_of())[:, 0].tolist() == pytest.approx([-40.0, -60.0, -60.0])
    assert heat(problem, values_of(), BARE)[:, 0].tolist() == pytest.approx([-80.0, -120.0, -120.0])


def test_an_open_sky_takes_its_share_of_each_square_metre_of_cover() -> None:
    """100 m2 · 2 W/m2 · clearness 0, 0.5 and 1; by day 1.5 times as much. It is taken from the air alone."""
    grid = night_and_day(plain_grid(3))
    problem = replace(problem_of(grid), clearness=np.array([1.0, 0.0, 0.5]))
    found = heat(problem, values_of(sky=2.0, deep_c=-2.0))
    assert found[:, 0].tolist() == pytest.approx([-200.0, 0.0, -150.0])
    assert found[:, 1].tolist() == pytest.approx([0.0, 0.0, 0.0])


def test_heater_and_fan_heat_the_air_the_fan_by_what_it_truly_draws() -> None:
    """300 W of heater, 100 W of fan by its plate, of which 120 are drawn; by the plate where nothing is fitted."""
    problem, values = problem_of(plain_grid(2)), values_of(deep_c=-2.0)
    assert heat(problem, values, heater=300.0, fan=100.0)[:, 0].tolist() == pytest.approx([400.0] * 2)
    drawn = {**values, Figure.FAN_HEAT: np.array([1.2])}
    found = heat(problem, drawn, heater=300.0, fan=100.0)
    assert found[:, 0].tolist() == pytest.approx([420.0] * 2)
    assert found[:, 1].tolist() == pytest.approx([0.0] * 2)


def test_the_deep_ground_moves_over_the_log_from_half_its_change_below_to_half_above() -> None:
    """10 °C, 4 K over the log, 5 W/K and 2 K more under this mass: 5 · (8, 9, 10, 11, 12 + 2)."""
    found = heat(problem_of(plain_grid(5)), values_of(deep_c=10.0, trend_k=4.0))
    assert found[:, 1].tolist() == pytest.approx([50.0, 55.0, 60.0, 65.0, 70.0])
    assert found[:, 0].tolist() == [0.0] * 5


def test_before_and_after_its_log_the_deep_ground_stands_still() -> None:
    """The log is steps 1 to 3 of five: 8, 8, 10, 12, 12 °C, and 2 K."""
    problem = replace(problem_of(plain_grid(5)), log_rows=(1, 3))
    found = heat(problem, values_of(deep_c=10.0, trend_k=4.0))
    assert found[:, 1].tolist() == pytest.approx([50.0, 50.0, 60.0, 70.0, 70.0])


def test_a_log_of_one_step_has_its_change_behind_it() -> None:
    alone = heat(problem_of(plain_grid(1)), values_of(deep_c=10.0, trend_k=4.0))
    assert alone[:, 1].tolist() == pytest.approx([50.0])
    within = replace(problem_of(plain_grid(4)), log_rows=(1, 1))
    found = heat(within, values_of(deep_c=10.0, trend_k=4.0))
    assert found[:, 1].tolist() == pytest.approx([50.0, 50.0, 70.0, 70.0])


def test_each_set_of_figures_is_driven_by_its_own() -> None:
    problem = problem_of(plain_grid(1, outdoor_c=-4.0))
    values = {**values_of(), Figure.DEEP: np.array([8.0, 18.0]), Figure.SKY: np.array([0.0, 0.0])}
    net = net_of(outdoor_w_per_k=(10.0, 20.0))
    found = heat_in_w(
        problem, net, {**values, Figure.DEEP_TREND: np.zeros(2)}, BUILT, heater_w=np.zeros(1), fan_w=np.full(1, 7.0)
    )
    assert found.tolist() == [[pytest.approx([-33.0, 50.0]), pytest.approx([-73.0, 100.0])]]


def test_a_low_sun_gives_more_and_warmer_leaves_evaporate_more_of_it() -> None:
    """Overhead, at 30° and low the excess is −0.5, 0 and 1: with 0.4 of it 0.8, 1 and 1.4. Air read as 15 °C, or not
    read, changes nothing; at 25 °C half of what evaporates more is lost."""
    grid = replace(
        plain_grid(5),
        elevation_deg=np.array([90.0, 30.0, 10.0, 30.0, 10.0]),
        indoor_c=np.array([15.0, UNREAD, 15.0, 25.0, 25.0]),
    )
    more = float(evaporating_share(np.array([25.0]))[0] - evaporating_share(np.array([15.0]))[0])
    assert more > 0.05
    found = sun_shape(problem_of(grid), {Figure.SUN_LOW: np.array([0.4]), Figure.SUN_EVAPORATED: np.array([0.5])})
    warm = 1.0 - 0.5 * more
    assert found[:, 0].tolist() == pytest.approx([0.8, 1.0, 1.4, warm, 1.4 * warm])


def test_wind_adds_to_the_loss_by_its_distance_from_the_mean() -> None:
    """0.05 a metre per second of 10 W/K: 2 m/s above the mean 1 W/K more by night; 1 below, 0.75 less by day."""
    grid = replace(night_and_day(plain_grid(3)), wind_over_mean=np.array([2.0, -1.0, 0.0]))
    windy = {Figure.WIND: np.array([0.05])}
    found = wind_coefficient(problem_of(grid), net_of(), windy, BUILT)
    assert found is not None
    assert found[:, 0].tolist() == pytest.approx([1.0, -0.75, 0.0])
    bare = wind_coefficient(problem_of(grid), net_of(), windy, BARE)
    assert bare is not None
    assert bare[:, 0].tolist() == pytest.approx([2.0, -1.5, 0.0])
    assert wind_coefficient(problem_of(grid), net_of(), {}, BUILT) is None
    assert wind_coefficient(problem_of(plain_grid(3)), net_of(), windy, BUILT) is None


def bed_log(fan_level: list[int]) -> tuple[Problem, Values, Network]:
    grid = night_and_day(plain_grid(len(fan_level)))
    grid = replace(grid, fan_level=np.array(fan_level, dtype=np.int64))
    problem, fitted = with_figures(grid, WITH_BED, {Figure.BED_FLOW: 400.0}, SCREENED)
    values = natural_values(problem.table, fitted)
    return problem, values, built_network(problem, values, BUILT)


def test_each_step_has_the_matrix_of_its_own_cover_and_fan() -> None:
    """Fan level 4 of 4 is 400 W/K, 1 of 4 a hundred; the first step is by night."""
    levels = [4, 4, 0, 1]
    problem, values, net = bed_log(levels)
    found = stepper(problem, net, values, BUILT)
    for row, (level, factor) in enumerate(zip(levels, (1.0, 1.5, 1.5, 1.5), strict=True)):
        fan = (WITH_BED.near_node, 100.0 * level)
        expected = step_matrix(net, step_s=1800.0, loss_factor=factor, fan=fan)
        assert found.answer[found.modes[row]] == pytest.approx(expected), row
        stored = expected * (net.mass_j_per_k / 1800.0)[:, None, :]
        assert found.carry[found.modes[row]] == pytest.approx(stored), row
    assert len(found.answer) == 4


def test_a_house_without_its_bed_has_no_fan_and_one_cover_needs_one_matrix() -> None:
    problem, values, net = bed_log([4, 4, 0, 1])
    bare = stepper(problem, net, values, Build(tank=False, bed=False, envelope=True))
    assert bare.modes.tolist() == [0, 1, 1, 1]
    assert bare.answer[1] == pytest.approx(step_matrix(net, step_s=1800.0, loss_factor=1.5))
    even = replace(problem, house=replace(SCREENED, day_factor=1.0))
    assert stepper(even, net, values, BUILT).modes.tolist() == [2, 2, 0, 1]
    unlogged = replace(even, grid=replace(problem.grid, fan_level=None))
    assert stepper(unlogged, net, values, BUILT).modes.tolist() == [0, 0, 0, 0]
    assert stepper(replace(even, structure=PLAIN), net, values, BUILT).modes.tolist() == [0, 0, 0, 0]


def begun(
    indoor_c: list[float], *, step_s: float, water_c: list[float] | None = None, tank: bool = False
) -> list[float]:
    """Start of a house whose ground is such that its two floor layers begin at 0.8 and 0.5 of the first days' air."""
    grid = replace(
        plain_grid(len(indoor_c), step_s=step_s),
        indoor_c=np.array(indoor_c),
        water_c=None if water_c is None else np.array(water_c),
    )
    structure = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=tank)
    problem, fitted = with_figures(grid, structure, {Figure.DEEP: -2.0, Figure.FLOOR_START: 0.0})
    return [float(t) for t in start(problem, natural_values(problem.table, fitted))[0]]


def test_air_begins_at_its_first_reading_and_the_floor_by_the_first_three_days() -> None:
    """Half days: six from the first reading on, 10, 20, 30, 30, 30 and one unread, are 24 °C; 99 is after them."""
    found = begun([UNREAD, 10.0, 20.0, UNREAD, 30.0, 30.0, 30.0, 99.0], step_s=43200.0)
    assert found == pytest.approx([10.0, 19.2, 12.0, 10.0])


def test_of_steps_longer_than_three_days_the_first_one_counts() -> None:
    assert begun([10.0, 30.0], step_s=864000.0) == pytest.approx([10.0, 8.0, 5.0, 10.0])


def test_a_tank_begins_at_its_own_first_reading_or_at_the_first_days_air() -> None:
    """Layers, tank, light things: the tank is the fourth mass."""
    air = [10.0, 20.0, 30.0]
    assert begun(air, step_s=86400.0, water_c=[UNREAD, 40.0, 41.0], tank=True)[3] == 40.0
    assert begun(air, step_s=86400.0, water_c=[UNREAD] * 3, tank=True)[3] == pytest.approx(20.0)
    assert begun(air, step_s=86400.0, tank=True)[3] == pytest.approx(20.0)
