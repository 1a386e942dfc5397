"""Small ledgers and projects for the money tests; places and people of our own making."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Unpack

import numpy as np

from ledger.model.build import Build, Item
from ledger.model.heaters import Kind, Source
from ledger.model.house import BareWay, Crop, GddMethod, Hold, House, Site, Surface
from ledger.model.ledger import Ledger, Show
from ledger.model.terms import Electricity, Grant, Loan, Posting, Terms, Timing
from ledger.model.values import MoneyRange, MonthDay, Spread, Window
from ledger.money.flows import Flows
from ledger.money.project import FloatArray, Number, Project, ProjectItem, YearMoney
from tests.changes import (
    BuildChanges,
    ItemChanges,
    LoanChanges,
    ProjectChanges,
    SourceTraits,
    TermsChanges,
    YearMoneyChanges,
)

BASE = date(2025, 9, 1)
SEASON = Window(MonthDay(10, 1), MonthDay(4, 30))


def sure(value: float) -> Spread:
    return Spread.sure(value)


def item(
    amount: str,
    *,
    day: date = BASE,
    share: float = 1.0,
    life: float = 25.0,
    residual: str = "0",
    **more: Unpack[ItemChanges],
) -> Item:
    return Item(
        date=day,
        what="trench",
        amount=MoneyRange.sure(amount),
        share=sure(share),
        life_years=sure(life),
        residual=MoneyRange.sure(residual),
        **more,
    )


def terms(**changed: Unpack[TermsChanges]) -> Terms:
    plain = Terms(
        currency="EUR",
        coin_digits=2,
        base_date=BASE,
        study_years=25,
        discount_rate=sure(0.06),
        rates_are_real=False,
        inflation=sure(0.02),
        timing=Timing.END_OF_YEAR,
        against="plug heater",
    )
    return replace(plain, **changed)


def heater(name: str = "plug heater", price: float = 0.20, **changed: Unpack[SourceTraits]) -> Source:
    plain = Source(
        name=name,
        kind=Kind.ELECTRIC,
        unit="kWh",
        price=sure(price),
        heat_per_unit_kwh=sure(1.0),
        efficiency=sure(1.0),
        price_growth=sure(0.02),
        capital=None,
        life_years=sure(15.0),
        upkeep_per_year=MoneyRange.sure("0"),
        backup=True,
    )
    return replace(plain, **changed)


def ledger_of(*builds: Build, labour_rate: float | None = None, **term_changes: Unpack[TermsChanges]) -> Ledger:
    return Ledger(
        title="Upper terrace",
        show=Show.METRIC,
        site=Site(46.0, 11.0, 1450.0, "Europe/Rome"),
        house=House(
            floor_area_m2=sure(60.0),
            volume_m3=sure(162.0),
            surfaces=(Surface("cover", sure(130.0), sure(2.5)),),
            edges=(),
            air_changes_per_h=sure(0.8),
            unheated_lift_k=sure(5.0),
            night_floor_heat_w_per_m2=sure(25.0),
            bare=BareWay.AUTO,
            sun_gain=sure(0.5),
        ),
        hold=Hold(4.0, SEASON),
        crop=Crop(10.0, None, GddMethod.HOURLY, SEASON),
        terms=terms(**term_changes),
        electricity=Electricity(None, sure(0.02)),
        builds=builds,
        sources=(heater(),),
        running=(),
        labour_rate_per_h=None if labour_rate is None else sure(labour_rate),
        logs=(),
    )


def build(name: str, *items: Item, **more: Unpack[BuildChanges]) -> Build:
    return Build(name=name, items=items, **more)


def grant(amount: str, *, for_build: str | None = None) -> Grant:
    return Grant("heat grant", MoneyRange.sure(amount), BASE, for_build)


def loan(principal: str, rate: float, years: float, **changed: Unpack[LoanChanges]) -> Loan:
    plain = Loan(
        name="co-operative credit",
        principal=Decimal(principal),
        annual_rate=rate,
        years=years,
        payments_per_year=1,
        start=BASE,
        posting=Posting.CENTS,
    )
    return replace(plain, **changed)


def year_money(fuel: Number | None, **changed: Unpack[YearMoneyChanges]) -> YearMoney:
    plain = YearMoney(
        avoided_kwh=1000.0,
        avoided_fuel_cost=fuel,
        fuel_growth=0.0,
        avoided_labour_cost=0.0,
        running_energy_cost=0.0,
        energy_growth=0.0,
        running_labour_cost=0.0,
        running_other_cost=0.0,
        upkeep_cost=0.0,
    )
    return replace(plain, **changed)


def part(
    counted: Number, *, life: Number = 1000.0, year: int = 0, residual: Number = 0.0, work: Number = 0.0
) -> ProjectItem:
    return ProjectItem("tubes", year, counted, work, residual, life)


def project(
    *items: ProjectItem, saving: YearMoney | Number, years: int, d: Number, **changed: Unpack[ProjectChanges]
) -> Project:
    """A project without growth or inflation unless stated; `saving` a year's fuel or a whole YearMoney.

    An item whose life is the study leaves nothing at its end.
    """
    plain = Project(
        study_years=years,
        discount_rate=d,
        inflation=0.0,
        timing=Timing.END_OF_YEAR,
        items=items,
        grants=0.0,
        year=saving if isinstance(saving, YearMoney) else year_money(saving),
    )
    return replace(plain, **changed)


def dated(amounts: Sequence[float]) -> tuple[FloatArray, FloatArray]:
    """Amounts at the ends of years 0, 1, 2, ..."""
    return np.array(amounts, dtype=float), np.arange(len(amounts), dtype=float)


def flows_of(amounts: Sequence[float]) -> Flows:
    """Amounts by year as one stream, the first as capital."""
    flow, times = dated(amounts)
    none = np.zeros_like(flow)
    first = none.copy()
    first[0] = flow[0]
    return Flows(first, flow - first, none, none, none, none, times)
