"""Files in every shape that loggers write: the same record, read the same. One test for each nuisance."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import numpy as np
import pytest

from ledger.errors import LogError
from ledger.model.logs import ChannelSpec, Stamp
from tests.logs.made import (
    HEADER,
    INDOOR,
    OUTDOOR,
    Cell,
    LogTraits,
    Truth,
    agrees,
    plain_cell,
    record,
    rows_of,
    spec,
    truth,
    write,
)

KNOWN = truth()
LINES = [HEADER, *rows_of(KNOWN)]


def stamped(form: str) -> list[str]:
    return [HEADER, *rows_of(KNOWN, stamp=form)]


def celled(cell: Cell, header: str = HEADER) -> list[str]:
    return [header, *rows_of(KNOWN, cell=cell)]


# --- bytes ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252", "utf-32", "mac-roman"])
def test_every_encoding_of_the_degree_sign_is_read(tmp_path: Path, encoding: str) -> None:
    write(tmp_path, LINES, encoding=encoding)
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize("sign", ["º", "˚", "Â°", "ï¿½", "�", "¬∞", "deg ", "", "° "])
def test_a_garbled_degree_sign_is_read_past(tmp_path: Path, sign: str) -> None:
    write(tmp_path, [HEADER.replace("°", sign), *LINES[1:]])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize("end", ["\r", "\r\n", "\r\r\n"])
def test_any_line_end_is_read(tmp_path: Path, end: str) -> None:
    (tmp_path / "a.csv").write_bytes(end.join(LINES).encode())
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_nul_bytes_and_a_torn_last_line_are_read_past(tmp_path: Path) -> None:
    text = "\n".join(LINES).encode()
    (tmp_path / "a.csv").write_bytes(text[:3000] + b"\0\0\0" + text[3000:-9] + b"\0" * 50)
    made, _ = record(tmp_path)
    agrees(made, KNOWN, but=1)


# --- cells ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("mark", [";", "\t", "|"])
def test_any_separator_with_decimal_commas_is_read(tmp_path: Path, mark: str) -> None:
    lines = rows_of(KNOWN, separator=mark, cell=lambda v: plain_cell(v).replace(".", ","))
    write(tmp_path, [HEADER.replace(",", mark), *lines])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)
    assert made.figures.files[0].decimal == ","


def test_columns_of_fixed_width_are_read(tmp_path: Path) -> None:
    body = [
        f"{m:%Y-%m-%d %H:%M}    {a:8.1f}   {b:10.1f}"
        for m, a, b in zip(KNOWN.wall(), KNOWN.indoor, KNOWN.outdoor, strict=True)
    ]
    write(tmp_path, ["Time                Inside (°C)  Outside (°C)", *body])
    made, _ = record(tmp_path, spec(time="Time"))
    agrees(made, KNOWN)
    assert made.figures.files[0].separator == "fixed width"


def test_quoted_cells_with_decimal_commas_between_commas_are_read(tmp_path: Path) -> None:
    lines = rows_of(KNOWN, cell=lambda v: '"' + plain_cell(v).replace(".", ",") + '"')
    write(tmp_path, [HEADER, *lines])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize("minus", ["−", "–", "—", "- "])
def test_any_minus_sign_is_a_minus(tmp_path: Path, minus: str) -> None:
    write(tmp_path, celled(lambda v: plain_cell(v).replace("-", minus)))
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize("pad", ["\u00a0{}", "  {}  ", "{}\u00a0", "\t{}", "\u202f{}"])
def test_padding_of_any_kind_of_blank_is_read_past(tmp_path: Path, pad: str) -> None:
    write(tmp_path, celled(lambda v: pad.format(plain_cell(v))))
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize("unit", [" C", "°C", " °C", " degC", "C"])
def test_a_unit_in_each_cell_is_read(tmp_path: Path, unit: str) -> None:
    header = "Time,Inside,Outside"
    write(tmp_path, celled(lambda v: plain_cell(v) + unit, header))
    made, _ = record(tmp_path, spec(channels=(ChannelSpec("indoor", "Inside"), ChannelSpec("outdoor", "Outside"))))
    agrees(made, KNOWN)


@pytest.mark.parametrize(
    "mark", ["--", "---", "", "n/a", "NaN", "Err", "OFL", "OL", "LO", "HI", "NULL", "-.-", "#N/A", "*"]
)
def test_a_mark_of_a_missing_reading_is_no_reading(tmp_path: Path, mark: str) -> None:
    lines = list(LINES)
    for i in range(10, len(lines), 37):
        stamp, _, outdoor = lines[i].split(",")
        lines[i] = f"{stamp},{mark},{outdoor}"
    write(tmp_path, lines)
    made, _ = record(tmp_path)
    agrees(made, KNOWN, tolerance=0.3)
    assert made.figures.hours_valid == 336


@pytest.mark.parametrize(
    "sentinel", ["-999.9", "-9999", "-127", "-127.00", "85.0", "327.67", "65535", "6553.5", "1e30"]
)
def test_a_number_that_means_lost_is_flagged(tmp_path: Path, sentinel: str) -> None:
    lines = list(LINES)
    for i in range(10, len(lines), 37):
        stamp, _, outdoor = lines[i].split(",")
        lines[i] = f"{stamp},{sentinel},{outdoor}"
    write(tmp_path, lines)
    made, _ = record(tmp_path)
    agrees(made, KNOWN, tolerance=0.3)
    assert made.figures.files[0].flagged == len(range(10, len(lines), 37))


def test_zero_on_all_channels_is_a_lost_station(tmp_path: Path) -> None:
    lines = list(LINES)
    for i in range(700, 730):
        lines[i] = lines[i].split(",")[0] + ",0.0,0.0"
    write(tmp_path, lines)
    made, _ = record(tmp_path)
    assert made.figures.files[0].flagged >= 29
    assert 4 <= made.figures.flagged_hours.range + made.figures.flagged_hours.stuck <= 7


def test_thousands_marks_are_understood(tmp_path: Path) -> None:
    sun = ChannelSpec("sun", "Sun (W/m²)")
    body = [f'{line},"{1024 + i % 7:,}.5"' for i, line in enumerate(LINES[1:])]
    write(tmp_path, [HEADER + ",Sun (W/m²)", *body])
    made, _ = record(tmp_path, spec(channels=(INDOOR, OUTDOOR, sun)))
    agrees(made, KNOWN)
    assert 1024 < made.hours["sun"].mean() < 1032


# --- headers -------------------------------------------------------------------------------------------------------


def test_a_row_of_units_names_the_units(tmp_path: Path) -> None:
    write(tmp_path, ["Time,Inside,Outside", "yyyy-mm-dd hh:mm,°C,°C", *LINES[1:]])
    made, _ = record(tmp_path, spec(channels=(ChannelSpec("indoor", "inside"), ChannelSpec("outdoor", "OUT SIDE"))))
    agrees(made, KNOWN)


def test_three_header_rows_are_read(tmp_path: Path) -> None:
    head = ["Station,Bed north,Roof", "Time,Temp,Temp", ",degC,degC"]
    write(tmp_path, [*head, *LINES[1:]])
    channels = (ChannelSpec("indoor", "Bed north"), ChannelSpec("outdoor", "Roof"))
    made, _ = record(tmp_path, spec(channels=channels))
    agrees(made, KNOWN)


def test_a_file_without_header_is_read_by_places(tmp_path: Path) -> None:
    write(tmp_path, LINES[1:])
    channels = (ChannelSpec("indoor", "2", "degC"), ChannelSpec("outdoor", "3", "degC"))
    made, _ = record(tmp_path, spec(channels=channels))
    agrees(made, KNOWN)


def test_lines_above_the_header_are_skipped_whatever_they_hold(tmp_path: Path) -> None:
    head = ["Weather station, model 7", "Exported,2026-02-01 10:00", "Interval,600", "", "Sensors;2", '"Notes, if any"']
    write(tmp_path, [*head, *LINES])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_a_header_that_comes_again_is_refused_as_a_row(tmp_path: Path) -> None:
    write(tmp_path, [*LINES[:500], HEADER, *LINES[500:900], HEADER, *LINES[900:]])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)
    assert made.figures.files[0].refused == 2


def test_notes_and_totals_at_the_end_are_refused(tmp_path: Path) -> None:
    tail = ["", "Minimum,3.1,-12.2", "Maximum,14.0,4.4", "Average:,8.0,-3.0", "End of report 2026-01-19"]
    write(tmp_path, [*LINES, *tail])
    made, notices = record(tmp_path)
    agrees(made, KNOWN)
    assert made.figures.files[0].refused == 4
    assert any(n.code == "log-refused" and str(len(LINES) + 2) in n.text for n in notices)


def test_a_trailing_separator_moves_nothing(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *(line + "," for line in LINES[1:])])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize(
    ("time", "inside", "outside"),
    [
        ("Datum/Uhrzeit", "Innentemperatur [°C]", "Außentemperatur [°C]"),
        ("Date et heure", "Température intérieure (°C)", "Température extérieure (°C)"),
        ("Fecha y hora", "Temp. interior, °C", "Temp. exterior, °C"),
        ("timestamp", "temp_in_c", "temp_out_c"),
        ("%time", "Probe 1 Temp (Celsius)", "Probe 2 Temp (Celsius)"),
        ("Recorded at", "T_in[degC]", "T_out[degC]"),
        ("Time", "Channel 1 C", "Channel 2 C"),
    ],
)
def test_header_languages_and_spellings_of_the_unit_are_read(
    tmp_path: Path, time: str, inside: str, outside: str
) -> None:
    quoted = ",".join(f'"{name}"' for name in (time, inside, outside))
    write(tmp_path, [quoted, *LINES[1:]])
    made, _ = record(tmp_path, spec(channels=(ChannelSpec("indoor", inside), ChannelSpec("outdoor", outside))))
    agrees(made, KNOWN)


def test_the_second_of_two_like_headers_can_be_named(tmp_path: Path) -> None:
    write(tmp_path, ["Time,Temp (°C),Temp (°C)", *LINES[1:]])
    channels = (ChannelSpec("indoor", "Temp (°C)#1"), ChannelSpec("outdoor", "Temp (°C)#2"))
    made, _ = record(tmp_path, spec(channels=channels))
    agrees(made, KNOWN)


def test_least_mean_and_greatest_side_by_side_are_told_apart(tmp_path: Path) -> None:
    body = []
    for line in LINES[1:]:
        stamp, a, b = line.split(",")
        body.append(f"{stamp},{float(a) - 1:.1f},{a},{float(a) + 1:.1f},{b},12.9,71")
    write(tmp_path, ["Time,Inside Min °C,Inside Avg °C,Inside Max °C,Outside °C,Batt V,RH %", *body])
    channels = (ChannelSpec("indoor", "Inside Avg"), ChannelSpec("outdoor", "Outside"))
    made, _ = record(tmp_path, spec(channels=channels))
    agrees(made, KNOWN)


# --- stamps --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "form",
    [
        "%Y-%m-%d %H:%M:%S", "%Y/%m/%d %H:%M", "%d.%m.%Y %H:%M", "%d-%m-%Y %H:%M:%S", "%m/%d/%Y %I:%M %p",
        "%d/%m/%y %H:%M",
        "%m/%d/%y %I:%M:%S %p", "%Y-%m-%dT%H:%M:%S", "%Y%m%d %H%M", "%Y%m%dT%H%M%S", "%Y%m%d%H%M", "%Y%m%d%H%M%S",
        "%d %b %Y %H:%M", "%b %d %Y %H:%M", "%d-%b-%y %H:%M", "%a %d %b %Y %H:%M:%S", "%A %d/%m/%Y %H:%M",
        "%H:%M %d/%m/%Y",
        "%d.%m.%Y %H.%M", "%Y-%m-%d %Hh%M", "%Y-%m-%d_%H:%M", "%Y.%m.%d  %H:%M", "%d.%m.%y, %H:%M Uhr",
        "%y-%m-%d %H:%M",
        "%Y-%m-%d %H:%M:%S.250", "%Y-%m-%d %H:%M:%S,250", "%B %d %Y %H:%M", "%Y年%m月%d日 %H:%M",
    ],
)  # fmt: skip
def test_a_form_of_stamp_is_read(tmp_path: Path, form: str) -> None:
    quoted = [f'"{line.rsplit(",", 2)[0]}",{",".join(line.rsplit(",", 2)[1:])}' for line in stamped(form)[1:]]
    write(tmp_path, [HEADER, *quoted])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_single_digit_days_months_and_hours_are_read(tmp_path: Path) -> None:
    body = [
        f"{m.month}/{m.day}/{m.year} {m.hour}:{m.minute:02d},{a:.1f},{b:.1f}"
        for m, a, b in zip(KNOWN.wall(), KNOWN.indoor, KNOWN.outdoor, strict=True)
    ]
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize(
    ("am", "pm"), [("a.m.", "p.m."), ("AM", "PM"), ("am", "pm"), ("a. m.", "p. m."), ("vorm.", "nachm.")]
)
def test_a_clock_of_twelve_hours_is_read_with_any_mark(tmp_path: Path, am: str, pm: str) -> None:
    body = [
        f"{m:%Y-%m-%d %I:%M} {am if m.hour < 12 else pm},{a:.1f},{b:.1f}"
        for m, a, b in zip(KNOWN.wall(), KNOWN.indoor, KNOWN.outdoor, strict=True)
    ]
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_24_00_is_the_midnight_that_ends_the_day(tmp_path: Path) -> None:
    body = []
    for line, m in zip(LINES[1:], KNOWN.wall(), strict=True):
        if m.hour == 0 and m.minute == 0:
            line = f"{m - timedelta(days=1):%Y-%m-%d} 24:00," + line.split(",", 1)[1]
        body.append(line)
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize("order", [("Date", "Clock"), ("Clock", "Date")])
def test_date_and_clock_in_two_columns_are_joined(tmp_path: Path, order: tuple[str, str]) -> None:
    parts = {"Date": "%d.%m.%Y", "Clock": "%H:%M:%S"}
    form = ",".join(parts[name] for name in order)
    write(tmp_path, [f"{','.join(order)},Inside (°C),Outside (°C)", *rows_of(KNOWN, stamp=form)])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize("factor", [1, 1_000, 1_000_000, 1_000_000_000])
def test_counts_since_1970_of_any_fineness_are_read(tmp_path: Path, factor: int) -> None:
    body = [
        f"{round(m.timestamp()) * factor},{a:.1f},{b:.1f}"
        for m, a, b in zip(KNOWN.utc, KNOWN.indoor, KNOWN.outdoor, strict=True)
    ]
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize("mark", [".", ","])
def test_spreadsheet_day_numbers_are_read(tmp_path: Path, mark: str) -> None:
    zero = datetime(1899, 12, 30)
    body = [
        f"{(m - zero) / timedelta(days=1):.6f}".replace(".", mark) + f";{a:.1f};{b:.1f}".replace(".", mark)
        for m, a, b in zip(KNOWN.wall(), KNOWN.indoor, KNOWN.outdoor, strict=True)
    ]
    write(tmp_path, [HEADER.replace(",", ";"), *body])
    made, _ = record(tmp_path, spec(time="Time"))
    agrees(made, KNOWN)


def test_offsets_with_z_and_mixed_are_read(tmp_path: Path) -> None:
    body = []
    for i, (m, a, b) in enumerate(zip(KNOWN.utc, KNOWN.indoor, KNOWN.outdoor, strict=True)):
        away = (0, 60, -420)[i % 3]
        sign = "Z" if away == 0 else f"{'+' if away > 0 else '-'}{abs(away) // 60:02d}:00"
        body.append(f"{m + timedelta(minutes=away):%Y-%m-%dT%H:%M:%S}{sign},{a:.1f},{b:.1f}")
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


@pytest.mark.parametrize(
    ("clock", "zone"), [("UTC", "UTC"), ("UTC-07:00", "Etc/GMT+7"), ("America/Denver", "America/Denver")]
)
def test_a_clock_named_in_the_ledger_is_obeyed(tmp_path: Path, clock: str, zone: str) -> None:
    write(tmp_path, [HEADER, *rows_of(KNOWN, zone=zone)])
    made, _ = record(tmp_path, spec(clock=clock))
    agrees(made, KNOWN)


def test_a_format_in_the_ledger_settles_what_the_file_cannot(tmp_path: Path) -> None:
    early = truth(first="2026-01-01 00:00", days=11)
    write(tmp_path, [HEADER, *rows_of(early, stamp="%d/%m/%Y %H:%M")])
    made, _ = record(tmp_path, spec(time_format="%d/%m/%Y %H:%M"))
    agrees(made, early)


def test_a_format_of_another_kind_is_followed_to_the_letter(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *rows_of(KNOWN, stamp="day %j of %Y at %H.%M")])
    made, _ = record(tmp_path, spec(time="Time", time_format="day %j of %Y at %H.%M"))
    agrees(made, KNOWN)


def test_a_sister_file_proves_the_order_of_its_likes(tmp_path: Path) -> None:
    lines = rows_of(KNOWN, stamp="%d/%m/%Y %H:%M")
    write(tmp_path, [HEADER, *lines[:500]], name="a.csv")
    write(tmp_path, [HEADER, *lines[500:]], name="b.csv")
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


# --- order of rows -------------------------------------------------------------------------------------------------


def test_blocks_joined_in_any_order_are_sorted(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *LINES[1500:], *LINES[500:1500], *LINES[1:500]])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_overlapping_downloads_fold(tmp_path: Path) -> None:
    write(tmp_path, LINES[:1200], name="a.csv")
    write(tmp_path, [HEADER, *LINES[800:]], name="b.csv")
    made, _ = record(tmp_path)
    agrees(made, KNOWN)
    assert sum(f.duplicate for f in made.figures.files) == 400


def test_like_stamps_with_other_readings_are_averaged_and_told(tmp_path: Path) -> None:
    stamp, a, b = LINES[301].split(",")
    write(tmp_path, [*LINES, f"{stamp},{float(a) + 2:.1f},{b}"])
    made, notices = record(tmp_path)
    assert any(n.code == "log-conflict" for n in notices)
    agrees(made, KNOWN, but=1)
    hour = KNOWN.means()["indoor"].iloc[50]
    assert made.hours["indoor"].iloc[50] == pytest.approx(hour + 1 / 6)


def test_an_interval_that_changes_midway_loses_no_hour(tmp_path: Path) -> None:
    fine = truth(days=3, minutes=1)
    lines = rows_of(fine)
    write(tmp_path, [HEADER, *lines[:2000], *lines[2000::15]])
    made, _ = record(tmp_path)
    agrees(made, fine, tolerance=0.3)
    assert made.figures.hours_valid == 72


def test_rows_that_stand_only_on_change_are_held(tmp_path: Path) -> None:
    """Whole degrees each minute, smooth: a row stands only where either channel changed. Held, no hour is missing but
    those where nothing changed for over three hours; a plain mean of the rows would be off by a degree."""
    fine = truth(days=4, minutes=1)
    hours = np.arange(len(fine.utc)) / 60
    indoor = np.round(8 - 6 * np.cos(2 * np.pi * (hours - 4) / 24))
    outdoor = np.round(-3 - 8 * np.cos(2 * np.pi * (hours - 3) / 24))
    known = Truth(fine.utc, indoor, outdoor)
    kept, last = [], ""
    for line in rows_of(known):
        if line.split(",", 1)[1] != last:
            kept.append(line)
            last = line.split(",", 1)[1]
    write(tmp_path, [HEADER, *kept])
    made, notices = record(tmp_path)
    assert any("only where a value changed" in n.text for n in notices)
    assert made.figures.hours_valid >= 92
    means = known.means()
    assert (made.hours["indoor"] - means["indoor"]).abs().max() < 0.1


def test_a_hole_in_a_record_of_mixed_intervals_is_a_hole(tmp_path: Path) -> None:
    """Readings to a thousandth never repeat; that does not make them rows on change, held over three hours."""
    fine = truth(days=3, minutes=1, digits=3)
    lines = rows_of(fine, cell=lambda v: f"{v:.3f}")
    write(tmp_path, [HEADER, *lines[:1500], *lines[1695:2000], *lines[2000::15]])
    made, _ = record(tmp_path)
    assert made.figures.flagged_hours.gap >= 3


@pytest.mark.parametrize("seconds", [[59, 60, 61], [-40, 0, 38, 12]])
def test_stamps_that_waver_lose_no_hour(tmp_path: Path, seconds: list[int]) -> None:
    body = [
        f"{m + timedelta(seconds=seconds[i % len(seconds)]):%Y-%m-%d %H:%M:%S},{a:.1f},{b:.1f}"
        for i, (m, a, b) in enumerate(zip(KNOWN.wall(), KNOWN.indoor, KNOWN.outdoor, strict=True))
    ]
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path)
    assert made.figures.hours_valid >= 336
    assert abs(made.hours["indoor"] - KNOWN.means()["indoor"]).max() < 0.5


def test_hourly_stamps_that_waver_about_the_hour_lose_none(tmp_path: Path) -> None:
    hourly = truth(minutes=60)
    body = [
        f"{m + timedelta(seconds=(-3, 0, 2, -1, 1)[i % 5]):%Y-%m-%d %H:%M:%S},{a:.1f},{b:.1f}"
        for i, (m, a, b) in enumerate(zip(hourly.wall(), hourly.indoor, hourly.outdoor, strict=True))
    ]
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path)
    agrees(made, hourly)


def test_stamps_at_the_end_of_their_interval_belong_to_the_hour_before(tmp_path: Path) -> None:
    hourly = truth(minutes=60)
    body = [
        f"{m + timedelta(hours=1):%Y-%m-%d %H:%M},{a:.1f},{b:.1f}"
        for m, a, b in zip(hourly.wall(), hourly.indoor, hourly.outdoor, strict=True)
    ]
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path, spec(stamp=Stamp.END))
    assert np.allclose(made.hours["indoor"].dropna().iloc[:300], hourly.indoor[:300])
    assert made.hours.index[0] == hourly.means().index[0]


# --- several files and sections ------------------------------------------------------------------------------------


def test_files_of_other_makers_in_one_pattern_make_one_record(tmp_path: Path) -> None:
    half = len(LINES) // 2
    write(tmp_path, LINES[:half], name="old.csv")
    fahrenheit = rows_of(
        KNOWN, stamp="%d.%m.%Y %H:%M", separator=";", cell=lambda v: f"{v * 1.8 + 32:.2f}".replace(".", ",")
    )
    write(tmp_path, ["Time;Inside (°F);Outside (°F)", *fahrenheit[half - 1 :]], name="new.csv")
    channels = (ChannelSpec("indoor", "Inside"), ChannelSpec("outdoor", "Outside"))
    made, _ = record(tmp_path, spec(channels=channels))
    agrees(made, KNOWN, tolerance=1e-9)


def test_sections_of_several_loggers_make_one_record(tmp_path: Path) -> None:
    write(tmp_path, [line.rsplit(",", 1)[0] for line in LINES], name="in.csv")
    body = [f"{m:%m/%d/%Y %I:%M %p}\t{b:.1f}" for m, b in zip(KNOWN.wall(), KNOWN.outdoor, strict=True)]
    write(tmp_path, ["When\tTemp C", *body], name="out.csv")
    first = spec(file="in.csv", channels=(INDOOR,))
    second = spec(file="out.csv", channels=(ChannelSpec("outdoor", "Temp C"),))
    made, _ = record(tmp_path, first, second)
    agrees(made, KNOWN)


# --- what exports do besides ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("head", ["Time (UTC)", "timestamp_utc", "Date Time, GMT+00:00", "UTC"])
def test_a_time_header_that_names_its_clock_is_believed_and_told(tmp_path: Path, head: str) -> None:
    write(tmp_path, [f'"{head}",Inside (°C),Outside (°C)', *rows_of(KNOWN, zone="UTC")])
    made, notices = record(tmp_path)
    agrees(made, KNOWN)
    assert any(n.code == "log-clock" for n in notices)


def test_a_time_header_with_an_offset_is_believed(tmp_path: Path) -> None:
    write(tmp_path, ['"Date Time, GMT-07:00",Inside (°C),Outside (°C)', *rows_of(KNOWN, zone="Etc/GMT+7")])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_a_clock_in_the_ledger_outrules_the_header(tmp_path: Path) -> None:
    write(tmp_path, ["Time (UTC),Inside (°C),Outside (°C)", *rows_of(KNOWN)])
    made, _ = record(tmp_path, spec(clock="Europe/Rome"))
    agrees(made, KNOWN)


def test_a_midnight_without_its_clock_is_a_midnight(tmp_path: Path) -> None:
    """Some exports drop 00:00 where it is midnight."""
    write(tmp_path, [HEADER, *(line.replace(" 00:00,", ",") for line in LINES[1:])])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_daily_means_between_the_rows_are_no_midnights(tmp_path: Path) -> None:
    body = []
    for line in LINES[1:]:
        if " 00:00," in line:
            body.append(line.split(" ")[0] + ",99.0,99.0")
        body.append(line)
    write(tmp_path, [HEADER, *body])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)
    assert made.figures.files[0].refused == 14


def test_a_note_behind_the_last_column_costs_no_row(tmp_path: Path) -> None:
    write(tmp_path, [line + ",battery low" if i % 50 == 9 else line for i, line in enumerate(LINES)])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)
    assert made.figures.files[0].refused == 0


def test_a_date_and_a_whole_hour_in_two_columns_are_joined(tmp_path: Path) -> None:
    hourly = truth(minutes=60)
    write(tmp_path, ["Date,Hour,Inside (°C),Outside (°C)", *rows_of(hourly, stamp="%Y-%m-%d,%H")])
    made, _ = record(tmp_path, spec(time="Date + Hour"))
    agrees(made, hourly)


def test_a_hint_of_the_separator_in_the_first_line_is_skipped(tmp_path: Path) -> None:
    lines = rows_of(KNOWN, separator=";")
    write(tmp_path, ["sep=;", HEADER.replace(",", ";"), *lines])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_a_header_behind_a_hash_is_a_header(tmp_path: Path) -> None:
    write(tmp_path, ["# made by our logger", "#Time,Inside (°C),Outside (°C)", *LINES[1:]])
    made, _ = record(tmp_path, spec(time="Time"))
    agrees(made, KNOWN)


@pytest.mark.parametrize("override", [{"separator": ","}, {"decimal": "."}, {"header": 1}, {"encoding": "utf-8"}])
def test_what_the_ledger_states_is_obeyed(tmp_path: Path, override: LogTraits) -> None:
    write(tmp_path, LINES)
    made, _ = record(tmp_path, spec(**override))
    agrees(made, KNOWN)


def test_a_log_of_a_handful_of_rows_is_read(tmp_path: Path) -> None:
    write(tmp_path, LINES[:8])
    made, _ = record(tmp_path)
    assert made.figures.files[0].used == 7
    assert made.figures.hours_valid == 1


def test_a_folder_with_brackets_in_its_name_is_read(tmp_path: Path) -> None:
    folder = tmp_path / "logs [old] (1)"
    folder.mkdir()
    write(folder, LINES)
    made, _ = record(folder)
    agrees(made, KNOWN)


def test_a_station_called_na_is_a_station(tmp_path: Path) -> None:
    body = ["NA," + line for line in LINES[1:]]
    write(tmp_path, ["Station," + HEADER, *body])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_battery_volts_read_as_a_temperature_are_told(tmp_path: Path) -> None:
    write(tmp_path, [HEADER + ",Battery (V)", *(f"{line},{12.4 + i % 7 / 10:.1f}" for i, line in enumerate(LINES[1:]))])
    _, notices = record(tmp_path, spec(channels=(INDOOR, ChannelSpec("outdoor", "Battery (V)", "degC"))))
    assert any(n.code == "log-unit" for n in notices)


@pytest.mark.parametrize("name", ["Jan", "janv.", "gennaio", "Januar", "ene", "tammi", "STY", "janeiro", "января"])
def test_a_month_by_its_name_in_a_language(tmp_path: Path, name: str) -> None:
    """Names that are not known are refused, never guessed."""
    body = [
        f"{m.day} {name} {m:%Y %H:%M},{a:.1f},{b:.1f}"
        for m, a, b in zip(KNOWN.wall(), KNOWN.indoor, KNOWN.outdoor, strict=True)
    ]
    write(tmp_path, [HEADER, *body])
    if name == "января":
        with pytest.raises(LogError):
            record(tmp_path)
        return
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_a_header_parted_by_another_mark_than_the_data_is_read(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *(line.replace(",", ";") for line in LINES[1:])])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_a_quoted_header_over_several_lines_is_read(tmp_path: Path) -> None:
    write(tmp_path, ['Time,"Inside', '(°C)","Outside', '(°C)"', *LINES[1:]])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)


def test_a_first_row_without_its_stamp_hides_no_header(tmp_path: Path) -> None:
    torn = "," + LINES[1].split(",", 1)[1]
    write(tmp_path, [HEADER, torn, *LINES[2:]])
    made, _ = record(tmp_path)
    assert made.figures.files[0].refused == 1
    assert made.figures.files[0].used == len(LINES) - 2


def test_a_summary_that_begins_with_a_date_is_refused(tmp_path: Path) -> None:
    write(tmp_path, [*LINES, "2026-01-19 Summary,8.0,-3.0", "Total rows: 2016"])
    made, _ = record(tmp_path)
    agrees(made, KNOWN)
    assert made.figures.files[0].refused == 2


def test_an_export_with_numbered_rows_serial_numbers_and_events_is_read(tmp_path: Path) -> None:
    """Row numbers before the stamp, its clock in the header, serial numbers in the others, an event row last."""
    inside, outside = "Temp, °C (serial 1, label: Inside)", "Temp, °C (serial 2, label: Outside)"
    head = ['"Title: north bed"', f'"#","Date Time, GMT+01:00","{inside}","{outside}","Stopped"']
    body = [
        f"{i},{m:%m/%d/%y %I:%M:%S %p},{a:.1f},{b:.1f},"
        for i, (m, a, b) in enumerate(zip(KNOWN.wall(), KNOWN.indoor, KNOWN.outdoor, strict=True), 1)
    ]
    write(tmp_path, [*head, *body, "2017,01/19/26 12:00:03 AM,,,Logged"])
    made, _ = record(tmp_path, spec(channels=(ChannelSpec("indoor", inside), ChannelSpec("outdoor", outside))))
    agrees(made, KNOWN)
    assert made.figures.files[0].refused == 1
