"""One reading a line with its sensor's name; year, month, day, hour in columns of their own."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Unpack

import pytest

from ledger.errors import Complaint, LogError
from ledger.intake.log_files import read_logs
from ledger.model.logs import ChannelSpec, LogSpec, Stamp
from tests.logs.made import HEADER, ROME, LogTraits, Truth, agrees, record, rows_of, spec, truth, write

KNOWN = truth()
INDOOR = ChannelSpec("indoor", "Bed north", "degC")
OUTDOOR = ChannelSpec("outdoor", "Roof", "degC")
NAMES = ("Bed north", "Roof")


def lines_of(known: Truth, *, unit: str = "", names: Sequence[str] = NAMES) -> list[tuple[datetime, str]]:
    """Stamp, sensor, value, in order of time, the two sensors by turns."""
    return [
        (moment, f"{moment:%Y-%m-%d %H:%M},{name},{value:.1f}{unit}")
        for moment, pair in zip(known.wall(), zip(known.indoor, known.outdoor, strict=True), strict=True)
        for name, value in zip(names, pair, strict=True)
    ]


def long_spec(**given: Unpack[LogTraits]) -> LogSpec:
    return spec(channels=(INDOOR, OUTDOOR), **given)


def refused(folder: Path, wanted: LogSpec) -> tuple[Complaint, ...]:
    with pytest.raises(LogError) as caught:
        read_logs([wanted], folder=folder, site_timezone=ROME)
    assert all(c.mend and c.place.file and c.place.line for c in caught.value.complaints)
    return caught.value.complaints


# --- one reading a line --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("header", [["time,sensor,value"], ["time,entity,state"], []])
def test_a_file_with_one_reading_a_line_is_read_by_its_sensors(tmp_path: Path, header: list[str]) -> None:
    write(tmp_path, [*header, *(text for _, text in lines_of(KNOWN))])
    made, _ = record(tmp_path, long_spec())
    agrees(made, KNOWN)
    (file,) = made.figures.files
    assert file.rows == file.used == 2 * len(KNOWN.utc)
    assert file.layout.startswith("one reading a line")


def test_sensor_after_sensor_is_read_as_sensor_by_sensor(tmp_path: Path) -> None:
    """The second sensor begins far below the lines that are looked at first."""
    lines = [text for _, text in lines_of(KNOWN)]
    write(tmp_path, ["time,sensor,value", *lines[0::2], *lines[1::2]])
    made, _ = record(tmp_path, long_spec())
    agrees(made, KNOWN)


def test_the_layout_is_reported_with_its_columns(tmp_path: Path) -> None:
    write(tmp_path, ["when,probe,reading", *(text for _, text in lines_of(KNOWN))])
    made, _ = record(tmp_path, long_spec())
    assert made.figures.files[0].layout == 'one reading a line: sensor in "probe", value in "reading"'


def test_other_sensors_are_counted_and_not_read(tmp_path: Path) -> None:
    lines = ["time,sensor,value"]
    for i, (moment, text) in enumerate(lines_of(KNOWN)):
        lines.append(text)
        if i % 4 == 0:
            lines.append(f"{moment:%Y-%m-%d %H:%M},door,{'open' if i % 8 else 'closed'}")
    write(tmp_path, lines)
    made, notices = record(tmp_path, long_spec())
    agrees(made, KNOWN)
    assert made.figures.files[0].refused == len(KNOWN.utc) // 2
    assert not [notice for notice in notices if notice.code == "log-refused"]


def test_a_column_of_units_is_followed_line_by_line(tmp_path: Path) -> None:
    """32 + 1.8 · 10 = 50: what one sensor writes in °F and the other in °C is the same warmth."""
    lines = ["time,sensor,value,unit"]
    for i, (_, text) in enumerate(lines_of(KNOWN)):
        stamp, name, value = text.split(",")
        if i % 2:
            lines.append(f"{stamp},{name},{float(value) * 1.8 + 32:.2f},°F")
        else:
            lines.append(f"{stamp},{name},{value},°C")
    write(tmp_path, lines)
    made, _ = record(tmp_path, spec(channels=(ChannelSpec("indoor", "bed NORTH"), ChannelSpec("outdoor", "roof"))))
    agrees(made, KNOWN, tolerance=1e-9)


def test_a_unit_in_the_cell_or_in_the_sensors_name_is_read(tmp_path: Path) -> None:
    write(tmp_path, ["time,sensor,value", *(text for _, text in lines_of(KNOWN, unit=" °C"))], name="cell.csv")
    bare = (ChannelSpec("indoor", "Bed north"), ChannelSpec("outdoor", "Roof"))
    agrees(record(tmp_path, spec(file="cell.csv", channels=bare))[0], KNOWN)
    named = ("Bed north (°C)", "Roof (°C)")
    write(tmp_path, ["time,sensor,value", *(text for _, text in lines_of(KNOWN, names=named))], name="name.csv")
    channels = (ChannelSpec("indoor", named[0]), ChannelSpec("outdoor", named[1]))
    agrees(record(tmp_path, spec(file="name.csv", channels=channels))[0], KNOWN)


def test_two_columns_of_numbers_are_asked_apart_and_settled_by_the_ledger(tmp_path: Path) -> None:
    write(tmp_path, ["time,sensor,value,battery", *(f"{text},2.9" for _, text in lines_of(KNOWN))])
    (complaint,) = refused(tmp_path, long_spec())
    assert 'value = "value"' in complaint.mend
    made, _ = record(tmp_path, long_spec(value="value"))
    agrees(made, KNOWN)


def test_sensors_that_are_numbers_are_read_where_the_ledger_names_their_column(tmp_path: Path) -> None:
    write(tmp_path, ["time,sensor,value", *(text for _, text in lines_of(KNOWN, names=("3", "4")))])
    channels = (ChannelSpec("indoor", "3", "degC"), ChannelSpec("outdoor", "4", "degC"))
    made, _ = record(tmp_path, spec(channels=channels, sensor="sensor", value="value"))
    agrees(made, KNOWN)


def test_a_sensor_that_no_line_names_is_asked_with_those_there_are(tmp_path: Path) -> None:
    write(tmp_path, ["time,sensor,value", *(text for _, text in lines_of(KNOWN))])
    (complaint,) = refused(tmp_path, spec(channels=(INDOOR, ChannelSpec("outdoor", "Rooof", "degC"))))
    assert 'outdoor = { column = "Roof" }' in complaint.mend
    assert '"Bed north"' in complaint.mend


def test_a_missing_unit_of_a_sensor_is_asked_for(tmp_path: Path) -> None:
    write(tmp_path, ["time,sensor,value", *(text for _, text in lines_of(KNOWN))])
    complaints = refused(tmp_path, spec(channels=(ChannelSpec("indoor", "Bed north"), ChannelSpec("outdoor", "Roof"))))
    assert len(complaints) == 2
    assert 'unit = "degC"' in complaints[0].mend


def test_one_sensor_for_two_channels_is_refused(tmp_path: Path) -> None:
    write(tmp_path, ["time,sensor,value", *(text for _, text in lines_of(KNOWN))])
    assert refused(tmp_path, spec(channels=(INDOOR, ChannelSpec("outdoor", "Bed north", "degC"))))


def test_a_value_column_without_a_sensor_column_is_refused(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *rows_of(KNOWN)])
    (complaint,) = refused(tmp_path, spec(value="Inside (°C)"))
    assert "sensor = " in complaint.mend


@pytest.mark.parametrize("minutes", [10, 60])
@pytest.mark.parametrize("turns", [True, False])
def test_each_sensor_has_its_own_doubled_hour(tmp_path: Path, minutes: int, turns: bool) -> None:
    """Clocks go back on 2025-10-26: each sensor's rows step back once, also an hourly log's."""
    known = truth(first="2025-10-24 00:00", days=4, minutes=minutes)
    lines = [text for _, text in lines_of(known)]
    write(tmp_path, ["time,sensor,value", *(lines if turns else [*lines[0::2], *lines[1::2]])])
    made, _ = record(tmp_path, long_spec())
    agrees(made, known)


def test_a_station_that_freezes_is_found_sensor_by_sensor_too(tmp_path: Path) -> None:
    """Ten hours of the same digits on both sensors, from the same row to the same row."""
    lines = ["time,sensor,value"]
    last: dict[str, str] = {}
    for i, (_, text) in enumerate(lines_of(KNOWN)):
        stamp, name, value = text.split(",")
        frozen = 800 <= i < 920
        last.setdefault(name, value)
        last[name] = last[name] if frozen else value
        lines.append(f"{stamp},{name},{last[name]}")
    write(tmp_path, lines)
    made, _ = record(tmp_path, long_spec())
    assert 9 <= made.figures.flagged_hours.stuck <= 11


def test_a_unit_that_changes_midway_is_found_in_one_sensors_lines(tmp_path: Path) -> None:
    lines = ["time,sensor,value"]
    for i, (_, text) in enumerate(lines_of(KNOWN)):
        stamp, name, value = text.split(",")
        lines.append(f"{stamp},{name},{float(value) * 1.8 + 32:.1f}" if name == "Roof" and i > 1200 else text)
    write(tmp_path, lines)
    (complaint,) = refused(tmp_path, long_spec())
    assert complaint.place.line == 1203
    assert "unit" in complaint.what


# --- parts of the time in columns of their own ---------------------------------------------------------------------


def parted(form: str, known: Truth = KNOWN) -> list[str]:
    return rows_of(known, stamp=form)


@pytest.mark.parametrize(
    ("header", "form"),
    [
        ("Year,Month,Day,Hour,Minute", "%Y,%m,%d,%H,%M"),
        ("YYYY,MM,DD,hh,mm", "%Y,%m,%d,%H,%M"),
        ("Jahr,Monat,Tag,Stunde,Minute", "%Y,%-m,%-d,%-H,%-M"),
        ("Year,Month,Day,Hour,Minute", "%Y.0,%-m.0,%-d.0,%-H.0,%-M.0"),
        ("Année,Mois,Jour,Heure", "%Y,%m,%d,%H:%M"),
        ("Day,Month,Year,Hour,Minute", "%d,%m,%Y,%H,%M"),
        ("Date,Hour,Minute", "%Y-%m-%d,%H,%M"),
        ("Year,Month,Day,Clock", "%Y,%m,%d,%H:%M"),
    ],
)
def test_parts_of_the_time_in_columns_are_joined(tmp_path: Path, header: str, form: str) -> None:
    write(tmp_path, [f"{header},Inside (°C),Outside (°C)", *parted(form)])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)
    file = made.figures.files[0]
    assert file.time_format.count(" + ") == header.count(",")
    assert file.rows == file.used


def test_an_hour_beside_a_date_is_read(tmp_path: Path) -> None:
    known = truth(minutes=60)
    write(tmp_path, ["Date,Hour,Inside (°C),Outside (°C)", *parted("%d.%m.%Y,%-H", known)])
    made, _ = record(tmp_path)
    agrees(made, known)


def test_the_ledger_may_name_the_parts_by_place(tmp_path: Path) -> None:
    write(tmp_path, parted("%Y,%m,%d,%H,%M"))
    channels = (ChannelSpec("indoor", "6", "degC"), ChannelSpec("outdoor", "7", "degC"))
    made, _ = record(tmp_path, spec(channels=channels, time="1 + 2 + 3 + 4 + 5"))
    agrees(made, KNOWN)


def test_parts_with_semicolons_and_decimal_commas_are_joined(tmp_path: Path) -> None:
    rows = rows_of(KNOWN, stamp="%Y;%m;%d;%H;%M", separator=";", cell=lambda v: f"{v:.1f}".replace(".", ","))
    write(tmp_path, ["Station 7", "", "Year;Month;Day;Hour;Minute;Inside (°C);Outside (°C)", *rows])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_one_column_of_stamps_goes_before_its_parts(tmp_path: Path) -> None:
    rows = rows_of(KNOWN, stamp="%Y,%m,%d,%H,%Y-%m-%d %H:%M")
    write(tmp_path, ["year,month,day,hour,stamp,Inside (°C),Outside (°C)", *rows])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)
    assert made.figures.files[0].time_format == "%Y-%m-%d %H:%M"


def test_hours_from_1_to_24_are_warned_of_and_read_as_the_ledger_says(tmp_path: Path) -> None:
    """Hour 1 of 5 January is the hour that ends at 01:00; hour 24 ends at midnight."""
    known = truth(minutes=60)
    rows = []
    for line in parted("%Y,%-m,%-d,%-H", known):
        year, month, day, hour, *readings = line.split(",")
        rows.append(",".join((year, month, day, str(int(hour) + 1), *readings)))
    write(tmp_path, ["Year,Month,Day,Hour,Inside (°C),Outside (°C)", *rows])
    _, notices = record(tmp_path)
    assert [notice.path for notice in notices if notice.code == "log-stamp"] == ["log[0].stamp"]
    made, notices = record(tmp_path, spec(stamp=Stamp.END))
    agrees(made, known)
    assert not [notice for notice in notices if notice.code == "log-stamp"]


def test_averages_of_minutes_are_no_stamps(tmp_path: Path) -> None:
    """An export that averaged its own columns of time: minute 6.5."""
    rows = [line.replace(":", ",") for line in parted("%Y,%m,%d,%H,%M.5")]
    write(tmp_path, ["Year,Month,Day,Hour,Minute,Inside (°C),Outside (°C)", *rows])
    (complaint,) = refused(tmp_path, spec())
    assert "no time stamp" in complaint.what


@pytest.mark.parametrize(
    ("time", "form"), [("Year + Month + Day", "%Y,%m,%d"), ("Y + M + D + H + N", "%y,%m,%d,%H,%M")]
)
def test_parts_that_make_no_moment_are_refused(tmp_path: Path, time: str, form: str) -> None:
    header = time.replace(" + ", ",")
    write(tmp_path, [f"{header},Inside (°C),Outside (°C)", *parted(form)])
    assert refused(tmp_path, spec(time=time))


def test_parts_between_tabs_are_joined(tmp_path: Path) -> None:
    """Found by fuzzing: cut at blanks instead of tabs, the parts look like one stamp."""
    rows = rows_of(KNOWN, stamp="%Y\t%m\t%d\t%H\t%M", separator="\t")
    write(tmp_path, ["Year\tMonth\tDay\tHour\tMinute\tInside (°C)\tOutside (°C)", *rows])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_counts_of_seconds_beside_a_sensor_are_no_readings(tmp_path: Path) -> None:
    """Found by fuzzing: both columns hold numbers, but one of them counts seconds since 1970."""
    stamps = [str(int(moment.timestamp())) for moment in KNOWN.utc for _ in NAMES]
    lines = [f"{stamp},{text.split(',', 1)[1]}" for stamp, (_, text) in zip(stamps, lines_of(KNOWN), strict=True)]
    write(tmp_path, ["stamp,sensor,value", *lines])
    made, _ = record(tmp_path, long_spec())
    agrees(made, KNOWN)
