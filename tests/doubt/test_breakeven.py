"""Solved break-evens and the verdict."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.doubt.breakeven import NONE_SENSIBLE, BreakEven, break_evens, nearest_root
from ledger.doubt.chain import Chain
from ledger.doubt.draws import UNKNOWN_RANGE
from ledger.doubt.verdict import Standing, facts_that_would_change_it, verdict
from ledger.heat.results import TypicalHeat
from ledger.model.heaters import Tariff
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.money.project import FloatArray, Number
from ledger.money.results import Percentiles, WorthRange
from ledger.money.worth import counted, npv
from tests.doubt.made import UPV, chain_of, plain_ledger
from tests.known import known
from tests.money.made import build, grant, heater, item, sure
from tests.running.made import ledger_with


def solved(chain: Chain) -> dict[str, BreakEven]:
    return {b.what: b for b in break_evens(chain)}


def test_the_fuel_price_by_hand() -> None:
    """(750 · p − 20) · UPV* = 1,500 → p = (1,500/UPV* + 20)/750."""
    answer = solved(chain_of())["fuel price"]
    assert answer.at == pytest.approx((1500 / UPV + 20) / 750, rel=1e-12)
    assert (answer.today, answer.unit) == (0.20, "per kWh")
    assert answer.distance == pytest.approx(known(answer.at) / 0.20 - 1)


def test_the_avoided_heat_and_the_capital_by_hand() -> None:
    """0.20 · q = 1,500/UPV* + 20; capital = 130 · UPV*."""
    answer = solved(chain_of())
    assert answer["avoided heat"].at == pytest.approx((1500 / UPV + 20) / 0.20, rel=1e-12)
    assert answer["net capital"].at == pytest.approx(130 * UPV, rel=1e-12)


def test_the_years_are_the_first_study_at_which_it_pays() -> None:
    """130 · UPV*(n) ≥ 1,500, nothing left at the end: a grant and a residual would make a study of one year pay."""

    def by_hand(n: int) -> float:
        return 130 * sum((1.02 / 1.06) ** k for k in range(1, n + 1)) - 1500

    answer = solved(chain_of())["years of the study"]
    assert answer.at == next(n for n in range(1, 26) if by_hand(n) >= 0)
    assert answer.today == 25


def test_the_life_is_the_first_at_which_the_costliest_item_pays() -> None:
    """1,200 of trench, 300 of pump; the pump lasts the study. With a life of L the trench is paid again every L years.

    By hand in base-date money: q = 1.02/1.06, NPV = 130 · UPV* − 1,500 − 1,200 · Σ q^(mL), m·L < 25, + what is left.
    """
    book = plain_ledger(builds=(build("tubes", item("300"), item("1200", life=30.0)),))
    answer = next(b for b in break_evens(chain_of(book)) if b.unit == "years" and b.path.startswith("build"))

    def by_hand(life: int) -> float:
        q = 1.02 / 1.06
        again = list(range(life, 25, life))
        last = again[-1] if again else 0
        left = 1200 * (1 - (25 - last) / life)
        return 130 * UPV - 1500 - 1200 * sum(q**m for m in again) + left * q**25

    assert answer.at == next(n for n in range(1, 101) if by_hand(n) >= 0)
    assert (answer.path, answer.today) == ("build[tubes].item[2].life_years", 30.0)


def test_the_life_asked_is_that_of_what_money_bought() -> None:
    """100 h of own work at 30 in the digging, 300 paid; a pump of 900: its life is asked. Own work alone: none."""
    dug = item("300", hours=sure(100.0))
    book = plain_ledger(builds=(build("tubes", dug, item("900", life=12.0)),), labour_rate_per_h=sure(30.0))
    (life,) = (b for b in break_evens(chain_of(book)) if b.path.startswith("build"))
    assert life.path == "build[tubes].item[2].life_years"
    alone = plain_ledger(builds=(build("tubes", item("0", hours=sure(100.0))),), labour_rate_per_h=sure(30.0))
    assert not any(b.path.startswith("build") for b in break_evens(chain_of(alone)))


def test_a_worth_that_does_not_move_has_no_break_even() -> None:
    """Be it 0 throughout: nothing bought, nothing saved."""
    assert nearest_root(lambda x: np.zeros_like(np.asarray(x)), low=0.0, high=5.0, today=1.0) is None


def test_every_break_even_put_back_gives_nothing_to_the_cent() -> None:
    chain = chain_of()
    ledger, heat = chain.ledger, chain.heat
    at = {what: answer.at for what, answer in solved(chain).items() if answer.at is not None}
    source = ledger.sources[0]

    def worth_of(changed_ledger: Ledger = ledger, changed_heat: TypicalHeat = heat) -> float:
        return float(npv(chain.project_with(changed_ledger, changed_heat)))

    price = replace(source, price=sure(at["fuel price"]))
    growth = replace(source, price_growth=sure(at["growth of the fuel price"]))
    rate = replace(ledger.terms, discount_rate=sure(at["discount rate"]))
    assert abs(worth_of(replace(ledger, sources=(price,)))) < 0.005
    # ledger.electricity grows as its only electric source does, so both move.
    electricity = replace(ledger.electricity, price_growth=growth.price_growth)
    assert abs(worth_of(replace(ledger, sources=(growth,), electricity=electricity))) < 0.005
    assert abs(worth_of(replace(ledger, terms=rate))) < 0.005
    assert abs(worth_of(ledger, replace(heat, avoided_kwh=at["avoided heat"]))) < 0.005
    plain = chain.project({})
    scaled = at["net capital"] / float(counted(plain))
    items = tuple(replace(i, counted=i.counted * scaled) for i in plain.items)
    assert abs(float(npv(replace(plain, items=items)))) < 0.005


def test_a_break_even_outside_the_sensible_range_is_said() -> None:
    """20,000 of trench: at no discount rate from 0 to 50 % does it pay."""
    answer = solved(chain_of(plain_ledger(builds=(build("tubes", item("20000")),))))["discount rate"]
    assert (answer.at, answer.distance, answer.text) == (None, None, NONE_SENSIBLE)


def test_more_heat_than_the_need_is_not_sensible() -> None:
    """Even at 1,000 kWh avoided, (200 − 20) · UPV* < 20,000."""
    assert solved(chain_of(plain_ledger(builds=(build("tubes", item("20000")),))))["avoided heat"].at is None


def test_a_later_tariff_moves_in_proportion() -> None:
    tariff = Tariff(date(2027, 9, 1), sure(0.30))
    ledger = ledger_with(build("tubes", item("1500")), sources=(heater(tariffs=(tariff,)),), price=0.20)
    chain = chain_of(ledger)
    factor = known(solved(chain)["fuel price"].at) / 0.20
    changed = heater(price=0.20 * factor, tariffs=(replace(tariff, price=sure(0.30 * factor)),))
    assert abs(float(npv(chain.project_with(replace(ledger, sources=(changed,)), chain.heat)))) < 0.005


def test_of_several_roots_the_nearest_to_today_stands() -> None:
    """(x − 1)(x − 3)(x − 4)."""

    def worth(x: Number) -> FloatArray:
        return np.asarray((x - 1.0) * (x - 3.0) * (x - 4.0))

    assert nearest_root(worth, low=0.0, high=5.0, today=3.2) == pytest.approx(3.0)
    assert nearest_root(worth, low=0.0, high=5.0, today=0.0) == pytest.approx(1.0)
    assert nearest_root(worth, low=5.0, high=6.0, today=0.0) is None


def test_a_grant_stays_while_the_capital_is_solved() -> None:
    """Break-even money in items 130 · UPV*, less nothing: net capital is that less the grant of 200."""
    ledger = plain_ledger()
    chain = chain_of(replace(ledger, terms=replace(ledger.terms, grants=(grant("200"),))))
    assert solved(chain)["net capital"].at == pytest.approx(130 * UPV, rel=1e-12)
    assert solved(chain)["net capital"].today == pytest.approx(1300.0)


def test_own_work_shrinks_with_the_capital() -> None:
    """10 h at 15 in a trench of 1,350: 1,500 in all. Break-even 130 · UPV*, with nothing left after 25 years."""
    book = plain_ledger(builds=(build("tubes", item("1350", hours=sure(10.0))),), labour_rate_per_h=sure(15.0))
    assert solved(chain_of(book))["net capital"].at == pytest.approx(130 * UPV, rel=1e-12)
    longer = build("tubes", item("1350", hours=sure(10.0), life=50.0))
    half_left = known(solved(chain_of(replace(book, builds=(longer,))))["net capital"].at)
    assert half_left * (1 - 0.9 * 0.5 * (1.02 / 1.06) ** 25) == pytest.approx(130 * UPV, rel=1e-12)


@settings(max_examples=20, deadline=None)
@given(st.integers(200, 20_000), st.floats(0.05, 1.0))
def test_wherever_a_price_breaks_even_the_worth_there_is_nothing(capital: int, price: float) -> None:
    ledger = plain_ledger(builds=(build("tubes", item(str(capital))),), sources=(heater(price=price),))
    chain = chain_of(ledger)
    answer = solved(chain)["fuel price"]
    if answer.at is None:
        assert capital / UPV + 20 > 750 * price * 10
    else:
        changed = replace(ledger, sources=(heater(price=answer.at),))
        assert abs(float(npv(chain.project_with(changed, chain.heat)))) < 0.005


# Verdict


def sure_of(p10: float | None, p90: float | None, chance: float | None = 0.5) -> WorthRange:
    middle = None if p10 is None or p90 is None else (p10 + p90) / 2
    return WorthRange(Percentiles(p10, middle, p90), Percentiles(1.0, 2.0, 3.0), chance, 20_000, 1)


TWIN = Standing(BareWay.TWIN, by_expected_share=False, running_known=True)


def test_it_pays_where_the_tenth_percentile_is_above_zero() -> None:
    assert verdict(sure_of(0.01, 100, 0.91), TWIN, greatest_doubt="").verdict == "pays"


def test_it_does_not_pay_where_the_ninetieth_is_below_zero() -> None:
    assert verdict(sure_of(-100, -0.01, 0.09), TWIN, greatest_doubt="").verdict == "does not pay"


@pytest.mark.parametrize(("p10", "p90"), [(-1.0, 1.0), (0.0, 5.0), (-5.0, 0.0)])
def test_between_them_it_is_not_yet_known_and_the_greatest_doubt_is_named(p10: float, p90: float) -> None:
    answer = verdict(sure_of(p10, p90, 0.62), TWIN, greatest_doubt="how leaky the house is")
    assert answer.verdict == "not yet known"
    assert "pays in about 6" in answer.why
    assert "how leaky the house is" in answer.why


@pytest.mark.parametrize(
    ("standing", "word"),
    [
        (replace(TWIN, way=BareWay.LIFT), "placeholder"),
        (replace(TWIN, by_expected_share=True), "no month has been logged with the build"),
        (replace(TWIN, running_known=False), "before running cost"),
        (replace(TWIN, running_known=False), "one line under its [[build]] settles it: expected_running = 0"),
        (replace(TWIN, built_in_log=False), "the log ends before the build was there"),
        (replace(TWIN, way=None), "no typical year yet"),
    ],
)
def test_a_placeholder_is_never_a_verdict(standing: Standing, word: str) -> None:
    for sure_range in (sure_of(1000, 2000, 1.0), sure_of(-2000, -1000, 0.0)):
        answer = verdict(sure_range, standing, greatest_doubt="")
        assert answer.verdict == "not yet known"
        assert word in answer.why


def test_an_unknown_range_is_not_yet_known() -> None:
    assert verdict(UNKNOWN_RANGE, TWIN, greatest_doubt="").verdict == "not yet known"


def test_the_facts_that_would_change_it_come_nearest_first() -> None:
    facts = facts_that_would_change_it(
        (
            BreakEven("fuel price", "p", "per kWh", 0.20, 0.30, 0.5),
            BreakEven("discount rate", "r", "a year", 0.06, 0.085, 0.025),
            BreakEven("avoided heat", "a", "kWh", 750.0, 600.0, -0.2),
            BreakEven("net capital", "c", "", 1500.0, None, None, NONE_SENSIBLE),
            BreakEven("growth of the fuel price", "g", "a year", 0.02, 0.12, 0.10),
        )
    )
    assert len(facts) == 3
    assert "avoided heat of 600 kWh (now 750, 20% less)" in facts[0]
    assert "discount rate of 8.5% a year (now 6.0%)" in facts[1]
    assert "fuel price of 0.3 per kWh (now 0.2, 50% more)" in facts[2]
