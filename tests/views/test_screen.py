"""A screen knows its width, its signs and whether bold is wanted; tables fit it or become cards."""

from __future__ import annotations

import io

import pytest

from ledger.model.ledger import Show
from ledger.views.figures import Measure, Style
from ledger.views.grid import grid_lines
from ledger.views.screen import Screen, Signs, Weight, screen_of
from ledger.views.tables import Column, Table
from ledger.views.text import cell_width

EURO = Style(Show.METRIC, "EUR", 2)
TABLE = Table(
    "Ways",
    (
        Column("name", "Way to heat", Measure.WORDS),
        Column("cost", "First year", Measure.MONEY),
        Column("heat", "Heat to buy", Measure.HEAT),
        Column("copes", "Copes on the coldest night", Measure.WORDS, short="Copes"),
    ),
    (("wood stove", 1234.0, 2000.0, True), ("a very long name of a heater that wraps", None, 20000.0, None)),
)


class Terminal(io.TextIOWrapper):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def terminal(encoding: str) -> Terminal:
    return Terminal(io.BytesIO(), encoding=encoding)


@pytest.mark.parametrize(
    ("environment", "weight"),
    [
        ({"TERM": "xterm"}, Weight.BOLD),
        ({"TERM": "xterm", "NO_COLOR": "1"}, Weight.EVEN),
        ({"TERM": "dumb"}, Weight.EVEN),
        ({}, Weight.EVEN),
    ],
)
def test_bold_is_for_terminals_that_know_it_and_people_who_want_it(environment: dict[str, str], weight: Weight) -> None:
    assert screen_of(terminal("utf-8"), environment).weight is weight


def test_a_file_gets_no_bold() -> None:
    assert screen_of(io.TextIOWrapper(io.BytesIO(), encoding="utf-8"), {"TERM": "xterm"}).weight is Weight.EVEN


@pytest.mark.parametrize(("encoding", "signs"), [("utf-8", Signs.ALL), ("ascii", Signs.ASCII), ("cp1252", Signs.ASCII)])
def test_a_stream_that_cannot_write_the_signs_gets_ascii(encoding: str, signs: Signs) -> None:
    assert screen_of(terminal(encoding), {}).signs is signs


@pytest.mark.parametrize(("columns", "width"), [("40", 40), ("80", 80), ("400", 96), ("3", 24)])
def test_the_width_follows_the_terminal_within_reason(
    columns: str, width: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    assert screen_of(terminal("utf-8"), {}).width == width


def test_figures_stand_under_one_another_with_their_units() -> None:
    lines = Screen(40).figures([("cost", "1,200", "EUR"), ("heat", "80", "kWh")])
    assert lines == ["  cost                         1,200 EUR", "  heat                            80 kWh"]


def test_a_table_that_fits_has_heads_units_and_a_rule() -> None:
    lines = grid_lines(TABLE, style=EURO, screen=Screen(80))
    assert any("Way to heat" in line and "Copes" in line for line in lines)
    assert any(line.split() == ["EUR", "kWh"] for line in lines)
    assert any("1,230" in line and "yes" in line for line in lines)
    assert sum("not known" in line for line in lines) == 1


def test_a_table_that_does_not_fit_becomes_cards_with_the_full_words() -> None:
    lines = grid_lines(TABLE, style=EURO, screen=Screen(34, Signs.ASCII))
    assert max(cell_width(line) for line in lines) <= 34
    assert any("wood stove" in line for line in lines)
    assert "coldest night" in " ".join(line.strip() for line in lines)


@pytest.mark.parametrize(("share", "cells"), [(0.0, 0), (0.001, 1), (0.5, 10), (1.0, 20), (2.0, 20), (-1.0, 0)])
def test_a_bar_is_as_long_as_its_share_and_never_vanishes(share: float, cells: int) -> None:
    assert Screen(80, Signs.ASCII).bar(share, width=20) == "#" * cells
