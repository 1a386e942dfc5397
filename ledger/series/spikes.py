"""Readings that leap away from their neighbours and back; the good neighbours stay."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from ledger.series import thresholds as th
from ledger.series.readings import Instants, Mask, Values
from ledger.series.zone import HOUR_MS

_MINUTE_MS = 60_000


def spike_limit_k(channel: str, step_ms: float) -> float | None:
    """How far one reading may stand off both neighbours; None: no limit. [K]"""
    quick = step_ms <= th.SPIKE_QUICK_STEP_MIN * _MINUTE_MS
    match channel:
        case "outdoor":
            return th.SPIKE_OUTDOOR_K if quick else th.SPIKE_OUTDOOR_SLOW_K
        case "indoor" | "unheated" | "tube_in" | "tube_out":
            return th.SPIKE_INDOOR_K if quick else th.SPIKE_INDOOR_SLOW_K
        case "water" | "soil":
            return th.SPIKE_WATER_K if quick else th.SPIKE_WATER_SLOW_K
        case _:
            return None


def spikes(stamps_ms: Instants, values: Values, *, limit_k: float, step_ms: float) -> Mask:
    """Readings, one to three in a row, between a jump away and a jump back; and runs of like digits between two jumps.

    A jump away that is not followed by one back (a vent opens, the sun comes out) is no spike.

    Parameters
    ----------
    stamps_ms, values : of one channel. [ms, °C]
    limit_k : smallest jump; half as much again where two or three readings leap together. [K]
    step_ms : usual interval; jumps across a hole of six of them (at least an hour) are no jumps. [ms]
    """
    mask = np.zeros(len(values), bool)
    if len(values) < 3:
        return mask
    step = np.diff(values)
    jumps = np.flatnonzero(np.abs(step) > limit_k)
    jumps = jumps[np.diff(stamps_ms)[jumps] <= max(6 * step_ms, HOUR_MS)]
    k = 0
    while k + 1 < len(jumps):
        here, there = int(jumps[k]), int(jumps[k + 1])
        if _there_and_back(values, here, there, limit_k):
            mask[here + 1 : there + 1] = True
            k += 2
        else:
            k += 1
    return mask


def _there_and_back(values: Values, here: int, there: int, limit_k: float) -> bool:
    """Whether the readings after `here` up to `there` leap away from the level before, to which the level returns."""
    away = values[here + 1] - values[here]
    back = values[there + 1] - values[there]
    if away * back >= 0:
        return False
    count = there - here
    left = abs(values[there + 1] - values[here])
    if left > 0.5 * min(abs(away), abs(back)):
        return False
    if count == 1:
        return True
    plateau = bool((values[here + 1 : there + 1] == values[here + 1]).all())
    return plateau or (count <= th.SPIKE_READINGS and min(abs(away), abs(back)) > 1.5 * limit_k)


def plateaus(stamps_ms: Instants, values: Values, *, step_ms: float) -> Mask:
    """Runs of like digits, six readings and more, reached by a jump and left by one back: a probe that was lost.

    Parameters
    ----------
    stamps_ms, values : of one channel of fine resolution. [ms, °C]
    step_ms : usual interval. [ms]
    """
    mask = np.zeros(len(values), bool)
    if len(values) < th.FREEZE_READINGS + 2 or step_ms > th.SPIKE_QUICK_STEP_MIN * _MINUTE_MS:
        return mask
    step = np.diff(values)
    quick = np.diff(stamps_ms) <= max(3 * step_ms, HOUR_MS / 2)
    jumps = np.flatnonzero((np.abs(step) > th.PLATEAU_K) & quick)
    for here, there in pairwise(jumps.tolist()):
        run = values[here + 1 : there + 1]
        if len(run) >= th.FREEZE_READINGS and step[here] * step[there] < 0 and (run == run[0]).all():
            mask[here + 1 : there + 1] = True
    return mask


def handled(stamps_ms: Instants, values: Values) -> Mask:
    """Readings of the first and the last hour beyond a jump: the logger was switched on, carried, taken in.

    Parameters
    ----------
    stamps_ms, values : of one air channel, over a day at least. [ms, °C]
    """
    mask = np.zeros(len(values), bool)
    if len(values) < 12 or stamps_ms[-1] - stamps_ms[0] < 24 * HOUR_MS:
        return mask
    edge = int(th.HANDLING_H * HOUR_MS)
    early = int(np.searchsorted(stamps_ms, stamps_ms[0] + edge, side="right"))
    jumps = _jumps(stamps_ms[: early + 1], values[: early + 1])
    if len(jumps):
        mask[: jumps[-1] + 1] = True
    late = int(np.searchsorted(stamps_ms, stamps_ms[-1] - edge, side="left"))
    start = max(0, late - 1)
    jumps = _jumps(stamps_ms[start:], values[start:])
    if len(jumps):
        mask[start + jumps[0] + 1 :] = True
    return mask


def _jumps(stamps_ms: Instants, values: Values) -> Instants:
    quick = np.diff(stamps_ms) <= th.SPIKE_QUICK_STEP_MIN * _MINUTE_MS
    places: Instants = np.flatnonzero((np.abs(np.diff(values)) > th.HANDLING_K) & quick)
    return places
