"""Loans: the schedule of payments, and how the project's own yearly cash carries it. A loan changes no worth."""

from __future__ import annotations

import calendar
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal, localcontext

import numpy as np

from ledger.errors import Notice
from ledger.model.terms import Loan, Posting, Terms
from ledger.money.flows import flows
from ledger.money.project import FloatArray, Project, number, year_of
from ledger.money.results import LoanFigures, LoanRow, LowestCover, YearAmount

_DIGITS = 50


def payment_date(loan: Loan, payment_number: int) -> date:
    """When a payment falls due: so many periods after the start, on its day of the month or the month's last."""
    per_year = loan.payments_per_year
    if 12 % per_year == 0:
        months = loan.start.month - 1 + payment_number * (12 // per_year)
        year, month = loan.start.year + months // 12, months % 12 + 1
        return date(year, month, min(loan.start.day, calendar.monthrange(year, month)[1]))
    if per_year in (26, 52):
        return loan.start + timedelta(weeks=payment_number * (52 // per_year))
    return loan.start + timedelta(days=round(payment_number * 365.2425 / per_year))


def level_payment(principal: Decimal, rate: Decimal, payments: int) -> Decimal:
    """The equal payment that clears a loan.

    >>> round(level_payment(Decimal(1000), Decimal("0.01"), 1), 2)  # one payment: what was lent and its interest
    Decimal('1010.00')

        principal · rate ÷ (1 − (1 + rate)^−payments);  principal ÷ payments at rate 0

    Source: capital recovery factor, ASTM E917. [currency]
    """
    if rate == 0:
        return principal / payments
    return principal * rate / (1 - (1 + rate) ** -payments)


def schedule(loan: Loan, *, coin_digits: int) -> tuple[LoanRow, ...]:
    """Every payment of a loan, ending at a balance of exactly 0.

    The yearly rate is divided by the payments a year. Posted in coins, payment and interest of each row are rounded
    half up and the last payment takes the rest; posted exactly, nothing is rounded.

    Parameters
    ----------
    loan : its terms. [currency, 1/a, a]
    coin_digits : decimals of the currency's smallest coin.

    Returns
    -------
    tuple of LoanRow : [currency]; the first payment one period after the start.

    Source
    ------
    Amortisation by equal payments; both postings are met in lenders' schedules.
    """
    with localcontext() as context:
        context.prec = _DIGITS
        rate = Decimal(repr(float(loan.annual_rate))) / loan.payments_per_year
        payments = max(1, round(loan.years * loan.payments_per_year))
        coin = Decimal(1).scaleb(-coin_digits)
        posted = _posted(level_payment(loan.principal, rate, payments), loan.posting, coin)
        balance = loan.principal
        rows: list[LoanRow] = []
        for k in range(1, payments + 1):
            interest = _posted(balance * rate, loan.posting, coin)
            clears = k == payments or posted - interest > balance
            principal = balance if clears else posted - interest
            balance -= principal
            paid = interest + principal
            rows.append(
                LoanRow(
                    number=k,
                    date=payment_date(loan, k).isoformat(),
                    payment=float(paid),
                    interest=float(interest),
                    principal=float(principal),
                    balance=float(balance),
                )
            )
        return tuple(rows)


def yearly_cash(project: Project) -> FloatArray:
    """Cash of years 0..N that can carry payments: saving − running − upkeep − replacements, no own work. [currency]

    Zero in year 0. Neither the capital nor what is left at the end is in it.
    """
    streams = flows(without_own_work(project))
    return np.asarray(streams.saving + streams.running + streams.upkeep + streams.replacement)


def without_own_work(project: Project) -> Project:
    """The same project with every own hour at no money: what changes hands in cash."""
    year = replace(project.year, avoided_labour_cost=0.0, running_labour_cost=0.0, upkeep_labour_cost=0.0)
    items = tuple(replace(i, counted=i.counted - i.own_work, own_work=0.0) for i in project.items)
    return replace(project, year=year, items=items)


def loans(terms: Terms, project: Project) -> tuple[LoanFigures, ...]:
    """Each loan's schedule, and how the project's own saving carries the payments.

        saving_cover of a year = cash (saving − running − upkeep − replacements) ÷ payments due
        owner_cash             = the same cash − payments due

    Payments due are those of all loans together. This is the project's own cover, not a borrower's debt-service
    ratio, whose income is that of the whole farm. Payments are nominal; where the ledger's rates are real they are
    put into base-date money, ÷ (1 + inflation)^year, in everything by year (the rows stay as paid).

    Parameters
    ----------
    terms : the loans, base date, coin, rates.
    project : without draws.

    Returns
    -------
    tuple of LoanFigures : in the ledger's order; cover and cash None where the saving is unknown or no payment is due.
    """
    schedules = [schedule(loan, coin_digits=terms.coin_digits) for loan in terms.loans]
    due = [_due_by_year(rows, terms) for rows in schedules]
    total: dict[int, float] = {}
    for yearly in due:
        for year, amount in yearly.items():
            total[year] = total.get(year, 0.0) + amount
    cash = yearly_cash(project) if project.year.avoided_fuel_cost is not None else None
    return tuple(
        _figures(loan, rows, yearly, total, cash)
        for loan, rows, yearly in zip(terms.loans, schedules, due, strict=True)
    )


def loan_notices(terms: Terms) -> tuple[Notice, ...]:
    """What must be said beside the loans."""
    if not terms.loans or not terms.rates_are_real:
        return ()
    text = "rates are real: loan payments by year are in base-date money, deflated by the ledger's inflation"
    return (Notice("loan-deflated", text, "loans"),)


def _figures(
    loan: Loan,
    rows: tuple[LoanRow, ...],
    due: dict[int, float],
    total_due: dict[int, float],
    cash: FloatArray | None,
) -> LoanFigures:
    study = () if cash is None else tuple(range(1, len(cash)))
    cover = tuple(
        YearAmount(k, float(cash[k]) / total_due[k] if cash is not None and total_due.get(k, 0.0) > 0 else None)
        for k in study
    )
    owner = tuple(YearAmount(k, float(cash[k]) - total_due.get(k, 0.0)) for k in study if cash is not None)
    known = [LowestCover(c.year, c.amount) for c in cover if c.amount is not None]
    return LoanFigures(
        name=loan.name,
        payment=rows[0].payment,
        rows=rows,
        debt_service=tuple(YearAmount(k, amount) for k, amount in sorted(due.items())),
        saving_cover=cover,
        lowest=min(known, key=lambda c: c.saving_cover, default=None),
        owner_cash=owner,
    )


def _due_by_year(rows: Sequence[LoanRow], terms: Terms) -> dict[int, float]:
    inflation = float(number(terms.inflation)) if terms.rates_are_real else 0.0
    due: dict[int, float] = {}
    for row in rows:
        if row.payment > 0:
            year = year_of(date.fromisoformat(row.date), base=terms.base_date)
            due[year] = due.get(year, 0.0) + row.payment / (1.0 + inflation) ** year
    return due


def _posted(amount: Decimal, posting: Posting, coin: Decimal) -> Decimal:
    match posting:
        case Posting.CENTS:
            return amount.quantize(coin, rounding=ROUND_HALF_UP)
        case Posting.EXACT:  # pragma: no branch; the last of a closed choice, as mypy holds
            return amount
