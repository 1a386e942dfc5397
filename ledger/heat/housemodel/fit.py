"""Find the figures that explain the log and lie near their priors; how sure they are."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Flags
from ledger.heat.housemodel.march import Marched
from ledger.heat.housemodel.misfit import (
    AIR_MEMORY,
    TANK_MEMORY,
    Misfit,
    Noise,
    memory,
    misfit,
    new_in_readings,
)
from ledger.heat.housemodel.priors import fitted_centres, fitted_sds
from ledger.heat.housemodel.problem import Problem
from ledger.heat.housemodel.sky import clearness
from ledger.heat.housemodel.switches import waits

Floats = NDArray[np.float64]

MOST_ROUNDS = 12
REFRESH_ROUNDS = (1, 3, 5)
"""After these rounds the noise is judged anew from the misfits, and the sky's clearness from the fitted sun."""
DAMPING = (1e-3, 0.3, 5.0)
SHORT_STEPS = 1
SHORT = 0.4
"""In each round every damping is tried at once, the longest step also at two fifths of its length."""
ENOUGH = 0.3
"""A round that lowers the cost by less than this ends the search (a likelihood ratio of a seventh of a unit)."""
NUDGE = 0.02
"""Step of the differences, in prior standard deviations."""
FARTHEST = 4.0
"""No figure may leave its prior by more than so many standard deviations."""
FIRST_NIGHT_K, FIRST_DAY_K, FIRST_TANK_K = 0.3, 1.0, 0.1
LEAST_AIR_K, LEAST_TANK_K = 0.05, 0.03
MEDIAN_TO_SD = 1.4826


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """Figures found for one structure.

    `fitted`, `covariance` on the fitting scale; `noise` as judged; `problem` with the sky's clearness as found;
    `marched` the run at these figures; `evidence`: log of how well the structure explains the log, to a constant.
    """

    problem: Problem
    fitted: Floats
    covariance: Floats
    noise: Noise
    marched: Marched
    cost: float
    evidence: float


def fit(problem: Problem, like: Fit | None = None) -> Fit:
    """Least squares on misfits and priors by damped Gauss-Newton steps; spread from the curvature at the end (Laplace).

    Differs from a maximum-likelihood fit by the priors, without which a free-floating house fixes ratios only.

    Parameters
    ----------
    problem : log and structure.
    like : the fit of another structure to the same log: its noise is kept, so that evidences compare, and the figures
        that both have begin where it ended.

    Returns
    -------
    Fit

    Source
    ------
    Madsen & Holst 1995, Energy and Buildings 22; Bacher & Madsen 2011, Energy and Buildings 43 (grey-box fit on
    innovations, structure by evidence).
    """
    centre, sd = fitted_centres(problem.table), fitted_sds(problem.table)
    switching = waits(problem.grid)
    judged = like.noise if like else _first_noise(problem)
    fitted = _beginning(problem, like)
    if like is not None:
        problem = replace(problem, clearness=like.problem.clearness)
    refresh = () if like else REFRESH_ROUNDS
    for turn in range(MOST_ROUNDS):
        slope, base = _slope(problem, fitted, sd, judged)
        normal, pull = slope.T @ slope, slope.T @ base.all[0]
        tried = np.array([fitted - np.linalg.solve(normal + d * np.diag(1.0 / sd**2), pull) for d in DAMPING])
        tried = np.concatenate([tried, fitted + SHORT * (tried[:SHORT_STEPS] - fitted)])
        tried = np.clip(tried, centre - FARTHEST * sd, centre + FARTHEST * sd)
        costs = misfit(problem, tried, judged, switching).cost
        best = int(np.nanargmin(costs))
        gain = float(base.cost[0] - costs[best])
        if gain > 0.0:
            fitted = tried[best]
        if turn in refresh:
            problem, judged = _refreshed(problem, base.marched), _judged(problem, base.marched)
        elif gain < ENOUGH and turn > max(refresh, default=0):
            break
    slope, base = _slope(problem, fitted, sd, judged)
    covariance = np.asarray(np.linalg.inv(slope.T @ slope), dtype=np.float64)
    cost = float(base.cost[0])
    shrink = float(np.linalg.slogdet(covariance)[1] - 2.0 * np.log(sd).sum())
    first = _first(base.marched)
    return Fit(problem, fitted, covariance, judged, first, cost, 0.5 * (shrink - cost))


def _beginning(problem: Problem, like: Fit | None) -> Floats:
    known = dict(zip((p.figure for p in like.problem.table), like.fitted, strict=True)) if like else {}
    return np.array([known.get(p.figure, p.fitted_centre) for p in problem.table])


def _slope(problem: Problem, fitted: Floats, sd: Floats, noise: Noise) -> tuple[Floats, Misfit]:
    nudge = NUDGE * sd
    batch = np.concatenate([fitted[None], fitted[None] + np.diag(nudge)])
    found = misfit(problem, batch, noise, waits(problem.grid))
    every = found.all
    return ((every[1:] - every[0]) / nudge[:, None]).T, found


def _first(marched: Marched) -> Marched:
    """The first of a batch, by step."""
    return Marched(
        air_c=np.array(marched.air_c[:, 0]),
        tank_c=None if marched.tank_c is None else np.array(marched.tank_c[:, 0]),
        near_c=None if marched.near_c is None else np.array(marched.near_c[:, 0]),
        sun_w_m2=np.array(marched.sun_w_m2[:, 0]),
        pulls=np.array(marched.pulls[0]),
    )


def _first_noise(problem: Problem) -> Noise:
    scale = np.sqrt(problem.grid.step_s / 900.0)
    air = np.where(problem.grid.elevation_deg < -1.0, FIRST_NIGHT_K, FIRST_DAY_K) * scale
    return Noise(air, FIRST_TANK_K)


def _refreshed(problem: Problem, marched: Marched) -> Problem:
    grid = problem.grid
    return replace(problem, clearness=clearness(marched.sun_w_m2[:, 0], grid.clear_w_m2, grid.sun_day))


def _judged(problem: Problem, marched: Marched) -> Noise:
    grid = problem.grid
    night = grid.elevation_deg < -1.0
    new, rows = new_in_readings(grid.indoor_c, marched.air_c[:, 0], problem.learnt, memory(AIR_MEMORY, grid.step_s))
    air = np.empty(grid.steps)
    for part in (night, ~night):
        air[part] = _spread(new, part[rows], LEAST_AIR_K)
    if grid.water_c is None or marched.tank_c is None:
        return Noise(air, FIRST_TANK_K)
    usable = np.isfinite(grid.water_c)
    tank, rows = new_in_readings(grid.water_c, marched.tank_c[:, 0], usable, memory(TANK_MEMORY, grid.step_s))
    return Noise(air, _spread(tank, np.ones(len(rows), dtype=bool), LEAST_TANK_K))


def _spread(new: Floats, part: Flags, least: float) -> float:
    if not np.any(part):
        return FIRST_DAY_K
    return max(least, MEDIAN_TO_SD * float(np.median(np.abs(new[part]))))
