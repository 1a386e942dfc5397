"""The steps of a whole season where its log has open ends or long holes, ready to be run through."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.grid import DAY_S, Flags, Grid, filled
from ledger.heat.housemodel.open_days import Around, Guesses, Weather, guess
from ledger.heat.housemodel.other_weather import RUN_UP, first_days_c, first_water_c
from ledger.heat.housemodel.problem import Problem
from ledger.heat.housemodel.seen_days import seen_days, sun_of_like_days_w_per_m2
from ledger.heat.housemodel.sky import clear_sun_w_per_m2, clearness, sun_hour_and_day
from ledger.heat.housemodel.thermostat import FanRule
from ledger.heat.spans import Span
from ledger.heat.sun import sun_elevation_deg
from ledger.model.house import Site

Floats = NDArray[np.float64]

EDGE = pd.Timedelta(days=1)
"""A log that begins or ends within a day of its season covers it."""
LEAST_OPEN_S = DAY_S


@dataclass(frozen=True, slots=True, eq=False)
class WholeWinter:
    """A season's steps, the log's among them.

    Attributes
    ----------
    grid : the steps; outdoors in the middle guess where open.
    rows : the log's steps.
    wanted : steps of the season without an indoor reading.
    guesses : outdoor air.
    """

    grid: Grid
    rows: slice
    wanted: Flags
    guesses: Guesses

    @property
    def open_days(self) -> float:
        """Days of the season without an indoor reading."""
        return float(np.count_nonzero(self.wanted)) * self.grid.step_s / DAY_S


def whole_winter(log: Grid, span: Span, site: Site, weather: Weather) -> WholeWinter | None:
    """Lay out the whole season around a log.

    Parameters
    ----------
    log : the season's log.
    span : the season.
    site : where the sun stands.
    weather : outdoor air besides the log's.

    Returns
    -------
    WholeWinter or None : None where the log leaves less than a day of the season open.
    """
    before, after = _open_ends(log, span)
    around = Around(_stretched(log, before, after, site), log, before, span)
    grid = around.grid
    inside = np.asarray((grid.stamps_utc >= span.begins_utc) & (grid.stamps_utc < span.ends_utc))
    wanted = inside & ~grid.read
    if np.count_nonzero(wanted) * grid.step_s < LEAST_OPEN_S:
        return None
    guesses = guess(around, weather)
    grid = replace(grid, outdoor_c=guesses.middle_c)
    if before:
        grid = replace(
            grid,
            indoor_c=_begun(grid.indoor_c, first_days_c(grid.outdoor_c, log)),
            water_c=None if grid.water_c is None else _begun(grid.water_c, first_water_c(grid.outdoor_c, log)),
        )
    return WholeWinter(grid, around.rows, wanted, guesses)


def problems_of(fit: Fit, winter: WholeWinter) -> tuple[tuple[Problem, Floats], ...]:
    """A fit's problem and sun [W/m2] over the whole season, one a guess of the weather.

    Within the log the sun is the fit's own; beyond it, anew in each guess, it is drawn from like days of the log.

    Parameters
    ----------
    fit : a fitted structure.
    winter : the season's steps.

    Returns
    -------
    tuple of (Problem, sun)
    """
    seen, rows, found = seen_days(fit), winter.rows, []
    for draw, outdoor_c in enumerate(winter.guesses.outdoor_c):
        grid = replace(winter.grid, outdoor_c=outdoor_c)
        drawn = sun_of_like_days_w_per_m2(grid, seen, draw=draw)
        sun = _as_logged(drawn, fit.marched.sun_w_m2, rows)
        clear = _as_logged(clearness(sun, grid.clear_w_m2, grid.sun_day), fit.problem.clearness, rows)
        unlearnt = np.zeros(grid.steps, dtype=bool)
        over = (rows.start, rows.stop - 1)
        found.append((replace(fit.problem, grid=grid, learnt=unlearnt, clearness=clear, log_rows=over), sun))
    return tuple(found)


def rule_over(rule: FanRule, winter: WholeWinter) -> FanRule:
    """The fan's rule over the whole season: a thermostat stands, logged hours are those of nearby days where open."""
    if rule.hours is None:
        return rule
    ran = _laid(np.asarray(rule.hours, dtype=np.float64), winter.grid.steps, winter.rows.start)
    return replace(rule, hours=np.asarray(filled(ran, winter.grid.step_s) > 0.5))


def _open_ends(log: Grid, span: Span) -> tuple[int, int]:
    """Steps to be laid before and after the log; before a late log a run-up too."""
    step = pd.Timedelta(seconds=log.step_s)
    late, short = log.stamps_utc[0] - span.begins_utc, span.ends_utc - (log.stamps_utc[-1] + step)
    before = int(np.ceil((late + RUN_UP) / step)) if late > EDGE else 0
    return before, int(np.ceil(short / step)) if short > EDGE else 0


def _stretched(log: Grid, before: int, after: int, site: Site) -> Grid:
    """The log's steps with so many open ones before and after; without any, the log's own."""
    if not before and not after:
        return log
    steps, step = log.steps + before + after, pd.Timedelta(seconds=log.step_s)
    stamps = pd.date_range(log.stamps_utc[0] - before * step, periods=steps, freq=step)
    middle = stamps + step / 2.0
    elevation = sun_elevation_deg(middle, site, step_h=0.0)
    hour, day = sun_hour_and_day(middle, site)
    clear, rows = clear_sun_w_per_m2(elevation, elevation_m=site.elevation_m), slice(before, before + log.steps)
    known = np.zeros(steps, dtype=bool)
    known[rows] = log.outdoor_known
    return replace(
        log,
        stamps_utc=stamps,
        outdoor_c=_laid(log.outdoor_c, steps, before),
        outdoor_known=known,
        indoor_c=_laid(log.indoor_c, steps, before),
        water_c=None if log.water_c is None else _laid(log.water_c, steps, before),
        twin_c=None,
        fan_level=None,
        fan_share=np.full(steps, np.nan),
        heater_w=np.zeros(steps),
        sun_w_m2=None,
        wind_over_mean=None,
        elevation_deg=_as_logged(elevation, log.elevation_deg, rows),
        clear_w_m2=_as_logged(clear, log.clear_w_m2, rows),
        sun_hour=_as_logged(hour, log.sun_hour, rows),
        sun_day=day,
    )


def _as_logged(values: Floats, logged: Floats, rows: slice) -> Floats:
    """The same with the log's own steps in their place."""
    out = np.array(values)
    out[rows] = logged
    return out


def _laid(values: Floats, steps: int, first: int) -> Floats:
    out = np.full(steps, np.nan)
    out[first : first + len(values)] = values
    return out


def _begun(readings: Floats, first_days: Floats | None) -> Floats:
    """Readings, and those of the first days with which a run that goes before the log begins."""
    return readings if first_days is None else np.where(np.isfinite(readings), readings, first_days)
