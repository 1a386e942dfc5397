"""Which input matters most: each range swung alone, with its part of the variance when all move together."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from ledger.doubt.chain import Chain, swings
from ledger.doubt.draws import SEED
from ledger.heat.draws import drawn
from ledger.model.house import BareWay
from ledger.money.project import FloatArray
from ledger.money.results import Driver
from ledger.money.worth import npv

DRAWS_FOR_SHARES = 5_000
SHARE_METHOD = "squared correlation with the gain; Saltelli, Chan & Scott 2000"


def drivers(chain: Chain) -> tuple[Driver, ...]:
    """Swing each input from its low to its high end, all others at their likely values, and rank by the swing of NPV.

    Differs from a share of variance, for which all inputs move together; that stands beside it. Inputs that move
    nothing are left out.

    Parameters
    ----------
    chain : the whole chain.

    Returns
    -------
    tuple of Driver : the greatest |NPV at high − NPV at low| first. [currency, -]

    Source
    ------
    One-at-a-time sensitivity, ASTM E1369.
    """
    missing = chain.months_not_logged()
    inputs = chain.inputs() if missing is None else (*chain.inputs(), missing)
    if not inputs:
        return ()
    shares = {} if chain.response.way is BareWay.LIFT else variance_shares(chain)
    worths = np.broadcast_to(npv(chain.project(swings(inputs))), 2 * len(inputs))
    found = [
        Driver(d.path, float(worths[2 * k]), float(worths[2 * k + 1]), shares.get(d.path)) for k, d in enumerate(inputs)
    ]
    moving = [d for d in found if d.npv_low != d.npv_high]
    return tuple(sorted(moving, key=lambda d: -abs(d.npv_high - d.npv_low)))


def variance_shares(chain: Chain) -> Mapping[str, float]:
    """Each input's part of the variance of NPV when all are drawn together.

        squared correlation of the input with NPV

    With independent inputs this is the squared standardised regression coefficient; the parts of a worth that is
    linear in its inputs sum to 1, and what is missing from 1 is curvature and inputs acting together. Inputs are drawn
    independently: what two figures of the ledger share (inflation and the growths that follow it, an efficiency in
    backup and price) is one input with one part. The part is 0 within the noise of the draws (a hundredth) for inputs
    that do nothing.

    Returns
    -------
    mapping of path to share : [-]; empty where NPV does not move.

    Source
    ------
    Saltelli, Chan & Scott 2000, Sensitivity Analysis, sampling-based methods (standardised regression coefficients).
    """
    inputs = chain.inputs()
    draws = drawn(inputs, draws=DRAWS_FOR_SHARES, seed=SEED)
    worths = np.broadcast_to(npv(chain.project(draws)), DRAWS_FOR_SHARES)
    if float(np.ptp(worths)) == 0.0:
        return {}
    moved = _standardised(worths)
    return {d.path: float(np.mean(_standardised(draws[d.path]) * moved) ** 2) for d in inputs}


def _standardised(values: FloatArray) -> FloatArray:
    """Mean 0, variance 1; all 0 where nothing varies. Scaled first, so that the smallest ranges do not underflow."""
    centred = values - np.mean(values)
    widest = float(np.max(np.abs(centred)))
    if widest == 0.0:
        return np.zeros_like(values)
    scaled = centred / widest
    return np.asarray(scaled / np.std(scaled))
