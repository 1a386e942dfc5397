"""The answer on a screen: ordered by the person's questions, within the width, the same words everywhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from ledger.doubt.breakeven import BreakEven
from ledger.errors import Complaint, Notice, Place
from ledger.heat.fan_off import FanOffAnswer, OffBlock
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.model.ledger import Show
from ledger.money.results import Percentiles
from ledger.views.answer import answer_lines
from ledger.views.complaints import complaint_lines
from ledger.views.row import HEADLINES
from ledger.views.rows import headline_rows
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
    """The reason is the warning's, said in its place and not among the warnings again."""
    whole = example()
    why = Notice("no-typical-year", "Neither log nor weather.", "typical_year")
    bare = replace(whole, log=None, record=None, seasons=(), typical_heat=None, typical_money=None, plans=(),
                   loans=(), warnings=(why,), assumed=(), drivers=())  # fmt: skip
    text = "\n".join(answer_lines(bare, screen=Screen(80)))
    assert "Not known. Neither log nor weather." in text
    assert text.count("Neither log nor weather.") == 1
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


def test_a_saving_that_is_no_saving_is_never_paid_back() -> None:
    whole = example()
    assert whole.typical_money is not None
    loss = replace(
        whole,
        typical_money=replace(whole.typical_money, net_saving=-5.0),
        worth=replace(whole.worth, simple_payback_years=None),
        worth_range=replace(whole.worth_range, simple_payback_years=Percentiles(None, None, None)),
    )
    lines = answer_lines(loss, screen=Screen(80))
    (line,) = [line for line in lines if HEADLINES["worth.simple_payback_years"] in line]
    assert line.endswith("never")


def test_a_range_of_years_without_an_upper_end_says_never() -> None:
    whole = example()
    open_end = replace(
        whole, worth_range=replace(whole.worth_range, simple_payback_years=Percentiles(11.0, 13.5, None))
    )
    assert any(line.endswith("11.0 years to never") for line in answer_lines(open_end, screen=Screen(80)))


def test_what_would_have_to_be_true_is_said_with_todays_value() -> None:
    """Today 0.16 a kilowatt-hour; it would just pay at 0.9214; for the discount rate there is no such value."""
    whole = replace(
        example(),
        break_evens=(
            BreakEven("fuel price", "source[electric heater].price", "per kWh", 0.16, 0.92138, 4.76),
            BreakEven("discount rate", "money.discount_rate", "a year", 0.05, None, None, "none in sight"),
        ),
    )
    text = " ".join(line.strip() for line in answer_lines(whole, screen=Screen(80)))
    assert "It would just pay at" in text
    assert "fuel price, per kWh (now 0.160)" in text
    assert "0.921 EUR" in text
    assert "discount rate (now 5.0)" in text
    assert "none in sight" in text


def test_a_chance_is_never_called_certain() -> None:
    for chance, words in ((1.0, "over 99 %"), (0.0, "under 1 %"), (0.42, "42 %")):
        whole = example()
        drawn = replace(whole, worth_range=replace(whole.worth_range, chance_npv_positive=chance))
        assert f"The chance that it gains at all is {words}." in "\n".join(
            answer_lines(drawn, screen=Screen(80))
        ).replace("  ", "")


def test_plans_with_some_of_the_builds_are_left_to_compare_but_for_the_cheapest() -> None:
    whole = example()
    two = replace(whole.source, builds=(*whole.source.builds, replace(whole.source.builds[0], name="water tank")))
    first = replace(whole.plans[0], name="water tank + electric heater", builds=("water tank",), rank=1)
    second = replace(whole.plans[0], name="buried air tubes + electric heater", rank=2, builds=("buried air tubes",))
    shown = "\n".join(
        answer_lines(replace(whole, source=two, plans=(first, second, *whole.plans[2:])), screen=Screen(96))
    )
    assert "water tank + electric" in shown
    assert "buried air tubes + electric" not in shown


def test_a_model_that_is_not_believed_says_so_with_its_first_reason() -> None:
    doubted = replace(example(), model=HouseModelAnswer(why_not=("the log holds no contrast", "and more")))
    text = " ".join(line.strip() for line in answer_lines(doubted, screen=Screen(80)))
    assert "The fitted house model is not believed. The log holds no contrast." in text
    assert "and more" not in text


def test_by_lift_the_nights_to_leave_the_fan_off_are_named() -> None:
    blocks = FanOffAnswer(calendar=(OffBlock(date(2026, 11, 3), date(2026, 11, 6)),))
    known = replace(example_by_lift(), off_nights=blocks)
    text = " ".join(line.strip() for line in answer_lines(known, screen=Screen(80)))
    assert "off from the morning of the first day: 2026-11-03 to 2026-11-06." in text


def test_when_the_model_answers_the_last_step_is_said_to_be_the_models() -> None:
    whole = example()
    season = whole.seasons[0]
    heat = replace(season.heat, bare=replace(season.heat.bare, used="model"))
    shown = replace(whole, seasons=(replace(season, heat=heat),))
    text = " ".join(line.strip() for line in answer_lines(shown, screen=Screen(80)))
    assert "by the fitted model, which counts days as well and the floor that a heater warms" in text
