"""How far a set of figures lies from the log and from its priors: the numbers whose squares are made small."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.clouds import CloudRule
from ledger.heat.housemodel.grid import Flags, Grid, Integers
from ledger.heat.housemodel.march import Marched, march, march_like_house
from ledger.heat.housemodel.network import BARE
from ledger.heat.housemodel.priors import fitted_centres, fitted_sds
from ledger.heat.housemodel.problem import Problem, vented
from ledger.heat.housemodel.switches import Switching

Floats = NDArray[np.float64]

QUARTER_HOUR_S = 900.0
AIR_MEMORY = 0.9
"""How much of the air's misfit is left after a quarter hour. In the residuals of fitted houses it is 0.85 to 0.95."""
TANK_MEMORY = 0.98
"""The same for a tank."""
READINGS_AS_ONE_S = 20 * QUARTER_HOUR_S
"""Misfits hang together over hours even after their memory is taken out: readings of five hours count as one."""
CLOUD_READINGS_AS_ONE_S = 4 * QUARTER_HOUR_S
"""A day's cloud factors are solved with readings of one hour counting as one, so that they follow the sky."""
FAR = 2.5
"""Beyond so many standard deviations a misfit counts in proportion, not squared (Huber)."""
TWIN_SPREAD = 1.2
"""A like house is like, not the same: its readings count as this much noisier."""
SWITCH_SD_K = 0.75
"""A fan that waits for the bed to be so much warmer than the air switches within this of that difference. [K]"""


DIFFERENCE_SD_K = 1.5
"""How far the difference that a controller is set to lies from a usual one. Common practice, no source. [K]"""


@dataclass(frozen=True, slots=True, eq=False)
class Noise:
    """Standard deviation of what is new in a reading, by step, for the air, and for the tank [K]."""

    air_k: Floats
    tank_k: float


@dataclass(frozen=True, slots=True, eq=False)
class Misfit:
    """Misfits of a batch: `data` (batch, …) and `prior` (batch, …), in standard deviations; `marched` behind them."""

    data: Floats
    prior: Floats
    marched: Marched

    @property
    def all(self) -> Floats:
        """Data and prior side by side."""
        return np.concatenate([self.data, self.prior], axis=1)

    @property
    def cost(self) -> Floats:
        """Sum of squares of each set."""
        return np.asarray((self.data**2).sum(axis=1) + (self.prior**2).sum(axis=1))


def memory(base: float, step_s: float) -> float:
    """What is left of a misfit after one step."""
    return float(base ** (step_s / QUARTER_HOUR_S))


def cloud_rule(grid: Grid, noise: Noise) -> CloudRule:
    """How the log's readings are weighed when cloud factors are solved."""
    count = CLOUD_READINGS_AS_ONE_S / grid.step_s
    return CloudRule(
        air_memory=memory(AIR_MEMORY, grid.step_s),
        tank_memory=memory(TANK_MEMORY, grid.step_s),
        air_weight=1.0 / (noise.air_k**2 * count),
        tank_weight=1.0 / (noise.tank_k**2 * count),
    )


def misfit(problem: Problem, fitted: Floats, noise: Noise, switching: tuple[Switching, ...]) -> Misfit:
    """Hold a batch of figures against the log.

    Air, tank and like house by what is new in each reading (its misfit less what is left of the one before); the fan's
    switching by how evenly the bed stands over the air when it switches; cloud factors and figures by their priors.

    Parameters
    ----------
    problem : log and structure.
    fitted : figures on the fitting scale, a row a set.
    noise : of the readings. [K]
    switching : when the fan waited for the bed.

    Returns
    -------
    Misfit
    """
    grid = problem.grid
    marched = march(problem, fitted, cloud_rule(grid, noise))
    parts = [_new(grid.indoor_c, marched.air_c, problem.learnt, noise.air_k, memory(AIR_MEMORY, grid.step_s), grid)]
    if grid.water_c is not None and marched.tank_c is not None:
        noise_k = np.full(grid.steps, noise.tank_k)
        kept = memory(TANK_MEMORY, grid.step_s)
        parts.append(_new(grid.water_c, marched.tank_c, np.isfinite(grid.water_c), noise_k, kept, grid))
    if grid.twin_c is not None:
        twin = march_like_house(problem, fitted, marched.sun_w_m2, stands=BARE)
        usable = np.isfinite(grid.twin_c) & ~vented(grid, grid.twin_c)
        kept = memory(AIR_MEMORY, grid.step_s)
        parts.append(_new(grid.twin_c, twin.air_c, usable, noise.air_k * TWIN_SPREAD, kept, grid))
    if marched.near_c is not None:
        parts += [_switched(s, marched.near_c, grid) for s in switching]
    pull = (fitted - fitted_centres(problem.table)) / fitted_sds(problem.table)
    return Misfit(np.concatenate(parts, axis=1), np.concatenate([marched.pulls, pull], axis=1), marched)


def new_in_readings(readings: Floats, model: Floats, usable: Flags, kept: float) -> tuple[Floats, Integers]:
    """What is new in each reading's misfit, and at which steps: only where the reading before was usable too."""
    pairs = np.flatnonzero(usable[1:] & usable[:-1]) + 1
    off = readings[:, None] - model if model.ndim == 2 else readings - model
    return off[pairs] - kept * off[pairs - 1], pairs


def _new(readings: Floats, model: Floats, usable: Flags, noise_k: Floats, kept: float, grid: Grid) -> Floats:
    new, rows = new_in_readings(readings, model, usable & np.isfinite(readings), kept)
    count = np.sqrt(READINGS_AS_ONE_S / grid.step_s)
    return np.asarray(soft(new / noise_k[rows][:, None], FAR).T / count)


def _switched(switching: Switching, near_c: Floats, grid: Grid) -> Floats:
    rows = switching.rows
    over = (near_c[rows] + near_c[rows + 1]) / 2.0 - switching.air_c[:, None]
    days = grid.sun_day[rows]
    weight = 1.0 / np.bincount(days)[days]
    middle = np.average(over, axis=0, weights=weight)
    even = (soft((over - middle) / SWITCH_SD_K, FAR) * np.sqrt(weight)[:, None]).T
    usual = (middle - switching.usual_over_k) / DIFFERENCE_SD_K
    return np.concatenate([even, usual[:, None]], axis=1)


def soft(deviations: Floats, far: float) -> Floats:
    """Numbers whose squares are Huber's loss: unchanged up to `far`, growing like a root beyond."""
    size = np.abs(deviations)
    return np.where(size <= far, deviations, np.sign(deviations) * np.sqrt(np.maximum(2.0 * far * size - far**2, 0.0)))
