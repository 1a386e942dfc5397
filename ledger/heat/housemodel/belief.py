"""Whether the model may be believed: nights it has not seen, figures that ran away from what is known, a contrast."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.grid import Flags, Grid
from ledger.heat.housemodel.misfit import AIR_MEMORY, memory
from ledger.heat.housemodel.priors import Figure

Floats = NDArray[np.float64]

EVERY_NIGHT = 5
FIRST_HELD_OUT = 2
"""Of five nights the third is kept out of the fit."""
MOST_CV_RMSE = 0.30
MOST_NMBE = 0.10
"""Hourly limits of ASHRAE Guideline 14-2014, borrowed for the rise over outdoors."""
FAR_FROM_PRIOR = 3.0
"""Beyond so many standard deviations a figure is said to be far from what was known of it."""
RUN_AWAY = 3.9
"""At the search's own bound: the log wants what no house of this kind has."""
LEAST_NIGHTS = 8
LEAST_HEATER_H = 20.0


@dataclass(frozen=True, slots=True)
class HeldOut:
    """How nights kept out of the fit were foretold from the dusk before, on the rise over outdoors.

    `cv_rmse`, `nmbe` as shares of the mean rise, foretold less measured (positive: foretold too warm), one degree of
    freedom; None without a night.
    """

    nights: int
    cv_rmse: float | None
    nmbe: float | None

    @property
    def within_limits(self) -> bool:
        """Whether both lie within Guideline 14's hourly limits."""
        return (
            self.cv_rmse is not None
            and self.nmbe is not None
            and self.cv_rmse <= MOST_CV_RMSE
            and abs(self.nmbe) <= MOST_NMBE
        )


def held_out_steps(grid: Grid) -> Flags:
    """Dark steps of every fifth model day: not learnt from."""
    return np.asarray(grid.dark & (grid.sun_day % EVERY_NIGHT == FIRST_HELD_OUT))


def foretell(fit: Fit) -> HeldOut:
    """Hold the fitted house against the nights it has not seen.

    From the last reading before dusk the misfit fades as the air's memory says; the rest is the model's own.

    Parameters
    ----------
    fit : of the structure that explains the log best.

    Returns
    -------
    HeldOut

    Source
    ------
    ASHRAE Guideline 14-2014, equations for CV(RMSE) and NMBE with p = 1.
    """
    grid, model = fit.problem.grid, fit.marched.air_c
    kept = memory(AIR_MEMORY, grid.step_s)
    foretold, measured, nights = [], [], 0
    for rows in _nights(held_out_steps(grid)):
        known = rows[np.isfinite(grid.indoor_c[rows])]
        if len(known) * grid.step_s < 4 * 3600.0 or rows[0] == 0:
            continue
        dusk = grid.indoor_c[rows[0] - 1] - model[rows[0] - 1]
        offset = (dusk if np.isfinite(dusk) else 0.0) * kept ** (known - rows[0] + 1.0)
        foretold.append(model[known] + offset - grid.outdoor_c[known])
        measured.append(grid.indoor_c[known] - grid.outdoor_c[known])
        nights += 1
    if nights == 0:
        return HeldOut(0, None, None)
    off, rise = np.concatenate(foretold) - np.concatenate(measured), float(np.mean(np.concatenate(measured)))
    if len(off) < 2 or rise <= 0.0:
        return HeldOut(nights, None, None)
    cv_rmse = float(np.sqrt(np.sum(off**2) / (len(off) - 1)) / rise)
    return HeldOut(nights, cv_rmse, float(np.sum(off) / (len(off) - 1) / rise))


def contrasts(grid: Grid, *, tank_known: bool) -> tuple[str, ...]:
    """What in the log fixes kilowatt-hours and not only ratios.

    Parameters
    ----------
    grid : the log.
    tank_known : a tank of known heat capacity is logged.

    Returns
    -------
    tuple of str : empty where there is nothing of the kind.
    """
    found = []
    if grid.fan_level is not None and _fan_both_ways(grid):
        found.append("the fan on and off in like hours")
    if tank_known:
        found.append("a logged store of known mass")
    if np.any(grid.heater_w > 0.0) and np.count_nonzero(grid.heater_w > 0.0) * grid.step_s / 3600.0 >= LEAST_HEATER_H:
        found.append("a metered heater")
    if grid.sun_w_m2 is not None:
        found.append("measured sun")
    return tuple(found)


def far_figures(fit: Fit, *, beyond: float = FAR_FROM_PRIOR) -> tuple[tuple[Figure, float], ...]:
    """Figures far from what was known of them, with how far in standard deviations.

    Parameters
    ----------
    fit : of the structure that explains the log best.
    beyond : from how many standard deviations on.

    Returns
    -------
    tuple of (figure, deviations)
    """
    table = fit.problem.table
    off = [(p.figure, (float(v) - p.fitted_centre) / p.sd) for p, v in zip(table, fit.fitted, strict=True)]
    return tuple((figure, deviations) for figure, deviations in off if abs(deviations) > beyond)


def _fan_both_ways(grid: Grid) -> bool:
    share = np.where(grid.dark, grid.fan_share, np.nan)
    nights = grid.sun_day[np.isfinite(share)]
    if len(nights) == 0:
        return False
    ran = np.bincount(nights, share[np.isfinite(share)] > 0.5)
    idle = np.bincount(nights, share[np.isfinite(share)] < 0.5)
    return bool(np.count_nonzero(ran) >= LEAST_NIGHTS and np.count_nonzero(idle) >= LEAST_NIGHTS)


def _nights(steps: Flags) -> list[NDArray[np.int64]]:
    rows = np.flatnonzero(steps)
    return np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1) if len(rows) else []
