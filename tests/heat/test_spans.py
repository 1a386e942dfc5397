"""Seasons: names, clock hours, windows over the new year."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.heat.spans import days_inside, in_window, midnight_utc, season_span, seasons_between
from ledger.model.values import MonthDay, Window
from tests.heat.builders import WINTER

ROME = "Europe/Rome"


def hours_of(window: Window, year: int, zone: str = ROME) -> float:
    span = season_span(window, year=year, timezone=zone)
    return (span.ends_utc - span.begins_utc) / pd.Timedelta(hours=1)


def test_a_season_over_the_new_year_is_named_by_both_years() -> None:
    span = season_span(WINTER, year=2025, timezone=ROME)
    assert (span.name, span.first_day, span.last_day) == ("2025-26", date(2025, 10, 1), date(2026, 4, 30))
    assert season_span(WINTER, year=1999, timezone=ROME).name == "1999-00"


def test_a_season_inside_a_year_is_named_by_it() -> None:
    assert season_span(Window(MonthDay(4, 1), MonthDay(10, 31)), year=2026, timezone=ROME).name == "2026"


def test_clock_changes_cost_and_give_their_hour() -> None:
    """October to April in Rome: 212 days · 24 = 5088, one hour more in October and one less in March. October alone:
    31 · 24 + 1 = 745; March alone: 31 · 24 − 1 = 743."""
    assert hours_of(WINTER, 2025) == 5088
    assert hours_of(Window(MonthDay(10, 1), MonthDay(10, 31)), 2025) == 745
    assert hours_of(Window(MonthDay(3, 1), MonthDay(3, 31)), 2026) == 743


def test_a_leap_day_is_an_hour_count_too() -> None:
    assert hours_of(WINTER, 2023) == 5088 + 24
    assert hours_of(Window(MonthDay(2, 1), MonthDay(2, 29)), 2023) == 28 * 24
    assert hours_of(Window(MonthDay(2, 1), MonthDay(2, 29)), 2024) == 29 * 24


def test_a_zone_that_skips_midnight_begins_its_day_an_hour_later() -> None:
    """Beirut, 31 March 2024: the clock went from 00:00 to 01:00 that night; the day began at 22:00 UTC."""
    assert midnight_utc(date(2024, 3, 31), "Asia/Beirut") == pd.Timestamp("2024-03-30T22:00Z")


def test_seasons_that_share_an_hour_with_the_log_are_found() -> None:
    """A log from 15 April 2025 to 1 October 2026, 00:00 local: the tail of 2024-25, 2025-26, the first of 2026-27."""
    found = seasons_between(
        WINTER,
        timezone=ROME,
        first_utc=pd.Timestamp("2025-04-15T00:00Z"),
        last_utc=pd.Timestamp("2026-09-30T22:00Z"),
    )
    assert [s.name for s in found] == ["2024-25", "2025-26", "2026-27"]


def test_days_inside_a_season_are_shared_by_days() -> None:
    """25 April to 4 May: ten days, six of them up to 30 April."""
    assert days_inside(date(2026, 4, 25), date(2026, 5, 4), date(2025, 10, 1), date(2026, 4, 30)) == pytest.approx(0.6)
    assert days_inside(date(2026, 5, 1), date(2026, 5, 4), date(2025, 10, 1), date(2026, 4, 30)) == 0.0


@settings(max_examples=60)
@given(
    begins=st.dates(date(2025, 1, 1), date(2025, 12, 31)),
    ends=st.dates(date(2025, 1, 1), date(2025, 12, 31)),
    day=st.dates(date(2025, 1, 1), date(2025, 12, 31)),
)
def test_every_day_lies_in_a_window_or_in_the_one_that_fills_the_year_up(begins: date, ends: date, day: date) -> None:
    window = Window(MonthDay(begins.month, begins.day), MonthDay(ends.month, ends.day))
    number = np.array([day.month * 100 + day.day])
    inside = bool(in_window(number, window)[0])
    expected = begins <= day <= ends if begins <= ends else day >= begins or day <= ends
    assert inside is expected
