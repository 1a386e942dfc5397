"""A log too short for any month, or a climate and no expected share: no saving is known, and every paper says why."""

from __future__ import annotations

import io
import json
from datetime import datetime, timedelta
from math import cos, pi
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

import ledger
from ledger.appraisal import Appraisal
from ledger.views.answer import answer_lines
from ledger.views.compare_screen import compare_lines
from ledger.views.json_view import appraisal_document, to_bytes
from ledger.views.report import report_bytes
from ledger.views.screen import Screen
from ledger.views.workbook import workbook_bytes
from tests.known import known
from tests.small_house import GABLE, SITE

FARM = f"""{SITE}{GABLE}cover = "double PE film"
[hold]
temperature = "5 degC"
[[build]]
name = "buried air tubes"
[[build.item]]
date = 2025-06-11
what = "excavation"
amount = 3850
[[source]]
name = "electric heater"
kind = "electric resistance"
price = 0.16
backup = true
"""
LOG = """[[log]]
file = "log.csv"
time = "Time"
indoor = { column = "Inside", unit = "degC" }
outdoor = { column = "Outside", unit = "degC" }
"""
NORMALS = (
    "[climate]\nnormals = ["
    + ", ".join(f'{{ month = {m}, mean_low = "-5 degC", mean_high = "5 degC" }}' for m in range(1, 13))
    + "]\n"
)
NO_MONTH = "No month was logged enough"
NO_SHARE = "no build says what share of the need it is expected to cover"
NO_READING = "No reading of the log lies in a season to be held"


def four_days(folder: Path, first: datetime) -> None:
    """Every ten minutes for four days, a daily swing with the grain of a sensor on it."""
    lines = ["Time,Inside,Outside"]
    for i in range(4 * 144):
        at = first + timedelta(minutes=10 * i)
        swing = cos(2 * pi * (at.hour + at.minute / 60 - 15) / 24)
        lines.append(f"{at:%Y-%m-%d %H:%M},{4 + 6 * swing + 0.01 * (i % 7):.2f},{-4 + 5 * swing + 0.01 * (i % 11):.2f}")
    (folder / "log.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")


def farm_of(folder: Path, text: str) -> Appraisal:
    (folder / "ledger.toml").write_text(text, encoding="utf-8")
    return ledger.appraise(ledger.read(folder / "ledger.toml"))


@pytest.fixture(scope="module")
def four_winter_days(tmp_path_factory: pytest.TempPathFactory) -> Appraisal:
    folder = tmp_path_factory.mktemp("four-winter-days")
    four_days(folder, datetime(2026, 1, 10, 12))
    return farm_of(folder, FARM + LOG)


@pytest.fixture(scope="module")
def four_summer_days(tmp_path_factory: pytest.TempPathFactory) -> Appraisal:
    folder = tmp_path_factory.mktemp("four-summer-days")
    four_days(folder, datetime(2026, 7, 10, 12))
    return farm_of(folder, FARM + LOG)


@pytest.fixture(scope="module")
def normals_alone(tmp_path_factory: pytest.TempPathFactory) -> Appraisal:
    return farm_of(tmp_path_factory.mktemp("normals"), FARM + NORMALS)


@pytest.fixture(params=["four_winter_days", "four_summer_days", "normals_alone"])
def told(request: pytest.FixtureRequest) -> tuple[Appraisal, str]:
    """An answer without a typical year, and the reason that it owes."""
    why = {"four_winter_days": NO_MONTH, "four_summer_days": NO_READING, "normals_alone": NO_SHARE}
    answer: Appraisal = request.getfixturevalue(request.param)
    return answer, why[request.param]


def on_one_line(lines: list[str]) -> str:
    return " ".join(" ".join(lines).split())


def test_four_nights_of_fifteen_hours_are_no_month_and_no_figure_of_worth_is_made_up(
    four_winter_days: Appraisal,
) -> None:
    """4 · 15 = 60 dark hours, and 120 make a month. What was put in is known all the same: 3850."""
    a = four_winter_days
    assert a.typical_heat is None
    assert a.seasons[0].heat.need_kwh > 0
    assert known(a.typical_money).avoided_cost is None
    assert float(a.capital.net) == 3850.0
    assert (a.worth.npv, a.worth.simple_payback_years, a.worth.irr) == (None, None, None)
    assert a.worth_range.npv.p10 is a.worth_range.npv.p90 is None
    assert (a.drivers, a.break_evens, a.saving_ranges, a.plans, a.ahead.hold_steps) == ((), (), (), (), ())
    assert a.ahead.forward is None
    assert a.around.ties == ()
    assert [one.avoided_kwh for one in a.builds] == [None]


def test_the_worth_of_the_season_itself_is_not_known_either(four_winter_days: Appraisal) -> None:
    assert [one.worth for one in four_winter_days.seasons] == [None]


def test_the_verdict_is_not_yet_known_and_denies_neither_the_log_nor_the_climate(told: tuple[Appraisal, str]) -> None:
    answer, _ = told
    assert answer.verdict == "not yet known"
    assert "no typical year yet" in answer.why
    assert "neither a log" not in answer.why


def test_the_screen_says_why_once_and_shows_no_payback_and_no_rate(told: tuple[Appraisal, str]) -> None:
    """Nothing is "not in 25 years" and nothing has "no single rate" of which the saving is unknown."""
    answer, why = told
    text = on_one_line(answer_lines(answer, screen=Screen(100)))
    assert text.count(why) == 1
    assert "there is no log" not in text
    assert "not in 25 years" not in text
    assert "no single rate" not in text
    assert "Both are spans" not in text


def test_degree_days_miss_a_month_where_there_is_a_log_and_a_log_where_there_is_none(
    four_winter_days: Appraisal, normals_alone: Appraisal
) -> None:
    short, none = (on_one_line(answer_lines(a, screen=Screen(100))) for a in (four_winter_days, normals_alone))
    assert "no month of the crop's season is logged well enough" in short
    assert "need a log of the temperature indoors" not in short
    assert "need a log of the temperature indoors" in none


def test_a_comparison_without_plans_says_why(told: tuple[Appraisal, str]) -> None:
    answer, why = told
    text = on_one_line(compare_lines(answer, screen=Screen(100)))
    assert "There is nothing to compare" in text
    assert why in text


def test_scripts_get_null_and_the_warning(told: tuple[Appraisal, str]) -> None:
    answer, why = told
    document: dict[str, Any] = json.loads(to_bytes(appraisal_document(answer)))
    assert document["typical_year"] is None or document["typical_year"]["avoided_kwh"] is None
    assert document["worth"]["npv"] is None
    assert document["worth"]["irr"] is None
    assert document["plans"] == []
    assert [w["code"] for w in document["warnings"] if why in w["text"]] == ["no-typical-year"]


def test_workbook_and_report_say_not_known_where_nothing_is(told: tuple[Appraisal, str]) -> None:
    answer, why = told
    book = load_workbook(io.BytesIO(workbook_bytes(answer)))
    cells = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert "not in 25 years" not in cells
    assert "no single rate" not in cells
    assert any(why in cell for cell in cells)
    page = report_bytes(answer).decode("utf-8")
    assert "not in 25 years" not in page
    assert "no single rate" not in page
    assert "so the saving is only expected" not in page
