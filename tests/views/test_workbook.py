"""The workbook is whole, readable, live where it says so, and never lets text turn into a formula."""

from __future__ import annotations

import io
import re
import zipfile
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.worksheet.worksheet import Worksheet

from ledger.appraisal import Appraisal
from ledger.model.ledger import Show
from ledger.views.live import safe_name
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
        "answer", "inputs", "capital", "replacements", "nights", "years", "ways to heat", "loan", "what if I am wrong",
        "holes", "where from", "adds up", "seasons", "recovered", "worth", "builds", "heat bought", "prices", "steps",
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
    assert not any(typed in str(cell.value) for cell in formulas)
    assert book["capital"]["D2"].data_type == "s"
    assert book["capital"]["D2"].quotePrefix is bool(typed[0] in "=+-@")


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


def test_every_result_key_of_the_single_figures_is_on_the_sheet_where_from() -> None:
    said = set(texts(opened(example())["where from"]))
    for key in (
        "capital.net",
        "worth.irr",
        "worth.range.npv.p50",
        "typical_year.net_saving",
        "house.heat_loss_w_per_k",
    ):
        assert key in said


def test_a_value_that_is_not_known_is_said_in_words() -> None:
    page = opened(example())["where from"]
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


KNOWN = {
    "SUM", "IF", "AND", "NOT", "ISNUMBER", "ABS", "MAX", "MIN", "INT", "ROUND", "SUMPRODUCT", "SUMIF", "COUNTIF", "NPV",
    "IRR", "IFERROR", "INDEX",
}  # fmt: skip
"""Functions of the office formats of 2007 and before: every program of the last ten years has them."""


def formulas(book: Workbook) -> list[str]:
    return [cell.value for page in book for row in page.iter_rows() for cell in row if cell.data_type == "f"]


def test_only_functions_that_every_spreadsheet_program_of_the_last_ten_years_knows() -> None:
    used = {name for text in formulas(opened(example())) for name in re.findall(r"([A-Z][A-Z0-9.]*)\(", text)}
    assert used <= KNOWN
    assert "NPV" in used


def test_names_are_in_snake_case_and_none_could_be_a_cell() -> None:
    names = list(opened(example()).defined_names)
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in names)
    assert not [name for name in names if re.fullmatch(r"[a-z]{1,3}[0-9]+|r|c|r[0-9]*c[0-9]*", name)]


@pytest.mark.parametrize(
    ("wanted", "given"),
    [
        ("npv", "npv"),
        ("Q1", "the_q1"),
        ("r1c1", "the_r1c1"),
        ("3 beds", "the_3_beds"),
        ("Föhn", "f_hn"),
        ("", "the_value"),
    ],
)
def test_a_name_that_could_be_a_cell_gets_a_prefix(wanted: str, given: str) -> None:
    assert safe_name(wanted) == given


def test_inputs_and_headline_figures_have_names() -> None:
    names = set(opened(example()).defined_names)
    assert {
        "npv", "npv_without_residual", "irr", "mirr", "net_capital", "simple_payback_years", "build_life_cycle_cost",
        "build_annual_cost", "savings_to_investment_ratio", "discount_rate", "study_years", "avoided_kwh", "need_kwh",
        "inflation", "source_1_price", "source_1_efficiency", "item_1_amount", "item_1_share", "item_1_life_years",
        "hold_temperature",
    } <= names  # fmt: skip


def test_what_may_be_changed_wears_a_frame_and_a_word_and_the_hold_temperature_does_not() -> None:
    book = opened(example())
    page = book["inputs"]
    rows = {row[8].value: row for row in page.iter_rows(min_row=3) if row[8].value}
    for name, row in rows.items():
        framed = row[1].border.left.style == row[1].border.top.style == "medium"
        assert framed == (row[7].value == "may be changed"), name
        assert row[1].fill.fill_type is None
    assert rows["discount_rate"][7].value == "may be changed"
    assert rows["hold_temperature"][7].value.startswith("not here")


def test_every_headline_figure_stands_as_filed_and_live_with_a_word_on_whether_they_agree() -> None:
    page = opened(example())["answer"]
    for row in page.iter_rows():
        if row[0].value in HEADLINES.values():
            assert isinstance(row[1].value, int | float)
            assert str(row[2].value).startswith("='worth'!")
            assert '"yes","no"' in str(row[4].value)
    assert any("recalculate" in text for text in texts(page))


def test_no_figure_of_the_years_is_typed_in() -> None:
    page = opened(example())["years"]
    for row in page.iter_rows(min_row=3, max_row=5, min_col=2, max_col=13):
        assert all(cell.data_type == "f" for cell in row)


def test_the_charts_are_native() -> None:
    book = opened(example())
    assert len(book["years"]._charts) == 1
    assert len(book["ways to heat"]._charts) == 1
