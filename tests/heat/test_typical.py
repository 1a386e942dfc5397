"""The typical year: from logged months, from a long record, from normals, from what a build is expected to do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Unpack

import numpy as np
import pandas as pd
import pytest

from ledger.heat.bare import Ways
from ledger.heat.climate import outdoor_of_normals_c
from ledger.heat.reckoning import prepare, reckon
from ledger.heat.results import HeatAnswer, TypicalHeat
from ledger.heat.sun import sun_elevation_deg
from ledger.model.book import RunningLine
from ledger.model.climate import Climate, MonthNormal
from ledger.model.ledger import Ledger
from ledger.model.logs import LogSpec
from ledger.model.values import MonthDay, Window
from ledger.series.record import HourlyRecord
from tests.changes import LedgerChanges
from tests.heat.builders import SITE, build, ledger_of, plain_house, record_of, spread, winter_record
from tests.known import known

TWO_MONTHS = Window(MonthDay(1, 1), MonthDay(2, 28))
JAN_DARK, FEB_DARK = 465, 385  # dark hours at 46 N, 11 E by the short formula of test_sun


def two_months(**changes: Unpack[LedgerChanges]) -> Ledger:
    return ledger_of(plain_house(100.0, lift=spread(2.0, 1.0, 3.0)), season=TWO_MONTHS, **changes)


def flat(first: str, days: int, indoor: float = 3.0, outdoor: float = -3.0) -> HourlyRecord:
    return record_of({"indoor": np.full(days * 24, indoor), "outdoor": np.full(days * 24, outdoor)}, first=first)


def answer(record: HourlyRecord | None, ledger: Ledger, climate: HourlyRecord | None = None) -> HeatAnswer:
    return reckon(prepare(record, ledger, climate_record=climate), ledger)


def typical(record: HourlyRecord | None, ledger: Ledger, climate: HourlyRecord | None = None) -> TypicalHeat:
    found = answer(record, ledger, climate).typical
    assert found is not None
    profile = found.profile
    assert float(np.sum(profile["weight"] * profile["need_kwh"])) == pytest.approx(found.need_kwh)
    assert float(np.sum(profile["weight"] * profile["to_buy_kwh"])) == pytest.approx(found.to_buy_kwh)
    assert found.to_buy_kwh == pytest.approx(found.need_kwh - found.avoided_kwh)
    assert found.avoided_kwh <= found.need_kwh + 1e-9
    return found


def test_one_full_season_stands_for_the_year() -> None:
    """Both months flat: need 0.6 and avoided 0.4 an hour, as in the season itself."""
    record = flat("2026-01-01T00:00+01:00", 59)
    year, season = typical(record, two_months()), answer(record, two_months()).seasons[0]
    assert year.basis == "logged seasons"
    assert (year.need_kwh, year.avoided_kwh) == pytest.approx((season.need_kwh, season.avoided_kwh))
    assert year.avoided_range_kwh.p10 == pytest.approx(season.avoided_range_kwh.p10)
    assert year.avoided_range_kwh.p90 == pytest.approx(season.avoided_range_kwh.p90)
    assert season.hours_counted == JAN_DARK + FEB_DARK
    assert year.bare == "lift"
    assert (year.months_not_logged, year.at_least) == ((), False)


def test_half_a_month_stands_for_the_month_by_its_counted_hours() -> None:
    """January logged to the 20th only (over 120 dark hours), all of February: the same totals."""
    short = flat("2026-01-01T00:00+01:00", 59)
    short.hours.iloc[20 * 24 : 31 * 24] = np.nan
    year = typical(short, two_months())
    assert year.need_kwh == pytest.approx(0.6 * (JAN_DARK + FEB_DARK))
    assert year.avoided_kwh == pytest.approx(0.4 * (JAN_DARK + FEB_DARK))


def test_two_seasons_are_averaged_month_by_month_over_those_that_logged_it() -> None:
    """2025 logged January only, at −3 °C; 2026 January at −5 °C and February at −3 °C.

    January: need (0.6 + 0.8)/2, short 0.2: avoided (0.4 + 0.6)/2 an hour; February 0.6 and 0.4.
    """
    hours = pd.date_range("2025-01-01T00:00+01:00", "2026-02-28T23:00+01:00", freq="h")
    outdoor = np.where(hours < pd.Timestamp("2026-01-31T23:00Z"), -5.0, -3.0)
    outdoor = np.where(hours < pd.Timestamp("2025-06-01T00:00Z"), -3.0, outdoor)
    gap = (hours >= pd.Timestamp("2025-01-31T23:00Z")) & (hours < pd.Timestamp("2025-12-31T23:00Z"))
    indoor = np.where(gap, np.nan, 3.0)
    record = record_of({"indoor": indoor, "outdoor": outdoor}, first="2025-01-01T00:00+01:00")
    year = typical(record, two_months())
    assert year.need_kwh == pytest.approx(0.7 * JAN_DARK + 0.6 * FEB_DARK)
    assert year.avoided_kwh == pytest.approx(0.5 * JAN_DARK + 0.4 * FEB_DARK)
    assert year.seasons_averaged == 2


def test_a_month_that_nobody_logged_has_its_need_and_no_saving_and_is_named() -> None:
    """January only. February's need is January's mean an hour, its saving 0; the upper end takes the mean for it too.

    Lift's high saving 0.5 an hour: 0.5 · (465 + 385) = 425; the low one 0.3 · 465.
    """
    record = flat("2026-01-01T00:00+01:00", 31)
    year = typical(record, two_months())
    assert (year.months_not_logged, year.at_least) == ((2,), True)
    assert year.need_kwh == pytest.approx(0.6 * (JAN_DARK + FEB_DARK))
    assert year.avoided_kwh == pytest.approx(0.4 * JAN_DARK)
    assert year.avoided_range_kwh.p10 == pytest.approx(0.3 * JAN_DARK)
    assert year.avoided_range_kwh.p90 == pytest.approx(0.5 * (JAN_DARK + FEB_DARK))
    said = [n for n in answer(record, two_months()).notices if n.code == "months-not-logged"]
    assert len(said) == 1
    assert "February" in said[0].text


def test_a_month_with_a_few_hours_only_is_not_logged() -> None:
    """Seven January days hold some 105 dark hours, fewer than 120 and than nine tenths of 465."""
    year = answer(flat("2026-01-25T00:00+01:00", 35), two_months()).typical
    assert year is not None
    assert year.months_not_logged == (1,)


def test_the_mean_of_the_backup_is_taken_off_the_sum() -> None:
    book = RunningLine(
        date(2026, 1, 31), "electric heater", "heat", 30.0, None, None, 0.0, date(2026, 1, 1), date(2026, 1, 31)
    )
    year = typical(flat("2026-01-01T00:00+01:00", 59), two_months(running=(book,)))
    assert year.avoided_kwh == pytest.approx(0.4 * (JAN_DARK + FEB_DARK) - 30.0)


def test_heat_to_buy_takes_the_shape_of_what_was_missing() -> None:
    """Indoors 3 °C in January (short 0.2) and 7 °C in February (nothing short): all of it is bought in January."""
    record = flat("2026-01-01T00:00+01:00", 59)
    record.hours.loc[record.hours.index >= pd.Timestamp("2026-01-31T23:00Z"), "indoor"] = 7.0
    profile = typical(record, two_months()).profile
    february = profile.index >= pd.Timestamp("2026-01-31T23:00Z")
    assert float(profile.loc[february, "to_buy_kwh"].sum()) == 0.0
    assert float(profile.loc[~february, "to_buy_kwh"].sum()) == pytest.approx(0.2 * JAN_DARK)


def test_a_house_held_by_its_heater_spreads_the_heat_to_buy_over_the_need() -> None:
    """Indoors 6 °C all along, 100 kWh of backup: nothing was short, so that the 100 kWh follow the need."""
    book = RunningLine(
        date(2026, 1, 31), "electric heater", "heat", 100.0, None, None, 0.0, date(2026, 1, 1), date(2026, 1, 31)
    )
    record = flat("2026-01-01T00:00+01:00", 59, indoor=6.0)
    year = typical(record, two_months(running=(book,)))
    assert year.to_buy_kwh == pytest.approx(100.0)
    assert year.profile["to_buy_kwh"].std() == pytest.approx(0.0, abs=1e-12)


def test_a_twin_leaves_the_tenth_percentile_of_its_lift_for_the_design_night() -> None:
    """A twin 1 K over outdoors in one night of ten and 4 K in the rest has its tenth percentile near the 1 K."""
    record = flat("2026-01-01T00:00+01:00", 59)
    day = np.arange(59 * 24) // 24
    record.hours["unheated"] = -3.0 + np.where(day % 8 == 0, 1.0, 4.0)
    year = typical(record, two_months())
    assert year.bare == "twin"
    assert year.bare_lift_p10_k == pytest.approx(1.0)
    assert typical(flat("2026-01-01T00:00+01:00", 59), two_months()).bare_lift_p10_k is None


def test_a_long_outdoor_record_gives_each_season_s_need_and_the_log_its_share() -> None:
    """Log: 0.4 of 0.6 avoided, two thirds. Climate: 2024 at −3 °C, 2025 at −5 °C: needs 0.6 and 0.8 an hour."""
    hours = pd.date_range("2024-01-01T00:00+01:00", "2025-12-31T23:00+01:00", freq="h")
    outdoor = np.where(hours < pd.Timestamp("2024-12-31T23:00Z"), -3.0, -5.0)
    climate = record_of({"outdoor": outdoor}, first="2024-01-01T00:00+01:00")
    year = typical(flat("2026-01-01T00:00+01:00", 59), two_months(), climate)
    assert year.basis == "climate file"
    assert year.seasons_averaged == 2
    assert year.lowest_need_kwh == pytest.approx(0.6 * (JAN_DARK + FEB_DARK), rel=0.02)
    assert year.highest_need_kwh == pytest.approx(0.8 * (JAN_DARK + FEB_DARK), rel=0.02)
    assert year.need_kwh == pytest.approx((known(year.lowest_need_kwh) + known(year.highest_need_kwh)) / 2)
    assert year.avoided_kwh == pytest.approx(year.need_kwh * 2 / 3)


def test_holes_in_a_long_record_do_not_make_its_winters_milder() -> None:
    """Three days of January are missing: the season counts as whole and its need is that of all its hours."""
    outdoor = np.full(59 * 24, -3.0)
    outdoor[10 * 24 : 13 * 24] = np.nan
    climate = record_of({"outdoor": outdoor}, first="2025-01-01T00:00+01:00")
    year = typical(flat("2026-01-01T00:00+01:00", 59), two_months(), climate)
    assert year.basis == "climate file"
    assert year.need_kwh == pytest.approx(0.6 * (JAN_DARK + FEB_DARK), rel=0.004)


def test_a_climate_record_without_a_whole_season_is_left_for_the_log() -> None:
    climate = record_of({"outdoor": np.full(30 * 24, -9.0)}, first="2024-01-10T00:00+01:00")
    logged = flat("2026-01-01T00:00+01:00", 59)
    assert typical(logged, two_months(), climate).basis == "logged seasons"
    assert "climate-without-a-season" in {n.code for n in answer(logged, two_months(), climate).notices}


def normals(low: float, high: float) -> Climate:
    return Climate(normals=tuple(MonthNormal(m, low, high) for m in range(1, 13)))


def test_normals_without_a_swing_are_a_flat_climate() -> None:
    """Every hour −3 °C: need 0.6 in each dark hour of the season; the log's share is two thirds."""
    year = typical(flat("2026-01-01T00:00+01:00", 59), two_months(climate=normals(-3.0, -3.0)))
    assert year.basis == "climate normals"
    assert year.need_kwh == pytest.approx(0.6 * (JAN_DARK + FEB_DARK), rel=0.01)
    assert year.avoided_kwh == pytest.approx(year.need_kwh * 2 / 3)


def test_a_month_that_the_log_lacks_takes_the_share_of_the_others_and_it_is_said() -> None:
    """January alone is logged: two thirds of its need was covered, and so of February's by the normals."""
    ledger = two_months(climate=normals(-3.0, -3.0))
    january = flat("2026-01-01T00:00+01:00", 31)
    year = typical(january, ledger)
    assert year.basis == "climate normals"
    assert year.need_kwh == pytest.approx(0.6 * (JAN_DARK + FEB_DARK), rel=0.01)
    assert year.avoided_kwh == pytest.approx(year.need_kwh * 2 / 3)
    (said,) = [n for n in answer(january, ledger).notices if n.code == "months-not-logged"]
    assert "February" in said.text
    assert "January" not in said.text


def test_cold_and_warm_days_of_the_log_are_laid_over_the_normals() -> None:
    """Days of −13 and +7 °C in turn, normals −3: the bare house (lift 2, hold 5) needs nothing on the warm ones.

    January has 16 cold days of 31, mean −3.32, departures −9.68 and +10.32: cold days −12.68, 15.68 K short. February
    14 of 28: −10 and +10, cold days −13, 16 K short. At 100 W/K 1.568 and 1.6 kWh in each of their dark hours, and
    not the 0.6 of mean days.
    """
    outdoor = np.where(np.arange(59 * 24) // 24 % 2 == 0, -13.0, 7.0)
    record = record_of({"indoor": np.full(59 * 24, 3.0), "outdoor": outdoor}, first="2026-01-01T00:00+01:00")
    year = typical(record, two_months(climate=normals(-3.0, -3.0)))
    assert year.need_kwh == pytest.approx(JAN_DARK * 1.568 * 16 / 31 + FEB_DARK * 1.6 / 2, rel=0.02)
    codes = [n.code for n in answer(record, two_months(climate=normals(-3.0, -3.0))).notices]
    assert "normals-with-logged-spells" in codes


def test_without_a_log_the_expected_share_of_the_need_stands_and_says_so() -> None:
    """Need by the lift 0.6 (0.7 to 0.5) an hour; expected 0.25 (0.1 to 0.4): 0.15, between 0.05 and 0.28."""
    ledger = two_months(climate=normals(-3.0, -3.0), builds=(build(expected_fraction=spread(0.25, 0.1, 0.4)),))
    year = typical(None, ledger)
    n = year.need_kwh / 0.6
    assert year.basis == "expected"
    assert year.avoided_kwh == pytest.approx(0.15 * n)
    assert (year.avoided_range_kwh.p10, year.avoided_range_kwh.p90) == pytest.approx((0.05 * n, 0.28 * n))
    assert [n.code for n in answer(None, ledger).notices] == ["normals-without-spells", "saving-expected"]
    assert year.gdd_indoor_k_d is None


def test_without_a_log_and_an_expected_share_there_is_no_typical_year() -> None:
    found = answer(None, two_months(climate=normals(-3.0, -3.0)))
    assert found.typical is None
    assert [n.code for n in found.notices] == ["no-typical-year"]


def test_why_there_is_no_typical_year_is_said_as_it_is() -> None:
    """A log of July; the same with a share expected and weather of half a season alone; nothing at all."""
    july = flat("2026-07-01T00:00+02:00", 10)
    log = LogSpec(file="station.csv", channels=())
    shares = (build(expected_fraction=spread(0.25)),)
    cases = (
        (july, two_months(logs=(log,)), "No reading of the log lies in a season"),
        (july, two_months(logs=(log,), climate=normals(-3.0, -3.0)), "no build says what share"),
        (None, two_months(builds=shares, climate=Climate(normals=())), "no weather of a whole one"),
        (None, two_months(), "No log and no climate"),
        (flat("2026-01-01T00:00+01:00", 3), two_months(logs=(log,)), "No month was logged enough"),
    )
    for record, ledger, words in cases:
        (said,) = [n for n in answer(record, ledger).notices if n.code == "no-typical-year"]
        assert words in said.text


def test_two_expected_shares_add_up_to_the_whole_need_at_most() -> None:
    both = (build("a", expected_fraction=spread(0.7)), build("b", expected_fraction=spread(0.6)))
    year = typical(None, two_months(climate=normals(-3.0, -3.0), builds=both))
    assert year.avoided_kwh == pytest.approx(year.need_kwh)


def test_normal_days_are_coldest_at_sunrise_and_warmest_at_three_by_the_sun() -> None:
    """15 January at 46 N, 11 E: sunrise near 6:51 UTC, 15:00 sun time is 15:00 − 44 min (longitude) + 9 min (equation
    of time) = 14:25 UTC. Rows are hourly means, so that the extremes fall in the hours that hold these instants."""
    hours = pd.date_range("2026-01-14T23:00Z", periods=24, freq="h")
    normal = [MonthNormal(m, -6.0, 4.0) for m in range(1, 13)]
    outdoor = outdoor_of_normals_c(hours, np.full(24, 1), normal, SITE)
    assert hours[int(np.argmax(outdoor))].hour == 14
    assert hours[int(np.argmin(outdoor))].hour in (6, 7)
    assert outdoor.max() == pytest.approx(4.0, abs=0.1)
    assert outdoor.min() == pytest.approx(-6.0, abs=0.1)
    assert sun_elevation_deg(hours, SITE)[int(np.argmin(outdoor))] == pytest.approx(0.0, abs=7.0)


@pytest.mark.parametrize("latitude", [-70.0, -33.0, 0.0, 69.0])
def test_normal_days_stay_between_their_low_and_high_everywhere(latitude: float) -> None:
    hours = pd.date_range("2026-01-01T00:00Z", periods=8760, freq="h")
    normal = [MonthNormal(m, -6.0, 4.0) for m in range(1, 13)]
    site = replace(SITE, latitude_deg=latitude)
    outdoor = outdoor_of_normals_c(hours, np.asarray(hours.month, dtype=np.int64), normal, site)
    assert outdoor.min() >= -6.0 - 1e-9
    assert outdoor.max() <= 4.0 + 1e-9
    assert np.ptp(outdoor) > 9.5


def test_degree_days_of_the_typical_year_stand_for_whole_logged_months() -> None:
    """13 °C indoors, 11 °C outdoors, base 10; January logged to the 20th, February whole: 59 days · 3, and · 2 over."""
    record = flat("2026-01-01T00:00+01:00", 59, indoor=13.0, outdoor=11.0)
    record.hours.iloc[20 * 24 : 31 * 24] = np.nan
    year = typical(record, two_months())
    assert year.gdd_indoor_k_d == pytest.approx(59 * 3.0)
    assert year.gdd_over_outdoors_k_d == pytest.approx(59 * 2.0)
    assert year.gdd_by_build_k_d == pytest.approx(0.0)
    assert year.gdd_months == (1, 2)


def test_degree_days_of_months_not_logged_are_unknown_and_the_months_are_named() -> None:
    year = typical(flat("2026-01-01T00:00+01:00", 31, indoor=13.0, outdoor=11.0), two_months())
    assert year.gdd_months == (1,)
    assert year.gdd_indoor_k_d == pytest.approx(31 * 3.0)


def test_the_model_s_own_typical_year_is_taken_where_it_answers_the_seasons() -> None:
    record = winter_record(1)
    ledger = ledger_of()
    prepared = prepare(record, ledger)
    plain = reckon(prepared, ledger).typical
    assert plain is not None
    theirs = replace(plain, need_kwh=500.0, avoided_kwh=200.0, basis="climate file")
    kept = reckon(prepared, ledger, ways=Ways(typical=theirs)).typical
    assert kept is not None
    assert kept.need_kwh == pytest.approx(plain.need_kwh)


def heated(first: date, last: date, kwh: float) -> RunningLine:
    return RunningLine(last, "electric heater", "heat", kwh, None, None, 0.0, first, last)


def test_backup_of_a_month_that_was_not_logged_is_not_charged_to_the_months_that_were() -> None:
    """59 kWh noted over January and February (59 days): 31/59 of it is January's, the only month logged."""
    book = (heated(date(2026, 1, 1), date(2026, 2, 28), 59.0),)
    year = typical(flat("2026-01-01T00:00+01:00", 31), two_months(running=book))
    assert year.avoided_kwh == pytest.approx(0.4 * JAN_DARK - 31.0)


def test_a_season_that_has_hardly_begun_does_not_halve_the_backup_of_the_one_before() -> None:
    """2025 whole, with 90 kWh of backup; 2026 logged for five days. The typical year takes off 90, not 45."""
    hours = pd.date_range("2025-01-01T00:00+01:00", "2026-01-05T23:00+01:00", freq="h")
    gap = (hours >= pd.Timestamp("2025-02-28T23:00Z")) & (hours < pd.Timestamp("2025-12-31T23:00Z"))
    record = record_of(
        {"indoor": np.where(gap, np.nan, 3.0), "outdoor": np.full(len(hours), -3.0)},
        first="2025-01-01T00:00+01:00",
    )
    book = (heated(date(2025, 1, 1), date(2025, 2, 28), 90.0),)
    year = typical(record, two_months(running=book))
    assert year.avoided_kwh == pytest.approx(0.4 * (JAN_DARK + FEB_DARK) - 90.0, rel=0.003)


def test_a_heater_channel_with_holes_is_filled_by_the_month_for_the_typical_year_only() -> None:
    """100 W all the time, every other day of January lost: the season counts what is known, the year all of it."""
    record = flat("2026-01-01T00:00+01:00", 59)
    record.hours["heater_w"] = 100.0
    day = np.arange(59 * 24) // 24
    record.hours.loc[(day % 2 == 0) & (day < 30), "heater_w"] = np.nan
    found = answer(record, two_months())
    assert found.seasons[0].backup_delivered_kwh == pytest.approx(0.1 * 24 * (59 - 15))
    year = typical(record, two_months())
    assert year.to_buy_kwh == pytest.approx(0.2 * (JAN_DARK + FEB_DARK) + 0.1 * 24 * 59)
