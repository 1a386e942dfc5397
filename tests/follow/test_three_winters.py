"""A warm, a usual and a hard winter: prices rise, a fan is replaced, and every figure is followed by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from ledger.model.heaters import Tariff
from ledger.money.results import SeasonAccount, TypicalMoney
from ledger.money.season_account import season_accounts
from ledger.money.season_track import Difference, SeasonTrack, season_tracks
from tests.known import known
from tests.money.made import build, heater, item, sure
from tests.running.made import ledger_with, line, season

PRICES = (Tariff(date(2026, 10, 1), sure(0.25)), Tariff(date(2027, 10, 1), sure(0.30)))
BOOK = (
    line("tubes", date(2025, 12, 1), date(2026, 3, 31), kwh=100.0),
    line("tubes", date(2026, 12, 1), date(2027, 3, 31), kwh=100.0),
    line("tubes", date(2027, 1, 9), date(2027, 1, 9), amount="75", what="new fan"),
    line("tubes", date(2027, 12, 1), date(2028, 2, 29), kwh=80.0, what="Fan  electricity"),
    line("tubes", date(2028, 3, 1), date(2028, 3, 31), kwh=20.0, hours=0.5),
)
PLAN = TypicalMoney(running_cost=22.0, upkeep_cost=10.0, avoided_cost=180.0, net_saving=148.0)
WINTERS = (season("2025-26", 600.0), season("2026-27", 800.0), replace(season("2027-28", 1000.0), gdd_indoor_k_d=500.0))


def _followed() -> tuple[tuple[SeasonTrack, ...], tuple[SeasonAccount, ...]]:
    ledger = ledger_with(build("tubes", item("1000")), sources=(heater(tariffs=PRICES),), running=BOOK)
    accounts, _ = season_accounts(ledger, WINTERS, typical=None, net_capital=1000.0)
    return season_tracks(ledger, WINTERS, accounts, plan_kwh=800.0, plan=PLAN), accounts


def test_three_winters_are_followed_by_hand() -> None:
    """Price of a kWh on the last day of each winter: 0.20, 0.25, 0.30; the fan's by the day of its line, the same.

    2025-26   600 · 0.20 = 120, fan 100 · 0.20 = 20                left over 100   recovered 100   left 900
    2026-27   800 · 0.25 = 200, fan 25, a new fan 75               left over 100   recovered 200   left 800
    2027-28   1000 · 0.30 = 300, fan 80 · 0.30 + 20 · 0.30 = 30    left over 270   recovered 470   left 530

    Pace: 900 / 100 = 9 years from 30 September 2026; 800 / 100 = 8 years from 30 September 2027, the same day;
    530 / (470 / 3) = 3.38298 years = 1236 days from 30 September 2028: 18 February 2032.
    """
    tracks, accounts = _followed()
    assert [a.net_saving for a in accounts] == [pytest.approx(x) for x in (100.0, 100.0, 270.0)]
    assert [a.recovered_to_date for a in accounts] == [pytest.approx(x) for x in (100.0, 200.0, 470.0)]
    assert [known(t.pace).years_to_go for t in tracks] == [pytest.approx(x) for x in (9.0, 8.0, 530 / (470 / 3))]
    assert [known(t.pace).paid_on for t in tracks] == ["2035-09-30", "2035-09-30", "2032-02-18"]
    assert [t.cost_per_kwh_avoided for t in tracks] == [pytest.approx(x) for x in (20 / 600, 100 / 800, 30 / 1000)]
    assert [t.cost_per_gdd_indoor for t in tracks] == [None, None, pytest.approx(30 / 500)]


def test_recovered_to_date_is_the_sum_of_the_net_savings_to_the_cent() -> None:
    _, accounts = _followed()
    total = 0.0
    for account in accounts:
        total += known(account.net_saving)
        recovered = known(account.recovered_to_date)
        assert round(recovered, 2) == round(total, 2)
        assert round(recovered + known(account.still_to_recover), 2) == 1000.00


def test_the_lines_of_a_winter_are_told_one_by_one_and_make_its_cost() -> None:
    """Two lines of the last winter are alike but for case and blanks: 80 + 20 kWh · 0.30 = 30, half an hour of work."""
    tracks, accounts = _followed()
    usual = [(x.what, x.lines, x.cost, x.energy_kwh) for x in tracks[1].lines]
    assert usual == [("fan electricity", 1, pytest.approx(25.0), 100.0), ("new fan", 1, 75.0, None)]
    last = tracks[2].lines
    assert [(x.lines, x.energy_kwh, x.hours) for x in last] == [(2, 100.0, 0.5)]
    assert [x.cost for x in last] == [pytest.approx(30.0)]
    for track, account in zip(tracks, accounts, strict=True):
        assert sum(x.cost for x in track.lines) == pytest.approx(known(account.running_cost) + account.upkeep_cost)


def test_a_winter_is_held_against_the_last_one_and_against_the_plan() -> None:
    """1000 − 800 kWh, 30 − 25, 0 − 75, 270 − 100; and 1000 − 800 kWh, 30 − 22, 0 − 10, 270 − 148."""
    tracks, _ = _followed()
    assert tracks[0].against_last is None
    assert _rounded(tracks[2].against_last) == (200.0, 5.0, -75.0, 170.0)
    assert _rounded(tracks[2].against_plan) == (200.0, 8.0, -10.0, 122.0)


def _rounded(difference: Difference | None) -> tuple[float, ...]:
    of = known(difference)
    return tuple(round(known(x), 9) for x in (of.avoided_kwh, of.running_cost, of.upkeep_cost, of.net_saving))


@pytest.mark.parametrize(
    ("capital", "avoided_kwh", "years", "paid"), [(50.0, 600.0, 0.0, None), (1000.0, 50.0, None, None)]
)
def test_what_is_paid_or_never_will_be_has_no_date(
    capital: float, avoided_kwh: float, years: float | None, paid: None
) -> None:
    """Recovered 100 of 50: paid already. 50 kWh · 0.20 = 10 less 20 for the fan: each winter loses 10."""
    ledger = ledger_with(build("tubes", item("1000")), sources=(heater(),), running=BOOK)
    winters = (season("2025-26", avoided_kwh),)
    accounts, _ = season_accounts(ledger, winters, typical=None, net_capital=capital)
    (track,) = season_tracks(ledger, winters, accounts, plan_kwh=None, plan=None)
    pace = known(track.pace)
    assert (pace.years_to_go, pace.paid_on) == (years, paid)
    assert track.against_plan is None


def test_a_winter_without_a_running_line_has_no_cost_per_kilowatt_hour() -> None:
    """Unknown is not free: no line, no cost for a kilowatt-hour and no difference of cost."""
    ledger = ledger_with(build("tubes", item("1000")), sources=(heater(),), running=())
    winters = (season("2025-26", 600.0),)
    accounts, _ = season_accounts(ledger, winters, typical=None, net_capital=1000.0)
    (track,) = season_tracks(ledger, winters, accounts, plan_kwh=600.0, plan=PLAN)
    assert track.cost_per_kwh_avoided is None
    assert known(track.against_plan).running_cost is None
    assert track.lines == ()
