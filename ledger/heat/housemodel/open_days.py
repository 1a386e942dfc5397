"""Outdoor air of days that a log lacks, in three guesses that show how unsure it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import DAY_S, STRAIGHT_LINE_S, Flags, Grid, filled, holes, on_steps
from ledger.heat.housemodel.outdoors import (
    like_nearby_days_c,
    mean_doubt_k,
    spells,
    yearly_cosine,
    yearly_wave,
)
from ledger.heat.prepared import YearHours
from ledger.heat.spans import Span

Floats = NDArray[np.float64]

COLDER_MIDDLE_WARMER = (-(1.5**0.5), 0.0, 1.5**0.5)
"""Three equally likely values with a mean of 0 and a standard deviation of 1."""
SIXTHS = (1 / 6, 1 / 2, 5 / 6)
DAYS_OF_YEAR = 365.25


class FilledBy(StrEnum):
    """Whence the outdoor air of open days."""

    ELSEWHERE = "another record of the same hours"
    CLIMATE = "the ledger's climate"
    NEARBY = "the same hours of nearby days"


@dataclass(frozen=True, slots=True)
class Weather:
    """Outdoor air besides the log's.

    `outdoor_c`: the same hours in another record, by UTC hour [°C]; `climate`: seasons of other years.
    """

    outdoor_c: pd.Series[float] | None = None
    climate: tuple[YearHours, ...] = ()


NO_WEATHER = Weather()


@dataclass(frozen=True, slots=True, eq=False)
class Guesses:
    """Outdoor air by step in three guesses, colder, middle, warmer [°C], and whence its open days are."""

    outdoor_c: tuple[Floats, ...]
    filled_by: tuple[FilledBy, ...]

    @property
    def middle_c(self) -> Floats:
        """The middle guess. [°C]"""
        return self.outdoor_c[1]


@dataclass(frozen=True, slots=True, eq=False)
class Around:
    """A season's steps around a log.

    `grid`: outdoors as the log has it, NaN before and after it; `log`, `first`: the log and its first step; `span`.
    """

    grid: Grid
    log: Grid
    first: int
    span: Span

    @property
    def rows(self) -> slice:
        """The log's steps."""
        return slice(self.first, self.first + self.log.steps)


def guess(around: Around, weather: Weather) -> Guesses:
    """Outdoor air over the whole season, best source first.

    The same hours in another record; beyond the log's ends seasons of the climate on the same dates; else the same
    hours of nearby days along the year's wave. Three guesses: three seasons of the climate where it has so many, from
    cold to mild, else the middle guess shifted by what a mean of so many days is unsure.

    Parameters
    ----------
    around : the season's steps.
    weather : outdoor air besides the log's.

    Returns
    -------
    Guesses
    """
    grid, took = around.grid, False
    known = np.where(grid.outdoor_known, grid.outdoor_c, np.nan)
    if weather.outdoor_c is not None:
        other = on_steps(weather.outdoor_c, grid.stamps_utc)
        took = bool(np.any(np.isfinite(other) & ~np.isfinite(known)))
        known = np.where(np.isfinite(known), known, other)
    opened = ~np.isfinite(known)
    beyond = opened.copy()
    beyond[around.rows] = False
    years = _climate_c(weather.climate, around) if beyond.any() else ()
    nearby, shift = _nearby_c(known, around), _doubt_k(opened, around)
    used = (took, bool(years), bool(np.any(opened & ~beyond)) or (bool(beyond.any()) and not years))
    by = tuple(source for source, found in zip(FilledBy, used, strict=True) if found)
    bases = [np.where(beyond & np.isfinite(year), year, nearby) for year in years] or [nearby]
    if len(bases) < len(SIXTHS):
        middle = bases[len(bases) // 2]
        return Guesses(tuple(middle + z * shift for z in COLDER_MIDDLE_WARMER), by)
    order = np.argsort([float(np.mean(base[beyond])) for base in bases], kind="stable")
    places = [order[round((len(order) - 1) * share)] for share in SIXTHS]
    shift[beyond] = 0.0
    return Guesses(tuple(bases[i] + z * shift for i, z in zip(places, COLDER_MIDDLE_WARMER, strict=True)), by)


def _nearby_c(known_c: Floats, around: Around) -> Floats:
    """Holes of the log as the fit ran through them; open ends like nearby days along the year's wave. [°C]"""
    ends = known_c.copy()
    ends[around.rows] = np.where(np.isfinite(known_c[around.rows]), known_c[around.rows], around.log.outdoor_c)
    return like_nearby_days_c(ends, around.grid.stamps_utc, yearly_wave(around.log), around.grid.step_s)


def _doubt_k(opened: Flags, around: Around) -> Floats:
    """How unsure the mean outdoor air of each hole is, by step; 0 where it is known. [K]"""
    grid, known = around.grid, spells(around.log, yearly_wave(around.log))
    cosine, logged = yearly_cosine(grid.stamps_utc), yearly_cosine(around.log.stamps_utc)
    swing_k2, out = known.swing_variance_k2(logged), np.zeros(grid.steps)
    for first, last in holes(~opened):
        length_s = (last - first) * grid.step_s
        if length_s > STRAIGHT_LINE_S:
            at_an_end = first < around.rows.start or last > around.rows.stop
            moved = float(np.mean(cosine[first:last]) - np.mean(logged)) if at_an_end else 0.0
            out[first:last] = mean_doubt_k(known, swing_k2, days=length_s / DAY_S, wave_moved=moved)
    return out


def _climate_c(climate: Sequence[YearHours], around: Around) -> tuple[Floats, ...]:
    """The climate's seasons on the dates of the steps, NaN where a season knows nothing. [°C]"""
    found = []
    for year in climate:
        by_date = pd.Series(filled(year.outdoor_c, year.step_h * 3600.0), index=year.begins_utc)
        later = (around.span.begins_utc - year.span.begins_utc) / pd.Timedelta(days=DAYS_OF_YEAR)
        dates = around.grid.stamps_utc - pd.DateOffset(years=round(later))
        place = by_date.index.get_indexer(dates, method="ffill", tolerance=pd.Timedelta(hours=year.step_h))
        found.append(np.where(place >= 0, by_date.to_numpy()[place], np.nan))
    return tuple(found)
