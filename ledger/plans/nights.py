"""Nights of the typical year: how long they are, which need heat, which need someone to get up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.sun import dark, sun_elevation_deg
from ledger.model.house import Site
from ledger.money.project import FloatArray

# Heat of an hour below this is none: rounding of floats. [kWh]
NO_HEAT_KWH = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Nights:
    """The nights that the rows of a typical year belong to.

    Attributes
    ----------
    rows : places of the dark rows among all rows.
    of_row : which night each dark row belongs to, 0 to count − 1.
    dark_hours : length of each night. [h]
    weight : how many nights of the typical year each stands for. [-]
    """

    rows: NDArray[np.intp]
    of_row: NDArray[np.intp]
    dark_hours: FloatArray
    weight: FloatArray

    def with_heat(self, heat_kwh: FloatArray) -> NDArray[np.bool_]:
        """Which nights have a dark hour with heat to give."""
        needed = np.zeros(self.dark_hours.size, dtype=np.bool_)
        needed[self.of_row[heat_kwh[self.rows] > NO_HEAT_KWH]] = True
        return needed

    def count(self, chosen: NDArray[np.bool_]) -> int:
        """Nights of the typical year, to the nearest whole night."""
        return round(float(self.weight[chosen].sum()))


def nights_of(profile: pd.DataFrame, site: Site) -> Nights | None:
    """Group a typical year's rows into nights, each from noon to noon of the clock, and measure each night's dark.

        nights that a night stands for = Σ weight of its dark rows ÷ its dark hours

    The dark of a night is the hours whose middle has the sun's centre below the horizon, logged or not: a hole in the
    log does not shorten a night. Rows that repeat an hour (months that were not logged) are nights of their own.

    Parameters
    ----------
    profile : rows of hours that count, by the UTC instant at which each begins; column weight.
    site : where the sun sets.

    Returns
    -------
    Nights : None when the rows do not say when they are.
    """
    index = profile.index
    if not isinstance(index, pd.DatetimeIndex) or index.tz is None or index.empty:
        return None
    day, hour = pd.Timedelta(days=1), pd.Timedelta(hours=1)
    grid = pd.date_range(index.min() - day, index.max() + day, freq=hour)
    is_dark = dark(sun_elevation_deg(grid, site))
    place = np.rint((index - grid[0]) / hour).astype(np.intp)
    rows = np.flatnonzero(is_dark[place])
    if not rows.size:
        return None
    copies = pd.Series(0, index=index).groupby(level=0).cumcount().to_numpy()
    keys = np.stack([_evening(index, site), copies], axis=1)[rows]
    names, of_row = np.unique(keys, axis=0, return_inverse=True)
    night_of_row = np.asarray(of_row).reshape(-1)
    lengths = _lengths_h(_evening(grid, site)[is_dark])
    dark_hours = np.array([lengths[int(evening)] for evening in names[:, 0]])
    hours_stood_for = np.bincount(
        night_of_row, weights=profile["weight"].to_numpy(dtype=np.float64)[rows], minlength=len(names)
    )
    return Nights(rows, night_of_row, dark_hours, hours_stood_for / dark_hours)


def _lengths_h(evenings: NDArray[np.int64]) -> dict[int, float]:
    """Dark hours of each night, by the number of its evening's day."""
    names, counts = np.unique(evenings, return_counts=True)
    return {int(n): float(c) for n, c in zip(names, counts, strict=True)}


def _evening(index: pd.DatetimeIndex, site: Site) -> NDArray[np.int64]:
    """Number of the clock day on whose evening an hour's night began (hours before noon belong to the day before)."""
    local = index.tz_convert(site.timezone).tz_localize(None) - pd.Timedelta(hours=12)
    return np.asarray(local.normalize().as_unit("s").asi8 // 86400, dtype=np.int64)


def nights_to_tend(nights: Nights, heat_kwh: FloatArray, *, burn_hours: float) -> int:
    """Nights that need heat and are longer than one load of fuel burns.

    Parameters
    ----------
    nights : of the typical year.
    heat_kwh : that the source gives in each row. [kWh in the hour]
    burn_hours : heat from one load, put in at nightfall. [h]

    Returns
    -------
    int : nights of the typical year on which someone has to get up, or come back.
    """
    return nights.count(nights.with_heat(heat_kwh) & (nights.dark_hours > burn_hours))
