"""Every entry of a ledger by its path, as typed; and a ledger's text made again from such entries."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import PurePosixPath, PureWindowsPath
from typing import Any

from ledger.model.identity import Typed

_NAMED_BY = ("name", "file", "what", "surface", "edge", "month", "since")
_SEGMENT = re.compile(r"([^.\[\]]+)(?:\[([^\]]*)\])?")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
HIDDEN = "a place outside the ledger's folder"
"""What stands in results for a path that begins at the root of a machine's disk."""


def typed_inputs(text: str) -> tuple[Typed, ...]:
    """Every entry of a ledger that is valid TOML, in the order in which they stand, without any path of the machine."""
    return tuple(Typed(path, _without_place(path, value)) for path, value in entries_of(text).items())


def entries_of(text: str) -> dict[str, str]:
    """Every entry by its path: its value as TOML would write it. A row goes by its name, else by its date and words."""
    found: dict[str, str] = {}
    for name, node in tomllib.loads(text, parse_float=Decimal).items():
        _enter(found, name, node)
    return found


def _enter(found: dict[str, str], path: str, node: Any) -> None:
    if isinstance(node, list) and node and all(isinstance(row, dict) for row in node):
        seen: dict[str, int] = {}
        for row in node:
            name = _row_name(row)
            seen[name] = seen.get(name, 0) + 1
            mark = name if seen[name] == 1 else f"{name} #{seen[name]}"
            for key, value in row.items():
                _enter(found, f"{path}[{mark}].{_safe(key)}", value)
    elif isinstance(node, dict) and "." not in path and "[" not in path:
        for key, value in node.items():
            _enter(found, f"{path}.{_safe(key)}", value)
    else:
        found[path] = literal(node)


def _row_name(row: Mapping[str, Any]) -> str:
    parts = [str(row[key]) for key in ("date", "from") if key in row][:1]
    parts += [str(row[key]) for key in _NAMED_BY if key in row][:1]
    return re.sub(r"[\[\]]", "|", " ".join(parts))[:80]


def _safe(key: str) -> str:
    return re.sub(r"[.\[\]]", "|", key)


def _without_place(path: str, value: str) -> str:
    if not path.endswith(".file"):
        return value
    typed = value.strip("\"'").replace("\\\\", "\\")
    away = PurePosixPath(typed).is_absolute() or PureWindowsPath(typed).is_absolute()
    return HIDDEN if away else value


def literal(value: Any) -> str:
    """A value as TOML writes it, on one line."""
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            text = json.dumps(value, ensure_ascii=False)
            return "".join(c if c.isprintable() else f"\\u{ord(c):04X}" if ord(c) < 65536 else c for c in text)
        case Decimal() if not value.is_finite():
            return str(value).lower().replace("infinity", "inf")
        case datetime() | date() | time():
            return value.isoformat()
        case list():
            return f"[{', '.join(literal(one) for one in value)}]"
        case dict():
            return f"{{ {', '.join(f'{_key(key)} = {literal(one)}' for key, one in value.items())} }}"
        case _:
            return str(value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else literal(key)


def text_from(entries: Mapping[str, str]) -> str:
    """The text of a ledger with these entries; comments and blank lines are not kept."""
    root: dict[str, Any] = {}
    for path, value in entries.items():
        node = root
        segments = _SEGMENT.findall(path)
        for name, row in segments[:-1]:
            marked = f"{path_mark(path, name, row)}"
            node = node.setdefault(name, {}).setdefault(marked, {}) if marked else node.setdefault(name, {})
        node[segments[-1][0]] = value
    return "\n".join(_section(name, node) for name, node in root.items())


def path_mark(path: str, name: str, row: str) -> str:
    """What marks a row apart from its like ("" for a section that stands once); an unnamed row has a mark too."""
    return f"[{row}]" if f"{name}[{row}]" in path else ""


def _section(name: str, node: dict[str, Any]) -> str:
    """A section or its rows, with the rows below it."""
    if not any(key.startswith("[") for key in node):
        return _table(f"[{name}]", name, node)
    return "\n".join(_table(f"[[{name}]]", name, row) for row in node.values())


def _table(header: str, name: str, node: dict[str, Any]) -> str:
    plain = [f"{_key(key)} = {value}" for key, value in node.items() if isinstance(value, str)]
    below = [_section(f"{name}.{_key(key)}", value) for key, value in node.items() if isinstance(value, dict)]
    return "\n".join([header, *plain, *below])
