"""Text from a ledger or a log may hold anything; what reaches a terminal is harmless and measured right."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.views.text import cell_width, clean, fit_cells, plain_ascii, wrap


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("\x1b[31mred\x1b[0m house", "red house"),
        ("\x1b]0;title\x07house", "house"),
        ("\x1b]8;;http://x\x1b\\link", "link"),
        ("one\nline\r\nonly\there", "one line only here"),
        ("turned \u202eround", "turned round"),
        ("bell\x07 and null\x00", "bell and null"),
        ("\x9b2Jcleared", "cleared"),
        ('=HYPERLINK("x")', '=HYPERLINK("x")'),
        ("<script>", "<script>"),
        ("Grünes Haus", "Grünes Haus"),
    ],
)
def test_what_steers_a_terminal_is_taken_out_and_words_stay(typed: str, shown: str) -> None:
    assert clean(typed) == shown


@given(st.text(max_size=200))
@settings(max_examples=100)
def test_no_text_leaves_a_control_character_behind(typed: str) -> None:
    assert all(c.isprintable() for c in clean(typed))


@given(st.text(max_size=200))
@settings(max_examples=100)
def test_the_plain_form_of_any_text_is_printable_ascii(typed: str) -> None:
    shown = plain_ascii(clean(typed))
    assert shown.isascii()
    assert shown.isprintable()


def test_the_units_of_the_trade_stay_readable_in_ascii() -> None:
    assert plain_ascii("4 °C, 0.7 W/m²/K, 3 °F·d — 5 €") == "4 degC, 0.7 W/m2/K, 3 degF*d - 5 EUR"


def test_wide_signs_take_two_columns_and_combining_marks_none() -> None:
    """Two ideographs are four columns; e with a separate acute accent is one."""
    assert cell_width("温室") == 4
    assert cell_width("e\u0301") == 1


@given(st.text(alphabet="ab 温é", max_size=120), st.integers(4, 40))
@settings(max_examples=100)
def test_wrapped_lines_never_pass_the_width_and_lose_no_letter(text: str, width: int) -> None:
    lines = wrap(clean(text), width)
    assert all(cell_width(line) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")


def test_a_cut_text_says_so() -> None:
    assert fit_cells("a long line", 8) == "a lon..."
    assert fit_cells("short", 8) == "short"
    assert fit_cells("温室温室", 7) == "温室..."
    assert fit_cells("温室温室", 6) == "温..."
