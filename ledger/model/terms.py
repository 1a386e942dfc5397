"""The terms on which money is reckoned, and money other than heat."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from ledger.model.values import MoneyRange, Spread


class Timing(StrEnum):
    """When in a year its streams fall."""

    END_OF_YEAR = "end of year"
    MID_YEAR = "mid-year"


class Posting(StrEnum):
    """How a loan's rows are posted."""

    CENTS = "cents"
    EXACT = "exact"


@dataclass(frozen=True, slots=True)
class Loan:
    """A loan; it never changes NPV."""

    name: str
    principal: Decimal
    annual_rate: float
    years: float
    payments_per_year: int
    start: date
    posting: Posting


@dataclass(frozen=True, slots=True)
class Grant:
    """Money given towards the capital; counted with the share of what it pays for."""

    name: str
    amount: MoneyRange
    date: date
    build: str | None = None


@dataclass(frozen=True, slots=True)
class Terms:
    """Currency, dates, rates. With real rates `inflation` is 0 in all formulas and serves loans only."""

    currency: str
    coin_digits: int
    base_date: date
    study_years: int
    discount_rate: Spread
    rates_are_real: bool
    inflation: Spread
    timing: Timing
    against: str
    loans: tuple[Loan, ...] = ()
    grants: tuple[Grant, ...] = ()


@dataclass(frozen=True, slots=True)
class Electricity:
    """Price of a kilowatt-hour for all that is no source. None: that of the electric source, with its tariffs."""

    price: Spread | None
    price_growth: Spread


@dataclass(frozen=True, slots=True)
class Benefit:
    """Money other than heat; never in the headline."""

    what: str
    amount: MoneyRange


@dataclass(frozen=True, slots=True)
class NextStep:
    """A step under consideration from today on."""

    what: str
    amount: MoneyRange
    adds_avoided_kwh: Spread | None = None


@dataclass(frozen=True, slots=True)
class Power:
    """Life off the grid."""

    battery_kwh: Spread | None = None
    usable: Spread | None = None
    inverter_efficiency: Spread | None = None
    other_load_w: Spread | None = None
    array_capital: MoneyRange | None = None
    array_life_years: Spread | None = None
    battery_capital: MoneyRange | None = None
    battery_life_years: Spread | None = None
    used_energy_kwh_per_year: Spread | None = None
