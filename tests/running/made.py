"""Season books and typical years for the tests; places and figures of our own making."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Unpack

import numpy as np
import pandas as pd

from ledger.heat.results import Band, BareFigures, Rungs, SeasonHeat, TypicalHeat
from ledger.model.book import RunningLine
from ledger.model.build import Build
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.model.terms import Electricity
from tests.changes import TermsChanges
from tests.money.made import heater, ledger_of, sure


def line(
    target: str,
    first: date,
    last: date,
    *,
    kwh: float | None = None,
    quantity: float | None = None,
    amount: str | None = None,
    hours: float = 0.0,
    what: str = "fan electricity",
) -> RunningLine:
    """A line of the season book, dated on the last day that it covers."""
    money = None if amount is None else Decimal(amount)
    return RunningLine(last, target, what, kwh, quantity, money, hours, first, last)


def ledger_with(
    *builds: Build,
    sources: tuple[Source, ...] = (),
    running: tuple[RunningLine, ...] = (),
    price: float | None = None,
    growth: float = 0.02,
    labour_rate: float | None = None,
    **term_changes: Unpack[TermsChanges],
) -> Ledger:
    """A ledger with some sources, a season book and, if given, a price of electricity."""
    base = ledger_of(*builds, labour_rate=labour_rate, **term_changes)
    return replace(
        base,
        sources=sources or (heater(),),
        running=running,
        electricity=Electricity(None if price is None else sure(price), sure(growth)),
    )


def typical(
    need: list[float], buy: list[float], *, outdoor: list[float] | None = None, weight: float = 1.0
) -> TypicalHeat:
    """A typical year of so many hours, from the evening of 10 January 2026 on (UTC), each standing `weight` times."""
    needs, buys = np.array(need, dtype=float), np.array(buy, dtype=float)
    profile = pd.DataFrame(
        {
            "outdoor_c": np.zeros(needs.size) if outdoor is None else np.array(outdoor, dtype=float),
            "indoor_c": np.full(needs.size, 4.0),
            "weight": np.full(needs.size, weight),
            "need_kwh": needs,
            "to_buy_kwh": buys,
        },
        index=pd.date_range("2026-01-10T17:00", periods=needs.size, freq="h", tz="UTC"),
    )
    whole, left = float(np.sum(needs) * weight), float(np.sum(buys) * weight)
    return TypicalHeat(
        basis="logged seasons",
        months_not_logged=(),
        need_kwh=whole,
        avoided_kwh=whole - left,
        avoided_range_kwh=Band(whole - left, whole - left),
        to_buy_kwh=left,
        at_least=False,
        gdd_indoor_k_d=None,
        gdd_over_outdoors_k_d=None,
        gdd_by_build_k_d=None,
        gdd_months=(),
        profile=profile,
    )


def season(name: str, avoided_kwh: float) -> SeasonHeat:
    """A season's heat of which only the avoided heat matters here."""
    return SeasonHeat(
        season=name,
        hours=5088,
        hours_valid=5088,
        hours_counted=3000,
        coverage=1.0,
        dark_degree_hours_k_h=0.0,
        rungs=Rungs(0.0, 0.0, 0.0, avoided_kwh, avoided_kwh),
        bare_doubt_kwh=0.0,
        need_kwh=max(avoided_kwh, 0.0),
        avoided_kwh=avoided_kwh,
        avoided_range_kwh=Band(avoided_kwh, avoided_kwh),
        need_whole_season_kwh=None,
        avoided_whole_season_kwh=None,
        avoided_whole_season_range_kwh=None,
        passive_fraction=None,
        shortfall_kwh=0.0,
        backup_delivered_kwh=0.0,
        bare=BareFigures("twin", {}),
        indoor_min_c=None,
        hours_below_hold=0,
        hours_below_freezing=0,
        gdd_indoor_k_d=None,
        gdd_outdoor_k_d=None,
        gdd_over_outdoors_k_d=None,
        gdd_by_build_k_d=None,
        build_energy_kwh=None,
        avoided_per_kwh_used=None,
    )
