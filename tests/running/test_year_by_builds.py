"""Each build's part of the year: shares of the avoided heat, the fan of one, and a year that nobody knows."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from ledger.model.heaters import CopPoint, Kind, Tariff
from ledger.model.values import MoneyRange
from ledger.money.avoided import split
from ledger.money.prices import electricity_price
from ledger.money.running import RunningYear, typical_running, typical_upkeep
from ledger.money.season_account import season_accounts
from ledger.money.season_track import season_tracks
from ledger.money.season_worth import known_by
from ledger.money.year import build_years, shares_of, year_money
from tests.known import known
from tests.money import made
from tests.money.made import build, heater, item, sure
from tests.running.made import ledger_with, line, season, typical

TUBES = build("tubes", item("3850"))
TANK = build("tank", item("900"), expected_running=MoneyRange.sure("12"))


def test_shares_are_parts_of_the_heat_that_all_gave() -> None:
    """300 and 100 of 400 kWh; a build that took 100 and one that gave 300: −0.5 and 1.5 of 200."""
    assert shares_of({"tubes": 300.0, "tank": 100.0}) == {"tubes": 0.75, "tank": 0.25}
    assert shares_of({"tubes": 300.0, "tank": -100.0}) == {"tubes": 1.5, "tank": -0.5}
    assert shares_of({"tubes": -5.0}) == {"tubes": 1.0}


def test_there_is_no_share_where_one_part_is_unknown_or_nothing_was_given() -> None:
    assert shares_of({"tubes": 300.0, "tank": None}) is None
    assert shares_of({"tubes": 0.0, "tank": 0.0}) is None
    assert shares_of({"tubes": 50.0, "tank": -50.0}) is None
    assert shares_of({"tubes": None}) is None


def test_each_build_has_its_share_of_the_saving_and_its_own_running() -> None:
    """200 a year saved, shared 3 to 1: 150 and 50, of 1000 kWh 750 and 250; the tank expects 12 a year of running.

    The logged fan, 80 kWh, is neither's: which of two builds it belongs to is not known.
    """
    ledger = ledger_with(TUBES, TANK, price=0.20)
    years = build_years(ledger, made.year_money(200.0), {"tubes": 0.75, "tank": 0.25}, fan_kwh=80.0)
    tubes, tank = known(years["tubes"]), known(years["tank"])
    assert (tubes.avoided_kwh, tubes.avoided_fuel_cost) == (750.0, 150.0)
    assert (tank.avoided_kwh, tank.avoided_fuel_cost) == (250.0, 50.0)
    assert tubes.running_energy_cost is None
    assert (tank.running_energy_cost, tank.running_other_cost) == (0.0, 12.0)


def test_the_logged_fan_is_the_one_builds_own() -> None:
    """80 kWh at 0.20."""
    years = build_years(ledger_with(TUBES, price=0.20), made.year_money(200.0), {"tubes": 1.0}, fan_kwh=80.0)
    assert known(years["tubes"]).running_energy_cost == pytest.approx(16.0)


def test_without_shares_no_build_has_a_year_of_its_own() -> None:
    ledger = ledger_with(TUBES, TANK, price=0.20)
    assert build_years(ledger, made.year_money(200.0), None, fan_kwh=None) == {"tubes": None, "tank": None}


@pytest.mark.parametrize(
    ("since", "later"), [(date(2026, 9, 2), [0.0, 15.5, 15.5]), (date(2025, 9, 2), [15.5, 15.5, 15.5])]
)
def test_free_current_that_costs_later_is_each_builds_own_too(since: date, later: list[float]) -> None:
    """31 kWh of fan in January, free on the base date and 0.50 from a year on: 0 before it, then 15.50 a year."""
    free = heater(price=0.0, price_growth=sure(0.0), tariffs=(Tariff(since, sure(0.50)),))
    january = line("tubes", date(2026, 1, 1), date(2026, 1, 31), kwh=31.0)
    ledger = ledger_with(TUBES, sources=(free,), running=(january,), study_years=3)
    years = build_years(ledger, made.year_money(200.0), {"tubes": 1.0}, fan_kwh=None)
    assert list(known(known(years["tubes"]).later_energy_cost)) == pytest.approx(later)


def test_without_a_typical_year_the_saving_is_unknown_and_the_costs_stand() -> None:
    """41 kWh in January at 0.20 and 2 h at 15; upkeep of 25 expected."""
    january = line("tubes", date(2026, 1, 1), date(2026, 1, 31), kwh=41.0, hours=2.0)
    ledger = ledger_with(TUBES, price=0.20, growth=0.03, running=(january,), labour_rate=15.0)
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    upkeep = replace(typical_upkeep(ledger, ledger.builds), cost=25.0, labour_cost=7.0)
    year, notices = year_money(ledger, None, ledger.sources[0], running=running, upkeep=upkeep)
    assert (year.avoided_kwh, year.avoided_fuel_cost, year.avoided_labour_cost) == (None, None, 0.0)
    assert (year.fuel_growth, year.energy_growth) == (0.02, 0.03)
    assert year.running_energy_cost == pytest.approx(8.2)
    assert year.running_labour_cost == pytest.approx(30.0)
    assert year.running_other_cost == 0.0
    assert (year.upkeep_cost, year.upkeep_labour_cost) == (25.0, 7.0)
    assert notices == ()


def test_a_heat_pump_above_a_stove_says_that_its_efficiency_is_a_mean() -> None:
    """The stove of 4 kW gives 4 of each 10 kWh (need 10, left 5: it spared nothing), the pump the rest at COP 2:
    800 kWh take 400 at 0.20 = 80."""
    pump = heater("pump", kind=Kind.HEAT_PUMP, cop=(CopPoint(0.0, 2.0),), backup=False)
    stove = heater("stove", 260.0, kind=Kind.WOOD_STOVE, output_kw=sure(4.0), then="pump")
    ledger = ledger_with(TUBES, sources=(stove, pump), against="stove", price=0.2)
    heat = (season("2025-26", 800.0),)
    (account,), notices = season_accounts(ledger, heat, typical=typical([10.0], [5.0]), net_capital=0.0)
    assert account.avoided_cost == pytest.approx(80.0)
    assert "season-heat-pump" in {n.code for n in notices}


def test_a_build_without_lines_hides_none_of_those_after_it() -> None:
    """10 kWh of the tubes in January at 0.20, and 12 a year expected of the tank that stands before them: 14."""
    january = line("tubes", date(2026, 1, 1), date(2026, 1, 31), kwh=10.0)
    ledger = ledger_with(TANK, TUBES, price=0.20, running=(january,))
    assert typical_running(ledger, ledger.builds, fan_kwh=None)[0].total == pytest.approx(14.0)


def test_only_the_parts_that_are_known_of_a_running_year_are_not_0() -> None:
    """The logged fan, 150 kWh at 0.20; 34 a year expected; nothing known."""
    ledger = ledger_with(TUBES, price=0.20)
    hoping = ledger_with(replace(TUBES, expected_running=MoneyRange.sure("34")), price=0.20)
    fan, expected, unknown = (
        typical_running(book, book.builds, fan_kwh=kwh)[0]
        for book, kwh in ((ledger, 150.0), (hoping, None), (ledger, None))
    )
    assert _parts(fan) == (pytest.approx(30.0), 0.0, 0.0, 150.0, 0.0)
    assert _parts(expected) == (0.0, 0.0, 34.0, 0.0, 0.0)
    assert _parts(unknown) == (None, 0.0, 0.0, 0.0, 0.0)


def _parts(year: RunningYear) -> tuple[object, ...]:
    return year.energy_cost, year.labour_cost, year.other_cost, year.energy_kwh, year.own_hours


def test_a_second_source_takes_nothing_over_where_the_first_has_no_output_stated() -> None:
    heat = np.array([10.0, 3.0])
    first, second = split(heat, heater("stove", then="plug heater"), heater())
    assert (first.tolist(), second.tolist()) == ([10.0, 3.0], [0.0, 0.0])


def test_a_season_is_judged_by_what_was_noted_and_in_force_up_to_its_last_day() -> None:
    """Lines and tariffs of 30 September 2026 are known by then, those of the day after are not."""
    days = (date(2026, 9, 30), date(2026, 10, 1))
    dear = heater(tariffs=tuple(Tariff(d, sure(0.30)) for d in days))
    book = tuple(line("tubes", d, d, kwh=1.0) for d in days)
    then = known_by(ledger_with(TUBES, sources=(dear,), running=book), days[0])
    assert [x.date for x in then.running] == [days[0]]
    assert [t.since for t in then.sources[0].tariffs] == [days[0]]


def test_fuel_that_is_free_at_first_is_shared_like_all_other_saving() -> None:
    """0, 80 and 80 saved in three years by fuel that costs only later: a quarter of it is 0, 20 and 20."""
    year = made.year_money(0.0, later_fuel_cost=np.array([0.0, 80.0, 80.0]))
    ledger = ledger_with(TUBES, TANK, price=0.20, study_years=3)
    tank = known(build_years(ledger, year, {"tubes": 0.75, "tank": 0.25}, fan_kwh=None)["tank"])
    assert known(tank.later_fuel_cost).tolist() == [0.0, 20.0, 20.0]


def test_current_sold_by_the_thousand_kilowatt_hours_is_priced_by_the_one_with_its_range() -> None:
    """200 (150 to 300) for 1,000 kWh: 0.20 (0.15 to 0.30)."""
    price = replace(sure(200.0), low=150.0, high=300.0)
    source = replace(heater(unit="MWh", heat_per_unit_kwh=sure(1000.0)), price=price)
    found = known(electricity_price(ledger_with(TUBES, sources=(source,)), date(2026, 1, 1)))
    assert [found.likely, found.low, found.high] == pytest.approx([0.20, 0.15, 0.30])


def test_half_a_kilowatt_hour_avoided_has_its_cost_and_none_has_none() -> None:
    """2 kWh of fan at 0.20 for half a kilowatt-hour of heat: 0.80 each."""
    ledger = ledger_with(TUBES, price=0.20, running=(line("tubes", date(2026, 1, 1), date(2026, 1, 31), kwh=2.0),))
    for avoided, cost in ((0.5, pytest.approx(0.8)), (0.0, None)):
        heat = (season("2025-26", avoided),)
        accounts, _ = season_accounts(ledger, heat, typical=None, net_capital=100.0)
        assert season_tracks(ledger, heat, accounts, plan_kwh=None, plan=None)[0].cost_per_kwh_avoided == cost
