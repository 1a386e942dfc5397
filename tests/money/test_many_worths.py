"""Thousands of drawn projects in blocks: each draw is worth what it is worth alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ledger.model.terms import Timing
from ledger.money.flows import flows
from ledger.money.many_worths import many_worths
from ledger.money.project import Project
from ledger.money.returns import internal_rate
from ledger.money.worth import npv, simple_payback
from tests.known import known_float
from tests.money.made import part, project, year_money

DRAWS = 4100  # more than one block of 4,000


@pytest.mark.parametrize("timing", list(Timing))
@pytest.mark.parametrize("at", [0, 3999, 4000, 4099])
def test_a_draw_of_any_block_is_worth_what_it_is_worth_alone(timing: Timing, at: int) -> None:
    """Capital, saving, discount rate, fuel that costs only later and its price path, all drawn; a third is left after
    ten of fifteen years, so that the residual falls at the end of the last one."""
    k = np.arange(DRAWS, dtype=float)
    capital, saving, rate = 1000.0 + k, 150.0 + k / 40.0, 0.02 + k * 1e-5
    path = (1.0 + k[:, None] * 1e-6) ** np.arange(1, 11)
    later = 5.0 + k[:, None] / 1000.0 + np.zeros(10)

    def of(rows: slice | int) -> Project:
        year = year_money(saving[rows], fuel_price_path=path[rows], later_fuel_cost=later[rows])
        made = project(part(capital[rows], life=15.0), saving=year, years=10, d=rate[rows])
        return replace(made, timing=timing)

    together, alone = many_worths(of(slice(None)), DRAWS), of(at)
    streams = flows(alone)
    assert float(together.npv[at]) == pytest.approx(float(npv(alone)), rel=1e-9)
    assert float(together.simple_payback_years[at]) == pytest.approx(float(simple_payback(alone)), rel=1e-12)
    if timing is Timing.END_OF_YEAR:
        assert known_float(internal_rate(streams.net, streams.times_years).rate) == pytest.approx(
            together.irr[at], rel=1e-6
        )
    assert float(streams.residual[-1]) == pytest.approx(capital[at] / 3.0)
