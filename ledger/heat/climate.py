"""The outdoor weather of a typical winter: whole seasons of a long record, or twelve normals spread over the hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.prepared import Integers, YearHours, lay_out, year_hours
from ledger.heat.rungs import Floats
from ledger.heat.spans import season_span
from ledger.model.climate import MonthNormal
from ledger.model.house import CountRule, Site
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord

WHOLE_SEASON_COVER = 0.9
HIGH_AT_SUN_HOUR = 15.0
CLIMATE_FILE = "climate file"
NORMALS = "climate normals"


_NO_WHOLE_SEASON = Notice(
    "climate-without-a-season",
    "The climate file holds no season of which nine tenths of the hours that count are known; it is not used.",
    "climate.file",
)


@dataclass(frozen=True, slots=True, eq=False)
class Weather:
    """Seasons of weather, what they come from, and what has to be said."""

    years: tuple[YearHours, ...]
    basis: str | None
    notices: tuple[Notice, ...] = ()


def climate_years(record: HourlyRecord | None, ledger: Ledger) -> Weather:
    """Seasons of weather for the typical year, best first: a long record's whole seasons, else twelve normals.

    Parameters
    ----------
    record : several years outdoors; None: not given.
    ledger : site, season, crop, normals.

    Returns
    -------
    Weather : no years where the ledger has no climate.
    """
    if record is not None:
        whole = tuple(y for y in lay_out(record, site=ledger.site, hold=ledger.hold, crop=ledger.crop) if _is_whole(y))
        if whole:
            return Weather(whole, CLIMATE_FILE)
    said = () if record is None else (_NO_WHOLE_SEASON,)
    normals = ledger.climate.normals if ledger.climate else ()
    if len(normals) == 12:
        return Weather((normal_year(normals, ledger),), NORMALS, said)
    return Weather((), None, said)


def normal_year(normals: Sequence[MonthNormal], ledger: Ledger) -> YearHours:
    """One season of mean days: each day of a month runs from its mean low to its mean high and back.

    Spells of cold and warm weather are not in it, so that its need is low where the hold temperature lies near the
    mean nights.

    Parameters
    ----------
    normals : twelve mean daily lows and highs. [°C]
    ledger : site, season, base date (whose calendar is used), crop.

    Returns
    -------
    YearHours : outdoor only; dark hours count.
    """
    span = season_span(ledger.hold.season, year=ledger.terms.base_date.year, timezone=ledger.site.timezone)
    hours = pd.date_range(span.begins_utc.floor("h"), span.year_ends_utc, freq="h", inclusive="left").as_unit("ns")
    local = hours.tz_convert(ledger.site.timezone)
    outdoor = outdoor_of_normals_c(hours, np.asarray(local.month, dtype=np.int64), normals, ledger.site)
    frame = pd.DataFrame({"outdoor": outdoor}, index=hours)
    return year_hours(frame, span, step_h=1.0, site=ledger.site, crop=ledger.crop, rule=CountRule.DARK)


def outdoor_of_normals_c(
    hours: pd.DatetimeIndex, month: Integers, normals: Sequence[MonthNormal], site: Site
) -> Floats:
    """Outdoor temperature in the middle of each hour from the month's mean low and high.

        half a sine from the low at sunrise up to the high at 15:00 sun time, half a sine down to the next sunrise

    Differs from a plain 24-hour sine, whose low stands twelve hours before its high.

    Parameters
    ----------
    hours : when each hour begins, UTC.
    month : its clock month.
    normals : twelve mean lows and highs. [°C]
    site : where. [deg]

    Returns
    -------
    array : temperatures. [°C]

    Source
    ------
    Sunrise from the declination of Cooper 1969 (Solar Energy 12, 333-346), sun time from the equation of time in the
    form of Spencer 1971; the form of the day: common practice, no source.
    """
    by_month = {n.month: n for n in normals}
    low = np.array([by_month[m].mean_low_c for m in range(1, 13)])[month - 1]
    high = np.array([by_month[m].mean_high_c for m in range(1, 13)])[month - 1]
    day_of_year = np.asarray(hours.day_of_year, dtype=np.float64)
    clock = np.asarray(hours.hour + hours.minute / 60.0, dtype=np.float64) + 0.5
    angle = 2.0 * np.pi * (day_of_year - 1.0) / 365.0
    equation_min = 229.18 * (
        0.000075
        + 0.001868 * np.cos(angle)
        - 0.032077 * np.sin(angle)
        - 0.014615 * np.cos(2 * angle)
        - 0.040849 * np.sin(2 * angle)
    )
    sun_hour = (clock + site.longitude_deg / 15.0 + equation_min / 60.0) % 24.0
    sunrise = _sunrise_hour(day_of_year, site.latitude_deg)
    since_low = (sun_hour - sunrise) % 24.0
    rise = HIGH_AT_SUN_HOUR - sunrise
    phase = np.where(since_low <= rise, np.pi * since_low / rise, np.pi * (1.0 + (since_low - rise) / (24.0 - rise)))
    return np.asarray((low + high) / 2.0 - (high - low) / 2.0 * np.cos(phase))


def _sunrise_hour(day_of_year: Floats, latitude_deg: float) -> Floats:
    """Sun time at which the sun's centre rises; in polar day or night midnight or noon, held to 3:00 and 12:00."""
    declination = np.radians(23.45) * np.sin(2.0 * np.pi * (284.0 + day_of_year) / 365.0)
    cosine = np.clip(-np.tan(np.radians(latitude_deg)) * np.tan(declination), -1.0, 1.0)
    return np.asarray(np.clip(12.0 - np.degrees(np.arccos(cosine)) / 15.0, 3.0, 12.0))


def _is_whole(year: YearHours) -> bool:
    counted = np.count_nonzero(year.counted)
    return bool(np.count_nonzero(year.counted & year.valid_outdoors) >= WHOLE_SEASON_COVER * counted)
