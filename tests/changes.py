"""What a test may change of a fact made ready for it: the fields beside those that its maker asks for by name.

Each is handed on to `dataclasses.replace`, where mypy holds name and type against the fact itself.
"""

from __future__ import annotations

from datetime import date
from typing import TypedDict

from ledger.model.book import RunningLine
from ledger.model.build import Before, Build, Status, Store, Upkeep
from ledger.model.climate import Climate
from ledger.model.heaters import CopPoint, Kind, Source, Tariff
from ledger.model.house import Crop, Hold, Site
from ledger.model.ledger import Show
from ledger.model.logs import LogSpec
from ledger.model.terms import Benefit, Electricity, Grant, Loan, NextStep, Posting, Power, Terms, Timing
from ledger.model.values import MoneyRange, Spread
from ledger.money.project import FloatArray, Number


class ItemChanges(TypedDict, total=False):
    """Of a receipt."""

    status: Status
    hours: Spread | None
    why_share: str
    paper: str


class BuildChanges(TypedDict, total=False):
    """Of a build, beside its name and its receipts."""

    upkeep: tuple[Upkeep, ...]
    before: tuple[Before, ...]
    expected_fraction: Spread | None
    expected_running: MoneyRange | None
    share_of_saving: float | None


class SourceTraits(TypedDict, total=False):
    """Of a source of heat, beside its name and its price."""

    kind: Kind
    unit: str
    heat_per_unit_kwh: Spread
    efficiency: Spread
    price_growth: Spread
    capital: MoneyRange | None
    life_years: Spread
    upkeep_per_year: MoneyRange
    cop: tuple[CopPoint, ...]
    bought: date | None
    output_kw: Spread | None
    units: int
    hours_per_unit: Spread | None
    burn_hours: Spread | None
    needs_mains: bool | None
    backup: bool
    then: str | None
    tariffs: tuple[Tariff, ...]


class SourceChanges(SourceTraits, total=False):
    """Of a source of heat, name and price too."""

    name: str
    price: Spread


class TermsChanges(TypedDict, total=False):
    """Of the terms of the reckoning."""

    currency: str
    coin_digits: int
    base_date: date
    study_years: int
    discount_rate: Spread
    rates_are_real: bool
    inflation: Spread
    timing: Timing
    against: str
    loans: tuple[Loan, ...]
    grants: tuple[Grant, ...]


class LedgerChanges(TypedDict, total=False):
    """Of a whole ledger, beside the house."""

    show: Show
    site: Site
    hold: Hold
    crop: Crop
    terms: Terms
    electricity: Electricity
    builds: tuple[Build, ...]
    sources: tuple[Source, ...]
    running: tuple[RunningLine, ...]
    labour_rate_per_h: Spread | None
    logs: tuple[LogSpec, ...]
    stores: tuple[Store, ...]
    benefits: tuple[Benefit, ...]
    power: Power | None
    climate: Climate | None
    next_steps: tuple[NextStep, ...]


class LoanChanges(TypedDict, total=False):
    """Of a loan, beside the sum, its rate and its years."""

    name: str
    payments_per_year: int
    start: date
    posting: Posting


class YearMoneyChanges(TypedDict, total=False):
    """Of a year's money, beside the fuel avoided."""

    avoided_kwh: Number | None
    fuel_growth: Number
    avoided_labour_cost: Number
    running_energy_cost: Number | None
    energy_growth: Number
    running_labour_cost: Number
    running_other_cost: Number
    upkeep_cost: Number
    upkeep_labour_cost: Number
    fuel_price_path: FloatArray | None
    energy_price_path: FloatArray | None
    later_fuel_cost: FloatArray | None
    later_energy_cost: FloatArray | None


class ProjectChanges(TypedDict, total=False):
    """Of a project, beside items, saving, years and discount rate."""

    inflation: Number
    timing: Timing
    grants: Number
