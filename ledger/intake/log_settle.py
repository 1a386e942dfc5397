"""The shape of a file, with what the ledger says put above what the file shows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from ledger.errors import LogError
from ledger.intake.log_headers import Head, has_points, header_lines
from ledger.intake.log_parts import names_parts, seen_by_year
from ledger.intake.log_shape import (
    FIXED,
    Look,
    Shape,
    all_cells_of,
    best_separator,
    decimal_mark,
    first_data,
    sample_lines,
    trimmed,
)
from ledger.intake.log_sightings import Sight, sight
from ledger.intake.log_trouble import log_error
from ledger.model.logs import LogSpec

_SEPARATORS = {
    "comma": ",", "semicolon": ";", "tab": "\t", "\\t": "\t", "bar": "|", "pipe": "|", "space": " ", "blank": " ",
    "blanks": " ", "fixed": FIXED, "fixed width": FIXED,
}  # fmt: skip
_MOST_COLUMNS = 1000
_DECIMALS = {"point": ".", "dot": ".", "comma": ",", ".": ".", ",": ","}


def settle_shape(lines: Sequence[str], spec: LogSpec, *, file: str) -> Shape:
    """Settle separator, decimal mark, header and first line of data.

    Parameters
    ----------
    lines : the file's first lines.
    spec : the section; what it states is not looked for.
    file : for complaints.

    Raises
    ------
    LogError : an empty file, no separator that yields stamps and numbers, commas that are both marks, a decimal mark
        that cannot be proved.
    """
    if not any(line.strip() for line in lines):
        raise log_error("the file is empty", file=file, mend="export it again, or take it out of the ledger")
    given = _given_separator(spec, file=file)
    look = look_by(spec.time_format)
    start = max(0, (spec.header or 0))
    if spec.time_format is None and _in_parts(lines, spec):
        look = _look_for_years
    trial = best_separator(sample_lines(lines[start:]), given, look)
    if trial is None:
        raise _nothing_found(lines, file)
    rows = all_cells_of(lines[:2000], trial.separator, trial.cuts)
    place = first_data(rows[start:], trial.columns, look)
    if place is None:
        raise log_error(
            "no line of data was found under the header", file=file, line=start + 1,
            mend="check header = ... in the ledger",
        )  # fmt: skip
    first = place + start
    columns = trial.columns
    more = all_cells_of(sample_lines(lines)[150:], trial.separator, trial.cuts)
    sample = [row for row in rows[first : first + 150] if any(row)] + more
    data = tuple(row for row in sample if any(look(cell).is_time for cell in row))
    head = Head(lines, rows, first, columns, trial.separator, trial.cuts)
    headers = header_lines(head, spec.header)
    names = [header.cells for header in headers]
    widest = max([columns, *(len(cells) for cells in names)])
    if widest > _MOST_COLUMNS:
        raise _run_together(widest, file=file, line=headers[-1].place + 1 if headers else first + 1)
    _comma_twice(names, data, trial.separator, file=file, line=first + 1)
    if headers:
        columns = max(columns, trimmed(names[-1]) if not trial.cuts else 0)
        first = min(first, headers[-1].place + 1)
    decimal = _decimal(spec, data, trial.separator, file=file, line=first + 1)
    places = tuple(header.place + 1 for header in headers)
    return Shape(
        trial.separator, trial.cuts, decimal, columns, tuple(names), places, first + 1, _thinned(data), look
    )  # fmt: skip


def _in_parts(lines: Sequence[str], spec: LogSpec) -> bool:
    """Whether the ledger, or a line above the data, speaks of year, month and day in columns of their own."""
    if spec.time is not None and spec.time.count("+") + spec.time.count(",") >= 3:
        return True
    heads = [line for line in lines[:200] if line and not line[:1].isdecimal()]
    return any(names_parts(cells) for mark in (";", "\t", "|", ",", " ") for cells in all_cells_of(heads, mark))


def _look_for_years(cell: str) -> Sight:
    return seen_by_year(sight(cell), cell)


def _run_together(cells: int, *, file: str, line: int) -> LogError:
    what = f"a line holds {cells} cells: have several lines run together?"
    return log_error(what, file=file, line=line, mend=f"export it again with {_MOST_COLUMNS} columns at most")


def _nothing_found(lines: Sequence[str], file: str) -> LogError:
    return log_error(
        "no line holds a time stamp with numbers beside it, whatever the separator",
        file=file, line=1, excerpt=lines[0][:120],
        mend='give separator = ";" (or ",", "tab", "fixed"), header = 3 (its line), time_format = "%d.%m.%Y %H:%M"',
    )  # fmt: skip


def _thinned(data: tuple[tuple[str, ...], ...]) -> tuple[tuple[str, ...], ...]:
    """The first lines of data and some from everywhere: enough to know the columns by."""
    return data[:80] + data[80 :: max(1, (len(data) - 80) // 120)]


def look_by(time_format: str | None) -> Look:
    """What cells look like, where the ledger gives the form of the stamps: cells of that form are stamps."""
    if time_format is None:
        return sight

    def look(cell: str) -> Sight:
        looks = sight(cell)
        if looks in (Sight.NOTHING, Sight.STAMP, Sight.DATE, Sight.CLOCK):
            return looks
        try:
            datetime.strptime(cell, time_format)
        except ValueError:
            return looks
        return Sight.STAMP

    return look


def _given_separator(spec: LogSpec, *, file: str) -> str | None:
    if spec.separator is None:
        return None
    word = spec.separator if len(spec.separator) == 1 else spec.separator.strip().casefold()
    mark = _SEPARATORS.get(word, word)
    if mark != FIXED and len(mark) != 1:
        raise log_error(
            f'a separator is one mark, not "{spec.separator}"', file=file,
            mend='write separator = ",", ";", "tab", "|", "blanks" or "fixed"',
        )  # fmt: skip
    return mark


def _comma_twice(
    headers: Sequence[tuple[str, ...]], data: Sequence[tuple[str, ...]], separator: str, *, file: str, line: int
) -> None:
    """Refuse a comma that both parts cells and marks decimals: rows then have more cells than the header has names."""
    if separator != "," or not data or not headers or has_points(data):
        return
    names = max(trimmed(cells) for cells in headers)
    longer = [row for row in data if trimmed(row) > names]
    if len(longer) > 0.05 * len(data):
        raise log_error(
            f"the header names {names} columns, but lines hold {trimmed(longer[0])} cells: the comma both parts the "
            "cells and marks the decimals",
            file=file, line=line, excerpt=",".join(longer[0])[:120],
            mend="export the file again with a semicolon between cells, or with a decimal point",
        )  # fmt: skip


def _decimal(spec: LogSpec, data: Sequence[tuple[str, ...]], separator: str, *, file: str, line: int) -> str:
    if spec.decimal is not None:
        mark = _DECIMALS.get(spec.decimal.strip().casefold())
        if mark is None:
            raise log_error(f'no decimal mark is called "{spec.decimal}"', file=file, mend='write decimal = "." or ","')
        return mark
    mark = decimal_mark(data, separator)
    if mark is None:
        example = next(cell for row in data for cell in row if "," in cell and sight(cell) is Sight.NUMBER)
        raise log_error(
            f'"{example}" may be {example.replace(",", "")} or {example.replace(",", ".")}: no number proves which',
            file=file, line=line,
            mend='write decimal = "," where the comma marks decimals, decimal = "." where it marks thousands',
        )  # fmt: skip
    return mark
