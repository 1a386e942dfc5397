"""The workbook: every figure of the answer on sheets a person can read, print and re-key."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.styles import Alignment

from ledger.appraisal import Appraisal
from ledger.doubt.words import in_words
from ledger.views.answer import ESTIMATE_ONLY, HEATER_CAUTION, VERDICTS
from ledger.views.doubts import FIND_OUT
from ledger.views.figures import Measure, unit_of
from ledger.views.inputs import input_rows
from ledger.views.row import Row, is_placeholder, style_of
from ledger.views.rows import blocks, headline_rows
from ledger.views.rows_money import break_even_rows
from ledger.views.sheet import LINE_POINTS, Paper, Sheet, book_bytes, freeze_heads, new_sheet, put_text, set_widths
from ledger.views.sheet_cash import cash_flow_sheet
from ledger.views.tables import build_table, item_table, plan_table, season_table
from ledger.views.text import sentence

_ROW_HEADS = ("", "Value", "Unit", "Low", "High", "Known by", "From", "Result key")
_ROW_COLUMNS = len(_ROW_HEADS)
_WORDS_ACROSS = 6
PLACEHOLDER_NOTE = (
    "Low and high are the two ends of a span; the value between them is a placeholder, since the bare house is only "
    "assumed."
)


def workbook_bytes(appraisal: Appraisal) -> bytes:
    """The whole workbook as the bytes of an .xlsx file; the same answer gives the same bytes."""
    book = Workbook()
    book.remove(book.active)
    _answer(book, appraisal)
    _worth(book, appraisal)
    cash_flow_sheet(book, appraisal)
    _capital(book, appraisal)
    _seasons(book, appraisal)
    _plans(book, appraisal)
    if appraisal.loans:
        _loans(book, appraisal)
    _inputs(book, appraisal)
    _assumed(book, appraisal)
    return book_bytes(book)


def _sheet(book: Workbook, name: str, a: Appraisal, paper: Paper) -> Sheet:
    return new_sheet(book, name, style_of(a), title=a.identity.title, paper=paper)


def _answer(book: Workbook, a: Appraisal) -> None:
    sheet = _sheet(book, "answer", a, Paper.ACROSS)
    sheet.words(a.identity.title or "Growing house", bold=True, size=14)
    for label, text in (("for", a.source.prepared_for), ("by", a.source.prepared_by), ("why", a.source.purpose)):
        if text:
            sheet.words(f"{label}: {text}")
    sheet.blank()
    sheet.words(VERDICTS.get(a.verdict, a.verdict), bold=True, size=12)
    _paragraph(sheet, sentence(a.why))
    if is_placeholder(a):
        _paragraph(sheet, FIND_OUT)
    sheet.blank()
    _rows(sheet, headline_rows(a))
    if is_placeholder(a):
        _paragraph(sheet, PLACEHOLDER_NOTE)
    sheet.blank()
    _paragraph(sheet, ESTIMATE_ONLY)
    files = ", ".join(f"{log.file} {log.sha256[:12]}" for log in a.identity.logs)
    _paragraph(
        sheet, f"{a.program.name} {a.program.version}; ledger {a.identity.file} {a.identity.sha256[:12]}; {files}"
    )
    set_widths(sheet)


def _paragraph(sheet: Sheet, text: str) -> None:
    """A merged line, high enough for its text at the width of the columns below it."""
    sheet.words(text, across=_WORDS_ACROSS)
    lines = max(1, -(-len(text) // 110))
    sheet.page.row_dimensions[sheet.at - 1].height = LINE_POINTS * lines


def _worth(book: Workbook, a: Appraisal) -> None:
    sheet = _sheet(book, "worth", a, Paper.ACROSS)
    for number, block in enumerate(blocks(a)):
        if not block.rows:
            continue
        if number:
            sheet.blank()
        sheet.words(block.question, bold=True, size=12)
        _rows(sheet, block.rows)
    _against(sheet, a)
    _drivers(sheet, a)
    _break_evens(sheet, a)
    sheet.blank()
    sheet.words("Build by build", bold=True, size=12)
    sheet.table(build_table(a))
    set_widths(sheet)


def _rows(sheet: Sheet, rows: tuple[Row, ...]) -> None:
    sheet.head(_ROW_HEADS, right=(2, 4, 5))
    for row in rows:
        put_text(sheet.page.cell(sheet.at, 1), row.label)
        cell = sheet.figure(2, row.value, row.measure, if_none=row.if_none)
        cell.alignment = Alignment(horizontal="right", vertical="top")
        sheet.note(3, _unit(sheet, row.measure))
        if row.low is not None:
            sheet.figure(4, row.low, row.measure)
        if row.high is not None:
            sheet.figure(5, row.high, row.measure)
        for column, text in ((6, row.basis), (7, row.source), (8, row.key)):
            sheet.note(column, text)
        sheet.at += 1


def _unit(sheet: Sheet, measure: Measure) -> str:
    unit = unit_of(measure, sheet.style)
    return "" if unit == "%" else unit


def _against(sheet: Sheet, a: Appraisal) -> None:
    sheet.blank()
    sheet.words("Gain in today's money (NPV) against each source of heat", bold=True, size=12)
    sheet.head(("Source", "NPV", "Unit"), right=(2,))
    for name, npv in a.worth.npv_against.items():
        put_text(sheet.page.cell(sheet.at, 1), name)
        sheet.figure(2, npv, Measure.MONEY)
        sheet.note(3, sheet.style.currency)
        sheet.at += 1


def _drivers(sheet: Sheet, a: Appraisal) -> None:
    if not a.drivers:
        return
    sheet.blank()
    sheet.words("What moves the gain most, each alone from its low to its high end", bold=True, size=12)
    sheet.head(("Input", "NPV at its low end", "NPV at its high end", "Share of variance", "Entry"), right=(2, 3, 4))
    for driver in a.drivers:
        put_text(sheet.page.cell(sheet.at, 1), in_words(driver.input, a.source)).alignment = Alignment(wrap_text=True)
        sheet.figure(2, driver.npv_low, Measure.MONEY)
        sheet.figure(3, driver.npv_high, Measure.MONEY)
        sheet.figure(4, driver.variance_share, Measure.SHARE)
        sheet.note(5, driver.input)
        sheet.at += 1


def _break_evens(sheet: Sheet, a: Appraisal) -> None:
    pairs = break_even_rows(a)
    if not pairs:
        return
    sheet.blank()
    sheet.words(f"Where it just pays, each alone and against {a.worth.against}", bold=True, size=12)
    sheet.head(("What", "Now", "Just pays at", "Unit"), right=(2, 3))
    for now, then in pairs:
        put_text(sheet.page.cell(sheet.at, 1), now.label)
        sheet.figure(2, now.value, now.measure)
        sheet.figure(3, then.value, then.measure, if_none=then.if_none)
        sheet.note(4, _unit(sheet, now.measure))
        sheet.at += 1


def _capital(book: Workbook, a: Appraisal) -> None:
    sheet = _sheet(book, "capital", a, Paper.ACROSS)
    freeze_heads(sheet, row=2, column=4)
    sheet.table(item_table(a))
    first, last = 2, sheet.at - 1
    sheet.blank()
    if last >= first:
        put_text(sheet.page.cell(sheet.at, 1), "Sum")
        sheet.formula(4, f"=SUM(D{first}:D{last})", Measure.COIN)
        sheet.formula(7, f"=SUM(G{first}:G{last})", Measure.HOURS)
        sheet.formula(8, f"=SUM(H{first}:H{last})", Measure.COIN)
        sheet.at += 1
    for label, value in (("less grants, as far as they count", -a.capital.grants), ("Net", a.capital.net)):
        put_text(sheet.page.cell(sheet.at, 1), label)
        sheet.figure(8, value, Measure.COIN)
        sheet.at += 1
    set_widths(sheet, widest=28)


def _seasons(book: Workbook, a: Appraisal) -> None:
    sheet = _sheet(book, "seasons", a, Paper.UPRIGHT)
    table = season_table(a)
    if not table.rows:
        sheet.words("There is no season yet: no log reaches into one.")
        return
    sheet.sideways(table)
    set_widths(sheet)


def _plans(book: Workbook, a: Appraisal) -> None:
    sheet = _sheet(book, "plans", a, Paper.ACROSS)
    if not a.plans:
        sheet.words("There is nothing to compare: no heat need could be reckoned.")
        return
    freeze_heads(sheet, row=2, column=3)
    table = plan_table(a)
    sheet.table(table)
    set_widths(sheet, widest=30)
    sheet.blank()
    sheet.words(HEATER_CAUTION, across=len(table.columns))
    sheet.page.row_dimensions[sheet.at - 1].height = 2 * LINE_POINTS


def _loans(book: Workbook, a: Appraisal) -> None:
    sheet = _sheet(book, "loans", a, Paper.UPRIGHT)
    for loan in a.loans:
        sheet.words(loan.name, bold=True, size=12)
        sheet.head(("Year", "Payments due", "Saving over payments", "Left to the owner"), right=(1, 2, 3, 4))
        cover = {one.year: one.amount for one in loan.saving_cover}
        cash = {one.year: one.amount for one in loan.owner_cash}
        for due in loan.debt_service:
            sheet.figure(1, due.year, Measure.YEAR_NUMBER)
            sheet.figure(2, due.amount, Measure.COIN)
            sheet.figure(3, cover.get(due.year), Measure.RATIO)
            sheet.figure(4, cash.get(due.year), Measure.COIN)
            sheet.at += 1
        sheet.blank()
        sheet.head(("Payment", "Date", "Paid", "Interest", "Principal", "Balance"), right=(1, 3, 4, 5, 6))
        for row in loan.rows:
            sheet.figure(1, row.number, Measure.YEAR_NUMBER)
            put_text(sheet.page.cell(sheet.at, 2), row.date)
            for column, value in ((3, row.payment), (4, row.interest), (5, row.principal), (6, row.balance)):
                sheet.figure(column, value, Measure.COIN)
            sheet.at += 1
        sheet.blank()
    set_widths(sheet)


def _inputs(book: Workbook, a: Appraisal) -> None:
    sheet = _sheet(book, "inputs", a, Paper.UPRIGHT)
    sheet.head(("Entry of the ledger", "Value", "Unit", "Low", "High", "Known by", "Note"), right=(2, 4, 5))
    freeze_heads(sheet, row=2, column=2)
    for row in input_rows(a.source):
        put_text(sheet.page.cell(sheet.at, 1), row.path)
        for column, value in ((2, row.value), (4, row.low), (5, row.high)):
            cell = sheet.page.cell(sheet.at, column)
            if isinstance(value, str):
                put_text(cell, value).alignment = Alignment(wrap_text=True, horizontal="right")
            elif value is not None:
                cell.value = value
                cell.number_format = "#,##0.####"
        for column, text in ((3, row.unit), (6, row.basis), (7, row.note)):
            sheet.note(column, text)
        sheet.at += 1
    set_widths(sheet)


def _assumed(book: Workbook, a: Appraisal) -> None:
    sheet = _sheet(book, "assumed", a, Paper.ACROSS)
    sheet.head(("Assumed, since the ledger does not say", "Value", "Source"))
    freeze_heads(sheet, row=2)
    for one in a.assumed:
        for column, text in ((1, one.path), (2, one.value), (3, one.source)):
            put_text(sheet.page.cell(sheet.at, column), text).alignment = Alignment(wrap_text=True, vertical="top")
        sheet.at += 1
    sheet.blank()
    sheet.head(("Warning", "Line of the ledger", "About"))
    for notice in a.warnings:
        put_text(sheet.page.cell(sheet.at, 1), notice.text).alignment = Alignment(wrap_text=True, vertical="top")
        if notice.line is not None:
            sheet.figure(2, notice.line, Measure.YEAR_NUMBER)
        put_text(sheet.page.cell(sheet.at, 3), notice.path)
        sheet.at += 1
    set_widths(sheet, widest=70)
