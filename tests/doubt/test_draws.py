"""Ranges carried through the whole chain, against closed forms."""

import math
import os
import subprocess
import sys
from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.doubt.chain import Chain
from ledger.doubt.draws import DRAWS, percentiles, worth_range
from ledger.doubt.drivers import drivers, variance_shares
from ledger.heat.curve import LIFT
from ledger.heat.draws import drawn
from ledger.heat.envelope import Doubt
from ledger.heat.season import BACKUP
from ledger.model.house import BareWay
from ledger.model.terms import Electricity
from ledger.model.values import Basis, Spread
from ledger.money.results import Percentiles
from ledger.money.worth import npv, simple_payback
from tests.doubt.made import UPV, Linear, chain_of, plain_ledger, ranged
from tests.known import known
from tests.money.made import build, grant, heater, item, sure
from tests.running.made import ledger_with


def triangular_quantile(low: float, likely: float, high: float, q: float) -> float:
    """The inverse of the triangular distribution, by its closed form."""
    turn = (likely - low) / (high - low)
    if q < turn:
        return low + math.sqrt(q * (high - low) * (likely - low))
    return high - math.sqrt((1 - q) * (high - low) * (high - likely))


def mean_of(spread: Spread) -> float:
    return (spread.low + spread.likely + spread.high) / 3


def variance_of(s: Spread) -> float:
    """Of a triangle: (l² + m² + h² − lm − lh − mh)/18."""
    return (s.low**2 + s.likely**2 + s.high**2 - s.low * s.likely - s.low * s.high - s.likely * s.high) / 18


HEAT = Doubt("house.something", ranged(10.0, 6.0, 18.0))
GAIN = 40.0


def test_the_plain_project_by_hand() -> None:
    """Saving 750 · 0.20 = 150; fan 100 · 0.20 = 20; 130 a year net, both growing at 2 %.

    UPV* of 25 years at 6 %, 2 % is 1.02/0.04 · (1 − (1.02/1.06)^25) = 15.7898...; trench 1,500, nothing left.
    """
    assert float(npv(chain_of().project({}))) == pytest.approx(130 * UPV - 1500, rel=1e-12)
    assert float(simple_payback(chain_of().project({}))) == pytest.approx(1500 / 130)


def test_a_linear_case_has_the_analytic_percentiles_within_1_percent() -> None:
    """NPV is linear in the one input: its p10, p50, p90 are those of the triangle (1 % of p90 − p10)."""
    chain = chain_of(heat_inputs=((HEAT, GAIN),))
    answer = worth_range(chain)
    plain = 130 * UPV - 1500

    def exact(q: float) -> float:
        return plain + GAIN * 0.20 * UPV * (triangular_quantile(6.0, 10.0, 18.0, q) - 10.0)

    width = exact(0.9) - exact(0.1)
    for found, q in ((answer.npv.p10, 0.1), (answer.npv.p50, 0.5), (answer.npv.p90, 0.9)):
        assert found == pytest.approx(exact(q), abs=0.01 * width)
    assert answer.draws == DRAWS == 20_000


def test_the_payback_s_percentiles_are_those_of_the_saving_turned_round() -> None:
    """Payback 1,500 ÷ (130 + 8 · (x − 10)) falls with x: its p10 is that of x's p90."""
    answer = worth_range(chain_of(heat_inputs=((HEAT, GAIN),))).simple_payback_years
    for found, q in ((answer.p10, 0.9), (answer.p50, 0.5), (answer.p90, 0.1)):
        saving = 130 + GAIN * 0.20 * (triangular_quantile(6.0, 10.0, 18.0, q) - 10.0)
        assert found == pytest.approx(1500 / saving, rel=0.002)


def test_the_internal_rate_s_percentiles_are_those_of_the_saving() -> None:
    """The rate rises with the saving; at each percentile of x, Σ (130 + 8 · (x − 10)) · (1.02/(1 + rate))^k = 1,500."""
    answer = worth_range(chain_of(heat_inputs=((HEAT, GAIN),))).irr
    for rate, q in ((answer.p10, 0.1), (answer.p50, 0.5), (answer.p90, 0.9)):
        saving = 130 + GAIN * 0.20 * (triangular_quantile(6.0, 10.0, 18.0, q) - 10.0)
        worth = saving * sum((1.02 / (1 + known(rate))) ** k for k in range(1, 26))
        assert worth == pytest.approx(1500, rel=0.002)


def test_a_draw_that_loses_at_every_rate_lies_below_all_rates() -> None:
    """Avoided 750 + 500 · (x − 10): 15 % of the draws save less than the fan costs, so p10 is no rate."""
    answer = worth_range(chain_of(heat_inputs=((HEAT, 500.0),))).irr
    assert answer.p10 is None
    assert answer.p50 is not None


def test_where_a_draw_has_several_rates_no_range_of_rates_is_claimed() -> None:
    """A grant of 250 over a trench of 100, and a pump of 3,000 in two years: paid, then spent, then saved."""
    later = item("3000", day=date(2027, 9, 1))
    ledger = plain_ledger(builds=(build("tubes", item("100"), later),))
    ledger = replace(ledger, terms=replace(ledger.terms, grants=(grant("250"),)))
    answer = worth_range(chain_of(ledger, heat_inputs=((HEAT, GAIN),)))
    assert answer.irr == Percentiles(None, None, None)
    assert answer.npv.p50 is not None


def test_the_chance_is_that_of_the_triangle() -> None:
    """With 1,900 of trench the build pays where 8 · (x − 10) > 1,900/UPV* − 130; the chance is the triangle's."""
    ledger = plain_ledger(builds=(build("tubes", item("2200")),))
    x = 10 + (2200 / UPV - 130) / (GAIN * 0.20)
    assert 10 < x < 18
    chance = (18 - x) ** 2 / ((18 - 6) * (18 - 10))
    assert worth_range(chain_of(ledger, heat_inputs=((HEAT, GAIN),))).chance_npv_positive == pytest.approx(
        chance, abs=0.002
    )


SUM = (
    Doubt("a", ranged(10.0, 6.0, 18.0)),
    Doubt("b", ranged(2.0, 2.0, 3.0)),
    Doubt("c", ranged(0.0, -4.0, 1.0)),
)


def test_a_sum_of_triangles_has_the_exact_mean_and_variance() -> None:
    """Mean (l + m + h)/3, variance (l² + m² + h² − lm − lh − mh)/18 each; independent, so both add up."""
    draws = drawn(SUM, draws=DRAWS, seed=7)
    total = sum(draws[d.path] for d in SUM)
    spreads = [d.spread for d in SUM]
    mean = sum((s.low + s.likely + s.high) / 3 for s in spreads)
    variance = sum(
        (s.low**2 + s.likely**2 + s.high**2 - s.low * s.likely - s.low * s.high - s.likely * s.high) / 18
        for s in spreads
    )
    assert float(np.mean(total)) == pytest.approx(mean, abs=1e-3)
    assert float(np.var(total)) == pytest.approx(variance, rel=0.02)


def test_the_range_of_a_sum_through_the_chain_has_its_mean_and_variance() -> None:
    """NPV = plain + Σ slope · price · UPV* · (x − likely): the middle and the width of the draws follow."""
    slopes = (GAIN, -60.0, 25.0)
    chain = chain_of(heat_inputs=tuple(zip(SUM, slopes, strict=True)))
    worths = npv(chain.project(drawn(chain.inputs(), draws=DRAWS, seed=7)))
    plain = 130 * UPV - 1500
    spreads = [d.spread for d in SUM]
    shift = sum(
        m * 0.20 * UPV * ((s.low + s.likely + s.high) / 3 - s.likely) for m, s in zip(slopes, spreads, strict=True)
    )
    variance = sum(
        (m * 0.20 * UPV) ** 2
        * (s.low**2 + s.likely**2 + s.high**2 - s.low * s.likely - s.low * s.high - s.likely * s.high)
        / 18
        for m, s in zip(slopes, spreads, strict=True)
    )
    assert float(np.mean(worths)) == pytest.approx(plain + shift, abs=0.01 * math.sqrt(variance))
    assert float(np.var(worths)) == pytest.approx(variance, rel=0.02)


def many_doubts() -> Chain:
    price = ranged(0.20, 0.15, 0.30)
    ledger = ledger_with(
        build("tubes", replace(item("1500"), life_years=ranged(20, 12, 30))),
        sources=(heater(price_growth=ranged(0.02, 0.0, 0.05)),),
        price=0.20,
        discount_rate=ranged(0.06, 0.04, 0.09),
    )
    ledger = replace(ledger, sources=(replace(ledger.sources[0], price=price),))
    return chain_of(ledger, heat_inputs=((HEAT, GAIN),))


def test_the_same_seed_gives_the_same_range_bit_for_bit() -> None:
    assert worth_range(many_doubts()) == worth_range(many_doubts())


@pytest.mark.parametrize("hash_seed", ["1", "2"])
def test_another_process_draws_the_same_bit_for_bit(hash_seed: str) -> None:
    """The order of sets and dictionaries, which a process may shuffle, has no part in it."""
    code = (
        "from tests.doubt.test_draws import many_doubts, worth_range, drivers\n"
        "print(repr((worth_range(many_doubts(), draws=500), drivers(many_doubts()))))"
    )
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=environment, check=True)
    assert done.stdout.strip() == repr((worth_range(many_doubts(), draws=500), drivers(many_doubts())))


def test_doubling_the_draws_moves_the_middle_by_less_than_1_percent_of_the_width() -> None:
    one, two = worth_range(many_doubts()), worth_range(many_doubts(), draws=2 * DRAWS)
    width = known(one.npv.p90) - known(one.npv.p10)
    assert abs(known(one.npv.p50) - known(two.npv.p50)) < 0.01 * width
    assert abs(known(one.npv.p90) - known(two.npv.p90)) < 0.02 * width


def test_another_seed_moves_it_as_little() -> None:
    one, two = worth_range(many_doubts()), worth_range(many_doubts(), seed=99)
    width = known(one.npv.p90) - known(one.npv.p10)
    assert abs(known(one.npv.p50) - known(two.npv.p50)) < 0.01 * width


def test_without_ranges_every_percentile_is_the_plain_answer() -> None:
    chain = chain_of()
    answer = worth_range(chain)
    plain = float(npv(chain.project({})))
    assert (answer.npv.p10, answer.npv.p50, answer.npv.p90) == (plain, plain, plain)
    assert answer.simple_payback_years.p10 == answer.simple_payback_years.p90
    assert answer.chance_npv_positive == 1.0
    assert drivers(chain) == ()


def test_draws_that_never_pay_back_are_later_than_all_others() -> None:
    """Avoided 750 + 200 · (x − 10), x from 6 to 18: below 8.25 (a twentieth of the draws) the saving is not positive.

    P(x < 7.85) = (7.85 − 6)²/(12 · 4) = 7 %: p90 is a number; with 400 a kelvin it is 15 % and p90 is never.
    """
    some = worth_range(chain_of(heat_inputs=((HEAT, 200.0),))).simple_payback_years
    assert some.p90 is not None
    often = worth_range(chain_of(heat_inputs=((HEAT, 500.0),))).simple_payback_years
    assert often.p90 is None
    assert often.p50 is not None


def test_percentiles_between_a_number_and_never_are_none() -> None:
    assert percentiles(np.array([1.0, np.inf])).p50 is None
    assert percentiles(np.array([np.inf, np.inf])).p10 is None
    assert percentiles(np.array([3.0])).p90 == 3.0


def test_by_the_lift_the_ends_stand_and_there_is_no_chance() -> None:
    """The lift's ends, 2 and 8 K about 5, at 100 kWh a kelvin: avoided 1,050 and 450; all other ranges stand still."""
    lift = Doubt(LIFT, ranged(5.0, 2.0, 8.0))
    ledger = replace(many_doubts().ledger)
    chain = chain_of(ledger, heat_inputs=((lift, -100.0), (HEAT, GAIN)), way=BareWay.LIFT)
    answer = worth_range(chain)
    low, likely, high = (float(npv(chain.project({LIFT: np.array([x])}))[0]) for x in (8.0, 5.0, 2.0))
    assert answer.npv.p10 == pytest.approx(low)
    assert answer.npv.p50 == pytest.approx(likely)
    assert answer.npv.p90 == pytest.approx(high)
    assert answer.chance_npv_positive is None
    years = answer.simple_payback_years
    assert known(years.p10) < known(years.p50) < known(years.p90)


def test_the_payback_is_never_at_an_end_of_the_lift_that_saves_nothing() -> None:
    """At 8 K the avoided heat is 750 − 3 · 250 = 0, and the fan still costs 20."""
    chain = chain_of(heat_inputs=((Doubt(LIFT, ranged(5.0, 2.0, 8.0)), -250.0),), way=BareWay.LIFT)
    assert worth_range(chain).simple_payback_years.p90 is None


def test_an_expected_share_joins_the_span() -> None:
    share = Doubt("build[tubes].expected_fraction", ranged(0.75, 0.5, 0.9))
    lift = Doubt(LIFT, ranged(5.0, 4.0, 6.0))
    chain = chain_of(heat_inputs=((lift, -100.0), (share, 1000.0)), way=BareWay.LIFT, fraction_paths=(share,))
    answer = worth_range(chain)
    worst = float(npv(chain.project({LIFT: np.array([6.0]), share.path: np.array([0.5])}))[0])
    best = float(npv(chain.project({LIFT: np.array([4.0]), share.path: np.array([0.9])}))[0])
    assert (answer.npv.p10, answer.npv.p90) == pytest.approx((worst, best))


def test_months_not_logged_raise_the_upper_end_only() -> None:
    """A quarter of the need is not logged: the upper end takes 750 · 1.25 = 937.5 kWh, 37.5 a year more."""
    chain = chain_of(months_missing_share=0.25)
    answer, plain = worth_range(chain), 130 * UPV - 1500
    assert (answer.npv.p10, answer.npv.p50) == pytest.approx((plain, plain))
    assert answer.npv.p90 == pytest.approx(167.5 * UPV - 1500)
    years = answer.simple_payback_years
    assert (years.p10, years.p50, years.p90) == pytest.approx((1500 / 167.5, 1500 / 130, 1500 / 130))
    (missing,) = drivers(chain)
    assert missing.input == "log.months_not_logged"
    assert missing.npv_low == pytest.approx(plain)
    assert missing.npv_high == pytest.approx(answer.npv.p90)


def test_a_build_that_pays_only_if_the_months_not_logged_were_good_is_not_condemned() -> None:
    """2,400 of trench: 130 · UPV* = 2,053 does not pay it back, 167.5 · UPV* = 2,645 does."""
    ledger = plain_ledger(builds=(build("tubes", item("2400")),))
    answer = worth_range(chain_of(ledger, months_missing_share=0.25))
    assert known(answer.npv.p50) < 0 < known(answer.npv.p90)


def test_heat_of_months_not_logged_is_at_most_the_need() -> None:
    """Three quarters of the need missing would make 1,312 kWh of a need of 1,000: the need stands, 200 a year."""
    answer = worth_range(chain_of(months_missing_share=0.75))
    assert answer.npv.p90 == pytest.approx(180 * UPV - 1500)


def test_months_not_logged_join_the_span_of_the_lift() -> None:
    lift = Doubt(LIFT, ranged(5.0, 4.0, 6.0))
    chain = chain_of(heat_inputs=((lift, -100.0),), way=BareWay.LIFT, months_missing_share=0.1)
    answer = worth_range(chain)
    assert answer.npv.p10 == pytest.approx((0.2 * 650 - 20) * UPV - 1500)
    assert answer.npv.p90 == pytest.approx((0.2 * 850 * 1.1 - 20) * UPV - 1500)


def test_an_efficiency_is_drawn_once_for_the_backup_noted_and_for_the_price_of_heat() -> None:
    ledger = ledger_with(build("tubes", item("1500")), sources=(heater(efficiency=ranged(0.8, 0.6, 0.9)),), price=0.20)
    backup = Doubt(BACKUP, ranged(1.0, 0.75, 1.125))
    chain = chain_of(ledger, heat_inputs=((backup, -200.0),))
    assert [d.path for d in chain.inputs()] == ["source[plug heater].efficiency"]
    chain.project({"source[plug heater].efficiency": np.array([0.6, 0.9])})
    assert isinstance(chain.response, Linear)
    assert chain.response.asked[0][BACKUP] == pytest.approx([0.75, 1.125])


def test_draws_are_centred_on_the_reported_answer() -> None:
    """A response whose likely value differs (a span of months not logged) moves the answer by its difference only."""
    chain = chain_of(heat_inputs=((HEAT, GAIN),), avoided_kwh=700.0)
    assert chain.drawn_heat({HEAT.path: np.array([10.0])}).avoided_kwh == pytest.approx(750.0)


def test_drivers_are_ranked_by_their_swing_each_alone() -> None:
    """Price 0.15 to 0.30 on 750 kWh: −37.5 to +75 a year; the heat 6 to 18: −32 to +64 a year; the rest is smaller."""
    found = drivers(many_doubts())
    swings = [abs(d.npv_high - d.npv_low) for d in found]
    assert swings == sorted(swings, reverse=True)
    by_name = {d.input: d for d in found}
    plain = float(npv(many_doubts().project({})))
    price = by_name["source[plug heater].price"]
    assert price.npv_low == pytest.approx(plain - 37.5 * UPV, rel=1e-9)
    assert price.npv_high == pytest.approx(plain + 75 * UPV, rel=1e-9)
    assert by_name[HEAT.path].npv_high == pytest.approx(plain + 64 * UPV, rel=1e-9)
    assert by_name["money.discount_rate"].npv_low > by_name["money.discount_rate"].npv_high


def test_shares_of_variance_are_those_of_a_linear_sum() -> None:
    """Three independent triangles with slopes 40, −60, 25: share = slope² · variance ÷ the sum of these."""
    slopes = (GAIN, -60.0, 25.0)
    chain = chain_of(heat_inputs=tuple(zip(SUM, slopes, strict=True)))
    parts = []
    for m, d in zip(slopes, SUM, strict=True):
        low, mid, high = d.spread.low, d.spread.likely, d.spread.high
        parts.append(m**2 * (low**2 + mid**2 + high**2 - low * mid - low * high - mid * high) / 18)
    found = {d.input: d.variance_share for d in drivers(chain)}
    for d, part in zip(SUM, parts, strict=True):
        assert found[d.path] == pytest.approx(part / sum(parts), abs=0.02)
    assert sum(known(part) for part in found.values()) == pytest.approx(1.0, abs=0.03)


def test_shares_of_a_product_leave_what_the_two_do_together() -> None:
    """Saving = price · heat, independent. Var(p·q) = q̄² Var p + p̄² Var q + Var p · Var q: the last part is no one's.

    Heat 750 + 40 · (x − 10) in kWh; price 0.15 to 0.30, likely 0.20; the fan's electricity has a price of its own.
    """
    price, x = ranged(0.20, 0.15, 0.30), HEAT.spread
    source = replace(heater(), price=price)
    ledger = replace(plain_ledger(sources=(source,)), electricity=Electricity(sure(0.20), sure(0.02)))
    found = {d.input: d.variance_share for d in drivers(chain_of(ledger, heat_inputs=((HEAT, GAIN),)))}
    mean_p, mean_q = mean_of(price), 750 + GAIN * (mean_of(x) - 10.0)
    var_p, var_q = variance_of(price), GAIN**2 * variance_of(x)
    whole = mean_q**2 * var_p + mean_p**2 * var_q + var_p * var_q
    assert found["source[plug heater].price"] == pytest.approx(mean_q**2 * var_p / whole, abs=0.02)
    assert found[HEAT.path] == pytest.approx(mean_p**2 * var_q / whole, abs=0.02)
    assert sum(known(part) for part in found.values()) == pytest.approx(1 - var_p * var_q / whole, abs=0.03)


def test_what_moves_together_is_one_driver_with_all_of_the_doubt() -> None:
    """Inflation, and the growths that follow it, rise and fall together: one input, one swing, one part of 1."""
    follows = Spread(0.02, 0.0, 0.04, Basis.ASSUMED)
    inflation = Spread(0.02, 0.0, 0.04, Basis.ASSUMED)
    source = heater(price_growth=follows)
    ledger = ledger_with(build("tubes", item("1500")), sources=(source,), price=0.20, inflation=inflation)
    ledger = replace(ledger, electricity=replace(ledger.electricity, price_growth=follows))
    (one,) = drivers(chain_of(ledger))
    assert one.input == "money.inflation"
    assert one.variance_share == pytest.approx(1.0, abs=0.02)
    for end, growth in ((one.npv_low, 0.0), (one.npv_high, 0.04)):
        assert end == pytest.approx(130 * sum(((1 + growth) / 1.06) ** k for k in range(1, 26)) - 1500)


def test_by_the_lift_no_share_of_variance_is_claimed() -> None:
    chain = chain_of(heat_inputs=((Doubt(LIFT, ranged(5.0, 2.0, 8.0)), -100.0),), way=BareWay.LIFT)
    assert [d.variance_share for d in drivers(chain)] == [None]


def test_an_input_that_moves_nothing_is_no_driver() -> None:
    """The price of electricity given apart: the plug heater's own price moves heat, the other the fan."""
    ledger = replace(plain_ledger(), electricity=Electricity(sure(0.2), ranged(0.02, 0.0, 0.1)))
    chain = replace(chain_of(ledger), fan_kwh=0.0)
    assert drivers(chain) == ()


def test_a_range_too_narrow_to_be_drawn_has_no_part_in_the_variance() -> None:
    """From 0 to 1e-300 every draw is one number: no part, and the other input, alone and linear, has all of it."""
    speck, wide = Doubt("speck", ranged(0.0, 0.0, 1e-300)), Doubt("wide", ranged(10.0, 8.0, 12.0))
    shares = variance_shares(chain_of(heat_inputs=((speck, GAIN), (wide, GAIN))))
    assert shares["speck"] == 0.0
    assert shares["wide"] == pytest.approx(1.0)


@settings(max_examples=25, deadline=None)
@given(st.floats(0, 1), st.floats(0, 1))
def test_narrowing_a_range_never_widens_its_swing(below: float, above: float) -> None:
    def swing(low: float, high: float) -> float:
        narrow = Doubt("x", ranged(10.0, low, high))
        found = drivers(chain_of(heat_inputs=((narrow, GAIN),)))
        return abs(found[0].npv_high - found[0].npv_low) if found else 0.0

    assert swing(10 - 4 * below, 10 + 8 * above) <= swing(6.0, 18.0) + 1e-9


@settings(max_examples=15, deadline=None)
@given(st.floats(0.1, 0.4), st.floats(0, 0.5), st.floats(0, 0.5))
def test_the_middle_of_the_draws_lies_between_the_ends(price: float, down: float, up: float) -> None:
    spread = ranged(price, price * (1 - down), price * (1 + up))
    ledger = plain_ledger(sources=(replace(heater(), price=spread),))
    answer = worth_range(chain_of(ledger), draws=500)
    assert known(answer.npv.p10) <= known(answer.npv.p50) <= known(answer.npv.p90)
