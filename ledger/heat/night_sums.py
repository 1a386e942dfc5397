"""The rungs night by night: what the sums of a season are made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from ledger.heat.envelope import Envelope
from ledger.heat.rungs import WATT_HOURS_PER_KWH
from ledger.heat.season import coefficients
from ledger.heat.season_answer import SeasonWork


@dataclass(frozen=True, slots=True)
class NightSums:
    """From noon of the clock day `evening` to the next noon, over the season's valid hours.

    `cold_k_h`: degree-hours below hold of the hours that count [K·h]; `outdoor_min_c`, `indoor_min_c`: coldest
    hourly means [°C], None where no hour is valid; the rungs, need and shortfall [kWh] as summed for the season.
    """

    season: str
    evening: str
    hours_valid: float
    hours_counted: float
    outdoor_min_c: float | None
    indoor_min_c: float | None
    cold_k_h: float
    gross_kwh: float
    load_kwh: float
    held_kwh: float
    need_kwh: float
    shortfall_kwh: float


def night_sums(seasons: Sequence[SeasonWork], loss: Envelope, *, hold_c: float, timezone: str) -> tuple[NightSums, ...]:
    """Add up each season's hours from noon to noon.

    Parameters
    ----------
    seasons : as reckoned.
    loss : the house's heat-loss coefficients. [W/K]
    hold_c : hold temperature. [°C]
    timezone : of the site.

    Returns
    -------
    tuple of NightSums : in order of time; Σ over a season is the season's rung, need and shortfall by temperatures.
    """
    return tuple(night for season in seasons for night in _nights(season, loss, hold_c, timezone))


def _nights(season: SeasonWork, loss: Envelope, hold_c: float, timezone: str) -> list[NightSums]:
    year, reckoned = season.year, season.reckoned
    local = year.begins_utc.tz_convert(timezone).tz_localize(None) - pd.Timedelta(hours=12)
    size = len(year.begins_utc)
    valid = year.in_season & year.valid
    rows = np.flatnonzero(valid)
    h = coefficients(year, rows, loss).stands_w_per_k
    lift = np.maximum(0.0, year.indoor_c[rows] - year.outdoor_c[rows])
    counted = year.counted_valid
    table = pd.DataFrame(
        {
            "hours_valid": valid * year.step_h,
            "hours_counted": counted * year.step_h,
            "cold_k_h": np.where(counted, np.maximum(0.0, hold_c - np.nan_to_num(year.outdoor_c)), 0.0) * year.step_h,
            "gross_kwh": _laid(rows, h * lift * (year.step_h / WATT_HOURS_PER_KWH), size),
            "load_kwh": _laid(reckoned.rows, reckoned.heat.load_kwh, size),
            "held_kwh": _laid(reckoned.rows, reckoned.heat.held_kwh, size),
            "need_kwh": _laid(reckoned.rows, reckoned.heat.need_kwh, size),
            "shortfall_kwh": _laid(reckoned.rows, reckoned.heat.shortfall_kwh, size),
            "outdoor_min_c": np.where(valid, year.outdoor_c, np.nan),
            "indoor_min_c": np.where(valid, year.indoor_c, np.nan),
        }
    )
    inside = table[year.in_season].groupby(local[year.in_season].date)
    coldest = inside[["outdoor_min_c", "indoor_min_c"]].min()
    sums = inside.sum()
    return [
        NightSums(
            season=year.span.name,
            evening=evening.isoformat(),
            outdoor_min_c=_known(coldest.loc[evening, "outdoor_min_c"]),
            indoor_min_c=_known(coldest.loc[evening, "indoor_min_c"]),
            **{str(name): float(sums.loc[evening, name]) for name in sums.columns if not str(name).endswith("_min_c")},
        )
        for evening in sums.index
    ]


def _laid(rows: np.ndarray[tuple[int], np.dtype[np.int64]], heat_kwh: np.ndarray[tuple[int], np.dtype[np.float64]],
          size: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:  # fmt: skip
    """Heat of some rows on the whole grid, 0 elsewhere."""
    laid = np.zeros(size)
    laid[rows] = heat_kwh
    return laid


def _known(value: object) -> float | None:
    number = float(str(value))
    return number if np.isfinite(number) else None
