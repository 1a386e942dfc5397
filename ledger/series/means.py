"""Readings to hourly means and their cover: left-closed hours, whatever the interval."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from ledger.model.logs import Stamp
from ledger.series import thresholds as th
from ledger.series.readings import Instants, Values
from ledger.series.zone import HOUR_MS

MINUTE_MS = 60_000
COARSE_MS = 60.5 * MINUTE_MS
_REGULAR_SHARE = 0.98
_COVER_SLACK = 0.04
_MOST_ALIKE = 0.05  # a few rows alike: a change of sign at zero, a change of another column


class Keeping(StrEnum):
    """When a logger writes a row."""

    AT_INTERVALS = "at intervals"
    ON_CHANGE = "on change"


@dataclass(frozen=True, slots=True, eq=False)
class Even:
    """Readings made ready for means.

    Attributes
    ----------
    stamps_ms : beginning of the span that each reading stands for. [ms UTC]
    values : [unit of the channel]
    cover_ms : length of that span, one number where all are alike. [ms]
    note : what was done to a record that is coarser than an hour or kept on change only; "" for all others.
    """

    stamps_ms: Instants
    values: Values
    cover_ms: npt.NDArray[np.float64] | float
    note: str = ""


def made_even(stamps_ms: Instants, values: Values, *, stamp: Stamp, step_ms: float, keeping: Keeping) -> Even:
    """Give each reading the span that it stands for.

    Parameters
    ----------
    stamps_ms, values : good readings in rising order, ends of intervals moved to their beginnings. [ms UTC, channel's]
    stamp : what a stamp means.
    step_ms : usual interval of the whole channel. [ms]
    keeping : whether the logger writes at its interval or on change only.

    Returns
    -------
    Even : a record coarser than an hour gets a value in each hour: on the straight line between instants up to three
        hours apart, else held over its own interval. A record kept on change only is held for at most three hours.
    """
    if len(stamps_ms) < 2:
        return Even(stamps_ms, values, step_ms)
    if step_ms > COARSE_MS:
        return _coarse(stamps_ms, values, step_ms, straight=stamp is Stamp.INSTANT and step_ms <= 3.05 * HOUR_MS)
    gaps = np.diff(stamps_ms)
    regular = float(np.mean(np.abs(gaps - step_ms) <= 0.5 * step_ms))
    if regular >= _REGULAR_SHARE:
        return Even(stamps_ms, values, step_ms)
    if keeping is Keeping.ON_CHANGE:
        return _held(stamps_ms, values)
    local = _local_step(gaps.astype(np.float64))
    cover = np.minimum(np.append(gaps, local[-1]), 1.5 * local)
    return Even(stamps_ms, values, np.minimum(cover, HOUR_MS))


def _local_step(gaps: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Median of the gaps around each reading, two before and three after. [ms]"""
    padded = np.concatenate([gaps[:2][::-1], gaps, gaps[-3:][::-1], gaps[-1:]])
    size = len(gaps) + 1
    if len(padded) < size + 4:
        return np.full(size, np.median(gaps))
    windows = np.lib.stride_tricks.sliding_window_view(padded, 5)[:size]
    parts = [np.median(windows[i : i + 200_000], axis=1) for i in range(0, size, 200_000)]
    return np.concatenate(parts)


def keeping_of(stamps_ms: Instants, columns: Sequence[Values]) -> Keeping:
    """Whether rows stand only where a value changed: no row like the one before, at intervals of very different
    lengths, and mostly by the least step of the digits.

    Parameters
    ----------
    stamps_ms : of a table's rows, in rising order. [ms]
    columns : its channels.
    """
    if len(stamps_ms) < 30 or not columns:
        return Keeping.AT_INTERVALS
    gaps = np.diff(stamps_ms)
    low, high = np.quantile(gaps, [0.1, 0.9])
    if high <= 4 * max(low, 1):
        return Keeping.AT_INTERVALS
    usual = np.sort(np.unique(gaps // MINUTE_MS, return_counts=True)[1])[-2:].sum()
    alike = np.logical_and.reduce([np.diff(v) == 0 for v in columns])
    if usual >= 0.9 * len(gaps) or np.mean(alike) >= _MOST_ALIKE:
        return Keeping.AT_INTERVALS
    small = [_by_least_steps(v) for v in columns]
    return Keeping.ON_CHANGE if any(small) else Keeping.AT_INTERVALS


def _by_least_steps(values: Values) -> bool:
    """Whether most changes of a channel are one step of its digits."""
    changes = np.abs(np.diff(values))
    changes = changes[changes > 1e-9]
    return len(changes) >= 10 and bool(np.median(changes) <= 1.5 * np.quantile(changes, 0.05))


def _held(stamps_ms: Instants, values: Values) -> Even:
    """Each reading held until the next, at most three hours, in pieces that lie within an hour."""
    ends = np.minimum(np.append(stamps_ms[1:], stamps_ms[-1] + 1), stamps_ms + round(th.HOLD_HOURS * HOUR_MS))
    hour = stamps_ms // HOUR_MS
    pieces = (ends - 1) // HOUR_MS - hour + 1
    row = np.repeat(np.arange(len(stamps_ms)), pieces)
    nth = np.arange(len(row)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    begins = np.where(nth == 0, stamps_ms[row], (hour[row] + nth) * HOUR_MS)
    cover = np.minimum(ends[row], (hour[row] + nth + 1) * HOUR_MS) - begins
    note = f"rows stand only where a value changed: each is held until the next, at most {th.HOLD_HOURS:g} h"
    return Even(begins, values[row], cover.astype(np.float64), note)


def _coarse(stamps_ms: Instants, values: Values, step_ms: float, *, straight: bool) -> Even:
    first = -(-int(stamps_ms[0]) // HOUR_MS) if straight else int(stamps_ms[0]) // HOUR_MS
    last = int(stamps_ms[-1]) // HOUR_MS if straight else int(stamps_ms[-1] + step_ms - 1) // HOUR_MS
    hours = np.arange(first, last + 1, dtype=np.int64) * HOUR_MS
    name = f"the record's own step is {step_ms / HOUR_MS:.3g} h"
    if not straight:
        place = np.maximum(np.searchsorted(stamps_ms, hours, side="right") - 1, 0)
        fresh = np.abs(hours - stamps_ms[place]) < step_ms * 1.05
        return Even(hours[fresh], values[place[fresh]], float(HOUR_MS), f"{name}: each reading stands for its own step")
    place = np.clip(np.searchsorted(stamps_ms, hours, side="left"), 1, len(stamps_ms) - 1)
    near = stamps_ms[place] - stamps_ms[place - 1] <= 1.5 * step_ms
    filled = np.interp(hours, stamps_ms, values)
    return Even(hours[near], filled[near], float(HOUR_MS), f"{name}: hours between readings lie on the straight line")


@dataclass(slots=True)
class HourSums:
    """Sums over hours, to which several loggers of one channel may add.

    Attributes
    ----------
    first_hour : number of the first hour since 1970.
    total, weight : Σ value · weight and Σ weight.
    cover_ms : how much of each hour readings stand for. [ms]
    """

    first_hour: int
    total: npt.NDArray[np.float64]
    weight: npt.NDArray[np.float64]
    cover_ms: npt.NDArray[np.float64]

    @classmethod
    def empty(cls, first_hour: int, hours: int) -> HourSums:
        """No reading yet."""
        return cls(first_hour, np.zeros(hours), np.zeros(hours), np.zeros(hours))

    def add(self, even: Even) -> None:
        """Add one logger's readings, weighted by the span that each stands for."""
        place = hour_places(even.stamps_ms, self.first_hour)
        size = len(self.total)
        inside = (place >= 0) & (place < size)
        values = even.values
        if not inside.all():
            place, values = place[inside], values[inside]
        if isinstance(even.cover_ms, float):
            count = np.bincount(place, minlength=size)
            self.total += np.bincount(place, values, size) * even.cover_ms
            self.weight += count * even.cover_ms
            self.cover_ms += count * even.cover_ms
            return
        cover = even.cover_ms[inside]
        self.total += np.bincount(place, values * cover, size)
        weight = np.bincount(place, cover, size)
        self.weight += weight
        self.cover_ms += weight

    def means(self) -> npt.NDArray[np.float64]:
        """Hourly means; NaN where readings cover less than half of the hour."""
        enough = self.cover_ms >= (th.COVER_LEAST - _COVER_SLACK * th.COVER_LEAST) * HOUR_MS
        result = np.full(len(self.total), np.nan)
        result[enough] = self.total[enough] / self.weight[enough]
        return result


def hour_places(stamps_ms: Instants, first_hour: int) -> Instants:
    """Place of each instant's hour, counted from a first hour."""
    return stamps_ms // HOUR_MS - first_hour


def bridged(means: npt.NDArray[np.float64]) -> npt.NDArray[np.bool_]:
    """Hours that stand in a hole of at most two between valid ones."""
    hole = np.isnan(means)
    edges = np.diff(np.concatenate([[0], hole.view(np.int8), [0]]))
    mask = np.zeros(len(means), bool)
    for a, b in zip(np.flatnonzero(edges == 1), np.flatnonzero(edges == -1), strict=True):
        if b - a <= th.BRIDGE_HOURS and a > 0 and b < len(means):
            mask[a:b] = True
    return mask


def with_bridges(means: npt.NDArray[np.float64], mask: npt.NDArray[np.bool_]) -> npt.NDArray[np.float64]:
    """Means with the masked hours on the straight line between their neighbours."""
    if not mask.any():
        return means
    known = np.flatnonzero(~np.isnan(means))
    result = means.copy()
    result[mask] = np.interp(np.flatnonzero(mask), known, means[known])
    return result
