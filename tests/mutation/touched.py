"""Which tests run which lines, and how long each takes: read from one run of the suite under coverage."""

from __future__ import annotations

import ast
import re
import sqlite3
import xml.etree.ElementTree as ET
from collections import defaultdict
from collections.abc import Sequence
from contextlib import closing
from functools import cache
from importlib import import_module
from pathlib import Path

from tests.mutation.sites import Site

Touch = tuple[str, str]
"""A test's node id, and the phase in which it ran the line: setup, run or teardown."""


class Touched:
    """Tests by module and line. `root` is the checkout that was measured; `data` the file that coverage left;
    `junit` the accounts of the runs, with the time of each test."""

    def __init__(self, root: Path, data: Path, junit: Sequence[Path]) -> None:
        # not among the project's own test packages
        self._data = import_module("coverage").CoverageData(str(data))
        self._data.read()
        self._files = {(root / f).relative_to(root).as_posix(): f for f in self._data.measured_files()}
        self._root = root
        self.breadth = _breadths(data)
        self.seconds = {test: s for one in junit for test, s in _durations(one).items()}
        self._lines = cache(self._of_file)

    def by(self, site: Site) -> set[Touch]:
        """Tests that run a site's line; for what runs at import, the lines that use the name it gives a value to."""
        if site.function:
            lines = self._lines(site.path)
            own = set().union(*(lines.get(n, ()) for n in range(site.first, site.last + 1)))
            return own or lines.get(site.statement, set())
        names = _names_given(self._root / site.path, site.statement)
        found: set[Touch] = set()
        for path in self._files:
            text = (self._root / path).read_text(encoding="utf-8").splitlines()
            uses = [n for n, line in enumerate(text, 1) if any(re.search(rf"\b{x}\b", line) for x in names)]
            found |= set().union(*(self._lines(path).get(n, ()) for n in uses))
        return found

    def _of_file(self, path: str) -> dict[int, set[Touch]]:
        if path not in self._files:
            return {}
        found = defaultdict(set)
        for line, contexts in self._data.contexts_by_lineno(self._files[path]).items():
            found[line] = {(c.rpartition("|")[0], c.rpartition("|")[2]) for c in contexts if "|" in c}
        return dict(found)


def _breadths(data: Path) -> dict[str, int]:
    """How much of the program each test runs: steps from line to line."""
    found: dict[str, int] = defaultdict(int)
    with closing(sqlite3.connect(data)) as base:
        asked = "select context, count(*) from arc join context on context.id = context_id group by context_id"
        for context, steps in base.execute(asked):
            found[context.rpartition("|")[0]] += steps
    return dict(found)


def _durations(junit: Path) -> dict[str, float]:
    found = {}
    for case in ET.parse(junit).iter("testcase"):
        place = case.get("classname", "").replace(".", "/") + ".py"
        found[f"{place}::{case.get('name')}"] = float(case.get("time", 0))
    return found


def _names_given(path: Path, statement: int) -> set[str]:
    """Names that the module-level statement on that line (or the class around it) gives a value to."""
    names = set()
    for top in ast.parse(path.read_text(encoding="utf-8")).body:
        if top.lineno <= statement <= (top.end_lineno or top.lineno):
            targets = top.targets if isinstance(top, ast.Assign) else [getattr(top, "target", top)]
            names |= {getattr(x, "id", getattr(x, "name", "")) for x in targets}
    return names - {""}
