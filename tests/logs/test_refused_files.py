"""What a file cannot prove is asked for; what cannot be read is refused, with the line and the mend."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.errors import Complaint, LogError
from ledger.intake.log_files import read_logs
from ledger.model.logs import ChannelSpec, LogSpec
from tests.logs.made import HEADER, INDOOR, OUTDOOR, ROME, LogTraits, plain_cell, rows_of, spec, truth, write

EARLY = truth(first="2026-01-01 00:00", days=11)
KNOWN = truth(days=10)
LINES = [HEADER, *rows_of(KNOWN)]


def refused(folder: Path, *specs: LogSpec) -> tuple[Complaint, ...]:
    with pytest.raises(LogError) as caught:
        read_logs(specs or (spec(),), folder=folder, site_timezone=ROME)
    for complaint in caught.value.complaints:
        assert complaint.what
        assert complaint.mend
        assert complaint.place.file
    return caught.value.complaints


@pytest.mark.parametrize(
    ("form", "choices"),
    [
        ("%d/%m/%Y %H:%M", ("%d/%m/%Y %H:%M", "%m/%d/%Y %H:%M")),
        ("%m.%d.%y %I:%M %p", ("%d.%m.%y %I:%M %p", "%m.%d.%y %I:%M %p")),
    ],
)
def test_day_or_month_first_is_asked_with_the_lines_to_write(
    tmp_path: Path, form: str, choices: tuple[str, ...]
) -> None:
    write(tmp_path, [HEADER, *rows_of(EARLY, stamp=form)])
    (complaint,) = refused(tmp_path)
    for choice in choices:
        assert f'time_format = "{choice}"' in complaint.mend
    for choice in choices:
        read_logs([spec(time_format=choice)], folder=tmp_path, site_timezone=ROME)


def test_a_format_that_the_dates_contradict_is_refused(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *rows_of(KNOWN, stamp="%d/%m/%Y %H:%M")])
    (complaint,) = refused(tmp_path, spec(time_format="%m/%d/%Y %H:%M"))
    assert "%m/%d/%Y %H:%M" in complaint.what


def test_a_missing_unit_is_asked_for_each_channel(tmp_path: Path) -> None:
    write(tmp_path, ["Time,Inside,Outside", *LINES[1:]])
    complaints = refused(tmp_path, spec(channels=(ChannelSpec("indoor", "Inside"), ChannelSpec("outdoor", "Outside"))))
    assert len(complaints) == 2
    assert 'indoor = { column = "Inside", unit = "degC" }' in complaints[0].mend


@pytest.mark.parametrize("names", [("Probe C", "Probe F"), ("Sensor 1", "Sensor 2"), ("Bed K", "Roof")])
def test_a_letter_that_may_name_the_probe_is_no_unit(tmp_path: Path, names: tuple[str, str]) -> None:
    write(tmp_path, [",".join(("Time", *names)), *LINES[1:]])
    channels = (ChannelSpec("indoor", names[0]), ChannelSpec("outdoor", names[1]))
    assert all("unit" in c.mend for c in refused(tmp_path, spec(channels=channels)))


def test_two_columns_of_one_name_are_asked_apart(tmp_path: Path) -> None:
    write(tmp_path, ["Time,Temp (°C),Temp (°C)", *LINES[1:]])
    complaints = refused(tmp_path, spec(channels=(ChannelSpec("indoor", "Temp (°C)"),)))
    assert 'indoor = { column = "Temp (°C)#1" }' in complaints[0].mend


def test_a_column_that_is_not_there_names_the_nearest(tmp_path: Path) -> None:
    write(tmp_path, LINES)
    complaints = refused(tmp_path, spec(channels=(ChannelSpec("indoor", "Indise (°C)"), OUTDOOR)))
    assert 'indoor = { column = "Inside (°C)" }' in complaints[0].mend
    assert complaints[0].place.line == 1


def test_several_columns_of_time_are_asked_apart(tmp_path: Path) -> None:
    body = [line.split(",")[0] + "," + line for line in LINES[1:]]
    write(tmp_path, ["Time (UTC)," + HEADER.replace("Time", "Time (local)"), *body])
    (complaint,) = refused(tmp_path)
    assert 'time = "Time (UTC)"' in complaint.mend


def test_a_comma_that_both_parts_and_marks_decimals_is_refused(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *rows_of(KNOWN, cell=lambda v: plain_cell(v).replace(".", ","))])
    (complaint,) = refused(tmp_path)
    assert complaint.place.line == 2
    assert "semicolon" in complaint.mend


def test_a_comma_that_now_and_then_marks_decimals_is_refused(tmp_path: Path) -> None:
    lines = rows_of(KNOWN, cell=lambda v: f"{v:.0f}" if abs(v - round(v)) < 0.35 else plain_cell(v).replace(".", ","))
    write(tmp_path, [HEADER, *lines])
    assert refused(tmp_path)


def test_numbers_that_may_be_thousands_or_thousandths_are_asked(tmp_path: Path) -> None:
    lines = rows_of(KNOWN, separator=";", cell=lambda v: f"{abs(v) + 1:.3f}".replace(".", ","))
    write(tmp_path, [HEADER.replace(",", ";"), *lines])
    (complaint,) = refused(tmp_path)
    assert 'decimal = ","' in complaint.mend
    read_logs([spec(decimal=",")], folder=tmp_path, site_timezone=ROME)


def test_a_unit_that_changes_midway_is_refused_at_its_line(tmp_path: Path) -> None:
    warm = rows_of(KNOWN, cell=lambda v: f"{v * 1.8 + 32:.1f}")
    write(tmp_path, [*LINES[:600], *warm[599:]])
    (complaint,) = refused(tmp_path)
    assert complaint.place.line == 601
    assert "unit" in complaint.what


def test_a_header_that_comes_again_with_other_columns_is_refused_at_its_line(tmp_path: Path) -> None:
    swapped = [",".join((line.split(",")[0], *reversed(line.split(",")[1:]))) for line in LINES[500:]]
    write(tmp_path, [*LINES[:500], "Time,Outside (°C),Inside (°C)", *swapped])
    (complaint,) = refused(tmp_path)
    assert complaint.place.line == 501


def test_a_header_that_comes_again_in_another_unit_is_refused_at_its_line(tmp_path: Path) -> None:
    write(tmp_path, [*LINES[:500], HEADER.replace("°C", "°F"), *LINES[500:]])
    (complaint,) = refused(tmp_path)
    assert complaint.place.line == 501


@pytest.mark.parametrize("factor", [20.0, 400.0])
def test_a_column_whose_header_lies_is_refused(tmp_path: Path, factor: float) -> None:
    lines = [f"{line},{abs(hash(line)) % 97 * factor / 2:.1f}" for line in LINES[1:]]
    write(tmp_path, [HEADER + ",Roof temp (°C)", *lines])
    (complaint,) = refused(tmp_path, spec(channels=(INDOOR, ChannelSpec("outdoor", "Roof temp (°C)"))))
    assert "cannot be" in complaint.what


def test_humidity_taken_for_temperature_is_refused(tmp_path: Path) -> None:
    lines = [f"{line},{55 + i % 45}" for i, line in enumerate(LINES[1:])]
    write(tmp_path, [HEADER + ",RH %", *lines])
    assert refused(tmp_path, spec(channels=(INDOOR, ChannelSpec("outdoor", "RH %", "degC"))))


def test_a_missing_file_names_the_pattern_and_what_lies_near(tmp_path: Path) -> None:
    write(tmp_path, LINES, name="station-2026.csv")
    (complaint,) = refused(tmp_path, spec(file="logs/station-*.csv", line=44))
    assert "logs/station-*.csv" in complaint.what
    assert "station-2026.csv" in complaint.mend
    assert complaint.place.line == 44


@pytest.mark.parametrize(
    "text", ["", "\n\n", "\0\0\0", "hello", "Time,Inside (°C),Outside (°C)\n", "{}", "<html></html>", "PK\x03\x04\x14"]
)
def test_a_file_without_a_reading_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "a.csv").write_text(text, encoding="utf-8")
    assert refused(tmp_path)


def test_a_clock_that_ignores_summer_time_is_found_out_in_spring(tmp_path: Path) -> None:
    spring = truth(first="2026-03-26 00:00", days=6)
    write(tmp_path, [HEADER, *rows_of(spring, zone="Etc/GMT-1")])
    (complaint,) = refused(tmp_path)
    assert 'clock = "standard"' in complaint.mend
    read_logs([spec(clock="standard")], folder=tmp_path, site_timezone=ROME)


@pytest.mark.parametrize("clock", ["Europe/Rom", "noon", "UTC+99"])
def test_a_clock_of_no_known_name_is_refused(tmp_path: Path, clock: str) -> None:
    write(tmp_path, LINES)
    (complaint,) = refused(tmp_path, spec(clock=clock))
    assert 'clock = "local"' in complaint.mend


def test_watts_without_a_unit_are_asked_for(tmp_path: Path) -> None:
    write(tmp_path, [HEADER + ",Fan", *(f"{line},{90 * (i % 3)}" for i, line in enumerate(LINES[1:]))])
    (complaint,) = refused(tmp_path, spec(channels=(INDOOR, OUTDOOR, ChannelSpec("fan", "Fan"))))
    assert 'fan = { column = "Fan", unit =' in complaint.mend


def test_light_is_not_heat(tmp_path: Path) -> None:
    write(tmp_path, [HEADER + ",Light (klx)", *(f"{line},{i % 40}" for i, line in enumerate(LINES[1:]))])
    assert refused(tmp_path, spec(channels=(INDOOR, OUTDOOR, ChannelSpec("sun", "Light (klx)"))))


@pytest.mark.parametrize(
    "given", [{"encoding": "klingon"}, {"separator": "abc"}, {"decimal": "x"}, {"header": 999_999}, {"time": "Tim"}]
)
def test_an_override_that_cannot_be_is_refused(tmp_path: Path, given: LogTraits) -> None:
    write(tmp_path, LINES)
    assert refused(tmp_path, spec(**given))


def test_complaints_of_all_sections_come_in_one_go(tmp_path: Path) -> None:
    write(tmp_path, ["Time,Inside,Outside", *LINES[1:]], name="a.csv")
    bad = spec(file="a.csv", channels=(ChannelSpec("indoor", "Inside"), ChannelSpec("outdoor", "Out")))
    assert len(refused(tmp_path, bad, spec(file="none.csv"))) >= 2


def test_a_header_of_thousands_of_cells_is_refused_at_its_line(tmp_path: Path) -> None:
    """Found by fuzzing: a header that had run together three thousand times took long and was named cell by cell."""
    write(tmp_path, [",".join([HEADER] * 3000), *LINES[1:]])
    (complaint,) = refused(tmp_path)
    assert complaint.place.line == 1
    assert len(complaint.what) < 100


def test_many_columns_of_one_name_are_named_by_their_first_places(tmp_path: Path) -> None:
    rows = [line.split(",")[0] + ",5.1" * 40 for line in LINES[1:]]
    write(tmp_path, [",".join(["Time", *["Inside (°C)"] * 40]), *rows])
    complaint = refused(tmp_path, spec(channels=(INDOOR,)))[0]
    assert "and 28 more" in complaint.what


def test_dates_strewn_over_a_century_are_refused(tmp_path: Path) -> None:
    """Found by fuzzing: damaged years, a few rows in each, made a record of ninety years with next to nothing in it."""
    lines = [f"{2005 + (i // 15) % 90}{line[4:]}" for i, line in enumerate(LINES[1:])]
    write(tmp_path, [HEADER, *lines])
    (complaint,) = refused(tmp_path)
    assert "2005" in complaint.what
    assert "time_format" in complaint.mend
