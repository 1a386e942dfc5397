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
from openpyxl.cell import Cell
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter, range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from ledger.appraisal import Appraisal
from ledger.model.ledger import Show
from ledger.model.values import Assumption, Basis, Spread
from ledger.views.live import safe_name
from ledger.views.row import HEADLINES, style_of
from ledger.views.sheet import Sheet, put_text, set_widths
from ledger.views.workbook import workbook_bytes
from tests.report.made import report_example, with_loan
from tests.views.example import example, example_by_lift

HOSTILE = (
    '=HYPERLINK("http://x","y")', "+1+1", "-2+3", "@SUM(A1)", "\t=1+1", "\r=1+1", " =1+1", "<script>alert(1)</script>",
    "a\x00b\x1b[31mc", "\u202egnirts desrever", "בית גידול", "🌱 house 👩\u200d🌾", "=" + "W" * 900,
)  # fmt: skip


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
    cell = book["capital"]["D2"]
    assert cell.data_type == "s"
    assert cell.quotePrefix is bool(str(cell.value)[0] in "=+-@")
    assert not re.search(r"[\x00-\x08\x0b-\x1f\x7f\u202a-\u202e]", str(cell.value))


@given(st.text(max_size=40))
@settings(max_examples=100)
def test_any_text_stays_text_in_a_cell(typed: str) -> None:
    cell = put_text(Workbook().active.cell(1, 1), typed)
    assert cell.data_type in ("s", "n")
    assert cell.value is None or isinstance(cell.value, str)


def test_a_very_long_text_is_cut_to_what_a_cell_holds_and_its_row_to_what_a_row_may_be_high() -> None:
    """A cell holds 32,767 signs, a row is at most 409 points high, by the format."""
    sheet = Sheet(Workbook().active, style_of(example()))
    cell = put_text(sheet.page.cell(1, 1), "W" * 40_000)
    cell.alignment = Alignment(wrap_text=True)
    set_widths(sheet)
    assert 30_000 < len(str(cell.value)) <= 32_767
    assert sheet.page.row_dimensions[1].height == 409.0


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


def with_open_growths() -> Appraisal:
    """The example with growths left open: inflation of 2 %, the heater's and electricity's as that."""
    whole = example()
    two = Spread(0.02, 0.01, 0.035, Basis.ASSUMED, note="as inflation")
    (heater,) = whole.source.sources
    paths = ("source[1].price_growth", "electricity.price_growth")
    ledger = replace(
        whole.source,
        terms=replace(whole.source.terms, inflation=Spread.sure(0.02)),
        sources=(replace(heater, price_growth=two),),
        electricity=replace(whole.source.electricity, price_growth=two),
        assumed=tuple(Assumption(path, "2.00% a year", "as inflation") for path in paths),
    )
    return replace(whole, source=ledger)


def inputs_by_name(book: Workbook) -> dict[str, tuple[Cell, ...]]:
    return {str(row[8].value): row for row in book["inputs"].iter_rows(min_row=3) if row[8].value}


def test_a_growth_that_was_left_open_follows_inflation_until_it_is_typed_over() -> None:
    rows = inputs_by_name(opened(with_open_growths()))
    assert rows["source_1_price_growth"][1].value == "=inflation_in_flows"
    assert rows["electricity_price_growth"][1].value == "=source_1_price_growth"
    for name in ("source_1_price_growth", "electricity_price_growth"):
        assert rows[name][1].border.top.style == "medium"
        assert rows[name][7].value == "may be changed"
        assert "until typed over" in str(rows[name][4].value)


def test_a_growth_that_was_stated_is_a_value() -> None:
    rows = inputs_by_name(opened(example()))
    assert rows["source_1_price_growth"][1].value == 0.03


def test_a_discount_rate_left_to_the_loans_is_that_of_the_dearest() -> None:
    """Two loans of 4 and 6.5 %: with nominal rates 6.5 %, with real ones less inflation."""
    whole = with_loan(report_example())
    cheap = replace(whole.source.terms.loans[0], annual_rate=0.04)
    rate = Spread.sure(0.065, Basis.ASSUMED)
    terms = replace(whole.source.terms, loans=(*whole.source.terms.loans, cheap), discount_rate=rate)
    assumed = (Assumption("money.discount_rate", "6.50% a year", "the rate of the loan"),)
    ledger = replace(whole.source, terms=terms, assumed=assumed)
    rows = inputs_by_name(opened(replace(whole, source=ledger, loans=whole.loans * 2)))
    dearest = "MAX(loan_1_annual_rate,loan_2_annual_rate)"
    assert rows["discount_rate"][1].value == f'=IF(rates_are="real",(1+{dearest})/(1+inflation)-1,{dearest})'


def test_the_years_of_the_study_are_marked_as_not_changeable_with_the_reason() -> None:
    row = inputs_by_name(opened(example()))["study_years"]
    assert row[7].value == "not here"
    assert row[1].border.top.style != "medium"
    assert "ask for another run" in str(row[4].value)


def test_what_stands_as_filed_is_said_to_stay_as_it_is() -> None:
    said = " ".join(texts(opened(example())["what if I am wrong"]))
    assert "do not move when an input is changed here" in said


def test_several_loans_are_covered_together_and_it_is_said() -> None:
    whole = with_loan(report_example())
    terms = replace(whole.source.terms, loans=whole.source.terms.loans * 2)
    two = opened(replace(whole, source=replace(whole.source, terms=terms), loans=whole.loans * 2))
    assert "all loans together" in " ".join(texts(two["loan"]))
    assert "all loans together" not in " ".join(texts(opened(whole)["loan"]))
    everything = " ".join(text for page in two for text in texts(page)).lower()
    assert "debt service" not in everything
    assert "debt-service" not in everything


ROOM = {"landscape": 130, "portrait": 88}
"""Signs of 11 points that a page of A4 takes beside one another; Letter takes two more upright, five fewer across."""


def test_every_sheet_prints_in_letters_of_six_points_and_more() -> None:
    """Each printed area is fitted to one page across: its columns together tell how small its letters get."""
    for page in opened(with_loan(report_example())):
        areas = str(page.print_area).split(",") if page.print_area else [f"A1:{page.dimensions.split(':')[-1]}"]
        for area in areas:
            first, _, last, _ = range_boundaries(area.split("!")[-1].replace("$", ""))
            titles = 1 if first > 1 and page.print_title_cols else 0
            columns = [*range(1, 1 + titles), *range(first, last + 1)]
            wide = sum(page.column_dimensions[get_column_letter(c)].width for c in columns)
            assert 11 * ROOM[page.page_setup.orientation] / wide >= 6.0, (page.title, area, wide)
