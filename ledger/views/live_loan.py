"""Loans, live: every payment, and how the project's own cash carries them."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.styles import Alignment

from ledger.model.terms import Loan, Posting
from ledger.money.loans import payment_date
from ledger.money.project import year_of
from ledger.views.figures import Measure
from ledger.views.live import Live, column_of, label, say_agreement
from ledger.views.live_inputs import InputNames, LoanNames, most_payments
from ledger.views.live_years import CASH, YearPlaces
from ledger.views.sheet import LINE_POINTS, Paper, Sheet, letters, set_widths

PAID, INTEREST, PRINCIPAL, BALANCE, YEAR = 3, 4, 5, 6, 7
COVER = (
    "Saving cover: the project's own yearly cash (no own work counted) over the payments due in the year{all_loans}. "
    "It is the cover of this project alone; what a borrower can carry is judged on the income of the whole farm."
)
ALL_LOANS = ", those of all loans together"


@dataclass(frozen=True, slots=True)
class _Rows:
    """Where a schedule stands: its first and last row, and the name of how many of its payments are due."""

    sheet: Sheet
    first: int
    last: int
    payments: str

    def column(self, column: int) -> str:
        """A column of all rows."""
        return column_of(self.sheet, column, self.first, self.last)

    def checks(self, principal: str) -> list[tuple[str, str, str]]:
        """What is left after the last payment is nothing; the payments of principal make up what was lent."""
        left = f"INDEX({self.column(BALANCE)},MIN({self.payments},{self.last - self.first + 1}))"
        return [
            ("A loan: what is left after its last payment, and nothing", left, "0"),
            ("A loan: its payments of principal, and what was lent", f"SUM({self.column(PRINCIPAL)})", principal),
        ]


def loan_sheet(live: Live, names: InputNames, years: YearPlaces) -> list[tuple[str, str, str]]:
    """Cover by year, then the schedules; pairs of totals that must agree (words, one way, another way)."""
    a = live.appraisal
    sheet = live.sheet("loan", Paper.UPRIGHT)
    if not a.source.terms.loans:
        sheet.words("The ledger holds no loan.")
        set_widths(sheet)
        return []
    top = sheet.at
    sheet.at = top + a.source.terms.study_years + 8
    pairs: list[tuple[str, str, str]] = []
    made: list[_Rows] = []
    areas: list[str] = []
    for number, (loan, terms) in enumerate(zip(a.loans, a.source.terms.loans, strict=True), start=1):
        begins = sheet.at
        rows = _schedule(live, sheet, number, terms, names.loans[number - 1])
        pairs += rows.checks(names.loans[number - 1].principal)
        areas.append(f"A{begins}:H{rows.first + len(loan.rows) - 1}")
        made.append(rows)
        sheet.blank()
    after = sheet.at
    sheet.at = top
    _cover(live, sheet, years, [(rows.column(YEAR), rows.column(PAID)) for rows in made])
    areas.insert(0, f"A1:H{sheet.at - 1}")
    sheet.at = after
    set_widths(sheet, widest=20)
    sheet.page.print_area = ",".join(areas)
    return pairs


def _schedule(live: Live, sheet: Sheet, number: int, loan: Loan, named: LoanNames) -> _Rows:
    sheet.words(f"{loan.name}, posted {'in coins' if loan.posting is Posting.CENTS else 'unrounded'}", bold=True)
    sheet.page.cell(sheet.at - 1, 1).alignment = Alignment(wrap_text=False)
    most = most_payments(loan)
    label(sheet, "Payments")
    sheet.formula(2, f"=MAX(1,ROUND({named.years}*{loan.payments_per_year},0))", Measure.YEAR_NUMBER)
    payments = live.name(f"loan_{number}_payments", sheet, 2)
    sheet.note(3, f"the schedule has room for {most}")
    sheet.at += 1
    label(sheet, "Each of them")
    lent, period = named.principal, f"({named.rate}/{loan.payments_per_year})"
    level = f"IF({named.rate}=0,{lent}/{payments},{lent}*{period}/(1-(1+{period})^(-{payments})))"
    digits = live.appraisal.source.terms.coin_digits
    sheet.formula(2, "=" + _posted(level, loan.posting, digits), Measure.COIN)
    payment = live.name(f"loan_{number}_payment", sheet, 2)
    sheet.at += 1
    sheet.head(("Payment", "Date", "Paid", "Interest", "Principal", "Balance", "In year"), right=(1, 3, 4, 5, 6, 7))
    first = sheet.at
    base = live.appraisal.source.terms.base_date
    for k in range(1, most + 1):
        row, day = sheet.at, payment_date(loan, k)
        before = lent if k == 1 else f"F{row - 1}"
        part = f"{payment}-D{row}"
        clears = f"IF(A{row}={payments},{before},IF({part}>{before},{before},{part}))"
        figures = (
            (INTEREST, _posted(f"{before}*{period}", loan.posting, digits)), (PRINCIPAL, clears),
            (PAID, f"D{row}+E{row}"), (BALANCE, _posted(f"{before}-E{row}", loan.posting, digits)),
        )  # fmt: skip
        sheet.formula(1, f'=IF({k}<={payments},{k},"")', Measure.YEAR_NUMBER)
        sheet.formula(2, _if_due(row, f'"{day.isoformat()}"'), Measure.WORDS).alignment = Alignment(indent=1)
        for column, formula in figures:
            sheet.formula(column, _if_due(row, formula), Measure.COIN)
        sheet.formula(YEAR, _if_due(row, str(year_of(day, base=base))), Measure.YEAR_NUMBER)
        sheet.at += 1
    return _Rows(sheet, first, sheet.at - 1, payments)


def _if_due(row: int, formula: str) -> str:
    """Nothing in the rows beyond the last payment."""
    return f'=IF(A{row}="","",{formula})'


def _posted(amount: str, posting: Posting, digits: int) -> str:
    return f"ROUND({amount},{digits})" if posting is Posting.CENTS else f"({amount})"


def _cover(live: Live, sheet: Sheet, years: YearPlaces, due: list[tuple[str, str]]) -> None:
    a = live.appraisal
    study = a.source.terms.study_years
    label(sheet, COVER.format(all_loans=ALL_LOANS if len(due) > 1 else ""))
    sheet.page.merge_cells(start_row=sheet.at, end_row=sheet.at, start_column=1, end_column=8)
    sheet.page.row_dimensions[sheet.at].height = 3 * LINE_POINTS
    sheet.at += 1
    sheet.head(("Year", "Payments due", "Cash of the project", "Saving cover, times", "Left to the owner", "Lowest",
                "as filed", "Agrees"), right=(1, 2, 3, 4, 5, 7))  # fmt: skip
    first, last = sheet.at, sheet.at + study - 1
    filed = {one.year: one.amount for one in a.loans[0].saving_cover}
    for k in range(1, study + 1):
        row = sheet.at
        sheet.figure(1, float(k), Measure.YEAR_NUMBER)
        paid = "+".join(f"SUMIF({when},A{row},{what})" for when, what in due)
        sheet.formula(2, f'=({paid})/IF(rates_are="real",(1+inflation)^A{row},1)', Measure.COIN)
        if live.known:
            sheet.formula(3, f"={years.year(CASH, k)}", Measure.COIN)
            sheet.formula(4, f'=IF(B{row}>0,C{row}/B{row},"none due")', Measure.RATIO)
            sheet.page.cell(row, 4).alignment = Alignment(horizontal="right", vertical="top")
            sheet.formula(5, f"=C{row}-B{row}", Measure.COIN)
            low = f'=IF(ISNUMBER(D{row}),IF(D{row}=MIN($D${first}:$D${last}),"lowest",""),"")'
            sheet.page.cell(row, 6).value = low
            sheet.page.cell(row, 6).font = letters(bold=True)
        sheet.figure(7, filed.get(k), Measure.RATIO, if_none="none due")
        say_agreement(sheet, 8, f"D{row}", f"G{row}")
        sheet.at += 1
    label(sheet, "Lowest", bold=True)
    if live.known:
        any_due = f"SUM(B{first}:B{last})>0"
        sheet.formula(4, f'=IF({any_due},MIN(D{first}:D{last}),"none due")', Measure.RATIO).font = letters(bold=True)
        live.name("lowest_saving_cover", sheet, 4)
    sheet.at += 1
