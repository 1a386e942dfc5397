"""From fits to a figure with its range: structures by evidence, draws of the figures, room for wrong physics."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.structure import Bed
from ledger.heat.results import Band

Floats = NDArray[np.float64]

EVIDENCE_COUNTS = 0.05
"""Every structure is wrong somewhere: the log's evidence between two of them is taken as a twentieth of what it would
be if one were right."""
DRAWS = 24
SEED = 20231
NORMAL_P90 = 1.2816
LEAST_SHARE_OF_NEED = 0.1
"""An answer near zero is doubted as if it were a tenth of the need."""
ALLOWANCE_WITHOUT_BED = 0.08
ALLOWANCE_WITH_BED = 0.14
"""Standard deviation of the answer, as a share of it, that no fit shows: wrong physics. Set on farms of foreign physics
(tests/housemodel/calibrate.py) so that the range from p10 to p90 holds the truth about four times in five; a good fit
proves nothing about the answer, so it cannot come from the misfits."""


def structure_weights(fits: Sequence[Fit]) -> Floats:
    """Share of each structure in the answer.

    Half before the log is read for a bed apart from the floor, the rest for those under it; even for the floors.

    Parameters
    ----------
    fits : of the same log.

    Returns
    -------
    array : adding up to 1.
    """
    evidence = np.array([f.evidence for f in fits])
    before = np.array([_before(f) for f in fits])
    weight = before * np.exp(EVIDENCE_COUNTS * (evidence - evidence.max()))
    return np.asarray(weight / weight.sum())


def drawn_figures(fit: Fit) -> Floats:
    """Draws of a fit's figures from its curvature, the found ones first: (1 + draws, figures).

    Parameters
    ----------
    fit : figures and covariance on the fitting scale.

    Returns
    -------
    array : fixed seed, so that an answer is the same on every run.
    """
    generator = np.random.default_rng(SEED)
    draws = generator.multivariate_normal(fit.fitted, fit.covariance, DRAWS, method="cholesky")
    return np.concatenate([fit.fitted[None], draws])


def allowance(fit: Fit) -> float:
    """Standard deviation for wrong physics, as a share of the answer."""
    return ALLOWANCE_WITHOUT_BED if fit.problem.structure.bed is Bed.NONE else ALLOWANCE_WITH_BED


def banded(central: float, draws: Floats, weights: Floats, *, allowance_kwh: float) -> Band:
    """Tenth and ninetieth percentile: the draws' own, widened by the allowance.

    Parameters
    ----------
    central : the answer. [kWh]
    draws : of all structures. [kWh]
    weights : share of each draw.
    allowance_kwh : standard deviation for what the fit does not show. [kWh]

    Returns
    -------
    Band
    """
    order = np.argsort(draws)
    share = np.cumsum(weights[order]) - 0.5 * weights[order]
    low, high = np.interp([0.1, 0.9], share / weights.sum(), draws[order])
    extra = NORMAL_P90 * allowance_kwh
    below = float(np.hypot(max(central - low, 0.0), extra))
    above = float(np.hypot(max(high - central, 0.0), extra))
    return Band(central - below, central + above)


def _before(fit: Fit) -> float:
    return 0.25 if fit.problem.structure.bed is Bed.LINKED else 0.5
