"""Where the record is whole and where it has holes: days for a strip, holes with what they cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime

import pandas as pd

from ledger.model.values import Window
from ledger.series.cover import cover_by_day
from ledger.series.record import HourlyRecord

NEEDED = ("indoor", "outdoor")
"""The channels without which an hour cannot count."""


REASONS = {
    "excluded": "set aside by the ledger",
    "clock": "with a clock that jumped",
    "range": "with a reading that cannot be",
    "stuck": "with a reading that froze",
    "spike": "with a jump that no air makes",
    "gap": "not recorded",
    "bridged": "bridged over a short hole",
}
"""What befell an hour, in words that follow its count."""


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
    holes: list[Hole] = []
    run: list[tuple[datetime, str]] = []
    for moment, valid, reason in _hours(record):
        if not valid:
            run.append((moment, reason))
        elif run:
            holes.append(_hole(run, moment, season))
            run = []
    if run:
        holes.append(_hole(run, run[-1][0], season))
    return tuple(holes)


def _hours(record: HourlyRecord) -> Iterator[tuple[datetime, bool, str]]:
    """For each hour: the site's clock, whether it was read well, what befell it."""
    present = [name for name in NEEDED if name in record.hours.columns]
    valid = record.hours[present].notna().all(axis=1) if len(present) == len(NEEDED) else None
    local = pd.DatetimeIndex(record.hours.index).tz_convert(record.timezone).to_pydatetime()
    flags = [False] * len(local) if valid is None else valid.tolist()
    yield from zip(local, flags, (str(one) for one in record.reason), strict=True)


def _hole(run: Sequence[tuple[datetime, str]], ends: datetime, season: Window) -> Hole:
    reasons = Counter(reason for _, reason in run if reason)
    return Hole(
        begins=run[0][0],
        ends=ends,
        hours=len(run),
        hours_in_season=sum(1 for moment, _ in run if in_window(moment.date(), season)),
        reason=reasons.most_common(1)[0][0] if reasons else "gap",
    )


def in_window(day: date, window: Window) -> bool:
    """Whether a day lies in a span of the year, both ends included; the span may run over the new year."""
    here = (day.month, day.day)
    begins = (window.begins.month, window.begins.day)
    ends = (window.ends.month, window.ends.day)
    return begins <= here <= ends if begins <= ends else here >= begins or here <= ends
