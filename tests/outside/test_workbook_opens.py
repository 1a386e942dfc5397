"""The workbook, opened by an office suite that is not ours: it reads it, and no cell holds an error."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

ROOT = Path(__file__).parents[2]
ERRORS = ("#", "Err:")
pytestmark = pytest.mark.outside


def _office() -> str:
    """The office suite's program. Its absence is a failure here: this test runs only where it was asked for."""
    found = shutil.which("soffice") or shutil.which("libreoffice")
    assert found, "no office suite is installed; .ci/run installs one"
    return found


@pytest.fixture(scope="module", params=["torvena", "sorrel"])
def workbooks(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The workbook as the program writes it, and as the office suite saves it after opening it."""
    folder = tmp_path_factory.mktemp(request.param)
    ours = folder / "answer.xlsx"
    ledger = ROOT / "demo" / request.param / "ledger.toml"
    command = [sys.executable, "-m", "ledger", "appraise", str(ledger), "--workbook", str(ours)]
    subprocess.run(command, check=True, capture_output=True, cwd=ROOT, timeout=300)
    theirs = folder / "opened"
    subprocess.run(
        [
            _office(),
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",  # its own profile: no other copy is disturbed
            "--headless",
            "--convert-to",
            "xlsx",
            "--outdir",
            str(theirs),
            str(ours),
        ],
        check=True,
        capture_output=True,
        timeout=300,
    )
    return ours, theirs / "answer.xlsx"


def test_the_office_suite_opens_the_workbook_and_finds_no_error(workbooks: tuple[Path, Path]) -> None:
    book = openpyxl.load_workbook(workbooks[1], data_only=True)
    faulty = [
        f"{sheet.title}!{cell.coordinate}: {cell.value}"
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if isinstance(cell.value, str) and (cell.data_type == "e" or cell.value.startswith(ERRORS))
    ]
    assert faulty == []


def test_the_office_suite_finds_every_sheet_and_every_filled_cell(workbooks: tuple[Path, Path]) -> None:
    ours, theirs = (openpyxl.load_workbook(path, data_only=False) for path in workbooks)
    assert theirs.sheetnames == ours.sheetnames
    for sheet in ours:
        filled = {cell.coordinate for row in sheet.iter_rows() for cell in row if cell.value is not None}
        opened = theirs[sheet.title]
        assert filled, f"{sheet.title} is empty"
        assert all(opened[at].value is not None for at in filled)


def test_every_formula_comes_out_as_a_number_or_a_word(workbooks: tuple[Path, Path]) -> None:
    """A formula without a value after opening would show as an empty cell to the lender."""
    typed = openpyxl.load_workbook(workbooks[0])
    values = openpyxl.load_workbook(workbooks[1], data_only=True)
    empty = [
        f"{sheet.title}!{cell.coordinate}"
        for sheet in typed
        for row in sheet.iter_rows()
        for cell in row
        if cell.data_type == "f" and values[sheet.title][cell.coordinate].value is None
    ]
    assert empty == []
