"""What a single cell looks like: a stamp, a date, a clock, a count of time, a number, nothing, or words."""

from __future__ import annotations

import re
from enum import Enum
from functools import lru_cache

from ledger.intake.log_stamps import Clock, DateParts, read_clock, read_date
from ledger.intake.log_words import LONGEST_CELL, dashes_plain, is_missing

# seconds since 1970 of 1995 and 2100; a count of time outside is no log of a growing house
EPOCH_FIRST_S = 788_918_400
EPOCH_LAST_S = 4_102_444_800
SERIAL_FIRST_D = 34_700  # spreadsheet day number of 1995-01-01
SERIAL_LAST_D = 73_050  # of 2099-12-31
_NUMBER = re.compile(
    r"[+-]?\s?(?:\d(?:[\d.,' ]*\d)?\.?|[.,]\d+)(?:[eE][+-]?\d+)?\s*(?:[^\w\s]?\s*[^\W\d]{0,12}|%|[^\W\d]*/[^\W\d]*\d?)"
)
_STAMP_GAP = re.compile(r"\s*[T_,]\s*|\s+|(?<=\d)-(?=\d\d:)")


class Sight(Enum):
    """Kinds of cell."""

    STAMP = "date and clock"
    DATE = "date"
    CLOCK = "clock"
    COUNT = "count of time"
    DAYS = "spreadsheet day number"
    NUMBER = "number"
    NOTHING = "nothing"
    WORDS = "words"

    @property
    def is_time(self) -> bool:
        """Whether it tells time."""
        return self in (Sight.STAMP, Sight.DATE, Sight.CLOCK, Sight.COUNT, Sight.DAYS)


@lru_cache(maxsize=20_000)
def sight(cell: str) -> Sight:
    """What a cell looks like, by itself."""
    cell = cell.strip()
    if len(cell) > LONGEST_CELL:
        return Sight.WORDS
    if is_missing(cell):
        return Sight.NOTHING
    number = dashes_plain(cell)
    if re.fullmatch(r"\d{9,10}(?:[.,]\d+)?|\d{13}|\d{16}|\d{19}", number) and count_kind(number) is not None:
        return Sight.COUNT
    if re.fullmatch(r"(?:19|20)\d{12}|(?:19|20)\d{10}|(?:19|20)\d{6}[ T_-]?\d{4}(?:\d\d)?Z?", number) and split_stamp(
        cell
    ):
        return Sight.STAMP
    if re.fullmatch(r"(?:19|20)\d{6}", number) and read_date(cell):
        return Sight.DATE
    if re.fullmatch(r"\d{5}[.,]\d{3,}", number) and is_serial(number):
        return Sight.DAYS
    if _NUMBER.fullmatch(number) and not re.search(r"\d[.]\d+[.]\d|\d:\d", number):
        return Sight.NUMBER
    if split_stamp(cell):
        return Sight.STAMP
    if read_date(cell):
        return Sight.DATE
    if read_clock(cell):
        return Sight.CLOCK
    return Sight.WORDS


def count_kind(text: str) -> int | None:
    """Milliseconds in one unit of a count since 1970, as a power of ten: 3 s, 0 ms, −3 µs, −6 ns; else None."""
    whole = re.split(r"[.,]", text)[0]
    if not whole.isdecimal():
        return None
    for power, digits in ((3, (9, 10)), (0, (12, 13)), (-3, (15, 16)), (-6, (18, 19))):
        if len(whole) in digits and EPOCH_FIRST_S <= int(whole) * 10 ** (power - 3) <= EPOCH_LAST_S:
            return power
    return None


def is_serial(text: str) -> bool:
    """Whether a number may be a spreadsheet's day number."""
    text = text.replace(",", ".")
    return bool(re.fullmatch(r"\d{5}(?:\.\d+)?", text)) and SERIAL_FIRST_D <= float(text) <= SERIAL_LAST_D


def split_stamp(text: str) -> tuple[DateParts, Clock] | None:
    """Read a cell that holds date and clock, in either order; None where it does not."""
    for day, hour in stamp_splits(text) if len(text) <= LONGEST_CELL else []:
        clock = read_clock(hour)
        date = read_date(day) if clock else None
        if date and clock:
            return date, clock
    return None


def stamp_splits(text: str) -> list[tuple[str, str]]:
    """Ways to part a cell into date and clock, likeliest first."""
    text = text.strip()
    found = [(text[: m.start()], text[m.end() :]) for m in _STAMP_GAP.finditer(text)]
    packed = re.fullmatch(r"(\d{8})[ T_-]?(\d{4}(?:\d\d)?Z?)", text)
    if packed:
        found.insert(0, (packed[1], packed[2]))
    swapped = [(b, a) for a, b in found]
    return [
        pair for pair in [*found, *swapped] if any(c.isdigit() for c in pair[0]) and any(c.isdigit() for c in pair[1])
    ]
