"""Ledgers, typical years and comparisons for the plans' tests."""

from __future__ import annotations

from ledger.heat.results import TypicalHeat
from ledger.model.heaters import Kind, Source
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange
from ledger.plans.compare import compare
from ledger.plans.results import Comparison, Plan
from tests.money.made import heater, sure


def money(amount: float | str) -> MoneyRange:
    return MoneyRange.sure(str(amount))


def plug(**changed) -> Source:
    """An electric heater: 0.20 a kWh, capital 300, 10 years, 100 kW."""
    values = {"capital": money(300), "life_years": sure(10.0), "output_kw": sure(100.0)}
    return heater(**(values | changed))


def stove(**changed) -> Source:
    """A wood stove: 200 a cord of 5000 kWh at a half, 8 h of work a cord, capital 2400, 20 years, chimney 140."""
    values = {
        "name": "wood stove",
        "kind": Kind.WOOD_STOVE,
        "unit": "cord",
        "price": 200.0,
        "heat_per_unit_kwh": sure(5000.0),
        "efficiency": sure(0.5),
        "price_growth": sure(0.02),
        "hours_per_unit": sure(8.0),
        "capital": money(2400),
        "life_years": sure(20.0),
        "upkeep_per_year": money(140),
        "output_kw": sure(100.0),
        "backup": False,
    }
    return heater(**(values | changed))


def compared(ledger: Ledger, heat: TypicalHeat, **changed) -> Comparison:
    values = {"fan_kwh": None, "coldest_logged_c": -14.0, "shares": None}
    return compare(ledger, heat, **(values | changed))


def named(comparison: Comparison, name: str) -> Plan:
    return next(p for p in comparison.plans if p.name == name)
