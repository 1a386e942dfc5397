"""The answer on a screen: ordered by the person's questions, within the width, the same words everywhere."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ledger.errors import Complaint, Place
from ledger.model.ledger import Show
from ledger.views.answer import answer_lines
from ledger.views.complaints import complaint_lines
from ledger.views.rows import HEADLINES, headline_rows
from ledger.views.screen import Screen, Signs
from ledger.views.text import cell_width
from tests.views.example import example, example_by_lift

QUESTIONS = (
    "What did it cost?",
    "What did it save?",
    "When is it back?",
    "What if I am wrong?",
    "What does warmth for plants cost?",
    "What would a stove or heater have cost?",
    "How much of the winter was logged?",
    "What was assumed?",
    "Warnings",
)


def test_the_questions_stand_in_the_order_in_which_a_person_asks() -> None:
    lines = answer_lines(example(), screen=Screen(80))
    places = [lines.index(question) for question in QUESTIONS]
    assert places == sorted(places)


@pytest.mark.parametrize("width", [40, 60, 80, 96])
@pytest.mark.parametrize("show", list(Show))
def test_no_line_is_wider_than_the_screen(width: int, show: Show) -> None:
    for whole in (example(), example_by_lift()):
        shown = replace(whole, source=replace(whole.source, show=show))
        assert max(cell_width(line) for line in answer_lines(shown, screen=Screen(width))) <= width


def test_the_verdict_stands_before_the_first_question() -> None:
    lines = answer_lines(example(), screen=Screen(80))
    assert any(line.startswith("No, it does not pay.") for line in lines[: lines.index(QUESTIONS[0])])


def test_the_four_headline_figures_stand_in_their_own_words() -> None:
    text = "\n".join(answer_lines(example(), screen=Screen(80)))
    assert [row.key for row in headline_rows(example())] == list(HEADLINES)
    for words in HEADLINES.values():
        assert words in text


def test_figures_and_ranges_of_the_example_are_shown() -> None:
    """13.5225 years is shown as 13.5, NPV -3320.61 to tens, avoided 2345.7 kWh to tens, each with its range."""
    text = "\n".join(answer_lines(example(), screen=Screen(80)))
    for figure in ("13.5 years", "-3,320 EUR", "2,350 kWh", "2,000 to 2,700 kWh", "-3,500 to -3,100 EUR"):
        assert figure in text


def test_by_lift_only_spans_of_payback_and_npv_are_shown_with_the_way_to_find_out() -> None:
    text = " ".join(line.strip() for line in answer_lines(example_by_lift(), screen=Screen(80)))
    assert "not yet known" in text
    assert "8.2 years to never" in text
    assert "13.5 years" not in text
    assert "-3,320" not in text
    assert "Nothing in the log shows what the house would have done without the build" in text
    assert "leave the fan off" in text


def test_a_negative_credit_is_explained() -> None:
    whole = example()
    season = whole.seasons[0]
    heat = replace(season.heat, rungs=replace(season.heat.rungs, credited_kwh=-120.0))
    text = " ".join(line.strip() for line in answer_lines(
        replace(whole, seasons=(replace(season, heat=heat),)), screen=Screen(80)))  # fmt: skip
    assert "took more heat out of the house than it gave back" in text


def test_ascii_streams_get_ascii_only() -> None:
    text = "\n".join(answer_lines(example(), screen=Screen(80, Signs.ASCII)))
    assert text.isascii()
    assert "degC" in text


def test_an_answer_without_log_or_saving_still_speaks() -> None:
    whole = example()
    bare = replace(whole, log=None, record=None, seasons=(), typical_heat=None, typical_money=None, plans=(),
                   loans=(), warnings=(), assumed=(), drivers=())  # fmt: skip
    text = "\n".join(answer_lines(bare, screen=Screen(80)))
    assert "Not known: there is no log" in text
    assert "None" not in text


def test_text_of_the_ledger_cannot_steer_the_terminal() -> None:
    whole = example()
    hostile = replace(whole, identity=replace(whole.identity, title="\x1b[2J\x1b]0;x\x07House\u202e"))
    text = "\n".join(answer_lines(hostile, screen=Screen(80)))
    assert "\x1b" not in text
    assert "\u202e" not in text
    assert text.startswith("House\n")


def test_a_complaint_says_what_where_and_how_to_mend_it_with_the_caret_in_place() -> None:
    one = Complaint(
        "a comma in a number", Place("ledger.toml", 7, "house.length"), "write 12.5", "length = 12,5\n           ^"
    )
    lines = complaint_lines([one], screen=Screen(80))
    assert lines[0] == "ledger.toml, line 7, house.length: a comma in a number"
    assert lines[1].strip() == "length = 12,5"
    assert lines[2].strip() == "^"
    assert lines[2].index("^") == lines[1].index(",")
    assert lines[3].strip() == "To mend it: write 12.5"


def test_complaints_stand_in_the_order_of_their_lines_and_a_flood_is_counted() -> None:
    many = [Complaint(f"fault {n}", Place("ledger.toml", n), "mend it") for n in range(100, 0, -1)]
    lines = complaint_lines(many, screen=Screen(80))
    assert lines[0].startswith("ledger.toml, line 1:")
    assert lines[-1].startswith("and 60 more")
