"""How the fan switches, read off the log: set points for the air, and how much warmer or cooler the bed must be."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.switches import LEAST_WAITS, Side, find_side, smoothed

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

LEAST_AGREEMENT = 0.6
"""A rule must give back this share of the fan's hours at least, one over it at most, else the logged hours stand."""
FEW = 0.05
HALF_K = 0.5


@dataclass(frozen=True, slots=True)
class Branch:
    """One side of the thermostat, temperatures times `sign` (+1 cold side, −1 warm side).

    On when sign · air falls below `on_c` while sign · (bed − air) is above `over_on_k`; off when sign · air rises above
    `off_c` or sign · (bed − air) falls below `over_off_k`. Settings may be one for all runs of a batch or one a run.
    """

    sign: float
    on_c: float | Floats
    off_c: float | Floats
    over_on_k: float | Floats
    over_off_k: float | Floats


@dataclass(frozen=True, slots=True, eq=False)
class FanRule:
    """The thermostat; a side that the log never shows is None and never runs.

    `hours`: the log's own fan by step, used in place of the branches where no thermostat explains it.
    """

    cold: Branch | None
    warm: Branch | None
    hours: Flags | None


NO_FAN = FanRule(None, None, None)


def fan_rule(grid: Grid, near_c: Floats) -> FanRule:
    """Read the thermostat off the log and the fitted bed.

    Parameters
    ----------
    grid : log with a fan channel.
    near_c : the fitted bed's temperature by step. [°C]

    Returns
    -------
    FanRule : with the logged hours in it where the thermostat found does not give the fan's hours back.
    """
    rule = _thermostat(grid, near_c[:, None])
    air = smoothed(grid.indoor_c)
    known = np.isfinite(air) & np.isfinite(grid.fan_share)
    logged = float(grid.fan_share[known].sum())
    replayed = float(_replay(rule, air, near_c)[known].sum())
    if logged > 0.0 and LEAST_AGREEMENT <= replayed / logged <= 1.0 / LEAST_AGREEMENT:
        return rule
    return FanRule(None, None, np.asarray(grid.fan_level is not None and grid.fan_level > 1))


def cold_setting_c(rule: FanRule) -> float | None:
    """The air at which the fan begins to give heat back; None where the log shows none. [°C]"""
    if rule.hours is not None or rule.cold is None:
        return None
    return float(rule.cold.sign * rule.cold.on_c)


def rule_of_each(rule: FanRule, grid: Grid, near_c: Floats, *, misread_k: tuple[Floats, Floats]) -> FanRule:
    """The same thermostat with the bed's lead read anew for each of many fitted beds.

    How much warmer a bed must be than the air is read off the fitted bed: where that is a kelvin warmer, so is the
    lead, and the fan runs as it did. One lead for all would have warm beds run on and cold ones stop.

    Parameters
    ----------
    rule : as `fan_rule` found it.
    grid : log with a fan channel.
    near_c : (steps, batch) the beds. [°C]
    misread_k : (batch,) how far each takes the lead, and the set point, to have been misread. [K]

    Returns
    -------
    FanRule : leads (batch,); the same where logged hours stand in for a thermostat.
    """
    if rule.hours is not None:
        return rule
    read = _thermostat(grid, near_c)
    return FanRule(_misread(read.cold, *misread_k), _misread(read.warm, *misread_k), None)


def repeated(rule: FanRule, columns: NDArray[np.int64]) -> FanRule:
    """The rule of each run by its place among the beds it was read for."""
    if rule.hours is not None:
        return rule

    def of(branch: Branch | None) -> Branch | None:
        if branch is None:
            return None
        on_c, off_c, over_on, over_off = (
            np.atleast_1d(each)[columns] for each in (branch.on_c, branch.off_c, branch.over_on_k, branch.over_off_k)
        )
        return Branch(branch.sign, on_c, off_c, over_on, over_off)

    return FanRule(of(rule.cold), of(rule.warm), None)


def _misread(branch: Branch | None, lead_k: Floats, setting_k: Floats) -> Branch | None:
    if branch is None:
        return None
    return replace(
        branch,
        on_c=branch.on_c + setting_k,
        off_c=branch.off_c + setting_k,
        over_on_k=branch.over_on_k + lead_k,
        over_off_k=branch.over_off_k + lead_k,
    )


def _thermostat(grid: Grid, near_c: Floats) -> FanRule:
    cold, warm = (find_side(grid, sign=sign) for sign in (1.0, -1.0))
    return FanRule(
        None if cold is None else _branch(cold, near_c), None if warm is None else _branch(warm, near_c), None
    )


def switched_on(rule: FanRule, row: int, running: Flags, air_c: Floats, near_c: Floats) -> Flags:
    """Whether the fan runs in a step, for a batch.

    Parameters
    ----------
    rule : the thermostat.
    row : the step.
    running : whether it ran in the step before.
    air_c, near_c : air and bed at the end of the step before. [°C]

    Returns
    -------
    array of bool
    """
    if rule.hours is not None:
        return np.full(len(air_c), bool(rule.hours[row]))
    over_k = near_c - air_c
    on = np.zeros(len(air_c), dtype=bool)
    if rule.cold is not None:
        on = _wanted(rule.cold, running, air_c, over_k)
    if rule.warm is not None:
        on |= _wanted(rule.warm, running, -air_c, -over_k)
    return on


def _wanted(branch: Branch, running: Flags, signed_air: Floats, signed_over: Floats) -> Flags:
    air = np.where(running, branch.off_c, branch.on_c)
    over = np.where(running, branch.over_off_k, branch.over_on_k)
    return np.asarray((signed_air < air) & (signed_over > over))


def _branch(side: Side, near_c: Floats) -> Branch:
    on_c = float(np.median(side.sign * side.at_air_on.air_c))
    off_c = on_c + HALF_K
    if len(side.at_air_off.rows) >= LEAST_WAITS:
        off_c = max(on_c, float(np.median(side.sign * side.at_air_off.air_c)))

    def over(rows: NDArray[np.int64], air_c: Floats) -> Floats:
        return np.asarray(side.sign * ((near_c[rows] + near_c[rows + 1]) / 2.0 - air_c[:, None]))

    if min(len(side.waits_on.rows), len(side.waits_off.rows)) >= LEAST_WAITS:
        over_on = np.median(over(side.waits_on.rows, side.waits_on.air_c), axis=0)
        over_off = np.minimum(over_on, np.median(over(side.waits_off.rows, side.waits_off.air_c), axis=0))
        return Branch(side.sign, on_c, off_c, over_on, over_off)
    rows = side.running[(side.running > 0)]
    seen = over(rows - 1, (side.air_c[rows] + side.air_c[rows - 1]) / 2.0)
    least = np.asarray(np.quantile(seen, FEW, axis=0) if len(seen) else np.zeros(near_c.shape[1]))
    return Branch(side.sign, on_c, off_c, least, least)


def _replay(rule: FanRule, air_c: Floats, near_c: Floats) -> Floats:
    out = np.zeros(len(air_c))
    running = np.zeros(1, dtype=bool)
    for row in range(1, len(air_c)):
        if np.isfinite(air_c[row - 1]):
            running = switched_on(rule, row, running, air_c[row - 1 : row], near_c[row - 1 : row])
        out[row] = float(running[0])
    return out
