"""Sun and sky: where the sun stands, what a clear sky gives, how clear the days were."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.model.house import Site

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

LOWEST_SINE = 0.01
SLOT_HOURS = (8.5, 12.0, 15.5)
"""Solar hours at which the three cloud factors of a day hold in full; between them they blend. [h]"""
DAY_TURNS_H = 5.0
"""A model day runs from 5 h to 5 h solar time, so that the night after a day tells of its sun. [h]"""


def sun_hour_and_day(instants: pd.DatetimeIndex, site: Site) -> tuple[Floats, Integers]:
    """Mean solar time of day, and the number of the model day counted from the first.

    Parameters
    ----------
    instants : with a time zone.
    site : its longitude. [deg]

    Returns
    -------
    hour, day : mean solar time [h]; days from 0, each turning at 5 h.
    """
    solar_h = instants.as_unit("s").asi8 / 3600.0 + site.longitude_deg / 15.0
    day = np.asarray(np.floor((solar_h - DAY_TURNS_H) / 24.0), dtype=np.int64)
    return np.asarray(solar_h % 24.0, dtype=np.float64), day - (day[0] if len(day) else 0)


def clear_sun_w_per_m2(elevation_deg: Floats, *, elevation_m: float) -> Floats:
    """Sun on the horizontal under a clear sky.

        1098 · sin h · exp(−0.059 / sin h), and 3 % more for each kilometre of height

    Parameters
    ----------
    elevation_deg : of the sun. [deg]
    elevation_m : of the site. [m]

    Returns
    -------
    array : global irradiance. [W/m2]

    Source
    ------
    Haurwitz 1945, 1946 (Journal of Meteorology 2 and 3), constants as printed in Reno, Hansen & Stein 2012
    (SAND2012-2389); the growth with height is common practice, no source: fitted cloud factors take up what it misses.
    """
    sine = np.sin(np.radians(elevation_deg))
    up = np.maximum(sine, LOWEST_SINE)
    flat = 1098.0 * up * np.exp(-0.059 / up) * (1.0 + 3e-5 * elevation_m)
    return np.where(sine > LOWEST_SINE, flat, 0.0)


def low_sun_excess(elevation_deg: Floats) -> Floats:
    """How much a standing cover gains over a flat one: (1/sin h − 2)/2, held within −0.5 and 1, 0 at night.

    Parameters
    ----------
    elevation_deg : of the sun. [deg]

    Returns
    -------
    array : factor by which `Figure.SUN_LOW` is multiplied.
    """
    sine = np.sin(np.radians(elevation_deg))
    over = np.minimum(1.0 / np.maximum(sine, 0.25), 4.0)
    return np.where(sine > 0.0, (over - 2.0) / 2.0, 0.0)


def evaporating_share(air_c: Floats) -> Floats:
    """Share of the sun on wet leaves that would evaporate: Δ/(Δ + γ), with Δ the slope of saturation pressure.

    Source
    ------
    FAO Irrigation and Drainage Paper 56 (1998), equations 8, 11, 13; γ = 0.066 kPa/K at sea level.
    """
    saturated = 0.6108 * np.exp(17.27 * air_c / (air_c + 237.3))
    slope = 4098.0 * saturated / (air_c + 237.3) ** 2
    return np.asarray(slope / (slope + 0.066), dtype=np.float64)


def slot_weights(sun_hour: Floats) -> Floats:
    """Share of each of the day's three cloud factors at each step; rows add up to 1.

    Parameters
    ----------
    sun_hour : solar time of day. [h]

    Returns
    -------
    array : (steps, 3).
    """
    morning, noon, evening = SLOT_HOURS
    return np.stack(
        [
            np.interp(sun_hour, [morning, noon], [1.0, 0.0]),
            np.interp(sun_hour, [morning, noon, evening], [0.0, 1.0, 0.0]),
            np.interp(sun_hour, [noon, evening], [0.0, 1.0]),
        ],
        axis=1,
    )


def clearness(sun_w_m2: Floats, clear_w_m2: Floats, sun_day: Integers) -> Floats:
    """How open the sky was, 0 to 1, day and night: each day's sun over a clear sky's, straight lines between noons.

    Clouds that let s of a clear sky's sun through let s of its long-wave loss through. An overcast sky is not closed,
    it is a few kelvin colder than the air: taken for closed it has houses of cloudy places lose a quarter too little at
    night, and with the loss goes every heat that the log ties to it.

    Parameters
    ----------
    sun_w_m2, clear_w_m2 : measured or fitted sun, and that of a clear sky. [W/m2]
    sun_day : number of the model day.

    Returns
    -------
    array : clearness of each step.

    Source
    ------
    Crawford & Duchon 1999, Journal of Applied Meteorology 38 (cloud fraction 1 − s; from memory).
    """
    days = int(sun_day.max()) + 1
    possible = np.bincount(sun_day, clear_w_m2, days)
    got = np.bincount(sun_day, sun_w_m2, days)
    rows = np.arange(len(sun_day))
    weight = np.maximum(clear_w_m2, 1e-9)
    noon = np.bincount(sun_day, rows * weight, days) / np.bincount(sun_day, weight, days)
    lit = possible > 0.05 * possible.max() if possible.max() > 0 else np.zeros(days, dtype=bool)
    if not lit.any():
        return np.full(len(sun_day), 0.5)
    clear = np.clip(got[lit] / possible[lit], 0.0, 1.0)
    return np.asarray(np.interp(rows, noon[lit], clear), dtype=np.float64)
