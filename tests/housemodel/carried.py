"""A house whose figures are all known, with a log to be carried to other winters: no fit, no noise."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.housemodel.clouds import CloudRule
from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.grid import lay_out_grid
from ledger.heat.housemodel.march import Marched, march
from ledger.heat.housemodel.misfit import Noise
from ledger.heat.housemodel.other_years import FittedHouse, Voice
from ledger.heat.housemodel.priors import fitted_centres, priors
from ledger.heat.housemodel.problem import Problem
from ledger.heat.housemodel.seen_days import seen_days
from ledger.heat.housemodel.sky import clear_sun_w_per_m2, clearness
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from ledger.heat.housemodel.thermostat import NO_FAN
from ledger.heat.spans import Span, season_span
from ledger.heat.sun import sun_elevation_deg
from ledger.model.values import MonthDay, Window
from tests.heat.builders import SITE
from tests.housemodel.plain import HOUSE

Floats = NDArray[np.float64]

DAYS = 40
WINDOW = Window(MonthDay(1, 1), MonthDay(2, 9))
SPAN: Span = season_span(WINDOW, year=2026, timezone=SITE.timezone)
CLEAR_SHARE, DULL_SHARE = 0.8, 0.2
CLEAR_RANGE_K, DULL_RANGE_K = 12.0, 3.0
TANK = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=True)


def clear_days(days: int) -> NDArray[np.bool_]:
    """Two clear days, one dull one, over and over."""
    return np.asarray(np.arange(days) % 3 != 2)


def weather(days: int, *, mean_c: float = -2.0) -> tuple[Floats, Floats]:
    """Hourly outdoors, which swings far on clear days and little on dull ones, and which days are clear, by hour."""
    hour = np.arange(24 * days) % 24
    clear = clear_days(days).repeat(24)
    swing = np.where(clear, CLEAR_RANGE_K, DULL_RANGE_K) / 2.0
    return mean_c + swing * np.cos((hour - 14.0) / 24.0 * 2.0 * np.pi), clear.astype(np.float64)


def known_house() -> FittedHouse:
    """One structure with a tank of water, at the centres of its priors, that saw forty days with measured sun."""
    outdoor, clear = weather(DAYS)
    index = pd.date_range(SPAN.begins_utc, periods=24 * DAYS, freq="h")
    flat = clear_sun_w_per_m2(sun_elevation_deg(index, SITE, step_h=0.0), elevation_m=SITE.elevation_m)
    sun = flat * np.where(clear > 0, CLEAR_SHARE, DULL_SHARE)
    fine = pd.DataFrame({"indoor": outdoor + 8.0, "outdoor": outdoor, "water": 6.0, "sun": sun}, index=index)
    grid = lay_out_grid(fine, SITE)
    assert grid is not None
    grid = replace(grid, vent_c=None)
    assert grid.sun_w_m2 is not None
    table = priors(HOUSE, TANK, annual_outdoor_c=6.0, windy=False)
    sky = clearness(grid.sun_w_m2, grid.clear_w_m2, grid.sun_day)
    problem = Problem(grid, HOUSE, TANK, table, grid.read, sky)
    fitted = fitted_centres(table)
    ran = march(problem, fitted[None], CloudRule(0.0, 0.0, np.ones(grid.steps), 1.0))
    tank = None if ran.tank_c is None else ran.tank_c[:, 0]
    marched = Marched(ran.air_c[:, 0], tank, None, ran.sun_w_m2[:, 0], ran.pulls)
    covariance = np.diag(np.full(len(table), 1e-4))
    fit = Fit(problem, fitted, covariance, Noise(np.ones(grid.steps), 1.0), marched, 0.0, 0.0)
    return FittedHouse((Voice(fit, 1.0, NO_FAN, seen_days(fit)),), SPAN, SITE)
