"""Prices in force, price paths, delivered prices, heat pumps by the hour, hours of work."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Unpack

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.model.heaters import CopPoint, Kind, Source, Tariff
from ledger.money.prices import (
    cop_at,
    delivered_price_per_kwh,
    electricity_price,
    fuel_units,
    input_factor,
    labour_hours,
    price_in_force,
    price_path,
    source_price_path,
    units_of,
)
from tests.changes import SourceTraits
from tests.known import known
from tests.money.made import heater, sure
from tests.running.made import ledger_with

BTU_PER_KWH = 3412.142  # International Table Btu
MILLION_BTU_KWH = 1e6 / BTU_PER_KWH
BASE = date(2025, 9, 1)

# Univ. of Connecticut Extension, Comparing Fuel Costs (2013): dollars per delivered million Btu = price × number for
# the first five rows, price ÷ number for the rest. Tolerances from the print; row 11 is printed low by 0.9 %.
MULTIPLY = [
    ("fuel oil, gallon, 70 %", 138_500, 0.70, 10.3, 0.05),
    ("fuel oil, gallon, 75 %", 138_500, 0.75, 9.6, 0.05),
    ("gas, therm, 75 %", 100_000, 0.75, 13.3, 0.05),
    ("propane, gallon, 75 %", 92_500, 0.75, 14.4, 0.05),
    ("electricity, kWh, 100 %", 3_412, 1.00, 293, 0.5),
]
DIVIDE = [
    ("hard coal, ton, 75 %", 25_000_000, 0.75, 18.7, 0.06),
    ("hardwood, cord, 60 %", 20_000_000, 0.60, 12, 0.05),
    ("pellets, ton, 80 %", 16_400_000, 0.80, 13.1, 0.05),
    ("shelled corn, ton, 80 %", 16_400_000, 0.80, 13.1, 0.05),
    ("green chips 45 %, ton, 75 %", 9_000_000, 0.75, 6.75, 0.005),
    ("green chips, cubic yard, 75 %", 2_000_000, 0.75, 1.5, 0.05),
    ("chips 10 %, ton, 60 %", 14_800_000, 0.60, 8.8, 0.09),
]


@pytest.mark.parametrize(("fuel", "btu", "efficiency", "printed", "tolerance"), MULTIPLY, ids=[r[0] for r in MULTIPLY])
def test_a_delivered_million_btu_costs_price_times_the_printed_number(
    fuel: str, btu: int, efficiency: float, printed: float | int, tolerance: float
) -> None:
    for price in (1.0, 2.4):
        per_kwh = delivered_price_per_kwh(price, btu / BTU_PER_KWH, efficiency)
        assert float(per_kwh) * MILLION_BTU_KWH == pytest.approx(price * printed, abs=price * tolerance), fuel


@pytest.mark.parametrize(("fuel", "btu", "efficiency", "printed", "tolerance"), DIVIDE, ids=[r[0] for r in DIVIDE])
def test_a_delivered_million_btu_costs_price_over_the_printed_number(
    fuel: str, btu: int, efficiency: float, printed: float | int, tolerance: float
) -> None:
    price = 200.0
    per_kwh = float(delivered_price_per_kwh(price, btu / BTU_PER_KWH, efficiency))
    assert price / (per_kwh * MILLION_BTU_KWH) == pytest.approx(printed, abs=tolerance), fuel


def test_a_cord_at_260_in_a_stove_of_68_percent_costs_6_5_cents_a_delivered_kilowatt_hour() -> None:
    """20 MMBtu = 20·293.071 = 5861.4 kWh gross; · 0.68 = 3985.8 delivered; 260 ÷ 3985.8 = 0.06523."""
    assert float(delivered_price_per_kwh(260, 20 * 293.0711, 0.68)) == pytest.approx(0.065232, abs=1e-6)


def stove(**changed: Unpack[SourceTraits]) -> Source:
    return replace(heater("stove", 260.0, kind=Kind.WOOD_STOVE, unit="cord"), **changed)


TARIFFS = (Tariff(date(2026, 10, 1), sure(280.0)), Tariff(date(2024, 10, 1), sure(250.0)))


@pytest.mark.parametrize(
    ("day", "price"),
    [
        (date(2024, 9, 30), 260.0),
        (date(2024, 10, 1), 250.0),
        (BASE, 250.0),
        (date(2026, 9, 30), 250.0),
        (date(2026, 10, 1), 280.0),
        (date(2040, 1, 1), 280.0),
    ],
)
def test_the_price_in_force_is_the_latest_tariff_that_has_begun(day: date, price: float) -> None:
    assert price_in_force(stove(tariffs=TARIFFS), day).likely == price


def test_a_later_tariff_replaces_the_grown_price_in_its_year_and_grows_from_there() -> None:
    """Base 250 grown by 10 %: year 1 (to 1 September 2026) 275. The tariff of 1 October 2026 begins in year 2: 280 in
    year 2, 308 in year 3, 338.80 in year 4. The tariff before the base date is the base price already."""
    source = stove(tariffs=TARIFFS, price_growth=sure(0.10))
    path = source_price_path(source, base_date=BASE, study_years=4)
    assert path == pytest.approx([275.0, 280.0, 308.0, 338.8])


def test_of_two_tariffs_in_one_year_the_last_holds() -> None:
    tariffs = (Tariff(date(2026, 3, 1), sure(300.0)), Tariff(date(2025, 12, 1), sure(290.0)))
    path = price_path(260.0, 0.0, tariffs=tariffs, base_date=BASE, study_years=3)
    assert path == pytest.approx([300.0, 300.0, 300.0])


def test_a_tariff_on_the_anniversary_belongs_to_the_year_that_it_closes() -> None:
    tariff = (Tariff(date(2026, 9, 1), sure(300.0)),)
    path = price_path(260.0, 0.0, tariffs=tariff, base_date=BASE, study_years=2)
    assert path == pytest.approx([300.0, 300.0])
    tariff = (Tariff(date(2026, 9, 2), sure(300.0)),)
    path = price_path(260.0, 0.0, tariffs=tariff, base_date=BASE, study_years=2)
    assert path == pytest.approx([260.0, 300.0])


def test_draws_of_price_and_growth_give_one_path_each() -> None:
    path = price_path(np.array([1.0, 2.0]), np.array([0.0, 0.5]), tariffs=(), base_date=BASE, study_years=2)
    assert path.tolist() == [[1.0, 1.0], [3.0, 4.5]]


@settings(max_examples=50, deadline=None)
@given(st.floats(0.01, 1000), st.floats(-0.05, 0.15), st.integers(1, 40))
def test_without_tariffs_the_path_is_price_times_growth_to_the_year(price: float, growth: float, years: int) -> None:
    path = price_path(price, growth, tariffs=(), base_date=BASE, study_years=years)
    assert path == pytest.approx([price * (1 + growth) ** k for k in range(1, years + 1)], rel=1e-12)


def test_electricity_takes_its_own_price_before_that_of_the_electric_source() -> None:
    assert known(electricity_price(ledger_with(price=0.13), BASE)).likely == 0.13
    assert known(electricity_price(ledger_with(), BASE)).likely == 0.20
    assert electricity_price(ledger_with(sources=(stove(),)), BASE) is None


def test_electricity_of_a_source_follows_its_tariff() -> None:
    source = heater(tariffs=(Tariff(date(2026, 1, 1), sure(0.31)),))
    assert known(electricity_price(ledger_with(sources=(source,)), date(2026, 2, 1))).likely == 0.31


CURVE = (CopPoint(0.0, 2.7), CopPoint(-15.0, 1.8), CopPoint(10.0, 3.4))


def test_a_heat_pumps_cop_is_straight_between_its_points_and_flat_outside() -> None:
    """-7.5 lies half way from -15 to 0: (1.8 + 2.7)/2 = 2.25; 5 half way to 10: 3.05; -40 and 30 hold the ends."""
    asked = [-40.0, -15.0, -7.5, 0.0, 5.0, 10.0, 30.0]
    assert cop_at(CURVE, asked) == pytest.approx([1.8, 1.8, 2.25, 2.7, 3.05, 3.4, 3.4])


def test_a_heat_pumps_units_are_summed_hour_by_hour() -> None:
    """9 kWh at -15 °C (COP 1.8) take 5 kWh, 27 kWh at 0 °C (COP 2.7) take 10; the second stands twice: 25 in all.
    At the mean COP of 2.25 it would be 28; at the mean temperature of -7.5 °C too: hours matter."""
    pump = heater(kind=Kind.HEAT_PUMP, cop=CURVE)
    units = fuel_units(pump, np.array([9.0, 27.0]), outdoor_c=np.array([-15.0, 0.0]), weight=np.array([1.0, 2.0]))
    assert units == pytest.approx(25.0)


def test_a_plain_source_needs_heat_over_heat_per_unit_and_efficiency() -> None:
    """1000 kWh ÷ (2000 kWh a unit · 0.5) = 1 unit."""
    source = heater(heat_per_unit_kwh=sure(2000.0), efficiency=sure(0.5))
    assert units_of(source, 1000.0) == pytest.approx(1.0)
    assert input_factor(source, [-10.0, 5.0]).tolist() == [1.0, 1.0]


def test_hours_of_work_follow_the_units_and_are_unknown_for_a_stove_that_says_nothing() -> None:
    assert labour_hours(stove(hours_per_unit=sure(9.0)), 0.5) == pytest.approx(4.5)
    assert labour_hours(stove(), 0.5) is None
    assert labour_hours(heater(), 700.0) == 0.0


def test_a_heat_pump_without_points_has_no_curve() -> None:
    with pytest.raises(ValueError, match="at least one point"):
        cop_at((), 0.0)
