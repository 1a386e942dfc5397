"""The saving build by build: arithmetic by hand, and what must hold of any houses."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.heat.housemodel.left_out import Doubt, Part, Parts, Ranged, Split, split, stands, subsets
from ledger.heat.housemodel.network import BARE, BUILT
from ledger.heat.housemodel.spread import WrongPhysics

SURE = Doubt(WrongPhysics(0.0, 0.0, 0.0), 0.0)
DOUBTFUL = WrongPhysics(of_answer=0.1, of_need=0.01, of_change=0.1)
TWO = (Part.TANK, Part.BED)
THREE = (Part.TANK, Part.BED, Part.ENVELOPE)


def splitting(saved: dict[Parts, float], parts: tuple[Part, ...]) -> Split:
    values = {chosen: np.array([kwh]) for chosen, kwh in saved.items()}
    whole = saved[frozenset(parts)]
    return split(values, parts, SURE, together=Ranged(whole, whole, whole))


def two(tank: float, bed: float, both: float) -> Split:
    chosen = {frozenset[Part](): 0.0, frozenset({Part.TANK}): tank, frozenset({Part.BED}): bed, frozenset(TWO): both}
    return splitting(chosen, TWO)


def test_of_one_build_leaving_it_out_is_the_whole() -> None:
    (only,) = (found := splitting({frozenset(): 0.0, frozenset({Part.TANK}): 70.0}, (Part.TANK,))).parts
    assert (only.alone.kwh, only.left_out.kwh, only.own_kwh) == (70.0, 70.0, 70.0)
    assert found.shared_kwh == 0.0


def test_two_builds_that_do_not_touch_one_another_share_nothing() -> None:
    """40 and 60 alone, 100 together: each is worth what it gives alone."""
    found = two(40.0, 60.0, 100.0)
    assert [(p.left_out.kwh, p.own_kwh) for p in found.parts] == [(40.0, 40.0), (60.0, 60.0)]
    assert found.shared_kwh == 0.0


def test_two_like_builds_that_each_nearly_cover_the_need_have_most_of_it_in_common() -> None:
    """Need 80, each alone would avoid 60, both 80: leaving one out loses 20, 40 belong to both and are halved."""
    found = two(60.0, 60.0, 80.0)
    assert [(p.alone.kwh, p.left_out.kwh, p.own_kwh) for p in found.parts] == [(60.0, 20.0, 40.0), (60.0, 20.0, 40.0)]
    assert found.shared_kwh == 40.0


def test_builds_that_help_one_another_share_less_than_nothing() -> None:
    """A bed that gives 30 alone and a tank that gives 10, together 60: without either the other gives 20 less."""
    found = two(10.0, 30.0, 60.0)
    assert [(p.left_out.kwh, p.own_kwh) for p in found.parts] == [(30.0, 20.0), (50.0, 40.0)]
    assert found.shared_kwh == -20.0


def test_a_build_that_takes_more_than_it_gives_has_a_part_below_nothing() -> None:
    """A tank gives 100; a bed beside it takes 30 of them, alone it would take 40: own −35, the tank's 105."""
    found = two(100.0, -40.0, 70.0)
    assert [p.own_kwh for p in found.parts] == [105.0, -35.0]
    assert [p.left_out.kwh for p in found.parts] == [110.0, -30.0]


def saved_by_any(numbers: list[float]) -> dict[Parts, float]:
    chosen = [frozenset(c) for n in range(1, 4) for c in combinations(THREE, n)]
    return {frozenset(): 0.0, **dict(zip(chosen, numbers, strict=True))}


@given(st.lists(st.floats(-1e4, 1e4), min_size=7, max_size=7))
def test_the_parts_add_up_to_the_whole(numbers: list[float]) -> None:
    found = splitting(saved_by_any(numbers), THREE)
    assert sum(p.own_kwh for p in found.parts) == pytest.approx(found.together.kwh, abs=1e-6)
    assert found.shared_kwh + sum(p.left_out.kwh for p in found.parts) == pytest.approx(found.together.kwh, abs=1e-6)


@given(st.floats(-1e4, 1e4), st.floats(-1e4, 1e4))
def test_builds_that_cannot_be_told_apart_have_like_parts(each: float, both: float) -> None:
    one, other = two(each, each, both).parts
    assert one.own_kwh == pytest.approx(other.own_kwh, abs=1e-9)


def test_every_choice_of_the_parts_is_run_once_from_none_to_all() -> None:
    assert len(subsets(THREE)) == 8
    assert len(set(subsets(THREE))) == 8
    assert stands(subsets(THREE)[0]) == BARE
    assert stands(subsets(THREE)[-1]) == BUILT


def test_a_range_is_the_spread_of_draws_and_the_doubt_about_physics_together() -> None:
    """Draws 90 and 110: σ = 14.14; physics 10 % of 100: 10; half-width 1.2816 · √(200 + 100) = 22.20."""
    found = Doubt(DOUBTFUL, 0.0, count=1.0).of(np.array([100.0, 90.0, 110.0]))
    assert (found.kwh, found.p10, found.p90) == pytest.approx((100.0, 77.80, 122.20), abs=0.01)


def test_draws_that_count_for_less_are_so_much_less_spread() -> None:
    """σ = 14.14 at 0.5: √(50 + 100) = 12.247, 1.2816 · that = 15.70."""
    found = Doubt(DOUBTFUL, 0.0, count=0.5).of(np.array([100.0, 90.0, 110.0]))
    assert (found.p10, found.p90) == pytest.approx((84.30, 115.70), abs=0.01)


def test_an_answer_of_nothing_is_doubted_by_its_share_of_the_need() -> None:
    """1 % of 1000 = 10; 1.2816 · 10 = 12.8 either way."""
    found = Doubt(DOUBTFUL, 1000.0).of(np.array([0.0]))
    assert (found.p10, found.p90) == pytest.approx((-12.816, 12.816))


def test_what_two_runs_get_wrong_alike_falls_out_of_their_difference() -> None:
    """Draw by draw the change is 50 each time: no spread but physics, 10 % of 50 = 5, 1.2816 · 5 = 6.4."""
    now, then = np.array([200.0, 100.0, 300.0]), np.array([250.0, 150.0, 350.0])
    found = Doubt(DOUBTFUL, 0.0).of_a_change(then, now)
    assert (found.kwh, found.p10, found.p90) == pytest.approx((50.0, 43.592, 56.408))
