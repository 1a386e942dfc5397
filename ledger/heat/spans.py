"""Seasons: their names, their first and last day, their clock hours in the site's zone."""

from __future__ import annotations

from calendar import isleap
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.model.values import MonthDay, Window


@dataclass(frozen=True, slots=True)
class Span:
    """One season: both days included, and the twelve months that begin with its first day.

    `begins_utc`, `ends_utc`, `year_ends_utc`: local midnights; the two ends are not included any more.
    """

    name: str
    first_day: date
    last_day: date
    begins_utc: pd.Timestamp
    ends_utc: pd.Timestamp
    year_ends_utc: pd.Timestamp


def over_new_year(window: Window) -> bool:
    """Whether a span of days of the year ends in the year after the one it begins in."""
    return _order(window.ends) < _order(window.begins)


def in_window(month_day: NDArray[np.int64], window: Window) -> NDArray[np.bool_]:
    """Which days of the year lie in a window, both ends included.

    Parameters
    ----------
    month_day : month · 100 + day.
    window : the span of days; it may run over the new year.

    Returns
    -------
    array : True inside.
    """
    first, last = _order(window.begins), _order(window.ends)
    if first <= last:
        return np.asarray((month_day >= first) & (month_day <= last))
    return np.asarray((month_day >= first) | (month_day <= last))


def season_span(window: Window, *, year: int, timezone: str) -> Span:
    """The season that begins in a year.

    Its name is "2025-26" where it runs over the new year and "2026" where it lies in one year. 29 February stands for
    28 February (as an end) or 1 March (as a beginning) in common years.

    Parameters
    ----------
    window : first and last day of the year, both included.
    year : the calendar year in which the season begins.
    timezone : IANA name of the site's zone.

    Returns
    -------
    Span
    """
    last_year = year + 1 if over_new_year(window) else year
    first = _beginning(window.begins, year)
    last = _end(window.ends, last_year)
    name = f"{year}-{last_year % 100:02d}" if last_year != year else f"{year}"
    return Span(
        name=name,
        first_day=first,
        last_day=last,
        begins_utc=midnight_utc(first, timezone),
        ends_utc=midnight_utc(last + timedelta(days=1), timezone),
        year_ends_utc=midnight_utc(_beginning(window.begins, year + 1), timezone),
    )


def seasons_between(
    window: Window, *, timezone: str, first_utc: pd.Timestamp, last_utc: pd.Timestamp
) -> tuple[Span, ...]:
    """Every season that shares at least an instant with a stretch of time, in order.

    Parameters
    ----------
    window : first and last day of the season.
    timezone : IANA name of the site's zone.
    first_utc, last_utc : the stretch, both included.

    Returns
    -------
    tuple of Span
    """
    years = range(first_utc.tz_convert(timezone).year - 1, last_utc.tz_convert(timezone).year + 1)
    spans = (season_span(window, year=year, timezone=timezone) for year in years)
    return tuple(s for s in spans if s.begins_utc <= last_utc and s.ends_utc > first_utc)


def midnight_utc(day: date, timezone: str) -> pd.Timestamp:
    """The instant at which a clock day begins (in a zone that skips midnight, its first instant)."""
    local = pd.Timestamp(day).tz_localize(timezone, nonexistent="shift_forward", ambiguous=True)
    return local.tz_convert("UTC")


def days_inside(first: date, last: date, span_first: date, span_last: date) -> float:
    """Share of the days first..last that lie in span_first..span_last, all ends included."""
    shared = (min(last, span_last) - max(first, span_first)).days + 1
    return max(0, shared) / ((last - first).days + 1)


def _order(day: MonthDay) -> int:
    return day.month * 100 + day.day


def _beginning(day: MonthDay, year: int) -> date:
    if (day.month, day.day) == (2, 29) and not isleap(year):
        return date(year, 3, 1)
    return date(year, day.month, day.day)


def _end(day: MonthDay, year: int) -> date:
    if (day.month, day.day) == (2, 29) and not isleap(year):
        return date(year, 2, 28)
    return date(year, day.month, day.day)
