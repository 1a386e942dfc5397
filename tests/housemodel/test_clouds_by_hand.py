"""A day's cloud factors by hand: what its readings say, what is expected, which readings are asked."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel.clouds import CloudDay, CloudRule, cloud_pulls, solve_clouds
from ledger.heat.housemodel.problem import Problem
from ledger.heat.housemodel.structure import AIR, Bed, Floor, Structure
from tests.housemodel.plain import HOUSE, plain_grid

Floats = NDArray[np.float64]

STRUCTURE = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=True)
TANK = 3
UNKNOWN = np.nan
FROM_BEFORE = 1 / 0.3**2
"""How much what is expected of a factor weighs, and how much its neighbour does."""


class Lit(NamedTuple):
    """What a step was read as: air, tank, height of the sun, learnt."""

    air_c: float = UNKNOWN
    tank_c: float = UNKNOWN
    elevation_deg: float = 30.0
    learnt: bool = True


def problem_of(*steps: Lit, structure: Structure = STRUCTURE) -> Problem:
    grid = replace(
        plain_grid(len(steps)),
        indoor_c=np.array([s.air_c for s in steps]),
        water_c=np.array([s.tank_c for s in steps]),
        elevation_deg=np.array([s.elevation_deg for s in steps]),
    )
    return Problem(grid, HOUSE, structure, (), np.array([s.learnt for s in steps]), np.zeros(len(steps)))


def columns_of(count: int, *, air: list[list[float]] | None = None, tank: list[list[float]] | None = None) -> Floats:
    """A march of one set with temperatures and levers by step; whatever is not asked for is far off."""
    width = len((air or tank or [[]])[0])
    columns = np.full((count, 1, STRUCTURE.nodes, width), 77.0)
    for node, given in ((AIR, air), (TANK, tank)):
        if given is not None:
            columns[:, 0, node] = given
    return columns


def rule_of(steps: int, *, air_weight: float = 2.0, tank_weight: float = 2.0) -> CloudRule:
    return CloudRule(0.5, 0.25, np.full(steps, air_weight), tank_weight)


def one_day(problem: Problem, columns: Floats, rule: CloudRule | None = None) -> list[list[float]]:
    steps = problem.grid.steps
    found = solve_clouds(CloudDay(problem, 0, steps, columns), rule or rule_of(steps))
    return [[float(one) for one in row] for row in found]


THREE_STEPS = [[10.0, 2.0], [10.0, 4.0], [10.0, 6.0]]
TWO_STEPS = THREE_STEPS[:2]
BY_AIR = (0.65 * FROM_BEFORE + 2 * 3 * 3.5) / (FROM_BEFORE + 2 * 3**2)
"""Misfits 1 and 4 K and half kept: 4 − 0.5 = 3.5 K are new, of a lever of 4 − 1 = 3 K; weight 2."""


def test_a_pair_of_readings_is_weighed_against_what_is_expected() -> None:
    problem = problem_of(Lit(11.0), Lit(14.0))
    assert one_day(problem, columns_of(2, air=TWO_STEPS)) == [[pytest.approx(BY_AIR)]]


def test_each_reading_is_held_against_the_one_before_it() -> None:
    """Misfits 1, 4 and 3 K: new are 3.5 and 3 − 2 = 1 K, of levers 3 and 6 − 2 = 4 K."""
    problem = problem_of(Lit(11.0), Lit(14.0), Lit(13.0))
    expected = (0.65 * FROM_BEFORE + 2 * (3 * 3.5 + 4 * 1)) / (FROM_BEFORE + 2 * (3**2 + 4**2))
    assert one_day(problem, columns_of(3, air=THREE_STEPS)) == [[pytest.approx(expected)]]


def test_a_hole_leaves_the_pairs_beside_it() -> None:
    problem = problem_of(Lit(11.0), Lit(14.0), Lit())
    assert one_day(problem, columns_of(3, air=THREE_STEPS)) == [[pytest.approx(BY_AIR)]]


def test_the_tank_s_readings_tell_by_their_own_memory_and_weight() -> None:
    """Misfits 1 and 4 K, a quarter kept: 3.75 K new, of a lever of 4 − 0.5 = 3.5 K; weight 5. Its readings count where
    the air's may not be learnt from."""
    problem = problem_of(Lit(11.0, 21.0, learnt=False), Lit(14.0, 24.0, learnt=False))
    columns = columns_of(2, air=TWO_STEPS, tank=[[20.0, 2.0], [20.0, 4.0]])
    expected = (0.65 * FROM_BEFORE + 5 * 3.5 * 3.75) / (FROM_BEFORE + 5 * 3.5**2)
    assert one_day(problem, columns, rule_of(2, tank_weight=5.0)) == [[pytest.approx(expected)]]


def test_air_and_tank_tell_together() -> None:
    problem = problem_of(Lit(11.0, 21.0), Lit(14.0, 24.0))
    columns = columns_of(2, air=TWO_STEPS, tank=[[20.0, 2.0], [20.0, 4.0]])
    right = 0.65 * FROM_BEFORE + 2 * 3 * 3.5 + 2 * 3.5 * 3.75
    assert one_day(problem, columns) == [[pytest.approx(right / (FROM_BEFORE + 2 * 3**2 + 2 * 3.5**2))]]


@pytest.mark.parametrize(
    "steps",
    [
        (Lit(), Lit(14.0)),
        (Lit(11.0), Lit()),
        (Lit(11.0, learnt=False), Lit(14.0)),
        (Lit(11.0), Lit(14.0, elevation_deg=-6.0)),
        (Lit(11.0, elevation_deg=-6.0), Lit(14.0)),
        (Lit(tank_c=21.0), Lit(tank_c=24.0, elevation_deg=-6.0)),
        (Lit(11.0), Lit(), Lit(14.0)),
        (Lit(11.0),),
    ],
)
def test_without_two_lit_readings_in_a_row_a_day_is_what_is_expected(steps: tuple[Lit, ...]) -> None:
    """Unread, held back, at the edge of dusk, or alone."""
    columns = columns_of(len(steps), air=THREE_STEPS[: len(steps)], tank=THREE_STEPS[: len(steps)])
    assert one_day(problem_of(*steps), columns) == [[pytest.approx(0.65)]]


def test_a_reading_a_little_before_dusk_still_tells() -> None:
    problem = problem_of(Lit(11.0), Lit(14.0, elevation_deg=-5.9))
    assert one_day(problem, columns_of(2, air=TWO_STEPS)) == [[pytest.approx(BY_AIR)]]


def test_a_house_without_a_tank_is_not_asked_for_one() -> None:
    bare = Structure(Floor.LADDER, Bed.NONE, tank=False)
    problem = problem_of(Lit(11.0, 21.0), Lit(14.0, 24.0), structure=bare)
    columns = np.full((2, 1, bare.nodes, 2), 77.0)
    columns[:, 0, AIR] = TWO_STEPS
    assert one_day(problem, columns) == [[pytest.approx(BY_AIR)]]
    unread = replace(problem_of(Lit(11.0), Lit(14.0)), grid=replace(problem.grid, water_c=None))
    assert one_day(unread, columns_of(2, air=TWO_STEPS)) == [[pytest.approx(BY_AIR)]]


def test_only_the_day_s_own_steps_are_asked_each_with_its_own_weight() -> None:
    """Steps 2 and 3 of five are the day; the weight is that of its second step."""
    problem = problem_of(Lit(99.0), Lit(99.0), Lit(11.0), Lit(14.0), Lit(99.0))
    rule = CloudRule(0.5, 0.5, np.array([50.0, 60.0, 70.0, 2.0, 80.0]), 9.0)
    found = solve_clouds(CloudDay(problem, 2, 4, columns_of(2, air=TWO_STEPS)), rule)
    assert found.tolist() == [[pytest.approx(BY_AIR)]]


def test_the_tank_is_asked_over_the_day_s_own_steps() -> None:
    problem = problem_of(Lit(tank_c=99.0), Lit(tank_c=99.0), Lit(tank_c=11.0), Lit(tank_c=14.0), Lit(tank_c=99.0))
    rule = CloudRule(0.9, 0.5, np.full(5, 50.0), 2.0)
    found = solve_clouds(CloudDay(problem, 2, 4, columns_of(2, tank=TWO_STEPS)), rule)
    assert found.tolist() == [[pytest.approx(BY_AIR)]]


def test_morning_noon_and_evening_hang_together() -> None:
    """The log fixes the first at 0.95. The others then balance what is expected of them against their neighbours:
    3·b = 0.65 + 0.95 + c and 2·c = 0.65 + b, so b = 0.77 and c = 0.71."""
    problem = problem_of(Lit(10.0), Lit(19.5))
    columns = columns_of(2, air=[[10.0, 0.0, 0.0, 0.0], [10.0, 10.0, 0.0, 0.0]])
    found = one_day(problem, columns, rule_of(2, air_weight=1e9))
    assert found == [pytest.approx([0.95, 0.77, 0.71], abs=1e-6)]


@pytest.mark.parametrize(("read_c", "factor"), [(40.0, 1.2), (10.0, 0.03), (0.0, 0.03), (21.9, 1.19)])
def test_factors_stay_between_thick_cloud_and_the_brightest_sky(read_c: float, factor: float) -> None:
    """10 °C without sun and 10 K a unit: 40 °C would be three suns."""
    columns = columns_of(2, air=[[10.0, 0.0], [10.0, 10.0]])
    found = one_day(problem_of(Lit(10.0), Lit(read_c)), columns, rule_of(2, air_weight=1e9))
    assert found == [[pytest.approx(factor, abs=1e-6)]]


def test_each_set_of_figures_has_factors_of_its_own() -> None:
    """Of two sets the second has twice the lever: 2·6·3.5 over 2·36."""
    second = columns_of(2, air=[[10.0, 4.0], [10.0, 8.0]])
    both = np.concatenate([columns_of(2, air=TWO_STEPS), second], axis=1)
    other = (0.65 * FROM_BEFORE + 2 * 6 * 3.5) / (FROM_BEFORE + 2 * 6**2)
    assert one_day(problem_of(Lit(11.0), Lit(14.0)), both) == [[pytest.approx(BY_AIR)], [pytest.approx(other)]]


def test_pulls_count_standard_deviations_from_what_is_expected_and_from_the_neighbour() -> None:
    """0.65, 0.95 and 0.35: 0, +1 and −1 from the middle by 0.3 each; +1 and −2 from one to the next."""
    found = cloud_pulls(np.array([[0.65, 0.95, 0.35], [0.65, 0.65, 0.65]]))
    assert found == pytest.approx(np.array([[0.0, 1.0, -1.0, 1.0, -2.0], [0.0, 0.0, 0.0, 0.0, 0.0]]))
