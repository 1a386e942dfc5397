"""Random ledgers under doubt: draws are what each drawn ledger answers alone, and nothing falls over."""

from __future__ import annotations

import math
from dataclasses import replace
from decimal import Decimal
from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from ledger.doubt.breakeven import break_evens
from ledger.doubt.chain import Chain
from ledger.doubt.draws import worth_range
from ledger.doubt.drivers import drivers
from ledger.doubt.plan_ranges import plan_ranges
from ledger.heat.draws import drawn
from ledger.heat.envelope import Doubt
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange, Spread
from ledger.money import many_rates
from ledger.money.flows import flows
from ledger.money.many_worths import many_worths
from ledger.money.returns import internal_rate
from ledger.money.worth import npv, simple_payback
from tests.doubt.made import Linear, ranged
from tests.known import known
from tests.plans.random_ledgers import ledgers, typical_years

QUIET = settings(
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    max_examples=12,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
)


def widened(spread: Spread, part: float) -> Spread:
    width = part * abs(spread.likely)
    return Spread(spread.likely, spread.likely - width, spread.likely + width)


def widened_money(money: MoneyRange, part: float) -> MoneyRange:
    width = abs(money.likely) * Decimal(repr(part))
    return MoneyRange(money.likely, money.likely - width, money.likely + width)


def doubtful(ledger: Ledger, part: float = 0.2) -> Ledger:
    """Every amount, share, life, price, growth and rate ± a part of itself."""
    builds = tuple(
        replace(
            b,
            items=tuple(
                replace(
                    i,
                    amount=widened_money(i.amount, part),
                    share=widened(i.share, part),
                    life_years=widened(i.life_years, part),
                    hours=None if i.hours is None else widened(i.hours, part),
                )
                for i in b.items
            ),
            expected_running=None if b.expected_running is None else widened_money(b.expected_running, part),
        )
        for b in ledger.builds
    )
    sources = tuple(
        replace(
            s,
            price=widened(s.price, part),
            price_growth=widened(s.price_growth, part),
            efficiency=widened(s.efficiency, part),
            tariffs=tuple(replace(t, price=widened(t.price, part)) for t in s.tariffs),
        )
        for s in ledger.sources
    )
    terms = replace(
        ledger.terms,
        discount_rate=widened(ledger.terms.discount_rate, part),
        inflation=widened(ledger.terms.inflation, part),
        grants=tuple(replace(g, amount=widened_money(g.amount, part)) for g in ledger.terms.grants),
    )
    return replace(ledger, builds=builds, sources=sources, terms=terms)


@st.composite
def chains(draw: st.DrawFn) -> Chain:
    heat = draw(typical_years())
    ledger = doubtful(draw(ledgers()))
    against = draw(st.sampled_from([s.name for s in ledger.sources]))
    ledger = replace(ledger, terms=replace(ledger.terms, against=against))
    lift = Doubt("house.something", ranged(5.0, 3.0, 8.0))
    slope = heat.need_kwh / 40
    return Chain(ledger, heat, Linear(heat.need_kwh, heat.avoided_kwh, (lift,), (-slope,)), fan_kwh=50.0)


@QUIET
@given(chains())
def test_each_draw_is_what_its_ledger_answers_alone(chain: Chain) -> None:
    draws = drawn(chain.inputs(), draws=4, seed=3)
    project = chain.project(draws)
    together, years = np.broadcast_to(npv(project), 4), np.broadcast_to(simple_payback(project), 4)
    for k in range(4):
        one = {path: values[k : k + 1] for path, values in draws.items()}
        scalars = {path: float(values[k]) for path, values in draws.items()}
        ledger = chain.ledger
        for each in chain.money_inputs():
            ledger = each.put(ledger, scalars[each.path])
        heat = chain.drawn_heat(one)
        plain = replace(
            heat,
            need_kwh=float(np.ravel(heat.need_kwh)[0]),
            avoided_kwh=float(np.ravel(heat.avoided_kwh)[0]),
        )
        alone = chain.project_with(ledger, plain)
        assert float(together[k]) == pytest.approx(float(npv(alone)), rel=1e-8, abs=1e-6)
        assert float(years[k]) == pytest.approx(float(simple_payback(alone)), rel=1e-6, nan_ok=True)


@QUIET
@given(chains())
def test_worths_in_blocks_are_those_of_all_draws_at_once(chain: Chain) -> None:
    """Ten draws in blocks of three: the tariffs' price paths and every number are cut with them."""
    project = chain.project(drawn(chain.inputs(), draws=10, seed=3))
    with patch.object(many_rates, "_ROWS_AT_ONCE", 3):
        found = many_worths(project, 10)
    assert found.npv == pytest.approx(np.broadcast_to(npv(project), 10), rel=1e-12, abs=1e-9)
    assert found.simple_payback_years == pytest.approx(np.broadcast_to(simple_payback(project), 10), nan_ok=True)
    streams = flows(project)
    late = np.broadcast_to(streams.residual[..., -1:], (10, 1))
    amounts = np.concatenate([np.broadcast_to(streams.without_residual, (10, streams.net.shape[-1])), late], axis=1)
    times = np.append(streams.times_years, project.study_years)
    for row, rate in zip(amounts, found.irr, strict=True):
        alone = internal_rate(row, times)
        assert (alone.roots > 1 or not row.any()) == np.isnan(rate)
        if alone.rate is not None:
            assert rate == pytest.approx(alone.rate, rel=1e-7, abs=1e-9)
        elif alone.roots == 0 and row.any():
            assert rate == (np.inf if row.sum() > 0 else -np.inf)


@QUIET
@given(chains())
def test_whatever_the_ledger_the_range_is_in_order_and_every_driver_moves(chain: Chain) -> None:
    answer = worth_range(chain, draws=300)
    assert known(answer.npv.p10) <= known(answer.npv.p50) <= known(answer.npv.p90)
    assert 0.0 <= known(answer.chance_npv_positive) <= 1.0
    found = drivers(chain)
    assert all(d.npv_low != d.npv_high for d in found)
    assert all(math.isfinite(d.npv_low) and math.isfinite(d.npv_high) for d in found)


def narrowed(chain: Chain, part: float) -> Chain:
    """The chain with every range that part of its width, about the same likely values."""
    assert isinstance(chain.response, Linear)
    (heat,) = chain.response.inputs
    low, high = (heat.spread.likely + part * (end - heat.spread.likely) for end in (heat.spread.low, heat.spread.high))
    inputs = (Doubt(heat.path, ranged(heat.spread.likely, low, high)),) if high > low else ()
    response = replace(chain.response, inputs=inputs, slopes=chain.response.slopes[: len(inputs)])
    return replace(chain, ledger=doubtful(chain.ledger, 0.2 * part), response=response)


@QUIET
@given(chains(), st.floats(0.05, 1.0))
def test_narrowing_a_range_never_widens_the_swing_of_that_input(chain: Chain, part: float) -> None:
    """Each input is swung alone, so all may be narrowed at once; the likely values stay.

    Left out: lives where money earns less than inflation, or where more is left of an item than it cost. There a
    longer life is not always better, so that the worth at two inner lives may lie farther apart than at the ends.
    """
    terms = chain.ledger.terms
    inflation = 0.0 if terms.rates_are_real else terms.inflation.likely
    odd = any(i.residual.likely > i.amount.likely for b in chain.ledger.builds for i in b.items)
    wide = {d.input: abs(d.npv_high - d.npv_low) for d in drivers(chain)}
    for one in drivers(narrowed(chain, part)):
        if one.input.endswith("life_years") and (odd or terms.discount_rate.likely < inflation):
            continue
        swing = abs(one.npv_high - one.npv_low)
        assert swing <= wide.get(one.input, 0.0) * (1 + 1e-9) + 1e-6, one.input


@QUIET
@given(chains())
def test_with_every_range_closed_the_plain_answer_stands_without_spread(chain: Chain) -> None:
    closed = narrowed(chain, 0.0)
    plain, answer = float(npv(closed.project({}))), worth_range(closed, draws=50)
    assert closed.inputs() == ()
    assert (answer.npv.p10, answer.npv.p50, answer.npv.p90) == (plain, plain, plain)
    assert drivers(closed) == ()
    years = answer.simple_payback_years
    assert years.p10 == years.p50 == years.p90
    assert answer.irr.p10 == answer.irr.p50 == answer.irr.p90


@QUIET
@given(chains())
def test_whatever_the_ledger_break_evens_are_numbers_or_said_to_be_none(chain: Chain) -> None:
    for one in break_evens(chain):
        assert (one.at is None) == bool(one.text)
        assert one.at is None or math.isfinite(one.at)


@st.composite
def sure_chains(draw: st.DrawFn) -> Chain:
    heat = draw(typical_years())
    return Chain(draw(ledgers()), heat, Linear(heat.need_kwh, heat.avoided_kwh), fan_kwh=50.0)


@settings(QUIET, max_examples=6)
@given(sure_chains())
def test_the_build_s_worth_is_the_difference_of_two_plans(chain: Chain) -> None:
    """Where no doubt is left, the cost of a source alone less that with the build is the build's worth against it."""
    for one in plan_ranges(chain):
        assert (one.alone is None) == (one.with_build is None)
        if one.alone is not None and one.with_build is not None:
            alone, with_build = known(one.alone.p50), known(one.with_build.p50)
            size = 1e-9 * (1 + abs(alone) + abs(with_build))
            assert alone - with_build == pytest.approx(one.npv_against.p50, abs=size)
