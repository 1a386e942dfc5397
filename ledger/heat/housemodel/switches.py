"""The fan's switching in the log: at which air temperature it switches, and when it waits for the bed."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Flags, Grid, Integers

Floats = NDArray[np.float64]

PARTING_C = 14.0
"""Above it a fan that switches on charges the bed, below it it takes heat back. [°C]"""
USUAL_ON_K = 3.0
USUAL_OFF_K = 2.0
"""A controller that compares bed and air starts at some 3 K between them and stops at 2. Common practice, no source."""
LEAST_SWITCHES = 6
LEAST_WAITS = 5
PEAK_WIDTH_K = 0.4
PEAK_SHARE = 0.3
NEAR_PEAK_K = 0.8
BEYOND_PEAK_K = 1.5
UPPER_END = 0.97
"""Of all starts; the few beyond it are taken for a hand at the switch, or a reading that was off."""


@dataclass(frozen=True, slots=True, eq=False)
class Switching:
    """Switchings of one kind: the step before each, the air at it [°C], the bed's usual lead over it."""

    rows: Integers
    air_c: Floats
    usual_over_k: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """All switchings on the warm (charging) or the cold (giving back) side.

    `sign`: +1 cold, −1 warm: on it the fan switches on when sign · air falls. `at_air_on`, `at_air_off`: switchings
    that the air's own temperature decided; `waits_on`, `waits_off`: those at which the air had passed that mark long
    before, so that the bed decided. `running`: steps at which the fan runs on this side. `air_c`: smoothed air. [°C]
    """

    sign: float
    at_air_on: Switching
    at_air_off: Switching
    waits_on: Switching
    waits_off: Switching
    running: Integers
    air_c: Floats


def find_side(grid: Grid, *, sign: float) -> Side | None:
    """Sort the switchings of one side by what decided them.

    The air temperatures at which a fan switches on pile up at its set point; switchings far beyond the pile were held
    back by something else: the bed was not warm (or cool) enough yet.

    Parameters
    ----------
    grid : log with a fan channel.
    sign : +1 for the cold side, −1 for the warm side.

    Returns
    -------
    Side or None : None where the fan switched on fewer than six times on this side.
    """
    air, share = smoothed(grid.indoor_c), grid.fan_share
    running = share > 0.5
    known = np.isfinite(air) & np.isfinite(share)
    both = known[1:] & known[:-1] & (sign * (air[1:] - PARTING_C) < 0.0)
    on, off = np.flatnonzero(both & running[1:] & ~running[:-1]), np.flatnonzero(both & ~running[1:] & running[:-1])
    if len(on) < LEAST_SWITCHES:
        return None
    middle = (air[1:] + air[:-1]) / 2.0
    mark = set_point(sign * middle[on])

    def sorted_out(rows: Integers) -> tuple[Switching, Switching]:
        past = mark - sign * middle[rows]
        near, beyond = rows[np.abs(past) < NEAR_PEAK_K], rows[past > BEYOND_PEAK_K]
        return Switching(near, middle[near]), Switching(beyond, middle[beyond])

    (at_on, waits_on), (at_off, waits_off) = sorted_out(on), sorted_out(off)
    return Side(sign, at_on, at_off, waits_on, waits_off, np.flatnonzero(both & running[1:]) + 1, air)


def waits(grid: Grid) -> tuple[Switching, ...]:
    """Switchings on the cold side at which the bed decided: each tells the bed's temperature up to one constant.

    Parameters
    ----------
    grid : the log.

    Returns
    -------
    tuple of Switching : switchings on, switchings off, where there are at least five of each.
    """
    side = find_side(grid, sign=1.0) if grid.fan_level is not None else None
    if side is None:
        return ()
    both = (replace(side.waits_on, usual_over_k=USUAL_ON_K), replace(side.waits_off, usual_over_k=USUAL_OFF_K))
    return tuple(s for s in both if len(s.rows) >= LEAST_WAITS)


def set_point(signed_c: Floats) -> float:
    """Where temperatures pile up: the highest of their strong peaks; their upper end where that lies apart.

    A fan never starts above its set point, so a pile below the upper end of all starts is no set point: the bed was too
    cool for the fan to start at it, and what piles up is the air at which the bed was warm enough.

    Parameters
    ----------
    signed_c : sign · temperature at which the fan switched on. [°C]

    Returns
    -------
    float : sign · set point. [°C]
    """
    places = np.arange(signed_c.min() - 0.1, signed_c.max() + 0.15, 0.05)
    density = np.exp(-0.5 * ((places[:, None] - signed_c) / PEAK_WIDTH_K) ** 2).sum(axis=1)
    peak = _peaks(density) & (density > PEAK_SHARE * density.max())
    pile = float(places[np.flatnonzero(peak)[-1]]) if peak.any() else float(places[np.argmax(density)])
    end = float(np.quantile(signed_c, UPPER_END, method="lower"))
    return end if end - pile > NEAR_PEAK_K else pile


def _peaks(density: Floats) -> Flags:
    peak = np.zeros(len(density), dtype=bool)
    peak[1:-1] = (density[1:-1] >= density[:-2]) & (density[1:-1] >= density[2:])
    return peak


def smoothed(readings: Floats) -> Floats:
    """Mean of three readings, the reading itself where a neighbour lacks."""
    out = np.array(readings)
    out[1:-1] = (readings[:-2] + readings[1:-1] + readings[2:]) / 3.0
    return np.where(np.isfinite(out), out, readings)
