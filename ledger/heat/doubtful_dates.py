"""Dates that cannot well be: after all that is known, long before it; seasons and builds that the log misses.

There is no clock in here. "Today" is the base date or the last stamp of the log, whichever is later: a ledger that is
kept up moves one of the two.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Final

import pandas as pd

from ledger.errors import Doubt, Notice
from ledger.heat.spans import Span, seasons_between
from ledger.model.build import Status
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord

AHEAD: Final = timedelta(days=366)
FAR: Final = timedelta(days=round(10 * 365.25))
LONG_AGO: Final = timedelta(days=round(40 * 365.25))
NO_SOURCE: Final = "common practice, no source"

FUTURE: Final = Doubt(
    "date-in-future",
    "a paid item, a line of the season book or a source said to be bought is dated more than a year after today, "
    "which is the base date or the last stamp of the log, whichever is later",
    'look at the year; of an item that is still to come say status = "planned"',
    NO_SOURCE,
)
FAR_OFF: Final = Doubt(
    "date-far-off",
    "a date lies more than 40 years before the base date; or the base date or the log's end lies more than 10 years "
    "after every other date",
    "look at the year; of a log, at the station's clock",
    NO_SOURCE,
)
UNLOGGED: Final = Doubt(
    "season-not-logged",
    "a season has no hour of indoor and outdoor together, though it lies between two that have, or the season book has "
    "lines of a build in it; or no season has any",
    "name its file in [[log]] if there is one; without one the season stays uncredited",
    NO_SOURCE,
)
BEFORE_ONE: Final = Doubt(
    "log-before-one-build",
    "the log ends before one of several builds was there",
    'log a season with it, or say status = "planned" of its items',
    NO_SOURCE,
)
DOUBTS: Final = (FUTURE, FAR_OFF, UNLOGGED, BEFORE_ONE)

_Dated = tuple[date, str, str, int | None]


def date_doubts(record: HourlyRecord | None, ledger: Ledger) -> tuple[Notice, ...]:
    """Doubt dates, and say which season or build the log does not show.

    Parameters
    ----------
    record : hourly means; None where nothing is logged.
    ledger : base date, receipts, season book, sources, hold season.

    Returns
    -------
    tuple of Notice : each kind once.
    """
    last = _last_day(record, ledger)
    return (
        *_future(ledger, last),
        *_far_off(ledger, last),
        *(() if record is None else _unlogged(record, ledger)),
        *_before_one(ledger, last),
    )


def _last_day(record: HourlyRecord | None, ledger: Ledger) -> date | None:
    """The clock day of the last hour of the log."""
    if record is None or not len(record.hours):
        return None
    return pd.DatetimeIndex(record.hours.index)[-1].tz_convert(ledger.site.timezone).date()


def _happened(ledger: Ledger) -> list[_Dated]:
    """What is said to have happened: day, words, entry, line."""
    found: list[_Dated] = []
    for build in ledger.builds:
        found += [(i.date, f'"{i.what}"', "build.item", i.line) for i in build.items if i.status is Status.PAID]
    found += [(line.date, f'"{line.what}"', "running", line.line) for line in ledger.running]
    found += [(s.bought, f'"{s.name}"', "source.bought", s.line) for s in ledger.sources if s.bought is not None]
    return sorted(found, key=lambda one: (one[0], one[3] or 0))


def _future(ledger: Ledger, last: date | None) -> list[Notice]:
    today = max(ledger.terms.base_date, last or ledger.terms.base_date)
    late = [one for one in _happened(ledger) if one[0] - today > AHEAD]
    if not late:
        return []
    day, what, entry, line = late[0]
    more = f" ({len(late) - 1} more like it)" if len(late) > 1 else ""
    known = f"the base date is {ledger.terms.base_date}" + (f" and the log ends on {last}" if last else "")
    text = f"{what} is dated {day}{more}, and {known}: this has not happened yet. To mend it {FUTURE.mend}"
    return [Notice(FUTURE.code, text, entry, line)]


def _far_off(ledger: Ledger, last: date | None) -> list[Notice]:
    base, happened = ledger.terms.base_date, _happened(ledger)
    early = [one for one in happened if base - one[0] > LONG_AGO]
    if early:
        day, what, entry, line = early[0]
        text = f"{what} is dated {day}, more than 40 years before the base date {base}. To mend it {FAR_OFF.mend}"
        return [Notice(FAR_OFF.code, text, entry, line)]
    others = [one[0] for one in happened]
    others += [item.date for build in ledger.builds for item in build.items]
    ends: tuple[tuple[date | None, str, str, date | None], ...] = (
        (last, "the log ends on", "log.last", base),
        (base, "the base date is", "money.base_date", last),
    )
    for end, words, path, rest in ends:
        known = max([*others, *([rest] if rest else [])])
        if end is not None and end - known > FAR:
            text = f"{words} {end}, more than 10 years after every other date ({known}). To mend it {FAR_OFF.mend}"
            return [Notice(FAR_OFF.code, text, path)]
    return []


def _unlogged(record: HourlyRecord, ledger: Ledger) -> list[Notice]:
    """A season between two logged ones, or one with lines of a build, of which no hour is known; or none logged."""
    if not {"indoor", "outdoor"} <= set(record.hours.columns):
        return []
    known = pd.DatetimeIndex(record.hours[["indoor", "outdoor"]].dropna().index)
    if not len(known):
        return []
    builds = {build.name for build in ledger.builds}
    lines = [line for line in ledger.running if line.target in builds]
    days = [pd.Timestamp(line.last_day).tz_localize("UTC") for line in lines]
    first, last = min([known[0], *days]), max([known[-1], *days])
    spans = seasons_between(ledger.hold.season, timezone=ledger.site.timezone, first_utc=first, last_utc=last)
    logged = [span for span in spans if bool(((known >= span.begins_utc) & (known < span.ends_utc)).any())]
    if not logged:
        text = (
            f"the log runs from {record.figures.first} to {record.figures.last}, and no hour of it lies in a season "
            "that is to be held: nothing is credited. Is hold.season the winter, and are the dates of the log right? "
            f"To mend it {UNLOGGED.mend}"
        )
        return [Notice(UNLOGGED.code, text, "log")]
    noted = [s for s in spans if any(s.first_day <= x.first_day and x.last_day <= s.last_day for x in lines)]
    between = [s for s in spans if logged[0].first_day < s.first_day < logged[-1].first_day]
    missed = [s for s in spans if s not in logged and (s in noted or s in between)]
    return [_missed(missed, noted)] if missed else []


def _missed(missed: list[Span], noted: list[Span]) -> Notice:
    names = ", ".join(span.name for span in missed)
    why = "the season book has lines in it" if missed[0] in noted else "the seasons before and after it are logged"
    text = (
        f"no hour of season {names} has a reading indoors and outdoors, though {why}: nothing is credited for it. To "
        f"mend it {UNLOGGED.mend}"
    )
    return Notice(UNLOGGED.code, text, "log")


def _before_one(ledger: Ledger, last: date | None) -> list[Notice]:
    """A build whose first paid receipt comes after the log's end, beside one that stood."""
    if last is None:
        return []
    first = [(b, min((i.date for i in b.items if i.status is Status.PAID), default=None)) for b in ledger.builds]
    stood = [b for b, day in first if day is not None and day <= last]
    late = [(b, day) for b, day in first if day is None or day > last]
    if not stood or not late:
        return []
    build, began = late[0]
    why = f"its first receipt is of {began}" if began else "its items are planned or quoted"
    text = (
        f'the log ends on {last}, before "{build.name}" was there ({why}): what is credited is the doing of '
        f'"{stood[0].name}" alone, while the cost of both is counted. To mend it {BEFORE_ONE.mend}'
    )
    return [Notice(BEFORE_ONE.code, text, "build", build.line)]
