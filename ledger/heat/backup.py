"""Bought heat that reached the house, and the electricity that the build itself used."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.prepared import YearHours, by_month
from ledger.heat.rungs import WATT_HOURS_PER_KWH, Floats
from ledger.heat.spans import Span, days_inside
from ledger.model.book import RunningLine
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger


@dataclass(frozen=True, slots=True, eq=False)
class Backup:
    """Bought heat delivered in a season [kWh], the efficiency's range as factors of it, and what has to be said.

    `by_month_kwh`: the same by calendar month, index 0 January, a heater channel's holes filled by the month's own mean
    (for the typical year, whose added heat is filled in the same way).
    """

    delivered_kwh: float
    by_month_kwh: Floats
    low_factor: float = 1.0
    high_factor: float = 1.0
    notices: tuple[Notice, ...] = ()


def efficiency_at(source: Source, outdoor_c: Floats) -> Floats:
    """Delivered heat per unit of gross heat at outdoor temperatures.

    A heat pump's coefficient of performance is read off its points by straight lines, the end points hold beyond them.

    Parameters
    ----------
    source : the heat source.
    outdoor_c : outdoor temperatures. [°C]

    Returns
    -------
    array : delivered / gross. [-]
    """
    if not source.cop:
        return np.full(np.shape(outdoor_c), source.efficiency.likely)
    points = sorted(source.cop, key=lambda p: p.outdoor_c)
    return np.interp(outdoor_c, [p.outdoor_c for p in points], [p.cop for p in points])


def backup_delivered(year: YearHours, ledger: Ledger) -> Backup:
    """Bought heat that reached the house in a season.

    The heater channel where it was logged (all hours of the season, missing ones named and not filled), else the
    season book's energy, or quantity · heat per unit, times the efficiency, by days inside the season.

    Parameters
    ----------
    year : the season's hours.
    ledger : sources, season book, logs.

    Returns
    -------
    Backup
    """
    logged = year.in_season & np.isfinite(year.channels["heater_w"])
    if np.any(logged):
        return _from_channel(year, ledger)
    lines = [
        line
        for line in ledger.running
        if _is_source(ledger, line.target) and _share(line, year.span) > 0.0 and not _amount_only(line)
    ]
    notices = list(_heater_without_watts(year))
    if not lines:
        if any(s.backup for s in ledger.sources) and not ledger.hold.backup_none:
            notices.append(_not_noted(year.span))
        return Backup(0.0, np.zeros(12), notices=tuple(notices))
    parts = [(_line_heat_kwh(line, ledger.source(line.target), year), ledger.source(line.target)) for line in lines]
    total = sum(heat for heat, _ in parts)
    low = sum(heat * _relative(s).low for heat, s in parts)
    high = sum(heat * _relative(s).high for heat, s in parts)
    months = [heat * _months_of(line, year.span) for line, (heat, _) in zip(lines, parts, strict=True)]
    if total <= 0.0:
        return Backup(total, np.sum(months, axis=0), notices=tuple(notices))
    return Backup(total, np.sum(months, axis=0), low / total, high / total, tuple(notices))


def build_energy_kwh(year: YearHours, ledger: Ledger) -> float | None:
    """Energy that the builds used in a season: the season book's, by days inside; else the fan channel's ÷ its cover.

    Parameters
    ----------
    year : the season's hours.
    ledger : builds and season book.

    Returns
    -------
    float or None : energy; None where neither speaks. [kWh]
    """
    names = {b.name for b in ledger.builds}
    noted = [
        (line.energy_kwh or 0.0) * _share(line, year.span)
        for line in ledger.running
        if line.target in names and line.energy_kwh is not None and _share(line, year.span) > 0.0
    ]
    if noted:
        return float(sum(noted))
    fan = year.channels["fan_w"][year.in_season]
    known = np.isfinite(fan)
    if not np.any(known):
        return None
    cover = np.count_nonzero(known) / len(fan)
    return float(np.sum(fan[known]) * year.step_h / WATT_HOURS_PER_KWH / cover)


@dataclass(frozen=True, slots=True)
class _Factors:
    low: float
    high: float


def _relative(source: Source) -> _Factors:
    spread = source.efficiency
    if source.cop or spread.likely <= 0.0:
        return _Factors(1.0, 1.0)
    return _Factors(spread.low / spread.likely, spread.high / spread.likely)


def _from_channel(year: YearHours, ledger: Ledger) -> Backup:
    season = year.in_season
    watts = year.channels["heater_w"]
    known = season & np.isfinite(watts)
    missing = np.count_nonzero(season & ~known) * year.step_h
    source = next((s for s in _metered_first(ledger.sources)), None)
    delivers = any(c.channel == "heater" and c.power_w is not None for log in ledger.logs for c in log.channels)
    share = np.ones(len(watts))
    factors = _Factors(1.0, 1.0)
    if source is not None and not delivers:
        share = efficiency_at(source, _filled(year.outdoor_c))
        factors = _relative(source)
    heat_kwh = np.where(known, watts * share, 0.0) * year.step_h / WATT_HOURS_PER_KWH
    delivered = float(np.sum(heat_kwh))
    known_h, season_h = by_month(year.month, known.astype(float)), by_month(year.month, season.astype(float))
    filled = by_month(year.month, heat_kwh) * season_h / np.maximum(1.0, known_h)
    notices: tuple[Notice, ...] = ()
    if missing > 0.0:
        text = (
            f"Season {year.span.name}: the heater channel is missing in {missing:.0f} hours; heat that it gave in them "
            "is not known and not taken off the build's credit."
        )
        notices = (Notice("heater-hours-missing", text, "seasons.backup_delivered_kwh"),)
    return Backup(delivered, filled, factors.low, factors.high, notices)


def _metered_first(sources: Iterable[Source]) -> list[Source]:
    """The source that a heater channel meters: the backup, an electric one first, since a fire has no meter."""
    return sorted(sources, key=lambda s: (not s.backup, not s.kind.electric))


def _filled(outdoor_c: Floats) -> Floats:
    """Outdoor temperature with its mean in the holes; only a heat pump's efficiency in such hours hangs on it."""
    known = np.isfinite(outdoor_c)
    mean = float(np.mean(outdoor_c[known])) if np.any(known) else 0.0
    return np.where(known, outdoor_c, mean)


def _line_heat_kwh(line: RunningLine, source: Source, year: YearHours) -> float:
    gross = line.energy_kwh if line.energy_kwh is not None else (line.quantity or 0.0) * source.heat_per_unit_kwh.likely
    efficiency = source.efficiency.likely
    if source.cop:
        outdoor = year.outdoor_c[year.counted_valid]
        efficiency = float(np.mean(efficiency_at(source, outdoor if len(outdoor) else np.zeros(1))))
    return gross * efficiency * _share(line, year.span)


def _share(line: RunningLine, span: Span) -> float:
    return days_inside(line.first_day, line.last_day, span.first_day, span.last_day)


def _months_of(line: RunningLine, span: Span) -> Floats:
    """Share of a line's days inside the season that lie in each calendar month."""
    first, last = max(line.first_day, span.first_day), min(line.last_day, span.last_day)
    days = pd.date_range(first, last, freq="D")
    return by_month(np.asarray(days.month, dtype=np.int64), np.full(len(days), 1.0 / len(days)))


def _amount_only(line: RunningLine) -> bool:
    return line.energy_kwh is None and line.quantity is None


def _is_source(ledger: Ledger, name: str) -> bool:
    return any(s.name == name for s in ledger.sources)


def _heater_without_watts(year: YearHours) -> tuple[Notice, ...]:
    on = year.channels["heater_on"][year.in_season]
    if not np.any(on > 0.0):
        return ()
    text = (
        f"Season {year.span.name}: the log shows when the heater was on but not what it delivers; give `power` for the "
        "heater channel, or its heat cannot be taken off the build's credit."
    )
    return (Notice("heater-power-unknown", text, "log.heater"),)


def _not_noted(span: Span) -> Notice:
    text = (
        f"Season {span.name}: a backup heater stands and no heat from it is noted; any that was used is being credited "
        'to the build. If none was, say [hold] backup_used = "none".'
    )
    return Notice("backup-not-noted", text, "seasons.backup_delivered_kwh")
