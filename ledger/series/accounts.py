"""The account of every row and every hour: used, flagged, folded, refused; touched and lost by reason, each once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt
import pandas as pd

from ledger.series.faults import Span
from ledger.series.readings import FileRead, Instants, Mask
from ledger.series.record import ChannelFigures, FileFigures, HoursByReason, LogFigures
from ledger.series.rows import Rows, counted
from ledger.series.zone import HOUR_MS

ORDER = ("excluded", "clock", "range", "stuck", "spike", "gap", "bridged")
JUDGED = ("indoor", "outdoor")


@dataclass(slots=True)
class Account:
    """Gathers what the tables report: rows by file, hours touched by reason, first and last stamp. [ms UTC]"""

    flagged: dict[int, int] = field(default_factory=dict)
    duplicate: dict[int, int] = field(default_factory=dict)
    clock_holes: list[Span] = field(default_factory=list)
    first_ms: int | None = None
    last_ms: int | None = None
    conflicts: int = 0
    conflict_ms: int = 0
    reset: int = 0
    readings: dict[str, int] = field(default_factory=dict)
    _touched: dict[str, list[Instants]] = field(default_factory=dict)

    def add_rows(self, rows: Rows, bad: Mask | None) -> None:
        """Count a table's rows: those with a flagged reading, those folded, those of a lost clock."""
        for counts, into in ((rows.duplicate, self.duplicate), (rows.reset, self.flagged)):
            for file, count in counts.items():
                into[file] = into.get(file, 0) + count
        if bad is not None and bad.any():
            many = None if rows.stands_for is None else rows.stands_for[bad]
            for file, count in counted(rows.file[bad], many).items():
                self.flagged[file] = self.flagged.get(file, 0) + count
        if len(rows.stamps_ms):
            first, last = int(rows.stamps_ms[0]), int(rows.stamps_ms[-1])
            self.first_ms = first if self.first_ms is None else min(self.first_ms, first)
            self.last_ms = last if self.last_ms is None else max(self.last_ms, last)
        self.reset += sum(rows.reset.values())
        if rows.conflicts:
            self.conflicts += rows.conflicts
            self.conflict_ms = self.conflict_ms or rows.conflict_ms

    def touch(self, reason: str, rows: Rows, mask: Mask) -> None:
        """Note the hours of flagged readings of an indoor or outdoor channel."""
        count = np.count_nonzero(mask) if rows.stands_for is None else rows.stands_for[mask].sum()
        self.readings[reason] = self.readings.get(reason, 0) + int(count)
        self._touched.setdefault(reason, []).append(np.unique(rows.stamps_ms[mask] // HOUR_MS))

    def touched(self, reason: str, first_hour: int, count: int) -> Mask:
        """Hours touched for a reason."""
        mask = np.zeros(count, bool)
        for hours in self._touched.get(reason, []):
            mask[np.clip(hours - first_hour, 0, max(0, count - 1))] = True
        return mask


def figures(
    hours: pd.DataFrame,
    bridges: Mapping[str, npt.NDArray[np.bool_]],
    account: Account,
    files: Sequence[FileRead],
    *,
    timezone: str,
) -> tuple[LogFigures, pd.Series]:
    """Make the report and the reason of each hour.

    Parameters
    ----------
    hours : hourly means, bridges filled. [unit of each channel]
    bridges : by channel, which hours were bridged.
    account : what the tables reported.
    files : how each file was read.
    timezone : for the local stamps of first and last.

    Returns
    -------
    LogFigures, and for each hour the first reason that touched it on the indoor or outdoor channel, "" if none.
    """
    valid = read_well(hours)
    reason = _reasons(hours, judged_in(hours), bridges, account)
    count = len(hours)
    summary = LogFigures(
        first=_local(account.first_ms, timezone),
        last=_local(account.last_ms, timezone),
        hours_span=count,
        hours_valid=int(valid.sum()),
        coverage=int(valid.sum()) / count if count else None,
        flagged_hours=_by_reason(reason),
        lost_hours=_by_reason(reason[~valid]),
        channels={str(name): _channel(hours[name]) for name in hours.columns},
        files=tuple(_file(i, read, account) for i, read in enumerate(files)),
    )
    return summary, pd.Series(reason, index=hours.index, dtype=object)


def judged_in(hours: pd.DataFrame) -> list[str]:
    """The channels by which an hour is judged, of those logged."""
    return [name for name in JUDGED if name in hours.columns]


def read_well(hours: pd.DataFrame) -> Mask:
    """The hours in which every channel that is judged has a reading; none where none of them is logged."""
    judged = judged_in(hours)
    return hours[judged].notna().all(axis=1).to_numpy() if judged else np.zeros(len(hours), bool)


def _reasons(
    hours: pd.DataFrame, judged: Sequence[str], bridges: Mapping[str, npt.NDArray[np.bool_]], account: Account
) -> npt.NDArray[np.object_]:
    count = len(hours)
    reason = np.full(count, "", dtype=object)
    if not count:
        return reason
    missing = hours[list(judged)].isna().any(axis=1).to_numpy() if judged else np.ones(count, bool)
    first = account.first_ms // HOUR_MS if account.first_ms is not None else 0
    masks = {name: account.touched(name, first, count) for name in ("excluded", "clock", "range", "stuck", "spike")}
    spanned = np.zeros(count, bool)
    for name in judged:
        spanned |= bridges[name]
    for hole in account.clock_holes:
        inside = np.zeros(count, bool)
        inside[max(0, hole.first_ms // HOUR_MS - first) : max(0, hole.last_ms // HOUR_MS - first + 1)] = True
        masks["clock"] |= inside & (missing | spanned)
    masks["gap"], masks["bridged"] = missing, spanned
    for name in reversed(ORDER):
        reason[masks[name]] = name
    return reason


def _by_reason(reason: npt.NDArray[np.object_]) -> HoursByReason:
    return HoursByReason(**{name: int((reason == name).sum()) for name in ORDER})


def _channel(means: pd.Series) -> ChannelFigures:
    known = means.dropna()
    if known.empty:
        return ChannelFigures(0, None, None, None)
    return ChannelFigures(len(known), float(known.mean()), float(known.min()), float(known.max()))


def _file(number: int, read: FileRead, account: Account) -> FileFigures:
    flagged, duplicate = account.flagged.get(number, 0), account.duplicate.get(number, 0)
    return FileFigures(
        file=read.file, rows=read.rows, used=read.rows - flagged - duplicate - read.refused, flagged=flagged,
        duplicate=duplicate, refused=read.refused, separator=read.separator, decimal=read.decimal,
        encoding=read.encoding, time_format=read.time_format, clock=read.clock, sha256=read.sha256, layout=read.layout,
    )  # fmt: skip


def _local(instant_ms: int | None, timezone: str) -> str | None:
    if instant_ms is None:
        return None
    return datetime.fromtimestamp(instant_ms // 1000, ZoneInfo(timezone)).isoformat()
