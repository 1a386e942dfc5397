"""The shape of a file: separator, decimal mark, header lines, first line of data, settled together from a sample."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from ledger.intake.log_bytes import HIDDEN_SEPARATOR, unquoted
from ledger.intake.log_sightings import Sight, sight
from ledger.intake.log_units import unit_named
from ledger.intake.log_words import is_missing

FIXED = "fixed width"
_SAMPLE_HEAD = 150
_SAMPLE_MORE = 100


Look = Callable[[str], Sight]


@dataclass(frozen=True, slots=True)
class Shape:
    """How lines fall into cells.

    Attributes
    ----------
    separator : the mark between cells; a tab where columns of fixed width were cut.
    cuts : places at which a line of fixed width is cut, else empty.
    decimal : "." or ",".
    columns : number of cells in a line of data, an empty last one left out.
    headers : the header lines above the data, each as cells, the lowest last.
    header_lines : their line numbers, from 1.
    first_data_line : from 1.
    sample : lines of data, as cells.
    look : what a cell looks like; by the ledger's `time_format` where that is of an unusual kind.
    """

    separator: str
    cuts: tuple[int, ...]
    decimal: str
    columns: int
    headers: tuple[tuple[str, ...], ...]
    header_lines: tuple[int, ...]
    first_data_line: int
    sample: tuple[tuple[str, ...], ...]
    look: Look = sight

    @property
    def separator_name(self) -> str:
        """The separator as reported: the mark itself, or "fixed width"."""
        return FIXED if self.cuts else self.separator


@dataclass(frozen=True, slots=True)
class _Trial:
    separator: str
    cuts: tuple[int, ...]
    score: float
    columns: int


def cells_of(line: str, separator: str, cuts: tuple[int, ...] = ()) -> tuple[str, ...]:
    """Cut a line into cells, quotes dropped, blanks around cells taken off."""
    return all_cells_of([line], separator, cuts)[0]


def all_cells_of(lines: Sequence[str], separator: str, cuts: tuple[int, ...] = ()) -> list[tuple[str, ...]]:
    """Cut lines, none of them with a line feed, into cells."""
    if cuts:
        return [tuple(part.strip() for part in cut_line(line, cuts)) for line in lines]
    if any('"' in line for line in lines):
        lines = unquoted("\n".join(lines).encode("utf-8", "replace"), separator).decode("utf-8", "replace").split("\n")
    if separator == " ":
        return [tuple(line.replace(HIDDEN_SEPARATOR, " ").split()) for line in lines]
    return [
        tuple(part.replace(HIDDEN_SEPARATOR, separator).strip() for part in line.split(separator)) for line in lines
    ]


def cut_line(line: str, cuts: Sequence[int]) -> list[str]:
    """Cut a line at fixed places."""
    edges = [0, *cuts, max(len(line), cuts[-1])]
    return [line[a:b] for a, b in pairwise(edges)]


def trimmed(cells: tuple[str, ...]) -> int:
    """Number of cells, empty last ones left out."""
    count = len(cells)
    while count and not cells[count - 1]:
        count -= 1
    return count


def sample_lines(lines: Sequence[str]) -> list[str]:
    """The first lines and some from everywhere in the block."""
    rest = len(lines) - _SAMPLE_HEAD
    step = max(1, rest // _SAMPLE_MORE)
    return [*lines[:_SAMPLE_HEAD], *lines[_SAMPLE_HEAD : len(lines) - 1 : step]]


def best_separator(lines: Sequence[str], given: str | None, look: Look) -> _Trial | None:
    """Try every separator on a sample and take the one whose lines hold most stamps and numbers."""
    if given is not None and given != FIXED:
        return _trial(lines, given, (), look)
    trials = [] if given == FIXED else [_trial(lines, mark, (), look) for mark in (";", "\t", "|", ",")]
    best = max(trials, key=lambda t: t.score, default=None)
    if best is None or best.score < 0.5:
        cuts = fixed_cuts(lines)
        if cuts:
            trials.append(_trial(lines, "\t", cuts, look))
        if given is None:
            trials.append(_trial(lines, " ", (), look))
        best = max(trials, key=lambda t: t.score, default=None)
    return best if best is not None and best.score > 0 else None


def _trial(lines: Sequence[str], separator: str, cuts: tuple[int, ...], look: Look) -> _Trial:
    """Score = share of lines that hold a stamp and at least one number, times the share of their other cells that are
    numbers or marks of a missing one."""
    rows = all_cells_of([line for line in lines if line.strip()], separator, cuts)
    good = 0
    clean = 0.0
    widths: Counter[int] = Counter()
    for row in rows:
        seen = [look(cell) for cell in row]
        stamps = sum(s.is_time for s in seen)
        numbers = sum(s is Sight.NUMBER or s is Sight.COUNT for s in seen)
        if not stamps or len(row) < 2:
            continue
        good += 1
        nothing = sum(s is Sight.NOTHING for s in seen)
        clean += (stamps + numbers + nothing) / len(row) if numbers + nothing else 0.0
        widths[trimmed(row)] += 1
    if not good:
        return _Trial(separator, cuts, 0.0, 0)
    columns = _usual_width(widths)
    return _Trial(separator, cuts, good / len(rows) * clean / good + 0.001 * min(columns, 50), columns)


def _usual_width(widths: Counter[int]) -> int:
    """The widest width that is not rare: last cells may be empty, and a few lines may be torn."""
    total = sum(widths.values())
    return max(width for width, count in widths.items() if count >= 0.05 * total or count == max(widths.values()))


def fixed_cuts(lines: Sequence[str]) -> tuple[int, ...]:
    """Places where every line of data has a blank: the starts of the columns behind them."""
    data = [line.rstrip().replace("\t", "        ") for line in lines if re.match(r"\s*\d", line)]
    if len(data) < 2:
        return ()
    filled = bytearray(max(len(line) for line in data))
    for line in data:
        for run in re.finditer(r"[^ ]+", line):
            filled[run.start() : run.end()] = b"\x01" * (run.end() - run.start())
    starts = [i for i in range(1, len(filled)) if filled[i] and not filled[i - 1]]
    return tuple(starts if filled[:1] == b"\x01" else starts[1:])


def decimal_mark(rows: Sequence[tuple[str, ...]], separator: str) -> str | None:
    """ "," or "." by the cells that prove one; "." where no cell has either; None where commas might be either mark."""
    comma = point = doubtful = 0
    for row in rows:
        for cell in row:
            if sight(cell) not in (Sight.NUMBER, Sight.COUNT) and not re.match(r"\s*[-−–]?\d+[.,]\d", cell):
                continue
            number = re.match(r"[^\d.,]*([\d.,]*)", cell)
            digits = number[1] if number else ""
            proof = _proves(digits)
            comma += proof == ","
            point += proof == "."
            doubtful += proof == "?"
    if comma and not point:
        return ","
    if doubtful and not point and not comma and separator != ",":
        return None
    return "," if comma > 10 * point else "."


def _proves(digits: str) -> str:
    """Which decimal mark the digits of one number prove; "?" for 1,024, which may be either."""
    if "," in digits and "." in digits:
        return "," if digits.rindex(",") > digits.rindex(".") else "."
    if digits.count(",") == 1:
        return "?" if re.fullmatch(r"[1-9]\d{0,2},\d{3}", digits) else ","
    if digits.count(".") == 1:
        return "."
    return ""


def first_data(rows: Sequence[tuple[str, ...]], columns: int, look: Look) -> int | None:
    """Place of the first line that holds a stamp and a number or missing mark, and about as many cells as the rest."""
    for i, row in enumerate(rows):
        if trimmed(row) > 1 and _is_data(row, look) and (len(row) >= columns or _is_data_around(rows, i, look)):
            return i
    return None


def _is_data_around(rows: Sequence[tuple[str, ...]], i: int, look: Look) -> bool:
    return any(_is_data(row, look) for row in rows[i + 1 : i + 3])


def _is_data(row: tuple[str, ...], look: Look) -> bool:
    seen = [look(cell) for cell in row]
    if not any(s.is_time for s in seen):
        return False
    return all(s is not Sight.WORDS or unit_named(cell) for s, cell in zip(seen, row, strict=True)) or (
        sum(s is Sight.NUMBER for s in seen) >= 1
    )


def is_unit_row(cells: Sequence[str]) -> bool:
    """Whether a line holds nothing but units, blanks and stamp formats, with one unit at least."""
    units = [bool(unit_named(cell)) for cell in cells]
    return any(units) and all(
        unit or is_missing(cell) or re.fullmatch(r"[\W\dydmhsapt]+|[\w/]{1,6}", cell, re.IGNORECASE)
        for unit, cell in zip(units, cells, strict=True)
    )
