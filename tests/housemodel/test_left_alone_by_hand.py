"""A power cut by hand: which night is the coldest, how far its spell is shifted, how long the cut lasts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel import left_alone as room
from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.left_alone import Alone, Standing, coldest_night, left_alone
from ledger.heat.housemodel.network import BARE, BUILT
from ledger.heat.housemodel.problem import Problem
from ledger.heat.housemodel.runs import Case, Outcome
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from tests.housemodel.plain import plain_grid, with_figures

Floats = NDArray[np.float64]
QUARTER_DAY = 21600.0
NIGHT_LAST, NIGHT_FIRST = "ddnn", "nndd"


def log_of(days: str, outdoor_c: Sequence[float], *, step_s: float = QUARTER_DAY) -> Grid:
    """Steps by night (n) and by day (d)."""
    elevation = np.array([-5.0 if step == "n" else 5.0 for step in days])
    return replace(plain_grid(len(days), step_s=step_s), elevation_deg=elevation, outdoor_c=np.array(outdoor_c))


def test_the_coldest_night_is_that_of_the_lowest_mean_and_days_do_not_count() -> None:
    """Nights after the first day at −10 and 0, −6 and −6, −1 and −1 °C: the second has the lower mean; a day at −50."""
    outdoor = [0, 0, 0, 0, 0, 0, -10, 0, -50, -50, -6, -6, 0, 0, -1, -1, 0, 0]
    assert coldest_night(log_of(NIGHT_LAST * 4 + "dd", outdoor)).tolist() == [10, 11]


def test_a_night_of_the_log_s_first_day_is_left_out_and_one_that_begins_a_day_after_its_start_is_not() -> None:
    outdoor = [-20, -20, 0, 0, -9, -9, 0, 0, -3, -3, 0, 0]
    assert coldest_night(log_of(NIGHT_FIRST * 3, outdoor)).tolist() == [4, 5]
    early = [0, 0, -20, -20, 0, 0, -3, -3, 0, 0, -9, -9, 0]
    assert coldest_night(log_of(NIGHT_LAST * 3 + "d", early)).tolist() == [10, 11]


def test_a_night_that_the_log_s_end_cuts_short_is_left_out() -> None:
    """One step of day after it is enough to know that it was whole."""
    outdoor = [0, 0, 0, 0, 0, 0, -3, -3, 0, 0, -9, -9]
    assert coldest_night(log_of(NIGHT_LAST * 3, outdoor)).tolist() == [6, 7]
    assert coldest_night(log_of(NIGHT_LAST * 3 + "d", [*outdoor, 0])).tolist() == [10, 11]
    assert coldest_night(log_of("dddd" + "nndd" + "nnn", [0.0] * 8 + [-9.0] * 3)).tolist() == [4, 5]


def test_without_a_whole_night_every_dark_step_but_the_first_stands_for_one() -> None:
    assert coldest_night(log_of("nnnnnn", [0.0] * 6)).tolist() == [1, 2, 3, 4, 5]
    assert coldest_night(log_of("dndd", [0.0] * 4)).tolist() == [1]


class Asked:
    """Stands for the march and keeps what it was asked; the air of each step is its number, a hundred more a house."""

    def __call__(
        self, problem: Problem, cases: Sequence[Case], *, sun_w_m2: Floats, rule: object, cut: NDArray[np.bool_]
    ) -> tuple[Outcome, ...]:
        self.outdoor_c, self.cases, self.sun, self.rule, self.cut = (
            problem.grid.outdoor_c, cases, sun_w_m2, rule, np.flatnonzero(cut).tolist(),
        )  # fmt: skip
        steps = np.arange(float(problem.grid.steps))
        return tuple(Outcome(steps[:, None] + 100.0 * i, steps[:, None], steps[:, None]) for i in range(len(cases)))


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> Asked:
    march = Asked()
    monkeypatch.setattr(room, "run_all", march)
    return march


def house_of(grid: Grid) -> Any:
    """As much of a fitted house as is asked here."""
    problem, fitted = with_figures(grid, Structure(Floor.TWO_LAYERS, Bed.NONE, tank=False), {})
    fit = SimpleNamespace(problem=problem, fitted=fitted[0], marched=SimpleNamespace(sun_w_m2=np.arange(grid.steps)))
    return SimpleNamespace(voices=(SimpleNamespace(fit=fit, rule="the fan's rule"),))


def winter(coldest: int, days: int) -> Grid:
    """Days of four steps, nights the last two, 2 °C; that day's night is at −4 and −8."""
    outdoor = np.full(4 * days, 2.0)
    outdoor[4 * coldest + 2 : 4 * coldest + 4] = [-4.0, -8.0]
    return log_of(NIGHT_LAST * days, outdoor.tolist())


def test_from_two_days_before_nightfall_all_is_shifted_until_the_coldest_hour_is_the_design_night(asked: Asked) -> None:
    """Nightfall of day 4 is step 18. From step 10 on it is 7 K colder, so that −8 is −15 °C."""
    left_alone(house_of(winter(4, 9)), [Standing(BUILT, 5.0)], design_c=-15.0)
    assert asked.outdoor_c.tolist() == [2.0] * 10 + [-5.0] * 8 + [-11.0, -15.0] + [-5.0] * 16


def test_the_power_stays_away_for_two_days_from_nightfall_and_the_air_is_told_from_the_step_before(
    asked: Asked,
) -> None:
    """Eight steps of six hours from step 18 on, which begin at step 17's air; each house has its own."""
    bare, built = left_alone(house_of(winter(4, 9)), [Standing(BARE, 5.0), Standing(BUILT, None)], design_c=-15.0)
    assert asked.cut == list(range(18, 26))
    assert (bare.start_c, bare.air_c.tolist(), bare.step_h) == (17.0, [float(t) for t in range(18, 26)], 6.0)
    assert (built.start_c, built.air_c[0]) == (117.0, 118.0)
    assert [(c.stands, c.hold_c) for c in asked.cases] == [(BARE, 5.0), (BUILT, None)]
    assert (asked.rule, len(asked.sun)) == ("the fan's rule", 36)


def test_a_night_soon_after_the_start_or_before_the_end_has_what_the_log_holds(asked: Asked) -> None:
    """Nightfall at step 6: the spell is shifted from the log's first step. At step 10 of 15: five steps of the cut."""
    left_alone(house_of(winter(1, 5)), [Standing(BUILT, 5.0)], design_c=-15.0)
    assert asked.outdoor_c.tolist() == [-5.0] * 6 + [-11.0, -15.0] + [-5.0] * 12
    late = log_of(NIGHT_LAST * 3 + "ddd", [2.0] * 10 + [-4.0, -8.0, 2.0, 2.0, 2.0])
    (alone,) = left_alone(house_of(late), [Standing(BUILT, 5.0)], design_c=-15.0)
    assert asked.cut == [10, 11, 12, 13, 14]
    assert alone.air_c.tolist() == [10.0, 11.0, 12.0, 13.0, 14.0]


def test_hours_until_a_mark_count_steps_and_the_part_of_the_one_it_lies_in() -> None:
    """From 8 by 6 and 2 to 1 °C in steps of two hours: 4 °C is half way through the second, after 3 h."""
    air = Alone(8.0, np.array([6.0, 2.0, 1.0]), 2.0)
    assert [air.hours_above(mark) for mark in (7.0, 4.0, 1.5)] == pytest.approx([1.0, 3.0, 5.0])
    assert air.hours_above(9.0) == 0.0
    assert air.hours_above(0.5) is None
