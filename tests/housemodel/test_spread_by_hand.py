"""From fits to a range by hand: shares of structures, mirrored draws, percentiles and the allowance beside them."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel.spread import (
    DRAWS,
    DRAWS_COUNT,
    LEAD_SD_K,
    NEAR_SETTING_K,
    SETTING_SD_K,
    WITH_BED,
    WITHOUT_BED,
    WrongPhysics,
    banded,
    drawn_figures,
    drawn_misreadings_k,
    draws_count,
    structure_weights,
    wrong_physics,
)
from ledger.heat.housemodel.structure import Bed, Floor, Structure

Floats = NDArray[np.float64]
ALIKE = np.ones(5)
FIVE = np.array([110.0, 80.0, 120.0, 90.0, 100.0])
"""Of five even draws the middle ones stand for the shares 0.1, 0.3, 0.5, 0.7 and 0.9 below them."""


def fit_of(
    *, evidence: float = 0.0, bed: Bed = Bed.NONE, fitted: Floats | None = None, covariance: Floats | None = None
) -> Any:
    """As much of a fit as is asked here."""
    problem = SimpleNamespace(structure=Structure(Floor.LADDER, bed, tank=False))
    return SimpleNamespace(problem=problem, evidence=evidence, fitted=fitted, covariance=covariance)


def test_a_structure_s_share_grows_with_a_seventh_of_its_evidence() -> None:
    """A lead of ln 3 ÷ 0.15 is worth three to one, wherever the two stand."""
    lead = np.log(3.0) / 0.15
    for zero in (0.0, -1e6, 1e6):
        found = structure_weights([fit_of(evidence=zero), fit_of(evidence=zero + lead)])
        assert found.tolist() == pytest.approx([0.25, 0.75], abs=1e-6)
    assert structure_weights([fit_of(evidence=0.0), fit_of(evidence=1e4)]).tolist() == [0.0, 1.0]
    assert structure_weights([fit_of(evidence=-7.0)]).tolist() == [1.0]
    assert structure_weights([fit_of()] * 4).tolist() == [0.25] * 4


def test_the_found_figures_come_first_and_each_draw_has_its_mirror_image() -> None:
    fitted = np.array([1.0, -2.0])
    found = drawn_figures(fit_of(fitted=fitted, covariance=np.array([[4.0, 1.0], [1.0, 9.0]])))
    half = DRAWS // 2
    assert found.shape == (1 + DRAWS, 2)
    assert found[0].tolist() == [1.0, -2.0]
    assert (found[1 : 1 + half] + found[1 + half :]) / 2 == pytest.approx(np.tile(fitted, (half, 1)))
    assert len(np.unique(found[1:], axis=0)) == DRAWS


def test_draws_lie_as_far_off_as_the_curvature_says_and_are_the_same_on_every_run() -> None:
    """Four times the variance is twice as far. Of twelve pairs the deviation is known to a fifth: two thirds to 3/2."""
    one = drawn_figures(fit_of(fitted=np.zeros(3), covariance=np.diag([1.0, 4.0, 1e-6])))
    wide = drawn_figures(fit_of(fitted=np.zeros(3), covariance=4.0 * np.diag([1.0, 4.0, 1e-6])))
    assert wide == pytest.approx(2.0 * one)
    assert np.array_equal(one, drawn_figures(fit_of(fitted=np.zeros(3), covariance=np.diag([1.0, 4.0, 1e-6]))))
    for found, sd in zip(one[1:].std(axis=0), (1.0, 2.0, 1e-3), strict=True):
        assert sd / 1.6 < found < sd * 1.6


def test_figures_that_go_together_are_drawn_together() -> None:
    found = drawn_figures(fit_of(fitted=np.zeros(2), covariance=np.array([[1.0, 0.9999], [0.9999, 1.0]])))
    assert found[:, 0] == pytest.approx(found[:, 1], abs=0.1)


def test_misreadings_are_none_for_the_found_figures_mirrored_and_as_wide_as_named() -> None:
    half = DRAWS // 2
    lead, setting = drawn_misreadings_k()
    for found, sd in ((lead, LEAD_SD_K), (setting, SETTING_SD_K)):
        assert found.shape == (1 + DRAWS,)
        assert found[0] == 0.0
        assert found[1 : 1 + half].tolist() == (-found[1 + half :]).tolist()
        assert abs(found[1 : 1 + half].mean()) < sd
        assert sd / 1.6 < found[1:].std() < sd * 1.6
    assert abs(np.corrcoef(lead[1 : 1 + half], setting[1 : 1 + half])[0, 1]) < 0.7, "drawn apart from each other"
    again = drawn_misreadings_k()
    assert (lead.tolist(), setting.tolist()) == (again[0].tolist(), again[1].tolist())


def test_misreadings_are_not_the_figures_own_draws() -> None:
    """Else a draw with a leaky house would always be one with a late fan."""
    lead, _ = drawn_misreadings_k()
    one = drawn_figures(fit_of(fitted=np.zeros(1), covariance=np.eye(1)))[:, 0]
    assert abs(np.corrcoef(lead[1:13], one[1:13])[0, 1]) < 0.7


def test_a_house_with_a_bed_is_doubted_more_than_one_with_a_metered_tank_alone() -> None:
    """1,000 kWh of 10,000: with a bed √(60² + 125²) = 138.65, without √(50² + 35²) = 61.03."""
    bed, tank = wrong_physics(fit_of(bed=Bed.LINKED)), wrong_physics(fit_of())
    assert (bed, tank) == (WITH_BED, WITHOUT_BED)
    assert bed.kwh(1000.0, 10_000.0) == pytest.approx(138.65, abs=0.01)
    assert tank.kwh(1000.0, 10_000.0) == pytest.approx(61.03, abs=0.01)


def test_wrong_physics_is_a_share_of_the_answer_beside_a_share_of_the_need() -> None:
    """6 % of 500 is 30 and 1 % of 4,000 is 40: 50 together; nothing saved leaves the 40, a loss counts like a gain."""
    doubt = WrongPhysics(of_answer=0.06, of_need=0.01, of_change=0.1)
    assert [doubt.kwh(answer, 4000.0) for answer in (500.0, -500.0, 0.0)] == pytest.approx([50.0, 50.0, 40.0])
    assert doubt.times(1.5).kwh(500.0, 4000.0) == pytest.approx(75.0)
    assert doubt.times(1.5).of_change == pytest.approx(0.15)


def test_draws_count_in_full_only_where_the_fan_begins_near_the_hold() -> None:
    """There they hold both sides of a jump; a house without a fan, or with one that begins far off, has none."""
    inside, outside = NEAR_SETTING_K - 0.01, NEAR_SETTING_K + 0.01
    assert [draws_count(5.0, 5.0 + by) for by in (0.0, inside, -inside)] == [1.0] * 3
    assert [draws_count(5.0, 5.0 + by) for by in (outside, -outside)] == [DRAWS_COUNT] * 2
    assert draws_count(5.0, None) == DRAWS_COUNT < 1.0


def test_without_an_allowance_the_band_is_the_draws_own_tenths() -> None:
    """Even draws of 80 to 120: 80 has a tenth below it (half of its own fifth), 120 nine tenths."""
    band = banded(100.0, FIVE, ALIKE, allowance_kwh=0.0, count=1.0)
    assert (band.p10, band.p90) == pytest.approx((80.0, 120.0))


def test_between_two_draws_a_tenth_lies_on_the_straight_line() -> None:
    """Ten even draws 0, 10 … 90 stand for 0.05, 0.15 …: a tenth is half way, 5, and nine tenths 85."""
    band = banded(45.0, np.arange(0.0, 100.0, 10.0), np.ones(10), allowance_kwh=0.0, count=1.0)
    assert (band.p10, band.p90) == pytest.approx((5.0, 85.0))


def test_draws_count_by_their_share_whatever_shares_add_up_to() -> None:
    """30, 10, 20 with 1.2, 0.4, 0.4: in order 0.2, 0.6, 1.4 of 2 are below, so 0.1, 0.3, 0.7; nine tenths lie beyond.
    With 0.3, 0.3, 1.4 it is 0.075, 0.5 and 0.925: a tenth is 10 + 10 · 0.025/0.425."""
    for scale in (1.0, 0.5, 7.0):
        shares = scale * np.array([1.2, 0.4, 0.4])
        band = banded(20.0, np.array([30.0, 10.0, 20.0]), shares, allowance_kwh=0.0, count=1.0)
        assert (band.p10, band.p90) == pytest.approx((10.0, 30.0))
    heavy = banded(20.0, np.array([30.0, 10.0, 20.0]), np.array([0.3, 0.3, 1.4]), allowance_kwh=0.0, count=1.0)
    assert (heavy.p10, heavy.p90) == pytest.approx((10.0 + 10.0 * 0.025 / 0.425, 30.0 - 10.0 * 0.025 / 0.425))


def test_draws_and_allowance_join_like_the_sides_of_a_right_triangle() -> None:
    """20 kWh below and above, and 1.2816 · a = 15: 25 on both sides."""
    band = banded(100.0, FIVE, ALIKE, allowance_kwh=15.0 / 1.2816, count=1.0)
    assert (band.p10, band.p90) == pytest.approx((75.0, 125.0))


def test_draws_whose_distance_counts_less_widen_the_range_less() -> None:
    """Draws of 80 to 120 counted at 0.4: 8 below and above; beside 1.2816 · a = 6: 10."""
    alone = banded(100.0, FIVE, ALIKE, allowance_kwh=0.0, count=0.4)
    assert (alone.p10, alone.p90) == pytest.approx((92.0, 108.0))
    both = banded(100.0, FIVE, ALIKE, allowance_kwh=6.0 / 1.2816, count=0.4)
    assert (both.p10, both.p90) == pytest.approx((90.0, 110.0))
    assert banded(100.0, FIVE, ALIKE, allowance_kwh=3.0) == banded(
        100.0, FIVE, ALIKE, allowance_kwh=3.0, count=DRAWS_COUNT
    )


def test_where_draws_are_all_alike_the_allowance_alone_is_left() -> None:
    for count in (1, 5):
        band = banded(100.0, np.full(count, 100.0), np.ones(count), allowance_kwh=10.0)
        assert (band.p10, band.p90) == pytest.approx((100.0 - 12.816, 100.0 + 12.816))


@pytest.mark.parametrize(("central", "below", "above"), [(130.0, 50.0, 0.0), (70.0, 0.0, 50.0)])
def test_a_range_holds_its_answer_even_outside_of_the_draws(central: float, below: float, above: float) -> None:
    """Draws of 80 to 120 about an answer of 130: 50 kWh below, nothing above but the allowance of 12."""
    bare = banded(central, FIVE, ALIKE, allowance_kwh=0.0, count=1.0)
    assert (bare.p10, bare.p90) == pytest.approx((central - below, central + above))
    wide = banded(central, FIVE, ALIKE, allowance_kwh=12.0 / 1.2816, count=1.0)
    assert wide.p10 == pytest.approx(central - np.hypot(below, 12.0))
    assert wide.p90 == pytest.approx(central + np.hypot(above, 12.0))
