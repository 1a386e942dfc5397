"""One pure mask per fault: True = fault. Readings are never edited.

All masks take instants in rising order and readings without holes; thresholds stand in `series.thresholds`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ledger.series import thresholds as th
from ledger.series.readings import Instants, Kind, Mask, Values
from ledger.series.zone import DAY_MS, HOUR_MS

YEAR_MS = int(365.25 * DAY_MS)
_SAMPLE = 200_000


@dataclass(frozen=True, slots=True)
class Span:
    """A span of instants, both ends included. [ms UTC]"""

    first_ms: int
    last_ms: int


@dataclass(frozen=True, slots=True)
class Limits:
    """Least and greatest believable reading, in the cold and in the warm half of the year. [unit of the channel]"""

    low: float
    high: float
    summer_low: float
    summer_high: float


def excluded(stamps_ms: Instants, spans: Sequence[Span]) -> Mask:
    """Readings inside the spans that the ledger sets aside."""
    mask = np.zeros(len(stamps_ms), bool)
    for span in spans:
        first = np.searchsorted(stamps_ms, span.first_ms, side="left")
        mask[first : np.searchsorted(stamps_ms, span.last_ms, side="right")] = True
    return mask


def starts_anew(stamp_ms: int) -> bool:
    """Whether an instant lies on a first of January somewhere on earth: where clocks start that lost the date."""
    day = np.datetime64(stamp_ms + 14 * HOUR_MS, "ms").astype("datetime64[D]")
    return int((day - day.astype("datetime64[Y]")).astype(int)) <= 1


def range_limits(channel: str, latitude_deg: float) -> Limits | None:
    """Limits of a channel at a latitude; None: no limits. [unit of the channel]"""
    match channel:
        case "outdoor" if abs(latitude_deg) > th.FAR_LATITUDE_DEG:
            return Limits(th.FAR_OUTDOOR_WINTER_LOW_C, th.FAR_OUTDOOR_WINTER_HIGH_C,
                          th.FAR_OUTDOOR_SUMMER_LOW_C, th.FAR_OUTDOOR_SUMMER_HIGH_C)  # fmt: skip
        case "outdoor":
            return Limits(th.OUTDOOR_WINTER_LOW_C, th.OUTDOOR_WINTER_HIGH_C,
                          th.OUTDOOR_SUMMER_LOW_C, th.OUTDOOR_SUMMER_HIGH_C)  # fmt: skip
        case "indoor" | "unheated" | "tube_in" | "tube_out":
            return _all_year(th.INDOOR_LOW_C, th.INDOOR_HIGH_C)
        case "water":
            return _all_year(th.WATER_LOW_C, th.WATER_HIGH_C)
        case "soil":
            return _all_year(th.SOIL_LOW_C, th.SOIL_HIGH_C)
        case "humidity":
            return _all_year(th.HUMIDITY_LOW_PCT, th.HUMIDITY_HIGH_PCT)
        case "wind":
            return _all_year(0.0, th.WIND_HIGH_M_S)
        case "sun":
            return _all_year(th.SUN_LOW_W_M2, th.SUN_HIGH_W_M2)
        case _:
            return None


def _all_year(low: float, high: float) -> Limits:
    return Limits(low, high, low, high)


def out_of_range(stamps_ms: Instants, values: Values, limits: Limits, *, south: bool) -> Mask:
    """Readings outside the limits of their half of the year (April to September is the warm half in the north)."""
    low, high = max(limits.low, limits.summer_low), min(limits.high, limits.summer_high)
    mask = (values < low) | (values > high)
    doubtful = np.flatnonzero(mask)
    if len(doubtful):
        month = stamps_ms[doubtful].astype("datetime64[ms]").astype("datetime64[M]").astype(int) % 12 + 1
        warm = ((month >= 4) & (month <= 9)) != south
        here = values[doubtful]
        lows = np.where(warm, limits.summer_low, limits.low)
        highs = np.where(warm, limits.summer_high, limits.high)
        mask[doubtful] = (here < lows) | (here > highs)
    return mask


def zero_on_all(columns: Sequence[Values], zeros: Sequence[float]) -> Mask:
    """Rows in which every temperature channel is a bare 0, where such a run is entered or left by a jump."""
    mask: Mask = np.ones(len(columns[0]), bool)
    for values, zero in zip(columns, zeros, strict=True):
        mask &= values == zero
    if len(columns) < 2 or not mask.any():
        return np.zeros(len(columns[0]), bool)
    for first, last in zip(*_ends(mask), strict=True):
        jumps = [
            abs(v[b] - v[a])
            for v in columns
            for a, b in ((first - 1, first), (last, last + 1))
            if a >= 0 and b < len(v)
        ]
        if not any(jump > th.ZERO_JUMP_K for jump in jumps):
            mask[first : last + 1] = False
    return mask


def _ends(mask: Mask) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """First and last place of every run of True."""
    edges = np.diff(np.concatenate([[0], mask.view(np.int8), [0]]))
    return np.flatnonzero(edges == 1), np.flatnonzero(edges == -1) - 1


def resolution(values: Values) -> float:
    """The step of a channel's digits: the size that all but a twentieth of its changes from row to row reach.

    Differs from the smallest step in the file, which one reading from another export would set.

    Parameters
    ----------
    values : in rising order of time. [unit of the channel]

    Returns
    -------
    float : infinite when it changes fewer than ten times. [unit of the channel]
    """
    sample = values[:_SAMPLE] if len(values) <= 2 * _SAMPLE else np.concatenate([values[:_SAMPLE], values[-_SAMPLE:]])
    changes = np.abs(np.diff(sample))
    changes = changes[changes > 1e-9]
    return float(np.quantile(changes, 0.05)) if len(changes) >= 10 else float("inf")


def still_runs(
    stamps_ms: Instants, same: Mask, *, step_ms: float
) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Runs of rows that repeat the row before: place of the row repeated, place of the last repeat.

    Parameters
    ----------
    stamps_ms : instants. [ms]
    same : for each row but the first, whether it repeats the one before.
    step_ms : usual interval; a hole of three of them (at least two hours) ends a run. [ms]
    """
    joined = same & (np.diff(stamps_ms) <= max(3 * step_ms, 2 * HOUR_MS))
    first, last = _ends(joined)
    return first, last + 1


def stuck_alone(stamps_ms: Instants, values: Values, *, least_h: float, step_ms: float) -> Mask:
    """A channel that repeats the same digits for so long; the first reading of the run is believed.

    Differs from screens by a count of equal readings (QARTOD), which flag calm nights of rounded data.

    Parameters
    ----------
    stamps_ms, values : of one channel. [ms, its unit]
    least_h : shortest run that is a fault. [h]
    step_ms : usual interval. [ms]
    """
    mask = np.zeros(len(values), bool)
    if len(values) < 3:
        return mask
    first, last = still_runs(stamps_ms, np.diff(values) == 0.0, step_ms=step_ms)
    long = stamps_ms[last] - stamps_ms[first] > least_h * HOUR_MS
    for a, b in zip(first[long], last[long], strict=True):
        mask[a + 1 : b + 1] = True
    return mask


def stuck_least_h(channel: str, step_of_digits: float) -> float | None:
    """How long a channel may stand still, by what it measures and its resolution; None: as long as it likes. [h]"""
    fine = step_of_digits < th.FINE_RESOLUTION_K
    match channel:
        case "indoor" | "outdoor" | "unheated" | "tube_in" | "tube_out":
            return th.STUCK_AIR_FINE_H if fine else th.STUCK_AIR_COARSE_H
        case "water":
            return th.STUCK_WATER_FINE_H if fine else th.STUCK_WATER_COARSE_H
        case "soil":
            return th.STUCK_SOIL_FINE_H if fine else th.STUCK_SOIL_COARSE_H
        case _:
            return None


def stuck_together(
    stamps_ms: Instants, lively: Sequence[Values], *, step_ms: float, least_h: float = th.FREEZE_THREE_H
) -> Mask:
    """A whole station that repeats its last row: every lively channel at once, to the same digits.

    Parameters
    ----------
    stamps_ms : of the rows. [ms]
    lively : channels of fine resolution that do not stand still together for long (air, humidity); at least two.
    step_ms : usual interval. [ms]
    least_h : shortest run that is looked at; the thresholds add to it. [h]
    """
    mask = np.zeros(len(stamps_ms), bool)
    if len(lively) < 2 or len(stamps_ms) < th.FREEZE_READINGS:
        return mask
    same: Mask = np.ones(len(stamps_ms) - 1, bool)
    for values in lively:
        same &= np.diff(values) == 0.0
    first, last = still_runs(stamps_ms, same, step_ms=step_ms)
    hours = (stamps_ms[last] - stamps_ms[first]) / HOUR_MS
    likely = (hours >= least_h) & (last - first + 1 >= th.FREEZE_READINGS)
    for a, b, h in zip(first[likely], last[likely], hours[likely], strict=True):
        after = b + 1
        jumps = after < len(stamps_ms) and any(abs(v[after] - v[b]) >= th.FREEZE_JUMP_K for v in lively)
        if h >= th.FREEZE_H or len(lively) > 2 or jumps:
            mask[a + 1 : b + 1] = True
    return mask


def lively_kind(channel: str, kind: Kind, step_of_digits: float) -> bool:
    """Whether a channel's standing still tells of a frozen station."""
    if channel in ("indoor", "outdoor", "unheated", "tube_in", "tube_out"):
        return step_of_digits < th.FINE_RESOLUTION_K
    return kind is Kind.PERCENT and channel == "humidity" and step_of_digits <= 1.0
