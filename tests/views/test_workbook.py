"""The workbook is whole, readable, live where it says so, and never lets text turn into a formula."""

from __future__ import annotations

import io
import shutil
import subprocess
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from ledger.appraisal import Appraisal
from ledger.model.ledger import Show
from ledger.model.terms import Timing
from ledger.money.results import CashYear
from ledger.views.row import HEADLINES
from ledger.views.sheet import put_text
from ledger.views.workbook import workbook_bytes
from tests.views.example import example, example_by_lift

HOSTILE = ('=HYPERLINK("http://x","y")', "+1+1", "-2+3", "@SUM(A1)", "<script>alert(1)</script>", "a\x00b\x1b[31mc")


def opened(appraisal: Appraisal) -> Workbook:
    return load_workbook(io.BytesIO(workbook_bytes(appraisal)))


def texts(page: Worksheet) -> list[str]:
    return [cell.value for row in page.iter_rows() for cell in row if isinstance(cell.value, str)]


def test_every_sheet_is_there_in_the_order_of_a_persons_questions() -> None:
    assert opened(example()).sheetnames == [
        "answer", "worth", "cash flow", "capital", "seasons", "plans", "loans", "inputs", "assumed",
    ]  # fmt: skip


def test_the_headline_figures_stand_on_the_first_sheet_in_the_shared_words_unrounded() -> None:
    page = opened(example())["answer"]
    figures = {row[0].value: row[1].value for row in page.iter_rows() if row[0].value in HEADLINES.values()}
    assert [figures[words] for words in HEADLINES.values()] == [3850.0, 2345.7, 13.5225, -3320.607256]


def test_by_lift_the_first_sheet_says_that_the_values_are_placeholders() -> None:
    said = " ".join(texts(opened(example_by_lift())["answer"]))
    assert "placeholder" in said
    assert "not yet known" in said


@pytest.mark.parametrize("typed", HOSTILE)
def test_text_of_the_ledger_never_becomes_a_formula(typed: str) -> None:
    whole = example()
    item = replace(whole.capital.items[0], what=typed, paper=typed)
    plan = replace(whole.plans[0], name=typed)
    hostile = replace(
        whole,
        identity=replace(whole.identity, title=typed),
        source=replace(whole.source, title=typed, prepared_for=typed),
        capital=replace(whole.capital, items=(item,)),
        plans=(plan,),
        why=typed,
    )
    book = opened(hostile)
    formulas = [cell for page in book for row in page.iter_rows() for cell in row if cell.data_type == "f"]
    assert {cell.parent.title for cell in formulas} <= {"cash flow", "capital"}
    assert not any(typed in str(cell.value) for cell in formulas)
    assert book["capital"]["C2"].data_type == "s"
    assert book["capital"]["C2"].quotePrefix is bool(typed[0] in "=+-@")


@given(st.text(max_size=40))
@settings(max_examples=100)
def test_any_text_stays_text_in_a_cell(typed: str) -> None:
    cell = put_text(Workbook().active.cell(1, 1), typed)
    assert cell.data_type in ("s", "n")
    assert cell.value is None or isinstance(cell.value, str)


def test_the_same_answer_gives_the_same_bytes_and_holds_no_hour() -> None:
    content = workbook_bytes(example())
    assert content == workbook_bytes(example())
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        assert {info.date_time for info in parts.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_every_result_key_of_the_single_figures_is_on_the_worth_sheet() -> None:
    said = set(texts(opened(example())["worth"]))
    for key in (
        "capital.net",
        "worth.irr",
        "worth.range.npv.p50",
        "typical_year.net_saving",
        "house.heat_loss_w_per_k",
    ):
        assert key in said


def test_a_value_that_is_not_known_is_said_in_words() -> None:
    page = opened(example())["worth"]
    row = next(row for row in page.iter_rows() if row[7].value == "worth.irr")
    assert row[1].value == "no single rate"


@pytest.mark.parametrize(("show", "paper"), [(Show.METRIC, 9), (Show.US, 1)])
def test_every_sheet_prints_on_one_page_across_on_the_paper_of_the_place(show: Show, paper: int) -> None:
    whole = example()
    for page in opened(replace(whole, source=replace(whole.source, show=show))):
        assert int(page.page_setup.paperSize) == paper
        assert page.page_setup.fitToWidth == 1
        assert page.sheet_properties.pageSetUpPr.fitToPage


def test_us_ledgers_show_us_units() -> None:
    """4 °C is 39.2 °F; 120 m2 is 120 / 0.09290304 = 1291.67 ft2."""
    whole = example()
    page = opened(replace(whole, source=replace(whole.source, show=Show.US)))["inputs"]
    values = {row[0].value: (row[1].value, row[2].value) for row in page.iter_rows()}
    assert values["hold.temperature"][0] == pytest.approx(39.2)
    assert values["house.surface[1].area"][0] == pytest.approx(1291.67, abs=0.01)
    assert values["house.surface[1].area"][1] == "ft2"


def test_an_answer_without_log_plans_or_years_still_makes_a_workbook() -> None:
    whole = example()
    bare = replace(whole, log=None, record=None, seasons=(), typical_heat=None, typical_money=None, plans=(),
                   loans=(), cash_flow=(), warnings=(), assumed=(), drivers=(), builds=())  # fmt: skip
    assert "seasons" in opened(bare).sheetnames


def mid_year(whole: Appraisal) -> Appraisal:
    """Streams at half years, 100 left at the end of year 2, by hand:

    284.71 / 1.05^0.5 = 277.848; 284.71 / 1.05^1.5 = 264.617; 100 / 1.05^2 = 90.703; NPV = -3850 + 633.168 = -3216.832.
    """
    d1, d2 = 284.71 / 1.05**0.5, 284.71 / 1.05**1.5 + 100 / 1.05**2
    flow = (
        whole.cash_flow[0],
        CashYear(1, 0.0, 375.31, -65.6, -25.0, 0.0, 0.0, 284.71, d1, -3565.29, -3850 + d1),
        CashYear(2, 0.0, 375.31, -65.6, -25.0, 0.0, 100.0, 384.71, d2, -3180.58, -3850 + d1 + d2),
    )
    terms = replace(whole.source.terms, timing=Timing.MID_YEAR)
    worth = replace(whole.worth, npv=-3850 + d1 + d2)
    return replace(whole, cash_flow=flow, worth=worth, source=replace(whole.source, terms=terms))


@pytest.mark.outside
@pytest.mark.parametrize("whole", [example(), mid_year(example())], ids=["end of year", "mid-year"])
def test_an_office_suite_reckons_the_live_figures_to_what_the_program_filed(whole: Appraisal, tmp_path: Path) -> None:
    office = shutil.which("soffice")
    assert office is not None
    (tmp_path / "book.xlsx").write_bytes(workbook_bytes(whole))
    out = tmp_path / "out"
    call = [office, f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless", "--convert-to", "xlsx",
            "--outdir", str(out), str(tmp_path / "book.xlsx")]  # fmt: skip
    subprocess.run(call, check=True, capture_output=True, timeout=120)
    page = load_workbook(out / "book.xlsx", data_only=True)["cash flow"]
    rows = [[cell.value for cell in row] for row in page.iter_rows(min_row=6, max_row=8)]
    for row, year in zip(rows, whole.cash_flow, strict=True):
        assert row[7:11] == pytest.approx([year.net, year.discounted, year.cumulative, year.cumulative_discounted])
    assert [cell.value for row in page.iter_rows() for cell in row].count("yes") == 1
