"""The workbooks of both demos, reckoned afresh by an office suite that is not ours."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from tests.outside.office import disagreements, errors, read_values, recalculated, values

ROOT = Path(__file__).parents[2]
DEMOS = ("torvena", "sorrel", "vantarel")
pytestmark = pytest.mark.outside

KEYS = {
    "net_capital": ("capital", "net"),
    "gross": ("capital", "gross"),
    "share_for_heat": ("capital", "share_for_heat"),
    "grants": ("capital", "grants"),
    **{key: ("typical_year", key) for key in ("avoided_kwh", "need_kwh", "avoided_cost", "running_cost", "upkeep_cost",
                                               "net_saving")},
    **{key: ("worth", key) for key in (
        "npv", "npv_without_residual", "irr", "mirr", "simple_payback_years", "simple_payback_gross_years",
        "simple_payback_cash_years", "payback_with_growth_years", "discounted_payback_years",
        "savings_to_investment_ratio", "adjusted_irr", "build_life_cycle_cost", "build_annual_cost",
        "heat_cost_per_kwh", "avoided_price_per_kwh")},
}  # fmt: skip


Demos = dict[str, tuple[Path, Path, dict[str, Any]]]


@pytest.fixture(scope="module")
def demos(tmp_path_factory: pytest.TempPathFactory) -> Demos:
    """For each demo the workbook as written, as reckoned afresh, and the results in JSON."""
    folder = tmp_path_factory.mktemp("demos")
    written, results = [], []
    for name in DEMOS:
        book = folder / f"{name}.xlsx"
        command = [sys.executable, "-m", "ledger", "appraise", str(ROOT / "demo" / name / "ledger.toml"), "--workbook",
                   str(book), "--json", "-"]  # fmt: skip
        done = subprocess.run(command, check=True, capture_output=True, cwd=ROOT, timeout=3600)
        written.append(book)
        results.append(json.loads(done.stdout))
    reckoned = recalculated(written, folder)
    return {
        name: (book, live, result) for name, book, live, result in zip(DEMOS, written, reckoned, results, strict=True)
    }


@pytest.mark.parametrize("name", DEMOS)
def test_no_cell_holds_an_error_and_every_row_agrees(name: str, demos: Demos) -> None:
    book = read_values(demos[name][1])
    assert errors(book) == []
    assert disagreements(book) == []
    assert values(book)["all_adds_up"] == "yes"


@pytest.mark.parametrize("name", DEMOS)
def test_every_named_figure_is_the_programs(name: str, demos: Demos) -> None:
    """JSON carries ten significant digits, hence 1e-9."""
    found, result = values(read_values(demos[name][1])), demos[name][2]
    for key, (block, entry) in KEYS.items():
        expected = result[block][entry]
        if expected is None:
            assert not isinstance(found[key], int | float), key
        else:
            assert found[key] == pytest.approx(expected, rel=1e-9), key


@pytest.mark.parametrize("name", DEMOS)
def test_every_filled_cell_comes_through_and_every_formula_has_a_value(name: str, demos: Demos) -> None:
    """A formula without a value after opening would show as an empty cell to the lender.

    On the loan's sheet "lowest" stands in one row only, and rows beyond the last payment are blank by their formulas.
    """
    ours, theirs = openpyxl.load_workbook(demos[name][0]), read_values(demos[name][1])
    assert theirs.sheetnames == ours.sheetnames
    may_be_blank = {
        f"loan!{cell.coordinate}" for row in ours["loan"].iter_rows() for cell in row if '""' in str(cell.value)
    }
    empty = [
        f"{page.title}!{cell.coordinate}"
        for page in ours
        for row in page.iter_rows()
        for cell in row
        if cell.value is not None and theirs[page.title][cell.coordinate].value is None
    ]
    assert [place for place in empty if place not in may_be_blank] == []
