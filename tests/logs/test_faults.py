"""Faults are flagged, honest weather is not: freezes, stuck probes, spikes, lost clocks, carried loggers, holes."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TypeAlias, TypedDict, Unpack

import numpy as np
import pytest

from ledger.errors import Notice
from ledger.model.logs import ChannelSpec, Exclusion
from ledger.series.record import HourlyRecord
from ledger.series.thresholds import THRESHOLDS
from tests.logs.made import HEADER, INDOOR, OUTDOOR, LogTraits, Truth, agrees, record, rows_of, spec, truth, write

KNOWN = truth()
Made: TypeAlias = tuple[HourlyRecord, tuple[Notice, ...]]


class Columns(TypedDict, total=False):
    """Of a record with a known answer, its readings."""

    indoor: np.ndarray
    outdoor: np.ndarray


def made_of(folder: Path, known: Truth, **given: Unpack[LogTraits]) -> Made:
    write(folder, [HEADER, *rows_of(known)])
    return record(folder, spec(**given))


def changed(known: Truth, **columns: Unpack[Columns]) -> Truth:
    return replace(known, **columns)


def held(values: np.ndarray, first: int, count: int) -> np.ndarray:
    """The reading at `first` repeated for `count` more rows."""
    result = values.copy()
    result[first : first + count + 1] = values[first]
    return result


# --- stuck ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("hours", [4, 7, 12, 30, 100])
def test_a_station_that_repeats_its_last_row_is_frozen(tmp_path: Path, hours: int) -> None:
    """Both channels stand still from the same row; the first of the like rows is a true reading."""
    count = hours * 6
    known = changed(KNOWN, indoor=held(KNOWN.indoor, 606, count), outdoor=held(KNOWN.outdoor, 606, count))
    made, notices = made_of(tmp_path, known)
    assert hours - 1 <= made.figures.flagged_hours.stuck <= hours + 2
    assert made.figures.hours_valid <= 336 - hours + 3
    assert any(n.code == "log-stuck" for n in notices)


@pytest.mark.parametrize("channel", ["indoor", "outdoor"])
def test_one_probe_that_stands_still_for_a_day_is_stuck(tmp_path: Path, channel: str) -> None:
    known = changed(KNOWN, **{channel: held(getattr(KNOWN, channel), 300, 144)})
    made, _ = made_of(tmp_path, known)
    assert 23 <= made.figures.flagged_hours.stuck <= 26
    other = "outdoor" if channel == "indoor" else "indoor"
    assert made.figures.channels[other].hours_valid == 336


def test_a_calm_foggy_night_near_freezing_is_not_stuck(tmp_path: Path) -> None:
    """Eleven hours of fog: 0.0 °C outdoors to the digit, 3.1 or 3.2 °C indoors."""
    outdoor, indoor = KNOWN.outdoor.copy(), KNOWN.indoor.copy()
    outdoor[402:468] = 0.0
    indoor[402:468] = 3.1 + 0.1 * (np.arange(66) // 9 % 2)
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor, outdoor=outdoor))
    assert made.figures.flagged_hours.stuck == 0
    assert made.figures.hours_valid == 336


@pytest.mark.parametrize("hours", [2, 3, 5])
def test_both_channels_still_for_a_few_hours_without_a_jump_are_not_frozen(tmp_path: Path, hours: int) -> None:
    """Two channels of a tenth of a degree may well hold their digits together for a while on a calm night."""
    indoor, outdoor = KNOWN.indoor.copy(), KNOWN.outdoor.copy()
    indoor[400 : 400 + 6 * hours] = 3.1
    outdoor[400 : 400 + 6 * hours] = 0.0
    for values, level in ((indoor, 3.1), (outdoor, 0.0)):
        for side in (range(380, 400), range(400 + 6 * hours, 420 + 6 * hours)):
            for i in side:
                values[i] = level + 0.1 * (i % 3)
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor, outdoor=outdoor))
    assert made.figures.flagged_hours.stuck == 0


def test_rounded_hourly_data_with_runs_of_thirteen_hours_are_not_stuck(tmp_path: Path) -> None:
    """Whole degrees, hourly; fourteen like readings stand over thirteen hours, as in an open airport record."""
    known = truth(minutes=60, digits=0)
    indoor, outdoor = known.indoor.copy(), known.outdoor.copy()
    outdoor[100:114] = 2.0
    indoor[103:116] = 5.0
    made, _ = made_of(tmp_path, changed(known, indoor=indoor, outdoor=outdoor))
    assert made.figures.flagged_hours.stuck == 0
    assert made.figures.hours_valid == 336


def test_a_tank_that_moves_a_tenth_of_a_degree_a_day_is_not_stuck(tmp_path: Path) -> None:
    tank = 9.0 - 0.1 * (np.arange(len(KNOWN.indoor)) // 144)
    lines = [f"{line},{t:.1f}" for line, t in zip(rows_of(KNOWN), tank, strict=True)]
    write(tmp_path, [HEADER + ",Tank °C", *lines])
    made, notices = record(tmp_path, spec(channels=(INDOOR, OUTDOOR, ChannelSpec("water", "Tank"))))
    assert made.figures.channels["water"].hours_valid == 336
    assert not any(n.code == "tank-swing" for n in notices)


def test_a_tank_that_swings_like_air_is_doubted(tmp_path: Path) -> None:
    """A probe hanging in the air beside the tank swings by 10 K a day."""
    lines = [f"{line},{a:.1f}" for line, a in zip(rows_of(KNOWN), KNOWN.indoor, strict=True)]
    write(tmp_path, [HEADER + ",Tank °C", *lines])
    _, notices = record(tmp_path, spec(channels=(INDOOR, OUTDOOR, ChannelSpec("water", "Tank"))))
    assert any(n.code == "tank-swing" for n in notices)


def test_a_frozen_station_takes_its_tank_and_fan_along(tmp_path: Path) -> None:
    known = changed(KNOWN, indoor=held(KNOWN.indoor, 606, 180), outdoor=held(KNOWN.outdoor, 606, 180))
    lines = [f"{line},{9.0 - i / 5000:.1f},1" for i, line in enumerate(rows_of(known))]
    write(tmp_path, [HEADER + ",Tank °C,Fan", *lines])
    channels = (INDOOR, OUTDOOR, ChannelSpec("water", "Tank"), ChannelSpec("fan", "Fan"))
    made, _ = record(tmp_path, spec(channels=channels))
    assert made.figures.channels["water"].hours_valid < 310
    assert made.figures.channels["fan_on"].hours_valid < 310


def test_a_probe_of_half_degrees_may_stand_still_for_most_of_a_day(tmp_path: Path) -> None:
    known = changed(KNOWN, indoor=np.round(KNOWN.indoor * 2) / 2, outdoor=np.round(KNOWN.outdoor * 2) / 2)
    known.outdoor[300:408] = -2.5
    made, _ = made_of(tmp_path, known)
    assert made.figures.flagged_hours.stuck == 0


def test_a_station_of_whole_degrees_frozen_for_most_of_a_day_is_found(tmp_path: Path) -> None:
    """Nineteen hours: too short for either channel alone, but both stand still, day and night."""
    known = truth(minutes=10, digits=0)
    both = {name: held(getattr(known, name), 606, 114) for name in ("indoor", "outdoor")}
    made, _ = made_of(tmp_path, changed(known, **both))
    assert 18 <= made.figures.flagged_hours.stuck <= 22


# --- spikes --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("height", [35.0, 15.0, -20.0, -40.0])
def test_single_readings_far_off_both_neighbours_go_and_the_neighbours_stay(tmp_path: Path, height: float) -> None:
    indoor = KNOWN.indoor.copy()
    places = np.arange(50, 2000, 241)
    indoor[places] += height
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor))
    assert made.figures.files[0].flagged == len(places)
    agrees(made, KNOWN, tolerance=0.3)


def test_three_readings_that_leap_together_go(tmp_path: Path) -> None:
    outdoor = KNOWN.outdoor.copy()
    outdoor[500:503] += 30.0
    made, _ = made_of(tmp_path, changed(KNOWN, outdoor=outdoor))
    assert made.figures.files[0].flagged == 3


def test_a_lost_probe_that_reads_zero_for_two_hours_goes(tmp_path: Path) -> None:
    indoor = KNOWN.indoor + 12.0
    indoor[500:512] = 0.0
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor))
    assert made.figures.files[0].flagged == 12


@pytest.mark.parametrize("drop", [9.0, 14.0, 18.0])
def test_a_vent_that_opens_and_the_sun_that_comes_out_stay(tmp_path: Path, drop: float) -> None:
    """The house loses so much within ten minutes and is warm again only an hour later."""
    indoor = KNOWN.indoor + 10.0
    indoor[500:506] -= drop
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor))
    assert made.figures.flagged_hours.spike == 0
    assert made.figures.files[0].flagged == 0


def test_a_sun_fleck_of_five_kelvin_stays(tmp_path: Path) -> None:
    indoor, outdoor = KNOWN.indoor.copy(), KNOWN.outdoor.copy()
    indoor[500] += 5.0
    outdoor[700] += 4.0
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor, outdoor=outdoor))
    assert made.figures.flagged_hours.spike == 0


def test_an_hourly_morning_of_twelve_kelvin_an_hour_stays(tmp_path: Path) -> None:
    known = truth(minutes=60)
    indoor = known.indoor.copy()
    indoor[58:62] += [6.0, 18.0, 25.0, 12.0]
    made, _ = made_of(tmp_path, changed(known, indoor=indoor))
    assert made.figures.flagged_hours.spike == 0


def test_rows_of_a_carried_logger_at_both_ends_go(tmp_path: Path) -> None:
    """Half an hour in the car at 21 °C before, twenty minutes in the kitchen after."""
    indoor, outdoor = KNOWN.indoor.copy(), KNOWN.outdoor.copy()
    outdoor[:3] = [21.3, 21.1, 20.2]
    outdoor[-2:] = [19.0, 20.5]
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor, outdoor=outdoor))
    assert made.figures.files[0].flagged == 5


# --- clock ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("reset", [datetime(1970, 1, 1), datetime(2000, 1, 1), datetime(2017, 1, 1)])
def test_rows_of_a_clock_that_lost_the_date_are_clock_faults(tmp_path: Path, reset: datetime) -> None:
    """After a power cut thirty rows count from the reset date; their hole of five hours is put down to the clock."""
    lines = rows_of(KNOWN)
    for i in range(900, 930):
        moment = reset + timedelta(minutes=10 * (i - 900))
        lines[i] = f"{moment:%Y-%m-%d %H:%M}," + lines[i].split(",", 1)[1]
    write(tmp_path, [HEADER, *lines])
    made, notices = record(tmp_path)
    assert made.figures.files[0].flagged == 30
    assert made.figures.lost_hours.clock == 5
    assert made.figures.hours_span == 336
    assert any(n.code == "log-clock" for n in notices)


# --- excluded, gap, bridged ----------------------------------------------------------------------------------------


def test_an_excluded_span_is_no_reading(tmp_path: Path) -> None:
    """From noon to noon of the next day, both ends included: the reading at noon goes too, its hour stays valid."""
    aside = Exclusion(datetime(2026, 1, 8, 12), datetime(2026, 1, 9, 12), "power cut")
    made, _ = made_of(tmp_path, KNOWN, exclude=(aside,))
    assert made.figures.files[0].flagged == 145
    assert made.figures.flagged_hours.excluded == 25
    assert made.figures.lost_hours.excluded == 24


@pytest.mark.parametrize(("missing", "bridged"), [(1, 1), (2, 2), (3, 0), (30, 0)])
def test_up_to_two_missing_hours_are_bridged_by_a_straight_line(tmp_path: Path, missing: int, bridged: int) -> None:
    lines = rows_of(KNOWN)
    write(tmp_path, [HEADER, *lines[:600], *lines[600 + 6 * missing :]])
    made, _ = record(tmp_path)
    assert made.figures.flagged_hours.bridged == bridged
    assert made.figures.flagged_hours.gap == missing - bridged
    assert made.figures.hours_valid == 336 - missing + bridged
    if missing == 2:
        means = KNOWN.means()["indoor"]
        step = (means.iloc[102] - means.iloc[99]) / 3
        assert made.hours["indoor"].iloc[100] == pytest.approx(means.iloc[99] + step)


@pytest.mark.parametrize(("left", "valid"), [(2, False), (3, True)])
def test_half_an_hour_of_readings_makes_an_hour_valid(tmp_path: Path, left: int, valid: bool) -> None:
    """Three hours of few readings in a row, so that nothing is bridged: two of six cover a third, three a half."""
    lines = rows_of(KNOWN)
    kept = [line for i, line in enumerate(lines) if not 600 <= i < 618 or i % 6 < left]
    write(tmp_path, [HEADER, *kept])
    made, _ = record(tmp_path)
    assert (made.figures.hours_valid == 336) is valid


def test_a_record_of_three_hours_keeps_its_step_and_says_so(tmp_path: Path) -> None:
    known = truth(minutes=180)
    made, notices = made_of(tmp_path, known)
    assert any("own step is 3 h" in n.text for n in notices)
    assert made.step_minutes == 180
    assert made.figures.hours_valid == 334
    assert made.hours["indoor"].iloc[3] == known.indoor[1]
    assert made.hours["indoor"].iloc[4] == pytest.approx((2 * known.indoor[1] + known.indoor[2]) / 3)


def test_the_fine_record_holds_the_readings_that_stand(tmp_path: Path) -> None:
    indoor = KNOWN.indoor.copy()
    indoor[500] += 35.0
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor))
    assert made.step_minutes == 10
    assert np.isnan(made.fine["indoor"].iloc[500])
    assert made.fine["outdoor"].iloc[500] == KNOWN.outdoor[500]
    assert made.fine.index[0] == KNOWN.utc[0]
    assert len(made.fine) == len(KNOWN.utc)


# --- fan and heater ------------------------------------------------------------------------------------------------


def with_channel(folder: Path, header: str, cells: list[str], channel: ChannelSpec) -> Made:
    lines = [f"{line},{cell}" for line, cell in zip(rows_of(KNOWN), cells, strict=True)]
    write(folder, [f"{HEADER},{header}", *lines])
    return record(folder, spec(channels=(INDOOR, OUTDOOR, channel)))


@pytest.mark.parametrize(("on", "off"), [("1", "0"), ("ON", "OFF"), ("true", "false"), ("ein", "aus"), ("yes", "no")])
def test_a_switch_is_a_share_of_the_hour_and_watts_by_its_power(tmp_path: Path, on: str, off: str) -> None:
    """On for two of six readings of each hour: a third of the hour, a third of 90 W."""
    cells = [on if i % 6 < 2 else off for i in range(len(KNOWN.utc))]
    made, _ = with_channel(tmp_path, "Fan", cells, ChannelSpec("fan", "Fan", power_w=90.0))
    assert np.allclose(made.hours["fan_on"], 1 / 3)
    assert np.allclose(made.hours["fan_w"], 30.0)


@pytest.mark.parametrize(("header", "scale"), [("Heater (W)", 1.0), ("Heater [kW]", 0.001)])
def test_watts_are_watts(tmp_path: Path, header: str, scale: float) -> None:
    cells = [f"{1500 * scale if i % 6 < 3 else 0:g}" for i in range(len(KNOWN.utc))]
    made, _ = with_channel(tmp_path, header, cells, ChannelSpec("heater", "Heater"))
    assert np.allclose(made.hours["heater_w"], 750.0)
    assert np.allclose(made.hours["heater_on"], 0.5)


def test_energy_that_only_rises_is_a_counter(tmp_path: Path) -> None:
    """0.05 kWh in each ten minutes are 300 W."""
    cells = [f"{1041.2 + 0.05 * i:.2f}" for i in range(len(KNOWN.utc))]
    made, notices = with_channel(tmp_path, "Meter kWh", cells, ChannelSpec("heater", "Meter kWh"))
    assert np.allclose(made.hours["heater_w"].dropna(), 300.0)
    assert any("counter" in n.text for n in notices)


def test_energy_that_rises_and_falls_is_that_of_each_interval(tmp_path: Path) -> None:
    """0.25 kWh in one ten minutes of each hour are 250 Wh in the hour."""
    cells = ["250" if i % 6 == 4 else "0" for i in range(len(KNOWN.utc))]
    made, notices = with_channel(tmp_path, "Heat (Wh)", cells, ChannelSpec("heater", "Heat"))
    assert np.allclose(made.hours["heater_w"], 250.0)
    assert any("each interval" in n.text for n in notices)


def test_an_offset_is_added_to_every_reading(tmp_path: Path) -> None:
    """Thermometer −0.4 K: °F to °C first, then the offset in kelvin."""
    lines = rows_of(KNOWN, cell=lambda v: f"{v * 1.8 + 32:.2f}")
    write(tmp_path, ["Time,In °F,Out °F", *lines])
    channels = (ChannelSpec("indoor", "In", offset_k=-0.4), ChannelSpec("outdoor", "Out"))
    made, _ = record(tmp_path, spec(channels=channels))
    assert np.allclose(made.hours["indoor"], KNOWN.means()["indoor"] - 0.4)


def test_every_threshold_names_its_source() -> None:
    assert {t.flag for t in THRESHOLDS} == {"range", "stuck", "spike", "clock", "gap", "bridged"}
    assert all(t.source and t.value and t.what for t in THRESHOLDS)


def test_stamps_of_first_and_last_are_local_with_offset(tmp_path: Path) -> None:
    made, _ = made_of(tmp_path, KNOWN)
    assert made.figures.first == "2026-01-05T00:00:00+01:00"
    assert made.figures.last == "2026-01-18T23:50:00+01:00"
    assert made.hours.index[0] == datetime(2026, 1, 4, 23, tzinfo=UTC)


@pytest.mark.parametrize("newest_first", [False, True])
def test_a_clock_that_fell_back_to_a_near_new_year_is_found_by_the_order_of_rows(
    tmp_path: Path, newest_first: bool
) -> None:
    """The firmware's first day is only a year ago; two days later someone sets the clock."""
    lines = rows_of(KNOWN)
    for i in range(900, 1188):
        moment = datetime(2025, 1, 1) + timedelta(minutes=10 * (i - 900))
        lines[i] = f"{moment:%Y-%m-%d %H:%M}," + lines[i].split(",", 1)[1]
    write(tmp_path, [HEADER, *(reversed(lines) if newest_first else lines)])
    made, _ = record(tmp_path)
    assert made.figures.files[0].flagged == 288
    assert made.figures.lost_hours.clock == 48
    assert made.figures.hours_span == 336


def test_blocks_of_two_years_joined_the_wrong_way_are_no_lost_clock(tmp_path: Path) -> None:
    known = truth(first="2025-12-29 00:00", days=8)
    lines = rows_of(known)
    newyear = next(i for i, line in enumerate(lines) if line.startswith("2026-01-01"))
    write(tmp_path, [HEADER, *lines[newyear + 200 :], *lines[newyear : newyear + 200], *lines[:newyear]])
    made, _ = record(tmp_path)
    agrees(made, known)


def test_one_row_in_the_other_unit_is_set_aside(tmp_path: Path) -> None:
    """One row in °F amid °C: 36 K off indoors, 26 K and more outdoors."""
    indoor, outdoor = KNOWN.indoor.copy(), KNOWN.outdoor.copy()
    indoor[700], outdoor[700] = indoor[700] * 1.8 + 32, outdoor[700] * 1.8 + 32
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor, outdoor=outdoor))
    assert made.figures.files[0].flagged == 1
    assert made.figures.flagged_hours.spike == 1


def test_a_unit_that_changes_over_a_hole_is_told(tmp_path: Path) -> None:
    """Thirty hours are missing, then the numbers are °F: too far from the last row to be sure, so it is said."""
    lines = rows_of(KNOWN)
    warm = rows_of(KNOWN, cell=lambda v: f"{v * 1.8 + 32:.1f}")
    write(tmp_path, [HEADER, *lines[:600], *warm[780:]])
    _, notices = record(tmp_path)
    assert any(n.code == "log-step" for n in notices)


def test_columns_that_change_round_are_told(tmp_path: Path) -> None:
    half = len(KNOWN.utc) // 2 + 80
    indoor = np.concatenate([KNOWN.indoor[:half] + 6, KNOWN.outdoor[half:] - 6])
    outdoor = np.concatenate([KNOWN.outdoor[:half] - 6, KNOWN.indoor[half:] + 6])
    _, notices = made_of(tmp_path, changed(KNOWN, indoor=indoor, outdoor=outdoor))
    assert any(n.code == "log-step" for n in notices)


def test_an_honest_log_is_not_doubted(tmp_path: Path) -> None:
    _, notices = made_of(tmp_path, KNOWN)
    assert notices == ()


def test_one_stray_year_makes_no_long_record(tmp_path: Path) -> None:
    lines = rows_of(KNOWN)
    lines[900] = lines[900].replace("2026", "2062")
    write(tmp_path, [HEADER, *lines])
    made, notices = record(tmp_path)
    assert made.figures.hours_span == 336
    assert made.figures.files[0].flagged == 1
    assert any(n.code == "log-clock" for n in notices)


def test_a_lost_probe_that_reads_zero_near_zero_goes(tmp_path: Path) -> None:
    """Three hours of 0.0 on one channel, 4 K below its neighbours: like digits between two jumps."""
    indoor = KNOWN.indoor.copy()
    indoor[600:618] = 0.0
    made, _ = made_of(tmp_path, changed(KNOWN, indoor=indoor))
    assert made.figures.files[0].flagged == 18
    assert made.figures.flagged_hours.stuck == 3


def test_a_thaw_over_a_hole_is_no_other_unit(tmp_path: Path) -> None:
    """−16.2 °C, a day and a half without a row, then +0.2 °C: −16.2 °C is 2.8 °F, but so does a thaw read."""
    outdoor = np.where(np.arange(len(KNOWN.utc)) < 600, -16.2, 0.2) + 0.1 * (np.arange(len(KNOWN.utc)) % 3)
    lines = rows_of(changed(KNOWN, outdoor=outdoor))
    write(tmp_path, [HEADER, *lines[:600], *lines[816:]])
    made, _ = record(tmp_path)
    assert made.figures.flagged_hours.gap == 36


# --- rows years away -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("year", ["1031", "1899", "2101", "9999"])
def test_a_stamp_of_no_record_is_a_clock_fault_and_draws_no_empty_centuries(tmp_path: Path, year: str) -> None:
    """Found by fuzzing: one damaged year in a short file made an hourly record of thousands of years."""
    lines = rows_of(truth(days=1, minutes=60))
    lines[5] = year + lines[5][4:]
    write(tmp_path, [HEADER, *lines])
    made, notices = record(tmp_path)
    assert made.figures.hours_span == 24
    assert made.figures.files[0].flagged == 1
    assert any(notice.code == "log-clock" for notice in notices)


def test_a_file_of_few_rows_years_away_from_the_other_files_is_a_clock_fault(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *rows_of(truth(days=3))], name="a.csv")
    few = rows_of(truth(first="2009-05-05 00:00", days=1))[:3]
    write(tmp_path, ["Time,Inside (°C),Outside (°C),More", *few], name="b.csv")
    made, _ = record(tmp_path)
    assert made.figures.hours_span == 72
    assert made.figures.files[1].flagged == made.figures.files[1].rows == 3


def test_the_lesser_part_of_a_log_behind_a_hole_of_ten_years_is_a_clock_fault(tmp_path: Path) -> None:
    early, late = truth(first="2011-03-10 00:00", days=6), truth(days=8)
    write(tmp_path, [HEADER, *rows_of(early), *rows_of(late)])
    made, _ = record(tmp_path)
    assert made.figures.hours_span == 8 * 24
    assert made.figures.files[0].flagged == len(early.utc)


def test_a_hole_of_three_years_between_two_winters_is_a_hole(tmp_path: Path) -> None:
    """Both winters are kept, hour by hour and step by step; the years between have no rows in the fine record."""
    early, late = truth(first="2022-01-10 00:00", days=6), truth(days=8)
    write(tmp_path, [HEADER, *rows_of(early), *rows_of(late)])
    made, _ = record(tmp_path)
    assert made.figures.hours_valid == 14 * 24
    assert made.figures.hours_span > 3 * 8760
    assert len(made.fine) == len(early.utc) + len(late.utc)
    assert made.fine["indoor"].notna().all()


@pytest.mark.parametrize("number", ["1e308", "-1e308", "1.7e300", "9" * 40])
def test_a_number_near_the_end_of_floats_is_out_of_range_and_nothing_overflows(tmp_path: Path, number: str) -> None:
    """Found by fuzzing: 1.8 · 1e308 is no float, and the warning about it stood on the person's screen."""
    lines = [line.split(",") for line in rows_of(truth(days=2), cell=lambda v: f"{v * 1.8 + 32:.1f}")]
    for row in lines[50:250:40]:
        row[1] = number
    write(tmp_path, [HEADER.replace("°C", "°F"), *(",".join(row) for row in lines)])
    channels = (ChannelSpec("indoor", "Inside (°F)"), ChannelSpec("outdoor", "Outside (°F)"))
    made, _ = record(tmp_path, spec(channels=channels))
    assert made.figures.files[0].flagged == 5
    assert made.figures.hours_valid == 48


def test_rows_on_change_with_years_between_them_need_no_more_room_than_their_readings(tmp_path: Path) -> None:
    """Found by fuzzing: readings held until the next were laid on a grid of minutes, over a hole of eight years too.

    Two spells of rows that stand only where a whole degree changed, the second 3000 days after the first.
    """
    known = truth(days=4, minutes=1)
    rows = [HEADER]
    for day in (0, 3000):
        last = None
        for moment, a, b in zip(known.wall(), known.indoor, known.outdoor, strict=True):
            if (now := (round(a), round(b))) != last:
                rows.append(f"{moment + timedelta(days=day):%Y-%m-%d %H:%M},{now[0]},{now[1]}")
                last = now
    write(tmp_path, rows)
    made, notices = record(tmp_path)
    assert any("only where a value changed" in notice.text for notice in notices)
    assert len(made.fine) < 20 * 144
