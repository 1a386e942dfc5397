"""The layout of the house holds; and each rule, broken on purpose, is caught."""

from __future__ import annotations

import ast
import socket
import sys

import pytest

from tests.architecture import rules
from tests.architecture.source import RANKS, Module, modules

STDLIB = frozenset(sys.stdlib_module_names)


def _module(name: str, text: str) -> Module:
    return Module(name, text, ast.parse(text))


def test_imports_point_to_a_lower_rank_only() -> None:
    assert list(rules.against_rank(modules())) == []


def test_libraries_from_outside_stay_in_their_places() -> None:
    assert list(rules.third_party_out_of_place(modules(), STDLIB)) == []


def test_the_core_opens_no_file_prints_nothing_and_reads_no_clock() -> None:
    assert list(rules.impure(modules())) == []


def test_modules_stay_short() -> None:
    assert list(rules.too_long_modules(modules())) == []


def test_bodies_stay_short() -> None:
    assert list(rules.too_long_bodies(modules())) == []


def test_functions_take_six_parameters_at_most() -> None:
    assert list(rules.too_many_parameters(modules())) == []


def test_the_core_takes_nothing_open_ended() -> None:
    assert list(rules.open_ended(modules())) == []


def test_no_imports_run_in_a_circle() -> None:
    assert list(rules.circles(modules())) == []


def test_no_exception_outlives_its_need() -> None:
    assert list(rules.idle_exceptions(modules())) == []


def test_every_room_has_a_rank() -> None:
    rooms = {module.room for module in modules()} - {"", "__main__", "cli", "start"}
    assert rooms <= set(RANKS)


def test_an_import_of_a_higher_rank_is_caught() -> None:
    assert list(rules.against_rank([_module("ledger.heat.a", "from ledger.money.flows import x")]))
    assert list(rules.against_rank([_module("ledger.heat.a", "from ledger import money")]))
    assert list(rules.against_rank([_module("ledger.views.a", "from ledger.intake import x")]))
    assert list(rules.against_rank([_module("ledger.heat.a", "from .b import x")]))
    assert not list(rules.against_rank([_module("ledger.money.a", "from ledger.heat.b import x\nimport ledger.units")]))


def test_a_library_out_of_place_is_caught() -> None:
    assert list(rules.third_party_out_of_place([_module("ledger.money.a", "import pvlib")], STDLIB))
    assert list(rules.third_party_out_of_place([_module("ledger.heat.a", "def f():\n    import requests")], STDLIB))
    assert not list(rules.third_party_out_of_place([_module("ledger.heat.a", "import pvlib, math")], STDLIB))


@pytest.mark.parametrize(
    "text",
    [
        "print(1)",
        "open('x')",
        "import os",
        "from pathlib import Path",
        "from datetime import date\nd = date.today()",
        "import time",
        "def f():\n    global x\n    x = 1",
    ],
)
def test_an_impure_core_is_caught(text: str) -> None:
    assert list(rules.impure([_module("ledger.heat.a", text)]))
    assert not list(rules.impure([_module("ledger.cli", text)]))


def test_an_overlong_module_body_or_parameter_list_is_caught() -> None:
    assert list(rules.too_long_modules([_module("ledger.heat.a", "x = 1\n" * 331)]))
    long = "def f():\n    '''Doc.'''\n" + "    x = 1\n" * 45
    assert list(rules.too_long_bodies([_module("ledger.heat.a", long)]))
    assert list(rules.too_many_parameters([_module("ledger.heat.a", "def f(a, b, c, *, d, e, f, g): ...")]))
    assert list(rules.open_ended([_module("ledger.heat.a", "def f(*args): ...")]))


def test_a_circle_is_caught() -> None:
    pair = [_module("ledger.heat.a", "from ledger.heat.b import x"), _module("ledger.heat.b", "import ledger.heat.a")]
    assert list(rules.circles(pair))


def test_an_exception_nobody_needs_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(rules.LONG_MODULES, "ledger.heat.a", "a reason")
    assert "ledger.heat.a is no longer too long" in list(rules.idle_exceptions(modules()))


def test_a_test_that_reaches_for_the_network_is_stopped() -> None:
    with socket.socket() as outward, pytest.raises(AssertionError, match="reached for the network"):
        outward.connect(("192.0.2.1", 80))  # an address kept for documentation, RFC 5737
