"""Wall-clock time to instants and back, by a zone's rules."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

import numpy as np
import numpy.typing as npt

HOUR_MS = 3_600_000
DAY_MS = 24 * HOUR_MS

Millis = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class ZoneRules:
    """Changes of a zone's clock over a span of years.

    Attributes
    ----------
    changes_ms : instants at which the offset changes. [ms since 1970-01-01 UTC]
    offsets_ms : offset from UTC before the first change, then after each. [ms]
    """

    changes_ms: Millis
    offsets_ms: Millis


def _offset_ms(zone: tzinfo, instant_ms: int) -> int:
    moment = datetime.fromtimestamp(instant_ms // 1000, UTC).astimezone(zone)
    return int((moment.utcoffset() or timedelta()).total_seconds() * 1000)


def _change_between(zone: tzinfo, low_ms: int, high_ms: int) -> int:
    """The instant, to the second, at which the offset of `low_ms` ends."""
    before = _offset_ms(zone, low_ms)
    while high_ms - low_ms > 1000:
        middle = (low_ms + high_ms) // 2000 * 1000
        if _offset_ms(zone, middle) == before:
            low_ms = middle
        else:
            high_ms = middle
    return high_ms


def zone_rules(zone: tzinfo, *, first_ms: int, last_ms: int) -> ZoneRules:
    """Find a zone's clock changes from a day before the first instant to a day after the last.

    Parameters
    ----------
    zone : the zone.
    first_ms, last_ms : span. [ms since 1970-01-01]

    Returns
    -------
    ZoneRules : changes found by looking every five days, then halving. [ms]
    """
    start = (first_ms // 1000) * 1000 - 2 * DAY_MS
    end = last_ms + 2 * DAY_MS
    if isinstance(zone, timezone):
        return ZoneRules(np.empty(0, np.int64), np.array([_offset_ms(zone, start)], np.int64))
    changes: list[int] = []
    offsets = [_offset_ms(zone, start)]
    here = start
    while here < end:
        there = here + 5 * DAY_MS
        if _offset_ms(zone, there) != offsets[-1]:
            there = _change_between(zone, here, there)
            changes.append(there)
            offsets.append(_offset_ms(zone, there))
        here = there
    return ZoneRules(np.array(changes, np.int64), np.array(offsets, np.int64))


def standard_rules(zone: tzinfo, *, first_ms: int, last_ms: int) -> ZoneRules:
    """A clock that ignores summer time: the least offset that the zone has in the span and half a year around it."""
    around = zone_rules(zone, first_ms=first_ms - 183 * DAY_MS, last_ms=last_ms + 183 * DAY_MS)
    return ZoneRules(np.empty(0, np.int64), np.array([int(around.offsets_ms.min())], np.int64))


def instants(wall_ms: Millis, rules: ZoneRules) -> Millis:
    """Turn wall-clock time to UTC; an hour that comes twice is taken as its first pass, one that is skipped as if the
    clock had not yet changed.

    Parameters
    ----------
    wall_ms : wall clock as if it were UTC. [ms]
    rules : of the zone.

    Returns
    -------
    instants. [ms since 1970-01-01 UTC]
    """
    if not len(rules.changes_ms):
        shifted: Millis = wall_ms - rules.offsets_ms[0]
        return shifted
    borders = rules.changes_ms + np.maximum(rules.offsets_ms[:-1], rules.offsets_ms[1:])
    result: Millis = wall_ms - rules.offsets_ms[np.searchsorted(borders, wall_ms, side="right")]
    return result


def wall_clock(utc_ms: Millis, rules: ZoneRules) -> Millis:
    """Turn instants to wall-clock time as if it were UTC. [ms]"""
    if not len(rules.changes_ms):
        shifted: Millis = utc_ms + rules.offsets_ms[0]
        return shifted
    result: Millis = utc_ms + rules.offsets_ms[np.searchsorted(rules.changes_ms, utc_ms, side="right")]
    return result


def site_rules(timezone_name: str, stamps_ms: Millis) -> ZoneRules:
    """Rules of the site's zone over the span of some instants."""
    if not len(stamps_ms):
        return zone_rules(ZoneInfo(timezone_name), first_ms=0, last_ms=0)
    return zone_rules(ZoneInfo(timezone_name), first_ms=int(stamps_ms.min()), last_ms=int(stamps_ms.max()))
