"""Which nights of two winters are compared, and how sure a change of lift between them is."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from ledger.heat.reckoning import prepare
from ledger.heat.season_nights import SeasonNights, fading_notices, season_nights
from tests.heat.builders import ledger_of, record_of
from tests.known import known

HOURS = pd.date_range("2025-01-01T12:00+01:00", "2026-02-10T12:00+01:00", freq="h")
FIRST = np.asarray(HOURS.year == 2025) & np.asarray(HOURS.day_of_year <= 40)
SECOND = np.asarray(pd.Timestamp("2026-01-01T12:00+01:00") <= HOURS) & np.asarray(HOURS.day_of_year <= 40)


def second_winter(lift_k: np.ndarray | float, **channels: tuple[float, float]) -> SeasonNights:
    """Forty days of January and February at −5 °C with 10 K of lift, and a year later the same days with another lift.

    Other channels have one value in the first winter and one in the second.
    """
    outdoor = np.where(FIRST | SECOND, -5.0, np.nan)
    lift = np.where(SECOND, lift_k, 10.0)
    more = {name: np.where(SECOND, after, before) for name, (before, after) in channels.items()}
    record = record_of({"outdoor": outdoor, "indoor": outdoor + lift, **more}, first="2025-01-01T12:00+01:00")
    years = prepare(record, ledger_of()).years
    return season_nights(years, hold_c=5.0, timezone="Europe/Rome", typical=None)[-1]


@pytest.mark.parametrize(("sun", "like"), [((100.0, 130.0), True), ((100.0, 140.0), False), ((140.0, 100.0), False)])
def test_nights_after_a_day_of_other_sun_are_not_compared(sun: tuple[float, float], like: bool) -> None:
    """A quarter of the sunnier day is allowed: 30 of 130 W/m2 is less, 40 of 140 is more."""
    night = second_winter(9.0, sun=sun)
    assert (night.like_nights > 35, night.lift_change_k is not None) == (like, like)
    assert not like or night.lift_change_k == pytest.approx(-1.0)


def test_where_only_one_winter_knows_its_sun_the_nights_are_compared_without_it() -> None:
    assert second_winter(9.0, sun=(np.nan, 200.0)).lift_change_k == pytest.approx(-1.0)
    assert second_winter(9.0, sun=(200.0, np.nan)).lift_change_k == pytest.approx(-1.0)


@pytest.mark.parametrize("heated", [{"heater_w": (0.0, 500.0)}, {"heater_on": (0.0, 0.5)}, {"heater_w": (500.0, 0.0)}])
def test_a_night_with_the_heater_on_shows_nothing_of_the_build(heated: dict[str, tuple[float, float]]) -> None:
    night = second_winter(9.0, **heated)
    assert (night.like_nights, night.lift_change_k) == (0, None)


def test_the_range_of_a_change_is_that_of_a_mean_of_which_three_nights_count_as_one() -> None:
    """Nights by turns 9 and 11 K above outdoors, all earlier ones 10 K: of n nights the mean is 0, the spread of one
    √(n / (n − 1)), and the tenth and ninetieth percentile of the mean lie 1.2816 · spread ÷ √(n / 3) away."""
    turns = np.where(np.arange(len(HOURS)) // 24 % 2 == 0, 9.0, 11.0)
    night = second_winter(turns)
    n = night.like_nights
    assert n == 40
    half = 1.2816 * np.sqrt(n / (n - 1)) / np.sqrt(n / 3)
    assert night.lift_change_k == pytest.approx(0.0, abs=1e-9)
    assert known(night.lift_change_p10_k) == pytest.approx(-half)
    assert known(night.lift_change_p90_k) == pytest.approx(half)


def test_a_loss_of_lift_within_what_chance_explains_is_not_said() -> None:
    """Nights by turns 4 and 15 K, half a kelvin below the earlier 10 in the mean: the range reaches above 0."""
    turns = np.where(np.arange(len(HOURS)) // 24 % 2 == 0, 4.0, 15.0)
    assert fading_notices([second_winter(turns)]) == ()
    sure = second_winter(9.5)
    assert [n.code for n in fading_notices([sure])] == ["lift-fading"]
    assert fading_notices([second_winter(9.6)]) == ()
