"""The project: every number that its dated cash depends on, each a float or an array over draws."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from ledger.model.build import Build, Item
from ledger.model.ledger import Ledger
from ledger.model.terms import Grant, Timing
from ledger.model.values import MoneyRange, Spread

FloatArray: TypeAlias = NDArray[np.float64]
Number: TypeAlias = float | FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class YearMoney:
    """One year's money at base-date prices, before growth. None: unknown (never 0).

    All costs are positive. `…_growth` are rates a year; a path, where given, holds price of year k ÷ base-date price
    for k = 1..N on its last axis and replaces (1 + growth)^k (a known later tariff). `later_fuel_cost`, money of years
    1..N, is added to the fuel avoided: fuel that is free on the base date and has its price from a later tariff;
    `later_energy_cost` the same for the running energy.
    Labour is apart from the other costs, since the cash payback and a loan's cover leave it out.
    """

    avoided_kwh: Number | None
    avoided_fuel_cost: Number | None
    fuel_growth: Number
    avoided_labour_cost: Number
    running_energy_cost: Number | None
    energy_growth: Number
    running_labour_cost: Number
    running_other_cost: Number
    upkeep_cost: Number
    upkeep_labour_cost: Number = 0.0
    fuel_price_path: FloatArray | None = None
    energy_price_path: FloatArray | None = None
    later_fuel_cost: FloatArray | None = None
    later_energy_cost: FloatArray | None = None


@dataclass(frozen=True, slots=True, eq=False)
class ProjectItem:
    """One item as it counts: `counted` = share · (amount + own work); `residual_counted` = share · residual.

    `own_work` = share · own hours · labour rate is capital of the year it was done in. It is not money that could be
    got back, so replacement and residual rest on `paid` alone.
    """

    build: str
    year: int
    counted: Number
    own_work: Number
    residual_counted: Number
    life_years: Number

    @property
    def paid(self) -> Number:
        """Share · amount, own work apart. [currency]"""
        return self.counted - self.own_work


@dataclass(frozen=True, slots=True, eq=False)
class Project:
    """Everything that a stream, a present worth or a payback is made of.

    `inflation` is 0 with real rates. `grants` enter year 0 as a positive amount. Each Number is a float or an array
    over draws (leading axis); all of them broadcast together.
    """

    study_years: int
    discount_rate: Number
    inflation: Number
    timing: Timing
    items: tuple[ProjectItem, ...]
    grants: Number
    year: YearMoney


def number(value: Spread | MoneyRange) -> Number:
    """The likely value as a float; an array of draws that stands in its place passes through."""
    likely = value.likely
    return float(likely) if isinstance(likely, Decimal) else likely


def anniversary(base: date, years: int) -> date:
    """The day `years` after the base date; for 29 February in a common year, the 28th."""
    try:
        return base.replace(year=base.year + years)
    except ValueError:
        return base.replace(year=base.year + years, day=28)


def year_of(day: date, *, base: date) -> int:
    """The year of the study that holds a day.

    0 for the base date and before; k for days after base + (k − 1) years, up to and including base + k years.
    """
    if day <= base:
        return 0
    years = day.year - base.year
    return years if day <= anniversary(base, years) else years + 1


def own_work(item: Item, *, labour_rate_per_h: Number) -> Number:
    """Own hours put into an item, in money."""
    return 0.0 if item.hours is None else number(item.hours) * labour_rate_per_h


def labour_rate(ledger: Ledger) -> Number:
    """Money per own hour; 0 where the ledger gives no rate (hours are then shown without money)."""
    return 0.0 if ledger.labour_rate_per_h is None else number(ledger.labour_rate_per_h)


def mean_share(items: tuple[Item, ...]) -> Number:
    """The amount-weighted share of items; their plain mean where no money was paid at all; 1 where there are none."""
    if not items:
        return 1.0
    amounts = [number(item.amount) for item in items]
    shares = [number(item.share) for item in items]
    total = np.asarray(sum(amounts), dtype=np.float64)
    weighted = np.asarray(sum(a * s for a, s in zip(amounts, shares, strict=True)), dtype=np.float64)
    plain = np.asarray(sum(shares) / len(shares), dtype=np.float64)
    mean = np.where(total > 0, weighted / np.where(total > 0, total, 1.0), plain)
    return float(mean) if mean.ndim == 0 else mean


def paid_for(grant: Grant, builds: tuple[Build, ...]) -> tuple[Item, ...]:
    """The items that a grant pays for: those of its build, or all."""
    return tuple(i for b in builds if grant.build in (None, b.name) for i in b.items)


def project_from(ledger: Ledger, year: YearMoney) -> Project:
    """The project of all builds, each item and grant at its share for the heat."""
    grants = sum((number(g.amount) * mean_share(paid_for(g, ledger.builds)) for g in ledger.terms.grants), 0.0)
    return _project(ledger, _items(ledger, ledger.builds), grants, year)


def whole_house_project(ledger: Ledger, year: YearMoney) -> Project:
    """The same with every item at share 1 and the grants off in full: what the house as a whole costs."""
    rate = labour_rate(ledger)
    items = tuple(_item(ledger, b, i, share=1.0, rate=rate) for b in ledger.builds for i in b.items)
    return _project(ledger, items, sum((number(g.amount) for g in ledger.terms.grants), 0.0), year)


def build_project(ledger: Ledger, name: str, year: YearMoney) -> Project:
    """The project of one build: its items, the grants for it, and its part by money of those for all builds."""
    mine = tuple(b for b in ledger.builds if b.name == name)
    items = _items(ledger, mine)
    everything = sum((i.counted for i in _items(ledger, ledger.builds)), 0.0)
    own = sum((i.counted for i in items), 0.0)
    part = np.divide(own, everything, out=np.zeros(np.shape(everything)), where=np.asarray(everything) != 0)
    grants: Number = 0.0
    for grant in ledger.terms.grants:
        amount = number(grant.amount) * mean_share(paid_for(grant, ledger.builds))
        if grant.build is None:
            grants = grants + amount * part
        elif grant.build == name:
            grants = grants + amount
    return _project(ledger, items, float(grants) if np.ndim(grants) == 0 else grants, year)


def _items(ledger: Ledger, builds: tuple[Build, ...]) -> tuple[ProjectItem, ...]:
    rate = labour_rate(ledger)
    return tuple(_item(ledger, b, i, share=number(i.share), rate=rate) for b in builds for i in b.items)


def _item(ledger: Ledger, build: Build, item: Item, *, share: Number, rate: Number) -> ProjectItem:
    work = own_work(item, labour_rate_per_h=rate)
    return ProjectItem(
        build=build.name,
        year=year_of(item.date, base=ledger.terms.base_date),
        counted=share * (number(item.amount) + work),
        own_work=share * work,
        residual_counted=share * number(item.residual),
        life_years=number(item.life_years),
    )


def _project(ledger: Ledger, items: tuple[ProjectItem, ...], grants: Number, year: YearMoney) -> Project:
    terms = ledger.terms
    return Project(
        study_years=terms.study_years,
        discount_rate=number(terms.discount_rate),
        inflation=0.0 if terms.rates_are_real else number(terms.inflation),
        timing=terms.timing,
        items=items,
        grants=grants,
        year=year,
    )
