"""The model's hours and range in the typical year, shares of nothing, the longest cold run, days without an hour."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat import typical_log as typical_room
from ledger.heat.by_build import split_by_build, split_notices
from ledger.heat.degree_days import days_of, heating_degree_hours_k_h
from ledger.heat.prepared import YearHours
from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.results import Band
from ledger.heat.season_nights import season_nights
from ledger.heat.spans import season_span
from ledger.heat.typical_hours import logged_enough, stretch_of
from ledger.heat.typical_log import from_model
from ledger.model.house import BareWay, Crop, GddMethod
from ledger.model.values import MonthDay, Window
from tests.heat.builders import build, ledger_of, plain_house, record_of, spread
from tests.running.made import typical

Floats = NDArray[np.float64]

WINDOW = Window(MonthDay(1, 31), MonthDay(2, 1))
JANUARY = Window(MonthDay(1, 10), MonthDay(1, 21))
UNKNOWN = np.nan
LEDGER = ledger_of()


def six_rows(in_season: list[bool], *, step_h: float = 1.0) -> YearHours:
    """Three rows of 31 January and three of 1 February."""
    begins = pd.date_range("2025-01-31T21:00Z", periods=6, freq=pd.Timedelta(hours=step_h))
    return YearHours(
        span=season_span(WINDOW, year=2025, timezone="UTC"),
        begins_utc=begins,
        step_h=step_h,
        day_number=np.array([20119] * 3 + [20120] * 3, dtype=np.int64),
        month=np.array([1, 1, 1, 2, 2, 2], dtype=np.int64),
        month_day=np.array([131] * 3 + [201] * 3, dtype=np.int64),
        dark=np.ones(6, dtype=bool),
        in_season=np.array(in_season),
        in_crop=np.zeros(6, dtype=bool),
        counted=np.array([True, False, False, False, False, False]),
        channels={"indoor": np.full(6, 9.0), "outdoor": np.zeros(6), "sun": np.zeros(6)},
    )


def by_model(year: YearHours, need: list[float], to_buy: list[float]) -> Any:
    model = SimpleNamespace(
        need_by_hour_kwh=pd.Series(need, index=year.begins_utc),
        to_buy_by_hour_kwh=pd.Series(to_buy, index=year.begins_utc),
    )
    backup = SimpleNamespace(by_month_kwh=np.full(12, 5.0))
    heat = SimpleNamespace(need_kwh=np.array([7.0]), added_kwh=np.array([6.0]))
    reckoned = SimpleNamespace(rows=np.array([0]), heat=heat)
    return SimpleNamespace(year=year, way=BareWay.MODEL, model=model, backup=backup, reckoned=reckoned)


def test_by_the_model_the_season_s_hours_stand_of_which_both_runs_are_known() -> None:
    """The first row lies before the season, the third lacks the bare run, the fourth the built one: the second, the
    fifth and the sixth are left, with 10, 30 and 50 kWh needed, of which 10 − 4, 30 − 0 and 50 − 60 are added."""
    year = six_rows([False, True, True, True, True, True])
    need, to_buy = [99.0, 10.0, UNKNOWN, 20.0, 30.0, 50.0], [99.0, 4.0, 5.0, UNKNOWN, 0.0, 60.0]
    found = stretch_of(by_model(year, need, to_buy))
    assert found.rows.tolist() == [1, 4, 5]
    assert found.need_kwh.tolist() == [10.0, 30.0, 50.0]
    assert found.added_kwh.tolist() == [6.0, 30.0, -10.0]
    assert found.counted_h.tolist()[:2] == [2.0, 3.0]
    assert found.known_h.tolist()[:2] == [1.0, 2.0]
    assert found.backup_by_month_kwh.tolist() == [0.0] * 12, "the model has taken the heater off already"


def test_rows_of_two_hours_stand_for_two() -> None:
    year = six_rows([True] * 6, step_h=2.0)
    work = by_model(year, [1.0] * 6, [0.0] * 6)
    hours = pd.date_range(year.begins_utc[0], periods=12, freq="h")
    work.model.need_by_hour_kwh = pd.Series(np.arange(12.0), index=hours)
    work.model.to_buy_by_hour_kwh = pd.Series(0.0, index=hours)
    found = stretch_of(work)
    assert found.need_kwh.tolist() == [1.0, 5.0, 9.0, 13.0, 17.0, 21.0]
    assert (found.counted_h.tolist()[:2], found.known_h.tolist()[:2]) == ([6.0, 6.0], [6.0, 6.0])


def test_by_another_way_the_counted_hours_stand_and_the_backup_is_still_to_be_taken_off() -> None:
    work = by_model(six_rows([True] * 6), [1.0] * 6, [0.0] * 6)
    for other in (
        SimpleNamespace(**{**vars(work), "way": BareWay.TWIN}),
        SimpleNamespace(**{**vars(work), "model": None}),
    ):
        lifted: Any = other
        found = stretch_of(lifted)
        assert (found.rows.tolist(), found.need_kwh.tolist(), found.added_kwh.tolist()) == ([0], [7.0], [6.0])
        assert (found.counted_h.tolist()[:2], found.known_h.tolist()[:2]) == ([1.0, 0.0], [1.0, 0.0])
        assert found.backup_by_month_kwh.tolist() == [5.0] * 12


@pytest.mark.parametrize(
    ("known_h", "counted_h", "enough"),
    [(120.0, 400.0, True), (119.0, 400.0, False), (90.0, 100.0, True), (89.0, 100.0, False), (0.0, 0.0, False),
     (1.0, 1.0, True)],
)  # fmt: skip
def test_a_month_is_logged_by_120_hours_or_nine_tenths_of_it(known_h: float, counted_h: float, enough: bool) -> None:
    assert logged_enough(np.array([known_h]), np.array([counted_h])).tolist() == [enough]


def range_by_model(
    monkeypatch: pytest.MonkeyPatch,
    avoided_kwh: float,
    *seasons: Any,
    missing_share: float = 0.0,
    missing: tuple[int, ...] = (),
) -> tuple[float, float]:
    """The typical year's range where its seasons have these."""
    heat = replace(typical([2000.0], [2000.0 - avoided_kwh]), avoided_kwh=avoided_kwh)
    monkeypatch.setattr(typical_room, "_by_log", lambda *_: (heat, None))
    monkeypatch.setattr(typical_room, "model_curve", lambda _ledger, _loss, found: found)
    monkeypatch.setattr(typical_room, "missing_months", lambda _logged: ())
    logged: Any = SimpleNamespace(
        stretches=[SimpleNamespace(work=SimpleNamespace(heat=one)) for one in seasons],
        months_missing=missing,
        missing_share=missing_share,
    )
    nothing: Any = None
    found = from_model(LEDGER, nothing, logged, nothing).heat
    assert found is not None
    assert found.bare == "model"
    return found.avoided_range_kwh.p10, found.avoided_range_kwh.p90


def season(kwh: float, below: float, above: float, *, whole: tuple[float, float, float] | None = None) -> Any:
    """Avoided in the hours that were read, and in the whole season, with distances to their tenths."""
    entire = None if whole is None else Band(whole[0] - whole[1], whole[0] + whole[2])
    return SimpleNamespace(
        avoided_kwh=kwh,
        avoided_range_kwh=Band(kwh - below, kwh + above),
        avoided_whole_season_kwh=None if whole is None else whole[0],
        avoided_whole_season_range_kwh=entire,
    )


def test_by_the_model_the_range_lies_about_the_year_s_saving_as_the_seasons_lie_about_theirs(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """100 and 300 below, 50 and 150 above: 200 and 100 in the mean, about 1,000."""
    two = (season(900.0, 100.0, 50.0), season(1300.0, 300.0, 150.0))
    assert range_by_model(monkeypatch, 1000.0, *two) == pytest.approx((800.0, 1100.0))
    sure = season(900.0, 0.0, 0.0)
    assert range_by_model(monkeypatch, 1000.0, sure) == (1000.0, 1000.0), "what is sure stays so"
    assert range_by_model(monkeypatch, 1000.0, season(900.0, -9.0, -9.0)) == (1000.0, 1000.0), "never inside out"


def test_months_that_nobody_logged_widen_it_upwards_by_what_they_may_save_and_a_cost_by_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A quarter of the hours besides: 1,000 + 50 + 250. A house that costs 40 kWh saves none there."""
    one = season(900.0, 100.0, 50.0, whole=(1000.0, 10.0, 20.0))
    found = range_by_model(monkeypatch, 1000.0, one, missing_share=0.25, missing=(2,))
    assert found == pytest.approx((900.0, 1300.0))
    found = range_by_model(monkeypatch, -40.0, one, missing_share=0.25, missing=(2,))
    assert found == pytest.approx((-140.0, 10.0))


def test_where_no_month_is_missing_the_whole_season_s_range_is_taken_if_it_is_known(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    whole = season(900.0, 100.0, 50.0, whole=(1000.0, 10.0, 20.0))
    assert range_by_model(monkeypatch, 1000.0, whole) == pytest.approx((990.0, 1020.0))
    unranged = season(900.0, 100.0, 50.0)
    unranged.avoided_whole_season_kwh = 1000.0
    assert range_by_model(monkeypatch, 1000.0, unranged) == pytest.approx((900.0, 1050.0))


def test_a_build_that_takes_no_share_of_the_saving_has_nothing_of_it() -> None:
    """Shares of 0 and 0.5, of 0 alone, and of none: a share of nothing splits nothing."""
    hour = np.arange(288) % 24
    indoor = np.where((hour >= 18) | (hour < 8), 3.0, 4.0)
    record = record_of({"indoor": indoor, "outdoor": np.full(288, -3.0)}, first="2026-01-10T00:00+01:00")

    def split(*shares: float | None) -> list[float | None]:
        builds = tuple(build(f"store {n}", share_of_saving=share) for n, share in enumerate(shares))
        ledger = ledger_of(plain_house(100.0, lift=spread(2.0)), season=JANUARY, builds=builds)
        return list(split_by_build(heat_work(prepare(record, ledger), ledger), ledger).parts.values())

    (whole,) = split(None)
    assert whole is not None
    assert whole > 10.0
    assert split(0.0, 0.5) == pytest.approx([0.0, whole])
    assert split(0.25, 0.75) == pytest.approx([0.25 * whole, 0.75 * whole])
    assert split(0.125, 0.25) == pytest.approx([whole / 3.0, 2.0 * whole / 3.0])
    assert split(0.0, 0.0) == [None, None]
    assert split(None, 0.5) == [None, None]


def test_only_what_is_not_split_between_several_is_told() -> None:
    assert split_notices({"tubes": None}) == ()
    assert split_notices({"tubes": 1.0, "tank": 0.0}) == ()
    (notice,) = split_notices({"tubes": None, "tank": None, "layer": 5.0})
    assert notice.path == "builds.avoided_kwh"
    assert "between tubes, tank: " in notice.text


def test_of_several_cold_runs_the_longest_is_told_in_hours() -> None:
    """Four hours, one and nine below the hold of 5 °C; at the hold itself it is not below; a hole ends a
    run."""
    indoor = np.full(240, 6.0)
    indoor[10:14] = indoor[30:31] = indoor[50:59] = 4.0
    indoor[61:81] = 5.0

    def told(indoor_c: Floats) -> float:
        record = record_of({"indoor": indoor_c, "outdoor": np.full(240, -5.0)}, first="2026-01-02T12:00+01:00")
        years = prepare(record, LEDGER).years
        (one,) = season_nights(years, hold_c=5.0, timezone="Europe/Rome", typical=None)
        return one.longest_below_hold_h

    assert told(indoor) == 9.0
    indoor[53] = UNKNOWN
    assert told(indoor) == 5.0
    indoor[10:60] = 6.0
    assert told(indoor) == 0.0
    indoor[238:] = 4.0
    assert told(indoor) == 2.0, "the log's last hour ends a run"


def test_days_without_a_valid_hour_are_no_days_in_any_column() -> None:
    crop = Crop(base_c=10.0, ceiling_c=None, method=GddMethod.HOURLY, window=WINDOW)
    found = days_of(np.full(48, UNKNOWN), np.repeat([1, 2], 24), crop, step_h=1.0)
    assert [len(c) for c in (found.day_number, found.highest_c, found.lowest_c, found.hourly_k_d)] == [0, 0, 0, 0]
    few = days_of(np.r_[np.full(19, 12.0), np.full(5, UNKNOWN)], np.ones(24, dtype=np.int64), crop, step_h=1.0)
    assert len(few.day_number) == 0


def test_a_cold_hour_counts_by_its_length_and_one_that_is_unread_or_warm_by_nothing() -> None:
    """3 K and 1 K below a base of 5 °C in rows of two hours."""
    assert heating_degree_hours_k_h(np.array([2.0, 4.0, UNKNOWN, 5.0, 9.0]), base_c=5.0, step_h=2.0) == pytest.approx(
        8.0
    )
