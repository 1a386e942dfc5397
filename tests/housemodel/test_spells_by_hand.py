"""How far a log's days lie from the year's wave and how they hang together, by hand on half days."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from ledger.heat.housemodel.outdoors import Spells, YearlyWave, spells
from tests.housemodel.plain import plain_grid

WAVE = YearlyWave(2.0, -10.0)


def days_of(means: Sequence[float | None]) -> Spells:
    """Days of two steps, 1 K to either side of their mean about the wave; of a day of None one step alone is known."""
    grid = plain_grid(2 * len(means), step_s=43200.0)
    over = np.array([99.0 if m is None else m for m in means]).repeat(2) + np.tile([-1.0, 1.0], len(means))
    known = np.array([[True, m is not None] for m in means]).ravel()
    air = 2.0 + WAVE.over_mean_k(grid.stamps_utc) + over
    return spells(replace(grid, outdoor_c=air, outdoor_known=known, sun_day=np.arange(grid.steps) // 2), WAVE)


def test_days_hang_together_by_the_mean_product_of_neighbours_over_the_variance() -> None:
    """Three of +3 and three of −3 K: 54/5 = 10.8 K²; of five pairs four are +9 and one −9: 5.4, a half."""
    found = days_of([3.0, 3.0, 3.0, -3.0, -3.0, -3.0])
    assert (found.sd_k, found.memory, found.days) == pytest.approx((10.8**0.5, 0.5, 6))


def test_a_day_read_by_half_is_none_and_its_neighbours_are_no_pair() -> None:
    """The same with such a day between: four pairs of +9, 9/10.8."""
    found = days_of([3.0, 3.0, 3.0, None, -3.0, -3.0, -3.0])
    assert (found.sd_k, found.memory, found.days) == pytest.approx((10.8**0.5, 9.0 / 10.8, 6))


def test_memory_is_nothing_where_days_change_about_and_nine_tenths_at_most() -> None:
    """By turns: every pair −9. A long warm spell and a cold one: 39 pairs of which 38 are alike, 37/39 · 39/40."""
    assert days_of([3.0, -3.0] * 3).memory == 0.0
    assert days_of([3.0] * 20 + [-3.0] * 20).memory == 0.9


def test_five_days_tell_and_four_do_not() -> None:
    """0.4, 0, 0, 0 and −0.4 K: 0.32/4 = 0.08 K²."""
    five = days_of([0.4, 0.0, 0.0, 0.0, -0.4])
    assert (five.sd_k, five.memory, five.days) == pytest.approx((0.08**0.5, 0.0, 5))
    assert days_of([0.4, 0.0, 0.0, -0.4]) == Spells(0.0, 0.0, 4)


def test_days_that_never_follow_each_other_have_no_memory() -> None:
    found = days_of([3.0, None, 3.0, None, -3.0, None, -3.0, None, 3.0, None, -3.0])
    assert (found.sd_k, found.memory, found.days) == pytest.approx((10.8**0.5, 0.0, 6))
