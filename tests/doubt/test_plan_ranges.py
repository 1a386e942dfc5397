"""The comparison under doubt: costs of plans over the draws."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from ledger.doubt.draws import worth_range
from ledger.doubt.plan_ranges import plan_ranges
from ledger.heat.curve import LIFT
from ledger.heat.envelope import Doubt
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange
from tests.doubt.made import UPV, chain_of, plain_ledger, ranged
from tests.known import known
from tests.money.made import heater, sure

FREE = MoneyRange.sure("0")
HEAT = Doubt("house.something", ranged(10.0, 6.0, 18.0))


def two_heaters() -> Ledger:
    """The plug heater at 0.20 a kWh and a dear one at 0.50; both cost nothing to buy and last the study."""
    return plain_ledger(
        sources=(
            heater(capital=FREE, life_years=sure(25.0)),
            heater("dear heater", 0.50, capital=FREE, life_years=sure(25.0), backup=False),
        )
    )


def test_without_ranges_the_costs_are_those_of_the_plans_by_hand() -> None:
    """Alone 1,000 · 0.20 · UPV*; with the build (250 · 0.20 + 20) · UPV* + 1,500; the difference is the NPV."""
    plug, dear = plan_ranges(chain_of(two_heaters()))
    assert known(plug.alone).p50 == pytest.approx(200 * UPV)
    assert known(plug.with_build).p50 == pytest.approx(70 * UPV + 1500)
    assert plug.npv_against.p50 == pytest.approx(130 * UPV - 1500)
    alone, with_build = known(known(dear.alone).p50), known(known(dear.with_build).p50)
    assert alone - with_build == pytest.approx(dear.npv_against.p50)
    assert (plug.chance_build_beats, dear.chance_build_beats) == (1.0, 1.0)


def test_the_chance_against_the_headline_s_source_is_that_of_the_worth() -> None:
    chain = chain_of(two_heaters(), heat_inputs=((HEAT, 120.0),))
    assert plan_ranges(chain)[0].chance_build_beats == pytest.approx(worth_range(chain).chance_npv_positive, abs=0.005)


def test_a_dearer_source_is_beaten_more_often() -> None:
    chain = chain_of(two_heaters(), heat_inputs=((HEAT, 120.0),))
    plug, dear = plan_ranges(chain)
    assert known(dear.chance_build_beats) > known(plug.chance_build_beats)


def test_what_a_heater_costs_widens_its_plans_and_not_the_worth() -> None:
    dear_to_buy = MoneyRange(Decimal(1000), Decimal(500), Decimal(1500))
    ledger = replace(two_heaters(), sources=(heater(capital=dear_to_buy, life_years=sure(25.0)),))
    (plug,) = plan_ranges(chain_of(ledger))
    alone = known(plug.alone)
    assert known(alone.p90) - known(alone.p10) == pytest.approx(2 * 500 * (1 - np.sqrt(0.2)), rel=0.01)
    assert plug.npv_against.p10 == pytest.approx(plug.npv_against.p90)


def test_an_unknown_capital_leaves_the_cost_open_and_the_chance_stands() -> None:
    (plug,) = plan_ranges(chain_of(plain_ledger()))
    assert (plug.alone, plug.with_build) == (None, None)
    assert plug.chance_build_beats == 1.0


def test_by_the_lift_the_ends_stand_and_no_chance() -> None:
    lift = Doubt(LIFT, ranged(5.0, 2.0, 8.0))
    plug, _ = plan_ranges(chain_of(two_heaters(), heat_inputs=((lift, -50.0),), way=BareWay.LIFT))
    assert plug.chance_build_beats is None
    assert plug.npv_against.p10 == pytest.approx((130 - 150 * 0.2) * UPV - 1500)
    assert plug.npv_against.p50 == pytest.approx(130 * UPV - 1500)
    assert plug.npv_against.p90 == pytest.approx((130 + 150 * 0.2) * UPV - 1500)
