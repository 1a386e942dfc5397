"""Houses, ledgers and records put together by hand, small enough for mental arithmetic."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Unpack

import numpy as np
import pandas as pd

from ledger.model.build import Build, Item
from ledger.model.heaters import Source
from ledger.model.house import BareWay, CountRule, Crop, GddMethod, Hold, House, Site, Surface
from ledger.model.ledger import Ledger, Show
from ledger.model.terms import Electricity
from ledger.model.values import Basis, MoneyRange, Spread, Window
from ledger.series.record import ChannelFigures, HourlyRecord, HoursByReason, LogFigures
from tests.changes import BuildChanges, LedgerChanges, SourceChanges
from tests.money import made
from tests.money.made import SEASON

SITE = Site(latitude_deg=46.0, longitude_deg=11.0, elevation_m=0.0, timezone="Europe/Rome")
WINTER = SEASON
JANUARY_HOURS = 31 * 24


def spread(likely: float, low: float | None = None, high: float | None = None) -> Spread:
    """A value; without ends a sure one."""
    if low is None or high is None:
        return Spread.sure(likely)
    return Spread(likely=likely, low=low, high=high, basis=Basis.ESTIMATED, stated=True)


def plain_house(h_w_per_k: float = 100.0, *, lift: Spread | None = None, bare: BareWay = BareWay.AUTO) -> House:
    """50 m2 of cover and nothing else: H is what the cover conducts; floor 20 m2."""
    return House(
        floor_area_m2=spread(20.0),
        volume_m3=spread(50.0),
        surfaces=(Surface("cover", spread(50.0), spread(h_w_per_k / 50.0)),),
        edges=(),
        air_changes_per_h=spread(0.0),
        unheated_lift_k=lift,
        night_floor_heat_w_per_m2=Spread(25.0, 10.0, 50.0, Basis.ASSUMED),
        bare=bare,
        sun_gain=spread(0.5),
    )


def build(name: str = "buried air tubes", **changes: Unpack[BuildChanges]) -> Build:
    """A build with one receipt."""
    item = Item(
        date=date(2025, 6, 1),
        what="digging",
        amount=MoneyRange.sure("4000"),
        share=spread(1.0),
        life_years=spread(30.0),
        residual=MoneyRange.sure("0"),
    )
    return replace(Build(name=name, items=(item,)), **changes)


def heater(**changes: Unpack[SourceChanges]) -> Source:
    """An electric heater kept as backup."""
    source = made.heater("electric heater", 0.16, capital=MoneyRange.sure("120"), life_years=spread(8.0))
    return replace(source, **changes)


def ledger_of(
    house: House | None = None, *, hold_c: float = 5.0, season: Window = WINTER, **changes: Unpack[LedgerChanges]
) -> Ledger:
    """A ledger with one build and an electric heater; no backup heat was used."""
    plain = Ledger(
        title="A growing house",
        show=Show.METRIC,
        site=SITE,
        house=house or plain_house(lift=spread(2.0, 1.0, 3.0)),
        hold=Hold(temperature_c=hold_c, season=season, count=CountRule.DARK, backup_none=True),
        crop=Crop(base_c=10.0, ceiling_c=None, method=GddMethod.HOURLY, window=season),
        terms=made.terms(against="electric heater"),
        electricity=Electricity(price=spread(0.16), price_growth=spread(0.02)),
        builds=(build(),),
        sources=(heater(),),
        running=(),
        labour_rate_per_h=None,
        logs=(),
    )
    return replace(plain, **changes)


def through_january(value: float) -> pd.Series:
    """One value in each hour of January 2026 in Rome."""
    index = pd.date_range("2025-12-31T23:00Z", periods=JANUARY_HOURS, freq="h").as_unit("ns")
    return pd.Series(np.full(JANUARY_HOURS, value), index=index)


def record_of(
    channels: Mapping[str, Sequence[float] | np.ndarray], *, first: str, timezone: str = "Europe/Rome"
) -> HourlyRecord:
    """A record of hourly means from an instant on."""
    columns = {name: np.asarray(values, dtype=float) for name, values in channels.items()}
    length = len(next(iter(columns.values())))
    index = pd.date_range(pd.Timestamp(first), periods=length, freq="h").tz_convert("UTC").as_unit("ns")
    hours = pd.DataFrame(columns, index=index)
    figures = LogFigures(
        first=None,
        last=None,
        hours_span=length,
        hours_valid=length,
        coverage=1.0,
        flagged_hours=HoursByReason(),
        lost_hours=HoursByReason(),
        channels={n: ChannelFigures(length, None, None, None) for n in columns},
        files=(),
    )
    reason = pd.Series([""] * length, index=index, dtype=object)
    return HourlyRecord(hours, reason, hours, 60.0, timezone, figures)


def winter_record(years: int = 1, *, seed: int = 1, indoor_over: float = 6.0, **more: np.ndarray) -> HourlyRecord:
    """Whole twelve-month stretches from 1 October: a yearly and a daily swing with some noise, indoors damped."""
    length = 8760 * years
    hour = np.arange(length)
    noise = np.random.default_rng(seed).normal(0.0, 1.5, length // 24 + 1).repeat(24)[:length]
    outdoor = (
        8.0 - 12.0 * np.sin(2 * np.pi * (hour / 24 - 12) / 365) + 5.0 * np.cos(2 * np.pi * (hour - 15) / 24) + noise
    )
    indoor = outdoor.mean() + 0.5 * (outdoor - outdoor.mean()) + indoor_over - 3.0
    return record_of({"indoor": indoor, "outdoor": outdoor, **more}, first="2024-10-01T00:00+02:00")
