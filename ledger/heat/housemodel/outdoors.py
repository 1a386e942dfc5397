"""What a log tells of the weather that it does not hold: the year's wave, how days hang together, days filled in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import DAY_S, Grid, filled

Floats = NDArray[np.float64]

USUAL_SWING_K = 10.0
"""Half the year's swing of monthly means where the log is too short to show it. Common practice, no source. [K]"""
SWING_SD_K = 4.0
"""How far half the swing of a place lies from the usual one. Common practice, no source. [K]"""
SWING_WEIGHT = 0.002
COLDEST_DAY = 20.0
MOST_MEMORY = 0.9
LEAST_DAYS = 5


@dataclass(frozen=True, slots=True)
class YearlyWave:
    """Outdoor air over the year as a wave: its mean [°C], and half its swing, below 0 where January is coldest [K]."""

    mean_c: float
    half_swing_k: float

    def over_mean_k(self, stamps: pd.DatetimeIndex) -> Floats:
        """How far the wave lies over its mean. [K]"""
        return self.half_swing_k * yearly_cosine(stamps)


@dataclass(frozen=True, slots=True)
class Spells:
    """Daily means about the year's wave: their standard deviation [K], how much of one day is left in the next [-].

    `days`: so many were logged.
    """

    sd_k: float
    memory: float
    days: int

    def mean_variance_k2(self, days: float) -> float:
        """Variance of the mean over so many days.

            s²/n · (1 + 2 Σ (1 − k/n) · memory^k),  k = 1 … n − 1

        Parameters
        ----------
        days : n, at least 1.

        Returns
        -------
        float : [K2]

        Source
        ------
        Wilks 2011, Statistical Methods in the Atmospheric Sciences, 5.2.4 (from memory).
        """
        n = max(1, round(days))
        k = np.arange(1, n)
        return float(self.sd_k**2 / n * (1.0 + 2.0 * np.sum((1.0 - k / n) * self.memory**k)))

    def swing_variance_k2(self, cosine: Floats) -> float:
        """Variance of half the yearly swing as these days tell it, with what is known before any. [K2]"""
        alone = self.days * (1.0 - self.memory) / (1.0 + self.memory)
        told = alone * float(np.var(cosine)) / self.sd_k**2 if self.sd_k > 0.0 else 0.0
        return 1.0 / (told + 1.0 / SWING_SD_K**2)


def yearly_cosine(stamps: pd.DatetimeIndex) -> Floats:
    """1 on 20 January, −1 half a year later."""
    day = np.asarray(stamps.day_of_year, dtype=np.float64)
    return np.asarray(np.cos(2.0 * np.pi * (day - COLDEST_DAY) / 365.25))


def yearly_wave(grid: Grid) -> YearlyWave:
    """Outdoor temperature over a whole year: a yearly wave through what was logged, held near a usual swing.

    Parameters
    ----------
    grid : the log.

    Returns
    -------
    YearlyWave
    """
    northern = 1.0 if _coldest_in_january(grid) else -1.0
    wave = northern * yearly_cosine(grid.stamps_utc)
    columns = np.stack([np.ones(grid.steps), wave], axis=1)
    normal, right = columns.T @ columns / grid.steps, columns.T @ grid.outdoor_c / grid.steps
    normal[1, 1] += SWING_WEIGHT
    right[1] -= USUAL_SWING_K * SWING_WEIGHT
    mean_c, swing_k = np.linalg.solve(normal, right)
    return YearlyWave(float(mean_c), northern * float(swing_k))


def spells(grid: Grid, wave: YearlyWave) -> Spells:
    """How far the log's days lie from the year's wave, and how long a cold or warm spell lasts.

    Parameters
    ----------
    grid : the log.
    wave : through it.

    Returns
    -------
    Spells : with a memory between 0 and 0.9.
    """
    over = grid.outdoor_c - wave.mean_c - wave.over_mean_k(grid.stamps_utc)
    per_day = max(1, round(DAY_S / grid.step_s))
    steps = np.bincount(grid.sun_day, weights=grid.outdoor_known)
    mean = np.bincount(grid.sun_day, weights=np.where(grid.outdoor_known, over, 0.0)) / np.maximum(steps, 1.0)
    whole = steps > 0.8 * per_day
    known = mean[whole]
    if len(known) < LEAST_DAYS:
        return Spells(0.0, 0.0, len(known))
    sd = float(np.std(known, ddof=1))
    pairs = whole[1:] & whole[:-1]
    kept = float(np.mean(mean[1:][pairs] * mean[:-1][pairs])) / sd**2 if pairs.any() and sd > 0.0 else 0.0
    return Spells(sd, min(MOST_MEMORY, max(0.0, kept)), len(known))


def like_nearby_days_c(outdoor_c: Floats, stamps: pd.DatetimeIndex, wave: YearlyWave, step_s: float) -> Floats:
    """Open steps filled with the same hours of nearby days, mirrored, and carried along the year's wave.

        T(t) = T(t′) + wave(t) − wave(t′),   t′ the same hour of a day as far on the other side of the hole's edge

    Parameters
    ----------
    outdoor_c : NaN where open. [°C]
    stamps : of the steps.
    wave : of the year.
    step_s : length of a step. [s]

    Returns
    -------
    array : [°C]
    """
    season = wave.over_mean_k(stamps)
    return filled(outdoor_c - season, step_s) + season


def mean_doubt_k(known: Spells, swing_k2: float, *, days: float, wave_moved: float) -> float:
    """Standard deviation of the mean temperature of days that were filled with nearby ones.

        sqrt(2 · variance of a mean of so many days + (change of the cosine)² · variance of half the swing)

    Twice, for the days that are filled and for those that they are filled with.

    Parameters
    ----------
    known : how days hang together.
    swing_k2 : variance of half the yearly swing. [K2]
    days : length of the hole.
    wave_moved : change of the yearly cosine between the log and the hole; 0 in a hole between logged days.

    Returns
    -------
    float : [K]
    """
    return float(np.sqrt(2.0 * known.mean_variance_k2(days) + wave_moved**2 * swing_k2))


def _coldest_in_january(grid: Grid) -> bool:
    """Whether the year is coldest in January here: the noon sun is lower then than half a year later."""
    wave = yearly_cosine(grid.stamps_utc)
    daily = np.bincount(grid.sun_day, np.maximum(grid.elevation_deg, 0.0))
    by_day = np.bincount(grid.sun_day, wave) / np.maximum(np.bincount(grid.sun_day), 1)
    whole = slice(1, -1) if len(daily) > 4 else slice(None)
    return bool(np.polyfit(by_day[whole], daily[whole], 1)[0] < 0.0)
