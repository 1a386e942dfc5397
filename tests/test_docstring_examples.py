"""The examples in docstrings run, and the public calls each have one."""

from __future__ import annotations

import doctest
import importlib
import pkgutil
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

import ledger

ROOT = Path(__file__).parent.parent
PUBLIC = ("appraise", "read", "results", "stress", "table")


def modules() -> Iterator[ModuleType]:
    yield ledger
    for found in pkgutil.walk_packages(ledger.__path__, "ledger."):
        if found.name != "ledger.__main__":
            yield importlib.import_module(found.name)


def examples() -> list[doctest.DocTest]:
    finder = doctest.DocTestFinder(exclude_empty=True)
    return [one for module in modules() for one in finder.find(module) if one.examples]


FOUND = examples()


@pytest.mark.parametrize("example", FOUND, ids=[one.name for one in FOUND])
def test_an_example_shows_what_it_says(example: doctest.DocTest, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    said: list[str] = []
    outcome = doctest.DocTestRunner().run(example, out=said.append)
    assert outcome.failed == 0, "".join(said)
    assert outcome.attempted == len(example.examples)


@pytest.mark.parametrize("name", PUBLIC)
def test_every_public_call_shows_an_example(name: str) -> None:
    assert f"ledger.{name}" in {one.name for one in FOUND}


def test_the_public_names_are_these_and_no_others() -> None:
    errors = ("Complaint", "LedgerError", "LogError", "Notice", "OutputError", "Place", "WarmledgerError")
    assert sorted(ledger.__all__) == sorted((*errors, "__version__", *PUBLIC))
    assert all(hasattr(ledger, name) for name in ledger.__all__)


def test_a_table_refuses_what_is_no_result() -> None:
    with pytest.raises(TypeError, match=r"answer\.plans"):
        ledger.table(["a plan"])


def test_a_table_of_nothing_is_empty() -> None:
    assert ledger.table(()).empty
