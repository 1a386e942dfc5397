"""Where the sun stands, and so which hours are dark."""

from __future__ import annotations

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.model.house import Site


def sun_elevation_deg(hours: pd.DatetimeIndex, site: Site, *, step_h: float = 1.0) -> NDArray[np.float64]:
    """Elevation of the sun's centre in the middle of each hour, geometric.

    Differs from the apparent elevation and from almanac sunrise: no refraction, no disc, a flat horizon. An almanac's
    sun rises some three to five minutes before this one.

    Parameters
    ----------
    hours : the instants at which the hours begin, with a time zone.
    site : where the house stands. [deg, m]
    step_h : length of an hour's row, 1 unless the record is coarser. [h]

    Returns
    -------
    array : elevation above the horizon. [deg]

    Raises
    ------
    ValueError : instants without a time zone (our bug).

    Source
    ------
    Reda & Andreas 2004, Solar Energy 76(5), 577-589 (NREL SPA), as implemented in pvlib, column `elevation`.
    """
    from pvlib.solarposition import spa_python

    if hours.tz is None:
        raise ValueError("instants without a time zone")
    if len(hours) == 0:
        return np.empty(0)
    middle = hours + pd.Timedelta(hours=step_h / 2.0)
    position = spa_python(middle, site.latitude_deg, site.longitude_deg, altitude=site.elevation_m)
    return np.asarray(position["elevation"], dtype=np.float64)


def dark(elevation_deg: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Whether an hour is dark: the sun's centre stands below the horizon in its middle.

    Parameters
    ----------
    elevation_deg : geometric elevation in the middle of each hour. [deg]

    Returns
    -------
    array : True where the hour is dark.
    """
    return np.asarray(elevation_deg < 0.0)
