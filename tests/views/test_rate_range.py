"""The range of the internal rate beside it, on screen and among the doubts."""

from __future__ import annotations

from dataclasses import replace

from ledger.appraisal import Appraisal
from ledger.money.results import Percentiles
from ledger.views.phrases import row_lines
from ledger.views.rows_money import back_rows, doubt_rows
from ledger.views.screen import Screen
from tests.views.example import example, example_by_lift


def with_rates(whole: Appraisal, rates: Percentiles) -> Appraisal:
    worth = replace(whole.worth, irr=0.041)
    return replace(whole, worth=worth, worth_range=replace(whole.worth_range, irr=rates))


def test_the_rate_s_range_stands_under_it_and_among_the_doubts() -> None:
    whole = with_rates(example(), Percentiles(0.012, 0.04, 0.067))
    text = " ".join(" ".join(row_lines(whole, ["worth.irr"], Screen(80))).split())
    assert text == "Interest that it earns (IRR) 4.1 % in eight cases of ten 1.2 to 6.7 %"
    ends = {row.key: row.value for row in doubt_rows(whole)}
    assert [ends[f"worth.range.irr.{p}"] for p in ("p10", "p50", "p90")] == [0.012, 0.04, 0.067]


def test_a_range_with_an_end_beyond_all_rates_is_left_out() -> None:
    whole = with_rates(example(), Percentiles(None, 0.04, 0.067))
    (line,) = row_lines(whole, ["worth.irr"], Screen(80))
    assert line.split() == ["Interest", "that", "it", "earns", "(IRR)", "4.1", "%"]


def test_by_an_assumed_lift_the_rate_is_a_span() -> None:
    whole = with_rates(example_by_lift(), Percentiles(0.012, 0.04, 0.067))
    (row,) = (row for row in back_rows(whole) if row.key == "worth.irr")
    assert (row.low, row.high, row.span) == (0.012, 0.067, True)
