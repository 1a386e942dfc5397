"""Weather in days that a log lacks: whence it comes, how unsure it is, what the steps around a log are."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.open_days import NO_WEATHER, FilledBy, Weather
from ledger.heat.housemodel.outdoors import Spells, YearlyWave, like_nearby_days_c, mean_doubt_k, spells, yearly_wave
from ledger.heat.housemodel.thermostat import FanRule
from ledger.heat.housemodel.whole_winter import WholeWinter, rule_over, whole_winter
from ledger.heat.prepared import lay_out
from ledger.heat.spans import Span, season_span
from ledger.model.house import CountRule, Crop, GddMethod, Hold
from ledger.model.values import MonthDay, Window
from tests.heat.builders import SITE, record_of
from tests.housemodel.plain import plain_grid

Floats = NDArray[np.float64]

WINTER = Window(MonthDay(1, 1), MonthDay(2, 9))
SPAN: Span = season_span(WINTER, year=2026, timezone=SITE.timezone)
HOUR_S = 3600.0
WARMER_K = 3.0


def hourly(days: int, *, begins_day: float = 0.0) -> Grid:
    """Hours from the season's first day on, outdoors a sine of the day about −2 °C and 3 K in steps of four days."""
    steps = 24 * days
    hour = np.arange(steps)
    outdoor = -2.0 + 4.0 * np.cos((hour - 14.0) / 24.0 * 2.0 * np.pi) + 3.0 * ((hour // 96) % 2 * 2.0 - 1.0)
    stamps = pd.date_range(SPAN.begins_utc + pd.Timedelta(days=begins_day), periods=steps, freq="h")
    grid = plain_grid(steps, step_s=HOUR_S)
    return replace(
        grid,
        stamps_utc=stamps,
        outdoor_c=outdoor,
        sun_day=hour // 24,
        sun_hour=np.asarray(hour % 24.0, dtype=np.float64),
    )


def laid(grid: Grid, weather: Weather = NO_WEATHER) -> WholeWinter:
    found = whole_winter(grid, SPAN, SITE, weather)
    assert found is not None
    return found


def test_the_mean_of_days_that_know_nothing_of_each_other_varies_by_one_nth() -> None:
    assert Spells(4.0, 0.0, 60).mean_variance_k2(8.0) == pytest.approx(16.0 / 8.0)


def test_two_days_that_hang_together_by_half_vary_by_three_quarters() -> None:
    """s²/2 · (1 + 2 · ½ · ½) = ¾ s²."""
    assert Spells(4.0, 0.5, 60).mean_variance_k2(2.0) == pytest.approx(0.75 * 16.0)


def test_a_filled_mean_is_unsure_by_both_its_days_and_by_the_year_s_swing() -> None:
    """Variances: twice 16/4, and (0.5)² of 4 K² for half a swing moved: sqrt(8 + 1) = 3 K."""
    assert mean_doubt_k(Spells(4.0, 0.0, 60), 4.0, days=4.0, wave_moved=0.5) == pytest.approx(3.0)


def test_half_the_swing_is_as_unsure_as_ever_where_the_log_shows_none_of_it() -> None:
    """4 K of standard deviation before any log is read; days that lie all at one time of year add nothing."""
    assert Spells(3.0, 0.0, 60).swing_variance_k2(np.full(60, 0.8)) == pytest.approx(16.0)


def test_days_in_blocks_of_four_keep_about_half_from_one_day_to_the_next() -> None:
    """±3 K in blocks of four days: of four neighbouring pairs three are alike and one is opposite, (3 − 1)/4."""
    found = spells(hourly(80), YearlyWave(-2.0, 0.0))
    assert found.sd_k == pytest.approx(3.0, rel=0.02)
    assert found.memory == pytest.approx(0.5, abs=0.05)


def test_a_day_filled_from_a_day_of_another_month_is_carried_along_the_year() -> None:
    """Half a swing of −10 K about 0: logged days lie on the wave, and so do the filled ones."""
    wave, stamps = YearlyWave(0.0, -10.0), pd.date_range("2025-11-01", periods=24 * 90, freq="h", tz="UTC")
    truth = wave.over_mean_k(stamps)
    known = np.where(np.arange(len(truth)) >= 24 * 60, truth, np.nan)
    assert like_nearby_days_c(known, stamps, wave, HOUR_S) == pytest.approx(truth, abs=1e-9)


def test_the_wave_of_a_logged_year_is_found() -> None:
    stamps = pd.date_range("2025-07-01", periods=24 * 365, freq="h", tz="UTC")
    noon = 40.0 - 20.0 * np.cos(2.0 * np.pi * (np.asarray(stamps.day_of_year) - 1.0) / 365.25)
    grid = replace(
        plain_grid(len(stamps), step_s=HOUR_S),
        stamps_utc=stamps,
        outdoor_c=7.0 + YearlyWave(0.0, -9.0).over_mean_k(stamps),
        elevation_deg=np.asarray(noon, dtype=np.float64),
        sun_day=np.arange(len(stamps)) // 24,
    )
    found = yearly_wave(grid)
    assert found.mean_c == pytest.approx(7.0, abs=0.1)
    assert found.half_swing_k == pytest.approx(-9.0, abs=0.1)


def test_a_log_that_covers_its_season_leaves_nothing_to_fill() -> None:
    assert whole_winter(hourly(40), SPAN, SITE, NO_WEATHER) is None


def test_a_late_log_gets_the_season_s_first_days_and_a_run_up_before_it() -> None:
    """Begun ten days late: ten days are wanted, twenty-four laid before the log."""
    found = laid(hourly(30, begins_day=10.0))
    assert found.open_days == pytest.approx(10.0)
    assert found.rows == slice(24 * 24, 24 * 54)
    assert found.grid.stamps_utc[-1] == SPAN.ends_utc - pd.Timedelta(hours=1)
    assert np.isfinite(found.grid.indoor_c[:72]).all(), "the run begins with readings of its own"
    assert not found.wanted[: 14 * 24].any(), "the run-up belongs to no season"


def test_an_early_end_is_laid_to_the_season_s_last_hour() -> None:
    found = laid(hourly(28))
    assert found.rows == slice(0, 24 * 28)
    assert found.open_days == pytest.approx(12.0)
    assert found.grid.steps == 24 * 40


def test_what_was_logged_stands_in_every_guess() -> None:
    log = hourly(30, begins_day=10.0)
    for outdoor_c in laid(log).guesses.outdoor_c:
        assert outdoor_c[24 * 24 :] == pytest.approx(log.outdoor_c)


def test_nearby_days_are_guessed_colder_and_warmer_by_what_their_mean_is_unsure() -> None:
    found = laid(hourly(30, begins_day=10.0))
    colder, middle, warmer = (float(np.mean(c[found.wanted])) for c in found.guesses.outdoor_c)
    assert found.guesses.filled_by == (FilledBy.NEARBY,)
    assert middle - colder == pytest.approx(warmer - middle)
    assert 0.5 < warmer - middle < 8.0


def test_another_record_of_the_same_hours_is_taken_as_it_is() -> None:
    log = hourly(30, begins_day=10.0)
    index = pd.date_range(SPAN.begins_utc - pd.Timedelta(days=30), periods=24 * 80, freq="h")
    found = laid(log, Weather(pd.Series(np.full(len(index), 1.5), index=index)))
    assert found.guesses.filled_by == (FilledBy.ELSEWHERE,)
    assert all(c[found.wanted] == pytest.approx(1.5) for c in found.guesses.outdoor_c)


def climate(winters_c: tuple[float, ...]) -> Weather:
    """Winters of other years, each at one temperature throughout."""
    hold = Hold(4.0, WINTER, CountRule.DARK)
    crop = Crop(10.0, None, GddMethod.HOURLY, WINTER)
    years = tuple(
        year
        for i, c in enumerate(winters_c)
        for year in lay_out(
            record_of({"outdoor": np.full(24 * 60, c)}, first=f"{2010 + i}-01-01T00:00+01:00"),
            site=SITE,
            hold=hold,
            crop=crop,
        )
        if year.span.begins_utc.year >= 2009 + i
    )
    return Weather(climate=years)


def test_three_winters_of_the_climate_are_the_three_guesses_from_cold_to_mild() -> None:
    found = laid(hourly(30, begins_day=10.0), climate((5.0, -6.0, 1.0)))
    assert found.guesses.filled_by == (FilledBy.CLIMATE,)
    means = [float(np.mean(c[found.wanted])) for c in found.guesses.outdoor_c]
    assert means == pytest.approx([-6.0, 1.0, 5.0])


def test_one_winter_of_the_climate_is_the_middle_guess() -> None:
    found = laid(hourly(30, begins_day=10.0), climate((1.0,)))
    means = [float(np.mean(c[found.wanted])) for c in found.guesses.outdoor_c]
    assert means[1] == pytest.approx(1.0)
    assert means[0] < means[1] < means[2]


def test_a_hole_in_the_log_is_filled_as_the_fit_ran_through_it_and_doubted() -> None:
    log = hourly(40)
    lost = np.zeros(log.steps, dtype=bool)
    lost[240:480] = True
    holed = replace(
        log,
        indoor_c=np.where(lost, np.nan, log.indoor_c),
        outdoor_c=np.where(lost, -3.0, log.outdoor_c),
        outdoor_known=~lost,
    )
    found = laid(holed, climate((9.0, 9.0, 9.0)))
    assert found.grid.steps == log.steps
    assert found.guesses.filled_by == (FilledBy.NEARBY,), "days lie on both sides of it"
    assert found.guesses.middle_c[lost] == pytest.approx(-3.0)
    assert (found.guesses.outdoor_c[2][lost] > -3.0).all()


def test_logged_hours_of_a_fan_are_those_of_nearby_days_where_the_log_lacks_them() -> None:
    """On from midnight to six every day of the log: so it is on every open day."""
    log = hourly(28)
    rule = rule_over(FanRule(None, None, np.arange(log.steps) % 24 < 6), laid(log))
    assert rule.hours is not None
    assert rule.hours.tolist() == (np.arange(24 * 40) % 24 < 6).tolist()
