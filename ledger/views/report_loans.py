"""Does the saving carry the loan: payments, their cover in the lowest year, in a mild winter, in a hard one."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.money.results import LoanFigures, LowestCover
from ledger.plans.for_a_lender import cover_in_winter
from ledger.plans.results import Stress
from ledger.views.fan import fan_kwh_of
from ledger.views.figures import Measure, show_figure
from ledger.views.report_budget import plans_against
from ledger.views.report_parts import Facts, Part, Prose, Section, Strong, name_of
from ledger.views.report_winters import hard_winter, mild_winter, shift_words
from ledger.views.row import is_placeholder, style_of

MOST_LOANS = 2
CAPTION = "Cover: cash saved by this build alone, own work apart, over payments"


def loans_section(a: Appraisal) -> Section:
    """The payments of each loan, then how all of them together are carried."""
    heading = "Does the saving carry the loan?"
    if not a.loans:
        return Section(heading, (Prose("No loan is noted."),))
    rows = [_loan_row(figures, rate, a) for figures, rate in _shown(a)]
    rows += _cover_rows(a)
    parts: list[Part] = [Facts(CAPTION, tuple(rows))]
    lowest = a.loans[0].lowest
    if lowest is not None and lowest.saving_cover < 1.0 and not is_placeholder(a):
        parts.append(Strong("In its lowest year the saving does not cover the payments."))
    return Section(heading, tuple(parts))


def _shown(a: Appraisal) -> list[tuple[LoanFigures, float | None]]:
    rates = [float(loan.annual_rate) for loan in a.source.terms.loans]
    return [(one, rates[k] if k < len(rates) else None) for k, one in enumerate(a.loans)][:MOST_LOANS]


def _loan_row(figures: LoanFigures, rate: float | None, a: Appraisal) -> tuple[str, str]:
    style = style_of(a)
    at = "" if rate is None else f", {show_figure(rate, Measure.RATE, style)} a year"
    payment = str(show_figure(figures.payment, Measure.COIN, style))
    return f"{name_of(figures.name)}: {len(figures.rows)} payments{at}", payment


def _cover_rows(a: Appraisal) -> list[tuple[str, str]]:
    style, several = style_of(a), len(a.loans) > 1
    rest = len(a.loans) - MOST_LOANS
    more = f", {rest} more loans among them" if rest > 0 else ""
    due: dict[int, float] = {}
    for one in a.loans:
        for year in one.debt_service:
            due[year.year] = due.get(year.year, 0.0) + (year.amount or 0.0)
    whose = "All loans together" if several else "Payments"
    rows = [(f"{whose}, dearest year{more}", str(show_figure(max(due.values(), default=0.0), Measure.COIN, style)))]
    lowest = a.loans[0].lowest
    if is_placeholder(a) or lowest is None:
        return [*rows, ("How far the saving covers them", "not known")]
    rows.append((f"Cover in the lowest year ({lowest.year})", _times(lowest.saving_cover)))
    return [*rows, *_winter_rows(a, lowest)]


def _winter_rows(a: Appraisal, lowest: LowestCover) -> list[tuple[str, str]]:
    """The lowest year again, were its winter mild or hard, and what fuel the hard one asks for."""
    rows = []
    hard = hard_winter(a)
    for winter in (mild_winter(a), hard):
        cover = None if winter is None else _cover(a, winter, lowest.year)
        if winter is not None and cover is not None:
            rows.append((f"were its winter {shift_words(winter, a)}", _times(cover)))
    bill = next((one.fuel_cost for one in hard.sources if one.name == a.worth.against), None) if hard else None
    _, built = plans_against(a)
    if hard is not None and bill is not None and built is not None and built.fuel_cost is not None:
        usual, then = (str(show_figure(cost, Measure.MONEY, style_of(a))) for cost in (built.fuel_cost, bill))
        rows.append((f"Heat to buy then (usually {usual})", then))
    return rows


def _cover(a: Appraisal, winter: Stress, year: int) -> float | None:
    if a.typical_heat is None:
        return None
    return cover_in_winter(a.source, a.typical_heat, winter, year=year, fan_kwh=fan_kwh_of(a))


def _times(value: float) -> str:
    return f"{value:.2f} times"
