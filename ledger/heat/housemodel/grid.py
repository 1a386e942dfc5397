"""The log on an even grid of steps: what drives the model runs through holes, what it is fitted to stays open."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.housemodel.sky import clear_sun_w_per_m2, sun_hour_and_day
from ledger.heat.housemodel.vents import vent_temperature_c
from ledger.heat.sun import sun_elevation_deg
from ledger.model.house import Site

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
Integers = NDArray[np.int64]

LEAST_STEP_S = 1800.0
"""Steps are no finer: half an hour resolves the air's time constant, in some ten thousand steps a season. [s]"""
STRAIGHT_LINE_S = 7200.0
"""Holes up to this long are bridged by a straight line. [s]"""
DAY_S = 86400.0
FAN_LEVELS = 4
"""The fan's share of a step is rounded to quarters."""


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """One season's log on even steps.

    Attributes
    ----------
    stamps_utc : when each step begins.
    step_s : length of a step. [s]
    outdoor_c : outdoor air, filled in holes. [°C]
    outdoor_known : steps at which it was read, in the log or in another record of the same hours.
    indoor_c, water_c, twin_c : what the model is fitted to, NaN where not read; None without the channel. [°C]
    fan_level : the fan's share in quarters, filled in holes; None without a fan channel.
    fan_share : the same as logged, NaN where not read.
    heater_w : heat put in by a metered heater, filled in holes, 0 without one. [W]
    sun_w_m2 : horizontal sun over the step, filled in holes; None without a sun channel. [W/m2]
    wind_over_mean : wind less its mean, filled; None without a wind channel. [m/s]
    elevation_deg : the sun's elevation in the middle of the step's readings. [deg]
    clear_w_m2 : horizontal sun of a clear sky. [W/m2]
    sun_hour, sun_day : solar time of day [h] and number of the solar day, which turns at 5 h.
    vent_c : temperature at which vents open, as the log shows it; None where it shows none. [°C]
    """

    stamps_utc: pd.DatetimeIndex
    step_s: float
    outdoor_c: Floats
    outdoor_known: Flags
    indoor_c: Floats
    water_c: Floats | None
    twin_c: Floats | None
    fan_level: Integers | None
    fan_share: Floats
    heater_w: Floats
    sun_w_m2: Floats | None
    wind_over_mean: Floats | None
    elevation_deg: Floats
    clear_w_m2: Floats
    sun_hour: Floats
    sun_day: Integers
    vent_c: float | None

    @property
    def steps(self) -> int:
        """How many steps."""
        return len(self.outdoor_c)

    @property
    def dark(self) -> Flags:
        """Steps in whose middle the sun's centre is below the horizon."""
        return np.asarray(self.elevation_deg < 0.0)

    @property
    def read(self) -> Flags:
        """Steps with an indoor reading."""
        return np.isfinite(self.indoor_c)


def lay_out_grid(fine: pd.DataFrame, site: Site, *, outdoor_elsewhere_c: pd.Series[float] | None = None) -> Grid | None:
    """Lay readings out on even steps.

    Parameters
    ----------
    fine : readings after flags, UTC index; columns as in `HourlyRecord.fine`.
    site : where the house stands.
    outdoor_elsewhere_c : outdoor air from another record for hours that the log lacks. [°C]

    Returns
    -------
    Grid or None : None where indoor or outdoor was never read.
    """
    if not {"indoor", "outdoor"} <= set(fine.columns) or len(fine) < 2:
        return None
    step_s = _step_s(pd.DatetimeIndex(fine.index))
    even = fine.resample(f"{int(step_s)}s").mean()
    if not (even["indoor"].notna().any() and even["outdoor"].notna().any()):
        return None
    stamps = pd.DatetimeIndex(even.index)
    middle = stamps + pd.Timedelta(seconds=(step_s - _usual_gap_s(pd.DatetimeIndex(fine.index), step_s)) / 2.0)
    elevation = sun_elevation_deg(middle, site, step_h=0.0)
    hour, day = sun_hour_and_day(middle, site)
    indoor = _column(even, "indoor")
    outdoor = _with(_column(even, "outdoor"), outdoor_elsewhere_c, stamps)
    return Grid(
        stamps_utc=stamps,
        step_s=step_s,
        outdoor_c=filled(outdoor, step_s),
        outdoor_known=np.isfinite(outdoor),
        indoor_c=indoor,
        water_c=_column(even, "water") if _has(even, "water") else None,
        twin_c=_column(even, "unheated") if _has(even, "unheated") else None,
        fan_level=_levels(even, step_s),
        fan_share=_column(even, "fan_on"),
        heater_w=filled(_column(even, "heater_w"), step_s) if _has(even, "heater_w") else np.zeros(len(even)),
        sun_w_m2=np.maximum(filled(_column(even, "sun"), step_s), 0.0) if _has(even, "sun") else None,
        wind_over_mean=_wind(even, step_s),
        elevation_deg=elevation,
        clear_w_m2=clear_sun_w_per_m2(elevation, elevation_m=site.elevation_m),
        sun_hour=hour,
        sun_day=day,
        vent_c=vent_temperature_c(indoor),
    )


def filled(values: Floats, step_s: float) -> Floats:
    """Bridge holes so that the model can run through them; nothing is learnt from what is filled in.

    Up to two hours by a straight line. Longer holes take whole days from either side, in mirrored order: the first half
    of the hole replays the days before it, the second half the days after it, hour for hour, so that the swing of
    real days and the bond between channels are kept.

    Parameters
    ----------
    values : readings, NaN where none.
    step_s : length of a step. [s]

    Returns
    -------
    array : the same with holes filled; the mean of the same hours where both sides lack them.
    """
    short = round(STRAIGHT_LINE_S / step_s)
    bridged = pd.Series(values).interpolate(limit_area="inside")
    out, known = np.array(values), np.isfinite(values)
    per_day = max(1, round(DAY_S / step_s))
    for first, last in holes(known):
        length = last - first
        if length <= short and first > 0 and last < len(out):
            out[first:last] = bridged.to_numpy()[first:last]
            continue
        for row in range(first, last):
            out[row] = _replayed(values, known, row, (first, last), per_day)
    return out


def _replayed(values: Floats, known: Flags, row: int, hole: tuple[int, int], per_day: int) -> float:
    first, last = hole
    before = row - per_day * (1 + 2 * ((row - first) // per_day))
    after = row + per_day * (1 + 2 * ((last - 1 - row) // per_day))
    for source in (before, after) if row - first < (last - first) / 2 else (after, before):
        if 0 <= source < len(values) and known[source]:
            return float(values[source])
    same_hour = values[row % per_day :: per_day]
    same_hour = same_hour[np.isfinite(same_hour)]
    return float(np.mean(same_hour)) if len(same_hour) else float(np.nanmean(values))


def holes(known: Flags) -> list[tuple[int, int]]:
    """Where nothing is known: first row of each hole, and the row after its last."""
    edges = np.diff(np.concatenate([[True], known, [True]]).astype(np.int8))
    return list(zip(np.flatnonzero(edges == -1).tolist(), np.flatnonzero(edges == 1).tolist(), strict=True))


def _usual_gap_s(index: pd.DatetimeIndex, most_s: float = np.inf) -> float:
    """Usual time between readings [s]; the mean of a step's readings is centred half of it before the step's middle."""
    gaps = np.diff(index.as_unit("s").asi8)
    return min(most_s, float(np.median(gaps)) if len(gaps) else LEAST_STEP_S)


def _step_s(index: pd.DatetimeIndex) -> float:
    usual = _usual_gap_s(index)
    for step in (LEAST_STEP_S, 3600.0, 7200.0, 10800.0):
        if usual <= step:
            return step
    return usual


def _has(even: pd.DataFrame, channel: str) -> bool:
    return channel in even.columns and bool(even[channel].notna().any())


def _column(even: pd.DataFrame, channel: str) -> Floats:
    if channel not in even.columns:
        return np.full(len(even), np.nan)
    return np.asarray(even[channel], dtype=np.float64)


def _with(values: Floats, elsewhere: pd.Series[float] | None, stamps: pd.DatetimeIndex) -> Floats:
    return values if elsewhere is None else np.where(np.isfinite(values), values, on_steps(elsewhere, stamps))


def on_steps(by_hour: pd.Series[float], stamps: pd.DatetimeIndex) -> Floats:
    """An hourly series by step, NaN where it has none."""
    return np.asarray(by_hour.reindex(stamps.floor("h")), dtype=np.float64)


def _levels(even: pd.DataFrame, step_s: float) -> Integers | None:
    if not _has(even, "fan_on"):
        return None
    share = np.clip(filled(_column(even, "fan_on"), step_s), 0.0, 1.0)
    return np.asarray(np.round(share * FAN_LEVELS), dtype=np.int64)


def _wind(even: pd.DataFrame, step_s: float) -> Floats | None:
    if not _has(even, "wind"):
        return None
    wind = filled(_column(even, "wind"), step_s)
    return wind - float(np.mean(wind))
