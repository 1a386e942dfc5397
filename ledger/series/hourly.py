"""Readings to the clean hourly record: flags, hourly means, bridges, and the account of every hour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.series.accounts import JUDGED, Account, figures
from ledger.series.doubts import record_notices
from ledger.series.energy import running
from ledger.series.faults import Span
from ledger.series.fine import fine_record, fine_step_ms
from ledger.series.flags import REASONS, Flagged, flag, still_runs_of, still_together
from ledger.series.lost_clock import far_groups
from ledger.series.means import HourSums, Keeping, bridged, hour_places, keeping_of, made_even, with_bridges
from ledger.series.readings import Instants, Mask, Readings, Table, Trace, Values
from ledger.series.record import HourlyRecord
from ledger.series.rows import Rows, in_order
from ledger.series.zone import HOUR_MS, ZoneRules, instants, site_rules

_SWITCHED = ("fan", "heater")


@dataclass(slots=True)
class Good:
    """Good readings of one result column from one table, waiting for their hours."""

    name: str
    stamps_ms: Instants
    values: Values
    step_ms: float
    rows: Rows
    keeping: Keeping


@dataclass(slots=True)
class Gathered:
    """What the tables gave: good readings by column, hours touched by reason, notes."""

    goods: list[Good] = field(default_factory=list)
    account: Account = field(default_factory=Account)
    notes: dict[str, str] = field(default_factory=dict)


def hourly_record(readings: Readings, *, timezone: str, latitude_deg: float) -> tuple[HourlyRecord, tuple[Notice, ...]]:
    """Make the clean hourly record.

    A flagged reading is no reading; an hour is valid when readings cover half of it; up to two missing hours between
    valid ones are bridged. Channels that several tables hold are joined, reading by reading.

    Parameters
    ----------
    readings : as the files hold them.
    timezone : the site's zone, IANA name.
    latitude_deg : for the limits of outdoor air. [°]

    Returns
    -------
    HourlyRecord, and notices of what was set aside or doubtful.

    Source
    ------
    EPA-454/R-99-005 section 6.9 for half an hour; the README lists all thresholds.
    """
    far = far_groups([table.stamps_ms for table in readings.tables])
    ordered = [in_order(table, far=mask) for table, mask in zip(readings.tables, far, strict=True)]
    rules = site_rules(timezone, _ends([rows.stamps_ms for rows in ordered]))
    gathered = Gathered()
    runs = [still_runs_of(rows, latitude_deg=latitude_deg) for rows in ordered] if len(ordered) > 1 else [[]]
    for rows, still in zip(ordered, still_together(runs), strict=False):
        spans = _spans(rows.table, rules)
        _judge(rows, flag(rows, spans=spans, still=still, latitude_deg=latitude_deg), gathered)
    first, count = _span(gathered.account)
    hours, bridges = _hours(gathered, first, count)
    index = pd.to_datetime((first + np.arange(count, dtype=np.int64)) * HOUR_MS, unit="ms", utc=True)
    table = pd.DataFrame(hours, index=index)
    summary, reason = figures(table, bridges, gathered.account, readings.files, timezone=timezone)
    fine, step_minutes = _fine(gathered.goods)
    record = HourlyRecord(table, reason, fine, step_minutes, timezone, summary, readings.files)
    return record, record_notices(record, ordered, gathered.notes, gathered.account)


def _ends(parts: Sequence[Instants]) -> Instants:
    return np.array([x for part in parts if len(part) for x in (part[0], part[-1])], np.int64)


def _spans(table: Table, rules: ZoneRules) -> list[Span]:
    """The table's exclusions as instants; an hour that comes twice is taken from its first pass to its second."""
    spans = []
    for aside in table.exclusions:
        wall = np.array([np.datetime64(aside.first, "ms"), np.datetime64(aside.last, "ms")]).astype(np.int64)
        first, last = instants(wall, rules).tolist()
        spans.append(Span(first, last))
    return spans


def _judge(rows: Rows, flagged: Sequence[Flagged], gathered: Gathered) -> None:
    """Note the hours that a table's flags touch, keep the good readings."""
    gathered.account.add_rows(rows, np.logical_or.reduce([f.bad for f in flagged]) if flagged else None)
    keeping = keeping_of(rows.stamps_ms, rows.columns)
    for trace, values, marks in zip(rows.traces, rows.columns, flagged, strict=True):
        there = ~np.isnan(values)
        if trace.channel in JUDGED:
            _touch(rows, marks, gathered.account)
        good = there & ~marks.bad
        stamps, kept = (rows.stamps_ms, values) if good.all() else (rows.stamps_ms[good], values[good])
        usual = rows.stamps_ms if there.all() else rows.stamps_ms[there]
        step_ms = float(np.median(np.diff(usual))) if len(usual) > 1 else float(HOUR_MS)
        _keep(trace, Good(trace.channel, stamps, kept, step_ms, rows, keeping), gathered)
    gathered.account.clock_holes.extend(rows.clock_holes)


def _touch(rows: Rows, marks: Flagged, account: Account) -> None:
    for reason in REASONS:
        mask = marks.masks.get(reason)
        if mask is not None and mask.any():
            account.touch(reason, rows, mask)


def _keep(trace: Trace, good: Good, gathered: Gathered) -> None:
    """Keep a channel's readings; fan and heater become a share and watts."""
    if trace.channel not in _SWITCHED:
        gathered.goods.append(good)
        return
    runs = running(trace, good.stamps_ms, good.values, interval_ms=good.rows.table.interval_ms)
    for name, values in ((f"{trace.channel}_on", runs.on), (f"{trace.channel}_w", runs.watts)):
        if values is not None:
            known = ~np.isnan(values)
            gathered.goods.append(
                Good(name, good.stamps_ms[known], values[known], good.step_ms, good.rows, good.keeping)
            )
    if runs.note:
        gathered.notes[f"{trace.channel}-energy"] = f"the {trace.channel}'s kilowatt-hours are {runs.note}"


def _span(account: Account) -> tuple[int, int]:
    """Number of the first hour since 1970 and how many hours there are to the last stamp."""
    if account.first_ms is None or account.last_ms is None:
        return 0, 0
    first = account.first_ms // HOUR_MS
    return first, account.last_ms // HOUR_MS - first + 1


def _hours(gathered: Gathered, first: int, count: int) -> tuple[dict[str, Values], dict[str, Mask]]:
    """Hourly means of every column, and which hours were bridged."""
    sums: dict[str, HourSums] = {}
    for good in gathered.goods:
        even = made_even(
            good.stamps_ms, good.values, stamp=good.rows.table.stamp, step_ms=good.step_ms, keeping=good.keeping
        )
        sums.setdefault(good.name, HourSums.empty(first, count)).add(even)
        if even.note:
            gathered.notes.setdefault(f"{good.name}-step", f"{good.name}: {even.note}")
    hours: dict[str, Values] = {}
    bridges: dict[str, Mask] = {}
    for name, total in sums.items():
        means = total.means()
        bridges[name] = bridged(means) if not name.startswith(_SWITCHED) else np.zeros(count, bool)
        hours[name] = with_bridges(means, bridges[name])
    return hours, bridges


def _fine(goods: Sequence[Good]) -> tuple[pd.DataFrame, float]:
    """Good readings on a regular step of their own, and the usual interval. [min]"""
    steps = [good.step_ms for good in goods if good.name in JUDGED] or [good.step_ms for good in goods]
    if not steps:
        return pd.DataFrame(index=pd.DatetimeIndex([], tz="UTC")), 60.0
    usual = min(steps)
    return fine_record(
        [(good.name, good.stamps_ms, good.values) for good in goods], fine_step_ms(usual)
    ), usual / 60_000


__all__ = ["HourlyRecord", "hour_places", "hourly_record"]
