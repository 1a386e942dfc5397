"""Records as they come: coarser than an hour, in odd zones, south of the equator, empty, without a channel."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pandas as pd
import pytest

from ledger.heat.reckoning import prepare, reckon
from ledger.heat.results import SeasonHeat, TypicalHeat
from ledger.model.house import Site
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from ledger.series.record import HourlyRecord
from tests.heat.builders import ledger_of, plain_house, record_of, spread

JANUARY = Window(MonthDay(1, 1), MonthDay(1, 31))


def ledger(site: Site | None = None, season: Window = JANUARY) -> Ledger:
    found = ledger_of(plain_house(100.0, lift=spread(2.0)), season=season)
    return replace(found, site=site) if site else found


def flat(first: str, hours: int, **more: float) -> HourlyRecord:
    values = {"indoor": 3.0, "outdoor": -3.0, **more}
    return record_of({name: np.full(hours, value) for name, value in values.items()}, first=first)


def test_a_record_by_three_hours_keeps_its_step_and_counts_hours_not_rows() -> None:
    """31 days · 8 rows of 3 h. Load 0.8 an hour; within the width of a row the dark hours are those of hourly rows."""
    fine = flat("2026-01-01T00:00+01:00", 31 * 24)
    coarse = replace(fine, hours=fine.hours.iloc[::3], step_minutes=180.0)
    hourly, by_three = (reckon(prepare(r, ledger()), ledger()).seasons[0] for r in (fine, coarse))
    assert by_three.hours == by_three.hours_valid == 744
    assert by_three.coverage == 1.0
    assert by_three.rungs.gross_kwh == pytest.approx(0.6 * 744)
    assert by_three.rungs.load_kwh == pytest.approx(0.8 * by_three.hours_counted)
    assert by_three.hours_counted == pytest.approx(hourly.hours_counted, abs=31 * 1.5)


def test_a_zone_half_an_hour_off_keeps_its_own_midnight() -> None:
    """A clock at UTC+5:30: 744 hours of January that begin at half past in UTC, or on the hour."""
    site = Site(27.0, 88.3, 2000.0, "Asia/Kolkata")
    for first in ("2026-01-01T00:00+05:30", "2026-01-01T00:30+05:30"):
        season = reckon(prepare(flat(first, 744), ledger(site)), ledger(site)).seasons[0]
        assert season.hours == 744
        assert season.hours_valid in (743, 744)


def test_south_of_the_equator_a_season_lies_in_one_year() -> None:
    site = Site(-43.5, 170.0, 500.0, "Pacific/Auckland")
    winter = Window(MonthDay(4, 1), MonthDay(10, 31))
    season = reckon(
        prepare(flat("2026-04-01T00:00+13:00", 214 * 24), ledger(site, winter)), ledger(site, winter)
    ).seasons
    assert [s.season for s in season] == ["2026"]
    assert season[0].hours == 214 * 24  # one hour back in April, one forward in September


def test_the_year_that_a_clock_change_lengthens_is_covered_by_its_readings() -> None:
    season_window = Window(MonthDay(10, 1), MonthDay(10, 31))
    found = ledger(season=season_window)
    season = reckon(prepare(flat("2025-10-01T00:00+02:00", 745), found), found).seasons[0]
    assert (season.hours, season.hours_valid) == (745, 745)


def test_an_empty_record_and_no_record_answer_with_no_season() -> None:
    empty = flat("2026-01-01T00:00+01:00", 24)
    empty = replace(empty, hours=empty.hours.iloc[:0])
    for record in (empty, None):
        answer = reckon(prepare(record, ledger()), ledger())
        assert answer.seasons == ()
        assert answer.typical is None


def test_a_record_without_an_indoor_channel_has_seasons_of_nothing_and_says_so() -> None:
    record = record_of({"outdoor": np.full(744, -3.0)}, first="2026-01-01T00:00+01:00")
    answer = reckon(prepare(record, ledger()), ledger())
    season = answer.seasons[0]
    assert (season.hours_valid, season.need_kwh, season.passive_fraction, season.indoor_min_c) == (0, 0.0, None, None)
    assert season.need_whole_season_kwh is None
    assert answer.typical is None
    assert {"cover", "no-typical-year"} <= {n.code for n in answer.notices}


def test_a_channel_of_another_name_does_not_disturb() -> None:
    record = flat("2026-01-01T00:00+01:00", 744, humidity=80.0, tube_out=9.0)
    assert reckon(prepare(record, ledger()), ledger()).seasons[0].hours_valid == 744


def test_nothing_in_an_answer_is_infinite_or_not_a_number() -> None:
    record = flat("2026-01-01T00:00+01:00", 744)
    record.hours.iloc[100:300] = np.nan
    answer = reckon(prepare(record, ledger()), ledger())
    year = answer.typical
    assert year is not None
    numbers = [v for v in vars_of(answer.seasons[0]) if isinstance(v, float)]
    numbers += [v for v in vars_of(year) if isinstance(v, float)]
    assert numbers
    assert all(np.isfinite(v) for v in numbers)
    assert isinstance(year.profile.index, pd.DatetimeIndex)


def vars_of(answer: SeasonHeat | TypicalHeat) -> list[object]:
    return [getattr(answer, field.name) for field in fields(answer)]
