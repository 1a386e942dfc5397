"""Small houses for tests: a grid and figures that are all written down, no fit."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.priors import Figure, HouseNumbers, Prior, Scale, priors
from ledger.heat.housemodel.problem import Problem
from ledger.heat.housemodel.structure import Structure

Floats = NDArray[np.float64]

HOUSE = HouseNumbers(
    floor_area_m2=50.0,
    cover_area_m2=100.0,
    heat_loss_w_per_k=200.0,
    heat_loss_log_sd=0.15,
    day_factor=1.0,
    bare_factor_night=1.0,
    bare_factor_day=1.0,
    tank_j_per_k=2.0e7,
    tank_log_sd=0.05,
    fan_power_w=200.0,
    elevation_m=0.0,
)


def plain_grid(steps: int, *, step_s: float = 1800.0, outdoor_c: float = 0.0, indoor_c: float = 10.0) -> Grid:
    """A grid without sun, fan, heater or holes; outdoors and indoors do not move."""
    dark = np.full(steps, -10.0)
    return Grid(
        stamps_utc=pd.date_range("2025-01-01", periods=steps, freq=f"{int(step_s)}s", tz="UTC"),
        step_s=step_s,
        outdoor_c=np.full(steps, outdoor_c),
        outdoor_known=np.ones(steps, dtype=bool),
        indoor_c=np.full(steps, indoor_c),
        water_c=None,
        twin_c=None,
        fan_level=None,
        fan_share=np.full(steps, np.nan),
        heater_w=np.zeros(steps),
        sun_w_m2=np.zeros(steps),
        wind_over_mean=None,
        elevation_deg=dark,
        clear_w_m2=np.zeros(steps),
        sun_hour=np.zeros(steps),
        sun_day=np.zeros(steps, dtype=np.int64),
        vent_c=None,
    )


def with_figures(
    grid: Grid, structure: Structure, given: dict[Figure, float], house: HouseNumbers = HOUSE
) -> tuple[Problem, Floats]:
    """A problem whose priors are centred on what is given, and the figures on the fitting scale."""
    table = tuple(
        replace(p, centre=given[p.figure]) if p.figure in given else p
        for p in priors(house, structure, annual_outdoor_c=0.0, windy=grid.wind_over_mean is not None)
    )
    fitted = np.array([[_fitted(p) for p in table]])
    clear = np.zeros(grid.steps)
    return Problem(grid, house, structure, table, grid.read, clear), fitted


def _fitted(prior: Prior) -> float:
    """The centre on the fitting scale; a share of 0 lies at the far end of the log-odds."""
    if prior.scale is Scale.LOGIT and prior.centre in (0.0, 1.0):
        return -40.0 if prior.centre == 0.0 else 40.0
    return prior.fitted_centre
