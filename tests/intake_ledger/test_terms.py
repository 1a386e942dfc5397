"""Terms, sources of heat and stores with every default filled in."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from ledger.intake.ledger_file import ledger_of
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger, Show
from ledger.model.values import Basis, MonthDay
from tests.intake_ledger.test_least_ledger import LEAST


def plus(addition: str) -> Ledger:
    return ledger_of(f"{LEAST}{addition}\n", "farm.toml")


def instead(typed: str, now: str) -> Ledger:
    assert typed in LEAST
    return ledger_of(LEAST.replace(typed, now), "farm.toml")


def source(lines: str) -> Source:
    return plus(f'[[source]]\nname = "other way"\n{lines}').sources[1]


def assumed(ledger: Ledger) -> dict[str, str]:
    return {one.path: f"{one.value} | {one.source}" for one in ledger.assumed}


def test_the_season_is_the_cold_half_of_the_year_by_latitude() -> None:
    north, south = ledger_of(LEAST, "f").hold.season, instead("latitude = 46", "latitude = -44").hold.season
    assert (north.begins, north.ends) == (MonthDay(10, 1), MonthDay(4, 30))
    assert (south.begins, south.ends) == (MonthDay(4, 1), MonthDay(10, 31))


def test_the_crop_stands_in_the_hold_season_over_10_degrees_by_the_hour() -> None:
    crop = ledger_of(LEAST, "f").crop
    assert (crop.base_c, crop.ceiling_c, crop.method.value) == (10.0, None, "hourly")
    assert crop.window == ledger_of(LEAST, "f").hold.season


def test_units_of_screens_follow_the_hold_temperature() -> None:
    assert ledger_of(LEAST, "f").show is Show.METRIC
    assert instead('"4 degC"', '"40 °F"').show is Show.US
    assert ledger_of('[ledger]\nshow = "metric"\n' + LEAST.replace('"4 degC"', '"40 °F"'), "f").show is Show.METRIC


def test_the_base_date_is_the_day_of_the_last_receipt_and_not_of_a_plan() -> None:
    later = '[[spent]]\nfor = "buried air tubes"\ndate = 2025-09-02\nwhat = "fan"\namount = 180\n'
    plan = later.replace("2025-09-02", "2026-03-01") + 'status = "planned"\n'
    assert plus(later).terms.base_date == date(2025, 9, 2)
    assert plus(later + plan).terms.base_date == date(2025, 9, 2)
    assert instead("amount = 3850.00", 'amount = 3850.00\nstatus = "planned"').terms.base_date == date(2025, 6, 11)


def test_a_plain_ledger_is_nominal_at_6_per_cent_over_25_years_with_2_per_cent_inflation() -> None:
    terms = ledger_of(LEAST, "f").terms
    assert (terms.discount_rate.likely, terms.study_years, terms.inflation.likely) == (0.06, 25, 0.02)
    assert (terms.rates_are_real, terms.timing.value) == (False, "end of year")


LOAN = "[[money.loan]]\nprincipal = 9000\nannual_rate = 0.065\nyears = 10\n"


def test_the_discount_rate_is_the_loans_when_none_is_stated() -> None:
    ledger = plus(LOAN)
    assert ledger.terms.discount_rate.likely == 0.065
    loan = ledger.terms.loans[0]
    assert (loan.start, loan.payments_per_year, loan.posting.value) == (date(2025, 6, 11), 12, "cents")
    assert "loan" in assumed(ledger)["money.discount_rate"]


def test_of_two_loans_the_dearer_one_sets_the_rate() -> None:
    assert plus(LOAN + LOAN.replace("0.065", '"8 %"')).terms.discount_rate.likely == pytest.approx(0.08)


def test_with_real_rates_the_loans_rate_is_taken_less_inflation() -> None:
    """1.065/1.02 − 1 = 4.4118 %."""
    ledger = plus('[money]\nrates_are = "real"\ninflation = 0.02\n' + LOAN)
    assert ledger.terms.discount_rate.likely == pytest.approx(0.0441176, abs=1e-7)


def test_prices_grow_with_inflation_and_in_real_terms_not_at_all() -> None:
    assert plus("[money]\ninflation = 0.03").sources[0].price_growth.likely == 0.03
    real = plus('[money]\nrates_are = "real"')
    assert real.sources[0].price_growth.likely == 0.0
    assert real.electricity.price_growth.likely == 0.0


def test_heat_is_avoided_against_the_backup_source_else_the_first() -> None:
    gas = '[[source]]\nname = "gas"\nkind = "propane"\nprice = 3\n'
    assert plus(gas).terms.against == "electric heater"
    assert plus(gas + "backup = true").terms.against == "gas"
    assert plus(gas + '[money]\nagainst = "gas"').terms.against == "gas"


def test_electricity_without_a_price_is_left_to_the_electric_source_and_its_tariffs() -> None:
    ledger = instead("price = 0.30", "price = 0.30\nprice_growth = 0.05")
    assert ledger.electricity.price is None
    assert ledger.electricity.price_growth.likely == 0.05
    assert "electric heater" in assumed(ledger)["electricity.price"]


def test_an_electric_source_without_a_price_takes_that_of_electricity() -> None:
    ledger = ledger_of(LEAST.replace("price = 0.30\n", "") + "[electricity]\nprice = 0.1347\n", "f")
    assert ledger.sources[0].price.likely == 0.1347
    assert "[electricity]" in assumed(ledger)["source[1].price"]


def test_electricity_bought_by_the_megawatt_hour_costs_a_thousand_times_as_much() -> None:
    text = LEAST.replace("price = 0.30\n", 'unit = "MWh"\n') + "[electricity]\nprice = 0.1347\n"
    electric = ledger_of(text, "f").sources[0]
    assert electric.price.likely == pytest.approx(134.7)
    assert electric.heat_per_unit_kwh.likely == pytest.approx(1000.0)


@pytest.mark.parametrize(
    ("lines", "unit", "kwh"),
    [
        ('kind = "propane"\nprice = 3', "gal", 91_000 / 3412.142),
        ('kind = "propane"\nprice = 1\nunit = "L"', "L", 91_000 / 3412.142 / 3.785412),
        ('kind = "propane"\nprice = 1\nunit = "litres"', "litres", 91_000 / 3412.142 / 3.785412),
        ('kind = "natural gas"\nprice = 1.2', "therm", 29.30711),
        ('kind = "natural gas"\nprice = 1.2\nunit = "ccf"', "ccf", 102_600 / 3412.142),
        ('kind = "natural gas"\nprice = 0.12\nunit = "kWh"', "kWh", 1.0),
        ('kind = "heating oil"\nprice = 4', "gal", 138_000 / 3412.142),
        ('kind = "pellets"\nprice = 300', "short_ton", 16_400_000 / 3412.142),
        ('kind = "wood stove"\nprice = 0.2\nunit = "kg"', "kg", 7000 * 2.204623 / 3412.142),
        ('kind = "wood stove"\nprice = 260\nheat_per_unit = "20 MMBtu"', "cord", 5861.42),
        ('kind = "other"\nprice = 9\nunit = "sack"\nheat_per_unit = "150 kWh"\nefficiency = 0.7', "sack", 150.0),
    ],
)
def test_units_and_heat_of_fuels_follow_their_kind(lines: str, unit: str, kwh: float) -> None:
    """40 CFR 98 C-1: propane 91 000, oil 138 000 Btu/gal, gas 1026 Btu/ft3; pellets 8200, air-dry wood 7000 Btu/lb."""
    found = source(lines)
    assert found.unit == unit
    assert found.heat_per_unit_kwh.likely == pytest.approx(kwh, rel=1e-5)


def test_what_is_not_known_of_a_source_is_none_and_listed_and_never_0() -> None:
    ledger = plus('[[source]]\nname = "stove"\nkind = "wood stove"\nprice = 260\nheat_per_unit = "20 MMBtu"')
    stove = ledger.sources[1]
    assert (stove.capital, stove.output_kw, stove.hours_per_unit) == (None, None, None)
    for key in ("capital", "output", "hours_per_unit"):
        assert "unknown" in assumed(ledger)[f"source[2].{key}"]


def test_an_electric_heater_needs_the_mains_and_a_stove_does_not() -> None:
    assert ledger_of(LEAST, "f").sources[0].needs_mains is True
    assert source('kind = "wood stove"\nprice = 260\nheat_per_unit = "20 MMBtu"').needs_mains is False
    assert source('kind = "propane"\nprice = 3').needs_mains is None


def test_a_heat_pump_may_give_its_performance_by_outdoor_temperature() -> None:
    pump = source('kind = "heat pump"\ncop = [[10, 3.4], [-15, 1.8], [0, 2.7]]\nprice = 0.2')
    assert [(point.outdoor_c, point.cop) for point in pump.cop] == [(-15.0, 1.8), (0.0, 2.7), (10.0, 3.4)]
    assert (pump.efficiency.low, pump.efficiency.high) == (1.0, 1.0)
    assert source('kind = "heat pump"\nefficiency = 2.5\nprice = 0.2').efficiency.likely == 2.5


@pytest.mark.parametrize("kind", ["rocket stove", "rocket mass heater"])
def test_a_rocket_heater_is_capped_at_85_per_cent_and_it_is_said(kind: str) -> None:
    lines = f'[[source]]\nname = "rocket"\nkind = "{kind}"\nprice = 200\nheat_per_unit = "20 MMBtu"\nefficiency = 0.92'
    ledger = plus(lines)
    rocket = ledger.sources[1]
    assert (rocket.efficiency.likely, rocket.efficiency.high) == (0.85, 0.85)
    assert rocket.efficiency.low < 0.85
    (said,) = [notice for notice in ledger.notices if notice.code == "rocket-cap"]
    assert "no accredited" in said.text


def test_a_stove_cannot_deliver_more_than_its_gross_heat_even_at_its_high_end() -> None:
    stove = source('kind = "wood stove"\nprice = 260\nheat_per_unit = "20 MMBtu"\nefficiency = 0.82')
    assert stove.efficiency.high == 1.0


def test_a_typed_efficiency_of_1_is_no_estimate() -> None:
    heater = instead("price = 0.30", "price = 0.30\nefficiency = 1.0").sources[0]
    assert (heater.efficiency.low, heater.efficiency.high) == (1.0, 1.0)


def test_output_is_held_in_kilowatts() -> None:
    """30 000 Btu/h = 8.7921 kW."""
    heater = instead("price = 0.30", 'price = 0.30\noutput = "30000 Btu/h"').sources[0]
    assert heater.output_kw is not None
    assert heater.output_kw.likely == pytest.approx(8.7921321, rel=1e-7)


def test_what_is_owned_already_was_paid_by_receipt() -> None:
    owned = instead("price = 0.30", "price = 0.30\ncapital = 400\nbought = 2020-01-01").sources[0]
    assert owned.capital is not None
    assert (owned.capital.low, owned.capital.high, owned.bought) == (Decimal(400), Decimal(400), date(2020, 1, 1))
    new = instead("price = 0.30", "price = 0.30\ncapital = 400").sources[0]
    assert new.capital is not None
    assert (new.capital.low, new.capital.high) == (Decimal(300), Decimal(500))


def test_tariffs_stand_in_the_order_of_their_days() -> None:
    lines = "price = 0.30\n[[source.tariff]]\nsince = 2027-01-01\nprice = 0.4\n"
    lines += "[[source.tariff]]\nsince = 2026-01-01\nprice = 0.35"
    tariffs = instead("price = 0.30", lines).sources[0].tariffs
    assert [(tariff.since.year, tariff.price.likely) for tariff in tariffs] == [(2026, 0.35), (2027, 0.4)]


def test_a_source_with_tariffs_only_begins_with_the_first() -> None:
    lines = "[[source.tariff]]\nsince = 2027-01-01\nprice = 0.4\n[[source.tariff]]\nsince = 2026-01-01\nprice = 0.35"
    assert instead("price = 0.30", lines).sources[0].price.likely == 0.35


def test_a_cubic_metre_of_water_holds_1_161_kwh_for_a_kelvin() -> None:
    """4.18 MJ/m3K = 1.161 kWh/m3K (physics)."""
    store = plus('[[store]]\nname = "tank"\nbuild = "buried air tubes"\nchannel = "water"\nvolume = "1 m3"').stores[0]
    assert store.heat_capacity_kwh_per_k.likely == pytest.approx(1.161, abs=5e-4)


def test_55_gallons_of_water_hold_459_btu_for_a_degree_fahrenheit() -> None:
    """55 US gal · 8.34 lb/gal · 1 Btu/lb/°F = 459 Btu/°F; 4.18 MJ/m3K lies 0.2 % below 1 Btu/lb/°F at 8.34 lb/gal."""
    store = plus('[[store]]\nname = "drum"\nchannel = "water"\nvolume = "55 gal"').stores[0]
    assert store.heat_capacity_kwh_per_k.likely * 3412.142 / 1.8 == pytest.approx(459, rel=0.004)


@pytest.mark.parametrize(
    "lines",
    [
        'mass = "2000 kg"\nspecific_heat = "0.9 kJ/kg/K"',
        'volume = "1 m3"\nheat_capacity = "1.8 MJ/m3/K"',
    ],
)
def test_a_store_of_anything_else_is_mass_times_heat(lines: str) -> None:
    """2000 kg · 0.9 kJ/kgK = 1.8 MJ/K = 0.5 kWh/K."""
    store = plus(f'[[store]]\nname = "stones"\nchannel = "soil"\n{lines}').stores[0]
    assert store.heat_capacity_kwh_per_k.likely == pytest.approx(0.5)


def test_lives_are_the_items_else_the_builds_else_by_kind() -> None:
    own = instead("amount = 3850.00", "amount = 3850.00\nlife_years = 33").builds[0].items[0]
    of_build = instead('name = "buried air tubes"', 'name = "buried air tubes"\nlife_years = 22').builds[0].items[0]
    by_kind = ledger_of(LEAST, "f").builds[0].items[0]
    assert (own.life_years.likely, of_build.life_years.likely) == (33.0, 22.0)
    assert (by_kind.life_years.likely, by_kind.life_years.basis) == (40.0, Basis.ASSUMED)


def test_spent_items_join_their_build_in_the_order_of_dates() -> None:
    spent = '[[spent]]\nfor = "buried air tubes"\ndate = {}\nwhat = "{}"\namount = 1\n'
    ledger = plus(spent.format("2025-11-02", "second fan") + spent.format("2025-01-05", "survey"))
    assert [item.what for item in ledger.builds[0].items] == ["survey", "excavation", "second fan"]
    assert ledger.builds[0].items[2].line == len(LEAST.splitlines()) + 1


def test_a_grant_without_a_date_or_a_build_says_what_is_taken() -> None:
    ledger = plus("[[money.grant]]\namount = 500")
    assert ledger.terms.grants[0].date == date(2025, 6, 11)
    assert "all items" in assumed(ledger)["money.grant[1].for"]


def test_benefits_next_steps_labour_and_power_are_read() -> None:
    ledger = plus(
        '[labour]\nrate = 15\n[[benefit]]\nwhat = "greens"\namount = 420\n'
        '[[next]]\nwhat = "loop"\namount = 900\nadds = { avoided = "300 kWh" }\n'
        '[power]\nbattery = "9.6 kWh"\nother_load = "60 W"\narray_capital = 5200\nused_energy = "1900 kWh"\n'
    )
    assert ledger.labour_rate_per_h is not None
    assert ledger.labour_rate_per_h.likely == 15.0
    assert ledger.benefits[0].amount.likely == Decimal(420)
    assert ledger.next_steps[0].adds_avoided_kwh is not None
    assert ledger.next_steps[0].adds_avoided_kwh.likely == 300.0
    assert ledger.power is not None
    assert ledger.power.usable is not None
    assert (ledger.power.usable.likely, ledger.power.usable.basis) == (0.8, Basis.ASSUMED)
    assert "power.inverter_efficiency" in assumed(ledger)


def test_plausibility_is_said_once_and_changes_nothing() -> None:
    text = '[ledger]\ncurrency = "USD"\n' + LEAST.replace("price = 0.30", "price = 30")
    ledger = ledger_of(text, "f")
    (said,) = [notice for notice in ledger.notices if notice.code == "price-unit"]
    assert said.line == 26
    assert ledger.sources[0].price.likely == 30.0


def test_an_item_under_the_wrong_build_is_doubted() -> None:
    text = LEAST.replace('"excavation"', '"Water tank"')
    tank = '[[build]]\nname = "water tank"\n[[build.item]]\ndate = 2025-06-11\nwhat = "paint"\namount = 5\n'
    assert "wrong-build" in {n.code for n in ledger_of(text + tank, "f").notices}
    assert "wrong-build" not in {n.code for n in plus(tank).notices}


@pytest.mark.parametrize(
    ("typed", "now"),
    [
        ("longitude = 11", "longitude = -111"),
        ("latitude = 46", "latitude = -46"),
        ('"Europe/Rome"', '"America/Denver"'),
    ],
)
def test_a_zone_that_does_not_go_with_the_place_is_doubted(typed: str, now: str) -> None:
    assert "zone-and-place" in {notice.code for notice in instead(typed, now).notices}


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (46, 11, "Europe/Rome"),
        (40, -105.3, "America/Denver"),
        (28, 91, "Asia/Thimphu"),
        (34, 77.6, "Asia/Kolkata"),
        (-45, 168.7, "Pacific/Auckland"),
        (37, -80, "Etc/GMT+5"),
        (64, -21, "Atlantic/Reykjavik"),
        (42, -4, "Europe/Madrid"),
        (30, 91, "Asia/Shanghai"),
    ],
)
def test_a_zone_that_goes_with_the_place_is_not_doubted(latitude: float, longitude: float, zone: str) -> None:
    text = LEAST.replace("latitude = 46", f"latitude = {latitude}").replace(
        "longitude = 11", f"longitude = {longitude}"
    )
    ledger = ledger_of(text.replace("Europe/Rome", zone), "f")
    assert "zone-and-place" not in {notice.code for notice in ledger.notices}


def test_a_range_that_is_not_carried_through_is_said() -> None:
    ledger = instead('"1450 m"', '{ low = "1400 m", likely = "1450 m", high = "1500 m" }')
    (said,) = [notice for notice in ledger.notices if notice.code == "range-unused"]
    assert (said.path, said.line, ledger.site.elevation_m) == ("site.elevation", 4, 1450.0)


def test_without_a_rate_own_hours_are_said_to_count_without_money() -> None:
    assert "without money" in assumed(ledger_of(LEAST, "f"))["labour.rate"]
    assert "labour.rate" not in assumed(plus("[labour]\nrate = 15"))


@pytest.mark.parametrize(
    ("lines", "code"),
    [
        ('kind = "propane"\nprice = 2\nheat_per_unit = "91000 kWh"', "heat-content"),
        ('kind = "heat pump"\nprice = 2\nefficiency = 2\ncop = [[0, 2]]', "efficiency-unused"),
        ('kind = "wood stove"\nprice = 2\nheat_per_unit = "20 MMBtu"\nefficiency = 0.9', "wood-efficiency"),
        ('kind = "wood stove"\nprice = 2\nheat_per_unit = "20 MMBtu"', "heat-basis"),
    ],
)
def test_doubtful_figures_of_a_source_are_said(lines: str, code: str) -> None:
    assert code in {n.code for n in plus(f'[[source]]\nname = "other way"\n{lines}').notices}


def test_a_wood_stove_whose_heat_has_its_basis_is_not_doubted() -> None:
    lines = 'kind = "wood stove"\nprice = 2\nheat_per_unit = "20 MMBtu"\nheat_basis = "gross, 20 % moisture"'
    ledger = plus(f'[[source]]\nname = "stove"\n{lines}')
    assert "heat-basis" not in {n.code for n in ledger.notices}
    assert ledger.sources[1].heat_basis == "gross, 20 % moisture"


def test_a_second_electric_source_takes_the_price_of_the_first_brought_to_the_kilowatt_hour() -> None:
    text = LEAST.replace("price = 0.30", 'unit = "MWh"\nprice = 300')
    ledger = ledger_of(f'{text}[[source]]\nname = "pump"\nkind = "heat pump"\n', "f")
    assert ledger.sources[1].price.likely == pytest.approx(0.3)


def test_a_floor_far_from_its_measures_is_doubted() -> None:
    ledger = instead("[hold]", 'floor_area = "600 m2"\n[hold]')
    assert "floor-and-measures" in {n.code for n in ledger.notices}


def test_a_stated_sun_gain_stands() -> None:
    assert instead("[hold]", "sun_gain = 0.6\n[hold]").house.sun_gain.likely == 0.6


def test_a_stated_life_beyond_the_study_is_said_and_a_default_of_ours_is_not() -> None:
    stated = instead("amount = 3850.00", "amount = 3850.00\nlife_years = 40")
    assert "life-beyond-study" in {n.code for n in stated.notices}
    assert "life-beyond-study" not in {n.code for n in ledger_of(LEAST, "f").notices}


def test_a_currency_in_small_letters_is_the_same_currency() -> None:
    assert ledger_of('[ledger]\ncurrency = "eur"\n' + LEAST, "f").terms.currency == "EUR"
