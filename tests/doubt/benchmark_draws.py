"""How fast draws are: run by hand, `python -m tests.doubt.benchmark_draws`. It prints a ratio and asserts nothing.

100,000 draws of 30 years, net present value, simple payback and internal rate, against a loop over numpy-financial
(npv and irr; measured on 2,000 draws and scaled), both in processor time.
"""

from __future__ import annotations

import time
import warnings

import numpy as np
import numpy_financial as npf

from ledger.money.flows import discounted, flows
from ledger.money.many_rates import internal_rates
from ledger.money.worth import simple_payback
from tests.money.made import part, project, year_money

DRAWS, LOOPED, YEARS = 100_000, 2_000, 30


def main() -> None:
    generator = np.random.default_rng(1)
    saving = generator.triangular(400, 900, 1500, DRAWS)
    d = generator.triangular(0.03, 0.06, 0.1, DRAWS)
    drawn = project(
        part(generator.triangular(5000, 8000, 12000, DRAWS), life=40.0),
        saving=year_money(saving, fuel_growth=generator.triangular(0, 0.02, 0.05, DRAWS), upkeep_cost=40.0),
        years=YEARS,
        d=d,
        inflation=0.02,
    )
    started = time.process_time()
    streams = flows(drawn)
    discounted(streams, d).sum(axis=-1)
    simple_payback(drawn)
    internal_rates(streams.net, streams.times_years)
    ours = time.process_time() - started

    net = streams.net[:LOOPED]
    started = time.process_time()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for row, rate in zip(net, d, strict=False):
            npf.npv(rate, row)
            npf.irr(row)
    looped = (time.process_time() - started) * DRAWS / LOOPED
    ratio = ours / looped
    print(f"{DRAWS} draws of {YEARS} years: {ours:.2f} s, numpy-financial in a loop {looped:.1f} s: {ratio:.4f}")  # noqa: T201


if __name__ == "__main__":
    main()
