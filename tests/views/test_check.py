"""The check draws the days, names every hole with its cost, and says how each file was read."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime

import pandas as pd
import pytest

from ledger.model.values import MonthDay, Window
from ledger.series.holes import days_of, holes_of, in_window
from ledger.series.record import HourlyRecord
from ledger.views.checked import Checked, checked_document, checked_lines
from ledger.views.screen import Screen, Signs
from ledger.views.text import cell_width
from tests.views.example import example, example_record

WINTER = Window(MonthDay(10, 1), MonthDay(4, 30))


def checked(record: HourlyRecord | None = None) -> Checked:
    whole = example()
    return Checked(whole.program, whole.identity, whole.source, record, whole.assumed, whole.warnings)


def test_a_whole_day_a_day_in_part_and_a_lost_day_are_told_apart() -> None:
    """Ten days of 24 hours; the fourth lost wholly, the sixth six hours."""
    days = days_of(example_record())
    assert [one.hours for one in days] == [24] * 10
    assert [one.hours_valid for one in days] == [24, 24, 24, 0, 24, 18, 24, 24, 24, 24]


def test_every_hole_is_named_with_its_hours_and_reason() -> None:
    first, second = holes_of(example_record(), season=WINTER)
    assert (first.hours, first.hours_in_season, first.reason) == (24, 24, "stuck")
    assert (second.hours, second.hours_in_season, second.reason) == (6, 6, "gap")
    assert first.begins.replace(tzinfo=None) == datetime(2025, 12, 4, 0)
    assert second.ends.replace(tzinfo=None) == datetime(2025, 12, 6, 6)


def test_a_hole_outside_the_season_costs_nothing() -> None:
    summer = Window(MonthDay(5, 1), MonthDay(9, 30))
    assert [hole.hours_in_season for hole in holes_of(example_record(), season=summer)] == [0, 0]


def test_a_record_without_an_outdoor_channel_is_one_hole() -> None:
    record = example_record()
    alone = replace(record, hours=record.hours[["indoor"]])
    (hole,) = holes_of(alone, season=WINTER)
    assert hole.hours == 240


@pytest.mark.parametrize(
    ("day", "inside"),
    [(date(2025, 10, 1), True), (date(2025, 12, 31), True), (date(2026, 4, 30), True), (date(2026, 5, 1), False),
     (date(2025, 9, 30), False)],
)  # fmt: skip
def test_a_season_over_the_new_year_holds_both_its_ends(day: date, inside: bool) -> None:
    assert in_window(day, WINTER) is inside


def test_the_calendar_has_one_mark_a_day_in_place() -> None:
    lines = checked_lines(checked(example_record()), screen=Screen(80, Signs.ASCII))
    assert "2025-12 ###.#+####" in lines


@pytest.mark.parametrize("width", [40, 80])
def test_no_line_is_wider_than_the_screen(width: int) -> None:
    lines = checked_lines(checked(example_record()), screen=Screen(width))
    assert max(cell_width(line) for line in lines) <= width


def test_the_files_decisions_and_the_losses_are_said() -> None:
    text = "\n".join(checked_lines(checked(example_record()), screen=Screen(80)))
    for words in ("station.csv: 240 rows: 216 used, 24 set aside", "columns parted by comma", "%Y-%m-%d %H:%M",
                  "30 hours of the hold season", "with a reading that froze"):  # fmt: skip
        assert words in text


def test_a_ledger_without_a_log_is_checked_too() -> None:
    text = "\n".join(checked_lines(checked(), screen=Screen(80)))
    assert "names no log" in text


def test_the_document_for_scripts_carries_log_assumptions_and_warnings() -> None:
    document = checked_document(checked(example_record()))
    assert list(document) == ["schema", "program", "ledger", "log", "assumed", "warnings"]
    assert document["log"]["hours_valid"] == 210


def test_days_follow_the_clock_of_the_site_when_it_changes() -> None:
    """On 2025-10-26 Rome's day has 25 hours: from 22:00 UTC the day before to 23:00 UTC."""
    index = pd.date_range("2025-10-25 22:00", periods=49, freq="h", tz="UTC")
    hours = pd.DataFrame({"indoor": 5.0, "outdoor": 1.0}, index=index)
    record = replace(example_record(), hours=hours, reason=pd.Series("", index=index), timezone="Europe/Rome")
    assert [one.hours for one in days_of(record)] == [25, 24]
