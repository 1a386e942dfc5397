"""Time stamps as loggers write them: dates in any order, clocks of twelve or twenty-four hours, offsets, day counts."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import lru_cache

from ledger.intake.log_words import AFTERNOON, LONGEST_CELL, MONTHS, MORNING, dashes_plain, plain

HOUR_MS = 3_600_000
DAY_MS = 24 * HOUR_MS
SERIAL_DAY_ZERO = -25569  # 1899-12-30, day 0 of the spreadsheet serials, in days since 1970-01-01
_CENTURY_TURN = 69  # two-digit years 00 to 68 are 2000 to 2068, as POSIX has it (IEEE Std 1003.1, strptime, %y)


class Order(StrEnum):
    """Order of a date's three numbers. The value is how a grower writes it in `time_format`."""

    YMD = "%Y-%m-%d"
    DMY = "%d/%m/%Y"
    MDY = "%m/%d/%Y"


@dataclass(frozen=True, slots=True)
class Clock:
    """A time of day [ms] (24:00 is a day), with the offset from UTC [ms] where one is written."""

    ms: int
    offset_ms: int | None = None


_CLOCK = re.compile(
    r"(?:(?P<before>[^\d\s:+-][^\d:+-]*?)\s*)?"
    r"(?P<h>\d{1,2})\s*(?:[:.h]|\bh\b)\s*(?P<m>\d{2})(?:\s*(?:[:.m]|')\s*(?P<s>\d{2})(?:[.,:](?P<f>\d{1,9}))?)?\s*[\"s]?"
    r"\s*(?P<after>[^\d\s+,;-][^\d+,;-]*?)?\s*(?P<zone>[+-]\d{1,2}(?::?\d{2})?(?::?00)?)?",
    re.IGNORECASE,
)
# minutes from UTC: RFC 2822 section 4.3 for North America; European names from the tz database
_ZONES = {"Z": 0, "UTC": 0, "GMT": 0, "WET": 0, "WEST": 60, "BST": 60, "CET": 60, "MEZ": 60, "CEST": 120, "MESZ": 120}
_ZONES |= {"EET": 120, "EEST": 180, "EDT": -240, "EST": -300, "CDT": -300, "CST": -360, "MDT": -360, "MST": -420}
_ZONES |= {"PDT": -420, "PST": -480}
_TWELVE = re.compile(r"(?P<h>\d{1,2})\s*(?P<after>[ap]\.?\s?m\.?)", re.IGNORECASE)
_COMPACT_CLOCK = re.compile(r"(\d{2})(\d{2})(\d{2})?(Z)?")
_COMPACT_DATE = re.compile(r"((?:19|20)\d{2})(\d{2})(\d{2})")


@lru_cache(maxsize=8192)
def read_clock(text: str) -> Clock | None:
    """Read a time of day, None where there is none: 7:05, 07:05:00.25, 12:00 AM, 3 p.m., 24:00, 00:10+02:00, 7h05."""
    if len(text) > LONGEST_CELL:
        return None
    text = dashes_plain(text).replace("\u202f", " ").replace("\xa0", " ").strip().lstrip("Tt,").strip()
    found = _CLOCK.fullmatch(text)
    if found:
        parts = found.groupdict()
        fraction = int((parts["f"] or "0").ljust(9, "0")[:9]) // 1_000_000
        return _assembled(
            (int(parts["h"]), int(parts["m"]), int(parts["s"] or 0), fraction),
            marks=(parts["before"] or "", *_marks(parts["after"] or "")),
            zone=parts["zone"],
        )
    found = _TWELVE.fullmatch(text)
    if found:
        return _assembled((int(found["h"]), 0, 0, 0), marks=(found["after"],), zone=None)
    found = _COMPACT_CLOCK.fullmatch(text)
    if found:
        zone = "+00" if found[4] else None
        return _assembled((int(found[1]), int(found[2]), int(found[3] or 0), 0), marks=(), zone=zone)
    return None


def _marks(after: str) -> tuple[str, ...]:
    """Marks behind a clock: the half of the day, then perhaps the zone's name."""
    *front, last = after.split() or [""]
    if front and re.sub(r"[\W_]", "", last).upper() in _ZONES:
        return ("".join(front), last)
    return (after,)


def _assembled(parts: tuple[int, int, int, int], *, marks: tuple[str, ...], zone: str | None) -> Clock | None:
    hour, minute, second, milli = parts
    offset = _offset_ms(zone) if zone else None
    for mark in marks:
        word = re.sub(r"[\W_]", "", plain(mark))
        if word in MORNING or word in AFTERNOON:
            # some stations write 13:05 PM or 0:05 AM; the mark then adds nothing
            hour = hour % 12 + (12 if word in AFTERNOON else 0) if 1 <= hour <= 12 else hour
        elif word.upper() in _ZONES:
            offset = _ZONES[word.upper()] * 60_000 if offset is None else offset
        elif word not in ("", "uhr", "h", "hrs", "kl", "klo", "at", "um"):
            return None
    if minute > 59 or second > 60 or hour > 24 or (hour == 24 and (minute or second or milli)):
        return None
    return Clock(((hour * 60 + minute) * 60 + min(second, 59)) * 1000 + milli, offset)


def _offset_ms(zone: str) -> int:
    digits = zone[1:].replace(":", "")
    hours, minutes = (int(digits), 0) if len(digits) <= 2 else (int(digits[:-2]), int(digits[-2:]))
    if len(digits) >= 5:
        hours, minutes = int(digits[:2]), int(digits[2:4])
    return (-1 if zone[0] == "-" else 1) * (hours * 60 + minutes) * 60_000


@dataclass(frozen=True, slots=True)
class DateParts:
    """Three numbers of a date in the order in which they stand; `order` where the text itself settles it."""

    parts: tuple[int, int, int]
    year_digits: tuple[int, int, int]
    order: Order | None


@lru_cache(maxsize=8192)
def read_date(text: str) -> DateParts | None:
    """Read a date's parts, None where the text is no date. A month name or a leading year settles the order."""
    if len(text) > LONGEST_CELL:
        return None
    text = dashes_plain(text).replace("\xa0", " ").strip().rstrip("T,;. ")
    compact = _COMPACT_DATE.fullmatch(text)
    if compact:
        return DateParts((int(compact[1]), int(compact[2]), int(compact[3])), (4, 2, 2), Order.YMD)
    numbers = re.findall(r"\d+", text)
    words = [
        w for w in re.findall(r"[^\W\d_]+", plain(text)) if w not in ("de", "of", "den", "le", "th", "st", "nd", "rd")
    ]
    months = [m for m in map(_month, words) if m]
    if len(numbers) == 2 and len(months) == 1:
        return _named_month(text, numbers, months[0])
    if len(numbers) != 3 or len(months) > 1 or any(len(n) > 4 or len(n) == 3 for n in numbers):
        return None
    if not re.fullmatch(
        r"(?:[^\W\d_]+\.?,?\s*)?\d+\s*[-/.\s_年]\s*\d+\s*[-/.\s_月]\s*\d+日?\.?(?:\s*[^\W\d_]+\.?)?", text
    ):
        return None
    digits = (len(numbers[0]), len(numbers[1]), len(numbers[2]))
    if digits[1] > 2 or (digits[0] > 2 and digits[2] > 2):
        return None
    parts = (int(numbers[0]), int(numbers[1]), int(numbers[2]))
    return DateParts(parts, digits, Order.YMD if digits[0] == 4 else None)


def _month(word: str) -> int | None:
    return MONTHS.get(word)


def _named_month(text: str, numbers: list[str], month: int) -> DateParts | None:
    """A date with its month's name: the number of four digits, else the last one, is the year."""
    year, day = (numbers[0], numbers[1]) if len(numbers[0]) == 4 else (numbers[1], numbers[0])
    if len(year) not in (2, 4) or len(day) > 2 or len(text) > 40:
        return None
    return DateParts((full_year(int(year), len(year)), month, int(day)), (4, 2, 2), Order.YMD)


def full_year(year: int, digits: int) -> int:
    """A year of two digits in full (IEEE Std 1003.1: 69 to 99 are 19xx)."""
    if digits > 2:
        return year
    return year + (1900 if year >= _CENTURY_TURN else 2000)


def day_number(written: DateParts, order: Order) -> int | None:
    """Days since 1970-01-01 of a date read in an order, None where that order cannot be."""
    order = written.order or order
    places = {Order.YMD: (0, 1, 2), Order.DMY: (2, 1, 0), Order.MDY: (2, 0, 1)}[order]
    year, month, day = (written.parts[place] for place in places)
    digits = written.year_digits[places[0]]
    if digits not in (2, 4):
        return None
    try:
        return date(full_year(year, digits), month, day).toordinal() - 719163
    except ValueError:
        return None
