"""The lines that name a file's columns: straight above the data, or a little higher, or written in another way."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ledger.intake.log_shape import cells_of, trimmed
from ledger.intake.log_sightings import Sight, sight
from ledger.intake.log_words import is_missing

_MOST_LINES = 4
_MOST_TORN = 10  # torn lines of data between header and first whole line
_MOST_JOINED = 12  # lines over which one quoted header may be broken
Rows = Sequence[tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class HeaderLine:
    """A header line: its place in the file, from 0, and its cells."""

    place: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Head:
    """What is known when headers are looked for.

    Attributes
    ----------
    lines, rows : the file's first lines, and the same as cells.
    first : place of the first line of data, from 0.
    columns : cells of a line of data.
    separator, cuts : how lines are cut.
    """

    lines: Sequence[str]
    rows: Rows
    first: int
    columns: int
    separator: str
    cuts: tuple[int, ...]


def header_lines(head: Head, stated: int | None) -> list[HeaderLine]:
    """Find the header lines, the lowest last.

    Parameters
    ----------
    head : the file's first lines.
    stated : the line number that the ledger states, from 1; 0 says that there is none; None leaves it to the file.
    """
    if stated == 0:
        return []
    if stated is not None:
        places = [i for i in range(stated - 1, head.first) if i == stated - 1 or any(head.rows[i])][:_MOST_LINES]
        return [_as_header(head, i) for i in places]
    if head.cuts:
        filled = [i for i in range(head.first) if head.lines[i].strip()][-1:]
        return [_as_header(head, i) for i in filled if len(re.split(r"\s{2,}|\t", head.lines[i].strip())) > 1]
    found = _above(head)
    if found:
        return [HeaderLine(i, head.rows[i]) for i in found]
    return _otherwise(head)


def _above(head: Head) -> list[int]:
    """Places of the lines above the data, as wide as the data, without numbers; torn lines of data are passed over."""
    places: list[int] = []
    for i in range(head.first - 1, -1, -1):
        row = head.rows[i]
        if not any(row):
            if places:
                break
            continue
        words = [cell for cell in row if cell]
        numbers = sum(sight(cell) in (Sight.NUMBER, Sight.COUNT) for cell in words)
        if numbers > len(words) / 2 and not places and head.first - i <= _MOST_TORN:
            continue
        if len(row) < head.columns - 1 or len(places) == _MOST_LINES or numbers > len(words) / 2:
            break
        places.insert(0, i)
    return places if any(_names_columns(head.rows[i]) for i in places) else []


def _otherwise(head: Head) -> list[HeaderLine]:
    """A header parted by another mark, broken over several lines inside its quotes, or narrower than the data."""
    above = next((i for i in range(head.first - 1, -1, -1) if any(head.rows[i])), None)
    if above is None:
        return []
    for mark in (",", ";", "\t", "|"):
        cells = cells_of(head.lines[above], mark)
        if mark != head.separator and abs(trimmed(cells) - head.columns) <= 1 and _names_columns(cells):
            return [HeaderLine(above, cells)]
    for start in range(above - 1, max(-1, above - _MOST_JOINED), -1):
        joined = " ".join(head.lines[start : above + 1])
        if '"' in joined and joined.count('"') % 2 == 0:
            cells = cells_of(joined, head.separator)
            if abs(trimmed(cells) - head.columns) <= 1 and _names_columns(cells):
                return [HeaderLine(above, cells)]
    if _names_columns(head.rows[above]) and not has_points(head.rows[head.first : head.first + 50]):
        return [HeaderLine(above, head.rows[above])]
    return []


def _names_columns(cells: Sequence[str]) -> bool:
    """Whether a line is two or more cells of words and no number (a unit row may be among them)."""
    words = [cell for cell in cells if not is_missing(cell)]
    return len(words) > 1 and all(sight(cell) not in (Sight.NUMBER, Sight.COUNT, Sight.STAMP) for cell in words)


def has_points(rows: Sequence[Sequence[str]]) -> bool:
    """Whether any number of some lines has a decimal point."""
    return any("." in cell for row in rows for cell in row if sight(cell) is Sight.NUMBER)


def _as_header(head: Head, place: int) -> HeaderLine:
    """A header line's cells; under fixed width each group of words goes to the column that it stands over most."""
    line = head.lines[place]
    if not head.cuts:
        return HeaderLine(place, cells_of(line, head.separator))
    edges = [0, *head.cuts, 10_000]
    names = [""] * (len(head.cuts) + 1)
    for group in re.finditer(r"\S+(?:\s\S+)*", line):
        over = [max(0, min(group.end(), b) - max(group.start(), a)) for a, b in pairwise(edges)]
        place_over = over.index(max(over))
        free = [p for p in (place_over, place_over + 1) if p < len(names) and not names[p]]
        if free:
            names[free[0]] = group[0]
    return HeaderLine(place, tuple(names))
