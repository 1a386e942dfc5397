"""The small steps of mutation testing are the ones it says, each in one place, and they reach a living function."""

from __future__ import annotations

import ast
import importlib
import json
import sys
from pathlib import Path

import pytest

from tests.mutation.account import summary
from tests.mutation.install import BeforeImport, functions, into_running
from tests.mutation.sites import Site, changed, sites

MODULE = '''
LIMIT = 3


def held(a: "1 + 1", b=0):
    """1 + 1 in words."""
    if a < LIMIT and not b:
        raise ValueError(f"{a + 1}")
    return min(a, -b)
'''


def test_every_step_of_a_small_module_is_found_and_text_types_and_errors_are_left_alone() -> None:
    assert [(s.function, s.words) for s in sites("held.py", MODULE)] == [
        ("", "3  →  4"),
        ("", "0  →  1"),
        ("held", "a < LIMIT and (not b)  →  a < LIMIT or not b"),
        ("held", "a < LIMIT  →  a <= LIMIT"),
        ("held", "a < LIMIT  →  a >= LIMIT"),
        ("held", "not b  →  sign or not dropped"),
        ("held", "return min(a, -b)  →  return None"),
        ("held", "min  →  max"),
        ("held", "-b  →  sign or not dropped"),
    ]


def test_a_step_changes_its_own_place_and_nothing_else() -> None:
    plain = ast.unparse(ast.parse(MODULE)).splitlines()
    for site in sites("held.py", MODULE):
        stepped = ast.unparse(changed(site, MODULE)).splitlines()
        assert sum(a != b for a, b in zip(plain, stepped, strict=True)) == 1, site.words


@pytest.fixture
def module(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "held_for_a_test.py").write_text(MODULE, encoding="utf-8")
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.delitem(sys.modules, "held_for_a_test", raising=False)
    return tmp_path


def step(words: str) -> Site:
    return next(s for s in sites("held_for_a_test.py", MODULE) if s.words.endswith(words))


def test_a_function_that_others_have_imported_is_changed_where_it_lives(module: Path) -> None:
    held = importlib.import_module("held_for_a_test").held
    assert held(5, 2) == -2
    assert into_running(module, step("→  max"), functions())
    assert held(5, 2) == 5


def test_what_runs_at_import_is_changed_before_it(module: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "meta_path", list(sys.meta_path))
    BeforeImport(module, step("3  →  4")).install()
    assert importlib.import_module("held_for_a_test").LIMIT == 4


def test_a_module_that_is_loaded_already_is_not_changed_in_silence(module: Path) -> None:
    importlib.import_module("held_for_a_test")
    with pytest.raises(RuntimeError, match="loaded already"):
        BeforeImport(module, step("3  →  4")).install()


def test_the_rate_of_a_sample_comes_with_its_range(tmp_path: Path) -> None:
    """Eight of ten: Wilson's interval at 95 % is 49.0 to 94.3 %."""
    outcomes = ["killed"] * 7 + ["slow", "survived", "untouched"]
    out = tmp_path / "found.jsonl"
    out.write_text("".join(json.dumps({"path": "a.py", "outcome": o}) + "\n" for o in outcomes), encoding="utf-8")
    assert "8 of    10   80.0 %" in summary(out)
    assert summary(out).endswith("49.0 to 94.3 %")
