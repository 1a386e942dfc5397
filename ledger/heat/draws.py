"""Draws of uncertain inputs: triangular, Latin hypercube, fixed seed, so that a range is the same on every run."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np

from ledger.heat.envelope import Doubt
from ledger.heat.rungs import Floats
from ledger.model.values import Basis, Spread

DRAWS = 1000
SEED = 4711
TRIANGLE_SHARE_INSIDE_P10 = 1.0 - 0.2**0.5


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
    """The triangle whose tenth and ninetieth percentiles lie near a band's ends.

    A symmetric triangle of half-width a has its tenth percentile at a · (1 − √0.2) from the middle.
    """
    low = likely - max(0.0, likely - p10) / TRIANGLE_SHARE_INSIDE_P10
    high = likely + max(0.0, p90 - likely) / TRIANGLE_SHARE_INSIDE_P10
    return Spread(likely=likely, low=low, high=high, basis=Basis.ESTIMATED)


def _triangular(spread: Spread, share: Floats) -> Floats:
    low, likely, high = spread.low, spread.likely, spread.high
    if high <= low:
        return np.full(len(share), likely)
    turn = (likely - low) / (high - low)
    rising = low + np.sqrt(share * (high - low) * (likely - low))
    falling = high - np.sqrt((1.0 - share) * (high - low) * (high - likely))
    return np.where(share < turn, rising, falling)
