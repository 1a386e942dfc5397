"""A level that changes at once and stays: another unit, another probe, columns changed round."""

from __future__ import annotations

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.series.record import HourlyRecord

STEP_OUTDOOR_K = 12.0
"""Outdoor air does not change by so much from one hour to the next and stay (WMO-No. 305 VI.21 doubts 4 K)."""
STEP_BOTH_K = 10.0
STEP_GAP_H = 72.0
OVER_USUAL = 1.3
"""Over a hole a step counts when it is so much larger than all but a hundredth of the changes over as many hours."""


def level_notices(record: HourlyRecord) -> list[Notice]:
    """Doubt the first such change: outdoors alone from hour to hour, or indoors and outdoors together."""
    hours = record.hours
    names = [name for name in ("indoor", "outdoor") if name in hours]
    if "outdoor" not in names or record.step_minutes > 60:
        return []
    known = hours[names].dropna()
    if len(known) < 12:
        return []
    for place in _sudden(known):
        if _unusual(hours[names], known, place):
            return [_notice(known, place, record.timezone)]
    return []


def _sudden(known: pd.DataFrame) -> list[int]:
    """Places before a change of hourly means that the median of three hours follows."""
    before = known.rolling(3).median()
    after = known[::-1].rolling(3).median()[::-1].shift(-1)
    stays, at_once = (after - before).abs(), known.diff().shift(-1).abs()
    change = stays.where(stays < at_once, at_once)
    gap_h = _gaps_h(known)
    sudden = (change["outdoor"] > STEP_OUTDOOR_K).to_numpy() & (gap_h <= 1.0)
    if len(known.columns) == 2:
        sudden |= (change > STEP_BOTH_K).all(axis=1).to_numpy() & (gap_h <= STEP_GAP_H)
    return [int(place) for place in np.flatnonzero(sudden)]


def _gaps_h(known: pd.DataFrame) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    moment = pd.DatetimeIndex(known.index)
    result: np.ndarray[tuple[int], np.dtype[np.float64]] = np.append(
        (moment[1:] - moment[:-1]).total_seconds().to_numpy() / 3600, np.inf
    )
    return result


def _unusual(hours: pd.DataFrame, known: pd.DataFrame, place: int) -> bool:
    """Whether a change is larger than this record's usual ones over as many hours (day to night over a hole)."""
    gap = int(_gaps_h(known)[place])
    change = (known.iloc[place + 1] - known.iloc[place]).abs()
    usual = hours.diff(gap).abs().quantile(0.99)
    return bool((change > OVER_USUAL * usual).all()) if gap > 1 else True


def _notice(known: pd.DataFrame, place: int, timezone: str) -> Notice:
    first = pd.DatetimeIndex(known.index)[place + 1].tz_convert(timezone)
    change = known.iloc[place + 1] - known.iloc[place]
    sizes = ", ".join(f"{name} {float(change[name]):+.0f} K" for name in known.columns)
    text = (
        f"from {first:%Y-%m-%d %H:%M} on the level is another ({sizes}) and stays: another unit, another probe, or "
        "columns changed round?"
    )
    return Notice("log-step", text, "log")
