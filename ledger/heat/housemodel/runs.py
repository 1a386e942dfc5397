"""The runs that answer: bare and built, free and held, over the season's own weather."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.march import answered
from ledger.heat.housemodel.network import BARE, BUILT, Build, Values, step_matrix
from ledger.heat.housemodel.priors import Figure, natural_values
from ledger.heat.housemodel.problem import (
    Problem,
    Stepper,
    built_network,
    heat_in_w,
    loss_factors,
    start,
    sun_shape,
    wind_coefficient,
)
from ledger.heat.housemodel.structure import AIR
from ledger.heat.housemodel.thermostat import FanRule, switched_on

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

J_PER_KWH = 3.6e6
OPEN_VENTS_C = 32.0
"""Where the log shows no vents, a grower opens something at this temperature. Common practice, no source. [°C]"""
NO_HEATER_C = -1000.0


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """One run: which builds stand, the temperature that a heater holds (None: no heater), figures, a row a set.

    `problem`, `sun_w_m2`: weather of its own, on as many steps as that of the cases beside it; None: theirs.
    """

    stands: Build
    hold_c: float | None
    fitted: Floats
    problem: Problem | None = None
    sun_w_m2: Floats | None = None

    def through(self, problem: Problem, sun_w_m2: Floats) -> Case:
        """The same through weather of its own."""
        return replace(self, problem=problem, sun_w_m2=sun_w_m2)


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What a run gave: air temperature, heater energy, fan's share by step; (steps, batch). [°C, kWh, -]"""

    air_c: Floats
    heater_kwh: Floats
    fan_on: Floats


def bare_and_built(hold_c: float | None, fitted: Floats) -> tuple[Case, Case]:
    """The house with nothing built, and with everything, at one hold temperature."""
    return Case(BARE, hold_c, fitted), Case(BUILT, hold_c, fitted)


def run_all(
    problem: Problem, cases: Sequence[Case], *, sun_w_m2: Floats, rule: FanRule, cut: Flags | None = None
) -> tuple[Outcome, ...]:
    """Run the house over the season's weather, each case with its builds, with or without a heater.

    The heater gives in each step just what keeps the air at the hold temperature at the step's end (an ideal
    thermostat, without limit); vents let out just what keeps it below the vents' temperature. Tank and bed run on from
    the same start; the fan obeys the thermostat found in the log.

    Parameters
    ----------
    problem : log and structure, with the sky's clearness.
    cases : runs; they march side by side.
    sun_w_m2 : sun by step. [W/m2]
    rule : how the fan switches.
    cut : steps at which neither heater nor fan has power; None: none.

    Returns
    -------
    tuple of Outcome : one a case.
    """
    parts = [_prepared(c.problem or problem, c, sun_w_m2 if c.sun_w_m2 is None else c.sun_w_m2) for c in cases]
    side_by_side = _joined(parts)
    air, heater, fan = _loop(problem, side_by_side, rule, np.zeros(problem.grid.steps, bool) if cut is None else cut)
    edges = np.cumsum([0, *(len(c.fitted) for c in cases)])
    return tuple(Outcome(air[:, a:b], heater[:, a:b], fan[:, a:b]) for a, b in pairwise(edges.tolist()))


@dataclass(frozen=True, slots=True, eq=False)
class _Batch:
    """Runs side by side: matrices with the fan off and what drives them; what the fan changes; who has a heater."""

    off: Stepper
    drive: Floats
    fan: _Fan
    wind: Floats | None
    hold_c: Floats
    state: Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Fan:
    """What a running fan changes by mode: `answer` (modes, batch, nodes) per kelvin between air and bed at the end of
    the step without it; `heat_w`: its own heat; `there`: whether the run has one.

    A fan adds one link g between air and bed, a change of rank one to the step's matrix, so that with A the matrix of
    the fan off, u = e_air − e_bed:  x_on = x_off − g·(u·x_off)/(1 + g·u·A·u) · A·u   (Sherman & Morrison 1950).
    """

    answer: Floats
    heat_w: Floats
    there: Flags


def _prepared(problem: Problem, case: Case, sun_w_m2: Floats) -> _Batch:
    values = natural_values(problem.table, case.fitted)
    net = built_network(problem, values, case.stands)
    count, grid = len(case.fitted), problem.grid
    none = np.zeros(grid.steps)
    heat = heat_in_w(problem, net, values, case.stands, heater_w=none, fan_w=none)
    heat += (sun_w_m2[:, None] * sun_shape(problem, values))[:, :, None] * net.sun_m2[None]
    modes = np.asarray(~grid.dark, dtype=np.int64)
    answer = np.array([step_matrix(net, step_s=grid.step_s, loss_factor=f) for f in loss_factors(problem, case.stands)])
    off = Stepper(answer * (net.mass_j_per_k / grid.step_s)[None, :, None, :], answer, modes)
    state = start(problem, values)
    hold_c = NO_HEATER_C if case.hold_c is None else case.hold_c
    state[:, AIR] = np.maximum(state[:, AIR], hold_c)
    wind = wind_coefficient(problem, net, values, case.stands)
    fan = _fan(problem, values, answer, there=case.stands.bed)
    return _Batch(off, answered(off, heat), fan, wind, np.full(count, hold_c), state)


def _fan(problem: Problem, values: Values, answer: Floats, *, there: bool) -> _Fan:
    near, count = problem.structure.near_node, answer.shape[1]
    if near is None or not there:
        return _Fan(np.zeros(answer.shape[:3]), np.zeros(count), np.zeros(count, dtype=bool))
    flow = values[Figure.BED_FLOW]
    lever = answer[:, :, :, AIR] - answer[:, :, :, near]
    own = flow / (1.0 + flow * (lever[:, :, AIR] - lever[:, :, near]))
    heat_w = problem.house.fan_power_w * values[Figure.FAN_HEAT]
    return _Fan(lever * own[:, :, None], heat_w, np.ones(count, dtype=bool))


def _joined(parts: Sequence[_Batch]) -> _Batch:
    winds = [p.wind for p in parts if p.wind is not None]
    return _Batch(
        off=Stepper(
            np.concatenate([p.off.carry for p in parts], axis=1),
            np.concatenate([p.off.answer for p in parts], axis=1),
            parts[0].off.modes,
        ),
        drive=np.concatenate([p.drive for p in parts], axis=1),
        fan=_Fan(
            np.concatenate([p.fan.answer for p in parts], axis=1),
            np.concatenate([p.fan.heat_w for p in parts]),
            np.concatenate([p.fan.there for p in parts]),
        ),
        wind=np.concatenate(winds, axis=1) if len(winds) == len(parts) else None,
        hold_c=np.concatenate([p.hold_c for p in parts]),
        state=np.concatenate([p.state for p in parts]),
    )


def _loop(problem: Problem, batch: _Batch, rule: FanRule, cut: Flags) -> tuple[Floats, Floats, Floats]:
    grid, shape = problem.grid, (problem.grid.steps, len(batch.hold_c))
    air, heater, fan = np.empty(shape), np.zeros(shape), np.zeros(shape)
    vent_c = OPEN_VENTS_C if grid.vent_c is None else max(grid.vent_c, float(batch.hold_c.max()) + 1.0)
    state, running = batch.state, np.zeros(shape[1], dtype=bool)
    near = problem.structure.near_node
    for row in range(grid.steps):
        mode = int(batch.off.modes[row])
        if near is not None:
            running = switched_on(rule, row, running, state[:, AIR], state[:, near]) & batch.fan.there & ~cut[row]
            fan[row] = running
        new, lever = _step(batch, row, mode, state, running, near)
        if batch.wind is not None:
            new -= lever * (batch.wind[row] * (state[:, AIR] - grid.outdoor_c[row]))[:, None]
        watts = np.zeros(shape[1]) if cut[row] else np.maximum(batch.hold_c - new[:, AIR], 0.0) / lever[:, AIR]
        let_out = np.maximum(new[:, AIR] - vent_c, 0.0) / lever[:, AIR]
        state = new + lever * (watts - let_out)[:, None]
        heater[row], air[row] = watts, state[:, AIR]
    return air, heater * grid.step_s / J_PER_KWH, fan


def _step(batch: _Batch, row: int, mode: int, state: Floats, running: Flags, near: int | None) -> tuple[Floats, Floats]:
    """Temperatures at the step's end without heater and vents, and what a watt in the air adds to them."""
    new = (batch.off.carry[mode] @ state[:, :, None])[:, :, 0] + batch.drive[row]
    lever = batch.off.answer[mode][:, :, AIR]
    if near is None or not running.any():
        return new, lever
    new += lever * (running * batch.fan.heat_w)[:, None]
    change = batch.fan.answer[mode] * running[:, None]
    new -= change * (new[:, AIR] - new[:, near])[:, None]
    return new, lever - change * (lever[:, AIR] - lever[:, near])[:, None]
