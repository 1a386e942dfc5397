"""Lines of the season book from a CSV: an export of a bank, of a shop, of an electricity meter."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

from ledger.errors import Complaint, LedgerError, LogError, Place
from ledger.intake.log_bytes import Source
from ledger.intake.log_cells import Cell, read_cell
from ledger.intake.log_columns import Headers
from ledger.intake.log_file import no_workbook
from ledger.intake.log_settle import settle_shape
from ledger.intake.log_shape import Shape, all_cells_of
from ledger.intake.log_sightings import split_stamp
from ledger.intake.log_stamps import DateParts, Order, day_number, read_date
from ledger.intake.note_line import Book, NewLine
from ledger.intake.note_order import settled_order
from ledger.intake.slips import listed, nearest
from ledger.model.logs import LogSpec

KEYS = ("date", "what", "amount", "energy", "quantity", "meter", "hours")
_FIGURES = ("amount", "energy", "quantity", "meter", "hours")
_PAIR = re.compile(r"""\s*(?P<key>[\w-]+)\s*=\s*(?P<less>-?)(?:"(?P<quoted>[^"]*)"|(?P<bare>[^,]*))\s*(?:,|$)""")
_UNIT = re.compile(r"[(\[]\s*([A-Za-z]+)\s*[)\]]")
_DAY_ZERO = date(1970, 1, 1)
_EXAMPLE = '--columns "date=Booked,amount=Value,what=Text"'


@dataclass(frozen=True, slots=True)
class ImportSpec:
    """What a person says of a CSV: columns by key; the rest is for where the file cannot settle it.

    Attributes
    ----------
    columns : as typed, `date=Booked,amount=-Value,what=Text`; a minus turns the sign.
    target : the `for` of all lines; `what` : that of all lines, where no column holds it.
    dates : "day first" or "month first"; `decimal`, `separator` : as in a log.
    only : take lines that hold this text anywhere; None takes all.
    rolls_over_at : the count at which a meter begins again.
    """

    columns: str
    target: str
    what: str | None = None
    dates: str | None = None
    decimal: str | None = None
    separator: str | None = None
    only: str | None = None
    rolls_over_at: str | None = None


@dataclass(frozen=True, slots=True)
class Import:
    """The lines that were read, and the rows that could not be, each with its line in the CSV and why."""

    lines: tuple[NewLine, ...]
    refused: tuple[tuple[int, str], ...]


@dataclass(frozen=True, slots=True)
class _Column:
    key: str
    place: int
    sign: int
    unit: str


@dataclass(slots=True)
class _Row:
    """One row: its line in the file, its day as written, its entries."""

    number: int
    written: DateParts
    entries: dict[str, str] = field(default_factory=dict)


def read_import(path: Path, spec: ImportSpec) -> Import:
    """Read the lines of a CSV.

    Encoding, separator and decimal mark are found as for a log; the order of day and month is taken only where a date
    proves it, and asked for otherwise.

    Raises
    ------
    LedgerError : a column that is not there, dates whose order nothing proves, figures without a unit, amounts that
        are all below 0.
    LogError : the file cannot be read.
    """
    no_workbook(path)
    lines = _text(path).split("\n")
    log = LogSpec(path.name, (), separator=spec.separator, decimal=spec.decimal)
    try:
        shape = settle_shape(lines, log, file=path.name)
    except LogError as error:
        raise LogError([Complaint(c.what, c.place, _BY_OPTION, c.excerpt) for c in error.complaints]) from None
    columns = _columns(spec.columns, Headers(shape), path.name)
    rows, refused = _rows(lines, shape, columns, only=spec.only)
    if columns["date"].sign < 0 or not rows:
        return Import((), tuple(refused))
    _not_all_below_zero(rows)
    order = settled_order([row.written for row in rows], spec.dates, file=path.name, line=rows[0].number)
    return _lines(rows, order, spec, refused)


_BY_OPTION = 'say how the file is written: --separator ";" and --decimal "," (or "."), and give dates a column'


def _text(path: Path) -> str:
    try:
        return b"".join(Source(path).blocks()).decode("utf-8", "replace")
    except OSError as error:
        what = f"the file cannot be read ({(error.strerror or 'no reason given').lower()})"
        raise LedgerError([Complaint(what, Place(path.name), "check its name and its rights")]) from None


def _columns(typed: str, headers: Headers, file: str) -> dict[str, _Column]:
    """Which column holds what."""
    found: dict[str, _Column] = {}
    complaints = []
    at = 0
    while at < len(typed.rstrip()):
        pair = _PAIR.match(typed, at)
        if pair is None:
            raise LedgerError([Complaint(f'"{typed[at:][:60]}" names no column', Place("--columns"), _EXAMPLE)])
        at = pair.end()
        key, name = pair["key"], (pair["quoted"] if pair["quoted"] is not None else pair["bare"]).strip()
        if key not in KEYS:
            mend = f"use {listed(KEYS)}, such as {_EXAMPLE}"
            complaints.append(Complaint(f'lines have no "{key}"', Place("--columns"), mend))
            continue
        name, unit = _with_unit(name, headers)
        places = headers.matches(name)
        if len(places) == 1:
            inside = _UNIT.search(" ".join(headers.labels(places[0])))
            unit = unit or (inside[1] if inside else "")
            found[key] = _Column(key, places[0], -1 if pair["less"] else 1, unit)
        else:
            complaints.append(_unmatched(name, places, headers, file))
    if "date" not in found and not complaints:
        complaints.append(Complaint("no column is named for the date", Place("--columns"), _EXAMPLE))
    if not complaints and not any(key in found for key in _FIGURES):
        what = "no column is named that says what was used or paid"
        complaints.append(Complaint(what, Place("--columns"), _EXAMPLE))
    if complaints:
        raise LedgerError(complaints)
    return found


def _with_unit(name: str, headers: Headers) -> tuple[str, str]:
    """A header, and the unit that may stand behind it: `Used kWh` where the header is `Used`."""
    front, _, unit = name.rpartition(" ")
    return (front.strip(), unit) if front and not headers.matches(name) and headers.matches(front) else (name, "")


def _unmatched(name: str, places: Sequence[int], headers: Headers, file: str) -> Complaint:
    shown = headers.all_main()
    if places:
        return Complaint(f'{len(places)} columns are called "{name}"', Place(file), "rename one of them in the file")
    near = nearest(name, shown)
    mend = f'did you mean "{near}"? ' if near else ""
    return Complaint(f'there is no column "{name}"', Place(file), f"{mend}the columns are {listed(shown[:24])}")


def _rows(
    lines: Sequence[str], shape: Shape, columns: Mapping[str, _Column], *, only: str | None
) -> tuple[list[_Row], list[tuple[int, str]]]:
    rows: list[_Row] = []
    refused: list[tuple[int, str]] = []
    cells = all_cells_of(lines[shape.first_data_line - 1 :], shape.separator, shape.cuts)
    for number, row in enumerate(cells, start=shape.first_data_line):
        if not any(row) or (only is not None and only.casefold() not in " ".join(row).casefold()):
            continue
        written = _date(_cell(row, columns["date"]))
        if written is None:
            refused.append((number, f'"{_cell(row, columns["date"])[:40]}" is no date'))
            continue
        one = _Row(number, written)
        why = _fill(one, row, shape, columns)
        if why:
            refused.append((number, why))
        else:
            rows.append(one)
    return rows, refused


def _cell(row: Sequence[str], column: _Column) -> str:
    return row[column.place].strip() if column.place < len(row) else ""


def _date(text: str) -> DateParts | None:
    found = read_date(text)
    if found is None and (stamp := split_stamp(text)) is not None:
        return stamp[0]
    return found


def _fill(row: _Row, cells: Sequence[str], shape: Shape, columns: Mapping[str, _Column]) -> str:
    """Put the entries of a row in; says what is wrong with one that cannot be read."""
    for key, column in columns.items():
        text = _cell(cells, column)
        if key == "what" and text:
            row.entries["what"] = " ".join(text.split())
        if key not in _FIGURES or not text:
            continue
        cell = read_cell(text, shape.decimal)
        if not cell.understood:
            return f'"{text[:40]}" is no figure'
        if math.isnan(cell.number):
            continue
        row.entries[key] = _figure(column, cell)
    return "" if any(key in row.entries for key in _FIGURES) else "it says neither what was used nor what was paid"


def _figure(column: _Column, cell: Cell) -> str:
    """A figure as a ledger takes it; energy with its unit, watt-hours as kilowatt-hours."""
    number = column.sign * Decimal(repr(cell.number))
    unit = (column.unit or cell.unit).strip() if column.key == "energy" else ""
    if column.key == "energy" and not unit:
        mend = 'name it behind the column: --columns "date=...,energy=Used kWh"'
        raise LedgerError([Complaint("nothing tells the unit of the energy", Place("--columns"), mend)])
    if unit.casefold() == "wh":
        number, unit = number / 1000, "kWh"
    return f"{format(number, 'f').removesuffix('.0')} {unit}".strip()


def _not_all_below_zero(rows: Sequence[_Row]) -> None:
    """In an account's statement what is paid stands below 0; in the season book that would be a refund."""
    amounts = [Decimal(row.entries["amount"]) for row in rows if "amount" in row.entries]
    if any(amounts) and max(amounts) <= 0:
        mend = 'turn their sign with a minus: --columns "...,amount=-Value"'
        raise LedgerError([Complaint("all amounts are below 0, which means refunds", Place("--columns"), mend)])


def _lines(rows: Sequence[_Row], order: Order, spec: ImportSpec, refused: list[tuple[int, str]]) -> Import:
    """Lines in the order of their days; of a meter, one from each reading to the next."""
    dated: list[tuple[date, _Row]] = []
    for row in rows:
        number = day_number(row.written, order)
        if number is None:
            refused.append((row.number, "its date cannot be"))
        else:
            dated.append((_DAY_ZERO + timedelta(days=number), row))
    dated.sort(key=lambda one: (one[0], one[1].number))
    lines: list[NewLine] = []
    before: tuple[date, str] | None = None
    for day, row in dated:
        given = {"date": day.isoformat(), "for": spec.target}
        if "what" in row.entries or spec.what is not None:
            given["what"] = row.entries.get("what") or spec.what or ""
        given |= {key: row.entries[key] for key in ("energy", "quantity", "amount", "hours") if key in row.entries}
        reading = row.entries.get("meter")
        if reading is not None:
            given |= {} if before is None else _metered(before, (day, reading), spec.rolls_over_at)
            before = day, reading
        if any(key in given for key in (*_FIGURES, "meter-from")):
            lines.append(NewLine(Book.RUNNING, given, row.number))
    return Import(tuple(lines), tuple(sorted(refused)))


def _metered(before: tuple[date, str], now: tuple[date, str], rolls_over_at: str | None) -> dict[str, str]:
    given = {
        "meter-from": before[1],
        "meter-to": now[1],
        "from": min(before[0] + timedelta(days=1), now[0]).isoformat(),
    }
    if rolls_over_at is not None and Decimal(now[1]) < Decimal(before[1]):
        given["meter-rolls-over-at"] = rolls_over_at
    return given
