"""The cash flow as a live sheet: change the rate or a stream, and sums and worth follow."""

from __future__ import annotations

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.workbook.defined_name import DefinedName

from ledger.appraisal import Appraisal
from ledger.model.terms import Timing
from ledger.views.figures import Measure
from ledger.views.row import style_of
from ledger.views.sheet import Paper, Sheet, freeze_heads, new_sheet, put_text, set_widths
from ledger.views.tables import cash_table


def cash_flow_sheet(book: Workbook, a: Appraisal) -> None:
    """Year by year, live: sums, discounting and running sums follow the rate and the streams."""
    sheet = new_sheet(book, "cash flow", style_of(a), title=a.identity.title, paper=Paper.ACROSS)
    page = sheet.page
    put_text(page["A1"], "Discount rate")
    page["G1"] = a.source.terms.discount_rate.likely
    page["G1"].number_format = "0.00%"
    put_text(page["A2"], "Streams come before the end of their year by, years")
    page["G2"] = 0.5 if a.source.terms.timing is Timing.MID_YEAR else 0
    page["G2"].number_format = "0.0"
    put_text(page["A3"], f"In {sheet.style.currency}; costs negative. Net, today's money and sums are live formulas.")
    book.defined_names["discount_rate"] = DefinedName("discount_rate", attr_text="'cash flow'!$G$1")
    book.defined_names["early_by_years"] = DefinedName("early_by_years", attr_text="'cash flow'!$G$2")
    sheet.at = 5
    table = cash_table(a)
    sheet.head([column.label for column in table.columns], right=range(1, len(table.columns) + 1))
    first = sheet.at
    freeze_heads(sheet, row=first, column=2)
    for row in table.rows:
        for place, (value, column) in enumerate(zip(row[:7], table.columns[:7], strict=True), start=1):
            sheet.figure(place, value, column.measure)
        for place, formula in _live(sheet.at, first):
            sheet.formula(place, formula, Measure.COIN)
        sheet.at += 1
    _totals(book, sheet, a, first=first, last=sheet.at - 1)
    set_widths(sheet)
    page.column_dimensions["A"].width = 10


def _live(row: int, first: int) -> tuple[tuple[int, str], ...]:
    """Formulas of a year: net, net in today's money (what is left at the end counts at the end), the two sums."""
    late = f"G{row}/(1+discount_rate)^A{row}"
    early = f"(H{row}-G{row})/(1+discount_rate)^(A{row}-early_by_years)"
    discounted = f"=IF(A{row}=0,H{row},{early}+{late})"
    sums = (f"=H{row}", f"=I{row}") if row == first else (f"=J{row - 1}+H{row}", f"=K{row - 1}+I{row}")
    return ((8, f"=SUM(B{row}:G{row})"), (9, discounted), (10, sums[0]), (11, sums[1]))


def _totals(book: Workbook, sheet: Sheet, a: Appraisal, *, first: int, last: int) -> None:
    if last < first:
        return
    put_text(sheet.page.cell(sheet.at, 1), "Sum")
    for column in range(2, 10):
        letter = "ABCDEFGHI"[column - 1]
        cell = sheet.formula(column, f"=SUM({letter}{first}:{letter}{last})", Measure.COIN)
        cell.font = Font(bold=True)
    sheet.page.cell(sheet.at, 1).font = Font(bold=True)
    total = sheet.at
    book.defined_names["npv"] = DefinedName("npv", attr_text=f"'cash flow'!$I${total}")
    if a.worth.npv is None:
        return
    sheet.at += 2
    put_text(sheet.page.cell(sheet.at, 1), "Gain in today's money (NPV), as filed by the program")
    sheet.figure(9, a.worth.npv, Measure.COIN)
    filed = sheet.at
    sheet.at += 1
    put_text(sheet.page.cell(sheet.at, 1), "Do the live sum and the filed figure agree?")
    agree = sheet.page.cell(sheet.at, 9)
    agree.value = f'=IF(ABS(I{total}-I{filed})<0.01,"yes","no: an input was changed")'
    agree.alignment = Alignment(horizontal="right")
