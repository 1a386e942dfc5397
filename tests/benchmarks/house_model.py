"""A winter of the fitted house's run beside a general integrator on the same masses and links. Run by hand.

usage: python -m tests.benchmarks.house_model

Prints processor seconds of both, their ratio, and how far the air at the end lies apart.
"""

from __future__ import annotations

import time
from dataclasses import replace

import numpy as np
from scipy.integrate import solve_ivp

from ledger.heat.housemodel.network import BUILT
from ledger.heat.housemodel.priors import Figure, natural_values
from ledger.heat.housemodel.problem import built_network, start
from ledger.heat.housemodel.runs import Case, run_all
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from ledger.heat.housemodel.thermostat import NO_FAN
from tests.housemodel.plain import HOUSE, plain_grid, with_figures

STEPS = 48 * 212
SETS = 25


def main() -> None:
    """One set of figures through the integrator, twenty-five at once through the run."""
    steps = np.arange(STEPS)
    grid = replace(plain_grid(STEPS), outdoor_c=-2.0 + 6.0 * np.sin(2.0 * np.pi * steps / 48.0))
    problem, fitted = with_figures(grid, Structure(Floor.TWO_LAYERS, Bed.LINKED, tank=True), {Figure.DEEP_TREND: 0.0})
    began = time.process_time()
    sun = np.zeros(STEPS)
    (ran,) = run_all(problem, [Case(BUILT, None, np.repeat(fitted, SETS, axis=0))], sun_w_m2=sun, rule=NO_FAN)
    ours = time.process_time() - began
    values = natural_values(problem.table, fitted)
    net = built_network(problem, values, BUILT)
    link, mass, deep = net.link_w_per_k[0], net.mass_j_per_k[0], net.deep_w_per_k[0]
    ground = deep * (values[Figure.DEEP][0] + net.deep_over_k[0])

    def slope(seconds: float, state: np.ndarray[tuple[int], np.dtype[np.float64]]) -> np.ndarray:
        heat = link @ state - link.sum(axis=1) * state + ground - deep * state
        heat[0] += net.outdoor_w_per_k[0] * (grid.outdoor_c[min(int(seconds // grid.step_s), STEPS - 1)] - state[0])
        return np.asarray(heat / mass)

    began = time.process_time()
    end = solve_ivp(slope, (0.0, STEPS * grid.step_s), start(problem, values)[0], "LSODA", rtol=1e-4, max_step=1800.0)
    theirs = time.process_time() - began
    print(f"{SETS} runs of a winter {ours:.2f} s; one by a general integrator {theirs:.2f} s")  # noqa: T201 a script prints
    print(f"a run costs {ours / SETS / theirs:.3f} of it")  # noqa: T201
    print(f"air at the end {ran.air_c[-1, 0] - end.y[0, -1]:+.2f} K apart; floor {HOUSE.floor_area_m2:.0f} m2")  # noqa: T201


if __name__ == "__main__":
    main()
