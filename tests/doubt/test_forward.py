"""From today on."""

from dataclasses import replace
from decimal import Decimal

import pytest

from ledger.doubt.forward import forward
from ledger.model.terms import NextStep
from ledger.model.values import MoneyRange
from ledger.money.worth import npv
from tests.doubt.made import UPV, chain_of, plain_ledger, ranged
from tests.money.made import build, item, sure


def test_what_is_spent_is_left_out() -> None:
    """130 a year net whatever the trench cost; a trench of 99,999 that does not pay is still worth going on with."""
    for cost in ("1500", "99999"):
        chain = chain_of(plain_ledger(builds=(build("tubes", item(cost)),)))
        assert forward(chain).going_on_npv == pytest.approx(130 * UPV)
    assert float(npv(chain.project({}))) < 0


def test_a_fan_that_must_be_replaced_is_charged_from_today_on() -> None:
    """A fan of 200 with 10 years' life: bought again in years 10 and 20, half of it left in year 25."""
    chain = chain_of(plain_ledger(builds=(build("tubes", item("200", life=10.0)),)))
    q = 1.02 / 1.06
    assert forward(chain).going_on_npv == pytest.approx(130 * UPV - 200 * (q**10 + q**20) + 100 * q**25)


def test_a_step_by_hand() -> None:
    """600 for 200 kWh more: 40 a year, 15 years; worth 40 · UPV* − 600; it must add 600/(0.20 · UPV*) kWh."""
    ledger = plain_ledger(next_steps=(NextStep("second loop", MoneyRange.sure("600"), sure(200.0)),))
    (step,) = forward(chain_of(ledger)).steps
    assert step.first_year_saving == pytest.approx(40.0)
    assert step.simple_payback_years == pytest.approx(15.0)
    assert step.npv.p50 == pytest.approx(40 * UPV - 600)
    assert step.npv.p10 == step.npv.p50 == step.npv.p90
    assert step.break_even_kwh == pytest.approx(600 / (0.20 * UPV))


def test_a_step_s_ends_are_dear_with_little_and_cheap_with_much() -> None:
    money = MoneyRange(Decimal(900), Decimal(700), Decimal(1200))
    ledger = plain_ledger(next_steps=(NextStep("second loop", money, ranged(200, 100, 240)),))
    (step,) = forward(chain_of(ledger)).steps
    assert step.npv.p10 == pytest.approx(100 * 0.2 * UPV - 1200)
    assert step.npv.p90 == pytest.approx(240 * 0.2 * UPV - 700)


def test_a_step_whose_heat_nobody_knows_says_how_much_it_must_add() -> None:
    ledger = plain_ledger(next_steps=(NextStep("north wall", MoneyRange.sure("900"), None),))
    (step,) = forward(chain_of(ledger)).steps
    assert (step.adds_kwh, step.npv.p50, step.simple_payback_years) == (None, None, None)
    assert step.break_even_kwh == pytest.approx(900 / (0.20 * UPV))


def test_a_step_put_into_the_project_is_worth_the_same() -> None:
    """The worth of the build with 200 kWh more and 900 spent more (nothing left of them) less its worth without."""
    chain = chain_of(plain_ledger(next_steps=(NextStep("loop", MoneyRange.sure("900"), sure(200.0)),)))
    (step,) = forward(chain).steps
    both = replace(chain.ledger, builds=(build("tubes", item("1500"), item("900", life=25.0)),))
    more = replace(chain.heat, avoided_kwh=chain.heat.avoided_kwh + 200.0)
    difference = float(npv(chain.project_with(both, more)) - npv(chain.project({})))
    assert step.npv.p50 == pytest.approx(difference)


def test_heat_above_the_need_earns_nothing() -> None:
    """Need 1,000, avoided 750: of 400 kWh more, 250 are wanted."""
    ledger = plain_ledger(next_steps=(NextStep("loop", MoneyRange.sure("900"), sure(400.0)),))
    assert forward(chain_of(ledger)).steps[0].npv.p50 == pytest.approx(250 * 0.2 * UPV - 900)
