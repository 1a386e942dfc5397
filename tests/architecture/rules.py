"""The rules of the house, each a function from modules to complaints, so that each can be broken on purpose."""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator
from graphlib import CycleError, TopologicalSorter

from tests.architecture.source import FREE, RANKS, Module, functions, imports

PURE_BELOW = 8
MODULE_LINES = 330  # about 300, with a tenth of grace
BODY_LINES = 44  # about 40, likewise
PARAMETERS = 6

LONG_MODULES: dict[str, str] = {
    "ledger.sources": "one table: every default with its source stands in one place, so that it can be read through",
    "ledger.units": "one table: every unit and its spellings stand in one place, beside the few lines that read it",
}
OPEN_ENDED: dict[str, str] = {
    "ledger.units._named": "the spellings of one unit, as many as there are, beside it in the table",
}
LONG_BODIES: dict[str, str] = {}
MANY_PARAMETERS: dict[str, str] = {}

THIRD_PARTY: dict[str, frozenset[str]] = {
    # who may import what: numbers everywhere that arrays are; each other library behind one door
    "numpy": frozenset({"series", "heat", "money", "plans", "doubt", "intake"}),
    "pandas": frozenset({"series", "heat", "money", "plans", "doubt", "intake", "views", "appraisal"}),
    "polars": frozenset({"intake"}),
    "iso4217": frozenset({"intake"}),
    "scipy": frozenset({"heat", "money", "doubt"}),
    "pvlib": frozenset({"heat"}),
    "numpy_financial": frozenset({"money"}),
    "pydantic": frozenset({"intake"}),
    "pydantic_core": frozenset({"intake"}),
    "tomlkit": frozenset({"intake"}),
    "filelock": frozenset({"intake"}),
    "openpyxl": frozenset({"views"}),
    "jinja2": frozenset({"views"}),
    "typst": frozenset({"views"}),
    "typer": frozenset({"cli"}),
    "click": frozenset({"cli"}),
    "rich": frozenset({"cli"}),
}

IMPURE_CALLS = frozenset({"open", "print", "input", "exec", "eval", "breakpoint"})
IMPURE_MODULES = frozenset(
    {"os", "sys", "io", "pathlib", "time", "random", "socket", "subprocess", "shutil", "tempfile", "glob", "logging",
     "urllib", "http"}
)  # fmt: skip
CLOCK_CALLS = frozenset({"now", "today", "utcnow"})


def _own(name: str) -> str | None:
    """The room of our package that an imported name lies in ("" for the front door); None for others."""
    head, _, rest = name.partition(".")
    return rest.split(".")[0] if head == "ledger" else None


def against_rank(modules: Iterable[Module]) -> Iterator[str]:
    """A module imports its own room or a lower rank only; nothing is imported by a relative name."""
    for module in modules:
        for name, line in imports(module):
            if name.startswith("."):
                yield f"{module.name}:{line} imports {name} by a relative name"
            room = _own(name)
            if room is None or room == module.room or module.rank == FREE:
                continue
            if room == "__version__" and module.rank >= PURE_BELOW:
                continue
            if RANKS.get(room, FREE) >= module.rank:
                yield f"{module.name}:{line} (rank {module.rank}) imports {name}"


def third_party_out_of_place(modules: Iterable[Module], stdlib: frozenset[str]) -> Iterator[str]:
    """Every library from outside is imported only where the table allows it."""
    for module in modules:
        for name, line in imports(module):
            top = name.lstrip(".").split(".")[0]
            if not top or top == "ledger" or top in stdlib:
                continue
            if module.room not in THIRD_PARTY.get(top, frozenset()):
                yield f"{module.name}:{line} imports {top}"


def impure(modules: Iterable[Module]) -> Iterator[str]:
    """Ranks 0 to 7 open no file, print nothing, read no clock and no environment, keep no global."""
    for module in (m for m in modules if m.rank < PURE_BELOW):
        for name, line in imports(module):
            if name.split(".")[0] in IMPURE_MODULES:
                yield f"{module.name}:{line} imports {name}"
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Global):
                yield f"{module.name}:{node.lineno} keeps a global"
            if isinstance(node, ast.Call):
                called = node.func
                if isinstance(called, ast.Name) and called.id in IMPURE_CALLS:
                    yield f"{module.name}:{node.lineno} calls {called.id}"
                if isinstance(called, ast.Attribute) and called.attr in CLOCK_CALLS:
                    yield f"{module.name}:{node.lineno} reads the clock by {called.attr}"


def too_long_modules(modules: Iterable[Module]) -> Iterator[str]:
    """About 300 lines a module, unless a reason stands in the list."""
    for module in modules:
        if module.lines > MODULE_LINES and module.name not in LONG_MODULES:
            yield f"{module.name} has {module.lines} lines"


def body_lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function's body without its docstring."""
    body = function.body
    first = body[0]
    if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant) and isinstance(first.value.value, str):
        body = body[1:]
    return (body[-1].end_lineno or 0) - body[0].lineno + 1 if body else 0


def too_long_bodies(modules: Iterable[Module]) -> Iterator[str]:
    """About 40 lines a body, unless a reason stands in the list."""
    for module in modules:
        for function in functions(module):
            lines = body_lines(function)
            if lines > BODY_LINES and f"{module.name}.{function.name}" not in LONG_BODIES:
                yield f"{module.name}.{function.name} has a body of {lines} lines"


def too_many_parameters(modules: Iterable[Module]) -> Iterator[str]:
    """Six parameters; commands take one for each option that a person may give and are left out."""
    for module in (m for m in modules if m.room != "cli"):
        for function in functions(module):
            args = function.args
            count = len([a for a in (*args.posonlyargs, *args.args, *args.kwonlyargs) if a.arg not in {"self", "cls"}])
            if count > PARAMETERS and f"{module.name}.{function.name}" not in MANY_PARAMETERS:
                yield f"{module.name}.{function.name} takes {count} parameters"


def open_ended(modules: Iterable[Module]) -> Iterator[str]:
    """The core has no `*args` and no `**kwargs`."""
    for module in (m for m in modules if m.rank < PURE_BELOW):
        for function in functions(module):
            open_ended = function.args.vararg or function.args.kwarg
            if open_ended and f"{module.name}.{function.name}" not in OPEN_ENDED:
                yield f"{module.name}.{function.name} takes whatever comes"


def circles(modules: Iterable[Module]) -> Iterator[str]:
    """No circle of imports, inside a room or across rooms."""
    known = {module.name: module for module in modules}
    graph = {
        name: {target for target, _ in imports(module) if target in known and target != name}
        for name, module in known.items()
    }
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        yield " > ".join(error.args[1])


def idle_exceptions(modules: Iterable[Module]) -> Iterator[str]:
    """An exception that nothing needs any more is struck off the list."""
    known = list(modules)
    long = {m.name for m in known if m.lines > MODULE_LINES}
    bodies = {f"{m.name}.{f.name}" for m in known for f in functions(m) if body_lines(f) > BODY_LINES}
    wide = {
        f"{m.name}.{f.name}"
        for m in known
        for f in functions(m)
        if len(f.args.posonlyargs) + len(f.args.args) + len(f.args.kwonlyargs) > PARAMETERS
    }
    yield from (f"{name} is no longer too long" for name in sorted(set(LONG_MODULES) - long))
    yield from (f"{name} no longer has too long a body" for name in sorted(set(LONG_BODIES) - bodies))
    yield from (f"{name} no longer takes too much" for name in sorted(set(MANY_PARAMETERS) - wide))
