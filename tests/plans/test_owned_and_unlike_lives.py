"""Sources of unlike lives, owned ones among them, over one study."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from ledger.money.worth import level, npv
from ledger.plans.costs import NOTHING_BUILT, plan_money, source_item
from tests.changes import TermsChanges
from tests.known import known
from tests.money.made import BASE, build, heater, item, part, project, sure
from tests.plans.made import compared, money, named, plug
from tests.running.made import ledger_with, typical

HEAT = typical([1.0], [0.0], weight=1000.0)
PLAIN: TermsChanges = {"discount_rate": sure(0.05), "inflation": sure(0.0), "study_years": 10}


def crf(rate: float, years: int) -> float:
    """Capital recovery, CHE374 lecture 3: i(1 + i)^n ÷ ((1 + i)^n − 1)."""
    return rate * (1 + rate) ** years / ((1 + rate) ** years - 1)


def test_present_worths_over_unlike_lives_as_printed_and_their_annual_worths() -> None:
    """CHE374 lecture 5, 5 %: 20,000, 3,000 a year, 4,000 left after 10 years: 5,621, a year 728; 40,000, 8,000 a year,
    13,000 left after 5 years: 4,822. The present worths must not be compared; a year's worth is 728 against 1,114."""
    ten = project(part(20_000, life=10, residual=4_000), saving=3_000, years=10, d=0.05)
    five = project(part(40_000, life=5, residual=13_000), saving=8_000, years=5, d=0.05)
    assert float(npv(ten)) == pytest.approx(5_621, abs=0.5)
    assert float(level(npv(ten), ten)) == pytest.approx(728, abs=0.5)
    assert float(npv(five)) == pytest.approx(4_822, abs=0.5)
    assert float(level(npv(five), five)) == pytest.approx(4_822 * crf(0.05, 5), abs=0.5)
    assert float(level(npv(five), five)) > float(level(npv(ten), ten))


def test_a_study_cut_short_as_printed() -> None:
    """CHE374 lecture 5: the ten-year unit in a study of 5 years with 7,000 left: −1,527."""
    cut = project(part(20_000, life=5, residual=7_000), saving=3_000, years=5, d=0.05)
    assert float(npv(cut)) == pytest.approx(-1_527, abs=0.5)


def test_a_cheap_heater_that_wears_out_twice_as_fast_is_not_cheaper_for_its_price() -> None:
    """At 5 %, ten years, no inflation: 1000 for 10 years against 600 for 5: 600 + 600/1.05^5 = 1070.12. A year of the
    second costs 600 · crf(5 %, 5) = 138.58, of the first 1000 · crf(5 %, 10) = 129.50: the dear one ranks first."""
    long = plug("long", 0.0, capital=money(1000), life_years=sure(10.0), price_growth=sure(0.0))
    short = plug("short", 0.0, capital=money(600), life_years=sure(5.0), price_growth=sure(0.0))
    terms: TermsChanges = {**PLAIN, "against": "long"}
    answer = compared(ledger_with(sources=(short, long), **terms), HEAT)
    assert named(answer, "short alone").life_cycle_cost == pytest.approx(600 + 600 / 1.05**5)
    assert named(answer, "short alone").annual_cost == pytest.approx(600 * crf(0.05, 5))
    assert named(answer, "long alone").annual_cost == pytest.approx(1000 * crf(0.05, 10))
    assert (named(answer, "long alone").rank, named(answer, "short alone").rank) == (1, 2)


@pytest.mark.parametrize(
    ("bought", "life", "replaced"),
    [
        (None, 10.0, []),
        (date(2025, 9, 1), 10.0, []),
        (date(2025, 3, 1), 4.0, [4, 8]),
        (date(2023, 9, 1), 5.0, [3, 8]),
        (date(2023, 8, 31), 5.0, [3, 8]),
        (date(2023, 9, 2), 5.0, [4, 9]),
        (date(2000, 1, 1), 6.0, [1, 7]),
        (date(2000, 1, 1), 5.5, [1, 6]),
    ],
)
def test_an_owned_heater_costs_nothing_today_and_is_replaced_when_its_life_is_over(
    bought: date | None, life: float, replaced: list[int]
) -> None:
    """Years of the study end on 1 September. 2 September 2023 to 1 September 2024 is year −1. One past its life still
    serves and is replaced in year 1."""
    from ledger.money.flows import flows

    source = plug(bought=bought, life_years=sure(life), price=0.0)
    answer = compared(ledger_with(sources=(source,), **PLAIN), HEAT)
    plan = named(answer, "plug heater alone")
    assert plan.capital == (300.0 if bought is None else 0.0)
    single = project(source_item(source, known(source.capital), base_date=BASE), saving=0.0, years=10, d=0.05)
    paid = flows(single).replacement
    assert [k for k in range(11) if paid[k] != 0] == replaced


def test_what_an_owned_heater_is_worth_at_the_end_is_taken_off() -> None:
    """Bought four years before, life 16: at the end of ten years 2/16 is left: −300/8 ÷ 1.05^10."""
    source = plug(bought=date(2021, 9, 1), life_years=sure(16.0), price=0.0)
    plan = named(compared(ledger_with(sources=(source,), **PLAIN), HEAT), "plug heater alone")
    assert plan.life_cycle_cost == pytest.approx(-300 / 8 / 1.05**10)


def test_a_heater_of_unknown_capital_has_no_life_cycle_cost_and_no_rank() -> None:
    answer = compared(ledger_with(sources=(heater(output_kw=sure(50.0)),), **PLAIN), HEAT)
    plan = named(answer, "plug heater alone")
    assert (plan.capital, plan.life_cycle_cost, plan.annual_cost, plan.rank) == (None, None, None, None)
    assert plan.first_year_cost == pytest.approx(200.0)
    assert "source-capital-unknown" in {n.code for n in answer.notices}


def test_an_owned_heater_that_outlives_the_study_needs_no_price() -> None:
    source = heater(bought=date(2025, 8, 1), life_years=sure(30.0), output_kw=sure(50.0), price_growth=sure(0.0))
    plan = named(compared(ledger_with(sources=(source,), **PLAIN), HEAT), "plug heater alone")
    assert plan.life_cycle_cost == pytest.approx(200 / crf(0.05, 10))
    to_the_day = replace(source, bought=date(2025, 8, 1), life_years=sure(10.0))
    plan = named(compared(ledger_with(sources=(to_the_day,), **PLAIN), HEAT), "plug heater alone")
    assert plan.life_cycle_cost == pytest.approx(200 / crf(0.05, 10))
    old = replace(source, bought=date(2000, 1, 1))
    assert named(compared(ledger_with(sources=(old,), **PLAIN), HEAT), "plug heater alone").life_cycle_cost is None


def test_a_heater_that_will_be_bought_in_year_2_is_paid_then() -> None:
    source = plug(bought=date(2027, 3, 1), price=0.0, life_years=sure(8.0))
    plan = named(compared(ledger_with(sources=(source,), **PLAIN), HEAT), "plug heater alone")
    assert plan.capital == 300.0
    assert plan.life_cycle_cost == pytest.approx(300 / 1.05**2)


def test_a_build_without_its_saving_known_by_build_is_compared_together_only() -> None:
    ledger = ledger_with(build("a", item("100")), build("b", item("100")), sources=(plug(),), **PLAIN)
    answer = compared(ledger, HEAT)
    assert [p.name for p in answer.plans] == ["plug heater alone", "build + plug heater", "build alone", "nothing"]
    assert "builds-together-only" in {n.code for n in answer.notices}


def test_a_plan_holds_none_one_or_all_of_the_builds() -> None:
    a, b, c = (build(name, item("100")) for name in "abc")
    ledger = ledger_with(a, b, c, sources=(plug(),), **PLAIN)
    with pytest.raises(ValueError, match="no build, one, or all"):
        plan_money(ledger, replace(NOTHING_BUILT, builds=(a, b)), ())
