"""One season's runs put together, by hand: means by share, what doubts are shares of, the range, hours, other holds."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat.bare import ModelSeason
from ledger.heat.housemodel import season_runs as room
from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.left_out import Ranged
from ledger.heat.housemodel.open_runs import OpenDays
from ledger.heat.housemodel.season_runs import (
    _answer,
    _at_hold,
    _blend,
    _hourly_mean,
    _hourly_sum,
    _mean,
    _scale,
    answer_season,
)
from ledger.heat.housemodel.spread import DRAWS
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from ledger.heat.housemodel.whatif import HeldAt
from ledger.heat.results import BareAnswer
from tests.heat.builders import ledger_of
from tests.housemodel.carried import DAYS, SPAN, WINDOW, known_house
from tests.housemodel.plain import plain_grid

Floats = NDArray[np.float64]
ROWS = np.array([True, True, False])
P90 = 1.2816


def run_of(need_kwh: float, to_buy_kwh: float, *, weight: float = 1.0, bed: bool = False, log_sd: float = 0.15) -> Any:
    """Three steps, each of half of need and half of what is bought in every draw; the found figures are not asked."""
    structure = Structure(Floor.TWO_LAYERS, Bed.LINKED if bed else Bed.NONE, tank=False)
    house = SimpleNamespace(heat_loss_log_sd=log_sd)
    fit = SimpleNamespace(problem=SimpleNamespace(structure=structure, house=house))

    def outcome(kwh: float) -> Any:
        heat = np.full((3, 1 + DRAWS), kwh / 2)
        heat[:, 0] = 999.0
        return SimpleNamespace(heater_kwh=heat)

    return SimpleNamespace(fit=fit, weight=weight, bare=outcome(need_kwh), built=outcome(to_buy_kwh), count=0.4)


def half_band(answer: BareAnswer) -> tuple[float, float]:
    return answer.avoided_kwh - answer.p10, answer.p90 - answer.avoided_kwh


def test_need_and_avoided_are_means_of_the_draws_over_the_steps_that_are_asked_for() -> None:
    """Two of three steps: 2,000 kWh of need, 800 bought. Five in a hundred of 1,200 and 0.35 of 2,000: √(60² + 7²)."""
    answer = _answer([run_of(2000.0, 800.0)], ROWS, believed=True)
    assert (answer.need_kwh, answer.avoided_kwh) == pytest.approx((2000.0, 1200.0))
    assert half_band(answer) == pytest.approx((P90 * 60.4070, P90 * 60.4070))


def test_a_saving_near_nothing_is_doubted_by_a_share_of_the_need_and_a_loss_like_a_saving() -> None:
    """Need 2,000: avoided 50 by √(2.5² + 7²) = 7.433, nothing by 7, a loss of 500 by √(25² + 7²) = 25.962."""
    for to_buy, sd in ((1950.0, 7.4330), (2000.0, 7.0), (2500.0, 25.9615)):
        assert half_band(_answer([run_of(2000.0, to_buy)], ROWS, believed=True))[0] == pytest.approx(P90 * sd, rel=1e-4)


def test_without_belief_the_range_is_half_as_wide_again_and_never_under_the_doubt_about_the_heat_loss() -> None:
    """1,200 kWh: 1.5 · 60.407 = 90.61 where the heat loss is known to 5 % (60), 1.5 · 180 = 270 where to 15."""
    surer = _answer([run_of(2000.0, 800.0, log_sd=0.05)], ROWS, believed=False)
    assert half_band(surer)[1] == pytest.approx(P90 * 90.6105)
    doubtful = _answer([run_of(2000.0, 800.0)], ROWS, believed=False)
    assert half_band(doubtful)[1] == pytest.approx(P90 * 270.0)


def test_structures_count_by_their_share_and_the_largest_says_how_far_physics_may_be_wrong() -> None:
    """Savings of 1,200 and 400 at 3 to 1: 1,000. The draws' tenths are 400 and 1,200, their distances 600 and 200 count
    at 0.4; with the bed's share larger √(60² + 25²) = 65 joins them, with the other's √(30² + 7²) = 30.81."""
    small, large = run_of(2000.0, 1600.0, weight=0.25), run_of(2000.0, 800.0, weight=0.75, bed=True)
    answer = _answer([small, large], ROWS, believed=True)
    assert (answer.need_kwh, answer.avoided_kwh) == pytest.approx((2000.0, 1000.0))
    assert half_band(answer) == pytest.approx((np.hypot(240.0, P90 * 65.0), np.hypot(80.0, P90 * 65.0)))
    other = replace_weights(small, large)
    assert half_band(_answer(other, ROWS, believed=True))[1] == pytest.approx(np.hypot(240.0, P90 * 30.8058))


def test_near_the_fan_s_setting_the_draws_count_in_full_as_the_largest_structure_reads_it() -> None:
    """Distances of 600 and 200, as they are."""
    small, large = run_of(2000.0, 1600.0, weight=0.25), run_of(2000.0, 800.0, weight=0.75, bed=True)
    large.count = 1.0
    found = half_band(_answer([small, large], ROWS, believed=True))
    assert found == pytest.approx((np.hypot(600.0, P90 * 65.0), np.hypot(200.0, P90 * 65.0)))


def replace_weights(small: Any, large: Any) -> list[Any]:
    """The same at 1 to 3: 600 kWh in the middle."""
    small.weight, large.weight = 0.75, 0.25
    return [small, large]


def test_days_that_the_log_lacks_come_on_top_and_a_tenth_of_them_is_doubted_besides() -> None:
    """500 kWh of need and 300 avoided in them: 2,500 and 1,500; √(75² + 8.75²) = 75.509 for wrong physics and
    30 for their weather. With nothing avoided in them √(60² + 8.75²) = 60.635 and a tenth of a tenth of their need."""
    opened = [OpenDays(np.full(DRAWS, 500.0), np.full(DRAWS, 300.0))]
    answer = _answer([run_of(2000.0, 800.0)], ROWS, believed=True, opened=opened)
    assert (answer.need_kwh, answer.avoided_kwh) == pytest.approx((2500.0, 1500.0))
    assert half_band(answer)[0] == pytest.approx(P90 * np.hypot(75.508692, 30.0))
    hardly = [OpenDays(np.full(DRAWS, 500.0), np.full(DRAWS, 0.0))]
    again = _answer([run_of(2000.0, 800.0)], ROWS, believed=True, opened=hardly)
    assert half_band(again)[0] == pytest.approx(P90 * np.hypot(60.634663, 5.0))


@pytest.mark.parametrize("open_days", [False, True])
def test_the_whole_season_is_its_steps_or_those_that_were_read_with_the_open_days_on_top(
    monkeypatch: pytest.MonkeyPatch, open_days: bool
) -> None:
    """Of the three steps two are the season's and one of them was read: 2,000 and 1,200 kWh by the steps, or 1,000 and
    600 with 500 and 300 of the open days."""
    asked: list[float] = []

    def run(_fit: Any, _figures: Any, _rule: Any, *, winter: Any, span: Any, hold_c: float) -> OpenDays:
        asked.append(hold_c)
        assert (winter, span) == ("a winter", SPAN)
        return OpenDays(np.full(DRAWS, 500.0), np.full(DRAWS, 300.0))

    monkeypatch.setattr(room, "run_open_days", run)
    one = run_of(2000.0, 800.0)
    one.figures = one.read = None
    one.fit.problem.grid = SimpleNamespace(read=np.array([False, True, True]))
    winter: Any = "a winter" if open_days else None
    answer = room._whole([one], ROWS, winter, SPAN, 5.0, believed=True)
    expected = (1500.0, 900.0) if open_days else (2000.0, 1200.0)
    assert (answer.need_kwh, answer.avoided_kwh) == pytest.approx(expected)
    assert asked == [5.0] * open_days
    wider = room._whole([one], ROWS, winter, SPAN, 5.0, believed=False)
    assert wider.p90 > answer.p90


def test_a_mean_and_a_scale_are_by_share() -> None:
    runs = [run_of(0.0, 0.0, weight=0.25), run_of(0.0, 0.0, weight=0.75)]
    assert _mean(runs, [np.array([4.0, 8.0]), np.array([10.0, 10.0])]) == pytest.approx(9.0)
    need = [np.array([100.0]), np.array([100.0])]
    assert _scale(runs, need, [np.array([-40.0]), np.array([-40.0])]) == pytest.approx(40.0)
    assert _scale(runs, need, [np.array([4.0]), np.array([4.0])]) == pytest.approx(10.0)
    assert _blend(runs, lambda r: np.array([r.weight, 4.0])).tolist() == pytest.approx([0.625, 4.0])


def grid_of(steps: int, step_s: float) -> Grid:
    return plain_grid(steps, step_s=step_s)


def test_half_hours_are_averaged_or_added_up_to_hours() -> None:
    values = np.array([1.0, 3.0, 5.0, 9.0])
    assert _hourly_mean(grid_of(4, 1800.0), values).tolist() == [2.0, 7.0]
    assert _hourly_sum(grid_of(4, 1800.0), values, np.ones(4, dtype=bool)).tolist() == [4.0, 14.0]
    assert _hourly_sum(grid_of(4, 1800.0), values, np.array([False, True, True, True])).tolist() == [3.0, 14.0]
    assert _hourly_sum(grid_of(4, 3600.0), values, np.ones(4, dtype=bool)).tolist() == values.tolist()


def test_steps_of_two_hours_stand_in_both_with_half_the_heat_in_each() -> None:
    values = np.array([6.0, 10.0, 2.0])
    assert _hourly_mean(grid_of(3, 7200.0), values).tolist() == [6.0, 6.0, 10.0, 10.0, 2.0, 2.0]
    assert _hourly_mean(grid_of(2, 10800.0), values[:2]).tolist() == [6.0, 6.0, 6.0, 10.0, 10.0, 10.0]
    assert _hourly_sum(grid_of(3, 7200.0), values, np.ones(3, dtype=bool)).tolist() == [3.0, 3.0, 5.0, 5.0, 1.0, 1.0]


def test_steps_beyond_an_hour_lose_no_heat_and_what_is_not_asked_for_adds_none() -> None:
    """Three steps of three hours with 6, 9 and 3 kWh, the middle one not asked for: 2 an hour, nothing, 1 an hour."""
    asked = np.array([True, False, True])
    hours = _hourly_sum(grid_of(3, 10800.0), np.array([6.0, 9.0, 3.0]), asked).tolist()
    assert hours == pytest.approx([2.0, 2.0, 2.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0])
    assert _hourly_sum(grid_of(3, 10800.0), np.zeros(3), np.zeros(3, dtype=bool)).tolist() == []


def test_at_another_hold_sums_and_range_go_by_the_share_of_the_need_that_lies_in_the_steps() -> None:
    """Half-hours of which the season's are the first three, the second unread: of 60 kWh of need in the season 40 were
    read, two thirds. 30 avoided in all, −6 and +12: −4 and +8 about the 20 of the steps that were read."""
    nothing: pd.Series[float] = pd.Series(dtype=float)
    answer = BareAnswer(1.0, 1.0, 1.0, 1.0)
    model = ModelSeason(answer, answer, nothing, nothing, nothing, nothing)
    held = HeldAt(np.array([10.0, 20.0, 30.0, 99.0]), np.array([5.0, 10.0, 15.0, 98.0]), Ranged(30.0, 24.0, 42.0))
    grid = replace(plain_grid(4), indoor_c=np.array([1.0, np.nan, 1.0, 1.0]))
    inside = np.array([True, True, True, False])
    found = _at_hold(model, held, grid, inside, covered=True)
    read, whole = found.valid, found.whole
    assert (read.need_kwh, read.avoided_kwh, read.p10, read.p90) == pytest.approx((40.0, 20.0, 16.0, 28.0))
    assert whole is not None
    assert (whole.need_kwh, whole.avoided_kwh, whole.p10, whole.p90) == pytest.approx((60.0, 30.0, 24.0, 42.0))
    assert found.need_by_hour_kwh.tolist() == [30.0, 30.0]
    assert found.to_buy_by_hour_kwh.tolist() == [15.0, 15.0]
    assert found.bare_free_c is nothing
    little = replace(held, bare_kwh=held.bare_kwh / 100.0, built_kwh=held.built_kwh / 100.0)
    half_a_kwh = _at_hold(model, little, grid, inside, covered=True).valid
    assert (half_a_kwh.need_kwh, half_a_kwh.p10) == pytest.approx((0.4, 0.2 - 4.0))
    assert _at_hold(model, held, grid, inside, covered=False).whole is None


def test_where_nothing_is_needed_at_another_hold_there_is_no_range() -> None:
    nothing: pd.Series[float] = pd.Series(dtype=float)
    answer = BareAnswer(1.0, 1.0, 1.0, 1.0)
    model = ModelSeason(answer, answer, nothing, nothing, nothing, nothing)
    held = HeldAt(np.zeros(4), np.zeros(4), Ranged(0.0, -5.0, 5.0))
    found = _at_hold(model, held, plain_grid(4), np.ones(4, dtype=bool), covered=True)
    assert found.valid == BareAnswer(0.0, 0.0, 0.0, 0.0)


def test_a_structure_of_less_than_two_in_a_hundred_is_not_asked_and_the_others_share_it_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The same known house as two structures: with 1.9 and 98.1 in a hundred it is run once, with 2 and 98 twice, and
    answers as the one house does; its forty days are the whole season."""
    shares: list[float] = []
    true_run = room._run

    def counted(fit: Fit, weight: float, hold_c: float) -> Any:
        shares.append(weight)
        return true_run(fit, weight, hold_c)

    monkeypatch.setattr(room, "_run", counted)
    fit = known_house().voices[0].fit
    ledger = ledger_of(season=WINDOW)
    alone = answer_season([fit], np.ones(1), SPAN, ledger, believed=True)
    for weights, asked in (([0.019, 0.981], [1.0]), ([0.02, 0.98], [0.02, 0.98])):
        shares.clear()
        both = answer_season([fit, fit], np.array(weights), SPAN, ledger, believed=True)
        assert shares == pytest.approx(asked)
        assert both.model.valid.need_kwh == pytest.approx(alone.model.valid.need_kwh)
        assert both.model.valid.p10 == pytest.approx(alone.model.valid.p10, rel=1e-3)
    whole = alone.model.whole
    assert whole is not None
    assert whole.need_kwh == pytest.approx(alone.model.valid.need_kwh), "every step was read"
    assert alone.filled is None
    assert len(alone.model.need_by_hour_kwh) == 24 * DAYS
    assert float(alone.model.need_by_hour_kwh.sum()) == pytest.approx(whole.need_kwh)
    bought = float(alone.model.to_buy_by_hour_kwh.sum())
    assert whole.need_kwh - bought == pytest.approx(whole.avoided_kwh)
    assert float(alone.model.built_free_c.min()) > float(alone.model.bare_free_c.min()), "its tank softens the nights"
    wide = answer_season([fit], np.ones(1), SPAN, ledger, believed=False)
    assert wide.model.valid.p90 > alone.model.valid.p90
    assert wide.told.now.p90 > alone.told.now.p90


def test_a_season_that_begins_before_its_log_is_answered_for_the_steps_that_there_are() -> None:
    """A log of the last days is not the whole season: at other holds nothing is said of it."""
    fit = known_house().voices[0].fit
    early = replace(SPAN, begins_utc=SPAN.begins_utc - pd.Timedelta(days=1, hours=1))
    within = replace(SPAN, begins_utc=SPAN.begins_utc - pd.Timedelta(days=1))
    ledger = ledger_of(season=WINDOW)
    for span, covered in ((early, False), (within, True)):
        answer = answer_season([fit], np.ones(1), span, ledger, believed=True)
        assert {held.whole is not None for held in answer.at_hold.values()} == {covered}
