"""Degree-days of a crop window by hand: which hours and days count, by month, and what the build added."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat.growth import growth_by_build, growth_by_build_modelled, growth_of
from ledger.heat.prepared import YearHours
from ledger.heat.spans import season_span
from ledger.model.house import Crop, GddMethod
from ledger.model.values import MonthDay, Window

Floats = NDArray[np.float64]

WINDOW = Window(MonthDay(1, 30), MonthDay(2, 2))
CROP = Crop(base_c=10.0, ceiling_c=30.0, method=GddMethod.HOURLY, window=WINDOW)
UNKNOWN = np.nan


def four_days(indoor_c: float = 16.0, outdoor_c: float = 12.0) -> YearHours:
    """30 and 31 January, 1 and 2 February, hour by hour; the first eight hours of each are dark; all is crop window but
    the last day."""
    begins = pd.date_range("2025-01-30", periods=96, freq="h", tz="UTC")
    row = np.arange(96)
    month = np.where(row < 48, 1, 2).astype(np.int64)
    day = np.array([30, 31, 1, 2])[row // 24]
    return YearHours(
        span=season_span(WINDOW, year=2025, timezone="UTC"),
        begins_utc=begins,
        step_h=1.0,
        day_number=(20118 + row // 24).astype(np.int64),
        month=month,
        month_day=(month * 100 + day).astype(np.int64),
        dark=row % 24 < 8,
        in_season=np.ones(96, dtype=bool),
        in_crop=row < 72,
        counted=np.ones(96, dtype=bool),
        channels={"indoor": np.full(96, indoor_c), "outdoor": np.full(96, outdoor_c), "sun": np.zeros(96)},
    )


def with_holes(year: YearHours, channel: str, rows: slice) -> YearHours:
    values = year.channels[channel].copy()
    values[rows] = UNKNOWN
    return replace(year, channels={**year.channels, channel: values})


def by_two_months(values: Floats) -> list[float]:
    """January and February; nothing may stand in any other month."""
    assert len(values) == 12
    assert np.count_nonzero(values[2:]) == 0
    return [float(v) for v in values[:2]]


def test_each_month_has_the_degree_days_days_and_dark_hours_of_its_part_of_the_window() -> None:
    """6 K over the base indoors and 2 K outdoors: 12 and 4 K·d of two days in January, 6 and 2 of one in February."""
    found = growth_of(four_days(), CROP)
    assert by_two_months(found.indoor_k_d) == pytest.approx([12.0, 6.0])
    assert by_two_months(found.outdoor_k_d) == pytest.approx([4.0, 2.0])
    assert (found.days[:2].tolist(), found.days_valid[:2].tolist()) == ([2, 1], [2, 1])
    assert by_two_months(found.dark_hours) == [16.0, 8.0]
    assert by_two_months(found.dark_hours_valid) == [16.0, 8.0]
    assert found.known


def test_a_day_of_twenty_valid_hours_counts_whole_and_one_of_nineteen_not_at_all() -> None:
    """Four hours lost on 30 January, five on 1 February, three of them dark; the window keeps its three days."""
    year = with_holes(with_holes(four_days(), "outdoor", slice(10, 14)), "indoor", slice(53, 58))
    found = growth_of(year, CROP)
    assert by_two_months(found.indoor_k_d) == pytest.approx([12.0, 0.0])
    assert by_two_months(found.outdoor_k_d) == pytest.approx([4.0, 0.0])
    assert (found.days[:2].tolist(), found.days_valid[:2].tolist()) == ([2, 1], [2, 0])
    assert by_two_months(found.dark_hours) == [16.0, 8.0]
    assert by_two_months(found.dark_hours_valid) == [16.0, 5.0]


def test_a_lost_day_leaves_the_others_in_their_own_months() -> None:
    found = growth_of(with_holes(four_days(), "indoor", slice(0, 24)), CROP)
    assert by_two_months(found.indoor_k_d) == pytest.approx([6.0, 6.0])
    assert (found.days[:2].tolist(), found.days_valid[:2].tolist()) == ([2, 1], [1, 1])


def test_without_a_day_nothing_is_known_and_with_one_it_is() -> None:
    nothing = growth_of(with_holes(four_days(), "indoor", slice(0, 96)), CROP)
    assert not nothing.known
    assert by_two_months(nothing.indoor_k_d) == [0.0, 0.0]
    assert (nothing.days[:2].tolist(), nothing.days_valid[:2].tolist()) == ([2, 1], [0, 0])
    assert growth_of(with_holes(four_days(), "indoor", slice(24, 96)), CROP).known


def test_the_build_s_own_part_is_that_of_dark_valid_hours_over_the_bare_house() -> None:
    """16 °C against a bare house at 13: 3 K in eight dark hours a day, 1 K·d each; its unknown hours are not asked."""
    year = with_holes(four_days(), "indoor", slice(48, 50))
    bare_c = np.full(96, 13.0)
    bare_c[:4] = UNKNOWN
    found = growth_by_build(year, CROP, bare_c)
    assert by_two_months(found.k_d) == pytest.approx([3.0 * 12 / 24, 3.0 * 6 / 24])
    assert by_two_months(found.hours_known) == [12.0, 6.0]
    assert by_two_months(found.hours) == [16.0, 8.0]


@pytest.mark.parametrize(
    ("indoor_c", "bare_c", "k"), [(13.0, 8.0, 3.0), (9.0, 8.0, 0.0), (35.0, 28.0, 2.0), (13.0, 16.0, -3.0)]
)
def test_only_what_lies_between_base_and_ceiling_counts_and_a_colder_house_takes_away(
    indoor_c: float, bare_c: float, k: float
) -> None:
    found = growth_by_build(four_days(indoor_c), CROP, np.full(96, bare_c))
    assert by_two_months(found.k_d) == pytest.approx([k * 16 / 24, k * 8 / 24])


def test_by_the_model_every_hour_of_the_window_counts_by_day_and_by_night() -> None:
    """Free runs of 15 and 13 °C: 2 K·d a day, logged or not; the built run lacks six hours of February."""
    built_c = np.full(96, 15.0)
    built_c[60:66] = UNKNOWN
    year = with_holes(four_days(), "indoor", slice(0, 96))
    found = growth_by_build_modelled(year, CROP, built_c, np.full(96, 13.0))
    assert by_two_months(found.k_d) == pytest.approx([4.0, 2.0 * 18 / 24])
    assert by_two_months(found.hours_known) == [48.0, 18.0]
    assert by_two_months(found.hours) == [48.0, 24.0]


def test_rows_of_two_hours_count_for_two() -> None:
    """Every second row of the same days: twelve a day, four of them dark."""
    year = four_days()
    even = replace(
        year,
        step_h=2.0,
        begins_utc=year.begins_utc[::2],
        **{name: getattr(year, name)[::2] for name in ("day_number", "month", "month_day", "dark", "in_crop")},
        channels={name: values[::2] for name, values in year.channels.items()},
    )
    found = growth_of(even, CROP)
    assert by_two_months(found.indoor_k_d) == pytest.approx([12.0, 6.0])
    assert by_two_months(found.dark_hours) == [16.0, 8.0]
    built = growth_by_build(even, CROP, np.full(48, 13.0))
    assert by_two_months(built.k_d) == pytest.approx([2.0, 1.0])
    assert (by_two_months(built.hours_known), by_two_months(built.hours)) == ([16.0, 8.0], [16.0, 8.0])
