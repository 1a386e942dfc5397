"""A fitted house left alone on a cold evening: no heater, no fan, the sun of the days as they were."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import DAY_S, Grid
from ledger.heat.housemodel.network import Build
from ledger.heat.housemodel.other_years import FittedHouse
from ledger.heat.housemodel.runs import Case, run_all

Floats = NDArray[np.float64]

CUT_DAYS = 2.0
"""How long the power stays away. Common practice, no source."""
COLD_BEFORE_DAYS = 2.0
"""The cold has lasted so long when the power fails: a store may be empty on the third cold night."""


@dataclass(frozen=True, slots=True)
class Standing:
    """A house in a cut: which builds stand, and the temperature that its heater held until then (None: no heater)."""

    stands: Build
    hold_c: float | None


@dataclass(frozen=True, slots=True, eq=False)
class Alone:
    """Air from nightfall on, by step of `step_h`, and at nightfall. [°C]"""

    start_c: float
    air_c: Floats
    step_h: float

    def hours_above(self, mark_c: float) -> float | None:
        """Hours until the air is first at a mark, by straight lines between the steps; None: not in the whole cut."""
        air = np.concatenate([[self.start_c], self.air_c])
        below = np.flatnonzero(air < mark_c)
        if not below.size:
            return None
        row = int(below[0])
        if row == 0:
            return 0.0
        return float((row - 1 + (air[row - 1] - mark_c) / (air[row - 1] - air[row])) * self.step_h)


def left_alone(house: FittedHouse, houses: Sequence[Standing], *, design_c: float) -> tuple[Alone, ...]:
    """Let the power fail at nightfall of the log's coldest night, made as cold as the design night.

    The whole spell, from two days before nightfall on, is shifted so that the night's coldest hour is the design
    temperature. By the structure with the largest share alone.

    Parameters
    ----------
    house : a believed fit.
    houses : what stands, and what was held.
    design_c : outdoors in the coldest hour. [°C]

    Returns
    -------
    tuple of Alone : one a house.
    """
    voice = house.voices[0]
    problem = voice.fit.problem
    night = coldest_night(problem.grid)
    per_day = DAY_S / problem.grid.step_s
    first, last = int(night[0]), min(problem.grid.steps, int(night[0]) + round(CUT_DAYS * per_day))
    outdoor = problem.grid.outdoor_c.copy()
    outdoor[max(0, first - round(COLD_BEFORE_DAYS * per_day)) :] += design_c - float(outdoor[night].min())
    grid = replace(problem.grid, outdoor_c=outdoor)
    steps = np.arange(grid.steps)
    cut = (steps >= first) & (steps < last)
    cases = [Case(h.stands, h.hold_c, voice.fit.fitted[None]) for h in houses]
    cold = replace(problem, grid=grid)
    outcomes = run_all(cold, cases, sun_w_m2=voice.fit.marched.sun_w_m2, rule=voice.rule, cut=cut)
    step_h = grid.step_s / 3600.0
    return tuple(Alone(float(o.air_c[first - 1, 0]), o.air_c[first:last, 0], step_h) for o in outcomes)


def coldest_night(grid: Grid) -> NDArray[np.intp]:
    """Steps of the night with the lowest mean outdoors among those that lie whole in the log, a day after its start."""
    rows = np.flatnonzero(grid.dark)
    groups = np.split(rows, np.flatnonzero(np.diff(rows) != 1) + 1)
    per_day = round(DAY_S / grid.step_s)
    whole = [g for g in groups if g.size and g[0] >= per_day and g[-1] < grid.steps - 1] or [rows[rows > 0]]
    return np.asarray(min(whole, key=lambda g: float(grid.outdoor_c[g].mean())), dtype=np.intp)
