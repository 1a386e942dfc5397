"""Degree-days: warmth for growth above a base, cold below a base."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.rungs import Floats
from ledger.model.house import Crop, GddMethod

HOURS_PER_DAY = 24.0
LEAST_VALID_HOURS_A_DAY = 20.0


@dataclass(frozen=True, slots=True, eq=False)
class Days:
    """Clock days with enough valid hours: day number (days since 1970-01-01), mean, highest, lowest [°C].

    `hourly_k_d` is the day's mean over valid hours of max(0, min(T, ceiling) − base) [K·d].
    """

    day_number: NDArray[np.int64]
    highest_c: Floats
    lowest_c: Floats
    hourly_k_d: Floats


def above_base_k(temp_c: Floats, *, base_c: float, ceiling_c: float | None) -> Floats:
    """How far a temperature, cut off at the ceiling, lies above the base, never below 0.

    Parameters
    ----------
    temp_c : temperatures. [°C]
    base_c, ceiling_c : thresholds; no ceiling: None. [°C]

    Returns
    -------
    array : degrees above the base. [K]
    """
    capped = temp_c if ceiling_c is None else np.minimum(temp_c, ceiling_c)
    return np.maximum(0.0, capped - base_c)


def average_k_d(highest_c: Floats, lowest_c: Floats, *, base_c: float, ceiling_c: float | None) -> Floats:
    """Degree-days of each day by the mean of its extremes.

        max(0, (min(T_max, ceiling) + T_min) / 2 − base)

    Differs from `capped_k_d`, which clips both extremes to [base, ceiling] before it takes the mean.

    Parameters
    ----------
    highest_c, lowest_c : the day's extremes. [°C]
    base_c, ceiling_c : thresholds; no ceiling: None. [°C]

    Returns
    -------
    array : degree-days. [K·d]

    Source
    ------
    University of California IPM, simple average.
    """
    top = highest_c if ceiling_c is None else np.minimum(highest_c, ceiling_c)
    return np.maximum(0.0, (top + lowest_c) / 2.0 - base_c)


def capped_k_d(highest_c: Floats, lowest_c: Floats, *, base_c: float, ceiling_c: float) -> Floats:
    """Degree-days of each day with both extremes clipped to [base, ceiling]: the 86/50 °F rule.

        (clip(T_max) + clip(T_min)) / 2 − base

    Differs from `average_k_d`, in which a cold night takes away from a warm day.

    Parameters
    ----------
    highest_c, lowest_c : the day's extremes. [°C]
    base_c, ceiling_c : thresholds. [°C]

    Returns
    -------
    array : degree-days. [K·d]

    Source
    ------
    Iowa State University, Agron 541, lesson 2b; Western Regional Climate Center, corn degree-days.
    """
    return (np.clip(highest_c, base_c, ceiling_c) + np.clip(lowest_c, base_c, ceiling_c)) / 2.0 - base_c


def sine_k_d(highest_c: Floats, lowest_c: Floats, *, base_c: float, ceiling_c: float | None) -> Floats:
    """Degree-days of each day under a sine through its extremes, with a horizontal cut-off at the ceiling.

        value(base) − value(ceiling);  value(L) = M − L above, 0 below, else
        [(M − L)·(π/2 − a) + W·cos a] / π,  a = asin((L − M) / W),  M mean and W half-swing of the extremes

    Differs from the double sine, which takes the afternoon down to the next day's low.

    Parameters
    ----------
    highest_c, lowest_c : the day's extremes. [°C]
    base_c, ceiling_c : thresholds; no ceiling: None. [°C]

    Returns
    -------
    array : degree-days. [K·d]

    Source
    ------
    Baskerville & Emin 1969, Ecology 50(3), 514-517.
    """
    above = _sine_above(highest_c, lowest_c, base_c)
    return above if ceiling_c is None else above - _sine_above(highest_c, lowest_c, ceiling_c)


def heating_degree_hours_k_h(temp_c: Floats, *, base_c: float, step_h: float) -> float:
    """Add up how far each hour's mean lay below a base.

    >>> heating_degree_hours_k_h(np.array([2.0, 6.0]), base_c=4.0, step_h=1.0)  # (4 - 2) + 0
    2.0

        Σ max(0, base − T) · Δt

    Differs from 24 times the degree-days of daily means, which lose the hours of a day that straddles the base.
    A missing hour adds nothing: the cover has to stand beside the sum.

    Parameters
    ----------
    temp_c : hourly means, NaN where unread. [°C]
    base_c : temperature below which heat is counted. [°C]
    step_h : length of a row. [h]

    Returns
    -------
    float : degree-hours. [K·h]

    Source
    ------
    ISO 15927-6:2007, accumulated temperature differences from hourly means.
    """
    return float(np.nansum(np.maximum(0.0, base_c - temp_c)) * step_h)


def days_of(temp_c: Floats, day_number: NDArray[np.int64], crop: Crop, *, step_h: float) -> Days:
    """Gather hours into clock days; a day with fewer than 20 valid hours is left out, unknown.

    Parameters
    ----------
    temp_c : hourly means, NaN where not valid, in order of time. [°C]
    day_number : the clock day of each hour.
    crop : base and ceiling.
    step_h : length of a row. [h]

    Returns
    -------
    Days
    """
    valid = np.isfinite(temp_c)
    temp, number = temp_c[valid], day_number[valid]
    if len(temp) == 0:
        return Days(np.empty(0, np.int64), np.empty(0), np.empty(0), np.empty(0))
    starts = np.flatnonzero(np.r_[True, number[1:] != number[:-1]])
    rows = np.diff(np.r_[starts, len(number)])
    above = above_base_k(temp, base_c=crop.base_c, ceiling_c=crop.ceiling_c)
    enough = rows * step_h >= LEAST_VALID_HOURS_A_DAY
    return Days(
        day_number=number[starts][enough],
        highest_c=np.maximum.reduceat(temp, starts)[enough],
        lowest_c=np.minimum.reduceat(temp, starts)[enough],
        hourly_k_d=(np.add.reduceat(above, starts) / rows)[enough],
    )


def growing_degree_days_k_d(days: Days, crop: Crop) -> Floats:
    """Growing degree-days of each day by the ledger's method. Methods are not comparable with one another.

    Parameters
    ----------
    days : days with enough valid hours.
    crop : base, ceiling, method.

    Returns
    -------
    array : degree-days. [K·d]

    Raises
    ------
    ValueError : the capped method without a ceiling (the ledger's reader asks for one).
    """
    high, low, base_c, ceiling_c = days.highest_c, days.lowest_c, crop.base_c, crop.ceiling_c
    match crop.method:
        case GddMethod.HOURLY:
            return days.hourly_k_d
        case GddMethod.AVERAGE:
            return average_k_d(high, low, base_c=base_c, ceiling_c=ceiling_c)
        case GddMethod.SINE:
            return sine_k_d(high, low, base_c=base_c, ceiling_c=ceiling_c)
        case GddMethod.CAPPED:  # pragma: no branch; the last of a closed choice, as mypy holds
            if ceiling_c is None:
                raise ValueError("the capped method needs a ceiling")
            return capped_k_d(high, low, base_c=base_c, ceiling_c=ceiling_c)


def _sine_above(highest_c: Floats, lowest_c: Floats, threshold_c: float) -> Floats:
    middle = (highest_c + lowest_c) / 2.0 - threshold_c
    straddles = (lowest_c < threshold_c) & (highest_c > threshold_c)
    swing = np.where(straddles, (highest_c - lowest_c) / 2.0, 1.0)
    angle = np.arcsin(np.clip(np.where(straddles, -middle, 0.0) / swing, -1.0, 1.0))
    part = (middle * (np.pi / 2.0 - angle) + swing * np.cos(angle)) / np.pi
    return np.asarray(np.where(straddles, part, np.where(lowest_c >= threshold_c, middle, 0.0)))
