"""The record laid out by season on an even grid of hours, with the sun: what is slow, done once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.errors import Notice
from ledger.heat.rungs import Flags, Floats
from ledger.heat.spans import Span, in_window, seasons_between
from ledger.heat.sun import dark, sun_elevation_deg
from ledger.model.house import CountRule, Crop, Hold, Site
from ledger.series.record import HourlyRecord

CHANNELS = ("indoor", "outdoor", "unheated", "sun", "heater_w", "heater_on", "fan_w", "fan_on")
NANOSECONDS_PER_DAY = 86_400_000_000_000
Integers = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class YearHours:
    """The twelve months that begin with a season's first day, one row an hour, NaN where not logged.

    Attributes
    ----------
    span : the season.
    begins_utc : when each hour begins.
    step_h : length of a row. [h]
    day_number, month, month_day : the hour's clock day (days since 1970-01-01), its month, its month · 100 + day.
    dark : the sun is below the horizon in the middle of the hour.
    in_season, in_crop : the clock day lies in the season, in the crop window.
    counted : hours of the season that count, logged or not.
    channels : indoor, outdoor, unheated [°C], sun [W/m2], heater_w, fan_w [W], heater_on, fan_on [share of the hour].
    """

    span: Span
    begins_utc: pd.DatetimeIndex
    step_h: float
    day_number: Integers
    month: Integers
    month_day: Integers
    dark: Flags
    in_season: Flags
    in_crop: Flags
    counted: Flags
    channels: dict[str, Floats]

    @property
    def indoor_c(self) -> Floats:
        """Indoors [°C]."""
        return self.channels["indoor"]

    @property
    def outdoor_c(self) -> Floats:
        """Outdoors [°C]."""
        return self.channels["outdoor"]

    @property
    def valid_outdoors(self) -> Flags:
        """Outdoor known."""
        return np.isfinite(self.outdoor_c)

    @property
    def valid(self) -> Flags:
        """Indoor and outdoor both known."""
        return np.isfinite(self.indoor_c) & np.isfinite(self.outdoor_c)

    @property
    def counted_valid(self) -> Flags:
        """Counted hours of the season whose heat can be reckoned; by day that needs the sun."""
        return self.counted & self.valid & (self.dark | np.isfinite(self.channels["sun"]))


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """All seasons of the log, and of a long outdoor record where there is one.

    `years` hold seasons with at least one valid hour. `climate` holds whole seasons only. The rules that the grid was
    laid out by are kept, so that a ledger with other ones is refused rather than answered wrongly.
    `outdoor_elsewhere_c`: outdoor air of another record, brought to the grower's own, for hours that the log lacks.
    """

    years: tuple[YearHours, ...]
    climate: tuple[YearHours, ...]
    climate_basis: str | None
    logged_channels: tuple[str, ...]
    site: Site
    hold: Hold
    crop: Crop
    notices: tuple[Notice, ...] = ()
    climate_notices: tuple[Notice, ...] = ()
    outdoor_elsewhere_c: pd.Series[float] | None = None


def lay_out(record: HourlyRecord, *, site: Site, hold: Hold, crop: Crop) -> tuple[YearHours, ...]:
    """Cut a record into seasons, each on an even grid over its twelve months.

    Parameters
    ----------
    record : hourly means in UTC.
    site, hold, crop : where, which season and which hours count, which days grow.

    Returns
    -------
    tuple of YearHours : those seasons that share an hour with the record.
    """
    hours = record.hours
    if len(hours) == 0:
        return ()
    index = pd.DatetimeIndex(hours.index)
    spans = seasons_between(hold.season, timezone=site.timezone, first_utc=index[0], last_utc=index[-1])
    step_h = _step_h(index)
    by_balance = hold.count is CountRule.BALANCE and "sun" in hours.columns
    rule = CountRule.BALANCE if by_balance else CountRule.DARK
    years = (year_hours(hours, span, step_h=step_h, site=site, crop=crop, rule=rule) for span in spans)
    return tuple(y for y in years if bool(np.any(y.in_season & y.valid_outdoors)))


def year_hours(hours: pd.DataFrame, span: Span, *, step_h: float, site: Site, crop: Crop, rule: CountRule) -> YearHours:
    """Lay hours out on the even grid of one season's twelve months.

    Parameters
    ----------
    hours : channels by UTC hour.
    span : the season.
    step_h : length of a row. [h]
    site, crop : where, and which days grow.
    rule : which hours of the season count.

    Returns
    -------
    YearHours
    """
    step = pd.Timedelta(hours=step_h)
    first = _first_on_grid(pd.DatetimeIndex(hours.index)[0], span.begins_utc, step)
    grid = pd.date_range(first, span.year_ends_utc, freq=step, inclusive="left").as_unit("ns")
    local = grid.tz_convert(site.timezone)
    month_day = np.asarray(local.month * 100 + local.day, dtype=np.int64)
    night = dark(sun_elevation_deg(grid, site, step_h=step_h))
    in_season = np.asarray(grid < span.ends_utc)
    return YearHours(
        span=span,
        begins_utc=grid,
        step_h=step_h,
        day_number=np.asarray(local.tz_localize(None).asi8 // NANOSECONDS_PER_DAY, dtype=np.int64),
        month=np.asarray(local.month, dtype=np.int64),
        month_day=month_day,
        dark=night,
        in_season=in_season,
        in_crop=in_window(month_day, crop.window),
        counted=in_season & night if rule is CountRule.DARK else in_season,
        channels=_channels(hours, grid),
    )


def by_month(month: Integers, values: Floats) -> Floats:
    """Sums by calendar month, index 0 January."""
    return np.bincount(month - 1, weights=values, minlength=12).astype(np.float64)


def _channels(hours: pd.DataFrame, grid: pd.DatetimeIndex) -> dict[str, Floats]:
    laid = hours.reindex(grid)
    unknown = np.full(len(grid), np.nan)
    return {
        name: np.asarray(laid[name], dtype=np.float64) if name in laid.columns else unknown
        for name in dict.fromkeys((*CHANNELS, *(str(c) for c in hours.columns)))
    }


def _step_h(index: pd.DatetimeIndex) -> float:
    """Length of a row [h]: an hour, or the least step between rows of a coarser record."""
    if len(index) < 2:
        return 1.0
    least = (index[1:] - index[:-1]).min()
    return max(1.0, float(least / pd.Timedelta(hours=1)))


def _first_on_grid(known: pd.Timestamp, begins: pd.Timestamp, step: pd.Timedelta) -> pd.Timestamp:
    """The first row not before the season begins, in step with the record's own rows."""
    return begins + (known - begins) % step
