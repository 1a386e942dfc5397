"""Loans, live: every payment, and how the project's own cash carries them."""

from __future__ import annotations

from datetime import date

from openpyxl.styles import Alignment

from ledger.model.terms import Loan, Posting
from ledger.money.project import year_of
from ledger.money.results import LoanFigures
from ledger.views.figures import Measure
from ledger.views.live import Live, column_of, label, say_agreement
from ledger.views.live_inputs import InputNames
from ledger.views.live_years import CASH, YearPlaces
from ledger.views.sheet import Paper, Sheet, letters, put_text, set_widths

_SPLIT = "Balance"
NOT_A_RATIO = (
    "The project's own yearly cash (no own work) over the payments due; not a borrower's debt-service ratio, whose "
    "income is that of the whole farm."
)


def loan_sheet(live: Live, names: InputNames, years: YearPlaces) -> list[tuple[str, str]]:
    """Schedules, then the cover by year; pairs of cells that must agree: last balance and 0, sums of principal."""
    a = live.appraisal
    sheet = live.sheet("loan", Paper.UPRIGHT)
    if not a.source.terms.loans:
        sheet.words("The ledger holds no loan.")
        set_widths(sheet)
        return []
    top = sheet.at
    cover_rows = a.source.terms.study_years + 5
    sheet.at = top + cover_rows
    pairs, due = [], []
    for place, (loan, terms) in enumerate(zip(a.loans, a.source.terms.loans, strict=True)):
        principal, rate = names.loans[place]
        first, last = _schedule(live, sheet, loan, terms, (principal, rate))
        due.append((column_of(sheet, 7, first, last), column_of(sheet, 3, first, last)))
        pairs += [(f"'loan'!$F${last}", "0"), (f"SUM({column_of(sheet, 5, first, last)})", principal)]
        sheet.blank()
    after = sheet.at
    sheet.at = top
    _cover(live, sheet, years, due)
    sheet.at = after
    set_widths(sheet, widest=20)
    return pairs


def _schedule(live: Live, sheet: Sheet, loan: LoanFigures, terms: Loan, named: tuple[str, str]) -> tuple[int, int]:
    principal, rate = named
    sheet.words(f"{loan.name}, posted {'in coins' if terms.posting is Posting.CENTS else 'unrounded'}", bold=True)
    sheet.page.cell(sheet.at - 1, 1).alignment = Alignment(wrap_text=False)
    sheet.head(("Payment", "Date", "Paid", "Interest", "Principal", _SPLIT, "In year"), right=(1, 3, 4, 5, 6, 7))
    digits = live.appraisal.source.terms.coin_digits
    period = f"({rate}/{terms.payments_per_year})"
    count = len(loan.rows)
    level = f"IF({rate}=0,{principal}/{count},{principal}*{period}/(1-(1+{period})^(-{count})))"
    first = sheet.at
    base = live.appraisal.source.terms.base_date
    for row in loan.rows:
        at = sheet.at
        before = principal if at == first else f"F{at - 1}"
        posted = _posted(level, terms.posting, digits)
        sheet.figure(1, float(row.number), Measure.YEAR_NUMBER)
        put_text(sheet.page.cell(at, 2), row.date)
        sheet.formula(4, "=" + _posted(f"{before}*{period}", terms.posting, digits), Measure.COIN)
        clears = before if at == first + count - 1 else f"IF({posted}-D{at}>{before},{before},{posted}-D{at})"
        sheet.formula(5, f"={clears}", Measure.COIN)
        sheet.formula(3, f"=D{at}+E{at}", Measure.COIN)
        left = f"{before}-E{at}"
        sheet.formula(6, f"=ROUND({left},{digits})" if terms.posting is Posting.CENTS else f"={left}", Measure.COIN)
        sheet.figure(7, float(year_of(date.fromisoformat(row.date), base=base)), Measure.YEAR_NUMBER)
        sheet.at += 1
    return first, sheet.at - 1


def _posted(amount: str, posting: Posting, digits: int) -> str:
    return f"ROUND({amount},{digits})" if posting is Posting.CENTS else f"({amount})"


def _cover(live: Live, sheet: Sheet, years: YearPlaces, due: list[tuple[str, str]]) -> None:
    a = live.appraisal
    study = a.source.terms.study_years
    label(sheet, NOT_A_RATIO)
    sheet.page.merge_cells(start_row=sheet.at, end_row=sheet.at, start_column=1, end_column=8)
    sheet.page.row_dimensions[sheet.at].height = 30
    sheet.at += 1
    sheet.head(("Year", "Payments due", "Cash of the project", "Cash over payments", "Left to the owner", "Lowest",
                "as filed", "Agrees"), right=(1, 2, 3, 4, 5, 7))  # fmt: skip
    first, last = sheet.at, sheet.at + study - 1
    filed = {one.year: one.amount for one in a.loans[0].saving_cover}
    known = live.known
    for k in range(1, study + 1):
        row = sheet.at
        sheet.figure(1, float(k), Measure.YEAR_NUMBER)
        paid = "+".join(f"SUMIF({when},A{row},{what})" for when, what in due)
        sheet.formula(2, f'=({paid})/IF(rates_are="real",(1+inflation)^A{row},1)', Measure.COIN)
        if known:
            sheet.formula(3, f"={years.year(CASH, k)}", Measure.COIN)
            sheet.formula(4, f'=IF(B{row}>0,C{row}/B{row},"none due")', Measure.RATIO)
            sheet.formula(5, f"=C{row}-B{row}", Measure.COIN)
            low = f'=IF(ISNUMBER(D{row}),IF(D{row}=MIN($D${first}:$D${last}),"lowest",""),"")'
            sheet.page.cell(row, 6).value = low
            sheet.page.cell(row, 6).font = letters(bold=True)
        sheet.figure(7, filed.get(k), Measure.RATIO, if_none="none due")
        say_agreement(sheet, 8, f"D{row}", f"G{row}")
        sheet.at += 1
