"""The one composition: (ledger, hourly record) -> appraisal. No arithmetic stands here."""

from __future__ import annotations

from dataclasses import dataclass, field

from ledger.errors import Notice
from ledger.heat.results import HouseFigures, SeasonHeat, TypicalHeat
from ledger.model.ledger import Ledger
from ledger.model.values import Assumption
from ledger.money.results import (
    BuildFigures,
    Capital,
    CashYear,
    Driver,
    LoanFigures,
    SeasonAccount,
    TypicalMoney,
    WorthFigures,
    WorthRange,
)
from ledger.plans.results import Plan
from ledger.series.record import HourlyRecord, LogFigures


@dataclass(frozen=True, slots=True)
class Program:
    """Which program answered."""

    name: str
    version: str


@dataclass(frozen=True, slots=True)
class LogHash:
    """A log file by its bare name and the hash of its bytes."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Identity:
    """Which ledger and logs were read."""

    title: str
    currency: str
    file: str
    sha256: str
    logs: tuple[LogHash, ...]


@dataclass(frozen=True, slots=True)
class SeasonAnswer:
    """One season: its heat and its money."""

    heat: SeasonHeat
    account: SeasonAccount


@dataclass(frozen=True, slots=True, eq=False)
class Appraisal:
    """Everything that the program has to say about one ledger. None: could not be reckoned; a warning says why."""

    program: Program
    identity: Identity
    source: Ledger
    house: HouseFigures
    record: HourlyRecord | None
    log: LogFigures | None
    seasons: tuple[SeasonAnswer, ...]
    typical_heat: TypicalHeat | None
    typical_money: TypicalMoney | None
    capital: Capital
    worth: WorthFigures
    worth_range: WorthRange
    drivers: tuple[Driver, ...]
    verdict: str
    why: str
    builds: tuple[BuildFigures, ...]
    cash_flow: tuple[CashYear, ...]
    loans: tuple[LoanFigures, ...]
    plans: tuple[Plan, ...]
    assumed: tuple[Assumption, ...]
    warnings: tuple[Notice, ...] = field(default=())
