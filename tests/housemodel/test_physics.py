"""The model's equations against closed forms, a general integrator, and their own balance."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from ledger.heat.housemodel.network import BARE, BUILT, Build, Network, Values, step_matrix
from ledger.heat.housemodel.priors import Figure, natural_values, priors
from ledger.heat.housemodel.problem import Problem, built_network, start
from ledger.heat.housemodel.runs import Case, Outcome, run_all
from ledger.heat.housemodel.sky import clearness, evaporating_share, low_sun_excess
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from ledger.heat.housemodel.thermostat import NO_FAN, Branch, FanRule
from tests.housemodel.plain import HOUSE, plain_grid, with_figures

Floats = NDArray[np.float64]

TWO_LAYERS = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=False)
WITH_TANK = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=True)
WITH_BED = Structure(Floor.LADDER, Bed.LINKED, tank=True)
NO_FLOOR = {Figure.FLOOR_FILM: 1e-9, Figure.LIGHT_LINK: 1e-9, Figure.SKY: 1e-12}


def run_one(
    problem: Problem,
    fitted: Floats,
    case_stands: Build = BUILT,
    hold_c: float | None = None,
    rule: FanRule = NO_FAN,
) -> Outcome:
    sun = problem.grid.sun_w_m2
    assert sun is not None
    return run_all(problem, [Case(case_stands, hold_c, fitted)], sun_w_m2=sun, rule=rule)[0]


def test_a_one_mass_house_cools_by_the_exponential() -> None:
    """C = 7.2 MJ/K, H = 200 W/K: time constant 10 h. From 10 to 0 outdoors after 10 h: 10/e = 3.679."""
    grid = plain_grid(1000, step_s=36.0)
    problem, fitted = with_figures(grid, TWO_LAYERS, {Figure.AIR_MASS: 7.2e6, Figure.HEAT_LOSS: 200.0, **NO_FLOOR})
    air = run_one(problem, fitted).air_c[:, 0]
    assert air[-1] == pytest.approx(10.0 * np.exp(-1.0), abs=0.005)


def test_half_the_step_halves_the_error_of_the_scheme() -> None:
    """An implicit Euler step is of first order."""
    errors = []
    for step_s, steps in ((1800.0, 20), (900.0, 40)):
        grid = plain_grid(steps, step_s=step_s)
        problem, fitted = with_figures(grid, TWO_LAYERS, {Figure.AIR_MASS: 7.2e6, Figure.HEAT_LOSS: 200.0, **NO_FLOOR})
        errors.append(run_one(problem, fitted).air_c[-1, 0] - 10.0 * np.exp(-1.0))
    assert errors[1] / errors[0] == pytest.approx(0.5, abs=0.05)


def test_a_house_at_rest_needs_its_steady_loss() -> None:
    """H = 200 W/K, 10 K over outdoors for 10 h: 20 kWh, nothing stored or given back by a floor cut off."""
    grid = plain_grid(20, outdoor_c=0.0, indoor_c=10.0)
    problem, fitted = with_figures(grid, TWO_LAYERS, {Figure.AIR_MASS: 1e6, Figure.HEAT_LOSS: 200.0, **NO_FLOOR})
    assert run_one(problem, fitted, hold_c=10.0).heater_kwh.sum() == pytest.approx(20.0, rel=1e-6)


def test_two_masses_follow_a_general_integrator() -> None:
    """Air and tank of 1 and 20 MJ/K, 150 W/K between, 200 W/K to a freezing night: scipy's Radau at 1e-9."""
    given = {Figure.AIR_MASS: 1e6, Figure.TANK_MASS: 2e7, Figure.TANK_LINK: 150.0, Figure.HEAT_LOSS: 200.0, **NO_FLOOR}
    grid = replace(plain_grid(4800, step_s=15.0, outdoor_c=-5.0), water_c=np.full(4800, 25.0))
    problem, fitted = with_figures(grid, WITH_TANK, given)
    air = run_one(problem, fitted).air_c[:, 0]

    def slope(_t: float, y: Floats) -> list[float]:
        between = 150.0 * (y[1] - y[0])
        return [(between - 200.0 * (y[0] + 5.0)) / 1e6, -between / 2e7]

    exact = solve_ivp(slope, (0.0, 4800 * 15.0), [10.0, 25.0], method="Radau", rtol=1e-9, atol=1e-9).y[0, -1]
    assert air[-1] == pytest.approx(exact, abs=0.002)


def test_the_balance_closes_to_one_part_in_a_thousand_million() -> None:
    """Heater + sun + fan + from the deep = stored + lost, over a run with tank, bed, fan, sun and heater."""
    rng = np.random.default_rng(3)
    steps = 400
    grid = replace(
        plain_grid(steps),
        outdoor_c=-5.0 + 8.0 * np.sin(np.arange(steps) / 7.6),
        sun_w_m2=np.maximum(0.0, 500.0 * np.sin(np.arange(steps) / 7.6)),
        elevation_deg=np.where(np.sin(np.arange(steps) / 7.6) > 0, 40.0, -10.0),
        water_c=12.0 + rng.normal(0, 0.1, steps),
    )
    problem, fitted = with_figures(grid, WITH_BED, {})
    rule = FanRule(Branch(1.0, 8.0, 8.5, -99.0, -99.0), Branch(-1.0, -20.0, -19.0, -99.0, -99.0), None)
    values = natural_values(problem.table, fitted)
    net = built_network(problem, values, BUILT)
    outcome = run_one(problem, fitted, hold_c=6.0, rule=rule)
    assert outcome.fan_on.sum() > 0
    put_in, stored = balance_kwh(problem, net, values, outcome)
    assert put_in == pytest.approx(stored, rel=1e-9, abs=1e-9)


def balance_kwh(problem: Problem, net: Network, values: Values, outcome: Outcome) -> tuple[float, float]:
    """March the same heats through an explicit bookkeeping: states from the balance of each node, solved afresh."""
    grid, structure = problem.grid, problem.structure
    assert grid.sun_w_m2 is not None
    nodes = structure.nodes
    total_in = 0.0
    state = start(problem, values)[0]
    state[0] = max(state[0], 6.0)
    first = state.copy()
    over = np.linspace(-0.5, 0.5, grid.steps)
    dry = 1.0 - values[Figure.SUN_EVAPORATED][0] * (
        evaporating_share(grid.indoor_c) - evaporating_share(np.array(15.0))
    )
    shape = (1.0 + values[Figure.SUN_LOW][0] * low_sun_excess(grid.elevation_deg)) * dry
    for row in range(grid.steps):
        link = net.link_w_per_k[0].copy()
        on = outcome.fan_on[row, 0]
        if on:
            link[0, structure.near_node] += values[Figure.BED_FLOW][0]
            link[structure.near_node, 0] += values[Figure.BED_FLOW][0]
        deep_c = values[Figure.DEEP][0] + values[Figure.DEEP_TREND][0] * over[row]
        heat = net.sun_m2[0] * grid.sun_w_m2[row] * shape[row]
        heat[0] += outcome.heater_kwh[row, 0] * 3.6e6 / grid.step_s + on * 200.0 * values[Figure.FAN_HEAT][0]
        left = np.diag(net.mass_j_per_k[0] / grid.step_s + link.sum(axis=1) + net.deep_w_per_k[0]) - link
        left[0, 0] += net.outdoor_w_per_k[0]
        below = deep_c + net.deep_over_k[0]
        right = net.mass_j_per_k[0] / grid.step_s * state + heat + net.deep_w_per_k[0] * below
        right[0] += net.outdoor_w_per_k[0] * grid.outdoor_c[row]
        state = np.linalg.solve(left, right)
        assert state[0] == pytest.approx(outcome.air_c[row, 0], abs=1e-6)
        lost = net.outdoor_w_per_k[0] * (state[0] - grid.outdoor_c[row])
        lost += (net.deep_w_per_k[0] * (state - below)).sum()
        total_in += (heat.sum() - lost) * grid.step_s
    assert len(state) == nodes
    return total_in / 3.6e6, float((net.mass_j_per_k[0] * (state - first)).sum() / 3.6e6)


def test_a_tank_removed_gives_its_sun_back_to_the_floor() -> None:
    """What all masses take from a watt of sun does not depend on the tank."""
    problem, fitted = with_figures(plain_grid(10), WITH_TANK, {})
    values = natural_values(problem.table, fitted)
    built, bare = built_network(problem, values, BUILT), built_network(problem, values, BARE)
    assert built.sun_m2.sum() == pytest.approx(bare.sun_m2.sum(), rel=1e-12)
    assert bare.sun_m2[0, 1] > built.sun_m2[0, 1]
    assert bare.sun_m2[0, WITH_TANK.tank_node] == 0.0


def test_a_fan_never_seen_at_night_is_not_made_to_run_at_night() -> None:
    problem, fitted = with_figures(replace(plain_grid(200), fan_level=np.zeros(200, dtype=int)), WITH_BED, {})
    warm_only = FanRule(None, Branch(-1.0, -20.0, -19.0, -99.0, -99.0), None)
    assert run_one(problem, fitted, hold_c=5.0, rule=warm_only).fan_on.sum() == 0.0


def test_vents_keep_the_air_from_passing_their_temperature() -> None:
    grid = replace(plain_grid(100), sun_w_m2=np.full(100, 900.0), elevation_deg=np.full(100, 50.0), vent_c=25.0)
    problem, fitted = with_figures(grid, TWO_LAYERS, {})
    assert run_one(problem, fitted).air_c.max() == pytest.approx(25.0)


def test_a_bare_house_with_a_leakier_envelope_needs_more() -> None:
    """Bare factor 1.5 at rest: 1.5 times the steady loss of 200 W/K · 10 K · 10 h = 30 kWh."""
    leaky = replace(HOUSE, bare_factor_night=1.5, bare_factor_day=1.5)
    given = {Figure.AIR_MASS: 1e6, Figure.HEAT_LOSS: 200.0, **NO_FLOOR}
    problem, fitted = with_figures(plain_grid(20), TWO_LAYERS, given, house=leaky)
    assert run_one(problem, fitted, BARE, hold_c=10.0).heater_kwh.sum() == pytest.approx(30.0, rel=1e-6)
    assert run_one(problem, fitted, BUILT, hold_c=10.0).heater_kwh.sum() == pytest.approx(20.0, rel=1e-6)


def test_evaporation_takes_its_share_by_the_slope_of_saturation_pressure() -> None:
    """FAO-56, annex 2, tables 2.4 and 2.2: Δ 0.145 kPa/K at 20 °C, 0.082 at 10 °C; γ 0.066 kPa/K near sea level."""
    share = evaporating_share(np.array([20.0, 10.0]))
    assert share == pytest.approx([0.145 / (0.145 + 0.066), 0.082 / (0.082 + 0.066)], abs=0.005)


def test_a_sky_is_as_open_to_long_wave_as_it_is_to_the_sun() -> None:
    """Three days at 100, 50 and 20 % of a clear sky's sun: at their noons the sky is 1, 0.5 and 0.2 open."""
    hour = np.arange(72) % 24
    clear_w_m2 = np.maximum(0.0, 500.0 * np.sin((hour - 6.0) / 12.0 * np.pi))
    day = np.arange(72) // 24
    open_sky = clearness(clear_w_m2 * np.array([1.0, 0.5, 0.2])[day], clear_w_m2, day)
    assert open_sky[[12, 36, 60]] == pytest.approx([1.0, 0.5, 0.2])


def test_what_a_clear_sky_takes_grows_with_the_u_value() -> None:
    """U = 200 W/K over 100 m2 = 2; 70 W/m2 of net long wave, 0.8 of the sky, R_se 0.04: 70 · 0.8 · 0.04 · 2 = 4.48."""
    (sky,) = (p for p in priors(HOUSE, TWO_LAYERS, annual_outdoor_c=8.0, windy=False) if p.figure is Figure.SKY)
    assert sky.centre == pytest.approx(4.48)


def test_a_running_fan_joins_air_and_bed_as_a_matrix_with_that_link_would() -> None:
    """The step with the fan's link worked in by its rank-one change against the matrix inverted with the link in it."""
    problem, fitted = with_figures(plain_grid(30, outdoor_c=-3.0), WITH_BED, {})
    always = FanRule(Branch(1.0, 90.0, 91.0, -99.0, -99.0), None, None)
    values = natural_values(problem.table, fitted)
    net = built_network(problem, values, BUILT)
    near, flow = WITH_BED.near_node, values[Figure.BED_FLOW]
    answer = step_matrix(net, step_s=1800.0, loss_factor=1.0, fan=(near, flow))[0]
    deep = net.deep_w_per_k[0] * (values[Figure.DEEP][0] + net.deep_over_k[0])
    state = start(problem, values)[0]
    for _ in range(30):
        heat = net.mass_j_per_k[0] / 1800.0 * state + deep
        heat[0] += net.outdoor_w_per_k[0] * -3.0 + HOUSE.fan_power_w * values[Figure.FAN_HEAT][0]
        state = answer @ heat
    assert run_one(problem, fitted, rule=always).air_c[-1, 0] == pytest.approx(state[0], abs=1e-9)
