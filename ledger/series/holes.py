"""Where the record is whole and where it has holes: days for a strip, holes with what they cost."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np
import numpy.typing as npt
import pandas as pd

from ledger.model.values import Window
from ledger.series.cover import cover_by_day
from ledger.series.record import HourlyRecord

NEEDED = ("indoor", "outdoor")
"""The channels without which an hour cannot count."""


@dataclass(frozen=True, slots=True)
class Day:
    """One day of the site's clock: hours in the record that day, and how many of them were read well."""

    day: date
    hours: int
    hours_valid: int


@dataclass(frozen=True, slots=True)
class Hole:
    """A run of hours not read well, from the first to the end of the last (site's clock).

    `hours_in_season`: how many of them lie in the hold season; `reason`: what took most of them.
    """

    begins: datetime
    ends: datetime
    hours: int
    hours_in_season: int
    reason: str


def days_of(record: HourlyRecord) -> tuple[Day, ...]:
    """Every clock day that the record touches, in order."""
    cover = cover_by_day(record)
    whole = zip(cover.index, cover["hours"].tolist(), cover["valid"].tolist(), strict=True)
    return tuple(Day(day, hours, valid) for day, hours, valid in whole)


def holes_of(record: HourlyRecord, *, season: Window) -> tuple[Hole, ...]:
    """Every run of hours that were not read well indoors and outdoors, in order of time."""
    local = pd.DatetimeIndex(record.hours.index).tz_convert(record.timezone)
    lost = ~_valid(record)
    edges = np.diff(np.concatenate([[0], lost.astype(np.int8), [0]]))
    in_season = _in_season(local, season)
    codes, names = pd.factorize(record.reason.astype(str).to_numpy())
    holes = []
    for first, after in zip(np.flatnonzero(edges == 1).tolist(), np.flatnonzero(edges == -1).tolist(), strict=True):
        counts = Counter({name: n for name, n in zip(names, np.bincount(codes[first:after]), strict=False) if name})
        holes.append(
            Hole(
                begins=local[first].to_pydatetime(),
                ends=local[min(after, len(local) - 1)].to_pydatetime(),
                hours=after - first,
                hours_in_season=int(in_season[first:after].sum()),
                reason=counts.most_common(1)[0][0] if counts.total() else "gap",
            )
        )
    return tuple(holes)


def _valid(record: HourlyRecord) -> npt.NDArray[np.bool_]:
    """Which hours were read well; none where a needed channel is missing."""
    present = [name for name in NEEDED if name in record.hours.columns]
    if len(present) < len(NEEDED):
        return np.zeros(len(record.hours), bool)
    valid: npt.NDArray[np.bool_] = record.hours[present].notna().all(axis=1).to_numpy()
    return valid


def _in_season(local: pd.DatetimeIndex, window: Window) -> npt.NDArray[np.bool_]:
    """The same as `in_window`, for many hours."""
    here = local.month.to_numpy() * 100 + local.day.to_numpy()
    begins = window.begins.month * 100 + window.begins.day
    ends = window.ends.month * 100 + window.ends.day
    inside: npt.NDArray[np.bool_] = (begins <= here) & (here <= ends)
    return inside if begins <= ends else (here >= begins) | (here <= ends)


def in_window(day: date, window: Window) -> bool:
    """Whether a day lies in a span of the year, both ends included; the span may run over the new year."""
    here = (day.month, day.day)
    begins = (window.begins.month, window.begins.day)
    ends = (window.ends.month, window.ends.day)
    return begins <= here <= ends if begins <= ends else here >= begins or here <= ends
