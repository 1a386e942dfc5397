"""The four headline figures: the same words and the same values on screen, in the report, the workbook and the JSON."""

from __future__ import annotations

import io
import re

import pytest
from openpyxl import load_workbook

from ledger.views.answer import answer_lines
from ledger.views.figures import show_figure
from ledger.views.json_view import appraisal_document
from ledger.views.report import report_bytes
from ledger.views.row import HEADLINES, style_of
from ledger.views.rows import headline_rows
from ledger.views.screen import Screen
from ledger.views.workbook import workbook_bytes
from tests.report.made import report_example
from tests.report.reading import Page


def test_there_are_four_of_them_and_each_is_a_key_of_the_results() -> None:
    document = appraisal_document(report_example())
    assert len(HEADLINES) == 4
    for path in HEADLINES:
        part, key = path.split(".")
        assert isinstance(document[part][key], float | int), path


@pytest.mark.parametrize("path", list(HEADLINES))
def test_the_same_words_stand_beside_the_same_figure_in_all_four(path: str) -> None:
    appraisal, words = report_example(), HEADLINES[path]
    part, key = path.split(".")
    value = appraisal_document(appraisal)[part][key]
    row = next(row for row in headline_rows(appraisal) if row.key == path)
    shown = str(show_figure(value, row.measure, style_of(appraisal)))

    screen = re.sub(r"\s+", " ", " ".join(answer_lines(appraisal, screen=Screen(100))))
    report = re.sub(r"\s+", " ", Page(report_bytes(appraisal).decode("utf-8")).words)
    assert f"{words} {shown}" in screen
    assert f"{words} {shown}" in report

    page = load_workbook(io.BytesIO(workbook_bytes(appraisal)))["answer"]
    found = [line[1].value for line in page.iter_rows() if line[0].value == words]
    assert found == [pytest.approx(value, rel=1e-9)]
