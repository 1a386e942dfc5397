"""Draws of uncertain inputs: triangular, Latin hypercube, fixed seed, so that a range is the same on every run."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

import numpy as np
from scipy.optimize import brentq

from ledger.heat.envelope import Doubt
from ledger.heat.rungs import Floats
from ledger.model.values import Basis, Spread

DRAWS = 1000
SEED = 4711


def drawn(doubts: Iterable[Doubt], *, draws: int = DRAWS, seed: int = SEED) -> Mapping[str, Floats]:
    """Draw every input from its triangle, each decile of each input equally often.

    Parameters
    ----------
    doubts : inputs with their ranges.
    draws : how many. [-]
    seed : of the shuffles.

    Returns
    -------
    mapping of path to array

    Source
    ------
    McKay, Beckman & Conover 1979, Technometrics 21(2), 239-245 (Latin hypercube).
    """
    generator = np.random.default_rng(seed)
    middle = (np.arange(draws) + 0.5) / draws
    return {d.path: _triangular(d.spread, generator.permutation(middle)) for d in doubts}


def from_band(likely: float, *, p10: float, p90: float) -> Spread:
    """The triangle whose tenth and ninetieth percentiles are a band's ends.

    Of a triangle of width w, its turn at the part r of it, these lie √(0.1 · r) · w and √(0.1 · (1 − r)) · w inside its
    ends. An end on the wrong side of the likely value is taken as that value.

    Parameters
    ----------
    likely : where the triangle turns.
    p10, p90 : the band.

    Returns
    -------
    Spread

    Source
    ------
    Inverse of the triangular distribution.
    """
    below, above = max(0.0, likely - p10), max(0.0, p90 - likely)
    if below + above <= 0.0:
        return Spread(likely=likely, low=likely, high=likely, basis=Basis.ESTIMATED)

    def part_below(r: float) -> float:
        """Band below the turn less its part of the whole band, for a triangle of width 1."""
        left, right = r - math.sqrt(0.1 * r), 1.0 - r - math.sqrt(0.1 * (1.0 - r))
        return left * above - right * below

    r = float(brentq(part_below, 0.1, 0.9, xtol=1e-14))
    width = (below + above) / (1.0 - math.sqrt(0.1 * r) - math.sqrt(0.1 * (1.0 - r)))
    return Spread(likely=likely, low=likely - r * width, high=likely + (1.0 - r) * width, basis=Basis.ESTIMATED)


def _triangular(spread: Spread, share: Floats) -> Floats:
    low, likely, high = spread.low, spread.likely, spread.high
    if high <= low:
        return np.full(len(share), likely)
    turn = (likely - low) / (high - low)
    rising = low + np.sqrt(share * (high - low) * (likely - low))
    falling = high - np.sqrt((1.0 - share) * (high - low) * (high - likely))
    return np.where(share < turn, rising, falling)
