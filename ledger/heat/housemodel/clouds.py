"""Each day's cloud factors where the sun is not measured: what came through of a clear sky's sun, three a day."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.problem import Problem
from ledger.heat.housemodel.structure import AIR

Floats = NDArray[np.float64]

EXPECTED_FACTOR = 0.65
EXPECTED_SD = 0.3
"""A day's factor before its readings are seen: anything from thick cloud (0.1) to a clear sky (1.0 to 1.1)."""
NEIGHBOUR_SD = 0.3
"""How far the factors of one day's morning, noon and evening lie apart."""
DUSK_DEG = -6.0
"""Readings later than dusk tell of the night's losses more than of the day's sun. [deg]"""
LOWEST_FACTOR = 0.03
HIGHEST_FACTOR = 1.2
"""Held between thick cloud and the brightest skies (cloud edges, snow)."""


@dataclass(frozen=True, slots=True, eq=False)
class CloudRule:
    """How readings are weighed when a day's factors are solved.

    `air_memory`, `tank_memory`: how much of a reading's misfit is left in the next one; `air_weight`, `tank_weight`:
    one over the variance of what is new in a reading, by step; over the number of readings that count as one.
    """

    air_memory: float
    tank_memory: float
    air_weight: Floats
    tank_weight: float


@dataclass(frozen=True, slots=True, eq=False)
class CloudDay:
    """One model day's march: temperatures without sun and per unit of each factor, (steps, batch, nodes, 1 + slots)."""

    problem: Problem
    first: int
    last: int
    columns: Floats


def solve_clouds(day: CloudDay, rule: CloudRule) -> Floats:
    """The factors that explain a day's readings and lie near what is expected: least squares, held within bounds.

    Parameters
    ----------
    day : the day's march.
    rule : weights.

    Returns
    -------
    array : (batch, slots).
    """
    grid, slots = day.problem.grid, day.columns.shape[3] - 1
    rows = slice(day.first, day.last)
    normal = np.broadcast_to(_expected(slots), (day.columns.shape[1], slots, slots)).copy()
    right = np.full((day.columns.shape[1], slots), EXPECTED_FACTOR / EXPECTED_SD**2)
    lit = grid.elevation_deg > DUSK_DEG
    air = np.where(day.problem.learnt & lit, grid.indoor_c, np.nan)[rows]
    _add(normal, right, air, day.columns[:, :, AIR], rule.air_memory, rule.air_weight[rows])
    tank = day.problem.structure.tank_node
    if tank is not None and grid.water_c is not None:
        weight = np.full(day.last - day.first, rule.tank_weight)
        _add(
            normal, right, np.where(lit, grid.water_c, np.nan)[rows], day.columns[:, :, tank], rule.tank_memory, weight
        )
    factors = np.linalg.solve(normal, right[..., None])[..., 0]
    return np.clip(factors, LOWEST_FACTOR, HIGHEST_FACTOR)


def cloud_pulls(factors: Floats) -> Floats:
    """How far factors lie from what is expected, and from their neighbours, in standard deviations: (batch, …)."""
    return np.concatenate([(factors - EXPECTED_FACTOR) / EXPECTED_SD, np.diff(factors, axis=1) / NEIGHBOUR_SD], axis=1)


def _expected(slots: int) -> Floats:
    normal = np.eye(slots) / EXPECTED_SD**2
    for one in range(slots - 1):
        pair = np.zeros(slots)
        pair[one], pair[one + 1] = 1.0, -1.0
        normal += np.outer(pair, pair) / NEIGHBOUR_SD**2
    return normal


def _add(normal: Floats, right: Floats, readings: Floats, columns: Floats, memory: float, weight: Floats) -> None:
    known = np.isfinite(readings)
    pairs = known[1:] & known[:-1]
    if not np.any(pairs):
        return
    misfit = readings[:, None] - columns[:, :, 0]
    new = (misfit[1:] - memory * misfit[:-1])[pairs]
    lever = (columns[1:, :, 1:] - memory * columns[:-1, :, 1:])[pairs]
    w = weight[1:][pairs]
    weighted = lever * w[:, None, None]
    normal += np.einsum("tbi,tbj->bij", weighted, lever)
    right += np.einsum("tbi,tb->bi", weighted, new)
