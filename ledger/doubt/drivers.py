"""Which input matters most: each range swung alone."""

from __future__ import annotations

import numpy as np

from ledger.doubt.chain import Chain, swings
from ledger.money.results import Driver
from ledger.money.worth import npv


def drivers(chain: Chain) -> tuple[Driver, ...]:
    """Swing each input from its low to its high end, all others at their likely values, and rank by the swing of NPV.

    Differs from shares of variance, which look at all inputs moving together. Inputs that move nothing are left out.

    Parameters
    ----------
    chain : the whole chain.

    Returns
    -------
    tuple of Driver : the greatest |NPV at high − NPV at low| first. [currency]

    Source
    ------
    One-at-a-time sensitivity, ASTM E1369.
    """
    inputs = chain.inputs()
    if not inputs or chain.project({}).year.avoided_fuel_cost is None:
        return ()
    worths = np.broadcast_to(npv(chain.project(swings(inputs))), 2 * len(inputs))
    found = [Driver(d.path, float(worths[2 * k]), float(worths[2 * k + 1])) for k, d in enumerate(inputs)]
    moving = [d for d in found if d.npv_low != d.npv_high]
    return tuple(sorted(moving, key=lambda d: -abs(d.npv_high - d.npv_low)))
