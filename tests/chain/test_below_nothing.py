"""A build that takes more heat than it gives, from the typed file to every paper: the answer is below nothing.

The two nights of `test_by_hand`, the houses changed round: the one with the build is the colder one.
"""

from __future__ import annotations

import io
import json
import re
from typing import Any

import pytest
from openpyxl import load_workbook

import ledger
from ledger.appraisal import Appraisal
from ledger.views.answer import answer_lines
from ledger.views.json_view import appraisal_document, to_bytes
from ledger.views.report import report_bytes
from ledger.views.row import HEADLINES
from ledger.views.screen import Screen
from ledger.views.workbook import workbook_bytes
from tests.chain.test_by_hand import H_KW, METRIC, two_nights_csv

SWAPPED = METRIC.replace('"Inside"', '"X"').replace('"Other house"', '"Inside"').replace('"X"', '"Other house"')
AVOIDED = -108 * H_KW


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> Appraisal:
    folder = tmp_path_factory.mktemp("below-nothing")
    (folder / "ledger.toml").write_text(SWAPPED, encoding="utf-8")
    two_nights_csv(folder)
    return ledger.appraise(ledger.read(folder / "ledger.toml"))


@pytest.fixture(scope="module")
def document(answer: Appraisal) -> dict[str, Any]:
    return dict(json.loads(to_bytes(appraisal_document(answer))))


def test_what_the_build_took_is_credited_below_nothing(answer: Appraisal) -> None:
    """Hold 4; night one 0 against 5: 12·(0 − 4); night two −3 against 2: 12·(−3 − 2); together −108 K·h.

    Needed without the build: night one nothing, night two 12·(4 − 2) = 24 K·h.
    """
    (season,) = answer.seasons
    assert season.heat.rungs.credited_kwh == season.heat.avoided_kwh == pytest.approx(AVOIDED, rel=1e-12)
    assert season.heat.need_kwh == pytest.approx(24 * H_KW, rel=1e-12)
    assert season.heat.avoided_range_kwh.p10 < AVOIDED < season.heat.avoided_range_kwh.p90 < 0.0
    assert "negative-saving" in {notice.code for notice in answer.warnings}


def test_scripts_read_it_below_nothing_in_season_year_build_and_money(document: dict[str, Any]) -> None:
    season, year, (build,) = document["seasons"][0], document["typical_year"], document["builds"]
    assert season["avoided_kwh"] == pytest.approx(AVOIDED)
    assert season["rungs"]["added_kwh"] == pytest.approx(AVOIDED)
    assert season["passive_fraction"] == pytest.approx(-108 / 24)
    assert year["avoided_kwh"] == pytest.approx(AVOIDED)
    assert year["to_buy_kwh"] == pytest.approx(132 * H_KW)
    assert build["avoided_kwh"] == pytest.approx(AVOIDED)
    assert build["npv"] < 0
    assert season["net_saving"] < 0
    assert document["worth"]["npv"] < -1215
    assert document["worth"]["verdict"] == "does not pay"
    assert document["worth"]["simple_payback_years"] is None


def test_the_screen_says_so_in_words_and_with_a_minus(answer: Appraisal) -> None:
    """−108 · 19.094 = −2,062 kWh, shown to the nearest ten."""
    text = " ".join(" ".join(answer_lines(answer, screen=Screen(100))).split())
    assert "No, it does not pay." in text
    assert "Heat not bought in a typical year (avoided) -2,060 kWh" in text
    assert "not bought: only this is money -2,060 kWh" in text
    assert "took more heat out of the house than it gave back" in text
    assert "never" in text


def test_the_workbook_files_and_reckons_it_below_nothing(answer: Appraisal) -> None:
    book = load_workbook(io.BytesIO(workbook_bytes(answer)))
    shown = {row[0].value: row[1].value for row in book["answer"].iter_rows() if row[0].value in HEADLINES.values()}
    assert shown[HEADLINES["typical_year.avoided_kwh"]] == pytest.approx(AVOIDED)
    assert shown[HEADLINES["worth.npv"]] < -1215
    nights = [row for row in book["nights"].iter_rows(values_only=True) if row[1] == "2026"]
    assert sum(float(str(row[11])) - float(str(row[12])) for row in nights) == pytest.approx(AVOIDED)


def test_the_report_shows_it_below_nothing(answer: Appraisal) -> None:
    text = re.sub(r"<[^>]+>", " ", report_bytes(answer).decode())
    assert "-2,060" in text
    assert "took more heat out of the house than it gave back" in text
