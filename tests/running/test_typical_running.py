"""Running cost and upkeep of a typical year, followed by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from typing import TypeAlias

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import Notice
from ledger.model.book import RunningLine
from ledger.model.build import Upkeep
from ledger.model.values import MoneyRange, MonthDay, Window
from ledger.money.book_spans import account_span, days_covered
from ledger.money.running import (
    RunningBasis,
    UpkeepBasis,
    fan_energy_kwh,
    typical_running,
    typical_upkeep,
)
from ledger.series.record import HourlyRecord, HoursByReason, LogFigures
from tests.known import known_float
from tests.money.made import SEASON, build, item
from tests.running.made import ledger_with, line

TUBES = build("tubes", item("3850"))
TANK = build("tank", item("900"))


def day(text: str) -> date:
    return date.fromisoformat(text)


def codes(notices: tuple[Notice, ...] | tuple[Notice, ...]) -> set[str]:
    return {n.code for n in notices}


def test_a_month_covered_in_part_is_made_whole_and_a_line_over_two_months_is_split_by_its_days() -> None:
    """Line 1: 30 kWh on 10 days, 27 January to 5 February: 5 days and 15 kWh in each month.
    Line 2: 12 kWh on 6 to 17 February (12 days).
    January: 15 kWh ÷ 5 days · 31 = 93; February: (15 + 12) ÷ 17 · 28 = 44.470588...; at 0.20: 18.6 + 8.894117...
    """
    ledger = ledger_with(
        TUBES,
        price=0.20,
        running=(
            line("tubes", day("2026-01-27"), day("2026-02-05"), kwh=30.0),
            line("tubes", day("2026-02-06"), day("2026-02-17"), kwh=12.0),
        ),
    )
    year, notices = typical_running(ledger, ledger.builds, fan_kwh=500.0)
    assert year.basis is RunningBasis.BOOK
    assert year.energy_kwh == pytest.approx(93.0 + 27.0 / 17.0 * 28.0)
    assert year.total == pytest.approx(0.20 * (93.0 + 27.0 / 17.0 * 28.0))
    assert year.months_without_line == (3, 4, 5, 6, 7, 8, 9, 10, 11, 12)
    assert codes(notices) == {"running-months-missing"}


def test_two_lines_over_the_same_days_count_those_days_once() -> None:
    """Fan 31 kWh and pump 62 kWh, both on all days of January: 93 kWh ÷ 31 days · 31."""
    january = (day("2026-01-01"), day("2026-01-31"))
    ledger = ledger_with(
        TUBES,
        price=0.10,
        running=(line("tubes", *january, kwh=31.0), line("tubes", *january, kwh=62.0, what="pump electricity")),
    )
    assert typical_running(ledger, ledger.builds, fan_kwh=None)[0].total == pytest.approx(9.3)


def test_the_same_month_of_two_winters_is_averaged_by_its_days() -> None:
    """January 2026: 31 kWh on 31 days; January 2027: 30 kWh on 10 days. 61 ÷ 41 days · 31."""
    ledger = ledger_with(
        TUBES,
        price=1.0,
        running=(
            line("tubes", day("2026-01-01"), day("2026-01-31"), kwh=31.0),
            line("tubes", day("2027-01-01"), day("2027-01-10"), kwh=30.0),
        ),
    )
    assert typical_running(ledger, ledger.builds, fan_kwh=None)[0].total == pytest.approx(61.0 / 41.0 * 31.0)


def test_energy_is_priced_on_the_base_date_whatever_was_paid_then() -> None:
    """41 kWh paid with 7.38 in January: the typical year takes 41 · 0.1347 = 5.5227."""
    january = line("tubes", day("2026-01-01"), day("2026-01-31"), kwh=41.0, amount="7.38")
    ledger = ledger_with(TUBES, price=0.1347, running=(january,))
    year, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert year.energy_cost == pytest.approx(5.5227)
    assert year.other_cost == 0.0


def test_with_no_price_of_electricity_the_money_paid_stands() -> None:
    january = line("tubes", day("2026-01-01"), day("2026-01-31"), kwh=41.0, amount="7.38")
    ledger = replace(ledger_with(TUBES, running=(january,)), sources=())
    year, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert year.total == pytest.approx(7.38)


def test_own_work_is_in_the_running_cost_and_apart() -> None:
    """1.5 h on 15 of January's 31 days: 3.1 h at 15 = 46.50, beside 20 kWh ÷ 15 · 31 · 0.30 = 12.40."""
    fan = line("tubes", day("2026-01-01"), day("2026-01-15"), kwh=20.0, hours=1.5)
    ledger = ledger_with(TUBES, price=0.30, labour_rate=15.0, running=(fan,))
    year, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert year.own_hours == pytest.approx(3.1)
    assert year.labour_cost == pytest.approx(46.5)
    assert year.total == pytest.approx(46.5 + 12.4)


def test_an_amount_without_energy_is_no_running_cost() -> None:
    repair = line("tubes", day("2026-01-15"), day("2026-01-15"), amount="180", what="new bearing")
    ledger = ledger_with(TUBES, price=0.20, running=(repair,))
    year, notices = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert year.total is None
    assert codes(notices) == {"running-cost-unknown"}


def test_without_a_line_the_fan_channel_speaks_then_what_was_expected_then_nobody() -> None:
    ledger = ledger_with(TUBES, price=0.20)
    fan, _ = typical_running(ledger, ledger.builds, fan_kwh=150.0)
    assert fan.basis is RunningBasis.FAN_CHANNEL
    assert fan.total == pytest.approx(30.0)
    hoping = ledger_with(replace(TUBES, expected_running=MoneyRange.sure("34")), price=0.20)
    expected, _ = typical_running(hoping, hoping.builds, fan_kwh=None)
    assert (expected.basis, expected.total) == (RunningBasis.EXPECTED, 34.0)
    unknown, notices = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert (unknown.basis, unknown.total) == (RunningBasis.UNKNOWN, None)
    assert codes(notices) == {"running-cost-unknown"}


def test_a_build_without_lines_beside_one_with_lines_is_named() -> None:
    january = line("tubes", day("2026-01-01"), day("2026-01-31"), kwh=10.0)
    ledger = ledger_with(TUBES, TANK, price=0.20, running=(january,))
    year, notices = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert year.total == pytest.approx(2.0)
    assert "running-build-silent" in codes(notices)


def test_the_house_and_the_backup_stay_out_of_the_worth() -> None:
    january = (day("2026-01-01"), day("2026-01-31"))
    ledger = ledger_with(
        TUBES,
        price=0.20,
        running=(
            line("house", *january, kwh=900.0),
            line("plug heater", *january, kwh=400.0),
            line("tubes", *january, kwh=10.0),
        ),
    )
    assert typical_running(ledger, ledger.builds, fan_kwh=None)[0].total == pytest.approx(2.0)


Days: TypeAlias = tuple[int, int, float]  # first day of a line after the start, how many days, energy [kWh]


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 700), st.integers(1, 60), st.floats(0, 100)), min_size=1, max_size=6),
    st.lists(st.tuples(st.integers(0, 700), st.integers(1, 60), st.floats(0, 100)), min_size=1, max_size=6),
)
def test_builds_one_by_one_add_up_to_the_builds_together(tubes: list[Days], tank: list[Days]) -> None:
    def lines(name: str, rows: list[Days]) -> tuple[RunningLine, ...]:
        start = date(2025, 10, 1)
        return tuple(
            line(name, start + timedelta(days=a), start + timedelta(days=a + n - 1), kwh=kwh) for a, n, kwh in rows
        )

    ledger = ledger_with(TUBES, TANK, price=0.20, running=lines("tubes", tubes) + lines("tank", tank))
    together, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    apart = [known_float(typical_running(ledger, (b,), fan_kwh=None)[0].total) for b in ledger.builds]
    assert together.total == pytest.approx(sum(apart), rel=1e-12, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 28), st.floats(0.1, 500))
def test_cutting_a_line_in_two_changes_nothing(cut: int, kwh: float) -> None:
    """Energy spread evenly over the same days is the same energy."""
    first, last = day("2026-01-01"), day("2026-01-31")
    middle = first + timedelta(days=cut)
    whole = (line("tubes", first, last, kwh=kwh),)
    parts = (
        line("tubes", first, middle - timedelta(days=1), kwh=kwh * cut / 31),
        line("tubes", middle, last, kwh=kwh * (31 - cut) / 31),
    )
    one, two = (
        typical_running(ledger_with(TUBES, price=0.2, running=r), (TUBES,), fan_kwh=None)[0] for r in (whole, parts)
    )
    assert one.total == pytest.approx(two.total, rel=1e-9)


def test_a_line_that_ends_before_it_begins_is_our_bug() -> None:
    with pytest.raises(ValueError, match="ends before it begins"):
        list(days_covered(line("tubes", day("2026-01-02"), day("2026-01-01"), kwh=1.0)))


WITH_UPKEEP = replace(TUBES, upkeep=(Upkeep("belt", MoneyRange.sure("25")), Upkeep("filter", MoneyRange.sure("15"))))


def winters(*years: int, repair: dict[int, str]) -> tuple[RunningLine, ...]:
    """A fan line through each heating season, and repairs in some Februaries."""
    book = [line("tubes", date(y, 10, 1), date(y + 1, 4, 30), kwh=200.0) for y in years]
    for y, amount in repair.items():
        book.append(line("tubes", date(y + 1, 2, 10), date(y + 1, 2, 10), amount=amount, what="repair", hours=2.0))
    return tuple(book)


def test_expected_upkeep_stands_until_three_seasons_are_noted() -> None:
    ledger = ledger_with(WITH_UPKEEP, price=0.2, running=winters(2023, 2024, repair={2023: "180"}))
    year = typical_upkeep(ledger, ledger.builds)
    assert (year.basis, year.total, year.seasons_noted) == (UpkeepBasis.EXPECTED, 40.0, 2)


def test_from_three_seasons_on_upkeep_is_the_mean_of_the_noted_quiet_ones_included() -> None:
    """Repairs of 180 and 60, each with 2 h at 15, in three winters: (180 + 60)/3 = 80 and 4·15/3 = 20."""
    book = winters(2023, 2024, 2025, repair={2023: "180", 2025: "60"})
    ledger = ledger_with(WITH_UPKEEP, price=0.2, labour_rate=15.0, running=book)
    year = typical_upkeep(ledger, ledger.builds)
    assert (year.basis, year.seasons_noted) == (UpkeepBasis.NOTED, 3)
    assert year.cost == pytest.approx(80.0)
    assert year.labour_cost == pytest.approx(20.0)


def test_a_winter_still_running_is_not_a_noted_season() -> None:
    """The third book ends in December: its winter is not over, so the expected upkeep stands."""
    book = (*winters(2023, 2024, repair={}), line("tubes", day("2025-10-01"), day("2025-12-31"), kwh=60.0))
    ledger = ledger_with(WITH_UPKEEP, price=0.2, running=book)
    assert typical_upkeep(ledger, ledger.builds).seasons_noted == 2


@pytest.mark.parametrize(
    ("window", "year", "expected"),
    [
        (SEASON, 2025, ("2025-26", "2025-10-01", "2026-04-30", "2026-09-30")),
        (Window(MonthDay(4, 1), MonthDay(10, 31)), 2026, ("2026", "2026-04-01", "2026-10-31", "2027-03-31")),
    ],
)
def test_an_account_runs_to_the_day_before_the_next_season(
    window: Window, year: int, expected: tuple[str, ...]
) -> None:
    span = account_span(year, window, timezone="Europe/Rome")
    assert (span.season, str(span.first), str(span.heat_last), str(span.last)) == expected


def record_of(fan_w: pd.Series) -> HourlyRecord:
    none = HoursByReason()
    figures = LogFigures(None, None, len(fan_w), 0, None, none, none, {}, ())
    frame = pd.DataFrame({"fan_w": fan_w})
    return HourlyRecord(frame, pd.Series("", index=fan_w.index), frame, 60.0, "UTC", figures)


def test_a_fan_logged_for_a_tenth_of_a_season_is_made_whole_by_its_cover() -> None:
    """Season of 10 days (240 h); 24 h logged at 50 W = 1.2 kWh, 12 h of them also run outside: not counted.
    1.2 kWh ÷ (24/240) = 12 kWh."""
    season = Window(MonthDay(1, 1), MonthDay(1, 10))
    hours = pd.date_range("2026-01-10T00:00", periods=36, freq="h", tz="UTC")
    assert fan_energy_kwh(record_of(pd.Series(50.0, index=hours)), season) == pytest.approx(12.0)


def test_no_fan_in_watts_gives_no_energy() -> None:
    season = Window(MonthDay(1, 1), MonthDay(1, 10))
    hours = pd.date_range("2026-01-05T00:00", periods=5, freq="h", tz="UTC")
    assert fan_energy_kwh(record_of(pd.Series(np.nan, index=hours)), season) is None
    record = record_of(pd.Series(50.0, index=hours))
    assert fan_energy_kwh(replace(record, hours=record.hours.rename(columns={"fan_w": "fan_on"})), season) is None


def test_money_ranges_are_held_as_decimals_and_come_out_as_floats() -> None:
    expecting = replace(TUBES, expected_running=MoneyRange(Decimal("30.10"), Decimal("20"), Decimal("50")))
    ledger = ledger_with(expecting, price=0.2)
    year, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert year.total == pytest.approx(30.10)


def test_a_build_that_expects_its_running_stands_beside_one_with_lines() -> None:
    """10 kWh of January at 0.20 and 34 a year expected: 36."""
    january = line("tubes", day("2026-01-01"), day("2026-01-31"), kwh=10.0)
    expecting = replace(TANK, expected_running=MoneyRange.sure("34"))
    ledger = ledger_with(TUBES, expecting, price=0.20, running=(january,))
    year, notices = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert year.total == pytest.approx(36.0)
    assert "running-build-silent" not in codes(notices)


def test_a_line_that_nothing_prices_is_left_out_and_named() -> None:
    january = line("tubes", day("2026-01-01"), day("2026-01-31"), kwh=10.0)
    ledger = replace(ledger_with(TUBES, running=(january,)), sources=())
    year, notices = typical_running(ledger, ledger.builds, fan_kwh=None)
    assert year.total == 0.0
    assert "running-line-without-price" in codes(notices)


def test_every_month_noted_leaves_no_month_to_name() -> None:
    lines = tuple(line("tubes", date(2026, m, 1), date(2026, m, 28), kwh=1.0) for m in range(1, 13))
    year, notices = typical_running(ledger_with(TUBES, price=1.0, running=lines), (TUBES,), fan_kwh=None)
    assert year.months_without_line == ()
    assert notices == ()
    assert year.energy_kwh == pytest.approx(365 / 28)
