"""Uncertain inputs by path."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from ledger.doubt.inputs import headline_sources, money_inputs, spreads, with_likely
from ledger.model.build import Upkeep
from ledger.model.heaters import Kind, Tariff
from ledger.model.terms import Electricity
from ledger.model.values import Basis, MoneyRange, Spread
from tests.doubt.made import plain_ledger, ranged
from tests.money.made import BASE, build, grant, heater, item, sure
from tests.running.made import ledger_with


def money(likely: str, low: str, high: str) -> MoneyRange:
    return MoneyRange(Decimal(likely), Decimal(low), Decimal(high), Basis.QUOTED)


FULL_ITEM = replace(
    item("1000"),
    amount=money("1000", "900", "1100"),
    share=ranged(0.5, 0.3, 0.7),
    life_years=ranged(20, 15, 30),
    residual=money("50", "0", "100"),
    hours=ranged(40, 30, 60),
)
FULL = replace(
    ledger_with(
        replace(
            build("tubes", item("5"), FULL_ITEM),
            upkeep=(Upkeep("belt", money("25", "20", "30")),),
            expected_running=money("30", "10", "60"),
        ),
        sources=(
            heater(
                price=0.2,
                then="stove",
                price_growth=ranged(0.03, 0.0, 0.06),
                heat_per_unit_kwh=ranged(1.0, 0.9, 1.1),
                efficiency=ranged(0.95, 0.9, 1.0),
                hours_per_unit=ranged(0.01, 0.0, 0.02),
                tariffs=(Tariff(BASE, ranged(0.21, 0.2, 0.22)),),
            ),
            heater("stove", kind=Kind.WOOD_STOVE, price_growth=sure(0.0)),
            heater("unused", kind=Kind.PROPANE, efficiency=ranged(0.8, 0.7, 0.9)),
        ),
        labour_rate=15.0,
        grants=(replace(grant("100"), amount=money("100", "0", "100")),),
        discount_rate=ranged(0.06, 0.04, 0.08),
        inflation=ranged(0.02, 0.01, 0.03),
    ),
    electricity=Electricity(ranged(0.3, 0.2, 0.4), ranged(0.025, 0.0, 0.05)),
    labour_rate_per_h=ranged(15, 10, 20),
)


def test_every_range_of_the_money_has_a_path_as_the_ledger_writes_it() -> None:
    assert list(spreads(FULL)) == [
        "money.discount_rate",
        "money.inflation",
        "money.grant[heat grant].amount",
        "labour.rate",
        "electricity.price",
        "electricity.price_growth",
        "build[tubes].item[2].amount",
        "build[tubes].item[2].share",
        "build[tubes].item[2].life_years",
        "build[tubes].item[2].residual",
        "build[tubes].item[2].hours",
        "build[tubes].upkeep[1].amount",
        "build[tubes].expected_running",
        "source[plug heater].tariff[1].price",
        "source[plug heater].heat_per_unit",
        "source[plug heater].efficiency",
        "source[plug heater].price_growth",
        "source[plug heater].hours_per_unit",
    ]


def test_sure_values_are_no_inputs() -> None:
    assert dict(spreads(plain_ledger())) == {}


@pytest.mark.parametrize("path", list(spreads(FULL)))
def test_another_likely_value_lands_at_its_path_and_nowhere_else(path: str) -> None:
    spread = spreads(FULL)[path]
    changed = with_likely(FULL, path, spread.high)
    assert spreads(changed)[path].likely == spread.high
    for other, was in spreads(FULL).items():
        if other != path:
            assert spreads(changed)[other] == was, other
    assert with_likely(changed, path, spread.likely) == FULL, "and back again"


def test_money_stays_decimal_when_a_plain_number_is_put() -> None:
    changed = with_likely(FULL, "build[tubes].item[2].amount", 950.5)
    assert changed.builds[0].items[1].amount.likely == Decimal("950.5")


def test_an_array_of_draws_takes_the_place_of_a_likely_value() -> None:
    draws = np.array([900.0, 1100.0])
    changed = with_likely(FULL, "build[tubes].item[2].amount", draws)
    held: object = changed.builds[0].items[1].amount.likely  # a Decimal by its type; draws pass through
    assert held is draws


def test_an_unknown_path_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        with_likely(FULL, "build[tubes].item[9].amount", 1.0)


def test_only_sources_that_reach_the_headline_take_part() -> None:
    assert [s.name for s in headline_sources(FULL)] == ["plug heater", "stove"]
    every = [i.path for i in money_inputs(FULL, FULL.sources)]
    assert "source[unused].efficiency" in every
    assert "source[unused].efficiency" not in spreads(FULL)


def test_the_electric_source_reaches_the_headline_where_its_price_stands_in() -> None:
    wood = heater("stove", kind=Kind.WOOD_STOVE)
    book = ledger_with(build("t", item("1")), sources=(wood, heater()), against="stove")
    assert [s.name for s in headline_sources(book)] == ["stove", "plug heater"]
    assert [s.name for s in headline_sources(replace(book, electricity=Electricity(sure(0.3), sure(0.02))))] == [
        "stove"
    ]


INFLATION = ranged(0.02, 0.01, 0.03)
FOLLOWS = Spread(0.02, 0.01, 0.03, Basis.ASSUMED, note="as inflation")


def test_a_growth_that_nobody_stated_moves_with_inflation() -> None:
    book = replace(
        ledger_with(build("t", item("1")), sources=(heater(price_growth=FOLLOWS),), inflation=INFLATION),
        electricity=Electricity(None, FOLLOWS),
    )
    assert list(spreads(book)) == ["money.inflation"]
    changed = with_likely(book, "money.inflation", 0.03)
    assert changed.sources[0].price_growth.likely == 0.03
    assert changed.electricity.price_growth.likely == 0.03


def test_a_stated_growth_does_not_move_with_inflation() -> None:
    stated = ranged(0.02, 0.01, 0.03)
    book = ledger_with(build("t", item("1")), sources=(heater(price_growth=stated),), inflation=INFLATION)
    assert "source[plug heater].price_growth" in spreads(book)
    assert with_likely(book, "money.inflation", 0.03).sources[0].price_growth.likely == 0.02


def test_electricity_that_grows_as_its_source_moves_with_it() -> None:
    growth = ranged(0.03, 0.0, 0.06)
    book = replace(
        ledger_with(build("t", item("1")), sources=(heater(price_growth=growth),)),
        electricity=Electricity(None, growth),
    )
    assert list(spreads(book)) == ["source[plug heater].price_growth"]
    assert with_likely(book, "source[plug heater].price_growth", 0.05).electricity.price_growth.likely == 0.05


def test_with_real_rates_inflation_is_no_input() -> None:
    book = ledger_with(build("t", item("1")), inflation=INFLATION, rates_are_real=True)
    assert "money.inflation" not in spreads(book)
