"""Two seasons' accounts with dated tariffs, followed by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.model.heaters import CopPoint, Kind, Tariff
from ledger.money.results import SeasonAccount
from ledger.money.season_account import money_of, season_accounts
from tests.known import known
from tests.money.made import build, heater, item, sure
from tests.running.made import ledger_with, line, season, typical

TUBES = build("tubes", item("3850"))
TARIFF = (Tariff(date(2026, 10, 1), sure(0.30)), Tariff(date(2027, 1, 1), sure(0.40)))
WOOD = heater("stove", 260.0, kind=Kind.WOOD_STOVE, unit="cord", heat_per_unit_kwh=sure(5000.0), efficiency=sure(0.6))
STOVE = replace(WOOD, tariffs=(Tariff(date(2026, 11, 1), sure(300.0)),))
BOOK = (
    # 30 kWh on 20 days, 21 September to 10 October 2026: half in each season's account
    line("tubes", date(2026, 9, 21), date(2026, 10, 10), kwh=30.0),
    line("tubes", date(2026, 1, 1), date(2026, 1, 31), kwh=41.0, amount="7.38", hours=1.5),
    line("tubes", date(2026, 11, 5), date(2026, 11, 5), amount="180", what="second bearing", hours=2.0),
    line("stove", date(2026, 1, 2), date(2026, 1, 10), quantity=0.25, hours=4.0, what="wood"),
    line("stove", date(2027, 1, 2), date(2027, 1, 10), quantity=0.25, what="wood"),
    line("plug heater", date(2027, 2, 1), date(2027, 2, 10), kwh=50.0, what="guard"),
    line("house", date(2026, 12, 1), date(2026, 12, 31), kwh=10.0, hours=0.5, what="lights"),
)


def two_seasons() -> tuple[tuple[SeasonAccount, ...], tuple[object, ...]]:
    ledger = ledger_with(
        TUBES,
        sources=(heater(tariffs=TARIFF), STOVE),
        running=BOOK,
        labour_rate=15.0,
    )
    return season_accounts(
        ledger, (season("2025-26", 1000.0), season("2026-27", 800.0)), typical=None, net_capital=3850.0
    )


def test_the_first_seasons_account_is_followed_by_hand() -> None:
    """1 October 2025 to 30 September 2026; heat until 30 April 2026, when the heater's kWh costs 0.20.

    running   15 kWh of the September line, priced on its date (10 October 2026: 0.30) = 4.50;
              January 7.38 as paid + 1.5 h · 15 = 29.88; together 34.38
    upkeep    nothing noted: 0 (what is expected does not count)
    backup    0.25 cord · 260 + 4 h · 15 = 125
    avoided   1000 kWh · 0.20 = 200
    saving    200 − 34.38 = 165.62;   left 3850 − 165.62 = 3684.38;   hours 1.5 + 4 = 5.5
    """
    (first, _), _ = two_seasons()
    assert first.running_cost == pytest.approx(34.38)
    assert first.upkeep_cost == 0.0
    assert first.backup_cost == pytest.approx(125.0)
    assert first.house_cost == 0.0
    assert first.avoided_cost == pytest.approx(200.0)
    assert first.net_saving == pytest.approx(165.62)
    assert first.recovered_to_date == pytest.approx(165.62)
    assert first.still_to_recover == pytest.approx(3684.38)
    assert first.labour_hours == pytest.approx(5.5)


def test_the_second_seasons_account_takes_the_tariffs_of_its_days() -> None:
    """1 October 2026 to 30 September 2027; on 30 April 2027 the heater's kWh costs 0.40.

    running   the other 15 kWh at 0.30 = 4.50
    upkeep    180 + 2 h · 15 = 210
    backup    0.25 cord · 300 = 75 (tariff of 1 November 2026); 50 kWh on 10 February 2027 at 0.40 = 20; together 95
    house     10 kWh on 31 December 2026 at 0.30 = 3, and 0.5 h · 15 = 7.50; hours 2 + 0.5
    avoided   800 · 0.40 = 320
    saving    320 − 4.50 − 210 = 105.50;   recovered 165.62 + 105.50 = 271.12;   left 3578.88
    """
    (_, second), notices = two_seasons()
    assert second.running_cost == pytest.approx(4.5)
    assert second.upkeep_cost == pytest.approx(210.0)
    assert second.backup_cost == pytest.approx(95.0)
    assert second.house_cost == pytest.approx(10.5)
    assert second.avoided_cost == pytest.approx(320.0)
    assert second.net_saving == pytest.approx(105.5)
    assert second.recovered_to_date == pytest.approx(271.12)
    assert second.still_to_recover == pytest.approx(3578.88)
    assert second.labour_hours == pytest.approx(2.5)
    assert notices == ()


def test_heat_against_wood_counts_the_work_that_it_spares() -> None:
    """Against a stove with 9 h a cord: 3000 kWh = 1 cord (5000 · 0.6); 260 + 9 · 15 = 395."""
    stove = replace(WOOD, hours_per_unit=sure(9.0))
    ledger = ledger_with(TUBES, sources=(stove,), labour_rate=15.0, against="stove", price=0.2)
    (account,), _ = season_accounts(ledger, (season("2025-26", 3000.0),), typical=None, net_capital=1000.0)
    assert account.avoided_cost == pytest.approx(395.0)


def test_without_a_running_line_the_saving_is_before_running_cost_and_says_so() -> None:
    ledger = ledger_with(TUBES, price=0.2)
    (account,), notices = season_accounts(ledger, (season("2025-26", 500.0),), typical=None, net_capital=100.0)
    assert account.running_cost is None
    assert account.net_saving == pytest.approx(100.0)
    assert [n.code for n in notices] == ["season-running-unknown"]


def test_lines_in_no_logged_season_are_named() -> None:
    early = line("tubes", date(2019, 1, 1), date(2019, 1, 31), kwh=10.0)
    inside = line("tubes", date(2026, 1, 1), date(2026, 1, 31), kwh=10.0)
    ledger = ledger_with(TUBES, price=0.2, running=(early, inside))
    _, notices = season_accounts(ledger, (season("2025-26", 500.0),), typical=None, net_capital=100.0)
    assert [n.code for n in notices] == ["lines-outside-seasons"]


def test_a_season_against_a_heat_pump_takes_the_mean_efficiency_of_the_typical_need() -> None:
    """Need 9 kWh at −15 °C (COP 1.8) and 27 kWh at 0 °C (COP 2.7): 5 + 10 = 15 kWh in for 36 out.
    720 kWh avoided take 300 kWh in: at 0.20 = 60."""
    pump = heater(kind=Kind.HEAT_PUMP, cop=(CopPoint(-15.0, 1.8), CopPoint(0.0, 2.7)))
    ledger = ledger_with(TUBES, sources=(pump,), price=0.2)
    year = typical([9.0, 27.0], [0.0, 0.0], outdoor=[-15.0, 0.0])
    (account,), notices = season_accounts(ledger, (season("2025-26", 720.0),), typical=year, net_capital=0.0)
    assert account.avoided_cost == pytest.approx(60.0)
    assert "season-heat-pump" in {n.code for n in notices}


def test_a_season_against_two_sources_is_shared_as_the_typical_years_avoided_heat() -> None:
    """Stove of 4 kW, then the plug heater. Typical need 10 and 3, left 5 and 0: of 8 kWh avoided the stove spared 3.
    800 kWh: 300 by the stove (0.1 cord of 3000 delivered, at 260: 26), 500 by the heater at 0.20: 100."""
    first = replace(WOOD, output_kw=sure(4.0), then="plug heater")
    ledger = ledger_with(TUBES, sources=(first, heater()), against="stove", price=0.2)
    year = typical([10.0, 3.0], [5.0, 0.0])
    (account,), _ = season_accounts(ledger, (season("2025-26", 800.0),), typical=year, net_capital=0.0)
    assert account.avoided_cost == pytest.approx(126.0)


def test_energy_of_a_source_is_priced_as_a_part_of_its_unit() -> None:
    """1250 kWh gross of wood at 5000 kWh and 260 a cord: 65."""
    ledger = ledger_with(TUBES, sources=(heater(), STOVE), price=0.2)
    assert money_of(line("stove", date(2026, 1, 1), date(2026, 1, 1), kwh=1250.0), ledger) == pytest.approx(65.0)


def test_energy_without_any_price_is_our_bug_since_the_reader_refuses_it() -> None:
    ledger = ledger_with(TUBES, sources=(STOVE,))
    with pytest.raises(ValueError, match="no price of electricity"):
        money_of(line("tubes", date(2026, 1, 1), date(2026, 1, 1), kwh=5.0), ledger)


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(-200, 4000), min_size=1, max_size=6))
def test_recovered_to_date_is_the_sum_of_the_net_savings(avoided: list[float]) -> None:
    seasons = tuple(season(f"{2025 + i}-{26 + i}", kwh) for i, kwh in enumerate(avoided))
    ledger = ledger_with(TUBES, sources=(heater(tariffs=TARIFF), STOVE), running=BOOK, labour_rate=15.0)
    accounts, _ = season_accounts(ledger, seasons, typical=None, net_capital=3850.0)
    total = 0.0
    for account in accounts:
        total += known(account.net_saving)
        recovered = known(account.recovered_to_date)
        assert recovered == pytest.approx(total, abs=1e-9)
        assert recovered + known(account.still_to_recover) == pytest.approx(3850.0, abs=1e-9)


def test_a_line_of_work_alone_costs_its_hours_and_belongs_to_the_day_it_was_noted() -> None:
    """3 h at 15 on 2 October 2026: in the upkeep of 2026-27, not spread over the days before."""
    work = line("tubes", date(2026, 4, 1), date(2026, 10, 2), hours=3.0, what="cleaning")
    ledger = ledger_with(TUBES, price=0.2, labour_rate=15.0, running=(work,))
    seasons = (season("2025-26", 0.0), season("2026-27", 0.0))
    (first, second), _ = season_accounts(ledger, seasons, typical=None, net_capital=0.0)
    assert (first.upkeep_cost, second.upkeep_cost) == (0.0, 45.0)
    assert (first.labour_hours, second.labour_hours) == (0.0, 3.0)


def test_a_quantity_at_a_build_is_our_bug_since_the_reader_refuses_it() -> None:
    ledger = ledger_with(TUBES, price=0.2)
    with pytest.raises(ValueError, match="no price for the quantity"):
        money_of(line("tubes", date(2026, 1, 1), date(2026, 1, 1), quantity=5.0), ledger)


def test_a_heat_pump_without_a_typical_year_takes_the_middle_of_its_points() -> None:
    """COP 2 and 3: 2.5 in the mean; 500 kWh take 200 at 0.20: 40."""
    pump = heater(kind=Kind.HEAT_PUMP, cop=(CopPoint(-15.0, 2.0), CopPoint(0.0, 3.0)))
    ledger = ledger_with(TUBES, sources=(pump,), price=0.2)
    (account,), _ = season_accounts(ledger, (season("2025-26", 500.0),), typical=None, net_capital=0.0)
    assert account.avoided_cost == pytest.approx(40.0)
