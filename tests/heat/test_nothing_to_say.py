"""Edges where there is nothing: no hour, no value, no log, no leap day; a bug of ours is said and not reckoned with."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
import pytest

from ledger.heat.degree_days import Days, days_of, growing_degree_days_k_d
from ledger.heat.envelope import doubts
from ledger.heat.fan_nights import Night
from ledger.heat.fan_off import effect_k
from ledger.heat.spans import season_span
from ledger.heat.sun import sun_elevation_deg
from ledger.heat.typical_notices import climate_notices
from ledger.model.build import Before
from ledger.model.house import Crop, GddMethod
from ledger.model.values import MonthDay, Window
from tests.heat.builders import SITE, WINTER, build, plain_house


def test_the_capped_method_without_a_ceiling_is_a_bug_of_ours() -> None:
    crop = Crop(base_c=10.0, ceiling_c=None, method=GddMethod.CAPPED, window=WINTER)
    one = Days(np.array([1]), np.array([20.0]), np.array([10.0]), np.array([5.0]))
    with pytest.raises(ValueError, match="needs a ceiling"):
        growing_degree_days_k_d(one, crop)


def test_a_day_that_lies_above_its_base_throughout_has_its_mean_less_the_base() -> None:
    """10 to 20 °C over a base of 5 °C: 10 K·d by the sine, which never leaves the base."""
    crop = Crop(base_c=5.0, ceiling_c=None, method=GddMethod.SINE, window=WINTER)
    one = Days(np.array([1]), np.array([20.0]), np.array([10.0]), np.array([10.0]))
    assert growing_degree_days_k_d(one, crop).tolist() == [10.0]


def test_no_valid_hour_is_no_day() -> None:
    crop = Crop(base_c=5.0, ceiling_c=None, method=GddMethod.HOURLY, window=WINTER)
    assert len(days_of(np.full(24, np.nan), np.zeros(24, dtype=np.int64), crop, step_h=1.0).day_number) == 0


def test_no_hour_has_no_sun() -> None:
    assert sun_elevation_deg(pd.DatetimeIndex([], tz="UTC"), SITE).size == 0


def test_a_season_that_begins_on_a_leap_day_begins_on_the_first_of_march_in_other_years() -> None:
    window = Window(MonthDay(2, 29), MonthDay(4, 30))
    firsts = [season_span(window, year=year, timezone="Europe/Rome").first_day for year in (2024, 2025)]
    assert firsts == [date(2024, 2, 29), date(2025, 3, 1)]


def test_a_change_of_the_envelope_without_a_value_is_a_bug_of_ours() -> None:
    with pytest.raises(ValueError, match="without a value"):
        doubts(plain_house(), (build(before=(Before(surface="cover"),)),))


def test_a_saving_that_rests_on_an_expected_share_alone_says_so() -> None:
    assert [n.code for n in climate_notices(None)] == ["saving-expected"]


def test_an_effect_is_found_though_nights_differ_in_nothing_else() -> None:
    """Ten nights on at 8 K and five off at 6 K, outdoors and sun alike: 2 K, without error."""
    on = [Night(day, 8.0, -5.0, 100.0, False, 0, True) for day in range(10)]
    off = [Night(day, 6.0, -5.0, 100.0, True, 1, True) for day in range(20, 25)]
    effect, error = effect_k(on, off)
    assert effect == pytest.approx(2.0)
    assert error == pytest.approx(0.0, abs=1e-6)
