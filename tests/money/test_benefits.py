"""Money other than heat beside the headline."""

from dataclasses import replace

import pytest

from ledger.model.ledger import Ledger
from ledger.model.terms import Benefit
from ledger.model.values import MoneyRange
from ledger.money.benefits import benefit_line
from ledger.money.project import Project, project_from
from ledger.money.worth import npv
from tests.known import known
from tests.money.made import build, item, ledger_of, year_money


def with_greens(amount: str) -> tuple[Ledger, Project]:
    book = replace(
        ledger_of(build("tubes", item("1000"))), benefits=(Benefit("winter greens", MoneyRange.sure(amount)),)
    )
    return book, project_from(book, year_money(100.0, running_other_cost=20.0))


def test_the_second_line_by_hand() -> None:
    """100 of heat, 20 to run, 60 of greens: 140 a year; 1,000 back in 7.14 years; greens are 60/160 of the claim."""
    answer = known(benefit_line(*with_greens("60")))
    assert answer.net_saving == pytest.approx(140.0)
    assert answer.simple_payback_years == pytest.approx(1000 / 140)
    assert answer.share_of_claim == pytest.approx(0.375)
    assert answer.notices == ()


def test_its_worth_is_the_headline_s_and_the_benefit_grown_with_inflation() -> None:
    book, project = with_greens("60")
    upv = 1.02 / 0.04 * (1 - (1.02 / 1.06) ** 25)
    assert known(benefit_line(book, project)).npv == pytest.approx(float(npv(project)) + 60 * upv)


def test_more_than_half_of_the_claim_is_said() -> None:
    answer = known(benefit_line(*with_greens("101")))
    assert [n.code for n in answer.notices] == ["benefit-dominates"]


def test_the_headline_knows_nothing_of_it() -> None:
    book, project = with_greens("5000")
    assert float(npv(project)) == float(
        npv(project_from(replace(book, benefits=()), year_money(100.0, running_other_cost=20.0)))
    )


def test_without_a_benefit_or_a_saving_there_is_no_line() -> None:
    book, project = with_greens("60")
    assert benefit_line(replace(book, benefits=()), project) is None
    assert benefit_line(book, replace(project, year=year_money(None))) is None


def test_a_benefit_that_just_makes_up_for_heat_lost_has_no_share_of_a_claim() -> None:
    """60 of heat lost and 60 of greens: nothing is claimed, so there is no part of it."""
    book, _ = with_greens("60")
    answer = known(benefit_line(book, project_from(book, year_money(-60.0))))
    assert (answer.net_saving, answer.share_of_claim, answer.notices) == (0.0, None, ())
