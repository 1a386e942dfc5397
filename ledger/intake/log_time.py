"""Stamps of a whole file, block by block: texts to codes, each different text read once."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum

import numpy as np
import numpy.typing as npt
import polars as pl

from ledger.intake.log_bytes import HIDDEN_SEPARATOR
from ledger.intake.log_sightings import EPOCH_FIRST_S, EPOCH_LAST_S, count_kind, split_stamp
from ledger.intake.log_stamps import DAY_MS, SERIAL_DAY_ZERO, Clock, DateParts, read_clock, read_date

NO_CODE = -1
BARE_DATE = -2  # in place of a clock: the cell holds a date only, as some exports write midnight
NO_OFFSET = np.int32(2**31 - 1)
_MOST_KNOWN = 200_000  # texts kept with what they were read as; a clock to the second has 86,400
_CLOCK_AT_END = r"[ T,_]*\b(\d{1,2}[:h]\d{2}.*)$"


class Way(Enum):
    """How stamps are parted into date and clock."""

    FIXED = "date of fixed length, one mark, clock"
    GAP = "date, blank or T, clock"
    CLOCK_LAST = "date with blanks, clock"
    PAIR = "two columns"
    DATE_ONLY = "dates"
    WHOLE = "each text by itself"
    FORMAT = "by time_format"
    COUNT = "count since 1970"
    SERIAL = "spreadsheet day number"


@dataclass(slots=True)
class StampBlock:
    """Stamps of one block's rows: either date codes with clocks, or wall/instant milliseconds.

    Attributes
    ----------
    date : code of the date's text, −1 where the row has no stamp.
    clock_ms : time of day. [ms]
    offset_ms : offset written in the stamp, or `NO_OFFSET`. [ms]
    """

    date: npt.NDArray[np.int32]
    clock_ms: npt.NDArray[np.int32]
    offset_ms: npt.NDArray[np.int32] | None


@dataclass(slots=True)
class StampReader:
    """Reads the stamps of one file. `dates[code]` is a date as written; `example` a stamp for messages."""

    way: Way
    length: int = 0
    power: int = 0
    strptime: str = ""
    dates: list[DateParts] = field(default_factory=list)
    example: str = ""
    _codes: dict[DateParts, int] = field(default_factory=dict)
    _date_codes: dict[str, int] = field(default_factory=dict)
    _clocks: dict[str, Clock | None] = field(default_factory=dict)
    _offsets: bool = False
    _whole: dict[str, tuple[int, Clock] | None] = field(default_factory=dict)

    def read(self, first: pl.Series, second: pl.Series | None) -> StampBlock:
        """Stamps of a block from its time column, or from its date and its clock column."""
        if self.way in (Way.COUNT, Way.SERIAL):
            return self._numbers(first)
        if self.way is Way.PAIR and second is not None:
            return self._joined(first, second)
        if self.way is Way.DATE_ONLY:
            return self._joined(first, pl.repeat("00:00", len(first), eager=True))
        if self.way is Way.FIXED:
            block = self._joined(first.str.head(self.length), first.str.slice(self.length + 1))
        elif self.way is Way.GAP:
            parted = first.str.replace("T", " ", literal=True).str.strip_chars().str.splitn(" ", 2).struct.unnest()
            block = self._joined(parted.to_series(0), parted.to_series(1))
        elif self.way is Way.CLOCK_LAST:
            block = self._joined(first.str.replace(_CLOCK_AT_END, ""), first.str.extract(_CLOCK_AT_END, 1))
        else:
            block = _empty(len(first))
        return self._slowly(first, block)

    def _joined(self, days: pl.Series, clocks: pl.Series) -> StampBlock:
        if len(self._clocks) > _MOST_KNOWN:
            self._clocks.clear()
        if len(self._date_codes) > _MOST_KNOWN:
            self._date_codes.clear()
        date = _coded(days, self._date_code).astype(np.int32)
        clock = _coded(clocks, lambda text: _ms(self._clock(text)))
        missing = (date == NO_CODE) | (clock == NO_CODE)
        date[missing] = NO_CODE
        offset: npt.NDArray[np.int32] | None = None
        if self._offsets:
            offset = _coded(clocks, lambda text: _offset(self._clock(text)), nothing=int(NO_OFFSET)).astype(np.int32)
        return StampBlock(date, clock.astype(np.int32), offset)

    def _slowly(self, texts: pl.Series, block: StampBlock) -> StampBlock:
        """Read what the quick way left, each different text by itself."""
        left = np.flatnonzero(block.date == NO_CODE)
        if not len(left):
            return block
        words = texts.gather(left)
        different = [text for text in words.unique().to_list() if text is not None]
        for text in different:
            if text not in self._whole:
                self._whole[text] = self._read_whole(text)
        found = {text: pair for text in different if (pair := self._whole[text]) is not None}
        if not found:
            return block
        if block.offset_ms is None and any(clock.offset_ms is not None for _, clock in found.values()):
            block.offset_ms = np.full(len(texts), NO_OFFSET, np.int32)
        for row, text in zip(left.tolist(), words.to_list(), strict=True):
            if text in found:
                code, clock = found[text]
                block.date[row], block.clock_ms[row] = code, clock.ms
                if block.offset_ms is not None:
                    block.offset_ms[row] = NO_OFFSET if clock.offset_ms is None else clock.offset_ms
        if self.way is Way.WHOLE or self.way is Way.FORMAT or len(self._whole) > _MOST_KNOWN:
            self._whole.clear()
        return block

    def _read_whole(self, text: str) -> tuple[int, Clock] | None:
        text = text.replace(HIDDEN_SEPARATOR, ",")
        if self.way is Way.FORMAT:
            return self._by_format(text)
        pair = split_stamp(text)
        if pair is None:
            day = read_date(text) if re.fullmatch(r"[\d\s./年月日-]+", text) else None
            return None if day is None else (self._new_date(day), Clock(BARE_DATE))
        return self._new_date(pair[0]), pair[1]

    def _by_format(self, text: str) -> tuple[int, Clock] | None:
        try:
            moment = datetime.strptime(text.strip(), self.strptime)
        except ValueError:
            return None
        parts = read_date(f"{moment:%Y-%m-%d}")
        if parts is None:
            return None
        offset = moment.utcoffset()
        clock_ms = ((moment.hour * 60 + moment.minute) * 60 + moment.second) * 1000 + moment.microsecond // 1000
        return self._new_date(parts), Clock(clock_ms, None if offset is None else int(offset.total_seconds() * 1000))

    def _new_date(self, parts: DateParts) -> int:
        if parts not in self._codes:
            self._codes[parts] = len(self.dates)
            self.dates.append(parts)
        return self._codes[parts]

    def _date_code(self, text: str) -> int:
        if text not in self._date_codes:
            parts = read_date(text.replace(HIDDEN_SEPARATOR, ","))
            self._date_codes[text] = NO_CODE if parts is None else self._new_date(parts)
        return self._date_codes[text]

    def _clock(self, text: str) -> Clock | None:
        if text not in self._clocks:
            whole_hour = self.way is Way.PAIR and re.fullmatch(r"\s*\d{1,2}\s*", text)
            bare = f"{text}:00" if whole_hour else text
            clock = read_clock(bare.replace(HIDDEN_SEPARATOR, ","))
            self._offsets |= clock is not None and clock.offset_ms is not None
            self._clocks[text] = clock
        return self._clocks[text]

    def _numbers(self, column: pl.Series) -> StampBlock:
        """Counts and day numbers need no order: days since 1970 stand in `date` themselves."""
        text = column.str.strip_chars().str.replace(",", ".", literal=True)
        number = text.cast(pl.Float64, strict=False).fill_null(np.nan).to_numpy()
        if self.way is Way.COUNT:
            ms = number * 10.0**self.power
            low, high = EPOCH_FIRST_S * 1000.0, EPOCH_LAST_S * 1000.0
            good = np.isfinite(ms) & (ms < high) & ((ms >= low) | ((ms >= 0) & (ms < 40 * DAY_MS)))
        else:
            ms = (number + SERIAL_DAY_ZERO) * DAY_MS
            ms = np.round(ms / 1000.0) * 1000.0
            good = np.isfinite(ms) & (number > 30_000) & (number < 80_000)
        whole = np.round(np.where(good, ms, 0.0)).astype(np.int64)
        date = np.where(good, whole // DAY_MS, NO_CODE).astype(np.int32)
        return StampBlock(date, (whole % DAY_MS).astype(np.int32), None)


def _empty(rows: int) -> StampBlock:
    return StampBlock(np.full(rows, NO_CODE, np.int32), np.zeros(rows, np.int32), None)


def _ms(clock: Clock | None) -> int:
    return NO_CODE if clock is None else clock.ms


def _offset(clock: Clock | None) -> int:
    return int(NO_OFFSET) if clock is None or clock.offset_ms is None else clock.offset_ms


def _coded(texts: pl.Series, code: Callable[[str], int], nothing: int = NO_CODE) -> npt.NDArray[np.int64]:
    """Code of each row's text, each different text coded once."""
    different = texts.drop_nulls().unique()
    codes = pl.Series([code(text) for text in different.to_list()], dtype=pl.Int64)
    if not len(codes):
        return np.full(len(texts), nothing, np.int64)
    result: npt.NDArray[np.int64] = texts.replace_strict(
        different, codes, default=nothing, return_dtype=pl.Int64
    ).to_numpy()
    return result


def stamp_way(cells: list[str]) -> StampReader:
    """Choose the quickest way that reads a sample of stamps as `split_stamp` does.

    Parameters
    ----------
    cells : stamps of a sample, none empty.

    Returns
    -------
    StampReader : ready for the file.
    """
    good = [cell for cell in cells if split_stamp(cell)]
    lengths = {len(re.split(r"[ T_]", cell)[0]) for cell in good}
    if good and len(lengths) == 1 and _all_agree(good, lambda c: (c[: min(lengths)], c[min(lengths) + 1 :])):
        return StampReader(Way.FIXED, length=min(lengths), example=good[0])
    for way, part in (
        (Way.GAP, lambda c: tuple(c.replace("T", " ", 1).split(" ", 1)) if " " in c.replace("T", " ", 1) else ("", "")),
        (Way.CLOCK_LAST, lambda c: (re.sub(_CLOCK_AT_END, "", c), (re.findall(_CLOCK_AT_END, c) or [""])[0])),
    ):
        if good and _all_agree(good, part):
            return StampReader(way, example=good[0])
    return StampReader(Way.WHOLE, example=good[0] if good else "")


def _all_agree(cells: list[str], part: Callable[[str], tuple[str, str]]) -> bool:
    for cell in cells:
        day, clock = part(cell)
        if (read_date(day), read_clock(clock)) != split_stamp(cell):
            return False
    return True


def count_way(cells: list[str]) -> StampReader:
    """A reader of counts since 1970, in seconds, ms, µs or ns by their size."""
    powers = [power for cell in cells if (power := count_kind(cell)) is not None]
    return StampReader(
        Way.COUNT, power=max(set(powers), key=powers.count) if powers else 3, example=cells[0] if cells else ""
    )
