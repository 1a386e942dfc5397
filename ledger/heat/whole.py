"""A season's open hours filled by its own months: what the whole season would have been."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.heat.backup import Backup
from ledger.heat.prepared import Integers, YearHours
from ledger.heat.results import Band
from ledger.heat.rungs import Floats, HourlyHeat, credited_kwh
from ledger.heat.season import Reckoned

OUTER_SHARE = 0.1


@dataclass(frozen=True, slots=True)
class WholeSeason:
    """Need and avoided heat over all counted hours of a season, with the range [kWh]."""

    need_kwh: float
    avoided_kwh: float
    range_kwh: Band


def whole_season(year: YearHours, reckoned: Reckoned, backup: Backup) -> WholeSeason | None:
    """Fill the open counted hours by the month's mean per counted hour.

    The range widens: its low end fills each month's open hours with that month's tenth-percentile night, its high end
    with the ninetieth (added heat per counted hour of a night), as if all open nights had been poor, or good, ones.

    Parameters
    ----------
    year : the season's hours.
    reckoned : the way that is used, with its hours.
    backup : bought heat delivered; it belongs to the whole season already.

    Returns
    -------
    WholeSeason or None : None where a month of the season has counted hours and none of them was logged.
    """
    open_hours = _open_hours(year, reckoned.rows)
    logged = {int(m) for m in np.unique(year.month[reckoned.rows])}
    if not set(open_hours) <= logged or not logged:
        return None
    need, avoided = _filled(year, reckoned.rows, reckoned.heat, open_hours, backup)
    ends = [_filled(year, reckoned.rows, end, open_hours, backup)[1] for end in reckoned.ends]
    low, high = (min(ends), max(ends)) if ends else (reckoned.answer.p10, reckoned.answer.p90)
    if not ends:
        shift = avoided - reckoned.answer.avoided_kwh
        low, high = low + shift, high + shift
    below, above = _night_spread(year, reckoned, open_hours)
    return WholeSeason(need, avoided, Band(low - below, high + above))


def _open_hours(year: YearHours, rows: Integers) -> dict[int, int]:
    """Counted hours of each month that the sums leave out, as numbers of rows."""
    left = year.counted.copy()
    left[rows] = False
    months, counts = np.unique(year.month[left], return_counts=True)
    return {int(m): int(c) for m, c in zip(months, counts, strict=True)}


def _filled(
    year: YearHours, rows: Integers, heat: HourlyHeat, open_hours: dict[int, int], backup: Backup
) -> tuple[float, float]:
    month = year.month[rows]
    need = float(np.sum(heat.need_kwh) + _fill(heat.need_kwh, month, open_hours))
    added = float(np.sum(heat.added_kwh) + _fill(heat.added_kwh, month, open_hours))
    return need, credited_kwh(added_kwh=added, backup_delivered_kwh=backup.delivered_kwh, need_kwh=need)


def _fill(per_hour: Floats, month: Integers, open_hours: dict[int, int]) -> float:
    return float(sum(count * np.mean(per_hour[month == m]) for m, count in open_hours.items()))


def _night_spread(year: YearHours, reckoned: Reckoned, open_hours: dict[int, int]) -> tuple[float, float]:
    """How much less and more the open hours hold if they were nights of the tenth and ninetieth percentile [kWh]."""
    added, month = reckoned.heat.added_kwh, year.month[reckoned.rows]
    night = (year.begins_utc.asi8[reckoned.rows] // 3_600_000_000_000 + _noon_shift_h(year)) // 24
    below = above = 0.0
    for m, count in open_hours.items():
        here = month == m
        _, group = np.unique(night[here], return_inverse=True)
        means = np.bincount(group, weights=added[here]) / np.bincount(group)
        low, high = np.quantile(means, [OUTER_SHARE, 1.0 - OUTER_SHARE])
        mean = float(np.mean(added[here]))
        below += count * max(0.0, mean - float(low))
        above += count * max(0.0, float(high) - mean)
    return below, above


def _noon_shift_h(year: YearHours) -> int:
    """Hours from UTC to a clock whose day begins at the site's noon, so that a night is one group."""
    first = year.begins_utc[0]
    local_hour = (year.day_number[0] * 24 * 3600 - first.value // 1_000_000_000) // 3600
    return int(local_hour) + 12
