"""Days as the log saw them, and the sun of other days that no sensor saw: drawn from like days."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.grid import DAY_S, Grid
from ledger.heat.housemodel.sky import slot_weights

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

LIKE_DAYS = 5
"""A day's sun is drawn from so many days of the log that swung most nearly as far. Common practice, no source."""
SAME_TIME_OF_YEAR_DAYS = 45
ENOUGH_DAYS = 15
"""With fewer days of the same time of year all days of the log stand. Common practice, no source."""
EVEN_RANGES_K = 0.5
"""Where daily ranges differ by less, as in normals, they say nothing of clouds: any day of the time of year may do."""
DAYS_OF_YEAR = 365.25
SEED = 20261


@dataclass(frozen=True, slots=True, eq=False)
class SeenDays:
    """Whole days of a log. `shares`: what came through of a clear sky's sun, morning, noon and evening, (days, 3).

    `range_k`: warmest less coldest hour outdoors; `day_of_year` from 1.
    """

    range_k: Floats
    day_of_year: Integers
    shares: Floats


def seen_days(fit: Fit) -> SeenDays:
    """The days of a fitted log with the sun that was measured, or found by the fit.

    Parameters
    ----------
    fit : its log and its sun.

    Returns
    -------
    SeenDays : whole days with readings in at least half of their steps.
    """
    grid = fit.problem.grid
    slots = slot_weights(grid.sun_hour)
    days = int(grid.sun_day.max()) + 1
    possible, got = (_by_day(slots * sun[:, None], grid.sun_day, days) for sun in (grid.clear_w_m2, _sun(fit)))
    range_k, day_of_year = daily_range_k(grid)
    steps = np.bincount(grid.sun_day, minlength=days)
    whole = steps == round(DAY_S / grid.step_s)
    read = np.bincount(grid.sun_day, weights=grid.read, minlength=days) >= 0.5 * steps
    known = whole & read & (possible > 0.0).all(axis=1)
    return SeenDays(range_k[known], day_of_year[known], got[known] / possible[known])


def daily_range_k(grid: Grid) -> tuple[Floats, Integers]:
    """Warmest less coldest step outdoors of each model day [K], and the day of the year on which it began."""
    days = int(grid.sun_day.max()) + 1
    most, least = np.full(days, -np.inf), np.full(days, np.inf)
    np.maximum.at(most, grid.sun_day, grid.outdoor_c)
    np.minimum.at(least, grid.sun_day, grid.outdoor_c)
    first = np.searchsorted(grid.sun_day, np.arange(days))
    day_of_year = np.asarray(grid.stamps_utc.day_of_year, dtype=np.int64)[first]
    return most - least, day_of_year


def sun_of_like_days_w_per_m2(grid: Grid, seen: SeenDays, *, draw: int) -> Floats:
    """Sun of days without a sensor: a clear sky's, less what clouds kept back on a like day of the log.

    A like day is one of the five of the same time of year whose air swung most nearly as far between its coldest and
    its warmest hour; one is drawn of the five, the day of the same date left out. Differs from a formula of the daily
    range in that the site's own days say what a range means there.

    Parameters
    ----------
    grid : other days.
    seen : days of the log.
    draw : which of the repeatable draws.

    Returns
    -------
    array : by step. [W/m2]

    Source
    ------
    That clear days swing far and overcast ones little: Bristow & Campbell 1984, Agricultural and Forest Meteorology 31,
    159-166. Drawing from like days: constructed by us.
    """
    generator = np.random.default_rng(SEED + draw)
    range_k, day_of_year = daily_range_k(grid)
    even = float(np.std(range_k)) < EVEN_RANGES_K
    chosen = np.array([_like(seen, r, d, generator, even) for r, d in zip(range_k, day_of_year, strict=True)])
    share = (slot_weights(grid.sun_hour) * seen.shares[chosen][grid.sun_day]).sum(axis=1)
    return np.asarray(grid.clear_w_m2 * share)


def _like(seen: SeenDays, range_k: float, day: int, generator: np.random.Generator, even: bool) -> int:
    away = np.abs(seen.day_of_year - day) % DAYS_OF_YEAR
    away = np.minimum(away, DAYS_OF_YEAR - away)
    near = np.flatnonzero((away <= SAME_TIME_OF_YEAR_DAYS) & (away >= 1.0))
    if len(near) < ENOUGH_DAYS:
        near = np.arange(len(seen.range_k))
    if not even:
        near = near[np.argsort(np.abs(seen.range_k[near] - range_k), kind="stable")[:LIKE_DAYS]]
    return int(generator.choice(near))


def _sun(fit: Fit) -> Floats:
    return fit.marched.sun_w_m2


def _by_day(values: Floats, day: Integers, days: int) -> Floats:
    return np.stack([np.bincount(day, weights=column, minlength=days) for column in values.T], axis=1)
