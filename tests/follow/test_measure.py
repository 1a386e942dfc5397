"""What to measure next, as the screens, the report and the scripts are told it."""

from __future__ import annotations

import re
from dataclasses import replace

from ledger.appraisal import Appraisal
from ledger.doubt.measure_next import MeasureNext
from ledger.doubt.measure_ways import NO_SOURCE
from ledger.views.answer import answer_lines
from ledger.views.json_view import appraisal_document
from ledger.views.lists import season_lines
from ledger.views.measure import step_words, steps_of
from ledger.views.report_next import next_section
from ledger.views.report_parts import Bullets
from ledger.views.screen import Screen
from tests.views.example import example, example_by_lift

LEAKS = MeasureNext("house.air_changes", 1000.0, 700.0, 0.30, "A candle.", "ISO 9972 (from memory)")
RATE = MeasureNext("money.discount_rate", 1000.0, 600.0, 0.40, None, None)
VOLUME = MeasureNext("house.volume", 1000.0, 950.0, 0.05, "A tape.", NO_SOURCE)
AREA = MeasureNext("house.floor_area", 1000.0, 960.0, 0.04, "A tape.", NO_SOURCE)


def _with(of: Appraisal, *steps: MeasureNext) -> Appraisal:
    return replace(of, ahead=replace(of.ahead, measure=steps))


def test_what_cannot_be_measured_is_passed_over_and_a_way_is_told_once() -> None:
    assert steps_of(_with(example(), RATE, LEAKS, VOLUME, AREA), most=5) == (LEAKS, VOLUME)


def test_both_screens_name_the_input_the_gain_and_the_way() -> None:
    told = _with(example(), RATE, LEAKS, VOLUME)
    for lines in (answer_lines(told, screen=Screen(width=100)), season_lines(told, screen=Screen(width=100))):
        said = re.sub(r"\s+", " ", " ".join(lines))
        assert "What to measure next?" in said
        assert (
            "How leaky the house is (air changes): known twice as well, it narrows the range of the gain by 30 %. "
            "A candle. (ISO 9972 (from memory))"
        ) in said


def test_a_way_of_the_trade_carries_no_source_behind_it() -> None:
    told = _with(example(), VOLUME)
    assert step_words(VOLUME, told).endswith("by 5 %. A tape.")


def test_by_a_placeholder_it_is_a_span_that_narrows() -> None:
    told = _with(example_by_lift(), LEAKS)
    assert "narrows the span of the gain by 30 %" in step_words(LEAKS, told)


def test_the_report_has_the_same_steps() -> None:
    (bullets,) = next_section(_with(example(), RATE, LEAKS)).parts
    assert isinstance(bullets, Bullets)
    assert step_words(LEAKS, example()) in bullets.items


def test_scripts_get_every_input_with_and_without_a_way() -> None:
    found = appraisal_document(_with(example(), RATE, LEAKS))["measure_next"]
    assert [one["input"] for one in found] == ["money.discount_rate", "house.air_changes"]
    assert found[0]["way"] is None
    assert found[1] == {
        "input": "house.air_changes", "range_now": 1000.0, "range_half": 700.0, "shrink": 0.3, "way": "A candle.",
        "source": "ISO 9972 (from memory)",
    }  # fmt: skip
