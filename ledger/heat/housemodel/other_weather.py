"""Weather of other winters on the steps of a fitted house: air, sun, where everything begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.grid import DAY_S, Grid, filled
from ledger.heat.housemodel.priors import Figure
from ledger.heat.housemodel.problem import FIRST_DAYS_S, Problem
from ledger.heat.housemodel.seen_days import SeenDays, sun_of_like_days_w_per_m2
from ledger.heat.housemodel.sky import clear_sun_w_per_m2, clearness, sun_hour_and_day
from ledger.heat.housemodel.thermostat import FanRule
from ledger.heat.prepared import YearHours
from ledger.heat.spans import Span
from ledger.heat.sun import sun_elevation_deg
from ledger.model.house import Site

Floats = NDArray[np.float64]

RUN_UP = pd.Timedelta(days=14)
SUN_KNOWN = 0.9
"""With so much of its sunlit hours measured a winter's own sun is used. Common practice, no source."""
LATE_START = pd.Timedelta(days=30)
"""A log that begins later in the season tells nothing of how warm floor and bed were when the season began."""
START_FIGURES = (Figure.FLOOR_START, Figure.BED_START)


@dataclass(frozen=True, slots=True, eq=False)
class Winter:
    """A season's weather by the hour (or coarser), from its first day on, NaN where unknown. [°C, W/m2]"""

    span: Span
    begins_utc: pd.DatetimeIndex
    step_h: float
    outdoor_c: Floats
    sun_w_m2: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """One winter on the steps of a fit. `inside`: steps of the season, its run-up left out."""

    problem: Problem
    sun_w_m2: Floats
    inside: NDArray[np.bool_]
    sun_drawn: bool


def winter_of(year: YearHours) -> Winter:
    """A season of a record as weather to be run through."""
    return Winter(year.span, year.begins_utc, year.step_h, year.outdoor_c, year.channels["sun"])


def steps_for(fit: Fit, winters: Sequence[Winter]) -> int:
    """So many steps that the longest of the winters fits with its run-up."""
    longest = max(w.span.ends_utc - w.span.begins_utc for w in winters)
    return int(np.ceil((longest + RUN_UP) / pd.Timedelta(seconds=fit.problem.grid.step_s)))


def place_winter(fit: Fit, winter: Winter, site: Site, *, seen: SeenDays, steps: int) -> Place:
    """Lay a winter on the steps of a fit, a fortnight's run-up before it.

    The run-up mirrors the season's first days where nothing is known of it. The house begins as much over the first
    days' air as the log shows it; floor, bed and tank as the fit found them.

    Parameters
    ----------
    fit : a fitted structure.
    winter : its weather.
    site : where the sun stands.
    seen : days of the log, from which the sun is drawn where the winter has none of its own.
    steps : how many.

    Returns
    -------
    Place
    """
    bare_grid = _grid(fit.problem.grid, winter, site, steps)
    measured = _measured_sun(bare_grid, winter)
    drawn = measured is None
    sun = sun_of_like_days_w_per_m2(bare_grid, seen, draw=winter.span.begins_utc.year) if measured is None else measured
    clear = clearness(sun, bare_grid.clear_w_m2, bare_grid.sun_day)
    problem = replace(fit.problem, grid=bare_grid, learnt=np.zeros(steps, dtype=bool), clearness=clear)
    stamps = bare_grid.stamps_utc
    inside = np.asarray((stamps >= winter.span.begins_utc) & (stamps < winter.span.ends_utc))
    return Place(problem, sun, inside, drawn)


def own_place(fit: Fit, span: Span, *, colder_k: float) -> Place:
    """The log's own winter, colder or milder throughout; sun, clouds and the ground's warmth at the start as they were.

    Parameters
    ----------
    fit : a fitted structure.
    span : its season.
    colder_k : [K]

    Returns
    -------
    Place
    """
    grid = fit.problem.grid
    inside = np.asarray((grid.stamps_utc >= span.begins_utc) & (grid.stamps_utc < span.ends_utc))
    shifted = replace(grid, outdoor_c=grid.outdoor_c - colder_k)
    return Place(replace(fit.problem, grid=shifted), fit.marched.sun_w_m2, inside, False)


def figures_at_the_start(fit: Fit, figures: Floats, span: Span) -> Floats:
    """Figures for another winter: what the log says of the start is kept only where the log began with its season.

    Parameters
    ----------
    fit : whose log.
    figures : a row a set, on the fitting scale; the first row is the likely one.
    span : the log's season.

    Returns
    -------
    array : the likely start, and draws of it from what is known before any log is read, in a log that began late.
    """
    if fit.problem.grid.stamps_utc[0] <= span.begins_utc + LATE_START:
        return figures
    found = figures.copy()
    deviation = np.linspace(-1.5, 1.5, max(2, len(figures)))[: len(figures)]
    for i, prior in enumerate(fit.problem.table):
        if prior.figure in START_FIGURES:
            found[:, i] = prior.fitted_centre + prior.sd * deviation
            found[0, i] = prior.fitted_centre
    return found


def rule_elsewhere(rule: FanRule, log: Grid, other: Grid) -> FanRule:
    """The fan's rule on other steps: a thermostat stands; logged hours are replayed on the same dates.

    Parameters
    ----------
    rule : as the log shows it.
    log, other : the steps that it is known on, and those that it is wanted on.

    Returns
    -------
    FanRule : a date that the log lacks has the fan off.
    """
    if rule.hours is None:
        return rule
    ran = {key for key, on in zip(_dates(log), rule.hours, strict=True) if on}
    return replace(rule, hours=np.array([key in ran for key in _dates(other)]))


def _dates(grid: Grid) -> list[tuple[int, int, int]]:
    stamps = grid.stamps_utc
    second = stamps.hour * 3600 + stamps.minute * 60
    return list(zip(stamps.month.tolist(), stamps.day.tolist(), second.tolist(), strict=True))


def _grid(log: Grid, winter: Winter, site: Site, steps: int) -> Grid:
    stamps = pd.date_range(
        winter.span.begins_utc - RUN_UP, periods=steps, freq=pd.Timedelta(seconds=log.step_s)
    ).as_unit("ns")
    middle = stamps + pd.Timedelta(seconds=log.step_s / 2.0)
    elevation = sun_elevation_deg(middle, site, step_h=0.0)
    hour, day = sun_hour_and_day(middle, site)
    outdoor = _outdoors(winter, stamps, middle)
    return replace(
        log,
        stamps_utc=stamps,
        outdoor_c=outdoor,
        outdoor_known=np.ones(steps, dtype=bool),
        indoor_c=first_days_c(outdoor, log),
        water_c=first_water_c(outdoor, log),
        twin_c=None,
        fan_level=None,
        fan_share=np.full(steps, np.nan),
        heater_w=np.zeros(steps),
        sun_w_m2=None,
        wind_over_mean=None,
        elevation_deg=elevation,
        clear_w_m2=clear_sun_w_per_m2(elevation, elevation_m=site.elevation_m),
        sun_hour=hour,
        sun_day=day,
    )


def _outdoors(winter: Winter, stamps: pd.DatetimeIndex, middle: pd.DatetimeIndex) -> Floats:
    """Hourly means, holes filled from like days, drawn as straight lines between their middles."""
    row = pd.Timedelta(hours=winter.step_h)
    before = int(np.ceil((winter.begins_utc[0] - stamps[0]) / row))
    values = np.concatenate([np.full(max(0, before), np.nan), winter.outdoor_c])
    first = winter.begins_utc[0] - max(0, before) * row
    centres = (np.arange(len(values)) + 0.5) * winter.step_h
    places = np.asarray((middle - first) / pd.Timedelta(hours=1), dtype=np.float64)
    return np.asarray(np.interp(places, centres, filled(values, winter.step_h * 3600.0)))


def _measured_sun(grid: Grid, winter: Winter) -> Floats | None:
    """The winter's own sun by step; None where too little of it is known. Its run-up mirrors the first days."""
    row = pd.Timedelta(hours=winter.step_h)
    place = np.asarray((grid.stamps_utc - winter.begins_utc[0]) // row, dtype=np.int64)
    known = (place >= 0) & (place < len(winter.sun_w_m2))
    sun = np.where(known, winter.sun_w_m2[np.clip(place, 0, len(winter.sun_w_m2) - 1)], np.nan)
    lit = known & (grid.clear_w_m2 > 0.0)
    if not lit.any() or float(np.mean(np.isfinite(sun[lit]))) < SUN_KNOWN:
        return None
    return np.where(grid.clear_w_m2 > 0.0, np.maximum(filled(sun, grid.step_s), 0.0), 0.0)


def _rows_of_first_days(grid: Grid) -> int:
    return max(1, round(FIRST_DAYS_S / grid.step_s))


def _rise_k(log: Grid) -> float:
    """How much warmer than outdoors the log's first days were indoors. [K]"""
    known = np.flatnonzero(log.read)[: _rows_of_first_days(log)]
    return float(np.mean(log.indoor_c[known] - log.outdoor_c[known]))


def first_days_c(outdoor_c: Floats, log: Grid) -> Floats:
    """Indoor air of the first days, as much over outdoors as in the log's first days; NaN after them. [°C]"""
    indoor = np.full(len(outdoor_c), np.nan)
    rows = min(len(outdoor_c), _rows_of_first_days(log))
    indoor[:rows] = float(np.mean(outdoor_c[:rows])) + _rise_k(log)
    return indoor


def first_water_c(outdoor_c: Floats, log: Grid) -> Floats | None:
    """The tank begins as much over the first days' air outdoors as in the log."""
    if log.water_c is None or not np.isfinite(log.water_c).any():
        return None
    first = int(np.flatnonzero(np.isfinite(log.water_c))[0])
    per_day = max(1, round(DAY_S / log.step_s))
    around = log.outdoor_c[max(0, first - per_day) : first + 3 * per_day]
    water = np.full(len(outdoor_c), np.nan)
    rows = min(len(outdoor_c), _rows_of_first_days(log))
    water[:1] = float(np.mean(outdoor_c[:rows])) + float(log.water_c[first] - np.mean(around))
    return water
