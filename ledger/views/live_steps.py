"""The steps to paybacks and rate, live: running sums, what fewer years would be worth, the search for the rate."""

from __future__ import annotations

from dataclasses import dataclass

from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter as letter

from ledger.money.returns import HIGHEST_RATE, LOWEST_RATE
from ledger.views.figures import Measure
from ledger.views.live import Live, label
from ledger.views.live_years import LEFT as LEFT_YEAR
from ledger.views.live_years import NET, NEW, TODAY, YearPlaces
from ledger.views.sheet import Paper, Sheet, set_widths

NEWTON_STEPS = 10
_FIRST, _ENDED, _PAID = 3, 12, 13
_NEVER = 9999
_NOTHING = "0.000000001"
_GUESS, _OTHER_GUESSES = 0.03, (0.4, -0.5, -0.2)
_NO_RATE = '"no single rate"'
_FLOOR = "-0.0000000001"


@dataclass(frozen=True, slots=True)
class Steps:
    """Where the running sums and the search for the rate stand. `first_paid`: the shortest study that pays."""

    sheet: Sheet
    payback: str
    discounted_payback: str
    rate: str
    first_paid: str

    def after(self, years: int) -> str:
        """What a study of so many years would be worth, with nothing left at its end."""
        return f"'steps'!${letter(_ENDED)}${_FIRST + years}"


def steps_sheet(live: Live, years: YearPlaces) -> Steps:
    """The steps to paybacks and rate: running sums without what is left, dated flows by half years, Newton's steps."""
    sheet = live.sheet("steps", Paper.ACROSS)
    n = live.appraisal.source.terms.study_years
    label(sheet, "Running sums without what is left at the end; then flows by half years for the internal rate")
    sheet.page.cell(1, 1).alignment = Alignment(wrap_text=False)
    sheet.at = 2
    sheet.head(("Year", "Net", "Running sum", "Last year below 0", "Net, today", "Running sum, today",
                "Last year below 0", "", "Half year", "Flow", "", "Worth if all ended here, nothing left",
                "Pays by then"), right=range(1, 14))  # fmt: skip
    first, last = _FIRST, _FIRST + n
    for k in range(n + 1):
        row = first + k
        sheet.figure(1, float(k), Measure.YEAR_NUMBER)
        sheet.formula(2, f"={years.year(NET, k)}-{years.year(LEFT_YEAR, k)}", Measure.COIN)
        late = f"{years.year(LEFT_YEAR, k)}*(1+discount_rate)^(-A{row})"
        sheet.formula(5, f"={years.year(TODAY, k)}-{late}", Measure.COIN)
        for amount, running, below in ((2, 3, 4), (5, 6, 7)):
            a, r = letter(amount), letter(running)
            sheet.formula(running, f"={a}{row}" if k == 0 else f"={r}{row - 1}+{a}{row}", Measure.COIN)
            most = f"MAX(MAX({r}${first}:{r}${last}),-MIN({r}${first}:{r}${last}))"
            sheet.formula(below, f"=IF({r}{row}<{_FLOOR}*{most},A{row},-1)", Measure.YEAR_NUMBER)
        ended = f"=F{row}-{years.year(NEW, k)}*(1+discount_rate)^(early_by_years-A{row})"
        sheet.formula(_ENDED, ended if k else f"=F{row}", Measure.COIN)
        if k:
            sheet.formula(_PAID, f"=IF({letter(_ENDED)}{row}>=0,A{row},{_NEVER})", Measure.YEAR_NUMBER)
        sheet.at += 1
    for step in range(2 * n + 1):
        row = first + step
        sheet.page.cell(row, 9).value = step
        cell = sheet.page.cell(row, 10)
        cell.value = f"=SUMPRODUCT(($A${first}:$A${last}*2-IF(early_by_years>0,1,0)*($A${first}:$A${last}>0)=I{row})" \
                     f"*$B${first}:$B${last})" + (f"+{years.year(LEFT_YEAR, n)}" if step == 2 * n else "")  # fmt: skip
        cell.number_format = "#,##0.00"
    sheet.at = first + 2 * n + 2
    rate = _newton(live, sheet, first, first + 2 * n)
    set_widths(sheet, widest=16)
    paid = f"MIN('steps'!${letter(_PAID)}${first + 1}:${letter(_PAID)}${last})"
    return Steps(sheet, _crossing("B", "C", "D", first, last), _crossing("E", "F", "G", first, last), rate, paid)


def _crossing(amount: str, running: str, below: str, first: int, last: int) -> str:
    """Formula of the last crossing of a running sum, linear within the year."""
    page = "'steps'!"
    deep = f"MAX({page}${below}${first}:${below}${last})"
    debt = f"INDEX({page}${running}${first}:${running}${last},{deep}+1)"
    step = f"INDEX({page}${amount}${first}:${amount}${last},{deep}+2)"
    n = last - first
    return f'=IF({deep}<0,0,IF({deep}>={n},"not in the study",{deep}+MIN(1,-{debt}/{step})))'


def _newton(live: Live, sheet: Sheet, first: int, last: int) -> str:
    """The yearly rate by IRR of half years, made exact by Newton's steps, where there is exactly one.

    The program counts the rates of the flows that it filed. Of changed flows the sheet knows one rule: where their
    sign changes once, there is one rate. So a rate shows where one was filed, or where the sign changes once. Newton's
    steps are taken on the logarithm of gains over costs, which is nearly straight in that of 1 + rate.
    """
    filed = live.appraisal.worth.irr
    flows, times = f"$J${first}:$J${last}", f"$I${first}:$I${last}"
    for row in range(first, last + 1):
        before = "0" if row == first else f"K{row - 1}"
        sheet.page.cell(row, 11).value = f"=IF(J{row}>{_NOTHING},1,IF(J{row}<-{_NOTHING},-1,{before}))"
    label(sheet, "How often the flows change their sign", bold=True)
    sheet.formula(4, f"=SUMPRODUCT((K{first}:K{last - 1}*K{first + 1}:K{last}=-1)*1)", Measure.YEAR_NUMBER)
    turns = f"'steps'!$D${sheet.at}"
    sheet.at += 1
    guess = _GUESS if filed is None else (1.0 + filed) ** 0.5 - 1.0
    label(sheet, "Internal rate of a half year: IRR, then Newton's steps", bold=True)
    sheet.at += 1
    tried = f"{guess!r}"
    for start in (*_OTHER_GUESSES, guess):
        tried = f"IFERROR(IRR({flows},{start!r}),{tried})"
    sheet.formula(2, f"={tried}", Measure.PRICE)
    for _ in range(NEWTON_STEPS):
        sheet.at += 1
        r = f"B{sheet.at - 1}"
        gain, cost = (f"SUMPRODUCT(({flows}{sign}0)*{flows},(1+{r})^(-{times}))" for sign in "><")
        late, early = (f"SUMPRODUCT(({flows}{sign}0)*{flows},{times},(1+{r})^(-{times}))" for sign in "><")
        step = f"({gain}/-{cost})^(1/({late}/{gain}-{early}/{cost}))"
        sheet.formula(2, f"=IFERROR((1+{r})*{step}-1,{r})", Measure.PRICE)
    found = _only_if_worthless(sheet, first, last)
    return found if filed is not None else f"IF({turns}=1,{found},{_NO_RATE})"


def _only_if_worthless(sheet: Sheet, first: int, last: int) -> str:
    """The yearly rate, if the flows are worth nothing at it: other inputs may leave no rate at all."""
    flows, times = (f"'steps'!${c}${first}:${c}${last}" for c in "JI")
    half = f"'steps'!$B${sheet.at}"
    worth = f"ABS(SUMPRODUCT({flows},(1+{half})^(-{times})))"
    rate = f"(1+{half})^2-1"
    inside = f"IF({rate}>={LOWEST_RATE!r},IF({rate}<={HIGHEST_RATE!r},{rate},{_NO_RATE}),{_NO_RATE})"
    size = f"SUMPRODUCT(ABS({flows}),(1+{half})^(-{times}))"
    return f"IFERROR(IF({worth}<=0.0000000001*{size},{inside},{_NO_RATE}),{_NO_RATE})"
