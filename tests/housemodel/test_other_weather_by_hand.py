"""Another winter's weather on the steps of a fit, by hand: air between hours, sun of its own, where all begins."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.other_weather import (
    Winter,
    _grid,
    _measured_sun,
    _outdoors,
    figures_at_the_start,
    first_days_c,
    first_water_c,
    own_place,
    place_winter,
    rule_elsewhere,
    steps_for,
)
from ledger.heat.housemodel.priors import Figure, Prior, Scale
from ledger.heat.housemodel.seen_days import SeenDays
from ledger.heat.housemodel.sky import clear_sun_w_per_m2, sun_hour_and_day
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from ledger.heat.housemodel.thermostat import Branch, FanRule
from ledger.heat.spans import Span, season_span
from ledger.heat.sun import sun_elevation_deg
from ledger.model.values import MonthDay, Window
from tests.heat.builders import SITE
from tests.housemodel.plain import plain_grid, with_figures

Floats = NDArray[np.float64]
UNKNOWN = np.nan
HALF_HOUR, HOUR, HALF_DAY = 1800.0, 3600.0, 43200.0


def winter(outdoor_c: list[float], *, sun: list[float] | None = None, step_h: float = 1.0, days: int = 2) -> Winter:
    """A season that begins with the year 2025 in Rome."""
    span = season_span(Window(MonthDay(1, 1), MonthDay(1, days)), year=2025, timezone=SITE.timezone)
    hours = pd.date_range(span.begins_utc, periods=len(outdoor_c), freq=pd.Timedelta(hours=step_h))
    return Winter(span, hours, step_h, np.array(outdoor_c), np.array(sun or [UNKNOWN] * len(outdoor_c)))


def steps_from(first: pd.Timestamp, count: int, step_s: float) -> pd.DatetimeIndex:
    return pd.date_range(first, periods=count, freq=pd.Timedelta(seconds=step_s))


def read_off(one: Winter, *, first_h: float, count: int, step_s: float) -> list[float]:
    """Air in the middle of steps that begin so many hours after the winter's first hour."""
    stamps = steps_from(one.begins_utc[0] + pd.Timedelta(hours=first_h), count, step_s)
    return [float(t) for t in _outdoors(one, stamps, stamps + pd.Timedelta(seconds=step_s / 2))]


def test_air_goes_straight_from_the_middle_of_an_hour_to_that_of_the_next() -> None:
    """0, 4 and 8 °C are means at half past. Half-hours have their middle at a quarter past and a quarter to."""
    assert read_off(winter([0.0, 4.0, 8.0]), first_h=0.0, count=6, step_s=HALF_HOUR) == pytest.approx(
        [0.0, 1.0, 3.0, 5.0, 7.0, 8.0]
    )


def test_rows_of_three_hours_have_their_middles_three_hours_apart() -> None:
    """0 and 6 °C at 1:30 and 4:30: hours have their middle at 0:30, 1:30 …"""
    found = read_off(winter([0.0, 6.0], step_h=3.0), first_h=0.0, count=6, step_s=HOUR)
    assert found == pytest.approx([0.0, 0.0, 2.0, 4.0, 6.0, 6.0])


def test_steps_that_begin_within_the_winter_read_it_there() -> None:
    assert read_off(winter([0.0, 4.0, 8.0, 2.0]), first_h=2.0, count=2, step_s=HOUR) == pytest.approx([8.0, 2.0])


def test_a_run_up_mirrors_the_first_days_hour_for_hour() -> None:
    """Two days of hours 0 to 47: the day before them replays the first."""
    hours = [float(h) for h in range(48)]
    found = read_off(winter(hours), first_h=-24.0, count=48, step_s=HOUR)
    assert found == pytest.approx([*hours[:24], *hours[:24]])


def test_a_part_of_an_hour_before_the_first_one_is_a_row_of_its_own() -> None:
    """A run-up of half an hour asks for one row more; with nothing a day before or after it is the mean of all, 4 °C.
    From there to 2 °C: a quarter of the way, then three quarters."""
    found = read_off(winter([2.0, 2.0, 8.0]), first_h=-0.5, count=2, step_s=HALF_HOUR)
    assert found == pytest.approx([3.5, 2.5])


def sun_of(one: Winter, *, first_h: float, clear: list[float], step_s: float = HOUR) -> list[float] | None:
    grid = plain_grid(len(clear), step_s=step_s)
    stamps = steps_from(one.begins_utc[0] + pd.Timedelta(hours=first_h), len(clear), step_s)
    found = _measured_sun(replace(grid, stamps_utc=stamps, clear_w_m2=np.array(clear)), one)
    return None if found is None else found.tolist()


def test_measured_sun_is_that_of_the_hour_a_step_lies_in() -> None:
    """Half-hours take their hour's; what a sensor reads by night, or below 0, is none."""
    one = winter([0.0] * 3, sun=[5.0, 100.0, -3.0])
    assert sun_of(one, first_h=0.0, clear=[0.0, 0.0, 500.0, 500.0, 500.0, 0.5], step_s=HALF_HOUR) == [
        *(0.0, 0.0, 100.0, 100.0, 0.0, 0.0)
    ]


def test_the_weakest_of_clear_skies_already_lets_sun_in() -> None:
    assert sun_of(winter([0.0] * 2, sun=[0.4, 0.6]), first_h=0.0, clear=[0.5, 0.5]) == [0.4, 0.6]


def test_nine_tenths_of_the_sunlit_hours_are_enough_and_less_is_not() -> None:
    """Ten sunlit hours and any number of dark ones that nobody measured; the hole is bridged."""
    clear = [500.0] * 10 + [0.0] * 5
    measured = [100.0] * 4 + [UNKNOWN] + [100.0] * 5
    assert (
        sun_of(winter([0.0] * 15, sun=measured + [UNKNOWN] * 5), first_h=0.0, clear=clear) == [100.0] * 10 + [0.0] * 5
    )
    measured[7] = UNKNOWN
    assert sun_of(winter([0.0] * 15, sun=measured + [UNKNOWN] * 5), first_h=0.0, clear=clear) is None


def test_a_winter_in_the_dark_has_no_sun_of_its_own() -> None:
    assert sun_of(winter([0.0] * 2, sun=[0.0, 0.0]), first_h=0.0, clear=[0.0, 0.0]) is None


def test_hours_before_and_after_the_measured_ones_are_not_asked_for() -> None:
    """Two of six steps were measured, all of them lit: 10 and 20; the others are filled."""
    found = sun_of(winter([0.0] * 2, sun=[10.0, 20.0]), first_h=-2.0, clear=[500.0] * 6)
    assert found is not None
    assert found[2:4] == [10.0, 20.0]
    assert [found[i] for i in (0, 1, 4, 5)] == [15.0] * 4, "the mean of what is known"


def log_of(indoor_c: list[float], outdoor_c: list[float], *, water_c: list[float] | None, step_s: float) -> Grid:
    grid = plain_grid(len(indoor_c), step_s=step_s)
    water = None if water_c is None else np.array(water_c)
    return replace(grid, indoor_c=np.array(indoor_c), outdoor_c=np.array(outdoor_c), water_c=water)


def test_the_house_begins_as_much_over_the_air_as_in_the_first_three_days_of_its_log() -> None:
    """Half days: six readings, 1, 2, 3, 4, 5 and 9 K over outdoors, are 4 K; the unread one and the seventh (99) do not
    count. Three days at −2 °C and then a thaw: 2 °C, unknown after them."""
    log = log_of(
        [1.0, UNKNOWN, 12.0, 13.0, 14.0, 15.0, 19.0, 109.0], [0.0, 7.0, *[10.0] * 6], water_c=None, step_s=HALF_DAY
    )
    found = first_days_c(np.array([-2.0] * 6 + [8.0] * 3), log)
    assert found[:6].tolist() == pytest.approx([2.0] * 6)
    assert np.isnan(found[6:]).all()
    assert first_days_c(np.array([-2.0, 0.0]), log).tolist() == pytest.approx([3.0, 3.0])


def test_of_steps_longer_than_three_days_the_first_is_where_the_house_begins() -> None:
    log = log_of([5.0, 50.0], [1.0, 1.0], water_c=None, step_s=864000.0)
    found = first_days_c(np.array([3.0, 9.0]), log)
    assert found[0] == pytest.approx(7.0)
    assert np.isnan(found[1])


def test_the_tank_begins_as_much_over_the_days_around_it_as_in_the_log() -> None:
    """Half days. Its first reading, 30 °C, is the fourth; from a day before to three days after it outdoors was
    0, 2, 4, 6, 8, 4, 2 and 6 °C, 4 in the middle: 26 K over it. The other winter's first three days are −1 °C."""
    outdoor = [99.0, 0.0, 2.0, 4.0, 6.0, 8.0, 4.0, 2.0, 6.0, 99.0]
    water = [UNKNOWN, UNKNOWN, UNKNOWN, 30.0, UNKNOWN, 77.0, *[UNKNOWN] * 4]
    log = log_of([0.0] * 10, outdoor, water_c=water, step_s=HALF_DAY)
    found = first_water_c(np.array([-4.0, 2.0, -4.0, 2.0, -4.0, 2.0, 50.0]), log)
    assert found is not None
    assert found[0] == pytest.approx(25.0)
    assert np.isnan(found[1:]).all()


def test_a_tank_read_at_once_is_held_against_the_days_after_it() -> None:
    """Three days of half days of 1 to 6 °C, 3.5 in the middle: 10 °C is 6.5 K over them, 8.5 in a winter at 2 °C."""
    log = log_of([0.0] * 7, [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 99.0], water_c=[10.0] * 7, step_s=HALF_DAY)
    found = first_water_c(np.array([2.0, 2.0]), log)
    assert found is not None
    assert found[0] == pytest.approx(8.5)
    slow = log_of([0.0] * 4, [1.0, 2.0, 3.0, 99.0], water_c=[10.0] * 4, step_s=172800.0)
    long = first_water_c(np.array([2.0, 4.0]), slow)
    assert long is not None
    assert long[0] == pytest.approx(3.0 + 10.0 - 2.0), "steps of two days: three of them, and two are three days"


def test_without_a_reading_of_a_tank_there_is_none_to_begin_with() -> None:
    log = log_of([0.0], [0.0], water_c=None, step_s=HALF_DAY)
    assert first_water_c(np.zeros(2), log) is None
    assert first_water_c(np.zeros(2), replace(log, water_c=np.array([UNKNOWN]))) is None


def fit_at(grid: Grid, *table: Prior) -> Any:
    """As much of a fit as is asked here."""
    return SimpleNamespace(problem=SimpleNamespace(grid=grid, table=table))


def test_the_longest_winter_fits_with_a_fortnight_before_it() -> None:
    """Two and three days with fourteen before: 17 days of 24 steps. Of steps of five hours 81.6 are 82."""
    both = [winter([0.0], days=2), winter([0.0], days=3)]
    assert steps_for(fit_at(plain_grid(2, step_s=HOUR)), both) == 17 * 24
    assert steps_for(fit_at(plain_grid(2, step_s=5 * HOUR)), both[::-1]) == 82


SPAN: Span = winter([0.0], days=31).span
START = (
    Prior(Figure.FLOOR_START, Scale.PLAIN, 1.0, 3.0, "K", ""),
    Prior(Figure.DEEP, Scale.PLAIN, 8.0, 5.0, "°C", ""),
    Prior(Figure.BED_START, Scale.PLAIN, 3.0, 5.0, "K", ""),
)


def begun_at(days_late: float, figures: Floats) -> Floats:
    stamps = steps_from(SPAN.begins_utc + pd.Timedelta(days=days_late), 2, HOUR)
    return figures_at_the_start(fit_at(replace(plain_grid(2), stamps_utc=stamps), *START), figures, SPAN)


def test_a_log_that_begins_thirty_days_late_still_tells_how_the_winter_began() -> None:
    figures = np.array([[7.0, 7.0, 7.0], [8.0, 8.0, 8.0]])
    assert begun_at(30.0, figures) is figures
    assert begun_at(30.5, figures) is not figures


def test_a_later_one_does_not_and_its_draws_run_from_a_sd_and_a_half_below_to_as_much_above() -> None:
    """Five rows: the likely one first, then −0.75, 0, 0.75 and 1.5 standard deviations of 3 and of 5 K; the deep ground
    stays as found, and so do the figures that were handed in."""
    figures = np.full((5, 3), 7.0)
    found = begun_at(31.0, figures)
    assert found[:, 0].tolist() == pytest.approx([1.0, -1.25, 1.0, 3.25, 5.5])
    assert found[:, 1].tolist() == [7.0] * 5
    assert found[:, 2].tolist() == pytest.approx([3.0, -0.75, 3.0, 6.75, 10.5])
    assert (figures == 7.0).all()
    assert begun_at(31.0, np.full((1, 3), 7.0)).tolist() == [[1.0, 7.0, 3.0]]
    assert begun_at(31.0, np.full((2, 3), 7.0))[1].tolist() == pytest.approx([5.5, 7.0, 10.5])


def test_logged_fan_hours_go_with_month_day_and_minute_whatever_the_year() -> None:
    """On at 00:30 and 01:00 of 1 January 2025; a quarter-hour later, or on another day, it never was."""
    log = replace(plain_grid(4), stamps_utc=pd.date_range("2025-01-01", periods=4, freq="30min", tz="UTC"))
    rule = FanRule(None, None, np.array([False, True, True, False]))

    def ran(*at: str) -> list[bool]:
        stamps = pd.DatetimeIndex(pd.to_datetime(list(at), utc=True))
        found = rule_elsewhere(rule, log, replace(plain_grid(len(at)), stamps_utc=stamps)).hours
        assert found is not None
        return [bool(on) for on in found]

    assert ran("2019-01-01T00:00", "2019-01-01T00:30", "2019-01-01T01:00", "2019-01-01T01:30") == [
        False,
        True,
        True,
        False,
    ]
    assert ran("2019-01-01T00:45", "2019-01-02T00:30", "2019-02-01T00:30", "2019-01-01T12:30") == [False] * 4


def test_a_thermostat_stands_in_every_winter() -> None:
    rule = FanRule(Branch(1.0, 6.0, 8.0, 3.0, 1.0), None, None)
    assert rule_elsewhere(rule, plain_grid(2), plain_grid(3)) is rule


def test_the_log_s_own_winter_is_colder_by_what_is_asked_and_counts_from_its_first_to_its_last_midnight() -> None:
    """Steps of half a day from the day before the season on: two before it, four of its two days, two after it."""
    span = winter([0.0], days=2).span
    stamps = steps_from(span.begins_utc - pd.Timedelta(days=1), 8, HALF_DAY)
    grid = replace(plain_grid(8, step_s=HALF_DAY, outdoor_c=3.0), stamps_utc=stamps)
    sun = np.arange(8.0)
    house = known(grid, sun)
    place = own_place(house, span, colder_k=5.0)
    assert place.inside.tolist() == [False, False, True, True, True, True, False, False]
    assert place.problem.grid.outdoor_c.tolist() == [-2.0] * 8
    assert place.sun_w_m2 is sun
    assert not place.sun_drawn


def known(grid: Grid, sun_w_m2: Floats) -> Any:
    """A fit of which grid and sun are known."""
    problem, _ = with_figures(grid, Structure(Floor.TWO_LAYERS, Bed.NONE, tank=False), {})
    return SimpleNamespace(problem=problem, marched=SimpleNamespace(sun_w_m2=sun_w_m2))


def test_the_sun_stands_where_it_does_in_the_middle_of_a_step_a_fortnight_before_the_season() -> None:
    one = winter([0.0] * 48)
    log = plain_grid(3, step_s=2 * HOUR)
    found = _grid(replace(log, water_c=np.full(3, 9.0)), one, SITE, 400)
    first = one.span.begins_utc - pd.Timedelta(days=14)
    middle = pd.date_range(first + pd.Timedelta(hours=1), periods=400, freq="2h")
    assert found.stamps_utc[0] == first
    assert found.elevation_deg == pytest.approx(sun_elevation_deg(middle, SITE, step_h=0.0))
    assert found.clear_w_m2 == pytest.approx(clear_sun_w_per_m2(found.elevation_deg, elevation_m=0.0))
    hour, day = sun_hour_and_day(middle, SITE)
    assert found.sun_hour == pytest.approx(hour)
    assert found.sun_day.tolist() == day.tolist()
    assert found.heater_w.tolist() == [0.0] * 400
    assert found.outdoor_known.all()
    assert np.isnan(found.fan_share).all()


def test_a_winter_counts_from_its_first_midnight_to_the_one_after_its_last_day_run_up_left_out() -> None:
    """Two days of hours with sun of their own behind a fortnight of 336 hours, and a day after them; nothing is learnt
    from it."""
    fit = known(plain_grid(3, step_s=HOUR), np.zeros(3))
    nobody = SeenDays(np.zeros(0), np.zeros(0, dtype=np.int64), np.zeros((0, 3)))
    place = place_winter(fit, winter([1.0] * 48, sun=[100.0] * 48), SITE, seen=nobody, steps=336 + 48 + 24)
    assert place.inside.tolist() == [False] * 336 + [True] * 48 + [False] * 24
    assert not place.sun_drawn
    assert set(place.sun_w_m2.tolist()) == {0.0, 100.0}
    assert not place.problem.learnt.any()
    assert len(place.problem.learnt) == 336 + 48 + 24
