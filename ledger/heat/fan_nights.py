"""A season's nights by whether the fan was free to run."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.prepared import YearHours

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

LEAST_DARK_H = 6.0
LEAST_BLOCK = 3
WARM_H = 2.0
"""A day asked for the fan when the air stood this long above the temperature at which the fan usually starts. [h]"""
ABOVE_START_K = 1.0
COLDER_K = 0.5
REMEMBERED_DAYS = 3
AROUND_DAYS = 3
AROUND_RUNNING = 2
"""A block counts as switched off where the fan ran on two of the three days before it and of the three after it. Else
nothing asked for it in a mild part of the season, and such nights are warm for that very reason."""
LEAST_STARTS = 6
RUNS = 0.05
"""Share of an hour from which on the fan ran in it."""
USUAL_START_SHARE = 0.25
CHARGING_C = 14.0


@dataclass(frozen=True, slots=True)
class Night:
    """One night and the day before it.

    `day`: number of the clock day on whose evening it begins; `lift_k`, `outdoor_c`: means over its dark hours; `sun`:
    the day's sun [W/m2], or the day's outdoor swing [K] where no sun is logged; `off`: the fan was switched off;
    `block`: number of its block of off nights; `usable`: whole, and not the first night after a switch.
    """

    day: int
    lift_k: float
    outdoor_c: float
    sun: float
    off: bool
    block: int
    usable: bool


def nights_of_season(year: YearHours) -> tuple[Night, ...]:
    """Sort a season's nights.

    A block of off nights is a run of at least three days and nights in which the fan never ran although a thermostat
    would have run it: the air stood for hours above the temperature at which the fan usually starts charging, or it
    fell lower than it was when the fan last gave heat back, within three days before. Of a fan that gives heat back at
    night only the second is proof, on one night at least: a warm bed keeps a fan from charging on a warm day. The fan
    must have been at work on most days just before and just after.

    Parameters
    ----------
    year : the season's hours.

    Returns
    -------
    tuple of Night : with both temperatures known in at least six dark hours.
    """
    fan = year.channels["fan_on"]
    start_c = _usual_start_c(year)
    days = np.unique(year.day_number[year.in_season])
    idle = np.array([_idle(fan[year.day_number == d]) for d in days])
    cold = _asked_cold(year, days, idle)
    asked = cold | np.array([_asked_warm(year, year.day_number == d, start_c) for d in days])
    block = _blocks(idle, asked, proof=cold if _gives_at_night(year, days) else asked)
    found = []
    for i, day in enumerate(days[:-1]):
        night = _night(year, int(day))
        if night is None:
            continue
        lift, outdoor, sun = night
        off = bool(block[i] > 0)
        switched = i > 0 and (block[i] > 0) != (block[i - 1] > 0)
        found.append(Night(int(day), lift, outdoor, sun, off, int(block[i]), not switched))
    return tuple(found)


def _usual_start_c(year: YearHours) -> float | None:
    """Low quartile of the air temperature in hours in which a charging fan starts."""
    fan, air = year.channels["fan_on"], year.indoor_c
    starts = np.flatnonzero((fan[1:] > RUNS) & (fan[:-1] <= RUNS) & (air[1:] > CHARGING_C)) + 1
    return float(np.quantile(air[starts], USUAL_START_SHARE)) if len(starts) >= LEAST_STARTS else None


def _idle(fan: Floats) -> bool:
    known = fan[np.isfinite(fan)]
    return len(known) >= len(fan) / 2 and bool(np.all(known <= RUNS))


def _asked_warm(year: YearHours, rows: Flags, start_c: float | None) -> bool:
    if start_c is None:
        return False
    warm = year.indoor_c[rows] > start_c + ABOVE_START_K
    return bool(np.count_nonzero(warm) * year.step_h >= WARM_H)


def _gives_at_night(year: YearHours, days: NDArray[np.int64]) -> bool:
    """Whether this fan gives heat back at night: then a warm afternoon is no sign that it was switched off."""
    giving = (year.channels["fan_on"] > RUNS) & (year.indoor_c < CHARGING_C)
    return len(np.unique(year.day_number[giving & year.in_season])) >= min(LEAST_STARTS, len(days))


def _asked_cold(year: YearHours, days: NDArray[np.int64], idle: Flags) -> Flags:
    """Idle days whose air fell below the middle of what it was while the fan last gave heat back."""
    fan, air = year.channels["fan_on"], year.indoor_c
    asked, last, seen = np.zeros(len(days), dtype=bool), np.nan, -np.inf
    for i, day in enumerate(days):
        rows = year.day_number == day
        giving = rows & (fan > RUNS) & (air < CHARGING_C)
        if giving.any():
            last, seen = float(np.median(air[giving])), i
        elif idle[i] and i - seen <= REMEMBERED_DAYS + _idle_before(idle, i):
            known = air[rows & np.isfinite(air)]
            asked[i] = len(known) > 0 and float(known.min()) < last - COLDER_K
    return asked


def _idle_before(idle: Flags, day: int) -> int:
    count = 0
    while day - count - 1 >= 0 and idle[day - count - 1]:
        count += 1
    return count


def _blocks(idle: Flags, asked: Flags, *, proof: Flags) -> NDArray[np.int64]:
    numbers, count, i = np.zeros(len(idle), dtype=np.int64), 0, 0
    while i < len(idle):
        if not idle[i]:
            i += 1
            continue
        j = i
        while j < len(idle) and idle[j]:
            j += 1
        if j - i >= LEAST_BLOCK and proof[i:j].any() and _working_around(idle, i, j):
            first, last = i + int(np.argmax(asked[i:j])), j - int(np.argmax(asked[i:j][::-1]))
            if last - first >= LEAST_BLOCK:
                count += 1
                numbers[first:last] = count
        i = j
    return numbers


def _working_around(idle: Flags, first: int, after: int) -> bool:
    """Whether the fan was at work just before and just after a run of idle days."""
    before, behind = idle[max(0, first - AROUND_DAYS) : first], idle[after : after + AROUND_DAYS]
    return bool(min(np.count_nonzero(~before), np.count_nonzero(~behind)) >= AROUND_RUNNING)


def _night(year: YearHours, day: int) -> tuple[float, float, float] | None:
    """Mean lift, mean outdoors of the night that begins on a day's evening, and the day's sun."""
    noon = np.flatnonzero(year.day_number == day)
    if len(noon) == 0:
        return None
    middle = int(noon[len(noon) // 2])
    span = np.arange(middle, min(len(year.dark), middle + round(24.0 / year.step_h)))
    dark = span[year.dark[span] & year.valid[span]]
    if len(dark) * year.step_h < LEAST_DARK_H:
        return None
    lift = float(np.mean(year.indoor_c[dark] - year.outdoor_c[dark]))
    sun = year.channels["sun"][noon]
    if np.isfinite(sun).any():
        return lift, float(np.mean(year.outdoor_c[dark])), float(np.nanmean(sun))
    outdoor = year.outdoor_c[noon][np.isfinite(year.outdoor_c[noon])]
    return lift, float(np.mean(year.outdoor_c[dark])), float(np.ptp(outdoor)) if len(outdoor) else 0.0
