"""One season's log with one structure: everything that a march through the steps needs besides the fitted figures."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import FAN_LEVELS, Flags, Grid, Integers
from ledger.heat.housemodel.network import Build, Network, Values, network, start_temperatures, step_matrix
from ledger.heat.housemodel.priors import Figure, HouseNumbers, Prior
from ledger.heat.housemodel.sky import evaporating_share, low_sun_excess
from ledger.heat.housemodel.structure import AIR, Structure

Floats = NDArray[np.float64]

USUAL_DAY_C = 15.0
"""Air at which the sun taken up is what `Figure.SUN_AREA` says. [°C]"""
FIRST_DAYS_S = 3 * 86400.0


@dataclass(frozen=True, slots=True, eq=False)
class Problem:
    """A log to be explained.

    `learnt`: steps whose indoor reading may be learnt from (read, not at the vents' temperature, not held out);
    `clearness`: of the sky, by step; `log_rows`: first and last step of the log where the grid goes beyond it: the deep
    ground changes over the log and stands still before and after.
    """

    grid: Grid
    house: HouseNumbers
    structure: Structure
    table: tuple[Prior, ...]
    learnt: Flags
    clearness: Floats
    log_rows: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Stepper:
    """The matrices of a run: `modes[i]` is the set of step i.

    `carry` (modes, batch, nodes, nodes): old temperatures to new; `answer` (modes, batch, nodes, nodes): put-in heat to
    new temperatures. [-, K/W]
    """

    carry: Floats
    answer: Floats
    modes: Integers


def vented(grid: Grid, indoor_c: Floats) -> Flags:
    """Steps at which the reading stands at the vents' temperature."""
    if grid.vent_c is None:
        return np.zeros(grid.steps, dtype=bool)
    return np.isfinite(indoor_c) & (indoor_c > grid.vent_c)


def stepper(problem: Problem, net: Network, values: Values, stands: Build) -> Stepper:
    """Matrices for every mix of fan and envelope that the log's steps ask for.

    Parameters
    ----------
    problem : grid and house.
    net : masses and links.
    values : fitted figures.
    stands : which parts of the builds stand.

    Returns
    -------
    Stepper
    """
    grid, structure = problem.grid, problem.structure
    fan = grid.fan_level if stands.bed and structure.near_node is not None and grid.fan_level is not None else None
    levels = np.zeros(grid.steps, dtype=np.int64) if fan is None else fan
    factors = loss_factors(problem, stands)
    code = levels * 2 + np.asarray(~grid.dark & (factors[0] != factors[1]), dtype=np.int64)
    used, modes = np.unique(code, return_inverse=True)
    flow = values.get(Figure.BED_FLOW, 0.0)
    answer = np.array(
        [
            step_matrix(
                net,
                step_s=grid.step_s,
                loss_factor=factors[int(c % 2)],
                fan=(structure.near_node, flow * float(c // 2) / FAN_LEVELS),
            )
            for c in used
        ]
    )
    carry = answer * (net.mass_j_per_k / grid.step_s)[None, :, None, :]
    return Stepper(carry, answer, np.asarray(modes, dtype=np.int64))


def loss_factors(problem: Problem, stands: Build) -> tuple[float, float]:
    """Heat loss over that of the house as it stands at night: in the dark, by day."""
    house = problem.house
    if stands.envelope:
        return 1.0, house.day_factor
    return house.bare_factor_night, house.bare_factor_day


def heat_in_w(
    problem: Problem, net: Network, values: Values, stands: Build, *, heater_w: Floats, fan_w: Floats
) -> Floats:
    """Heat put into the masses over each step, sun left out.

    Parameters
    ----------
    problem : grid, house, clearness of the sky.
    net : masses and links.
    values : fitted figures.
    stands : which parts of the builds stand.
    heater_w, fan_w : heat put into the air by step. [W]

    Returns
    -------
    array : (steps, batch, nodes). [W]
    """
    grid = problem.grid
    first, last = problem.log_rows or (0, grid.steps - 1)
    over_log = np.clip((np.arange(grid.steps) - first) / max(1, last - first), 0.0, 1.0) - 0.5
    deep_c = values[Figure.DEEP][None, :] + values[Figure.DEEP_TREND][None, :] * over_log[:, None]
    heat = deep_c[:, :, None] * net.deep_w_per_k[None, :, :]
    heat += (net.deep_over_k * net.deep_w_per_k)[None]
    night, day = loss_factors(problem, stands)
    factor = np.where(grid.dark, night, day)
    sky = problem.house.cover_area_m2 * problem.clearness * factor
    heat[:, :, AIR] += np.outer(grid.outdoor_c * factor, net.outdoor_w_per_k) - np.outer(sky, values[Figure.SKY])
    heat[:, :, AIR] += heater_w[:, None] + np.outer(
        fan_w, values.get(Figure.FAN_HEAT, np.ones(len(net.outdoor_w_per_k)))
    )
    return heat


def sun_shape(problem: Problem, values: Values) -> Floats:
    """Factor on horizontal sun for how high it stands, and for what warmer leaves evaporate of it: (steps, batch).

    The air as it was read stands for the leaves in every run: by day a heater changes it little.
    """
    air = np.where(np.isfinite(problem.grid.indoor_c), problem.grid.indoor_c, USUAL_DAY_C)
    evaporated = 1.0 - np.outer(
        evaporating_share(air) - evaporating_share(np.array([USUAL_DAY_C])), values[Figure.SUN_EVAPORATED]
    )
    return (1.0 + np.outer(low_sun_excess(problem.grid.elevation_deg), values[Figure.SUN_LOW])) * evaporated


def wind_coefficient(problem: Problem, net: Network, values: Values, stands: Build) -> Floats | None:
    """What the wind adds to the loss coefficient by step: (steps, batch); None without a wind channel. [W/K]"""
    grid = problem.grid
    if grid.wind_over_mean is None or Figure.WIND not in values:
        return None
    night, day = loss_factors(problem, stands)
    factor = np.where(grid.dark, night, day)
    return np.outer(grid.wind_over_mean * factor, values[Figure.WIND] * net.outdoor_w_per_k)


def built_network(problem: Problem, values: Values, stands: Build) -> Network:
    """The problem's network with some of its builds."""
    return network(values, problem.structure, problem.house, stands)


def start(problem: Problem, values: Values) -> Floats:
    """Temperatures before the first step: (batch, nodes). [°C]"""
    grid = problem.grid
    known = np.flatnonzero(grid.read)
    first_days = grid.indoor_c[: max(1, round(FIRST_DAYS_S / grid.step_s)) + int(known[0])]
    water = None
    if grid.water_c is not None and np.any(np.isfinite(grid.water_c)):
        water = float(grid.water_c[np.flatnonzero(np.isfinite(grid.water_c))[0]])
    return start_temperatures(
        values,
        problem.structure,
        first_air_c=float(grid.indoor_c[known[0]]),
        first_days_c=float(np.nanmean(first_days)),
        water_c=water,
    )
