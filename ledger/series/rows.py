"""Rows of a table put in order of time, duplicates folded, clock faults found: what every later step works on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ledger.model.logs import Stamp
from ledger.series.faults import Span, starts_anew
from ledger.series.readings import Codes, Instants, Mask, Table, Trace, Values
from ledger.series.zone import DAY_MS

MINUTE_MS = 60_000
_MOST_FALLS = 200
Places = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """A table in rising order of time, each instant once.

    Attributes
    ----------
    table : where they come from.
    stamps_ms : instants. [ms UTC]
    file : the file of each (of equal rows the first).
    columns : readings by trace.
    duplicate : rows folded away, by number of file.
    reset : rows whose clock had lost the date, by number of file.
    clock_holes : spans in which such rows stood.
    conflicts : instants at which rows disagree; `conflict_ms` the first of them.
    stands_for : how many rows of its file each stands for; None: for itself.
    """

    table: Table
    stamps_ms: Instants
    file: Codes
    columns: tuple[Values, ...]
    duplicate: dict[int, int]
    reset: dict[int, int]
    clock_holes: tuple[Span, ...]
    conflicts: int = 0
    conflict_ms: int = 0
    stands_for: Codes | None = None

    @property
    def traces(self) -> tuple[Trace, ...]:
        """The table's columns as described by the reader."""
        return self.table.traces

    @property
    def step_ms(self) -> float:
        """Usual interval. [ms]"""
        return usual_step_ms(self.stamps_ms)


def usual_step_ms(stamps_ms: Instants) -> float:
    """Median distance of neighbours; an hour where there is one row only. [ms]"""
    return float(np.median(np.diff(stamps_ms))) if len(stamps_ms) > 1 else 3_600_000.0


def counted(files: Codes, stands_for: Codes | None = None) -> dict[int, int]:
    """How many of some rows each file holds.

    Parameters
    ----------
    files : file of each.
    stands_for : how many rows of the file each stands for; None: for itself.
    """
    if not len(files):
        return {}
    counts = np.bincount(files, stands_for)  # whole numbers, exact in floats far beyond any log
    return {i: int(n) for i, n in enumerate(counts) if n}


def in_order(table: Table, *, far: Mask) -> Rows:
    """Sort a table's rows, fold rows of the same instant (their readings averaged), take out rows of a lost clock.

    Parameters
    ----------
    far : rows years away from all others, over all tables (`far_groups`).
    """
    stamps, files, many = table.stamps_ms, table.file, table.stands_for
    columns = [trace.values for trace in table.traces]
    holes: tuple[Span, ...] = ()
    reset: dict[int, int] = {}
    lost = far | reset_blocks(stamps, files)
    if lost.any():
        holes = _holes(stamps, files, lost)
        reset = counted(files[lost], _of(many, lost))
        stamps, files, many, columns = stamps[~lost], files[~lost], _of(many, ~lost), [c[~lost] for c in columns]
    if len(stamps) > 1 and not (np.diff(stamps) > 0).all():
        order = np.argsort(stamps, kind="stable")
        stamps, files, many, columns = stamps[order], files[order], _of(many, order), [c[order] for c in columns]
    again = np.concatenate([[False], np.diff(stamps) == 0]) if len(stamps) else np.zeros(0, bool)
    begins = interval_begins(stamps[~again] if again.any() else stamps, table.stamp, table.interval_ms)
    if not again.any():
        return Rows(table, begins, files, tuple(columns), {}, reset, holes, stands_for=many)
    folded, conflicts = _folded(columns, again)
    return Rows(
        table, begins, files[~again], folded, counted(files[again], _of(many, again)), reset, holes,
        conflicts=int(conflicts.sum()),
        conflict_ms=int(stamps[np.flatnonzero(conflicts)[0]]) if conflicts.any() else 0,
        stands_for=_of(many, ~again),
    )  # fmt: skip


def _of(many: Codes | None, rows: Mask | Places) -> Codes | None:
    return None if many is None else many[rows]


def interval_begins(stamps_ms: Instants, stamp: Stamp, interval_ms: float | None = None) -> Instants:
    """Stamps of the end of an interval moved to its beginning; stamps that waver about full steps moved onto them.

    Parameters
    ----------
    stamps_ms : in rising order. [ms]
    stamp : what they mean.
    interval_ms : usual interval of the file, where its rows were taken minute by minute; None: that of the stamps. [ms]
    """
    if len(stamps_ms) < 2:
        return stamps_ms
    step_ms = usual_step_ms(stamps_ms) if interval_ms is None else interval_ms
    if stamp is Stamp.END:
        stamps_ms = stamps_ms - round(step_ms)
    return snapped(stamps_ms, step_ms)


def snapped(stamps_ms: Instants, step_ms: float) -> Instants:
    """Move stamps that waver about full steps (59:58, 00:01) onto them; stamps off them by a fixed time stay.

    Parameters
    ----------
    stamps_ms : in rising order. [ms]
    step_ms : usual interval; under half an hour nothing is moved, since no hour is lost by it. [ms]
    """
    grid = round(step_ms / (5 * MINUTE_MS)) * 5 * MINUTE_MS
    if step_ms < 29 * MINUTE_MS or abs(step_ms - grid) > 0.02 * grid:
        return stamps_ms
    off = (stamps_ms + grid // 2) % grid - grid // 2
    low, middle, high = np.quantile(off, [0.025, 0.5, 0.975])
    wavers = low < 0 < high or (low < 0 and middle == 0)
    if wavers and max(-low, high) <= 0.1 * grid and abs(middle) <= 0.05 * grid:
        result: Instants = np.where(np.abs(off) <= 0.1 * grid, stamps_ms - off, stamps_ms)
        return result
    return stamps_ms


def _folded(columns: Sequence[Values], again: Mask) -> tuple[tuple[Values, ...], Mask]:
    """Mean of each channel over the rows of one instant; and at the last of which rows they disagree."""
    group = np.cumsum(~again) - 1
    size = int(group[-1]) + 1
    conflicts = np.zeros(len(again), bool)
    result: list[Values] = []
    single = np.bincount(group, minlength=size) == 1
    for values in columns:
        there = ~np.isnan(values)
        count = np.bincount(group, there, size)
        total = np.bincount(group, np.where(there, values, 0.0), size)
        with np.errstate(invalid="ignore"):
            mean = total / count
        first = values[~again]
        like = np.abs(values - mean[group]) <= 1e-9 * np.maximum(1.0, np.abs(values))
        conflicts |= there & ~like
        same = np.bincount(group, there & ~like, size) == 0
        keep = single | (same & ~np.isnan(first))
        result.append(np.where(keep, first, mean))
    return tuple(result), conflicts & _last_of(group)


def _last_of(group: Places) -> Mask:
    last: Mask = np.concatenate([np.diff(group) > 0, [True]])
    return last


def reset_blocks(stamps_ms: Instants, files: Codes) -> Mask:
    """Rows of a clock that fell back to a first of January and was set right later, by the order of the file.

    Such a block starts anew in the midst of a file, and the good rows around it leave a hole as long as it: blocks of
    a file joined in the wrong order leave none.

    Parameters
    ----------
    stamps_ms : in the order of the files. [ms UTC]
    files : file of each row.
    """
    if len(stamps_ms) > 1 and np.count_nonzero(np.diff(stamps_ms) < 0) > len(stamps_ms) / 2:
        return reset_blocks(stamps_ms[::-1], files[::-1])[::-1]
    mask = np.zeros(len(stamps_ms), bool)
    falls = np.flatnonzero((np.diff(stamps_ms) < -DAY_MS) & (np.diff(files) == 0))
    for before in falls[:_MOST_FALLS].tolist():
        after = before + 1 + int(np.argmax(stamps_ms[before + 1 :] > stamps_ms[before]))
        block = stamps_ms[before + 1 : after]
        if len(block) < 1 or files[after] != files[before] or not starts_anew(int(block[0])):
            continue
        hole = int(stamps_ms[after]) - int(stamps_ms[before])
        if hole >= 0.8 * (int(block[-1]) - int(block[0])) and (np.diff(block) > 0).all() and hole < 100 * DAY_MS:
            mask[before + 1 : after] = len(block) < 0.25 * len(stamps_ms)
    return mask


def _holes(stamps_ms: Instants, files: Codes, lost: Mask) -> tuple[Span, ...]:
    """Spans between the good rows before and after each run of lost rows, in the order of the file."""
    good = np.flatnonzero(~lost)
    spans: list[Span] = []
    starts = np.flatnonzero(lost & ~np.concatenate([[False], lost[:-1]]))
    for start in starts.tolist():
        after = int(np.searchsorted(good, start))
        if 0 < after < len(good) and files[good[after - 1]] == files[good[after]]:
            ends = sorted((int(stamps_ms[good[after - 1]]), int(stamps_ms[good[after]])))
            spans.append(Span(ends[0], ends[1]))
    return tuple(spans)
