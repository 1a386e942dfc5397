"""What a season's nights were like: how cold, how many below hold, whether the worst hour was logged, how much lift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.prepared import Integers, YearHours
from ledger.heat.results import TypicalHeat
from ledger.heat.rungs import Flags, Floats

TOLERANCE_K = 1e-9
LIKE_OUTDOORS_K = 1.0
LIKE_DAYS = 15
LIKE_SUN = 0.25
LEAST_NIGHTS = 20
LEAST_HOURS = 4
ALIKE_NIGHTS = 3.0
"""Nights in a row are alike: three of them tell as much as one (common practice, no source)."""
NORMAL_P90 = 1.2816
LEAST_FADING_K = 0.5
"""Less than this two sensors may differ by (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class SeasonNights:
    """A season's nights.

    Attributes
    ----------
    colder_than_typical_k : mean of max(0, hold − outdoors) over its valid counted hours less that of the typical year.
        [K] Above 0: a harder winter. None without a typical year.
    nights_below_hold : nights, noon to noon, with at least one hour below hold, of `nights_read` with any hour read.
    longest_below_hold_h : hours in a row, none of them open. [h]
    coldest_outdoor_c, coldest_at : the coldest hour outdoors that was read, when it began (ISO, local). [°C]
    coldest_indoor_c : indoors in that hour. [°C] None: not logged.
    lift_change_k, _p10, _p90 : how much more the house lay above outdoors than in earlier seasons, in like nights (1 K
        outdoors, a fortnight of the year, where logged a quarter of the day's sun). [K] None: fewer than 20 of them.
    like_nights : how many were compared.
    """

    season: str
    colder_than_typical_k: float | None
    nights_read: int
    nights_below_hold: int
    longest_below_hold_h: float
    coldest_outdoor_c: float | None
    coldest_at: str | None
    coldest_indoor_c: float | None
    lift_change_k: float | None
    lift_change_p10_k: float | None
    lift_change_p90_k: float | None
    like_nights: int


@dataclass(frozen=True, slots=True, eq=False)
class _Nights:
    """By night: mean outdoors and lift over counted hours [°C, K], day of the season, the sun of the day before."""

    outdoor_c: Floats
    lift_k: Floats
    day: Floats
    sun_w_m2: Floats


def season_nights(
    years: tuple[YearHours, ...], *, hold_c: float, timezone: str, typical: TypicalHeat | None
) -> tuple[SeasonNights, ...]:
    """Describe the nights of every season.

    Parameters
    ----------
    years : the seasons in order of time.
    hold_c : hold temperature. [°C]
    timezone : of the site.
    typical : the typical year whose counted hours are the measure; None where there is none.

    Returns
    -------
    tuple of SeasonNights
    """
    usual = None if typical is None else _mean_cold_k(typical, hold_c)
    nights = [_nights(year, timezone) for year in years]
    return tuple(
        _one(year, hold_c, timezone, usual, _lift_change(nights[i], nights[:i])) for i, year in enumerate(years)
    )


def fading_notices(nights: Sequence[SeasonNights]) -> tuple[Notice, ...]:
    """Say of each season in which the house lay less above outdoors than before, beyond what chance explains.

    Parameters
    ----------
    nights : by season.

    Returns
    -------
    tuple of Notice
    """
    said = []
    for one in nights:
        change, most = one.lift_change_k, one.lift_change_p90_k
        if change is not None and most is not None and most < 0.0 and change <= -LEAST_FADING_K:
            text = (
                f"Season {one.season}: in {one.like_nights} like nights the house lay {-change:.1f} K less "
                "above outdoors than it did then: look at the fan, the tubes, the water level, the cover and the doors"
            )
            said.append(Notice("lift-fading", text, f"seasons.{one.season}.nights.lift_change_k"))
    return tuple(said)


def _one(
    year: YearHours, hold_c: float, timezone: str, usual: float | None, change: tuple[Floats, int]
) -> SeasonNights:
    indoor, read = year.indoor_c, year.in_season & np.isfinite(year.indoor_c)
    below = read & (np.where(read, indoor, hold_c) < hold_c - TOLERANCE_K)
    number = _night_number(year, timezone)
    counted = year.counted_valid
    cold = None
    if usual is not None and counted.any():
        cold = float(np.mean(np.maximum(0.0, hold_c - year.outdoor_c[counted]))) - usual
    outdoors = np.where(year.in_season & year.valid_outdoors, year.outdoor_c, np.inf)
    at = int(np.argmin(outdoors)) if np.isfinite(outdoors).any() else None
    (mean, low, high), compared = change
    known = compared >= LEAST_NIGHTS
    return SeasonNights(
        season=year.span.name,
        colder_than_typical_k=cold,
        nights_read=int(np.unique(number[read]).size),
        nights_below_hold=int(np.unique(number[below]).size),
        longest_below_hold_h=_longest_run(below) * year.step_h,
        coldest_outdoor_c=None if at is None else float(outdoors[at]),
        coldest_at=None if at is None else year.begins_utc[at].tz_convert(timezone).isoformat(),
        coldest_indoor_c=None if at is None or not np.isfinite(indoor[at]) else float(indoor[at]),
        lift_change_k=float(mean) if known else None,
        lift_change_p10_k=float(low) if known else None,
        lift_change_p90_k=float(high) if known else None,
        like_nights=compared,
    )


def _mean_cold_k(typical: TypicalHeat, hold_c: float) -> float | None:
    """Mean of max(0, hold − outdoors) over the hours of the typical year. [K]"""
    weight = typical.profile["weight"].to_numpy(dtype=np.float64)
    outdoor = typical.profile["outdoor_c"].to_numpy(dtype=np.float64)
    known = np.isfinite(outdoor) & (weight > 0.0)
    whole = float(np.sum(weight[known]))
    return float(np.sum(weight[known] * np.maximum(0.0, hold_c - outdoor[known]))) / whole if whole else None


def _night_number(year: YearHours, timezone: str) -> Integers:
    """Nights run from noon to noon and bear the number of the day that they begin on."""
    local = year.begins_utc.tz_convert(timezone).tz_localize(None) - pd.Timedelta(hours=12)
    return np.asarray(local.floor("D").to_numpy(dtype="datetime64[D]").astype(np.int64))


def _longest_run(flags: Flags) -> int:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], flags.astype(np.int64), [0]])))
    return int(np.max(edges[1::2] - edges[::2])) if edges.size else 0


def _nights(year: YearHours, timezone: str) -> _Nights:
    """Nights with at least four valid counted hours and no heater on."""
    heated = np.nan_to_num(year.channels["heater_w"]) + np.nan_to_num(year.channels["heater_on"]) > 0.0
    number, rows = _night_number(year, timezone), year.counted_valid & year.dark
    frame = pd.DataFrame(
        {"out": year.outdoor_c[rows], "lift": (year.indoor_c - year.outdoor_c)[rows], "heated": heated[rows]}
    )
    by_night = frame.groupby(number[rows])
    means = by_night.mean()[(by_night.size() >= LEAST_HOURS) & (by_night["heated"].max() == 0)]
    sun = pd.Series(year.channels["sun"]).groupby(year.day_number).mean().reindex(means.index)
    first = (pd.Timestamp(year.span.first_day) - pd.Timestamp(0)).days
    day = means.index.to_numpy(dtype=np.float64) - first
    lift = np.asarray(means["lift"], dtype=np.float64)
    return _Nights(np.asarray(means["out"], dtype=np.float64), lift, day, np.asarray(sun, dtype=np.float64))


def _lift_change(now: _Nights, earlier: list[_Nights]) -> tuple[Floats, int]:
    """Mean and 80 % range of a season's lift less that of like earlier nights; and how many nights were compared."""
    if not earlier or not now.lift_k.size:
        return np.full(3, np.nan), 0
    out, lift, day, sun = (
        np.concatenate([getattr(one, name) for one in earlier]) for name in ("outdoor_c", "lift_k", "day", "sun_w_m2")
    )
    differences = []
    for i in range(now.lift_k.size):
        like = (np.abs(out - now.outdoor_c[i]) <= LIKE_OUTDOORS_K) & (np.abs(day - now.day[i]) <= LIKE_DAYS)
        if np.isfinite(now.sun_w_m2[i]):
            apart = np.abs(sun - now.sun_w_m2[i]) > LIKE_SUN * np.fmax(sun, now.sun_w_m2[i])
            like &= ~apart | ~np.isfinite(sun)
        if like.any():
            differences.append(float(now.lift_k[i] - np.mean(lift[like])))
    count = len(differences)
    if count < 2:
        return np.full(3, np.nan), count
    mean = float(np.mean(differences))
    half = NORMAL_P90 * float(np.std(differences, ddof=1)) / float(np.sqrt(count / ALIKE_NIGHTS))
    return np.array([mean, mean - half, mean + half]), count
