"""The hour that comes twice in autumn and the one that is skipped in spring, on any kind of clock."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.series.cover import cover_by_day
from tests.logs.made import HEADER, Truth, agrees, record, rows_of, spec, truth, write

AUTUMN = truth(first="2025-10-22 00:00", days=8)
SPRING = truth(first="2026-03-25 00:00", days=8)
ZONES = [("local", "Europe/Rome"), ("standard", "Etc/GMT-1"), ("UTC", "UTC"), ("UTC-07:00", "Etc/GMT+7")]


@pytest.mark.parametrize("known", [AUTUMN, SPRING], ids=["autumn", "spring"])
@pytest.mark.parametrize(("clock", "zone"), ZONES)
def test_a_week_with_a_clock_change_has_every_hour(tmp_path: Path, known: Truth, clock: str, zone: str) -> None:
    write(tmp_path, [HEADER, *rows_of(known, zone=zone)])
    made, _ = record(tmp_path, spec(clock=clock))
    agrees(made, known)
    assert made.figures.hours_valid == 192


@pytest.mark.parametrize("minutes", [1, 15, 30, 60])
def test_the_doubled_hour_is_parted_at_any_interval(tmp_path: Path, minutes: int) -> None:
    known = truth(first="2025-10-25 00:00", days=2, minutes=minutes)
    write(tmp_path, [HEADER, *rows_of(known)])
    made, _ = record(tmp_path)
    agrees(made, known)


def test_the_doubled_hour_is_parted_with_the_newest_row_first(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *reversed(rows_of(AUTUMN))])
    made, _ = record(tmp_path)
    agrees(made, AUTUMN)


def test_the_doubled_hour_is_parted_in_each_of_two_overlapping_downloads(tmp_path: Path) -> None:
    lines = rows_of(AUTUMN)
    write(tmp_path, [HEADER, *lines[:800]], name="a.csv")
    write(tmp_path, [HEADER, *lines[500:]], name="b.csv")
    made, _ = record(tmp_path)
    agrees(made, AUTUMN)


def test_a_doubled_hour_that_stands_once_is_read_as_its_first_pass_and_told(tmp_path: Path) -> None:
    """Stations that file by wall clock keep one pass only: an hour is missing, and bridged."""
    lines = rows_of(AUTUMN)
    place = next(i for i, line in enumerate(lines) if line.startswith("2025-10-26 02:00"))
    write(tmp_path, [HEADER, *lines[: place + 6], *lines[place + 12 :]])
    made, notices = record(tmp_path)
    assert any("comes twice" in n.text for n in notices)
    agrees(made, AUTUMN, but=1)
    assert made.figures.flagged_hours.bridged == 1


def test_a_clock_set_late_in_spring_is_read_on(tmp_path: Path) -> None:
    """Three rows still on winter time, then the clock jumps by an hour."""
    lines = rows_of(SPRING)
    place = next(i for i, line in enumerate(lines) if line.startswith("2026-03-29 03:00"))
    for i in range(place, place + 3):
        lines[i] = lines[i].replace("2026-03-29 03:", "2026-03-29 02:")
    write(tmp_path, [HEADER, *lines])
    made, notices = record(tmp_path)
    agrees(made, SPRING)
    assert any(n.code == "log-clock" for n in notices)


def test_a_zone_south_of_the_equator_changes_the_other_way(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *rows_of(AUTUMN, zone="America/Santiago")])
    made, _ = record(tmp_path, spec(clock="America/Santiago"))
    agrees(made, AUTUMN)


def test_days_of_clock_changes_have_23_and_25_hours_in_the_calendar(tmp_path: Path) -> None:
    write(tmp_path, [HEADER, *rows_of(AUTUMN)], name="a.csv")
    made, _ = record(tmp_path)
    days = cover_by_day(made)
    assert days["hours"].tolist() == [24, 24, 24, 24, 25, 24, 24, 23]
    assert (days["share"] == 1.0).all()


def test_the_calendar_names_what_each_hole_is_from(tmp_path: Path) -> None:
    lines = rows_of(AUTUMN)
    write(tmp_path, [HEADER, *lines[:150], *lines[300:]])
    made, _ = record(tmp_path)
    days = cover_by_day(made)
    assert days["reason"].tolist()[1:3] == ["gap", "gap"]
    assert days["lost"].sum() == 25
    assert days["valid"].sum() == made.figures.hours_valid


@pytest.mark.parametrize("minutes", [10, 60])
def test_a_file_that_holds_every_row_twice_is_no_second_pass(tmp_path: Path, minutes: int) -> None:
    """One pass of the doubled hour, each row copied: the other pass is missing, and bridged."""
    known = truth(first="2025-10-25 00:00", days=3, minutes=minutes)
    lines = rows_of(known)
    once = [line for i, line in enumerate(lines) if line.split(",")[0] not in {x.split(",")[0] for x in lines[:i]}]
    write(tmp_path, [HEADER, *(line for line in once for _ in range(2))])
    made, notices = record(tmp_path)
    assert any("comes twice" in n.text for n in notices)
    agrees(made, known, but=1)
