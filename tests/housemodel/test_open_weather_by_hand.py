"""Days that a log lacks, by hand: which draw has which guess, how far the year moved on, what fills the first hole."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel import open_days as weather_room
from ledger.heat.housemodel import open_runs as room
from ledger.heat.housemodel.grid import filled, holes
from ledger.heat.housemodel.network import BARE
from ledger.heat.housemodel.open_days import Around
from ledger.heat.housemodel.open_runs import run_open_days
from ledger.heat.housemodel.outdoors import Spells, YearlyWave
from ledger.heat.housemodel.runs import Case, Outcome
from ledger.heat.housemodel.spread import DRAWS
from tests.housemodel.carried import SPAN
from tests.housemodel.plain import plain_grid

Floats = NDArray[np.float64]
HOLE = np.nan
DAY_S = 86400.0


class Runs:
    """A house that needs as many kilowatt-hours a step as its draw's number times its guess's, built a quarter of it.

    `columns`: the draws whose fan rule each run had; `first`: the weather that was given for all.
    """

    def __init__(self, monkeypatch: pytest.MonkeyPatch, guesses: int) -> None:
        self.columns: list[int] = []
        self.drawn: list[int] = []
        self.first: object = None
        problems = [(SimpleNamespace(times=10.0**g), np.full(1, g)) for g in range(guesses)]
        monkeypatch.setattr(room, "figures_at_the_start", lambda _fit, figures, _span: figures)
        monkeypatch.setattr(room, "problems_of", lambda _fit, _winter: problems)
        monkeypatch.setattr(room, "rule_over", lambda rule, _winter: rule)
        monkeypatch.setattr(room, "repeated", self._repeated)
        monkeypatch.setattr(room, "run_all", self._run_all)

    def _repeated(self, rule: Any, columns: NDArray[np.int64]) -> Any:
        self.columns = columns.tolist()
        return rule

    def _run_all(self, problem: Any, cases: list[Case], *, sun_w_m2: Floats, rule: Any) -> list[Outcome]:
        self.first, self.drawn = (problem.times, sun_w_m2.tolist(), rule), []
        return [self._outcome(case) for case in cases]

    def _outcome(self, case: Case) -> Outcome:
        own: Any = case.problem
        assert case.sun_w_m2 is not None
        assert 10.0 ** float(case.sun_w_m2[0]) == own.times, "the sun of its own guess"
        self.drawn += case.fitted[:, 0].astype(int).tolist()
        a_step = case.fitted[:, 0] * own.times * (1.0 if case.stands == BARE else 0.25)
        heat = np.tile(a_step, (4, 1))
        return Outcome(heat, heat, heat)

    def ask(self) -> tuple[Floats, Floats]:
        fit: Any = None
        winter: Any = SimpleNamespace(wanted=np.array([False, True, True, False]))
        rule: Any = "a rule"
        figures = np.arange(1.0 + DRAWS)[:, None]
        found = run_open_days(fit, figures, rule, winter=winter, span=SPAN, hold_c=5.0)
        return found.need_kwh, found.avoided_kwh


@pytest.mark.parametrize("guesses", [1, 3, 5])
def test_draws_take_the_guesses_of_the_weather_in_turn_and_mirror_images_the_same(
    monkeypatch: pytest.MonkeyPatch, guesses: int
) -> None:
    """Two of four steps are wanted: draw k of guess g needs 2 · k · 10^g, of which three quarters are avoided. The
    found figures, number 0, are not among them."""
    runs = Runs(monkeypatch, guesses)
    need, avoided = runs.ask()
    half = DRAWS // 2
    turn = [k % guesses for k in range(half)] * 2
    assert need == pytest.approx([2.0 * k * 10.0**g for k, g in enumerate(turn, 1)])
    assert avoided == pytest.approx(0.75 * need)
    assert runs.columns == runs.drawn, "each run has the fan rule of its own draw"
    assert sorted(runs.drawn) == sorted([*range(1, DRAWS + 1)] * 2)
    assert runs.first == (1.0, [0], "a rule")


def doubted(
    monkeypatch: pytest.MonkeyPatch, opened: list[tuple[int, int]], *, step_s: float = 3600.0
) -> list[tuple[int, int, float, float]]:
    """First and last step, days and how far the year moved on in each hole that is doubted; the log is steps 240 to
    480 of 720 hours from 1 January on."""
    asked: list[tuple[float, float]] = []

    def doubt(_known: Spells, swing_k2: float, *, days: float, wave_moved: float) -> float:
        assert swing_k2 == pytest.approx(16.0), "days without a swing tell nothing of it"
        asked.append((days, wave_moved))
        return float(len(asked))

    monkeypatch.setattr(weather_room, "mean_doubt_k", doubt)
    monkeypatch.setattr(weather_room, "yearly_wave", lambda _log: YearlyWave(0.0, 0.0))
    monkeypatch.setattr(weather_room, "spells", lambda _log, _wave: Spells(0.0, 0.0, 10))
    grid = plain_grid(720, step_s=step_s)
    log = replace(plain_grid(240, step_s=step_s), stamps_utc=grid.stamps_utc[240:480])
    lost = np.zeros(720, dtype=bool)
    for first, last in opened:
        lost[first:last] = True
    found = weather_room._doubt_k(lost, Around(grid, log, 240, SPAN))
    edges = holes(found == 0.0)
    assert [float(found[a]) for a, _ in edges] == [float(n) for n in range(1, len(asked) + 1)]
    return [(a, b, *one) for (a, b), one in zip(edges, asked, strict=True)]


def cosine(first_day: int, last_day: int) -> float:
    """Mean over such days of January of a year's wave that is coldest on the 20th."""
    return float(np.mean([np.cos(2.0 * np.pi * (day - 20.0) / 365.25) for day in range(first_day, last_day + 1)]))


def test_beyond_either_end_of_the_log_the_year_has_moved_on_and_within_it_it_has_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The log is 11 to 20 January, ten days are open before it and ten after; ten hours in it are open too, two hours
    are not doubted."""
    found = doubted(monkeypatch, [(0, 240), (260, 270), (300, 302), (480, 720)])
    log = cosine(11, 20)
    assert [one[:2] for one in found] == [(0, 240), (260, 270), (480, 720)]
    assert [one[2] for one in found] == pytest.approx([10.0, 10.0 / 24.0, 10.0])
    assert [one[3] for one in found] == pytest.approx([cosine(1, 10) - log, 0.0, cosine(21, 30) - log])


def test_holes_that_reach_over_an_end_of_the_log_lie_at_it_and_those_that_touch_it_do_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    outside = doubted(monkeypatch, [(216, 264), (456, 504)])
    log = cosine(11, 20)
    assert [one[3] for one in outside] == pytest.approx([cosine(10, 11) - log, cosine(20, 21) - log])
    touching = doubted(monkeypatch, [(240, 264), (456, 480)])
    assert [one[3] for one in touching] == [0.0, 0.0]
    assert [one[2] for one in touching] == [1.0, 1.0]


def test_a_hole_of_more_than_two_hours_is_doubted(monkeypatch: pytest.MonkeyPatch) -> None:
    assert doubted(monkeypatch, [(300, 304)], step_s=1800.0) == []
    assert [one[:2] for one in doubted(monkeypatch, [(300, 305)], step_s=1800.0)] == [(300, 305)]


def test_half_the_year_s_swing_is_told_by_days_that_stand_for_themselves() -> None:
    """60 days of which each keeps half of the one before count as 20; on ±1 of the wave and 3 K apart they weigh
    20 / 9, and 1 / 16 is known before: 1 / (2.2222 + 0.0625) = 0.4377. On ±0.5 a quarter: 1 / 0.61806 = 1.618."""
    both_ends = np.array([1.0, -1.0] * 30)
    assert Spells(3.0, 0.5, 60).swing_variance_k2(both_ends) == pytest.approx(0.43769, rel=1e-4)
    assert Spells(3.0, 0.5, 60).swing_variance_k2(0.5 * both_ends) == pytest.approx(1.61798, rel=1e-4)
    assert Spells(0.0, 0.0, 60).swing_variance_k2(both_ends) == pytest.approx(16.0), "days all alike: nothing is told"


def test_the_mean_of_part_of_a_day_is_as_unsure_as_a_day_s() -> None:
    """s² for up to a day and a half; three days that keep half: s²/3 · (1 + 2 · (⅔ · ½ + ⅓ · ¼)) = 0.6111 s²."""
    days = Spells(2.0, 0.5, 60)
    assert [days.mean_variance_k2(n) for n in (0.2, 1.0, 1.4)] == pytest.approx([4.0] * 3)
    assert days.mean_variance_k2(3.0) == pytest.approx(4.0 * 0.61111, rel=1e-4)


def test_the_wave_lies_over_its_mean_by_half_its_swing_in_january_and_as_far_below_in_july() -> None:
    """A southern place: warmest on 20 January; half a year later, on 21 July, coldest."""
    stamps = pd.DatetimeIndex(["2025-01-20", "2025-07-21T12:00"], tz="UTC")
    assert YearlyWave(12.0, 6.0).over_mean_k(stamps) == pytest.approx([6.0, -6.0], abs=1e-3)


def test_a_hole_takes_days_from_either_side_mirrored_from_the_very_first_to_the_very_last() -> None:
    """Steps of a day, mirrored at the hole's edges: its first day takes the one before it, its second the one before
    that; from the middle on so from its end. Beyond the log's ends the other side; where neither reaches so far the
    mean of all."""
    assert filled(np.array([5.0, HOLE, HOLE, 9.0]), DAY_S).tolist() == [5.0, 5.0, 9.0, 9.0]
    assert filled(np.array([5.0, HOLE, HOLE, HOLE, 9.0]), DAY_S).tolist() == [5.0, 5.0, 7.0, 9.0, 9.0]
    four = filled(np.array([1.0, 2.0, HOLE, HOLE, HOLE, HOLE, 3.0, 4.0]), DAY_S)
    assert four.tolist() == [1.0, 2.0, 2.0, 1.0, 4.0, 3.0, 3.0, 4.0]
    three = filled(np.array([1.0, 2.0, HOLE, HOLE, HOLE, 3.0, 4.0]), DAY_S)
    assert three.tolist() == [1.0, 2.0, 2.0, 1.0, 3.0, 3.0, 4.0], "the middle day takes the side before it"
    two = filled(np.array([1.0, 2.0, 3.0, HOLE, HOLE, 7.0, 8.0, 9.0]), DAY_S)
    assert two.tolist() == [1.0, 2.0, 3.0, 3.0, 7.0, 7.0, 8.0, 9.0]
    assert filled(np.array([HOLE, HOLE, 7.0, 8.0]), DAY_S).tolist() == [8.0, 7.0, 7.0, 8.0]
    assert filled(np.array([7.0, 8.0, HOLE, HOLE]), DAY_S).tolist() == [7.0, 8.0, 8.0, 7.0]


def test_two_hours_are_bridged_by_a_line_but_for_those_at_an_end() -> None:
    """Steps of an hour: 2 to 8 by 4 and 6; three hours are no longer bridged, nor is the first or the last hour."""
    day = np.full(24, 1.0)
    bridged = filled(np.r_[day, 2.0, HOLE, HOLE, 8.0, day], 3600.0)
    assert bridged[24:28] == pytest.approx([2.0, 4.0, 6.0, 8.0])
    replayed = filled(np.r_[day, 2.0, HOLE, HOLE, HOLE, 8.0, day], 3600.0)
    assert replayed[24:29].tolist() == [2.0, 1.0, 1.0, 1.0, 8.0]
    assert filled(np.r_[HOLE, day, day], 3600.0)[0] == 1.0
    assert filled(np.r_[day, day, HOLE], 3600.0)[-1] == 1.0
