"""Switches, watts and kilowatt-hours of fan and heater to a share of the hour and watts."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.series.readings import Instants, Kind, Trace, Values
from ledger.series.zone import HOUR_MS

ON_SHARE = 0.02  # of the usual full power: below it stands the standby draw. Common practice, no source
ON_LEAST_W = 1.0
_RISING_SHARE = 0.995
_FALLING_CHANGES = 0.1  # a fan's energies fall as often as they rise, however seldom it is switched; ours, no source


@dataclass(frozen=True, slots=True, eq=False)
class Running:
    """A fan or heater: whether it runs [share], what it draws [W, None where no one says], how its energy was read."""

    on: Values
    watts: Values | None
    note: str = ""


def running(trace: Trace, stamps_ms: Instants, values: Values, *, interval_ms: float | None = None) -> Running:
    """Read a fan's or a heater's channel.

    Parameters
    ----------
    trace : the channel; its `power_w` turns a switch into watts.
    stamps_ms, values : its readings in rising order. [ms, unit of its kind]
    interval_ms : what one energy of an interval is that of; None: the usual distance of the readings. [ms]

    Returns
    -------
    Running : one value for each reading. Energy that only rises is a counter and its differences are taken; else each
        reading is the energy of its own interval.
    """
    match trace.kind:
        case Kind.SWITCH:
            share = np.clip(values, 0.0, 1.0)
            return Running(share, None if trace.power_w is None else share * trace.power_w)
        case Kind.PERCENT:
            share = np.clip(values / 100.0, 0.0, 1.0)
            return Running((share > 0.0).astype(float), None if trace.power_w is None else share * trace.power_w)
        case Kind.STEP_ENERGY | Kind.COUNTER_ENERGY:
            return _energy(stamps_ms, values, interval_ms)
        case _:
            return Running(_on(values), values)


def _on(watts: Values) -> Values:
    full = float(np.quantile(watts, 0.98)) if len(watts) else 0.0
    return (watts > max(ON_LEAST_W, ON_SHARE * full)).astype(float)


def is_counter(values: Values) -> bool:
    """Whether energies only rise, a meter's replacement aside."""
    steps = np.diff(values)
    if len(steps) < 2 or not (steps != 0).any():
        return bool(len(values) and values[0] > 0 and not (steps != 0).any())
    falls, changes = np.count_nonzero(steps < 0), np.count_nonzero(steps)
    rises = np.mean(steps >= 0) >= _RISING_SHARE and falls <= _FALLING_CHANGES * changes
    return bool(rises and values[-1] > values[0] and values.min() >= 0)


def _energy(stamps_ms: Instants, values: Values, interval_ms: float | None) -> Running:
    gaps = np.diff(stamps_ms)
    step_ms = float(np.median(gaps)) if len(gaps) else float(HOUR_MS)
    if is_counter(values):
        rise = np.append(np.diff(values), np.nan)
        span = np.append(gaps, step_ms)
        watts = np.where(rise >= 0, rise * 1000.0 * HOUR_MS / span, np.nan)
        return Running(np.where(np.isnan(watts), np.nan, _on(np.nan_to_num(watts))), watts, "read as a rising counter")
    watts = values * 1000.0 * HOUR_MS / (step_ms if interval_ms is None else interval_ms)
    return Running(_on(watts), watts, "read as the energy of each interval")
