"""The screen says of a loan what the report says, row by row, and nothing where none is noted."""

from __future__ import annotations

from dataclasses import replace

from ledger.appraisal import Appraisal
from ledger.views.loan_screen import loan_lines
from ledger.views.report_loans import loans_section
from ledger.views.report_parts import Facts, Strong
from ledger.views.screen import Screen
from tests.report.made import report_example, with_loan

SCREEN = Screen(120)


def said(whole: Appraisal) -> str:
    return " ".join(" ".join(loan_lines(whole, SCREEN)).split())


def test_every_row_of_the_report_stands_on_the_screen() -> None:
    whole = with_loan(report_example())
    (facts,) = (part for part in loans_section(whole).parts if isinstance(part, Facts))
    assert len(facts.rows) >= 3
    for label, value in facts.rows:
        assert " ".join(f"{label} {value}".split()) in said(whole)


def test_a_year_in_which_the_saving_does_not_cover_the_payments_is_said_in_words() -> None:
    whole = with_loan(report_example())
    (loan,) = whole.loans
    assert loan.lowest is not None
    short = replace(whole, loans=(replace(loan, lowest=replace(loan.lowest, saving_cover=0.8)),))
    (words,) = (part for part in loans_section(short).parts if isinstance(part, Strong))
    assert words.text in said(short)


def test_without_a_loan_the_screen_is_silent() -> None:
    assert loan_lines(replace(report_example(), loans=()), SCREEN) == []
