"""The wage and the fuel price at which two plans cost the same."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Unpack

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ledger.model.heaters import Source, Tariff
from ledger.plans.ties import Judged, price_at_tie, ties, wage_at_tie, with_price
from tests.changes import SourceTraits, TermsChanges
from tests.known import known
from tests.money.made import build, item, sure
from tests.plans.made import compared, money, named, plug, stove
from tests.running.made import ledger_with, typical

HEAT = typical([5.0], [2.0], weight=1000.0)
JUDGED = Judged(HEAT, None, -14.0, None)
PLAIN: TermsChanges = {"discount_rate": sure(0.0), "inflation": sure(0.0), "study_years": 10}


def free_wood(**changed: Unpack[SourceTraits]) -> Source:
    ten_years = stove(
        price=0.0, price_growth=sure(0.0), capital=money(1000), life_years=sure(10.0), upkeep_per_year=money(0)
    )
    return replace(ten_years, **changed)


def heater_for_ten_years(price: float) -> Source:
    return plug(price=price, price_growth=sure(0.0), capital=money(200), life_years=sure(10.0))


def test_the_wage_at_which_free_wood_stops_being_cheap() -> None:
    """Ten years at 0 %: 5000 kWh a year. Electric 200 + 10 · 5000 · 0.20 = 10,200. Wood: 2 cords of 8 h: 1000 + 160·w.
    Tie at w = 9200 ÷ 160 = 57.50."""
    ledger = ledger_with(sources=(free_wood(), heater_for_ten_years(0.20)), **PLAIN)
    wage = wage_at_tie(ledger, JUDGED, one="wood stove alone", other="plug heater alone")
    assert wage == pytest.approx(57.5)


def test_the_price_of_electricity_at_which_it_ties_with_wood() -> None:
    """At 15 an hour wood costs 1000 + 160 · 15 = 3400; electric 200 + 50,000·p: p = 3200 ÷ 50,000 = 0.064."""
    ledger = ledger_with(sources=(free_wood(), heater_for_ten_years(0.20)), labour_rate=15.0, **PLAIN)
    price = price_at_tie(ledger, JUDGED, source="plug heater", one="wood stove alone", other="plug heater alone")
    assert price == pytest.approx(0.064)


def test_no_wage_makes_dear_wood_cheap() -> None:
    ledger = ledger_with(sources=(free_wood(capital=money(90_000)), heater_for_ten_years(0.20)), **PLAIN)
    assert wage_at_tie(ledger, JUDGED, one="wood stove alone", other="plug heater alone") is None


def test_unknown_hours_have_no_wage() -> None:
    ledger = ledger_with(sources=(free_wood(hours_per_unit=None), heater_for_ten_years(0.20)), **PLAIN)
    assert wage_at_tie(ledger, JUDGED, one="wood stove alone", other="plug heater alone") is None


def test_a_later_tariff_stays_when_the_base_price_is_moved() -> None:
    tariffs = (
        Tariff(date(2024, 1, 1), sure(100.0)),
        Tariff(date(2025, 9, 1), sure(120.0)),  # the base date itself
        Tariff(date(2028, 1, 1), sure(300.0)),
    )
    moved = with_price(ledger_with(sources=(stove(tariffs=tariffs),)), "wood stove", 50.0)
    assert [t.price.likely for t in moved.sources[0].tariffs] == [300.0]
    assert moved.sources[0].price.likely == 50.0


def test_every_plan_with_work_is_set_against_the_cheapest_without() -> None:
    """The two plans above: wood ties at a wage of 57.50; at no wage at 1000 = 200 + 50,000·p: p = 0.016. A dearer
    heater is not the one that it is set against."""
    dear = replace(heater_for_ten_years(0.50), name="dear heater")
    ledger = ledger_with(sources=(free_wood(), dear, heater_for_ten_years(0.20)), **PLAIN)
    (tie,) = ties(ledger, JUDGED, compared(ledger, HEAT).plans)
    assert (tie.plan, tie.other, tie.other_source) == ("wood stove alone", "plug heater alone", "plug heater")
    assert tie.wage_per_h == pytest.approx(57.5)
    assert tie.price_per_unit == pytest.approx(0.016)


@settings(max_examples=15, deadline=None)
@given(st.floats(0.05, 0.8), st.floats(50, 400), st.integers(100, 6000), st.floats(0.0, 0.12), st.floats(2, 20))
def test_at_the_tie_both_plans_cost_the_same(
    price: float, cord: float, capital: int, rate: float, hours: float
) -> None:
    tubes = build("tubes", item("900", hours=sure(20.0)))
    ledger = ledger_with(
        tubes,
        sources=(stove(price=cord, capital=money(capital), hours_per_unit=sure(hours)), plug(price=price)),
        discount_rate=sure(rate),
        labour_rate=12.0,
    )
    one, other = "build + wood stove", "plug heater alone"
    wage = wage_at_tie(ledger, JUDGED, one=one, other=other)
    assume(wage is not None)
    paid = compared(replace(ledger, labour_rate_per_h=sure(known(wage))), HEAT)
    assert named(paid, one).life_cycle_cost == pytest.approx(named(paid, other).life_cycle_cost, rel=1e-9, abs=1e-6)
    tie = price_at_tie(ledger, JUDGED, source="plug heater", one=one, other=other)
    assume(tie is not None)
    moved = compared(with_price(ledger, "plug heater", known(tie)), HEAT)
    assert named(moved, one).life_cycle_cost == pytest.approx(named(moved, other).life_cycle_cost, rel=1e-9, abs=1e-6)
