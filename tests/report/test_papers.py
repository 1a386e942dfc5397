"""The options --report and --pdf: whole or not at all, nothing of the grower's is ever replaced."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.cli.papers import refuse_unwritable_papers, write_papers
from ledger.views.console import Refused
from tests.report.made import report_example


def test_both_papers_are_written(tmp_path: Path) -> None:
    html, pdf = tmp_path / "a.html", tmp_path / "a.pdf"
    refuse_unwritable_papers(html, pdf, force=False)
    write_papers(report_example(), html, pdf, force=False)
    assert html.read_bytes().startswith(b"<!DOCTYPE html>")
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["a.html", "a.pdf"]


def test_a_paper_that_is_there_is_replaced_only_by_force(tmp_path: Path) -> None:
    html = tmp_path / "a.html"
    write_papers(report_example(), html, None, force=False)
    with pytest.raises(Refused):
        refuse_unwritable_papers(html, None, force=False)
    refuse_unwritable_papers(html, None, force=True)
    write_papers(report_example(), html, None, force=True)


@pytest.mark.parametrize("force", [False, True])
def test_a_file_that_is_no_paper_is_never_replaced(tmp_path: Path, force: bool) -> None:
    letter, scan = tmp_path / "letter.html", tmp_path / "scan.pdf"
    letter.write_text("my own page")
    scan.write_text("not a PDF")
    with pytest.raises(Refused):
        refuse_unwritable_papers(letter, None, force=force)
    with pytest.raises(Refused):
        refuse_unwritable_papers(None, scan, force=force)


@pytest.mark.parametrize(("report", "pdf"), [("ledger.toml", None), (None, "a.html"), ("a.pdf", None), ("", None)])
def test_a_name_with_another_ending_is_refused(tmp_path: Path, report: str | None, pdf: str | None) -> None:
    places = [None if name is None else tmp_path / name for name in (report, pdf)]
    with pytest.raises(Refused):
        refuse_unwritable_papers(*places, force=True)


def test_a_folder_that_is_not_there_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused):
        refuse_unwritable_papers(tmp_path / "none" / "a.html", None, force=False)
