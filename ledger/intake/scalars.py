"""Reading one typed value that has no range: numbers, text, dates, days of the year, words, paths."""

from __future__ import annotations

import calendar
import re
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from ledger.intake.slips import as_typed, listed, offer, slip
from ledger.model.values import MonthDay
from ledger.units import LARGEST_NUMBER

FIRST_YEAR, LAST_YEAR = 1900, 2200
_E = TypeVar("_E", bound=StrEnum)
_MONTH_DAY = re.compile(r"(\d{2})-(\d{2})")


def number(raw: object) -> Decimal:
    """A bare number: whole or decimal, finite, of a size that can be reckoned with."""
    if isinstance(raw, bool) or not isinstance(raw, int | Decimal):
        mend = "write the number without quotes" if isinstance(raw, str) else "write a bare number"
        raise slip(f"{as_typed(raw)} is not a number", mend)
    value = Decimal(raw)
    if not value.is_finite() or value.adjusted() > LARGEST_NUMBER.adjusted():
        raise slip(f"{as_typed(raw)} is no number that can be reckoned with", "write a finite number of sensible size")
    if value.adjusted() < -30:
        return Decimal(0)
    return value


def bare(raw: object) -> float:
    """A bare number as a float."""
    return float(number(raw))


def whole(least: int, most: int) -> Callable[[object], int]:
    """A reader of whole numbers within bounds."""

    def read(raw: object) -> int:
        value = number(raw)
        if value != value.to_integral_value():
            raise slip(f"{raw} is not a whole number", f"write a whole number from {least} to {most}")
        if not least <= value <= most:
            raise slip(f"{raw} is out of bounds", f"write a whole number from {least} to {most}")
        return int(value)

    return read


def flag(raw: object) -> bool:
    """A yes or no, which TOML writes true or false."""
    if not isinstance(raw, bool):
        raise slip(f"{as_typed(raw)} is neither true nor false", "write true or false, without quotes")
    return raw


def free_text(raw: object) -> str:
    """Free text."""
    if not isinstance(raw, str):
        raise slip(f"{as_typed(raw)} is not text", f'write it in quotes: "{raw}"' if _is_scalar(raw) else "write text")
    return raw.strip()


def text(raw: object) -> str:
    """A name or description: one line, not empty."""
    value = free_text(raw)
    if not value:
        raise slip("the text is empty", "write a name or description")
    if any(ord(sign) < 32 for sign in value):
        raise slip("the text holds a line break or another sign that cannot be seen", "write it on one line")
    if len(value) > 300:
        raise slip("the text is longer than 300 signs", "shorten it; long remarks go behind a # as a comment")
    return value


def file_pattern(raw: object) -> str:
    """A file or pattern relative to the ledger's folder; forward slashes."""
    if isinstance(raw, str) and ("\\" in raw or any(ord(sign) < 32 for sign in raw)):
        raise slip(
            "the path holds backslashes (in TOML a backslash begins an escape)", 'write it with /: "logs/station.csv"'
        )
    value = text(raw)
    if value.startswith(("/", "~")) or re.match(r"[A-Za-z]:", value):
        raise slip(f'"{value}" is not relative to the ledger file', 'write it from the ledger\'s folder on: "logs/..."')
    parts = value.split("/")
    first_glob = next((n for n, part in enumerate(parts) if set(part) & set("*?[")), len(parts))
    if ".." in parts[first_glob:]:
        raise slip(f'"{value}" climbs out of a folder behind a wildcard', "put .. in front of the first wildcard")
    return value


def day(raw: object) -> date:
    """A calendar day, which TOML writes without quotes as 2025-06-11."""
    if isinstance(raw, datetime):
        raise slip(f"{raw} has a clock time where a day is due", f"write {raw.date().isoformat()}")
    if isinstance(raw, str):
        raise slip(f'"{raw}" is a date in quotes', "write it without quotes, year first: 2025-06-11")
    if not isinstance(raw, date):
        raise slip(f"{as_typed(raw)} is not a date", "write it without quotes, year first: 2025-06-11")
    return _sensible(raw)


def _sensible(when: date) -> date:
    if not FIRST_YEAR <= when.year <= LAST_YEAR:
        raise slip(
            f"the year of {when.isoformat()} looks like a slip", f"write a year from {FIRST_YEAR} to {LAST_YEAR}"
        )
    return when


def moment(raw: object) -> datetime:
    """A local clock time, or a day (its first moment)."""
    if isinstance(raw, datetime):
        if raw.tzinfo is not None:
            bare_time = raw.replace(tzinfo=None).isoformat()
            raise slip(f"{raw.isoformat()} carries an offset", f"write the local clock time: {bare_time}")
        _sensible(raw.date())
        return raw
    if isinstance(raw, str):
        raise slip(f'"{raw}" is a time in quotes', "write it without quotes: 2025-12-12T00:00:00")
    first = day(raw)
    return datetime(first.year, first.month, first.day)


def month_day(raw: object) -> MonthDay:
    """A day of the year, `"MM-DD"`."""
    match = _MONTH_DAY.fullmatch(raw.strip()) if isinstance(raw, str) else None
    if match is None:
        raise slip(f"{as_typed(raw)} is not a day of the year", 'write it as "MM-DD", for example "10-01"')
    month, number_of_day = int(match.group(1)), int(match.group(2))
    if (month, number_of_day) == (2, 29):
        raise slip('"02-29" exists in leap years only', 'write "02-28" or "03-01"')
    if not 1 <= month <= 12 or not 1 <= number_of_day <= calendar.monthrange(2025, month)[1]:
        raise slip(f'"{raw}" is no day of the year', 'write it as "MM-DD", month first, for example "10-01"')
    return MonthDay(month, number_of_day)


def choice(words: type[_E]) -> Callable[[object], _E]:
    """A reader of one of a few words."""

    def read(raw: object) -> _E:
        known = [word.value for word in words]
        if not isinstance(raw, str):
            raise slip(f"{as_typed(raw)} is not one of the words known here", f"use one of: {listed(known)}")
        plainly = " ".join(raw.casefold().split())
        for word in words:
            if word.value.casefold() == plainly:
                return word
        raise slip(f'"{raw}" is not known here', offer(raw, known))

    return read


def _is_scalar(raw: object) -> bool:
    return isinstance(raw, int | Decimal | date) and not isinstance(raw, bool)
