"""March through the log's steps with the fitted figures, many sets of them at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.clouds import CloudDay, CloudRule, cloud_pulls, solve_clouds
from ledger.heat.housemodel.grid import FAN_LEVELS, Flags, Grid
from ledger.heat.housemodel.network import BUILT, Build, Network, Values
from ledger.heat.housemodel.priors import natural_values
from ledger.heat.housemodel.problem import (
    Problem,
    Stepper,
    built_network,
    heat_in_w,
    start,
    stepper,
    sun_shape,
    vented,
    wind_coefficient,
)
from ledger.heat.housemodel.sky import slot_weights
from ledger.heat.housemodel.structure import AIR

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Marched:
    """Temperatures of each step, (steps, batch).

    `sun_w_m2`: measured or fitted sun; `pulls`: (batch, …) how far the fitted cloud factors lie from what is expected,
    in standard deviations, empty with measured sun.
    """

    air_c: Floats
    tank_c: Floats | None
    near_c: Floats | None
    sun_w_m2: Floats
    pulls: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """What both marches share."""

    steps: Stepper
    net: Network
    start: Floats
    wind: Floats | None
    outdoor_c: Floats
    held_to: Floats
    pinned: Flags


def march(problem: Problem, fitted: Floats, clouds: CloudRule) -> Marched:
    """Run the house as it stands over the log: fan and heater as logged, the air pinned to the reading at open vents.

    With measured sun one pass; without, each day's cloud factors are solved on the way, day by day.

    Parameters
    ----------
    problem : the log and the structure.
    fitted : figures on the fitting scale, a row a set. [see priors]
    clouds : how cloud factors are weighed, where the sun is not measured.

    Returns
    -------
    Marched
    """
    values = natural_values(problem.table, fitted)
    net = built_network(problem, values, BUILT)
    heat = heat_in_w(problem, net, values, BUILT, heater_w=problem.grid.heater_w, fan_w=logged_fan_w(problem))
    way = _way(problem, values, net, BUILT, problem.grid.indoor_c)
    shape = sun_shape(problem, values)
    if problem.grid.sun_w_m2 is not None:
        sun = np.repeat(problem.grid.sun_w_m2[:, None], len(fitted), axis=1)
        heat += (sun * shape)[:, :, None] * net.sun_m2[None]
        return _with_sun(problem, way, heat, sun)
    return _day_by_day(problem, way, heat, problem.grid.clear_w_m2[:, None] * shape, clouds)


def march_like_house(problem: Problem, fitted: Floats, sun_w_m2: Floats, *, stands: Build) -> Marched:
    """Run a like house with fewer builds, unheated, over the same weather; its own readings pin it at open vents.

    Parameters
    ----------
    problem : the log and the structure.
    fitted : figures on the fitting scale, a row a set.
    sun_w_m2 : (steps, batch), as `march` gave it. [W/m2]
    stands : which builds the other house has.

    Returns
    -------
    Marched
    """
    values = natural_values(problem.table, fitted)
    net = built_network(problem, values, stands)
    none = np.zeros(problem.grid.steps)
    heat = heat_in_w(problem, net, values, stands, heater_w=none, fan_w=none)
    heat += (sun_w_m2 * sun_shape(problem, values))[:, :, None] * net.sun_m2[None]
    twin = none * np.nan if problem.grid.twin_c is None else problem.grid.twin_c
    return _with_sun(problem, _way(problem, values, net, stands, twin), heat, sun_w_m2)


def logged_fan_w(problem: Problem) -> Floats:
    """Heat that the logged fan puts into the air by step [W]."""
    level = problem.grid.fan_level
    if level is None:
        return np.zeros(problem.grid.steps)
    return level / FAN_LEVELS * problem.house.fan_power_w


def answered(steps: Stepper, heat_w: Floats) -> Floats:
    """What the heat of each step alone adds to the temperatures at its end: (steps, batch, nodes). [K]"""
    added = np.empty_like(heat_w)
    for mode in range(len(steps.answer)):
        rows = steps.modes == mode
        if np.any(rows):
            heat = np.ascontiguousarray(np.moveaxis(heat_w[rows], 0, 2))
            added[rows] = np.moveaxis(steps.answer[mode] @ heat, 2, 0)
    return added


def _way(problem: Problem, values: Values, net: Network, stands: Build, readings_c: Floats) -> _Way:
    grid: Grid = problem.grid
    return _Way(
        steps=stepper(problem, net, values, stands),
        net=net,
        start=start(problem, values),
        wind=wind_coefficient(problem, net, values, stands),
        outdoor_c=grid.outdoor_c,
        held_to=readings_c,
        pinned=vented(grid, readings_c),
    )


def _advance(way: _Way, row: int, state: Floats, added: Floats) -> Floats:
    """One step of (batch, nodes, columns): column 0 is temperature, others what a unit of something adds to it."""
    mode = way.steps.modes[row]
    new: Floats = way.steps.carry[mode] @ state
    new += added
    if way.wind is not None:
        loss = state[:, AIR, :] * way.wind[row][:, None]
        loss[:, 0] -= way.outdoor_c[row] * way.wind[row]
        new -= way.steps.answer[mode][:, :, AIR, None] * loss[:, None, :]
    if way.pinned[row]:
        new[:, AIR, :] = 0.0
        new[:, AIR, 0] = way.held_to[row]
    return new


def _with_sun(problem: Problem, way: _Way, heat_w: Floats, sun: Floats) -> Marched:
    steps, batch = sun.shape
    added = answered(way.steps, heat_w)[..., None]
    track = np.empty((steps, batch, problem.structure.nodes))
    state = way.start[:, :, None]
    for row in range(steps):
        state = _advance(way, row, state, added[row])
        track[row] = state[:, :, 0]
    return _marched(problem, track, sun, np.empty((batch, 0)))


def _day_by_day(problem: Problem, way: _Way, heat_w: Floats, clear: Floats, rule: CloudRule) -> Marched:
    grid, batch = problem.grid, clear.shape[1]
    slots = slot_weights(grid.sun_hour)
    lit = answered(way.steps, clear[:, :, None] * way.net.sun_m2[None])
    added = np.concatenate([answered(way.steps, heat_w)[..., None], lit[..., None] * slots[:, None, None, :]], axis=3)
    track = np.empty((grid.steps, batch, problem.structure.nodes))
    sun, pulls = np.empty((grid.steps, batch)), []
    state = way.start
    turns = np.flatnonzero(np.diff(grid.sun_day)) + 1
    for first, last in zip([0, *turns.tolist()], [*turns.tolist(), grid.steps], strict=True):
        columns = np.zeros((*state.shape, 1 + slots.shape[1]))
        columns[:, :, 0] = state
        day = np.empty((last - first, *columns.shape))
        for row in range(first, last):
            columns = _advance(way, row, columns, added[row])
            day[row - first] = columns
        factors = solve_clouds(CloudDay(problem, first, last, day), rule)
        track[first:last] = day[..., 0] + np.einsum("tbns,bs->tbn", day[..., 1:], factors)
        sun[first:last] = grid.clear_w_m2[first:last, None] * (slots[first:last] @ factors.T)
        pulls.append(cloud_pulls(factors))
        state = columns[..., 0] + np.einsum("bns,bs->bn", columns[..., 1:], factors)
    return _marched(problem, track, sun, np.concatenate(pulls, axis=1))


def _marched(problem: Problem, track: Floats, sun: Floats, pulls: Floats) -> Marched:
    tank, near = problem.structure.tank_node, problem.structure.near_node
    return Marched(
        air_c=track[:, :, AIR],
        tank_c=None if tank is None else track[:, :, tank],
        near_c=None if near is None else track[:, :, near],
        sun_w_m2=sun,
        pulls=pulls,
    )
