"""The sections of a ledger, each held to its keys."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeVar

from ledger.intake.desk import Desk
from ledger.intake.references import check_names, check_references, names_in
from ledger.intake.schema import ROWS, SECTIONS, TABLES
from ledger.intake.schema_kinds import Section
from ledger.intake.slips import offer

_S = TypeVar("_S", bound=Section)
_MUST_TABLES = {
    "site": "add [site] with latitude, longitude, elevation and timezone",
    "house": "add [house] with form, length, width, side_height, ridge_height and cover",
    "hold": '[hold] says what one would pay to hold: add [hold] with temperature = "4 degC"',
}
_MUST_ROWS = {
    "build": "add [[build]] with a name, and [[build.item]] with date, what and amount",
    "source": "add [[source]] with name, kind and price: the heat that the build stands in for",
}


@dataclass(frozen=True, slots=True)
class Sheets:
    """The sections that could be read, rows with their number in the file, and all names that were typed."""

    tables: dict[str, Section]
    rows: dict[str, list[tuple[int, Section]]]
    builds: list[str]
    sources: list[str]
    document: dict[str, Any]

    def table(self, name: str, kind: type[_S]) -> _S | None:
        """A section; None when it does not stand or has a fault."""
        found = self.tables.get(name)
        return found if isinstance(found, kind) else None

    def many(self, name: str, kind: type[_S]) -> list[tuple[int, _S]]:
        """The rows of a section that could be read."""
        return [(number, row) for number, row in self.rows.get(name, []) if isinstance(row, kind)]


def read_sheets(desk: Desk, document: dict[str, Any]) -> Sheets:
    """Hold every section of a ledger to its keys; faults are noted on the desk."""
    for name in document:
        if name not in SECTIONS:
            desk.fault((name,), f'unknown section or key "{name}"', offer(name, SECTIONS))
    tables = {
        name: table for name, model in TABLES.items() if (table := _table(desk, document, name, model)) is not None
    }
    rows = {name: _rows(desk, document, name, model) for name, model in ROWS.items()}
    check_names(desk, document)
    check_references(desk, document)
    return Sheets(tables, rows, names_in(document, "build"), names_in(document, "source"), document)


def _table(desk: Desk, document: dict[str, Any], name: str, model: type[Section]) -> Section | None:
    raw = document.get(name)
    if raw is None:
        if name in _MUST_TABLES:
            desk.fault((name,), f"the section [{name}] is missing", _MUST_TABLES[name])
        return None
    if isinstance(raw, list):
        desk.fault((name,), f"[[{name}]] stands where there is only one: [{name}]", f"write [{name}] once")
        return None
    if not isinstance(raw, dict):
        desk.fault((name,), f'"{name}" is a section, not a key', f"begin a line with [{name}] and write its keys below")
        return None
    return desk.read(model, raw, (name,))


def _rows(desk: Desk, document: dict[str, Any], name: str, model: type[Section]) -> list[tuple[int, Section]]:
    raw = document.get(name, [])
    if isinstance(raw, dict):
        desk.fault(
            (name,), f"[{name}] stands where there may be several: [[{name}]]", f"write [[{name}]] with two brackets"
        )
        return []
    if not isinstance(raw, list):
        desk.fault(
            (name,), f'"{name}" is a section, not a key', f"begin a line with [[{name}]] and write its keys below"
        )
        return []
    if not raw and name in _MUST_ROWS:
        desk.fault((name,), f"there is no [[{name}]]", _MUST_ROWS[name])
    read = ((number, desk.read(model, one, (name, number))) for number, one in enumerate(raw))
    return [(number, row) for number, row in read if row is not None]
