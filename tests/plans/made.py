"""Ledgers, typical years and comparisons for the plans' tests."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Unpack

from ledger.heat.results import TypicalHeat
from ledger.model.heaters import Kind, Source
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange
from ledger.plans.compare import compare
from ledger.plans.results import Comparison, Plan
from tests.changes import SourceTraits
from tests.money.made import heater, sure


def money(amount: float | str) -> MoneyRange:
    return MoneyRange.sure(str(amount))


def plug(name: str = "plug heater", price: float = 0.20, **changed: Unpack[SourceTraits]) -> Source:
    """An electric heater: 0.20 a kWh, capital 300, 10 years, 100 kW."""
    plain = heater(name, price, capital=money(300), life_years=sure(10.0), output_kw=sure(100.0))
    return replace(plain, **changed)


def stove(name: str = "wood stove", price: float = 200.0, **changed: Unpack[SourceTraits]) -> Source:
    """A wood stove: 200 a cord of 5000 kWh at a half, 8 h of work a cord, capital 2400, 20 years, chimney 140."""
    plain = heater(
        name,
        price,
        kind=Kind.WOOD_STOVE,
        unit="cord",
        heat_per_unit_kwh=sure(5000.0),
        efficiency=sure(0.5),
        price_growth=sure(0.02),
        hours_per_unit=sure(8.0),
        capital=money(2400),
        life_years=sure(20.0),
        upkeep_per_year=money(140),
        output_kw=sure(100.0),
        backup=False,
    )
    return replace(plain, **changed)


def compared(
    ledger: Ledger,
    heat: TypicalHeat,
    *,
    fan_kwh: float | None = None,
    coldest_logged_c: float | None = -14.0,
    shares: Mapping[str, float] | None = None,
) -> Comparison:
    return compare(ledger, heat, fan_kwh=fan_kwh, coldest_logged_c=coldest_logged_c, shares=shares)


def named(comparison: Comparison, name: str) -> Plan:
    return next(p for p in comparison.plans if p.name == name)
