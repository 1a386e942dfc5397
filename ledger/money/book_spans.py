"""Which days a line of the season book covers, and which season's account they belong to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from ledger.heat.spans import season_span
from ledger.model.book import RunningLine
from ledger.model.ledger import Ledger
from ledger.model.values import Window


def is_running(line: RunningLine) -> bool:
    """Whether a line is running cost: it has energy, a meter or a quantity. All others are upkeep, never scaled."""
    return line.energy_kwh is not None or line.quantity is not None


def days_covered(line: RunningLine) -> Iterator[tuple[date, float]]:
    """Each day that a line covers with its even part of the line."""
    count = (line.last_day - line.first_day).days + 1
    if count < 1:
        raise ValueError("a line of the season book ends before it begins")
    return ((line.first_day + timedelta(days=i), 1.0 / count) for i in range(count))


@dataclass(frozen=True, slots=True)
class AccountSpan:
    """A season's account: from its first day to the day before the next season's; heat until `heat_last`."""

    season: str
    first: date
    heat_last: date
    last: date


def account_span(year: int, season: Window, *, timezone: str) -> AccountSpan:
    """The account of the season that begins in a calendar year: twelve months."""
    span = season_span(season, year=year, timezone=timezone)
    following = season_span(season, year=year + 1, timezone=timezone)
    return AccountSpan(span.name, span.first_day, span.last_day, following.first_day - timedelta(days=1))


def account_spans(ledger: Ledger) -> tuple[AccountSpan, ...]:
    """Every account that the season book's dates touch, without holes."""
    if not ledger.running:
        return ()
    first = min(x.date for x in ledger.running)
    last = max(x.date for x in ledger.running)
    years = range(first.year - 1, last.year + 1)
    spans = (account_span(y, ledger.hold.season, timezone=ledger.site.timezone) for y in years)
    return tuple(s for s in spans if s.last >= first and s.first <= last)
