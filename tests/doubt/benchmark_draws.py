"""How fast draws are: run by hand, `python -m tests.doubt.benchmark_draws`. It prints a ratio and asserts nothing.

100,000 draws of 30 years to net present value, simple payback and internal rate, as the range of the worth takes them
(`many_worths`), against a loop over numpy-financial. Both in processor time, the best of several turns each.

Ours starts from the drawn capital, saving, growth and rate, so that laying out the 30 years is timed. The loop is
handed each row of flows laid out, untimed; for each row it takes `npv`, capital ÷ saving, counts the changes of sign
(more than one: no rate) and takes `irr`. It is run on 2,000 draws and scaled.
"""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable

import numpy as np
import numpy_financial as npf

from ledger.money.flows import flows
from ledger.money.many_worths import many_worths
from ledger.money.project import FloatArray, Project
from tests.money.made import part, project, year_money

DRAWS, LOOPED, YEARS, TURNS = 100_000, 2_000, 30, 5


def drawn_project() -> tuple[Project, FloatArray, FloatArray, FloatArray]:
    """A build that is drawn, with its capital, first year's saving and discount rate."""
    generator = np.random.default_rng(1)
    saving = generator.triangular(400, 900, 1500, DRAWS)
    d = generator.triangular(0.03, 0.06, 0.1, DRAWS)
    capital = generator.triangular(5000, 8000, 12000, DRAWS)
    growth = generator.triangular(0, 0.02, 0.05, DRAWS)
    year = year_money(saving, fuel_growth=growth, upkeep_cost=40.0)
    return project(part(capital, life=40.0), saving=year, years=YEARS, d=d, inflation=0.02), capital, saving - 40.0, d


def looped(net: FloatArray, capital: FloatArray, saving: FloatArray, d: FloatArray) -> list[tuple[float, float, float]]:
    """The three figures of each row, one after the other."""
    found = []
    for row, paid, saved, rate in zip(net, capital, saving, d, strict=True):
        signs = np.sign(row[row != 0.0])
        irr = npf.irr(row) if np.count_nonzero(signs[1:] != signs[:-1]) == 1 else np.nan
        found.append((npf.npv(rate, row), paid / saved if saved > 0 else np.nan, irr))
    return found


def best_seconds(work: Callable[[], object]) -> float:
    """Processor time of the fastest of several turns."""
    seconds = []
    for _ in range(TURNS):
        started = time.process_time()
        work()
        seconds.append(time.process_time() - started)
    return min(seconds)


def main() -> None:
    """Print the ratio, after a check that both sides say the same."""
    drawn, capital, saving, d = drawn_project()
    net = flows(drawn).net[:LOOPED]
    few = capital[:LOOPED], saving[:LOOPED], d[:LOOPED]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        answer, rows = many_worths(drawn, DRAWS), np.array(looped(net, *few))
        ours = best_seconds(lambda: many_worths(drawn, DRAWS))
        loop = best_seconds(lambda: looped(net, *few)) * DRAWS / LOOPED
    together = np.stack([answer.npv, answer.simple_payback_years, answer.irr], axis=1)[:LOOPED]
    apart = np.abs(together - rows).max(axis=0)
    print(f"{DRAWS} draws of {YEARS} years: {ours:.3f} s, numpy-financial in a loop {loop:.1f} s: {ours / loop:.4f}")  # noqa: T201
    print(f"farthest apart: NPV {apart[0]:.1e}, payback {apart[1]:.1e} years, internal rate {apart[2]:.1e}")  # noqa: T201


if __name__ == "__main__":
    main()
