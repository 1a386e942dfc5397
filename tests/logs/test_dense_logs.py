"""Logs of more rows than are held: taken minute by minute, accounted for to the row, refused beyond a second limit."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime
from pathlib import Path
from unittest import mock
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import polars as pl
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ledger.errors import LogError
from ledger.intake.log_bytes import Source
from ledger.intake.log_cells import NumberReader
from ledger.intake.log_files import read_logs
from ledger.model.logs import ChannelSpec, LogSpec, Stamp
from ledger.series.readings import Readings, Table
from ledger.series.record import FileFigures, HourlyRecord
from tests.logs.made import HEADER, LATITUDE, ROME, Truth, agrees, record, rows_of, spec, write

SECONDS = "%Y-%m-%d %H:%M:%S"
DIGIT_K = 0.1
WHOLE = Source.blocks
FAN = ChannelSpec("fan", "Fan (kWh)")
assert LATITUDE > 45


@pytest.fixture
def folding(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every log is one of too many rows."""
    monkeypatch.setattr("ledger.intake.log_held.MOST_HELD", 0)


def seconds(hours: float, *, first: str = "2026-01-05 00:00", step_s: float = 1.0, phase_s: float = 0.0) -> Truth:
    """A cold night with noise, to a tenth of a degree."""
    start = datetime.fromisoformat(first).replace(tzinfo=ZoneInfo(ROME)).astimezone(UTC)
    count = round(hours * 3600 / step_s)
    utc = pd.date_range(start + pd.Timedelta(seconds=phase_s), periods=count, freq=pd.Timedelta(seconds=step_s))
    rng = np.random.default_rng(3)
    hour = np.arange(count) * step_s / 3600
    outdoor = -3.0 - 5.0 * np.cos(2 * np.pi * (hour - 3) / 24) + rng.normal(0, 0.12, count)
    indoor = 8.0 - 4.0 * np.cos(2 * np.pi * (hour - 4) / 24) + rng.normal(0, 0.12, count)
    return Truth(tuple(utc.to_pydatetime()), indoor.round(1), outdoor.round(1))


def lines_of(known: Truth) -> list[str]:
    return rows_of(known, stamp=SECONDS)


NIGHT = seconds(6)
LINES = lines_of(NIGHT)


def read(folder: Path, given_spec: LogSpec | None = None) -> Readings:
    return read_logs([given_spec or spec(clock="UTC")], folder=folder, site_timezone=ROME)


def table_of(readings: Readings) -> Table:
    (table,) = readings.tables
    return table


def file_of(made: HourlyRecord) -> FileFigures:
    (file,) = made.figures.files
    return file


def values_of(table: Table, channel: str) -> list[float]:
    return next(t.values.tolist() for t in table.traces if t.channel == channel)


def both_ways(folder: Path, *specs: LogSpec) -> tuple[HourlyRecord, HourlyRecord]:
    """The record with every row held, and with few."""
    whole, said = record(folder, *specs)
    assert not any(n.code == "log-by-the-minute" for n in said)
    with mock.patch("ledger.intake.log_held.MOST_HELD", 1000):
        folded, said = record(folder, *specs)
    assert any(n.code == "log-by-the-minute" for n in said)
    return whole, folded


def like(whole: HourlyRecord, folded: HourlyRecord, *, tolerance: float = DIGIT_K) -> None:
    pd.testing.assert_index_equal(whole.hours.index, folded.hours.index)
    assert (whole.hours.isna() == folded.hours.isna()).all(axis=None)
    assert np.nanmax(np.abs(whole.hours.to_numpy() - folded.hours.to_numpy())) <= tolerance
    assert (whole.reason == folded.reason).all()


@pytest.mark.usefixtures("folding")
@pytest.mark.parametrize("newest_first", [False, True], ids=["oldest first", "newest first"])
def test_a_minute_of_each_kind_is_what_can_be_reckoned_by_hand(tmp_path: Path, newest_first: bool) -> None:
    """Every ten seconds from 10:00:00, six rows a minute; the stamp is the earliest.

    10:00, an even minute: indoors 5.0 5.4 5.1 60.0 5.3 5.2, in order 5.0 5.1 5.2 5.3 5.4 60.0: the lower middle 5.2.
    Humidity 80 82 80 82 80 and −999, which no air has: (80 + 82 + 80 + 82 + 80) / 5 = 80.8. Fan: three of six, 0.5.
    10:01, an odd minute: 5.0 to 5.5 in any order: the higher middle 5.3. Humidity is read once: 81. Fan: 6 of 6.
    10:02 has one row only, and nothing for humidity.
    """
    indoor = [5.0, 5.4, 5.1, 60.0, 5.3, 5.2, 5.5, 5.0, 5.1, 5.4, 5.2, 5.3, 4.8]
    humid = ["80", "82", "80", "82", "80", "-999", "", "", "81", "", "", "", ""]
    fan = [1, 0, 1, 0, 1, 0, 1, 1, 1, 1, 1, 1, 0]
    stamps = [f"2026-01-05 10:{i // 6:02d}:{i % 6}0" for i in range(13)]
    rows = [f"{s},{a},{h},{f}" for s, a, h, f in zip(stamps, indoor, humid, fan, strict=True)]
    write(tmp_path, ["Time,Inside (°C),Humidity (%),Fan", *(reversed(rows) if newest_first else rows)])
    channels = (ChannelSpec("indoor", "Inside (°C)"), ChannelSpec("humidity", "Humidity (%)"),
                ChannelSpec("fan", "Fan"))  # fmt: skip
    readings = read(tmp_path, spec(channels=channels, clock="UTC"))
    table = table_of(readings)
    ten = int(datetime(2026, 1, 5, 10, tzinfo=UTC).timestamp() * 1000)
    assert table.stands_for is not None
    order = slice(None, None, -1) if newest_first else slice(None)
    assert (table.stamps_ms - ten).tolist()[order] == [0, 60_000, 120_000]
    assert table.stands_for.tolist()[order] == [6, 6, 1]
    assert table.interval_ms == 10_000
    assert values_of(table, "indoor")[order] == [5.2, 5.3, 4.8]
    assert values_of(table, "humidity")[order] == pytest.approx([80.8, 81.0, np.nan], nan_ok=True)
    assert values_of(table, "fan")[order] == [0.5, 1.0, 0.0]
    (notice,) = (n for n in readings.notices if n.code == "log-by-the-minute")
    assert notice.path == "log[0]"
    assert "station.csv" in notice.text
    assert "minute by minute" in notice.text
    assert "13 rows as 3" in notice.text


@pytest.mark.usefixtures("folding")
def test_readings_that_are_alike_stay_what_they_are(tmp_path: Path) -> None:
    """A mean of like floats may be off by its last bit, and a probe that stands still would no longer seem to."""
    tenths = [value / 10 for value in range(400, 990)]
    rows = [
        f"2026-01-05 {i // 60:02d}:{i % 60:02d}:{s:02d},5.0,{value}"
        for i, value in enumerate(tenths)
        for s in range(0, 60, 9)
    ]
    write(tmp_path, ["Time,Inside (°C),Humidity (%)", *rows])
    channels = (ChannelSpec("indoor", "Inside (°C)"), ChannelSpec("humidity", "Humidity (%)"))
    table = table_of(read(tmp_path, spec(channels=channels, clock="UTC")))
    assert values_of(table, "humidity") == tenths


@pytest.mark.usefixtures("folding")
def test_readings_of_which_no_two_lie_in_a_minute_are_left_as_they_are(tmp_path: Path) -> None:
    """Every 59 s from 00:00:50, twenty times: 00:00:50, 00:01:49 and on to 00:19:31."""
    write(tmp_path, [HEADER, *lines_of(seconds(20 * 59 / 3600, step_s=59, phase_s=50))])
    readings = read(tmp_path)
    assert table_of(readings).stands_for is None
    assert table_of(readings).interval_ms is None
    assert not readings.notices


@pytest.mark.usefixtures("folding")
def test_a_minute_of_numbers_out_of_range_stays_out_of_range_and_is_found(tmp_path: Path) -> None:
    """Ten whole minutes of −999: 600 rows set aside of 21,600, in one hour."""
    lines = list(LINES)
    for i in range(3600, 4200):
        lines[i] = lines[i].rsplit(",", 1)[0] + ",-999"
    write(tmp_path, [HEADER, *lines])
    made, notices = record(tmp_path)
    assert (file_of(made).rows, file_of(made).flagged, file_of(made).used) == (21_600, 600, 21_000)
    assert any("600 readings out of any believable range" in n.text for n in notices)
    assert made.figures.flagged_hours.range == 1


def test_a_log_of_seconds_gives_the_record_of_its_seconds(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *LINES])
    whole, folded = both_ways(tmp_path)
    like(whole, folded)
    agrees(folded, NIGHT, tolerance=DIGIT_K)
    assert folded.step_minutes == 1.0
    assert file_of(whole) == file_of(folded)
    values = folded.fine.to_numpy()
    assert np.isfinite(values).all()


def test_a_lone_wild_reading_in_a_minute_moves_nothing(tmp_path: Path) -> None:
    """85.0 is the digit of a probe that has just got its current; one reading in each of a hundred minutes."""
    lines = list(LINES)
    for i in range(30, 6030, 60):
        lines[i] = f"{lines[i].rsplit(',', 2)[0]},85.0,-85.0"
    write(tmp_path, [HEADER, *lines])
    _, folded = both_ways(tmp_path)
    agrees(folded, NIGHT, tolerance=DIGIT_K)
    assert file_of(folded).flagged == 0


def test_every_row_is_accounted_for_as_without_folding(tmp_path: Path) -> None:
    """21,600 rows of which 600 are out of range; half an hour of good ones copied at the end; nine lines of nothing."""
    lines = list(LINES)
    for i in range(7200, 7800):
        lines[i] = f"{lines[i].rsplit(',', 2)[0]},99.0,-2.0"
    copied = lines[14_400:16_200]
    bad = [*["note: probe cleaned"] * 5, *["2026-01-05 03:00:00,--,--"] * 4]
    write(tmp_path, [HEADER, *lines[:9000], *bad, *lines[9000:], *copied])
    whole, folded = both_ways(tmp_path)
    file = file_of(folded)
    assert (file.rows, file.flagged, file.duplicate, file.refused) == (23_409, 600, 1800, 9)
    assert file.used == 21_000
    assert file == file_of(whole)
    like(whole, folded)


def test_minutes_of_unlike_numbers_of_rows_are_counted_as_they_are(tmp_path: Path) -> None:
    """Every 10 s, newest first. Ten minutes of two rows each are out of range: 20. One of six rows stands twice."""
    lines = lines_of(seconds(12, step_s=10))
    far = {i: f"{lines[i].rsplit(',', 2)[0]},99.0,-2.0" for i in range(720, 780, 3)}
    kept = [far.get(i, line) for i, line in enumerate(lines) if not 720 <= i < 780 or i in far]
    write(tmp_path, [HEADER, *reversed(kept), *reversed(lines[1440:1446])])
    whole, folded = both_ways(tmp_path)
    assert (file_of(folded).flagged, file_of(folded).duplicate) == (20, 6)
    assert file_of(folded) == file_of(whole)


def test_rows_of_a_lost_clock_are_counted_as_rows_of_the_file(tmp_path: Path) -> None:
    """Five minutes that begin on 1 January 2010 in a log of 2026: 300 rows."""
    lost = [line.replace("2026-01-05", "2010-01-01") for line in LINES[:300]]
    write(tmp_path, [HEADER, *LINES[:9000], *lost, *LINES[9300:]])
    whole, folded = both_ways(tmp_path)
    assert file_of(folded).flagged == 300
    assert file_of(folded) == file_of(whole)


def test_dates_that_no_calendar_has_are_refused_row_by_row(tmp_path: Path) -> None:
    """Two minutes of a 31 February: 120 rows that have no instant."""
    torn = [line.replace("2026-01-05", "2026-02-31") for line in LINES[600:720]]
    write(tmp_path, [HEADER, *LINES[:600], *torn, *LINES[720:]])
    whole, folded = both_ways(tmp_path)
    assert file_of(folded).refused == 120
    assert file_of(folded) == file_of(whole)


@pytest.mark.parametrize("newest_first", [False, True], ids=["oldest first", "newest first"])
def test_the_hour_that_comes_twice_is_still_parted(tmp_path: Path, newest_first: bool) -> None:
    known = seconds(7, first="2025-10-26 00:00")
    lines = lines_of(known)
    write(tmp_path, [HEADER, *(reversed(lines) if newest_first else lines)])
    whole, folded = both_ways(tmp_path)
    like(whole, folded)
    agrees(folded, known, tolerance=DIGIT_K)
    assert len(folded.hours) == 7


def test_offsets_in_the_stamps_part_the_hour_that_comes_twice(tmp_path: Path) -> None:
    """Every minute of either pass stands in the file beside its like of the other."""
    known = seconds(4, first="2025-10-26 01:00", step_s=10)
    lines = [
        f"{moment.astimezone(ZoneInfo(ROME)).isoformat()},{a},{b}"
        for moment, a, b in zip(known.utc, known.indoor, known.outdoor, strict=True)
    ]
    order = sorted(range(len(lines)), key=lambda i: lines[i][:19])
    write(tmp_path, [HEADER, *(lines[i] for i in order)])
    _, folded = both_ways(tmp_path)
    agrees(folded, known, tolerance=DIGIT_K)


@pytest.mark.parametrize(("step_s", "phase_s"), [(1, 0), (1, 0.5), (7, 0), (10, 3), (30, 29), (45, 0)])
@pytest.mark.parametrize("stamp", list(Stamp))
def test_no_minute_strays_into_another_hour(tmp_path: Path, step_s: float, phase_s: float, stamp: Stamp) -> None:
    """Each reading is the number of the hour in which its interval begins, so that every hour's mean is that number."""
    known = seconds(5, step_s=step_s, phase_s=phase_s)
    hour = np.array([(moment + pd.Timedelta(hours=1)).hour for moment in known.utc], float)
    stamps = known.utc
    if stamp is Stamp.END:
        stamps = tuple(moment + pd.Timedelta(seconds=step_s) for moment in known.utc)
    lines = rows_of(Truth(stamps, hour + 1.0, hour - 1.0), stamp=f"{SECONDS}.%f")
    write(tmp_path, [HEADER, *lines])
    with mock.patch("ledger.intake.log_held.MOST_HELD", 100):
        made, notices = record(tmp_path, spec(stamp=stamp))
    assert any(n.code == "log-by-the-minute" for n in notices)
    assert made.hours["indoor"].tolist() == pytest.approx([1.0, 2.0, 3.0, 4.0, 5.0], abs=1e-9)
    assert made.hours["outdoor"].tolist() == pytest.approx([-1.0, 0.0, 1.0, 2.0, 3.0], abs=1e-9)


@pytest.mark.parametrize("newest_first", [False, True], ids=["oldest first", "newest first"])
def test_a_file_with_one_reading_a_line_is_taken_sensor_by_sensor(tmp_path: Path, newest_first: bool) -> None:
    """By turns, the second sensor every ten seconds only; two minutes of a 31 February: 120 rows and 12.

    For ten minutes the second sensor is read every half minute and is out of range: 20 rows, 40 less in all.
    """
    lines = []
    for i, (moment, a, b) in enumerate(zip(NIGHT.wall(), NIGHT.indoor, NIGHT.outdoor, strict=True)):
        when = moment.strftime("2026-02-31 %H:%M:%S" if 600 <= i < 720 else SECONDS)
        lines.append(f"{when},inside,{a:.1f}")
        lost = 7200 <= i < 7800
        if i % (30 if lost else 10) == 0:
            lines.append(f"{when},outside,{-99 if lost else b:.1f}")
    write(tmp_path, ["time,sensor,value", *(reversed(lines) if newest_first else lines)])
    channels = (ChannelSpec("indoor", "inside", "degC"), ChannelSpec("outdoor", "outside", "degC"))
    whole, folded = both_ways(tmp_path, spec(channels=channels))
    like(whole, folded)
    assert file_of(folded) == file_of(whole)
    assert (file_of(folded).rows, file_of(folded).refused, file_of(folded).flagged) == (21_600 + 2120, 132, 20)


FAN_ON = [(3600, 6000), (9000, 9030), (14_400, 14_415), (17_000, 21_600)]
"""Seconds in which the fan draws 360 W, which is 0.0001 kWh a second."""


@pytest.mark.parametrize("newest_first", [False, True], ids=["oldest first", "newest first"])
@pytest.mark.parametrize("counter", [False, True], ids=["energy of each interval", "energy counter"])
def test_a_counter_and_energies_of_each_interval_give_the_same_kilowatt_hours(
    tmp_path: Path, counter: bool, newest_first: bool
) -> None:
    """40 min, 30 s, 15 s, 76 min 40 s at 360 W: 240, 3, 1.5 and 460 Wh by the hour from 1 to 5.

    17,000 to 18,000 lies in hour 4: 100 Wh of the 460. A counter shows in the second after what was used in it.
    """
    on = np.zeros(21_600)
    for first, after in FAN_ON:
        on[first:after] = 1.0
    energy = 12.0 + np.concatenate([[0.0], np.cumsum(on * 0.0001)[:-1]]) if counter else on * 0.0001
    stamps = [f"{moment:{SECONDS}}" for moment in NIGHT.wall()]
    rows = [f"{s},{a:.1f},{e:.4f}" for s, a, e in zip(stamps, NIGHT.indoor, energy, strict=True)]
    write(tmp_path, ["Time,Inside (°C),Fan (kWh)", *(reversed(rows) if newest_first else rows)])
    channels = (ChannelSpec("indoor", "Inside (°C)"), FAN)
    whole, folded = both_ways(tmp_path, spec(channels=channels))
    by_hand = [0.0, 240.0, 3.0, 0.0, 101.5, 360.0]
    assert whole.hours["fan_w"].tolist() == pytest.approx(by_hand, abs=0.1)
    assert folded.hours["fan_w"].tolist() == pytest.approx(by_hand, abs=1e-6)
    assert float(folded.hours["fan_w"].sum()) == pytest.approx(704.5, abs=1e-6)


def test_a_fan_that_stood_still_until_after_the_first_fold_is_read_like_any_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nothing is known of a counter while it stands at 0: blocks of 4 kB hold two minutes, the fan starts after 5 h.

    For 20 min, then again after 10 for 20 min and 15 s, which is 0.0001 kWh · 2415 = 241.5 Wh of that hour.
    What a counter rises by in the last minute is not read: 241.5 Wh in 59 minutes are 245.6 W.
    """
    on = np.zeros(21_600)
    on[18_000:19_200] = on[19_800:21_015] = 0.0001
    stamps = [f"{moment:{SECONDS}}" for moment in NIGHT.wall()]
    monkeypatch.setattr(Source, "blocks", lambda self: WHOLE(self, 4096))
    for energy, watts in ((on, 241.5), (np.concatenate([[0.0], np.cumsum(on)[:-1]]), 241.5 * 60 / 59)):
        rows = [f"{s},{a:.1f},{e:.4f}" for s, a, e in zip(stamps, NIGHT.indoor, energy, strict=True)]
        write(tmp_path, ["Time,Inside (°C),Fan (kWh)", *rows])
        _, folded = both_ways(tmp_path, spec(channels=(ChannelSpec("indoor", "Inside (°C)"), FAN)))
        assert folded.hours["fan_w"].tolist() == pytest.approx([0.0] * 5 + [watts], abs=1e-6)


@pytest.mark.usefixtures("folding")
def test_a_date_without_a_clock_stays_a_row_of_its_own(tmp_path: Path) -> None:
    """Some exports write midnight as a bare date: between 23:59:59 and 00:00:01 it stands for 00:00:00."""
    known = seconds(2, first="2026-01-05 23:00")
    lines = [line.replace(" 00:00:00,", ",") if line.startswith("2026-01-06 00:00:00") else line
             for line in lines_of(known)]  # fmt: skip
    assert lines[3600].startswith("2026-01-06,")
    write(tmp_path, [HEADER, *lines])
    made, _ = record(tmp_path)
    agrees(made, known, tolerance=DIGIT_K)
    assert file_of(made).used == 7200


def test_two_dates_without_a_clock_are_refused_as_two(tmp_path: Path) -> None:
    """Twice the same bare date is no midnight. Of 7,200 rows two are refused."""
    lines = lines_of(seconds(2, first="2026-01-05 23:00"))
    for i in (3600, 3601):
        lines[i] = f"2026-01-06,{lines[i].split(',', 1)[1]}"
    write(tmp_path, [HEADER, *lines])
    whole, folded = both_ways(tmp_path)
    assert file_of(folded).refused == 2
    assert file_of(folded) == file_of(whole)


@pytest.mark.usefixtures("folding")
def test_a_hole_of_a_day_parts_one_minute_from_the_same_of_the_next_day(tmp_path: Path) -> None:
    """A minute and a half from 10:00:00, a day of nothing, and on: 60 and 30 rows, 30 and 60."""
    first, second = (
        lines_of(seconds(0.025, first="2026-01-05 10:00")),
        lines_of(seconds(0.025, first="2026-01-06 10:01:30")),
    )
    write(tmp_path, [HEADER, *first, *second])
    table = table_of(read(tmp_path))
    assert table.stands_for is not None
    assert table.stands_for.tolist() == [60, 30, 30, 60]
    assert np.diff(table.stamps_ms).tolist() == [60_000, 86_430_000, 30_000]


def test_a_change_of_unit_is_named_by_a_line_of_its_minute(tmp_path: Path) -> None:
    """From row 10,830 on everything is in °F: half a minute into 03:00, whose first line is row 10,800, line 10,802."""
    indoor, outdoor = NIGHT.indoor.copy(), NIGHT.outdoor.copy()
    indoor[10_800 + 60 :] = (indoor[10_800 + 60 :] * 1.8 + 32).round(1)
    outdoor[10_800 + 60 :] = (outdoor[10_800 + 60 :] * 1.8 + 32).round(1)
    write(tmp_path, [HEADER, *lines_of(Truth(NIGHT.utc, indoor, outdoor))])
    for most in (10**9, 5000):
        with mock.patch("ledger.intake.log_held.MOST_HELD", most), pytest.raises(LogError) as caught:
            read(tmp_path)
        (complaint,) = caught.value.complaints
        assert "unit seems to change" in complaint.what
        assert complaint.place.line == 10_862


@pytest.mark.usefixtures("folding")
def test_lines_left_out_do_not_shift_the_lines_of_the_rest(tmp_path: Path) -> None:
    """The same with seven notes before it: seven lines further down."""
    indoor, outdoor = NIGHT.indoor.copy(), NIGHT.outdoor.copy()
    indoor[10_860:] = (indoor[10_860:] * 1.8 + 32).round(1)
    outdoor[10_860:] = (outdoor[10_860:] * 1.8 + 32).round(1)
    lines = lines_of(Truth(NIGHT.utc, indoor, outdoor))
    write(tmp_path, [HEADER, *lines[:500], *["note"] * 7, *lines[500:]])
    with pytest.raises(LogError) as caught:
        read(tmp_path)
    assert caught.value.complaints[0].place.line == 10_869


def test_a_log_under_the_limit_is_left_as_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of as many rows as are held not one is folded, of one more all are."""
    write(tmp_path, [HEADER, *LINES[:3600]])
    monkeypatch.setattr("ledger.intake.log_held.MOST_HELD", 3600)
    readings = read(tmp_path)
    assert table_of(readings).stands_for is None
    assert len(table_of(readings).stamps_ms) == 3600
    assert not readings.notices
    monkeypatch.setattr("ledger.intake.log_held.MOST_HELD", 3599)
    assert len(table_of(read(tmp_path)).stamps_ms) == 60


def test_a_log_of_minutes_is_never_folded(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing stands closer than a minute; looked at again and again as blocks of 4 kB come in."""
    known = seconds(72, step_s=60)
    write(tmp_path, [HEADER, *lines_of(known)])
    monkeypatch.setattr("ledger.intake.log_held.MOST_HELD", 1000)
    monkeypatch.setattr(Source, "blocks", lambda self: WHOLE(self, 4096))
    made, notices = record(tmp_path)
    agrees(made, known)
    assert not any(n.code == "log-by-the-minute" for n in notices)


def test_a_log_that_becomes_dense_is_folded_from_then_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two days of minutes, 2,880 rows, then four hours of seconds, 14,400 rows or 240 minutes: 3,120 minutes."""
    slow, quick = seconds(48, step_s=60), seconds(4, first="2026-01-07 00:00")
    write(tmp_path, [HEADER, *lines_of(slow), *lines_of(quick)])
    monkeypatch.setattr("ledger.intake.log_held.MOST_HELD", 1000)
    monkeypatch.setattr(Source, "blocks", lambda self: WHOLE(self, 4096))
    readings = read(tmp_path)
    table = table_of(readings)
    assert table.stands_for is not None
    assert table.stands_for.tolist() == [1] * 2880 + [60] * 240


def test_files_read_before_are_taken_like_their_sisters(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two hours a file, the limit is passed in the third. Joined unlike, a minute would cover a second only."""
    for number in range(3):
        write(tmp_path, [HEADER, *LINES[number * 7200 : (number + 1) * 7200]], name=f"part{number}.csv")
    monkeypatch.setattr("ledger.intake.log_held.MOST_HELD", 16_000)
    made, notices = record(tmp_path)
    agrees(made, NIGHT, tolerance=DIGIT_K)
    assert [n.text.split(":")[0] for n in notices if n.code == "log-by-the-minute"] == [
        f"part{number}.csv" for number in range(3)
    ]
    assert [file.used for file in made.figures.files] == [7200] * 3


def test_too_many_rows_are_refused_once_with_a_way_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rows a minute apart cannot be folded: of three files of 1,440 rows the third is too much, a fourth not looked at.

    A section after them is not read either; had it been, its file that is not there would be a complaint too.
    """
    for number in range(4):
        known = seconds(24, first=f"2026-01-0{number + 5} 00:00", step_s=60)
        write(tmp_path, [HEADER, *lines_of(known)], name=f"day{number}.csv")
    monkeypatch.setattr("ledger.intake.log_held.MOST_ROWS", 4000)
    with pytest.raises(LogError) as caught:
        read_logs([spec(), spec(file="absent.txt")], folder=tmp_path, site_timezone=ROME)
    (complaint,) = caught.value.complaints
    assert "the logs hold more than 4,000 readings" in complaint.what
    assert complaint.place.file == "day2.csv"
    assert "by years" in complaint.mend
    assert "leave out" in complaint.mend


def test_what_is_folded_counts_as_what_it_became(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """21,600 seconds are 360 minutes: there is room for 5,000 rows, and for a block of 4 kB before it is folded."""
    write(tmp_path, [HEADER, *LINES])
    monkeypatch.setattr("ledger.intake.log_held.MOST_HELD", 2000)
    monkeypatch.setattr("ledger.intake.log_held.MOST_ROWS", 5000)
    monkeypatch.setattr(Source, "blocks", lambda self: WHOLE(self, 4096))
    assert len(table_of(read(tmp_path)).stamps_ms) == 360


def test_clocks_of_more_texts_than_are_remembered_are_read_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Thousandths of seconds make every clock of a day another text. A line amid them and the last are in UTC."""
    known = seconds(3, step_s=2.5)
    stamp = f"{SECONDS}.%f"
    far = [line.replace(",", "+00:00,", 1) for line in rows_of(known, stamp=stamp, zone="UTC")]
    lines = rows_of(known, stamp=stamp)
    lines[2000], lines[-1] = far[2000], far[-1]
    write(tmp_path, [HEADER, *lines])
    monkeypatch.setattr("ledger.intake.log_time._MOST_KNOWN", 100)
    monkeypatch.setattr(Source, "blocks", lambda self: WHOLE(self, 4096))
    made, _ = record(tmp_path)
    agrees(made, known)


def test_odd_cells_of_any_number_are_counted_but_not_all_kept() -> None:
    """Three thousand different words are three thousand odd cells, whose example is one of a thousand."""
    reader = NumberReader(".")
    reader.read(pl.Series([f"no reading of sensor {i}" for i in range(3000)]))
    assert sum(reader.odd.values()) == 3000
    assert len(reader.odd) == 1000


def test_sections_after_folded_files_have_the_room_that_these_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Three files of 7,200 seconds became 360 rows: 7,200 more are under the limit of 16,000."""
    for number in range(3):
        write(tmp_path, [HEADER, *LINES[number * 7200 : (number + 1) * 7200]], name=f"part{number}.csv")
    write(tmp_path, [HEADER, *LINES[:7200]], name="other.txt")
    monkeypatch.setattr("ledger.intake.log_held.MOST_HELD", 16_000)
    readings = read_logs([spec(), spec(file="other.txt")], folder=tmp_path, site_timezone=ROME)
    assert [len(table.stamps_ms) for table in readings.tables] == [360, 7200]


def test_seconds_stamped_to_the_minute_end_a_minute_later(tmp_path: Path) -> None:
    """Sixty rows bear the same stamp, the end of their minute; each reads the number of the hour it lies in."""
    known = seconds(3)
    hour = np.arange(10_800) // 3600 + 1.0
    ends = tuple(moment.replace(second=0) + pd.Timedelta(minutes=1) for moment in known.utc)
    write(tmp_path, [HEADER, *lines_of(Truth(ends, hour, hour - 2.0))])
    with mock.patch("ledger.intake.log_held.MOST_HELD", 1000):
        made, _ = record(tmp_path, spec(stamp=Stamp.END))
    assert made.hours["indoor"].tolist() == [1.0, 2.0, 3.0]
    assert made.hours["outdoor"].tolist() == [-1.0, 0.0, 1.0]


def arrays_of(readings: Readings) -> list[list[object]]:
    found: list[list[object]] = []
    for table in readings.tables:
        assert table.stands_for is not None
        found += [table.stamps_ms.tolist(), table.file.tolist(), table.stands_for.tolist(), [table.interval_ms]]
        found += [[repr(float(v)) for v in trace.values] for trace in table.traces]
    return found


@settings(max_examples=12, deadline=None)
@given(
    most=st.integers(0, 2400), block=st.integers(600, 60_000), step_s=st.sampled_from([1, 3, 7, 20]),
    newest_first=st.booleans(), ends=st.booleans(), long=st.booleans(),
)  # fmt: skip
@example(most=0, block=600, step_s=1, newest_first=True, ends=True, long=True)
@example(most=2399, block=1000, step_s=7, newest_first=False, ends=True, long=False)
def test_neither_the_limit_nor_the_blocks_change_what_is_folded(
    most: int, block: int, step_s: int, newest_first: bool, ends: bool, long: bool
) -> None:
    """Of 2,400 rows, all held first, any less, or none; to the last digit."""
    known = seconds(2400 * step_s / 3600 / (2 if long else 1), step_s=step_s)
    lines = lines_of(known)
    if long:
        lines = lines[:1200]
        lines = [f"{line.split(',')[0]},{name},{line.split(',')[place]}" for line in lines
                 for place, name in ((1, "in"), (2, "out"))]  # fmt: skip
    head = "time,sensor,value" if long else HEADER
    channels = (ChannelSpec("indoor", "in", "degC"), ChannelSpec("outdoor", "out", "degC"))
    stamp = Stamp.END if ends else Stamp.INSTANT
    wanted = spec(channels=channels, stamp=stamp, clock="UTC") if long else spec(stamp=stamp, clock="UTC")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write(folder, [head, *(reversed(lines) if newest_first else lines)])
        with mock.patch("ledger.intake.log_held.MOST_HELD", 0):
            once = arrays_of(read(folder, wanted))
        with (
            mock.patch("ledger.intake.log_held.MOST_HELD", most),
            mock.patch.object(Source, "blocks", lambda self: WHOLE(self, block)),
        ):
            assert arrays_of(read(folder, wanted)) == once
