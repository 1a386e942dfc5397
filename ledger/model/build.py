"""Passive measures: what was built so that less heat is bought, with its receipts and stores."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from ledger.model.values import MoneyRange, Spread


class Status(StrEnum):
    """How far an item has come. Planned and quoted items count like paid ones and are marked."""

    PAID = "paid"
    QUOTED = "quoted"
    PLANNED = "planned"


class Hours(StrEnum):
    """When a change of the envelope is in force."""

    ALWAYS = "always"
    NIGHT = "night"


@dataclass(frozen=True, slots=True)
class Item:
    """One receipt, quotation or plan. Own `hours` are paid at the ledger's labour rate and shown apart."""

    date: date
    what: str
    amount: MoneyRange
    share: Spread
    life_years: Spread
    residual: MoneyRange
    status: Status = Status.PAID
    hours: Spread | None = None
    why_share: str = ""
    paper: str = ""
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Upkeep:
    """Upkeep expected each year, in base-date money."""

    what: str
    amount: MoneyRange


@dataclass(frozen=True, slots=True)
class Before:
    """What stood in place of a part of the envelope without this build. Exactly one of the three is set.

    surface + u_value_w_per_m2_k; air_changes_per_h; edge + loss_w_per_m_k. Surface "cover" names the form's cover.
    """

    surface: str | None = None
    u_value_w_per_m2_k: Spread | None = None
    air_changes_per_h: Spread | None = None
    edge: str | None = None
    loss_w_per_m_k: Spread | None = None
    hours: Hours = Hours.ALWAYS


@dataclass(frozen=True, slots=True)
class Build:
    """One passive measure."""

    name: str
    items: tuple[Item, ...]
    upkeep: tuple[Upkeep, ...] = ()
    before: tuple[Before, ...] = ()
    expected_fraction: Spread | None = None
    expected_running: MoneyRange | None = None
    share_of_saving: float | None = None
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Store:
    """A heat store whose release can be reckoned from a logged temperature."""

    name: str
    build: str | None
    channel: str
    heat_capacity_kwh_per_k: Spread
