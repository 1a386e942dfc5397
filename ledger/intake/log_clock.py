"""A file's wall clock to instants, by the zone's rules and the order of the rows."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
import numpy.typing as npt

from ledger.intake.log_trouble import log_error
from ledger.series.zone import ZoneRules, instants, standard_rules, zone_rules

Millis = npt.NDArray[np.int64]
_SANE_FIRST_MS = -86_400_000
_SANE_LAST_MS = 4_102_444_800_000


@dataclass(frozen=True, slots=True)
class Settled:
    """Instants of a file's rows [ms UTC], and what was doubtful about its clock, in words."""

    utc_ms: Millis
    doubts: tuple[str, ...] = ()


def rules_for(clock: str, site_timezone: str, wall_ms: Millis, *, file: str) -> ZoneRules:
    """Rules of the clock that a ledger names: local, standard, UTC, UTC-07:00 or a zone of the IANA database.

    Raises
    ------
    LogError : a clock of no known name.
    """
    sane = wall_ms[(wall_ms > _SANE_FIRST_MS) & (wall_ms < _SANE_LAST_MS)]
    first, last = (int(sane.min()), int(sane.max())) if len(sane) else (0, 0)
    word = clock.strip()
    if word.casefold() == "standard":
        return standard_rules(ZoneInfo(site_timezone), first_ms=first, last_ms=last)
    zone: tzinfo
    fixed = re.fullmatch(r"(?:UTC|GMT)\s*([+\-−])\s*(\d{1,2})(?::?(\d{2}))?", word, re.IGNORECASE)
    if word.casefold() == "local":
        zone = ZoneInfo(site_timezone)
    elif word.upper() in ("UTC", "GMT", "Z"):
        zone = UTC
    elif fixed and int(fixed[2]) <= 14:
        away = timedelta(hours=int(fixed[2]), minutes=int(fixed[3] or 0))
        zone = timezone(away if fixed[1] == "+" else -away)
    else:
        try:
            zone = ZoneInfo(word)
        except (ZoneInfoNotFoundError, ValueError, OSError):
            raise log_error(
                f'no clock is called "{clock}"', file=file,
                mend='write clock = "local", "standard", "UTC", "UTC-07:00" or a zone such as "Europe/Rome"',
            ) from None  # fmt: skip
    return zone_rules(zone, first_ms=first, last_ms=last)


def settle(wall_ms: Millis, rules: ZoneRules, *, file: str) -> Settled:
    """Turn a file's wall clock to instants. An hour that comes twice is parted where the clock steps back.

    Parameters
    ----------
    wall_ms : in the order of the file. [ms]
    rules : of its clock.
    file : for complaints.

    Returns
    -------
    Settled : instants. [ms]

    Raises
    ------
    LogError : rows stand in the hour that the clock skips in spring, and go on as if nothing happened.
    """
    falling = len(wall_ms) > 1 and np.count_nonzero(wall_ms[1:] < wall_ms[:-1]) > len(wall_ms) / 2
    wall = wall_ms[::-1] if falling else wall_ms
    utc = instants(wall, rules)
    doubts: list[str] = []
    for change, before, after in zip(rules.changes_ms, rules.offsets_ms[:-1], rules.offsets_ms[1:], strict=True):
        low, high = sorted((int(change + before), int(change + after)))
        rows = np.flatnonzero((wall >= low) & (wall < high))
        if not len(rows):
            continue
        if after > before:
            doubts.append(_skipped_hour(wall, rows, high, standard_ms=int(before), file=file))
        else:
            second, doubt = _second_pass(wall, rows)
            utc[rows[second]] = wall[rows[second]] - after
            doubts.append(doubt)
    return Settled(utc[::-1] if falling else utc, tuple(d for d in doubts if d))


def _skipped_hour(wall: Millis, rows: npt.NDArray[np.int64], high: int, *, standard_ms: int, file: str) -> str:
    """Rows in the hour that does not exist: a clock set late, or one that ignores summer time."""
    last = int(rows[-1])
    day = _day(int(wall[last]))
    following = int(wall[last + 1]) - int(wall[last]) if last + 1 < len(wall) else None
    steps = np.diff(wall[max(0, last - 20) : last + 1])
    usual = float(np.median(steps)) if len(steps) else 3_600_000.0
    if following is not None and 0 < following <= 1.5 * usual and int(wall[last + 1]) >= high:
        here = _offset(standard_ms)
        raise log_error(
            f"rows of {day} stand in the hour that clocks skip and go on without a step: it ignores summer time",
            file=file,
            mend=f'write clock = "standard" in this [[log]] (here {here}), or the clock it is set to, such as "UTC"',
        )
    return f"{len(rows)} rows of {day} stand in the hour that clocks skip; they are read as if the clock was set late"


def _offset(offset_ms: int) -> str:
    """An offset from UTC as a ledger writes it."""
    minutes = abs(offset_ms) // 60_000
    return f"UTC{'-' if offset_ms < 0 else '+'}{minutes // 60:02d}:{minutes % 60:02d}"


def _second_pass(wall: Millis, rows: npt.NDArray[np.int64]) -> tuple[npt.NDArray[np.bool_], str]:
    """Which rows of the doubled hour belong to its second pass: those behind a step back, visit by visit."""
    second = np.zeros(len(rows), bool)
    visits = np.split(np.arange(len(rows)), np.flatnonzero(np.diff(rows) != 1) + 1)
    doubt = ""
    for visit in visits:
        here = wall[rows[visit]]
        back = np.flatnonzero(np.diff(here) < 0) + 1
        day = _day(int(here[0]))
        if len(back) == 1:
            second[visit[back[0] :]] = True
        elif len(back) > 1:
            second[visit] = _later_of_twins(here)
            doubt = (
                f"rows of the hour that comes twice on {day} are out of order; of like stamps the second is the later"
            )
        elif len(here) == 2 and here[0] == here[1] and not _row_doubled(wall, int(rows[visit[0]])):
            second[visit[1]] = True  # an hourly log: like stamps, no step back
        elif len(visits) == 1:
            doubt = f"the hour that comes twice on {day} stands in the file once; it is read as its first pass"
    return second, doubt


def _row_doubled(wall: Millis, row: int) -> bool:
    """Whether the rows before one are doubled too: then every row is a copy, and the hour stands there once."""
    return row >= 2 and bool(wall[row - 1] == wall[row - 2])


def _later_of_twins(wall: Millis) -> npt.NDArray[np.bool_]:
    seen: set[int] = set()
    later = np.zeros(len(wall), bool)
    for i, stamp in enumerate(wall.tolist()):
        later[i] = stamp in seen
        seen.add(stamp)
    return later


def _day(wall_ms: int) -> str:
    return f"{datetime.fromtimestamp(wall_ms / 1000, UTC):%Y-%m-%d}"
