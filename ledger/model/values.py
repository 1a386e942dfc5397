"""Values that carry their own doubt, and where they come from."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class Basis(StrEnum):
    """How a value is known. The order is from firm to loose."""

    METERED = "metered"
    RECEIPT = "receipt"
    QUOTED = "quoted"
    PUBLISHED = "published"
    ESTIMATED = "estimated"
    ASSUMED = "assumed"


@dataclass(frozen=True, slots=True)
class Spread:
    """A number with its range: low ≤ likely ≤ high, in the SI unit that the holding field's name wears.

    `exact` says that the grower turned the range off (low = likely = high). `stated` is False where the range is the
    default half-width of the basis and True where low and high were typed.
    """

    likely: float
    low: float
    high: float
    basis: Basis = Basis.ESTIMATED
    exact: bool = False
    stated: bool = False
    note: str = ""

    @classmethod
    def sure(cls, value: float, basis: Basis = Basis.RECEIPT) -> Spread:
        """A number without doubt."""
        return cls(likely=value, low=value, high=value, basis=basis, exact=True)


@dataclass(frozen=True, slots=True)
class MoneyRange:
    """Money paid or to be paid, in the ledger's currency, held to its smallest coin."""

    likely: Decimal
    low: Decimal
    high: Decimal
    basis: Basis = Basis.RECEIPT
    note: str = ""

    @classmethod
    def sure(cls, amount: Decimal | str) -> MoneyRange:
        """Money without doubt."""
        value = Decimal(amount)
        return cls(likely=value, low=value, high=value)


@dataclass(frozen=True, slots=True)
class Assumption:
    """A default of ours that entered the answer: the ledger path it stands for, its value with unit, its source."""

    path: str
    value: str
    source: str


@dataclass(frozen=True, slots=True)
class MonthDay:
    """A day of the year, MM-DD."""

    month: int
    day: int


@dataclass(frozen=True, slots=True)
class Window:
    """A span of days of the year, both ends included; it may run over the new year."""

    begins: MonthDay
    ends: MonthDay
