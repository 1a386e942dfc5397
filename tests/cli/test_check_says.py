"""What `check` says of columns that nothing took, of a store without its probe, of a log from before the build."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from ledger.cli.commands import app
from tests.since.farm import LEDGER, farm

SECOND = """
[[log]]
file = "log.csv"
water = { column = "Probe 2", unit = "degC" }
"""
STORE = """
[[store]]
name = "tank"
build = "air tubes"
channel = "water"
volume = "4 m3"
"""


def said_by_check(folder: Path, ledger: str) -> str:
    path = farm(folder, ledger)
    rows = (folder / "log.csv").read_text(encoding="utf-8").splitlines()
    more = [rows[0] + ",Probe 2,Battery", *(f"{row},15.0,3.1" for row in rows[1:])]
    (folder / "log.csv").write_text("\n".join(more) + "\n", encoding="utf-8")
    answer = CliRunner().invoke(app, ["check", str(path)], env={"COLUMNS": "80"})
    assert answer.exit_code == 0, answer.output
    return " ".join(answer.output.split())


def test_the_columns_that_nothing_took_are_named(tmp_path: Path) -> None:
    assert "columns not read: Probe 2, Battery" in said_by_check(tmp_path, LEDGER)


def test_a_column_that_another_section_takes_is_not_left_over(tmp_path: Path) -> None:
    said = said_by_check(tmp_path, LEDGER + SECOND)
    assert said.count("columns not read") == 1
    assert "columns not read: Battery" in said


def test_a_store_whose_probe_is_not_named_is_told_what_to_type(tmp_path: Path) -> None:
    assert 'name its column under [[log]], water = { column = "..." }' in said_by_check(tmp_path, LEDGER + STORE)


@pytest.mark.parametrize(("paid", "told"), [("2025-06-11", False), ("2026-06-11", True)])
def test_a_log_from_before_the_build_is_told_by_the_check_too(tmp_path: Path, paid: str, told: bool) -> None:
    """The log ends on 31 January 2026."""
    said = said_by_check(tmp_path, LEDGER.replace("date = 2025-06-11", f"date = {paid}"))
    assert ("The log ends before any build was there" in said) is told


@pytest.mark.parametrize(("zone", "here"), [("Europe/Rome", "UTC+01:00"), ("America/Denver", "UTC-07:00")])
def test_a_clock_without_summer_time_is_told_what_to_type_at_its_own_place(
    tmp_path: Path, zone: str, here: str
) -> None:
    """All hours of March 2026, those skipped on the 8th and the 29th too."""
    path = farm(tmp_path, LEDGER.replace("Europe/Rome", zone))
    rows = [f"2026-03-{1 + hour // 24:02d} {hour % 24:02d}:00,6.0,-5.{hour % 10}" for hour in range(31 * 24)]
    (tmp_path / "log.csv").write_text("\n".join(["Time,In,Out", *rows, ""]), encoding="utf-8")
    answer = CliRunner().invoke(app, ["check", str(path)], env={"COLUMNS": "80"})
    assert answer.exit_code == 2
    assert f'clock = "standard" in this [[log]] (here {here})' in " ".join(answer.output.split())
