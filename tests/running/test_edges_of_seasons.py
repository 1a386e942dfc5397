"""What falls on the first or the last day of a season or of its account is in it."""

from __future__ import annotations

import pandas as pd
import pytest

from ledger.model.values import MonthDay, Window
from ledger.money.running import UpkeepBasis, fan_energy_kwh, typical_upkeep
from tests.running.made import ledger_with, line
from tests.running.test_typical_running import WITH_UPKEEP, day, record_of, winters


def test_repairs_on_the_first_and_on_the_last_day_of_the_accounts_count() -> None:
    """90 on 1 October 2023 and 60 on 30 September 2026, in three accounts: 150/3 = 50."""
    ends = tuple(
        line("tubes", day(d), day(d), amount=a, what="repair") for d, a in (("2023-10-01", "90"), ("2026-09-30", "60"))
    )
    ledger = ledger_with(WITH_UPKEEP, price=0.2, running=(*winters(2023, 2024, 2025, repair={}), *ends))
    year = typical_upkeep(ledger, ledger.builds)
    assert (year.basis, year.seasons_noted) == (UpkeepBasis.NOTED, 3)
    assert year.cost == pytest.approx(50.0)


def test_a_fan_logged_after_new_year_belongs_to_the_season_that_began_before_it() -> None:
    """Season of 31 December to 3 January (4 days = 96 h); 24 h of 2 January at 100 W = 2.4 kWh ÷ (24/96) = 9.6 kWh."""
    season = Window(MonthDay(12, 31), MonthDay(1, 3))
    hours = pd.date_range("2026-01-02T00:00", periods=24, freq="h", tz="UTC")
    assert fan_energy_kwh(record_of(pd.Series(100.0, index=hours)), season) == pytest.approx(9.6)


def test_of_two_seasons_each_counts_as_far_as_it_was_logged() -> None:
    """Season of 10 days (240 h): 24 h at 100 W in one winter, 48 h at 50 W in the next: 2.4 + 2.4 = 4.8 kWh;
    ÷ (24/240 + 48/240) = 16 kWh. The first and the last day of a season are in it."""
    season = Window(MonthDay(1, 1), MonthDay(1, 10))
    first = pd.date_range("2025-01-10T00:00", periods=24, freq="h", tz="UTC")
    second = pd.date_range("2026-01-01T00:00", periods=48, freq="h", tz="UTC")
    watts = pd.concat([pd.Series(100.0, index=first), pd.Series(50.0, index=second)])
    assert fan_energy_kwh(record_of(watts), season) == pytest.approx(16.0)


def test_a_single_hour_of_fan_stands_for_the_season() -> None:
    """100 W for one hour of a season of 10 days (240 h): 0.1 kWh ÷ (1/240) = 24 kWh."""
    hour = pd.date_range("2026-01-05T00:00", periods=1, freq="h", tz="UTC")
    season = Window(MonthDay(1, 1), MonthDay(1, 10))
    assert fan_energy_kwh(record_of(pd.Series(100.0, index=hour)), season) == pytest.approx(24.0)
