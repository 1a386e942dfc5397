"""Seasons of a log: ways to the bare house, backup heat, holes, degree-days, what is said beside them."""

from __future__ import annotations

import time
from dataclasses import replace
from datetime import date
from typing import Unpack

import numpy as np
import pandas as pd
import pytest

from ledger.heat.assumed import heat_assumptions
from ledger.heat.bare import BareTemperature, ModelSeason, Ways
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import heat_work, prepare, reckon
from ledger.heat.results import BareAnswer, SeasonHeat
from ledger.model.book import RunningLine
from ledger.model.heaters import CopPoint, Kind
from ledger.model.house import BareWay, CountRule, Crop, GddMethod
from ledger.model.ledger import Ledger, Show
from ledger.model.logs import ChannelSpec, LogSpec
from ledger.model.values import MonthDay, Window
from tests.changes import LedgerChanges
from tests.fuzz.pace import unit_s
from tests.heat.builders import heater, ledger_of, plain_house, record_of, spread, winter_record

JANUARY = Window(MonthDay(1, 10), MonthDay(1, 21))
HOURS = 12 * 24
FIRST = "2026-01-10T00:00+01:00"


def flat(indoor: float = 3.0, outdoor: float = -3.0, **more: float | np.ndarray) -> dict[str, np.ndarray]:
    """Twelve days in January on which nothing changes: 15 of 24 hours are dark (180; two fewer near the end)."""
    return {
        name: np.broadcast_to(np.asarray(v, float), HOURS).copy()
        for name, v in {"indoor": indoor, "outdoor": outdoor, **more}.items()
    }


def january(**changes: Unpack[LedgerChanges]) -> Ledger:
    return ledger_of(plain_house(100.0, lift=spread(2.0, 1.0, 3.0)), season=JANUARY, **changes)


def season_of(channels: dict[str, np.ndarray], ledger: Ledger, ways: Ways | None = None) -> SeasonHeat:
    prepared = prepare(record_of(channels, first=FIRST), ledger)
    return (reckon(prepared, ledger, ways=ways) if ways else reckon(prepared, ledger)).seasons[0]


def codes(channels: dict[str, np.ndarray], ledger: Ledger) -> set[str]:
    return {n.code for n in reckon(prepare(record_of(channels, first=FIRST), ledger), ledger).notices}


def test_the_lift_gives_its_two_ends_as_the_range() -> None:
    """Dark hours n, H 0.1 kW/K, 5 °C held, −3 °C outdoors: need n · 0.1 · (8 − lift), short n · 0.1 · 2.

    Lift 2: avoided 0.4 n; lift 1: 0.5 n; lift 3: 0.3 n.
    """
    season = season_of(flat(), january())
    n = season.hours_counted
    assert season.bare.used == "lift"
    assert season.need_kwh == pytest.approx(0.6 * n)
    assert season.avoided_kwh == pytest.approx(0.4 * n)
    assert (season.avoided_range_kwh.p10, season.avoided_range_kwh.p90) == pytest.approx((0.3 * n, 0.5 * n))
    assert season.bare.ways["lift"] == BareAnswer(
        season.need_kwh, season.avoided_kwh, season.avoided_range_kwh.p10, season.avoided_range_kwh.p90
    )


def test_the_default_lift_is_floor_heat_over_the_loss_of_the_bare_house() -> None:
    """25 W/m2 (10 to 50) · 20 m2 ÷ 100 W/K = 5 K (2 to 10): avoided 0.1 · (8 − 5 − 2) = 0.1 n, and 0.4 n to 0.

    At the high end the bare house stands at 7 °C, over the hold: need 0, added 0 − 0.2 = −0.2 n.
    """
    season = season_of(flat(), ledger_of(plain_house(100.0), season=JANUARY))
    n = season.hours_counted
    assert season.avoided_kwh == pytest.approx(0.1 * n)
    assert season.avoided_range_kwh.p90 == pytest.approx(0.4 * n)
    assert season.avoided_range_kwh.p10 == pytest.approx(-0.2 * n)


def test_a_twin_is_taken_as_measured_and_stands_before_the_lift() -> None:
    """Twin at −2 °C: need 0.1 · 7 = 0.7 n, short 0.2 n, avoided 0.5 n; the lift's answer stands beside it."""
    season = season_of(flat(unheated=-2.0), january())
    n = season.hours_counted
    assert season.bare.used == "twin"
    assert season.avoided_kwh == pytest.approx(0.5 * n)
    lift = season.bare.ways["lift"]
    assert lift is not None
    assert lift.avoided_kwh == pytest.approx(0.4 * n)


def tenth_to_ninetieth(values: np.ndarray) -> float:
    low, high = np.quantile(values, [0.1, 0.9])
    return float(high - low)


def test_a_twin_s_range_comes_from_thermometers_and_from_nights_that_stand_for_a_heater() -> None:
    """H certain; one thermometer in ten off by more than 0.5 K to either side; heat added is 0.8 to 1.43 of a heater's.

    avoided = 0.1 n · (5 − e + f) · s, drawn here with numpy's own triangles; the triangle whose tenth percentile is
    0.5 K from its middle has a half-width of 0.5 / (1 − √0.2) = 0.9045 K.
    """
    first, second = season_of(flat(unheated=-2.0), january()), season_of(flat(unheated=-2.0), january())
    generator = np.random.default_rng(1)
    e, f = (generator.triangular(-0.9045, 0.0, 0.9045, 200_000) for _ in range(2))
    expected = tenth_to_ninetieth((5 - e + f) * generator.triangular(0.8, 1.0, 1.43, 200_000))
    assert first.avoided_range_kwh == second.avoided_range_kwh
    width = first.avoided_range_kwh.p90 - first.avoided_range_kwh.p10
    assert width / (0.1 * first.hours_counted) == pytest.approx(expected, rel=0.03)


def test_a_better_thermometer_narrows_a_twin_s_range() -> None:
    """Short in the house by 2 K of 7: with thermometers good to 0.1 K the width is that of the nights alone."""
    channels = (ChannelSpec("indoor", "a", accuracy_k=0.1), ChannelSpec("unheated", "b", accuracy_k=0.1))
    wide = season_of(flat(unheated=-2.0), january()).avoided_range_kwh
    fine = season_of(flat(unheated=-2.0), january(logs=(LogSpec("x.csv", channels),))).avoided_range_kwh
    assert fine.p90 - fine.p10 < 0.98 * (wide.p90 - wide.p10)


@pytest.mark.parametrize("channel", ["indoor", "unheated"])
def test_either_thermometer_s_doubt_widens_a_twin_s_range(channel: str) -> None:
    """± 3 K on a saving of 5 K an hour: by itself it spans 2 · 3 = 6 K from p10 to p90, less where need ends it."""
    poor = LogSpec("x.csv", (ChannelSpec(channel, "a", accuracy_k=3.0),))
    season = season_of(flat(unheated=-2.0), january(logs=(poor,)))
    width = season.avoided_range_kwh.p90 - season.avoided_range_kwh.p10
    assert width / (0.1 * season.hours_counted) > 2.5


def test_the_ledger_may_ask_for_another_way_than_the_best() -> None:
    ledger = january()
    ledger = replace(ledger, house=replace(ledger.house, bare=BareWay.LIFT))
    assert season_of(flat(unheated=-2.0), ledger).bare.used == "lift"


def test_a_way_that_the_log_does_not_allow_is_said_and_the_best_is_used() -> None:
    ledger = january()
    ledger = replace(ledger, house=replace(ledger.house, bare=BareWay.TWIN))
    assert season_of(flat(), ledger).bare.used == "lift"
    assert "bare-way-not-possible" in codes(flat(), ledger)


def test_hours_without_the_twin_are_left_out_of_need_and_saving_and_named() -> None:
    """The twin fails on the last three days of twelve: need and short over the nine days only."""
    channels = flat(unheated=-2.0)
    channels["unheated"][9 * 24 :] = np.nan
    season = season_of(channels, january())
    known = (season.need_kwh / 0.7, season.shortfall_kwh / 0.2)
    assert known[0] == pytest.approx(known[1])
    assert known[0] < season.hours_counted
    assert "bare-hours-missing" in codes(channels, january())


def bare_series(value: float) -> pd.Series:
    index = pd.date_range("2026-01-09T23:00Z", periods=HOURS, freq="h").as_unit("ns")
    return pd.Series(np.full(HOURS, value), index=index)


def test_fan_off_nights_stand_before_the_lift_and_after_a_twin() -> None:
    """A bare house at −1.5 °C: need 0.65 n, avoided 0.45 n; ± 0.3 K widens the range."""
    ways = Ways(fan_off={"2026": BareTemperature(bare_series(-1.5), -0.3, 0.3)})
    season = season_of(flat(), january(), ways)
    assert season.bare.used == "fan-off"
    assert season.avoided_kwh == pytest.approx(0.45 * season.hours_counted)
    assert season.avoided_range_kwh.p10 < season.avoided_kwh < season.avoided_range_kwh.p90
    assert season_of(flat(unheated=-2.0), january(), ways).bare.used == "twin"


def model_of(avoided: float) -> ModelSeason:
    answer = BareAnswer(100.0, avoided, avoided - 5, avoided + 5)
    zero = bare_series(0.0)
    return ModelSeason(answer, answer, bare_series(-1.0), bare_series(3.0), zero, zero)


def test_the_model_answers_only_where_it_is_believed() -> None:
    believed = Ways(model={"2026": model_of(42.0)}, model_believed=True)
    season = season_of(flat(), january(), believed)
    assert (season.bare.used, season.avoided_kwh, season.rungs.credited_kwh) == ("model", 42.0, 42.0)
    assert season.passive_fraction == pytest.approx(0.42)
    doubted = season_of(flat(), january(), replace(believed, model_believed=False))
    assert doubted.bare.used == "lift"
    shown = doubted.bare.ways["model"]
    assert shown is not None
    assert shown.avoided_kwh == 42.0


def test_holding_off_a_model_that_is_asked_for_by_name_is_the_grower_s_choice() -> None:
    ledger = january()
    ledger = replace(ledger, house=replace(ledger.house, bare=BareWay.MODEL))
    assert season_of(flat(), ledger, Ways(model={"2026": model_of(42.0)})).bare.used == "model"


def line(target: str, first: date, last: date, **what: float) -> RunningLine:
    return RunningLine(
        date=last,
        target=target,
        what="heat",
        energy_kwh=what.get("energy"),
        quantity=what.get("quantity"),
        amount=None,
        hours=0.0,
        first_day=first,
        last_day=last,
    )


def test_backup_in_the_book_is_shared_by_days_and_taken_off() -> None:
    """50 kWh from 1 to 20 January, 20 days, 11 of them from the 10th on: 27.5 kWh at an efficiency of 1."""
    ledger = january(running=(line("electric heater", date(2026, 1, 1), date(2026, 1, 20), energy=50.0),))
    season = season_of(flat(), ledger)
    assert season.backup_delivered_kwh == pytest.approx(27.5)
    assert season.avoided_kwh == pytest.approx(0.4 * season.hours_counted - 27.5)
    assert season.need_kwh - season.avoided_kwh == pytest.approx(season.shortfall_kwh + 27.5)


def test_cords_become_heat_by_heat_per_unit_and_efficiency() -> None:
    """A tenth of a cord of 5861 kWh at 0.68, all of it inside: 398.5 kWh."""
    stove = heater(name="stove", kind=Kind.WOOD_STOVE, heat_per_unit_kwh=spread(5861.0), efficiency=spread(0.68))
    book = (line("stove", date(2026, 1, 12), date(2026, 1, 15), quantity=0.1),)
    season = season_of(flat(), january(sources=(stove,), running=book))
    assert season.backup_delivered_kwh == pytest.approx(5861 * 0.1 * 0.68)


def test_a_heat_pump_s_book_is_worth_its_coefficient_at_the_season_s_cold() -> None:
    """−3 °C lies between −15 (1.8) and 0 (2.7): 1.8 + 0.9 · 12/15 = 2.52; 10 kWh give 25.2."""
    pump = heater(name="pump", kind=Kind.HEAT_PUMP, cop=(CopPoint(0.0, 2.7), CopPoint(-15.0, 1.8)))
    book = (line("pump", date(2026, 1, 12), date(2026, 1, 15), energy=10.0),)
    assert season_of(flat(), january(sources=(pump,), running=book)).backup_delivered_kwh == pytest.approx(25.2)


def test_a_heater_channel_goes_before_the_book_day_and_night_and_its_holes_are_named() -> None:
    """100 W on every hour of twelve days is 28.8 kWh; ten hours missing: 27.8."""
    channels = flat(heater_w=100.0)
    channels["heater_w"][:10] = np.nan
    ledger = january(running=(line("electric heater", date(2026, 1, 10), date(2026, 1, 21), energy=500.0),))
    assert season_of(channels, ledger).backup_delivered_kwh == pytest.approx(27.8)
    assert "heater-hours-missing" in codes(channels, ledger)


def test_a_heater_that_states_what_it_delivers_is_not_multiplied_by_an_efficiency() -> None:
    gas = heater(name="gas", kind=Kind.PROPANE, efficiency=spread(0.8))
    ledger = january(sources=(gas,))
    assert season_of(flat(heater_w=100.0), ledger).backup_delivered_kwh == pytest.approx(28.8 * 0.8)
    stated = LogSpec("x.csv", (ChannelSpec("heater", "h", power_w=100.0),))
    assert season_of(flat(heater_w=100.0), replace(ledger, logs=(stated,))).backup_delivered_kwh == pytest.approx(28.8)


def test_backup_that_nobody_noted_is_warned_of_until_the_ledger_says_none_was_used() -> None:
    quiet = january()
    assert "backup-not-noted" not in codes(flat(), quiet)
    silent = replace(quiet, hold=replace(quiet.hold, backup_none=False))
    assert "backup-not-noted" in codes(flat(), silent)
    noted = replace(silent, running=(line("electric heater", date(2026, 1, 10), date(2026, 1, 21), energy=1.0),))
    assert "backup-not-noted" not in codes(flat(), noted)
    no_backup = replace(silent, sources=(heater(backup=False),))
    assert "backup-not-noted" not in codes(flat(), no_backup)


def test_a_line_that_says_no_heat_was_bought_is_an_answer_and_no_zero_is_divided_by() -> None:
    """0 kWh noted: nothing is taken off 0.4 kWh an hour, and nobody is asked again."""
    silent = replace(january(), hold=replace(january().hold, backup_none=False))
    noted = replace(silent, running=(line("electric heater", date(2026, 1, 10), date(2026, 1, 21), energy=0.0),))
    season = season_of(flat(), noted)
    assert season.backup_delivered_kwh == 0.0
    assert season.avoided_kwh == pytest.approx(0.4 * season.hours_counted)
    assert "backup-not-noted" not in codes(flat(), noted)


def test_fan_energy_comes_from_the_book_else_from_the_channel_over_its_cover() -> None:
    """50 W all the time, half of the hours missing: 12 · 24 h · 0.05 kW = 14.4 kWh either way."""
    channels = flat(fan_w=50.0)
    channels["fan_w"][: HOURS // 2] = np.nan
    assert season_of(channels, january()).build_energy_kwh == pytest.approx(14.4)
    book = (line("buried air tubes", date(2026, 1, 10), date(2026, 1, 21), energy=40.0),)
    season = season_of(channels, january(running=book))
    assert season.build_energy_kwh == pytest.approx(40.0)
    assert season.avoided_per_kwh_used == pytest.approx(season.avoided_kwh / 40.0)
    assert ("little-heat-per-fan-kwh" in codes(channels, january(running=book))) is (season.avoided_kwh < 80.0)


def test_a_build_that_takes_more_than_it_gives_has_a_negative_answer_and_says_so() -> None:
    """Indoors −2 °C, bare house −1 °C: added 0.1 · (−2 + 1) = −0.1 n."""
    season = season_of(flat(indoor=-2.0), january())
    assert season.avoided_kwh == pytest.approx(-0.1 * season.hours_counted)
    assert {"negative-saving", "bare-doubt", "not-held"} <= codes(flat(indoor=-2.0), january())
    assert season.hours_below_freezing == HOURS


def test_a_warm_house_is_told_nothing_about_cold_or_doubt() -> None:
    assert codes(flat(indoor=9.0), january()) == {"bare-by-lift"}


def test_a_house_just_at_its_hold_is_not_below_it() -> None:
    assert season_of(flat(indoor=5.0), january()).hours_below_hold == 0
    assert season_of(flat(indoor=4.99), january()).hours_below_hold == HOURS


def test_a_need_of_nothing_has_no_passive_fraction() -> None:
    season = season_of(flat(outdoor=12.0, indoor=15.0), january())
    assert (season.need_kwh, season.passive_fraction) == (0.0, None)


def test_a_missing_night_earns_nothing_and_the_whole_season_takes_the_month_s_mean() -> None:
    """Every counted hour is the same hour, so that the whole season is the valid one scaled, without widening."""
    channels = flat()
    channels["indoor"][3 * 24 : 5 * 24] = np.nan
    season = season_of(channels, january())
    full = season_of(flat(), january())
    assert season.avoided_kwh == pytest.approx(0.4 * season.hours_counted)
    assert season.hours_counted < full.hours_counted
    assert season.need_whole_season_kwh == pytest.approx(full.need_kwh)
    assert season.avoided_whole_season_kwh == pytest.approx(full.avoided_kwh)
    assert season.avoided_whole_season_range_kwh is not None
    assert season.avoided_whole_season_range_kwh.p10 == pytest.approx(full.avoided_range_kwh.p10)
    assert "cover" in codes(channels, january())
    assert season.coverage == pytest.approx(10 / 12)


def test_open_hours_widen_the_range_by_the_month_s_poor_and_good_nights() -> None:
    channels = flat()
    channels["outdoor"] -= np.repeat(np.arange(12) % 4, 24)
    open_hours = {k: v.copy() for k, v in channels.items()}
    open_hours["indoor"][3 * 24 : 5 * 24] = np.nan
    whole = season_of(open_hours, january())
    assert whole.avoided_whole_season_kwh is not None
    assert whole.avoided_whole_season_range_kwh is not None
    lift_only = (whole.avoided_range_kwh.p90 - whole.avoided_range_kwh.p10) * 12 / 10
    width = whole.avoided_whole_season_range_kwh.p90 - whole.avoided_whole_season_range_kwh.p10
    assert width > lift_only * 1.05


def test_a_season_with_a_month_that_was_never_logged_has_no_whole_season() -> None:
    ledger = ledger_of(plain_house(100.0, lift=spread(2.0)), season=Window(MonthDay(1, 10), MonthDay(2, 28)))
    season = season_of(flat(), ledger)
    assert season.need_whole_season_kwh is None
    assert season.avoided_whole_season_range_kwh is None


def test_balance_counts_day_hours_where_there_is_a_sun_channel_and_says_so_where_there_is_none() -> None:
    ledger = january()
    ledger = replace(ledger, hold=replace(ledger.hold, count=CountRule.BALANCE))
    dark = season_of(flat(), january())
    sunless = season_of(flat(sun=0.0), ledger)
    assert sunless.hours_counted == HOURS
    assert sunless.need_kwh == pytest.approx(0.6 * HOURS)
    sunny = season_of(flat(sun=1000.0), ledger)
    assert sunny.need_kwh == pytest.approx(dark.need_kwh)
    assert "balance-without-sun" in codes(flat(), ledger)


def test_a_day_hour_without_the_sun_is_not_known_under_balance() -> None:
    channels = flat(sun=0.0)
    channels["sun"][24:48] = np.nan
    ledger = january()
    season = season_of(channels, replace(ledger, hold=replace(ledger.hold, count=CountRule.BALANCE)))
    assert season.hours_counted == HOURS - 9


def test_degree_days_are_those_of_the_crop_window_in_the_twelve_months_of_the_season() -> None:
    """Twelve days at 13 °C indoors and 11 °C outdoors over a base of 10; a crop window of six of them: 18 and 6 K·d.

    By the build, dark hours only: bare house 11 + 1 = 12 °C: (3 − 2) K · dark hours of the six days ÷ 24.
    """
    crop = Crop(10.0, None, GddMethod.HOURLY, Window(MonthDay(1, 10), MonthDay(1, 15)))
    ledger = january(crop=crop)
    ledger = replace(ledger, house=replace(ledger.house, unheated_lift_k=spread(1.0)))
    season = season_of(flat(indoor=13.0, outdoor=11.0), ledger)
    assert season.gdd_indoor_k_d == pytest.approx(18.0)
    assert season.gdd_outdoor_k_d == pytest.approx(6.0)
    assert season.gdd_over_outdoors_k_d == pytest.approx(12.0)
    assert season.gdd_by_build_k_d == pytest.approx(6 * 15 / 24)


def test_days_that_were_not_logged_have_no_degree_days_and_none_at_all_is_null() -> None:
    crop = Crop(10.0, None, GddMethod.HOURLY, Window(MonthDay(6, 1), MonthDay(6, 30)))
    season = season_of(flat(indoor=13.0), january(crop=crop))
    assert (season.gdd_indoor_k_d, season.gdd_by_build_k_d) == (None, None)


@pytest.fixture(scope="module")
def two_winters() -> Prepared:
    return prepare(winter_record(2), ledger_of())


def test_every_season_of_a_long_log_is_answered_by_its_own_name(two_winters: Prepared) -> None:
    seasons = reckon(two_winters, ledger_of()).seasons
    assert [s.season for s in seasons] == ["2024-25", "2025-26"]
    assert all(s.hours == s.hours_valid == 5088 for s in seasons)


def test_the_same_ledger_answers_the_same_and_a_changed_one_leaves_no_trace(two_winters: Prepared) -> None:
    before = reckon(two_winters, ledger_of()).seasons
    other = reckon(two_winters, ledger_of(plain_house(250.0), hold_c=9.0)).seasons
    assert other != before
    assert reckon(two_winters, ledger_of()).seasons == before


def test_a_ledger_with_another_season_is_refused(two_winters: Prepared) -> None:
    with pytest.raises(ValueError, match="another site, season"):
        reckon(two_winters, ledger_of(season=JANUARY))


def test_a_changed_ledger_is_reckoned_in_well_under_a_tenth_of_a_second(two_winters: Prepared) -> None:
    """30 ms of processor time a season are allowed; two seasons here. A slower machine may take as much longer."""
    ledger = ledger_of()

    def reckoned_s() -> float:
        start = time.process_time()
        reckon(two_winters, ledger)
        return time.process_time() - start

    assert min(reckoned_s() for _ in range(10)) < 2.0 * unit_s()


def test_no_season_is_found_in_a_log_that_only_saw_the_summer() -> None:
    record = record_of({"indoor": np.full(240, 25.0), "outdoor": np.full(240, 20.0)}, first="2026-07-01T00:00+02:00")
    answer = reckon(prepare(record, ledger_of()), ledger_of())
    assert answer.seasons == ()
    assert answer.typical is None
    assert [n.code for n in answer.notices] == ["no-typical-year"]


def test_defaults_of_the_ranges_are_named_where_they_were_used() -> None:
    def assumed(channels: dict[str, np.ndarray], ledger: Ledger) -> list[str]:
        work = heat_work(prepare(record_of(channels, first=FIRST), ledger), ledger)
        return [a.path for a in heat_assumptions(work.seasons, ledger)]

    noted = january(logs=(LogSpec("x.csv", (ChannelSpec("indoor", "a", accuracy_k=0.2),)),))
    assert assumed(flat(), january()) == ["log.indoor.accuracy"]
    assert assumed(flat(unheated=-2.0), january()) == ["log.indoor.accuracy", "hold.nights_for_a_heater"]
    assert assumed(flat(), noted) == []
    assert heat_assumptions((), january()) == ()


def test_every_figure_that_is_null_has_its_reason_said() -> None:
    crop = Crop(10.0, None, GddMethod.HOURLY, Window(MonthDay(6, 1), MonthDay(6, 30)))
    warm = flat(outdoor=12.0, indoor=15.0)
    assert {"no-need", "degree-days-unknown"} <= codes(warm, january(crop=crop))
    longer = ledger_of(plain_house(100.0, lift=spread(2.0)), season=Window(MonthDay(1, 10), MonthDay(2, 28)))
    said = [
        n.text
        for n in reckon(prepare(record_of(flat(), first=FIRST), longer), longer).notices
        if n.code == "whole-season-unknown"
    ]
    assert len(said) == 1
    assert "February never logged" in said[0]


def test_a_negative_answer_names_the_hold_temperature_in_the_ledger_s_units() -> None:
    for show, words in ((Show.METRIC, "5.0 °C"), (Show.US, "41 °F")):
        ledger = january(show=show)
        notices = reckon(prepare(record_of(flat(indoor=-2.0), first=FIRST), ledger), ledger).notices
        assert any(words in n.text for n in notices if n.code == "negative-saving")
