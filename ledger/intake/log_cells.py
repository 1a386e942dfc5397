"""Cells of numbers: text to floats, with the unit a cell may carry."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
import polars as pl

from ledger.intake.log_bytes import HIDDEN_SEPARATOR
from ledger.intake.log_words import LONGEST_CELL, ON_OFF, dashes_plain, is_missing, plain

_MOST_KNOWN = 200_000  # texts kept with what they were read as
_MOST_TOLD = 1000  # texts told apart, where they are only counted; the rest count as the first of them
_GREATEST = 1e12  # far beyond any limit of a channel, and far below where sums and squares overflow
_NUMBER = re.compile(r"([+-]?)\s*(\d[\d.,' ]*|[.,]\d+)(?:([eE][+-]?\d{1,3})(?![\w]))?\s*(.*)")
_GROUPED = {
    ".": re.compile(r"\d{1,3}(?:([,' ])\d{3})(?:\1\d{3})*(?:\.\d*)?|\d*\.?\d*"),
    ",": re.compile(r"\d{1,3}(?:([.' ])\d{3})(?:\1\d{3})*(?:,\d*)?|\d*,?\d*"),
}


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell read slowly: its number (NaN: no reading), the unit text behind it, whether it could be understood."""

    number: float
    unit: str = ""
    understood: bool = True


_NOTHING = Cell(math.nan)


def read_cell(text: str, decimal: str) -> Cell:
    """Read one cell.

    Parameters
    ----------
    text : the cell as in the file, quotes dropped.
    decimal : "." or ",".

    Returns
    -------
    Cell : the number with the true minus sign, no-break blanks and thousands marks understood; the text behind it.
    """
    text = " ".join(dashes_plain(text).replace(HIDDEN_SEPARATOR, ",").replace("\ufeff", "").split())
    if is_missing(text):
        return _NOTHING
    if len(text) > LONGEST_CELL:
        return Cell(math.nan, "", understood=False)
    found = _NUMBER.fullmatch(text)
    if not found:
        word = plain(text)
        return Cell(ON_OFF[word], "on/off") if word in ON_OFF else Cell(math.nan, "", understood=False)
    sign, digits, power, unit = found.groups()
    digits = digits.strip()
    if not _GROUPED[decimal].fullmatch(digits):
        return Cell(math.nan, "", understood=False)
    for mark in " '" + (",." if decimal == "." else ".,")[0]:
        digits = digits.replace(mark, "")
    number = float(sign + digits.replace(",", ".") + (power or ""))
    return Cell(_held_in(number), unit.strip()) if math.isfinite(number) else _NOTHING


@dataclass(slots=True)
class NumberReader:
    """Reads one column block by block; what the quick way cannot read is read once by its text.

    `units` counts readings by the unit text in their cells; `odd` counts cells that no one can understand.
    """

    decimal: str
    units: dict[str, int] = field(default_factory=dict)
    odd: dict[str, int] = field(default_factory=dict)
    _known: dict[str, Cell] = field(default_factory=dict)

    def read(self, column: pl.Series) -> tuple[npt.NDArray[np.float64], pl.Series | None]:
        """Numbers of a column, NaN where there is none; and for each row its unit text where any cell carries one."""
        if self.decimal == ",":
            if column.str.contains(".", literal=True).any():
                return self._slowly(column, column.is_not_null())
            quick = column.str.replace(",", ".", literal=True, n=1).cast(pl.Float64, strict=False)
        else:
            quick = column.cast(pl.Float64, strict=False)
        left = quick.is_null() & column.is_not_null()
        if left.any():
            return self._slowly(column, left, quick)
        return _finite(quick), None

    def _slowly(
        self, column: pl.Series, left: pl.Series, quick: pl.Series | None = None
    ) -> tuple[npt.NDArray[np.float64], pl.Series | None]:
        if len(self._known) > _MOST_KNOWN:
            self._known.clear()
        words = column.filter(left)
        counts = words.value_counts(name="n")
        texts = counts.get_column(counts.columns[0]).to_list()
        cells = [self._cell(text) for text in texts]
        carries = False
        for cell, text, count in zip(cells, texts, counts.get_column("n").to_list(), strict=True):
            if not cell.understood:
                _count(self.odd, text, count)
            elif cell.unit and not math.isnan(cell.number):
                _count(self.units, cell.unit, count)
                carries = True
        keys = pl.Series(texts, dtype=pl.String)
        numbers = words.replace_strict(keys, pl.Series([c.number for c in cells], dtype=pl.Float64))
        values = np.full(len(column), np.nan) if quick is None else _finite(quick)
        rows = np.flatnonzero(left.to_numpy())
        values[rows] = numbers.to_numpy()
        if not carries:
            return values, None
        units = pl.Series([c.unit for c in cells], dtype=pl.String)
        return values, column.replace_strict(keys, units, default="", return_dtype=pl.String).fill_null("")

    def _cell(self, text: str) -> Cell:
        if text not in self._known:
            self._known[text] = read_cell(text, self.decimal)
        return self._known[text]


def _count(counts: dict[str, int], text: str, more: int) -> None:
    """Count a text, in bounded memory."""
    key = text if text in counts or len(counts) < _MOST_TOLD else next(iter(counts))
    counts[key] = counts.get(key, 0) + more


def _finite(quick: pl.Series) -> npt.NDArray[np.float64]:
    values = quick.cast(pl.Float64).fill_null(math.nan).to_numpy().copy()
    values[~np.isfinite(values)] = np.nan
    np.clip(values, -_GREATEST, _GREATEST, out=values)
    return values


def _held_in(number: float) -> float:
    return min(max(number, -_GREATEST), _GREATEST)
