"""What a build costs to run in a typical year, from the season book by calendar month."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.months import MONTHS
from ledger.model.book import RunningLine
from ledger.model.build import Build
from ledger.model.ledger import Ledger
from ledger.model.values import Window
from ledger.money.book_spans import AccountSpan, account_span, account_spans, days_covered, is_running
from ledger.money.prices import electricity_price
from ledger.money.project import Number, labour_rate, number
from ledger.series.record import HourlyRecord

DAYS_OF_MONTH = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
SEASONS_FOR_A_MEAN = 3


class RunningBasis(StrEnum):
    """Where a running cost comes from, best first."""

    BOOK = "season book"
    FAN_CHANNEL = "fan channel"
    EXPECTED = "expected"
    UNKNOWN = "unknown"


class UpkeepBasis(StrEnum):
    """Where an upkeep cost comes from."""

    EXPECTED = "expected"
    NOTED = "noted"


@dataclass(frozen=True, slots=True, eq=False)
class RunningYear:
    """Running of a typical year at base-date prices, split by what each part grows with.

    `energy_cost` [currency] is None when nothing is known of the running cost; the other parts are then 0.
    `energy_kwh` [kWh] and `own_hours` [h] are those of the same year.
    """

    basis: RunningBasis
    energy_cost: Number | None
    labour_cost: Number
    other_cost: Number
    energy_kwh: Number
    own_hours: Number
    months_without_line: tuple[int, ...] = ()

    @property
    def total(self) -> Number | None:
        """Energy, own work and the rest. None: unknown. [currency]"""
        return None if self.energy_cost is None else self.energy_cost + self.labour_cost + self.other_cost


@dataclass(frozen=True, slots=True, eq=False)
class UpkeepYear:
    """Upkeep of a typical year: money paid, and own work apart. [currency] `seasons_noted` as counted for the mean."""

    basis: UpkeepBasis
    cost: Number
    labour_cost: Number
    own_hours: Number
    seasons_noted: int

    @property
    def total(self) -> Number:
        """Money paid and own work. [currency]"""
        return self.cost + self.labour_cost


@dataclass(slots=True)
class _Month:
    """What the lines say of one calendar month, all years together."""

    energy_kwh: float = 0.0
    other: float = 0.0
    hours: float = 0.0
    days: set[date] = field(default_factory=set)

    def times_typical(self, month: int) -> float:
        """Days of the month ÷ days covered; 0 without a line. [-]"""
        return DAYS_OF_MONTH[month - 1] / len(self.days) if self.days else 0.0


def typical_running(
    ledger: Ledger, builds: Sequence[Build], *, fan_kwh: Number | None
) -> tuple[RunningYear, tuple[Notice, ...]]:
    """Reckon the running cost of a typical year for some builds together.

        by build and calendar month:  month's energy, money, hours ÷ days covered (union) · days of the month
        energy · base-date price      whenever energy is given, whatever was paid then

    Best first: lines of the season book; no line for any of the builds, the fan channel's energy; else what the
    ledger expects; else unknown. Where some builds have lines, one without any takes what it expects, else 0 and a
    notice. February has 28 days. Months in which a build with lines has none are named and taken as 0.

    Parameters
    ----------
    ledger : season book, prices, labour rate.
    builds : the builds whose running is wanted.
    fan_kwh : energy of the logged fan in a season, made whole for its cover (`fan_energy_kwh`). None: not logged. [kWh]

    Returns
    -------
    RunningYear, notices

    Source
    ------
    Constructed by us (method: running cost of a typical year).
    """
    price = electricity_price(ledger, ledger.terms.base_date)
    per_kwh = None if price is None else number(price)
    booked = {b.name: _lines(ledger.running, b.name) for b in builds}
    if any(booked.values()):
        return _from_book(ledger, builds, booked, per_kwh)
    if fan_kwh is not None and per_kwh is not None:
        year = RunningYear(RunningBasis.FAN_CHANNEL, fan_kwh * per_kwh, 0.0, 0.0, fan_kwh, 0.0)
        return year, (Notice("running-by-fan-channel", _FAN_TEXT, "running"),)
    expected = [number(b.expected_running) for b in builds if b.expected_running is not None]
    if expected:
        year = RunningYear(RunningBasis.EXPECTED, 0.0, 0.0, sum(expected, 0.0), 0.0, 0.0)
        return year, _silent_builds([b for b in builds if b.expected_running is None])
    unknown = RunningYear(RunningBasis.UNKNOWN, None, 0.0, 0.0, 0.0, 0.0)
    return unknown, (Notice("running-cost-unknown", _UNKNOWN_TEXT, "typical_year.running_cost"),)


_FAN_TEXT = (
    "no running line is noted: running cost is the logged fan's energy in the season at the price of electricity"
)
_UNKNOWN_TEXT = (
    "nothing is known of what the build costs to run: all money is before running cost; note one [[running]] line, "
    "or give expected_running (0 if it runs without power or work)"
)


def _lines(lines: Iterable[RunningLine], target: str) -> tuple[RunningLine, ...]:
    return tuple(x for x in lines if x.target == target and is_running(x))


def _from_book(
    ledger: Ledger, builds: Sequence[Build], booked: dict[str, tuple[RunningLine, ...]], per_kwh: Number | None
) -> tuple[RunningYear, tuple[Notice, ...]]:
    energy_kwh = other = hours = 0.0
    missing: set[int] = set()
    notices: list[Notice] = []
    expected: Number = 0.0
    for build in builds:
        lines = booked[build.name]
        if not lines:
            expected = expected + (0.0 if build.expected_running is None else number(build.expected_running))
            continue
        months, unpriced = _by_month(lines, priced=per_kwh is not None)
        notices += unpriced
        missing |= {m for m in range(1, 13) if not months[m].days}
        for m, month in months.items():
            scale = month.times_typical(m)
            energy_kwh += month.energy_kwh * scale
            other += month.other * scale
            hours += month.hours * scale
    if missing:
        notices.append(Notice("running-months-missing", _missing_text(missing), "typical_year.running_cost"))
    notices += _silent_builds([b for b in builds if not booked[b.name] and b.expected_running is None])
    year = RunningYear(
        basis=RunningBasis.BOOK,
        energy_cost=energy_kwh * (0.0 if per_kwh is None else per_kwh),
        labour_cost=hours * labour_rate(ledger),
        other_cost=other + expected,
        energy_kwh=energy_kwh,
        own_hours=hours,
        months_without_line=tuple(sorted(missing)),
    )
    return year, tuple(notices)


def _by_month(lines: Sequence[RunningLine], *, priced: bool) -> tuple[dict[int, _Month], list[Notice]]:
    """Spread each line evenly over the days that it covers, and add up by calendar month."""
    months = {m: _Month() for m in range(1, 13)}
    notices = []
    for line in lines:
        energy, money = _energy_and_money(line, priced=priced)
        if energy is None and money is None:
            notices.append(Notice("running-line-without-price", _unpriced_text(line), "running", line.line))
        for day, part in days_covered(line):
            month = months[day.month]
            month.days.add(day)
            month.energy_kwh += part * (energy or 0.0)
            month.other += part * (money or 0.0)
            month.hours += part * line.hours
    return months, notices


def _energy_and_money(line: RunningLine, *, priced: bool) -> tuple[float | None, float | None]:
    """Energy to be priced, or else the money as paid."""
    if line.energy_kwh is not None and priced:
        return line.energy_kwh, None
    return None, None if line.amount is None else float(line.amount)


def _unpriced_text(line: RunningLine) -> str:
    return f"the line '{line.what}' of {line.date} has neither an amount nor a price for what was used: it is left out"


def _missing_text(missing: set[int]) -> str:
    names = ", ".join(MONTHS[m - 1] for m in sorted(missing))
    return f"no running line covers {names}: their running cost is taken as 0; note them, 0 kWh included"


def _silent_builds(builds: Sequence[Build]) -> tuple[Notice, ...]:
    return tuple(
        Notice(
            "running-build-silent",
            f"nothing is noted or expected of what '{b.name}' costs to run: it is taken as 0",
            "typical_year.running_cost",
            b.line,
        )
        for b in builds
    )


def typical_upkeep(ledger: Ledger, builds: Sequence[Build]) -> UpkeepYear:
    """Upkeep of a typical year for some builds together.

        fewer than three seasons noted : Σ [[build.upkeep]]
        three or more                  : Σ lines without energy or quantity, with their own work, ÷ seasons noted

    A season is noted when a line of any kind falls in its account and the book goes on to the end of its heating
    season; a season in which nothing broke is a season of 0. Differs from running cost: never scaled by days.

    Returns
    -------
    UpkeepYear : [currency/a]
    """
    names = {b.name for b in builds}
    spans = [s for s in account_spans(ledger) if _noted(s, ledger)]
    if len(spans) < SEASONS_FOR_A_MEAN:
        expected = sum((number(u.amount) for b in builds for u in b.upkeep), 0.0)
        return UpkeepYear(UpkeepBasis.EXPECTED, expected, 0.0, 0.0, len(spans))
    lines = [
        x
        for x in ledger.running
        if x.target in names and not is_running(x) and any(s.first <= x.date <= s.last for s in spans)
    ]
    paid = sum(float(x.amount) for x in lines if x.amount is not None) / len(spans)
    hours = sum(x.hours for x in lines) / len(spans)
    return UpkeepYear(UpkeepBasis.NOTED, paid, hours * labour_rate(ledger), hours, len(spans))


def _noted(span: AccountSpan, ledger: Ledger) -> bool:
    reach = max(max(x.date, x.last_day) for x in ledger.running)
    return reach >= span.heat_last and any(span.first <= x.date <= span.last for x in ledger.running)


def fan_energy_kwh(record: HourlyRecord, season: Window) -> float | None:
    """Energy of the logged fan in one season, made whole for the hours that were not logged.

        Σ seasons energy ÷ Σ seasons (hours logged ÷ hours of the season)

    With one season this is its sum ÷ its cover; of several, each counts as far as it was logged.

    Parameters
    ----------
    record : hourly, with a `fan_w` column where watts are known. [W]
    season : the hold season.

    Returns
    -------
    float : [kWh per season]; None without a fan channel in watts or without an hour of it inside a season.
    """
    if "fan_w" not in record.hours:
        return None
    watts = record.hours["fan_w"].dropna()
    if watts.empty:
        return None
    days = np.array([x.date() for x in pd.DatetimeIndex(watts.index).tz_convert(record.timezone)])
    kwh = cover = 0.0
    for year in range(days[0].year - 1, days[-1].year + 1):
        span = account_span(year, season, timezone=record.timezone)
        inside = (days >= span.first) & (days <= span.heat_last)
        kwh += float(watts.to_numpy()[inside].sum()) / 1000.0
        cover += float(inside.sum()) / (((span.heat_last - span.first).days + 1) * 24)
    return kwh / cover if cover > 0 else None
