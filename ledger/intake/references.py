"""Names that one section of a ledger uses of another: each must stand, and stand once.

They are looked up as typed, also in rows that have other faults, so that all faults come in one go.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ledger.intake.desk import Desk
from ledger.intake.slips import offer
from ledger.intake.toml_places import Path
from ledger.model.book import HOUSE


def names_in(document: dict[str, Any], section: str) -> list[str]:
    """The names of a section's rows as typed, one for each row; empty where a row has none."""
    raw = document.get(section)
    return [_name(row) for row in raw] if isinstance(raw, list) else []


def _name(row: object) -> str:
    name = row.get("name") if isinstance(row, dict) else None
    return name.strip() if isinstance(name, str) else ""


def check_names(desk: Desk, document: dict[str, Any]) -> None:
    """Hold the names of builds and sources to standing once, and apart from one another."""
    builds = names_in(document, "build")
    for section in ("build", "source", "store"):
        seen: set[str] = set()
        for number, name in enumerate(names_in(document, section)):
            path: Path = (section, number, "name")
            if name and name in seen:
                desk.fault(path, f'two of [[{section}]] are called "{name}"', "give each its own name")
            elif name == HOUSE and section != "store":
                desk.fault(path, f'the name "{HOUSE}" is kept for the season book', "give it another name")
            elif name and section == "source" and name in builds:
                desk.fault(path, f'a build is called "{name}" too', "give each its own name")
            seen.add(name)


def check_references(desk: Desk, document: dict[str, Any]) -> None:
    """Hold every name that is used to one that stands."""
    builds = [name for name in names_in(document, "build") if name]
    sources = [name for name in names_in(document, "source") if name]
    money = document.get("money")
    money = money if isinstance(money, dict) else {}
    known_by_kind = {
        "build": (frozenset(builds), builds),
        "source": (frozenset(sources), sources),
        f'build, no source and not "{HOUSE}"': (frozenset([*builds, *sources, HOUSE]), [*builds, *sources, HOUSE]),
    }
    used: list[tuple[Iterator[tuple[Path, Any]], str]] = [
        (_each(("spent",), document.get("spent"), "for"), "build"),
        (_each(("store",), document.get("store"), "build"), "build"),
        (_each(("money", "grant"), money.get("grant"), "for"), "build"),
        (_each(("source",), document.get("source"), "then"), "source"),
        (iter([(("money", "against"), money.get("against"))]), "source"),
        (_each(("running",), document.get("running"), "for"), f'build, no source and not "{HOUSE}"'),
    ]
    for uses, kind in used:
        known, names = known_by_kind[kind]
        for path, name in uses:
            if isinstance(name, str) and name.strip() and name.strip() not in known:
                desk.fault(path, f'"{name.strip()}" is no {kind}', offer(name.strip(), names))


def _each(path: Path, rows: object, key: str) -> Iterator[tuple[Path, Any]]:
    for number, row in _rows(rows):
        yield (*path, number, key), row.get(key)


def _rows(raw: object) -> Iterator[tuple[int, dict[str, Any]]]:
    if isinstance(raw, list):
        for number, row in enumerate(raw):
            if isinstance(row, dict):
                yield number, row
