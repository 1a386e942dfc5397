"""Every entry of a ledger by its path, and the ledger made again from them."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.intake.typed_inputs import HIDDEN, entries_of, literal, text_from, typed_inputs
from tests.demo import DEMO
from tests.readme.blocks import ROOT

LEDGERS = [*sorted(DEMO.glob("*/ledger.toml")), *sorted((ROOT / "templates").glob("*.toml"))]


@pytest.mark.parametrize("path", LEDGERS, ids=lambda path: path.parent.name + "/" + path.name)
def test_a_ledger_made_again_from_its_entries_says_the_same(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert tomllib.loads(text_from(entries_of(text)), parse_float=Decimal) == tomllib.loads(text, parse_float=Decimal)


def test_rows_go_by_their_names_dates_and_words() -> None:
    text = """
[hold]
temperature = "4 degC"
[[build]]
name = "air tubes"
[[build.item]]
date = 2025-06-11
what = "pipe [100 mm]"
amount = 3850.00
[[build.item]]
date = 2025-06-11
what = "pipe [100 mm]"
amount = 12
"""
    assert list(entries_of(text).items()) == [
        ("hold.temperature", '"4 degC"'),
        ("build[air tubes].name", '"air tubes"'),
        ("build[air tubes].item[2025-06-11 pipe |100 mm|].date", "2025-06-11"),
        ("build[air tubes].item[2025-06-11 pipe |100 mm|].what", '"pipe [100 mm]"'),
        ("build[air tubes].item[2025-06-11 pipe |100 mm|].amount", "3850.00"),
        ("build[air tubes].item[2025-06-11 pipe |100 mm| #2].date", "2025-06-11"),
        ("build[air tubes].item[2025-06-11 pipe |100 mm| #2].what", '"pipe [100 mm]"'),
        ("build[air tubes].item[2025-06-11 pipe |100 mm| #2].amount", "12"),
    ]


@pytest.mark.parametrize("place", ["/home/x/log.csv", "C:\\\\logs\\\\x.csv", "C:/logs/x.csv"])
def test_no_path_of_the_machine_comes_into_the_results(place: str) -> None:
    (typed,) = typed_inputs(f'[[log]]\nfile = "{place}"\n')
    assert typed.value == HIDDEN
    (kept,) = typed_inputs('[[log]]\nfile = "logs/*.csv"\n')
    assert kept.value == '"logs/*.csv"'


@settings(max_examples=100, deadline=None)
@given(text=st.text(st.characters(codec="utf-8"), max_size=40))
def test_any_text_is_written_so_that_it_reads_back(text: str) -> None:
    assert tomllib.loads(f"x = {literal(text)}")["x"] == text


@settings(max_examples=50, deadline=None)
@given(
    names=st.lists(st.text("ab.[]#\" '", min_size=1, max_size=6), min_size=1, max_size=4, unique=True),
    amount=st.decimals(-1000, 1000, places=2),
)
def test_rows_of_any_name_are_made_again(names: list[str], amount: Decimal) -> None:
    text = "".join(f"[[build]]\nname = {literal(name)}\n[[build.item]]\namount = {amount}\n" for name in names)
    again = text_from(entries_of(text))
    assert tomllib.loads(again, parse_float=Decimal) == tomllib.loads(text, parse_float=Decimal)
