"""What a fitted house is asked, on houses whose every figure is written down."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.left_out import Part
from ledger.heat.housemodel.network import BUILT
from ledger.heat.housemodel.priors import Figure, natural_values
from ledger.heat.housemodel.spread import WrongPhysics
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from ledger.heat.housemodel.thermostat import Branch, FanRule
from ledger.heat.housemodel.variants import Variant, Voice, resized, run_variants, shifted
from ledger.heat.housemodel.whatif import Change, Told, WhatIf, ask
from ledger.heat.results import BareAnswer
from tests.housemodel.fitted import voice_of
from tests.housemodel.plain import plain_grid, with_figures

TANK = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=True)
BOTH = Structure(Floor.TWO_LAYERS, Bed.LINKED, tank=True)
BED = Structure(Floor.TWO_LAYERS, Bed.LINKED, tank=False)
QUIET = {Figure.SKY: 1e-12, Figure.TANK_SUN: 0.0}
DAYS = 6
HOLD_C = 5.0
NOWHERE = BareAnswer(0.0, 0.0, 0.0, 0.0)


def days(*, coldest_c: float = -8.0) -> Grid:
    """Six like days at half-hour steps: 8 K warmer at noon, sun from 9 to 15, the tank begins at 10 °C."""
    grid = plain_grid(48 * DAYS)
    hour = (np.arange(grid.steps) % 48) / 2.0
    lit = (hour >= 9.0) & (hour < 15.0)
    return replace(
        grid,
        outdoor_c=coldest_c + np.where(lit, 8.0, 0.0),
        sun_w_m2=np.where(lit, 400.0, 0.0),
        elevation_deg=np.where(lit, 30.0, -10.0),
        water_c=np.full(grid.steps, 10.0),
        fan_level=np.zeros(grid.steps, dtype=np.int64),
    )


def colder_than(c: float) -> FanRule:
    """Gives back below `c`, off half a degree above, while the bed is 1 K warmer than the air; never stores."""
    return FanRule(Branch(1.0, c, c + 0.5, 1.0, 0.5), None, None)


def house(structure: Structure, rule: FanRule | None = None, **figures: float) -> Voice:
    given_figures = {**QUIET, **{Figure[name]: value for name, value in figures.items()}}
    problem, fitted = with_figures(days(), structure, given_figures)
    return voice_of(problem, fitted) if rule is None else voice_of(problem, fitted, rule)


def told(voice: Voice, *, hold_c: float = HOLD_C) -> Told:
    season = np.ones(voice.fit.problem.grid.steps, dtype=bool)
    return ask([voice], hold_c=hold_c, season=season, wrong=WrongPhysics(0.1, 0.01, 0.1), now=NOWHERE)


def only(answer: Told, change: Change, to: float, part: Part | None = None) -> WhatIf:
    (found,) = (w for w in answer.what_ifs if w.change is change and w.part is part and w.to == pytest.approx(to))
    return found


def test_in_a_house_with_one_store_leaving_it_out_loses_all_that_is_saved() -> None:
    answer = told(house(TANK))
    assert answer.split is not None
    (tank,) = answer.split.parts
    assert tank.alone.kwh > 5.0
    assert (tank.left_out.kwh, tank.own_kwh) == pytest.approx((tank.alone.kwh, tank.alone.kwh))


def test_a_tank_and_a_bed_together_save_no_more_than_each_alone_where_they_ask_for_the_same_hours() -> None:
    answer = told(house(BOTH, colder_than(8.0)))
    assert answer.split is not None
    tank, bed = answer.split.parts
    assert tank.alone.kwh > 5.0
    assert bed.alone.kwh > 5.0
    assert answer.split.parts[0].left_out.kwh <= tank.alone.kwh + 1e-9
    whole = tank.own_kwh + bed.own_kwh
    assert whole == pytest.approx(tank.alone.kwh + bed.left_out.kwh)
    assert max(tank.alone.kwh, bed.alone.kwh) < whole < tank.alone.kwh + bed.alone.kwh


def test_twice_a_store_that_does_nothing_does_nothing() -> None:
    """A tank that neither meets the air nor the sun."""
    answer = told(house(TANK, TANK_LINK=1e-9))
    for factor in (0.5, 2.0):
        assert only(answer, Change.SIZE, factor, Part.TANK).gain.kwh == pytest.approx(0.0, abs=1e-6)
        assert only(answer, Change.SIZE, factor, Part.TANK).avoided.kwh == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize(("structure", "part"), [(TANK, Part.TANK), (BED, Part.BED)])
def test_a_store_that_shrinks_away_saves_nothing_like_one_left_out(structure: Structure, part: Part) -> None:
    voice = house(structure, colder_than(8.0))
    built = Variant(BUILT, HOLD_C, grown=(part, 1e-7))
    bare = Variant(replace(BUILT, tank=False, bed=False), HOLD_C, grown=(part, 1e-7))
    season = np.ones(voice.fit.problem.grid.steps, dtype=bool)
    ran = run_variants(voice, [built, bare], voice.fit.fitted[None], season=season)
    assert ran[bare].season_kwh[0] - ran[built].season_kwh[0] == pytest.approx(0.0, abs=1e-3)


def test_more_of_a_store_saves_more_and_half_of_it_more_than_half() -> None:
    """What a second tank adds is less than what the first gave."""
    answer = told(house(TANK))
    half, twice = (only(answer, Change.SIZE, f, Part.TANK).avoided.kwh for f in (0.5, 2.0))
    assert answer.split is not None
    now = answer.split.parts[0].alone.kwh
    assert now / 2.0 < half < now < twice < 2.0 * now


def test_held_above_its_cold_setting_the_fan_never_gives_back() -> None:
    """Cold setting 6 °C; a heater that holds 8 °C never lets the air fall to it."""
    answer = told(house(BED, colder_than(6.0)))
    warmer = only(answer, Change.HOLD, HOLD_C + 3.0)
    assert warmer.fan_h == 0.0
    assert warmer.avoided.kwh == pytest.approx(0.0, abs=1e-9)
    assert answer.fan is not None
    assert answer.fan.hours > 0.0


def test_near_the_cold_setting_both_sides_of_the_jump_are_run() -> None:
    """6 °C less and more one degree: below it the bed gives, above it nothing."""
    fan = told(house(BED, colder_than(6.0))).fan
    assert fan is not None
    assert (fan.cold_c, [one.to for one in fan.beside]) == (6.0, [5.0, 7.0])
    below, above = (one.avoided.kwh for one in fan.beside)
    assert below > 5.0
    assert above == pytest.approx(0.0, abs=1e-9)


def test_a_setting_below_the_hold_is_tried_a_degree_above_it() -> None:
    """Set at 3 °C under a hold of 5 °C the fan does nothing; at 6 °C it does."""
    answer = told(house(BED, colder_than(3.0)))
    assert only(answer, Change.FAN_COLD, 6.0).gain.kwh > 5.0
    assert answer.fan is not None
    assert answer.fan.hours == 0.0


def test_a_fan_whose_hours_no_thermostat_explains_answers_no_what_if_of_it() -> None:
    always = FanRule(None, None, np.ones(48 * DAYS, dtype=bool))
    answer = told(house(BED, always))
    assert not [w for w in answer.what_ifs if w.change in (Change.FAN_COLD, Change.FAN_WARM)]
    assert answer.fan is not None
    assert answer.fan.replayed


def test_a_cold_bed_that_the_fan_never_leaves_alone_takes_more_than_it_gives() -> None:
    """Ground 20 K colder than the hold, the fan always on: the heater warms the ground; the answer is below 0."""
    always = FanRule(None, None, np.ones(48 * DAYS, dtype=bool))
    grid = replace(days(), sun_w_m2=np.zeros(48 * DAYS), elevation_deg=np.full(48 * DAYS, -10.0))
    figures = {**QUIET, Figure.DEEP: -15.0, Figure.BED_START: 0.0, Figure.FAN_HEAT: 1e-6}
    answer = told(voice_of(*with_figures(grid, BED, figures), always))
    assert answer.split is not None
    (bed,) = answer.split.parts
    assert bed.own_kwh < -5.0
    assert bed.left_out.p90 < 0.0
    assert only(answer, Change.SIZE, 2.0, Part.BED).gain.kwh < 0.0


def test_every_answer_is_carried_to_the_one_that_stands() -> None:
    """The need answered a tenth higher than as run, the saving a fifth lower: so are the parts and the what-ifs."""
    voice = house(BOTH, colder_than(8.0))
    plain = told(voice)
    assert plain.split is not None
    run = sum(part.own_kwh for part in plain.split.parts)
    bare = only(plain, Change.SIZE, 2.0, Part.TANK).need_kwh
    season = np.ones(voice.fit.problem.grid.steps, dtype=bool)
    stands = BareAnswer(1.1 * bare, 0.8 * run, 0.7 * run, 0.9 * run)
    found = ask([voice], hold_c=HOLD_C, season=season, wrong=WrongPhysics(0.1, 0.01, 0.1), now=stands)
    assert found.split is not None
    assert sum(part.own_kwh for part in found.split.parts) == pytest.approx(found.now.kwh) == pytest.approx(0.8 * run)
    assert (found.now.p10, found.now.p90) == pytest.approx((0.7 * run, 0.9 * run))
    twice, was = (only(one, Change.SIZE, 2.0, Part.TANK) for one in (found, plain))
    assert twice.gain.kwh == pytest.approx(0.8 * was.gain.kwh)
    for hold_c, held in found.held_at.items():
        asked = only(found, Change.HOLD, hold_c)
        assert held.bare_kwh.sum() == pytest.approx(asked.need_kwh)
        assert held.bare_kwh.sum() - held.built_kwh.sum() == pytest.approx(asked.avoided.kwh)


def test_the_fan_s_energy_is_its_hours_times_its_power_twice_for_two_beds() -> None:
    """200 W: 0.2 kWh an hour; two fans 0.4."""
    answer = told(house(BED, colder_than(8.0)))
    assert answer.fan is not None
    assert answer.fan.kwh == pytest.approx(0.2 * answer.fan.hours)
    twice = only(answer, Change.SIZE, 2.0, Part.BED)
    assert twice.fan_h is not None
    assert twice.fan_kwh == pytest.approx(0.4 * twice.fan_h)


def test_a_moved_thermostat_is_one_that_was_set_so() -> None:
    voice, there = house(BED, colder_than(3.0)), house(BED, colder_than(6.0))
    season = np.ones(voice.fit.problem.grid.steps, dtype=bool)
    moved, plain = Variant(BUILT, HOLD_C, cold_k=3.0), Variant(BUILT, HOLD_C)
    one = run_variants(voice, [moved, plain], voice.fit.fitted[None], season=season)
    other = run_variants(there, [plain], there.fit.fitted[None], season=season)
    assert one[moved].step_kwh == pytest.approx(other[plain].step_kwh, abs=1e-12)
    assert one[plain].fan_h < one[moved].fan_h


def test_the_warm_setting_moves_up_with_a_positive_step() -> None:
    """Stores above 20 °C; moved 2 K it stores above 22 °C (temperatures stand with the sign turned)."""
    rule = FanRule(None, Branch(-1.0, -20.0, -19.0, 1.0, 0.5), None)
    moved = shifted(rule, cold_k=np.zeros(1), warm_k=np.array([2.0])).warm
    assert moved is not None
    assert (moved.on_c, moved.off_c) == (-22.0, -21.0)


def figures_of(grown: tuple[Part, float] | None) -> dict[Figure, float]:
    problem, fitted = with_figures(days(), BOTH, {Figure.TANK_SUN: 0.2})
    values = natural_values(problem.table, resized(problem.table, fitted, grown))
    return {figure: float(value[0]) for figure, value in values.items()}


def test_twice_the_tank_has_twice_the_water_and_faces_and_takes_the_sun_of_two() -> None:
    """A fifth of the sun falls on the first, a fifth of the rest on the second: 0.2 + 0.8 · 0.2 = 0.36."""
    now, then = figures_of(None), figures_of((Part.TANK, 2.0))
    assert then[Figure.TANK_MASS] == pytest.approx(2.0 * now[Figure.TANK_MASS])
    assert then[Figure.TANK_LINK] == pytest.approx(2.0 * now[Figure.TANK_LINK])
    assert then[Figure.TANK_SUN] == pytest.approx(0.36)
    assert then[Figure.BED_FLOW] == now[Figure.BED_FLOW]


@given(st.floats(0.1, 10.0), st.sampled_from([Part.TANK, Part.BED]))
def test_a_store_made_larger_and_smaller_again_is_what_it_was(factor: float, part: Part) -> None:
    problem, fitted = with_figures(days(), BOTH, {Figure.TANK_SUN: 0.2})
    there = resized(problem.table, fitted, (part, factor))
    assert resized(problem.table, there, (part, 1.0 / factor)) == pytest.approx(fitted)


def test_a_store_of_no_size_is_left_out_and_not_made_small() -> None:
    problem, fitted = with_figures(days(), BOTH, {})
    with pytest.raises(ValueError, match="left out"):
        resized(problem.table, fitted, (Part.TANK, 0.0))
