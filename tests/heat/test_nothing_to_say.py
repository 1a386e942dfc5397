"""Edges where there is nothing: no hour, no value, no log, no leap day; a bug of ours is said and not reckoned with."""

from __future__ import annotations

from datetime import date

import numpy as np
import pandas as pd
import pytest

from ledger.heat.degree_days import Days, days_of, growing_degree_days_k_d
from ledger.heat.envelope import doubts, envelope
from ledger.heat.fan_nights import Night
from ledger.heat.fan_off import effect_k, fan_off_answer
from ledger.heat.reckoning import prepare, reckon
from ledger.heat.season_nights import season_nights
from ledger.heat.spans import season_span
from ledger.heat.sun import sun_elevation_deg
from ledger.heat.typical_notices import climate_notices
from ledger.model.build import Before
from ledger.model.house import Crop, GddMethod
from ledger.model.values import MonthDay, Window
from tests.heat.builders import SITE, WINTER, build, ledger_of, plain_house, record_of, spread


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


def test_a_change_of_the_envelope_that_names_no_part_is_a_bug_of_ours() -> None:
    with pytest.raises(ValueError, match="names no part"):
        envelope(plain_house(), (build(before=(Before(loss_w_per_m_k=spread(1.0)),)),), elevation_m=0.0)


def test_a_log_of_one_hour_is_an_hour_long() -> None:
    """At 20:00 in January, −3 °C outdoors: held at 5 with the bare house 2 K above outdoors, 0.1 · 6 = 0.6 kWh."""
    ledger = ledger_of(plain_house(100.0, lift=spread(2.0)))
    record = record_of({"indoor": [3.0], "outdoor": [-3.0]}, first="2026-01-10T20:00+01:00")
    season = reckon(prepare(record, ledger), ledger).seasons[0]
    assert (season.hours_valid, season.hours_counted) == (1, 1)
    assert season.need_kwh == pytest.approx(0.6)


def test_a_log_of_one_afternoon_has_no_night_to_compare() -> None:
    ledger = ledger_of()
    record = record_of({"indoor": [3.0] * 3, "outdoor": [-3.0] * 3}, first="2026-01-10T12:00+01:00")
    (one,) = season_nights(prepare(record, ledger).years, hold_c=5.0, timezone="Europe/Rome", typical=None)
    assert (one.like_nights, one.lift_change_k, one.longest_below_hold_h) == (0, None, 3.0)


def test_a_log_of_a_summer_s_fan_suggests_no_nights_of_a_winter_that_it_does_not_know() -> None:
    july = {"indoor": [25.0] * 240, "outdoor": [20.0] * 240, "fan_on": [1.0] * 240}
    prepared = prepare(record_of(july, first="2026-07-01T00:00+02:00"), ledger_of())
    answer = fan_off_answer(prepared, ledger_of())
    assert (dict(answer.seasons), answer.why_not, answer.calendar) == ({}, (), ())


def test_a_saving_that_rests_on_an_expected_share_alone_says_so() -> None:
    assert [n.code for n in climate_notices(None)] == ["saving-expected"]


def test_an_effect_is_found_though_nights_differ_in_nothing_else() -> None:
    """Ten nights on at 8 K and five off at 6 K, outdoors and sun alike: 2 K, without error."""
    on = [Night(day, 8.0, -5.0, 100.0, False, 0, True) for day in range(10)]
    off = [Night(day, 6.0, -5.0, 100.0, True, 1, True) for day in range(20, 25)]
    effect, error = effect_k(on, off)
    assert effect == pytest.approx(2.0)
    assert error == pytest.approx(0.0, abs=1e-6)
