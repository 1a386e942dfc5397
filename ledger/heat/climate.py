"""The outdoor weather of a typical winter: whole seasons of a long record, or twelve normals spread over the hours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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
LEAST_HOURS_OF_A_DAY = 20.0
LEAST_DAYS_OF_A_MONTH = 10

_NO_WHOLE_SEASON = Notice(
    "climate-without-a-season",
    "The climate file holds no season of which nine tenths of the hours that count are known; it is not used.",
    "climate.file",
)


_NO_SPELLS = Notice(
    "normals-without-spells",
    "Twelve normals hold no cold spells: the need comes out low, most of all where the hold temperature lies near the "
    "mean nights. A logged winter or a long outdoor record cures it.",
    "climate.normals",
)
_SPELLS = Notice(
    "normals-with-logged-spells",
    "Twelve normals hold no cold spells: the logged winter's colder and warmer days are laid over them.",
    "climate.normals",
)


@dataclass(frozen=True, slots=True, eq=False)
class Weather:
    """Seasons of weather, what they come from, and what has to be said: always, and where they are used."""

    years: tuple[YearHours, ...]
    basis: str | None
    notices: tuple[Notice, ...] = ()
    notices_if_used: tuple[Notice, ...] = ()


def climate_years(record: HourlyRecord | None, ledger: Ledger, *, logged: Sequence[YearHours]) -> Weather:
    """Seasons of weather for the typical year, best first: a long record's whole seasons, else twelve normals.

    Parameters
    ----------
    record : several years outdoors; None: not given.
    ledger : site, season, crop, normals.
    logged : the grower's own seasons, whose cold and warm days are laid over the normals.

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
    if len(normals) != 12:
        return Weather((), None, said)
    spells = [s for s in map(day_spells_k, logged) if s]
    if not spells:
        return Weather((normal_year(normals, ledger, {}),), NORMALS, said, (_NO_SPELLS,))
    return Weather(tuple(normal_year(normals, ledger, s) for s in spells), NORMALS, said, (_SPELLS,))


def day_spells_k(year: YearHours) -> Mapping[int, float]:
    """How much colder or warmer each logged day was than its month's mean, by month · 100 + day.

    Over a month they sum to 0, so that laid over a mean day they keep the month's mean low and high. Only days with 20
    valid hours, in months with ten such days.

    Parameters
    ----------
    year : a logged season's hours.

    Returns
    -------
    mapping : departures. [K]
    """
    known = year.in_season & year.valid_outdoors
    hours = pd.DataFrame({"day": year.month_day[known], "month": year.month[known], "c": year.outdoor_c[known]})
    days = hours.groupby("day").agg(month=("month", "first"), mean_c=("c", "mean"), rows=("c", "size"))
    days = days[days["rows"] * year.step_h >= LEAST_HOURS_OF_A_DAY]
    of_month = days.groupby("month")["mean_c"]
    enough = of_month.transform("size") >= LEAST_DAYS_OF_A_MONTH
    departures = (days["mean_c"] - of_month.transform("mean"))[enough]
    return dict(zip(map(int, departures.index.to_numpy()), map(float, departures.to_numpy()), strict=True))


def normal_year(normals: Sequence[MonthNormal], ledger: Ledger, spells_k: Mapping[int, float]) -> YearHours:
    """One season of normals: each day of a month runs from its mean low to its mean high and back, departures on top.

    Need bends at the hold temperature: a month of mean days needs less than the same month with its cold and warm
    days. Normals hold no spells, so those of a logged winter are laid over them where there is one.

    Parameters
    ----------
    normals : twelve mean daily lows and highs. [°C]
    ledger : site, season, base date (whose calendar is used), crop.
    spells_k : departure of a day from its month, by month · 100 + day; days not in it are mean days. [K]

    Returns
    -------
    YearHours : outdoor only; dark hours count.
    """
    span = season_span(ledger.hold.season, year=ledger.terms.base_date.year, timezone=ledger.site.timezone)
    hours = pd.date_range(span.begins_utc.floor("h"), span.year_ends_utc, freq="h", inclusive="left").as_unit("ns")
    local = hours.tz_convert(ledger.site.timezone)
    outdoor = outdoor_of_normals_c(hours, np.asarray(local.month, dtype=np.int64), normals, ledger.site)
    outdoor = outdoor + np.array([spells_k.get(md, 0.0) for md in (local.month * 100 + local.day)])
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
