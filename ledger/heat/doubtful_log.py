"""Channels that cannot well be what the ledger calls them: changed round, or in another unit. No figure is changed."""

from __future__ import annotations

from typing import Final

import numpy as np
import pandas as pd

from ledger.errors import Doubt, Notice
from ledger.model.book import HOUSE
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord

COLD_C: Final = 10.0
"""Only hours in which one of the two is below this are looked at, whichever of them stands under which name."""
LEAST_HOURS: Final = 240.0
COLDER_SHARE: Final = 0.75
"""A film on clear nights falls below the outdoor air in some of the hours, never by day: far under this share."""
COLDER_K: Final = 1.0

MILDEST_AT_30_C: Final = 20.0
MILDER_PER_DEGREE_K: Final = 0.35
LAPSE_K_PER_KM: Final = 5.0
WINTER_LATITUDE_DEG: Final = 30.0

WARM_INDOORS_C: Final = 30.0
WARM_OVER_HOLD_K: Final = 15.0
NEVER_WARM_C: Final = 2.0
NEVER_WARM_H: Final = 720.0
POLAR_LATITUDE_DEG: Final = 60.0
LIFT_BY_NOTHING_K: Final = 20.0
NIGHT_ENDS_H: Final = 5
"""Midnight to five by the clock is night in every winter; no sun has to be reckoned for it."""
LEAST_NIGHT_H: Final = 60.0

NO_SOURCE: Final = "common practice, no source"
MILD_COASTS: Final = (
    "from memory: January means of the mildest coasts (Canary Islands 18 °C at 28°, Azores 14 at 38°, Scilly 8 at 50°, "
    f"Shetland 4 at 60°), three to five kelvin above them, less {LAPSE_K_PER_KM:g} K a kilometre of height"
)
OTHER_COLUMN: Final = "name the other column in each place: indoor = ..., outdoor = ..."
TRUE_UNIT: Final = 'write the unit that the station shows beside the column: unit = "degF" or unit = "degC"'

SWAPPED: Final = Doubt(
    "log-swapped",
    f"in a month with {LEAST_HOURS:g} hours in which one of the two is below {COLD_C:g} °C, indoors reads colder than "
    f"outdoors in {COLDER_SHARE:.0%} of them and by {COLDER_K:g} K on average",
    OTHER_COLUMN,
    NO_SOURCE,
)
TOO_WARM: Final = Doubt(
    "log-too-warm",
    f"a winter month's mean outdoors is above that of any mild coast, from {WINTER_LATITUDE_DEG:g}° poleward "
    f"({MILDEST_AT_30_C:g} °C there, {MILDER_PER_DEGREE_K:g} K less a degree); or, below {COLD_C:g} °C outdoors, that "
    f"of indoors is above {WARM_INDOORS_C:g} °C and {WARM_OVER_HOLD_K:g} K above the hold temperature; or a month's "
    f"hours from midnight to {NIGHT_ENDS_H} are {LIFT_BY_NOTHING_K:g} K above outdoors with no heater logged and none "
    "noted",
    TRUE_UNIT,
    MILD_COASTS,
)
TOO_COLD: Final = Doubt(
    "log-too-cold",
    f"in {NEVER_WARM_H:g} hours and more indoors never reaches {NEVER_WARM_C:g} °C, below {POLAR_LATITUDE_DEG:g}° of "
    "latitude",
    TRUE_UNIT,
    NO_SOURCE,
)
DOUBTS: Final = (SWAPPED, TOO_WARM, TOO_COLD)


def log_doubts(record: HourlyRecord, ledger: Ledger) -> tuple[Notice, ...]:
    """Doubt the indoor and outdoor channels of a record, each reason once.

    Where the two are changed round, nothing else is said: their levels follow from it.

    Parameters
    ----------
    record : hourly means.
    ledger : place, hold temperature, season book, where the channels are named.

    Returns
    -------
    tuple of Notice
    """
    hours = record.hours
    if not {"indoor", "outdoor"} <= set(hours.columns):
        return ()
    months = _by_month(record)
    said = _swapped(months, ledger)
    if not said:
        said = [*_outdoors(months, ledger), *_indoors(months, ledger), *_lifted(months, ledger)][:1]
        said += _never_warm(record, ledger)
    return tuple(said)


def _by_month(record: HourlyRecord) -> pd.DataFrame:
    """Means of each calendar month over the hours in which both are known, and what share of them reads crossed."""
    both = record.hours[["indoor", "outdoor"]].dropna()
    index = pd.DatetimeIndex(both.index)
    step_h = max(1.0, record.step_minutes / 60.0)
    rise = both["indoor"] - both["outdoor"]
    cold = both.min(axis=1) < COLD_C
    local = index.tz_convert(record.timezone)
    night = np.asarray(local.hour < NIGHT_ENDS_H)
    table = pd.DataFrame(
        {
            "indoor": both["indoor"],
            "outdoor": both["outdoor"],
            "hours": step_h,
            "cold_h": np.where(cold, step_h, 0.0),
            "cold_rise": rise.where(cold),
            "colder": (rise < 0.0).astype(float).where(cold),
            "night_h": np.where(night, step_h, 0.0),
            "night_rise": rise.where(night),
        }
    )
    sums = {"hours": "sum", "cold_h": "sum", "night_h": "sum"}
    rule = {name: sums.get(name, "mean") for name in table.columns}
    return table.groupby(local.strftime("%Y-%m")).agg(rule)


def _swapped(months: pd.DataFrame, ledger: Ledger) -> list[Notice]:
    found = months[
        (months["cold_h"] >= LEAST_HOURS) & (months["colder"] >= COLDER_SHARE) & (months["cold_rise"] <= -COLDER_K)
    ]
    if found.empty:
        return []
    first = found.iloc[0]
    text = (
        f"in {_months(found)} indoors reads colder than outdoors in {first['colder']:.0%} of the cold hours, by "
        f"{-first['cold_rise']:.1f} K on average, and no house under the sun does. Are the two columns changed round? "
        f"Then {OTHER_COLUMN}"
    )
    return [Notice(SWAPPED.code, text, "log.indoor", _line(ledger, "indoor"))]


def _outdoors(months: pd.DataFrame, ledger: Ledger) -> list[Notice]:
    """The outdoor mean of a winter month above that of any mild coast so far from the equator."""
    latitude = ledger.site.latitude_deg
    if abs(latitude) < WINTER_LATITUDE_DEG:
        return []
    most = MILDEST_AT_30_C - MILDER_PER_DEGREE_K * (abs(latitude) - WINTER_LATITUDE_DEG)
    most -= LAPSE_K_PER_KM * ledger.site.elevation_m / 1000.0
    winter = ("12", "01", "02") if latitude > 0.0 else ("06", "07", "08")
    here = months.index.str[-2:].isin(winter)
    found = months[here & (months["hours"] >= LEAST_HOURS) & (months["outdoor"] > most)]
    if found.empty:
        return []
    text = (
        f"in {_months(found)} the outdoor mean is {found['outdoor'].iloc[0]:.1f} °C; at latitude {latitude:g} and "
        f"{ledger.site.elevation_m:.0f} m no winter month is warmer than about {most:.0f}. Are its numbers degrees "
        f"Fahrenheit, or is another column the outdoor one? To mend it {TRUE_UNIT}"
    )
    return [Notice(TOO_WARM.code, text, "log.outdoor", _line(ledger, "outdoor"))]


def _indoors(months: pd.DataFrame, ledger: Ledger) -> list[Notice]:
    most = max(WARM_INDOORS_C, ledger.hold.temperature_c + WARM_OVER_HOLD_K)
    found = months[(months["hours"] >= LEAST_HOURS) & (months["indoor"] > most) & (months["outdoor"] < COLD_C)]
    if found.empty:
        return []
    text = (
        f"in {_months(found)} the indoor mean is {found['indoor'].iloc[0]:.1f} °C with {found['outdoor'].iloc[0]:.1f} "
        f"outdoors, and the house is to be held at {ledger.hold.temperature_c:.1f}. Are its numbers degrees "
        f"Fahrenheit? To mend it {TRUE_UNIT}"
    )
    return [Notice(TOO_WARM.code, text, "log.indoor", _line(ledger, "indoor"))]


def _lifted(months: pd.DataFrame, ledger: Ledger) -> list[Notice]:
    """Nights far above outdoors though nothing heats: a floor and a store alone do not do that."""
    channels = {channel.channel for log in ledger.logs for channel in log.channels}
    names = {build.name for build in ledger.builds} | {HOUSE}
    if "heater" in channels or any(line.target not in names for line in ledger.running):
        return []
    found = months[(months["night_h"] >= LEAST_NIGHT_H) & (months["night_rise"] > LIFT_BY_NOTHING_K)]
    if found.empty:
        return []
    text = (
        f"in {_months(found)} the hours from midnight to five are {found['night_rise'].iloc[0]:.0f} K above outdoors, "
        "and neither the log nor the season book knows of a heater. Is one of the two columns in another unit, or was "
        f"backup heat used? To mend it {TRUE_UNIT}, or note the heat that was bought"
    )
    return [Notice(TOO_WARM.code, text, "log.indoor", _line(ledger, "indoor"))]


def _never_warm(record: HourlyRecord, ledger: Ledger) -> list[Notice]:
    known = record.hours["indoor"].dropna()
    long_enough = len(known) * max(1.0, record.step_minutes / 60.0) >= NEVER_WARM_H
    if not long_enough or abs(ledger.site.latitude_deg) >= POLAR_LATITUDE_DEG or float(known.max()) >= NEVER_WARM_C:
        return []
    text = (
        f"in the whole log indoors never rises above {float(known.max()):.1f} °C, and the sun warms any glazed house "
        f"beyond that on some day. Were degrees Celsius read as Fahrenheit? To mend it {TRUE_UNIT}"
    )
    return [Notice(TOO_COLD.code, text, "log.indoor", _line(ledger, "indoor"))]


def _months(found: pd.DataFrame) -> str:
    """The first month, and how many more."""
    more = len(found) - 1
    return str(found.index[0]) + (f" (and {more} more {'month' if more == 1 else 'months'})" if more else "")


def _line(ledger: Ledger, name: str) -> int | None:
    """Where a channel is named in the ledger."""
    return next((c.line for log in ledger.logs for c in log.channels if c.channel == name), None)
