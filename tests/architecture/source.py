"""The package's own source as trees: one reading, shared by every rule."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "ledger"

RANKS: dict[str, float] = {
    "errors": 0,
    "units": 0.1,  # rank 0 has an order of its own: errors, units, sources
    "sources": 0.2,
    "model": 1,
    "series": 2,
    "heat": 3,
    "money": 4,
    "plans": 5,
    "doubt": 6,
    "appraisal": 7,
    "intake": 8,
    "views": 8,
}
FREE = 9
"""The rank of what may import anything: the commands and the package's own front door."""


@dataclass(frozen=True)
class Module:
    """One file of the package."""

    name: str
    text: str
    tree: ast.Module

    @property
    def room(self) -> str:
        """The folder or single file under `ledger` that it belongs to."""
        return self.name.split(".")[1] if "." in self.name else ""

    @property
    def rank(self) -> float:
        """Its rank in the order of imports."""
        return RANKS.get(self.room, FREE)

    @property
    def lines(self) -> int:
        """Length of the file."""
        return len(self.text.splitlines())


def read(folder: Path) -> tuple[Module, ...]:
    """Every module under a folder that stands for the package `ledger`."""
    found = []
    for path in sorted(folder.rglob("*.py")):
        parts = ("ledger", *path.relative_to(folder).with_suffix("").parts)
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        text = path.read_text(encoding="utf-8")
        found.append(Module(name, text, ast.parse(text)))
    return tuple(found)


@cache
def modules() -> tuple[Module, ...]:
    """Every module of the package."""
    return read(PACKAGE)


def imports(module: Module) -> Iterator[tuple[str, int]]:
    """Every module name that is imported, wherever the line stands, with its line."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            if node.level:
                yield "." * node.level + (node.module or ""), node.lineno
            elif node.module:
                if node.module != "ledger":  # `from ledger import units` is judged by the longer name
                    yield node.module, node.lineno
                yield from ((f"{node.module}.{alias.name}", node.lineno) for alias in node.names)


def functions(module: Module) -> Iterator[ast.FunctionDef | ast.AsyncFunctionDef]:
    """Every function and method."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node
