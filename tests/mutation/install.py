"""A changed module put in the place of the true one, in this process only; no file is written."""

from __future__ import annotations

import gc
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from importlib.machinery import ModuleSpec, SourceFileLoader
from importlib.util import spec_from_file_location
from pathlib import Path
from types import CodeType, FunctionType

from tests.mutation.sites import Site, changed


def module_name(path: str) -> str:
    """Dotted name of a module's path."""
    return path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


Functions = dict[tuple[str, str, int], list[FunctionType]]
"""Functions of this process by module, qualified name and first line."""


def functions() -> Functions:
    """Every function that lives in this process."""
    found: Functions = defaultdict(list)
    for thing in gc.get_objects():
        if isinstance(thing, FunctionType):
            code = thing.__code__
            found[thing.__module__, code.co_qualname, code.co_firstlineno].append(thing)
    return found


def into_running(root: Path, site: Site, alive: Functions) -> bool:
    """Give the function that holds the site its changed code. False: no such function lives in this process."""
    path = root / site.path
    tree = changed(site, path.read_text(encoding="utf-8"))
    found = False
    for code in _codes(compile(tree, str(path), "exec")):
        if code.co_qualname == site.function:
            for function in alive.get((module_name(site.path), site.function, code.co_firstlineno), ()):
                function.__code__ = code
                found = True
    return found


def _codes(code: CodeType) -> Iterator[CodeType]:
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield inner
            yield from _codes(inner)


class _Changed(SourceFileLoader):
    """Loads one module with its step taken."""

    site: Site

    def get_code(self, fullname: str) -> CodeType:
        path = Path(self.get_filename(fullname))
        return compile(changed(self.site, path.read_text(encoding="utf-8")), str(path), "exec")


class BeforeImport:
    """Finds the one module that is to be changed before anything has imported it."""

    def __init__(self, root: Path, site: Site) -> None:
        self._name, self._path, self._site = module_name(site.path), str(root / site.path), site

    def find_spec(self, name: str, path: Sequence[str] | None, target: object = None) -> ModuleSpec | None:  # noqa: ARG002
        if name != self._name:
            return None
        loader = _Changed(name, self._path)
        loader.site = self._site
        return spec_from_file_location(name, self._path, loader=loader)

    def install(self) -> None:
        """Ask this finder first."""
        if self._name in sys.modules:
            raise RuntimeError(f"{self._name} is loaded already")
        sys.meta_path.insert(0, self)
