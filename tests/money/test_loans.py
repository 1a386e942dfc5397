"""Loans: schedules to the cent, and the project's own cover."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Unpack

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.model.ledger import Ledger
from ledger.model.terms import Posting
from ledger.money.figures import DegreeDays, worth
from ledger.money.loans import level_payment, loan_notices, loans, payment_date, schedule, yearly_cash
from ledger.money.project import project_from
from ledger.money.results import LoanRow, WorthFigures
from tests.changes import LoanChanges
from tests.known import known
from tests.money.made import BASE, build, item, ledger_of, loan, part, project, sure, terms, year_money

# Colorado Water Conservation Board record: 128,991.20 at 2.5 %, 30 y; interest rounded to the cent each year.
COLORADO = [
    126053.08, 123041.51, 119954.65, 116790.62, 113547.49, 110223.28, 106815.96, 103323.46, 99743.65, 96074.34,
    92313.30, 88458.23, 84506.79, 80456.56, 76305.07, 72049.80, 67688.15, 63217.45, 58634.99, 53937.96,
    49123.51, 44188.70, 39130.52,
]  # fmt: skip


def rows_of(principal: str, rate: float, years: float, **changed: Unpack[LoanChanges]) -> tuple[LoanRow, ...]:
    return schedule(loan(principal, rate, years, **changed), coin_digits=2)


def between(rows: tuple[LoanRow, ...], field: str, first: int, last: int) -> float:
    return sum(float(getattr(row, field)) for row in rows[first - 1 : last])


def test_a_public_lender_s_schedule_reproduces_to_the_cent() -> None:
    rows = rows_of("128991.20", 0.025, 30)
    assert rows[0].payment == 6162.90
    assert [row.balance for row in rows[:23]] == COLORADO


def test_unrounded_interest_misses_the_posted_balances() -> None:
    rows = rows_of("128991.20", 0.025, 30, posting=Posting.EXACT)
    assert sum(abs(r.balance - posted) > 0.005 for r, posted in zip(rows, COLORADO, strict=False)) == 22


# Course CHE374 lecture 3; LibreOffice Calc PMT; numpy-financial docstring.
@pytest.mark.parametrize(
    ("principal", "rate", "per_year", "payments", "printed", "tolerance"),
    [
        ("400000", "0.05", 12, 300, 2338, 0.5),
        ("25000", "0.0199", 12, 36, 715.96, 0.005),
        ("200000", "0.075", 12, 180, 1854.0247200054619, 1e-9),
        ("8000", "0.07", 1, 10, 1139.02, 0.005),  # constructed by us
        ("10000", "0.07", 1, 10, 1423.775, 0.0005),  # constructed by us
        ("1200000", "0.04", 1, 40, 60628.19, 0.005),  # a lender's sheet prints 60,624.00: agreed, not reckoned
        ("50000", "0.04", 1, 5, 11231.36, 0.005),  # a hand-out prints 11,230 from a rounded factor
        ("150000", "0.06", 12, 60, 2899.92, 0.005),  # a course prints 2,901 by hand
    ],
)
def test_the_level_payment_is_the_printed_one(
    principal: str, rate: str, per_year: int, payments: int, printed: float | int, tolerance: float
) -> None:
    paid = level_payment(Decimal(principal), Decimal(rate) / per_year, payments)
    assert float(paid) == pytest.approx(printed, abs=tolerance)


def test_the_balance_after_five_years_of_a_course_s_mortgage() -> None:
    """Course CHE374, lecture 3: 354,320 after 60 exact payments (±1)."""
    rows = rows_of("400000", 0.05, 25, payments_per_year=12, posting=Posting.EXACT)
    assert rows[59].balance == pytest.approx(354320, abs=1)


def test_cumulated_interest_and_principal_of_the_second_year() -> None:
    """LibreOffice Calc, CUMPRINC and CUMIPMT: 125,000, 9 % over 12, 360 payments, 13 to 24."""
    rows = rows_of("125000", 0.09, 30, payments_per_year=12, posting=Posting.EXACT)
    assert between(rows, "principal", 13, 24) == pytest.approx(934.1071, abs=5e-5)
    assert between(rows, "interest", 13, 24) == pytest.approx(11135.23, abs=0.005)


# numpy-financial docstrings, ipmt and ppmt: 2,500 at 8.24 % over 12 months.
@pytest.mark.parametrize(
    ("number", "principal", "interest", "balance"),
    [(1, 200.58, 17.17, 2299.42), (6, 207.56, 10.18, 1275.66), (12, 216.26, 1.49, 0.0)],
)
def test_rows_of_a_twelve_month_loan(number: int, principal: float, interest: float, balance: float) -> None:
    row = rows_of("2500", 0.0824, 1, payments_per_year=12, posting=Posting.EXACT)[number - 1]
    assert row.principal == pytest.approx(principal, abs=0.005)
    assert row.interest == pytest.approx(interest, abs=0.005)
    assert row.balance == pytest.approx(balance, abs=0.005)


def test_the_interest_of_the_whole_twelve_months() -> None:
    """numpy-financial docstring: 112.98."""
    rows = rows_of("2500", 0.0824, 1, payments_per_year=12, posting=Posting.EXACT)
    assert between(rows, "interest", 1, 12) == pytest.approx(112.98, abs=0.005)


def test_interest_of_exactly_half_a_cent_is_rounded_up() -> None:
    """100.50 at 1 % a year: interest 1.005, posted 1.01. Two payments: the last takes the rest."""
    rows = rows_of("100.50", 0.01, 2)
    assert rows[0].interest == 1.01
    assert rows[1].balance == 0.0


def test_without_interest_the_payments_are_equal_parts_and_the_last_takes_the_rest() -> None:
    rows = rows_of("100", 0.0, 3)
    assert [r.payment for r in rows] == [33.33, 33.33, 33.34]


def test_a_currency_without_small_coins_is_posted_in_whole_units() -> None:
    rows = schedule(loan("100000", 0.03, 3), coin_digits=0)
    assert all(float(r.payment).is_integer() and float(r.interest).is_integer() for r in rows)
    assert rows[-1].balance == 0.0


@settings(max_examples=50, deadline=None)
@given(
    st.decimals(1, 10**6, places=2),
    st.floats(0, 0.2).map(lambda r: round(r, 4)),
    st.integers(1, 30),
    st.sampled_from([1, 2, 4, 12]),
    st.sampled_from(list(Posting)),
)
def test_every_schedule_ends_at_exactly_nothing_owed(
    principal: Decimal, rate: float, years: int, per_year: int, posting: Posting
) -> None:
    rows = rows_of(str(principal), rate, years, payments_per_year=per_year, posting=posting)
    assert len(rows) == years * per_year
    assert rows[-1].balance == 0.0
    assert sum(r.principal for r in rows) == pytest.approx(float(principal), rel=1e-12)
    assert all(r.payment >= 0 and r.balance >= 0 for r in rows)


@settings(max_examples=40, deadline=None)
@given(st.floats(0.001, 0.2).map(lambda r: round(r, 4)), st.integers(1, 30))
def test_all_payments_at_the_loan_s_own_rate_are_worth_its_principal(rate: float, years: int) -> None:
    rows = rows_of("10000", rate, years, posting=Posting.EXACT)
    assert sum(r.payment / (1 + rate) ** r.number for r in rows) == pytest.approx(10000, rel=1e-10)


def test_a_payment_due_on_the_31st_falls_on_the_last_day_of_a_short_month() -> None:
    monthly = loan("1200", 0.05, 1, payments_per_year=12, start=date(2024, 1, 31))
    assert [payment_date(monthly, k) for k in (1, 2, 3, 12)] == [
        date(2024, 2, 29), date(2024, 3, 31), date(2024, 4, 30), date(2025, 1, 31),
    ]  # fmt: skip


def test_fortnightly_payments_fall_every_other_week() -> None:
    fortnightly = loan("1200", 0.05, 1, payments_per_year=26, start=date(2024, 1, 1))
    assert payment_date(fortnightly, 26) == date(2024, 12, 30)


# Cover, by hand: 1,000 a year saved in fuel, 300 more in own work, fan 100, belt 50 in cash; a fan of 200 (60 of it own
# work) replaced every second year; 2,000 borrowed at 0 % over 4 years: 500 a year.
CARRIED = project(
    part(5000.0),
    part(200.0, life=2.0, work=60.0),
    saving=year_money(1000.0, avoided_labour_cost=300.0, running_energy_cost=100.0, upkeep_cost=50.0),
    years=6,
    d=0.05,
)


def test_cover_counts_cash_only_and_charges_the_replacement_to_its_year() -> None:
    """Years 1, 3: 1,000 − 100 − 50 = 850, cover 1.7. Years 2, 4: less 140 = 710, cover 1.42. Then no payment is due."""
    (answer,) = loans(terms(loans=(loan("2000", 0.0, 4),)), CARRIED)
    assert [c.year for c in answer.saving_cover] == [1, 2, 3, 4, 5, 6]
    assert [c.amount for c in answer.saving_cover[:4]] == pytest.approx([1.7, 1.42, 1.7, 1.42])
    assert [c.amount for c in answer.saving_cover[4:]] == [None, None]
    lowest = known(answer.lowest)
    assert lowest.year == 2
    assert lowest.saving_cover == pytest.approx(1.42)
    assert [o.amount for o in answer.owner_cash] == pytest.approx([350, 210, 350, 210, 850, 850])
    assert [d.year for d in answer.debt_service] == [1, 2, 3, 4]
    assert [d.amount for d in answer.debt_service] == pytest.approx([500.0] * 4)


def test_two_loans_are_covered_together() -> None:
    both = terms(loans=(loan("2000", 0.0, 4), loan("1000", 0.0, 2, name="neighbour")))
    first, second = loans(both, CARRIED)
    assert first.saving_cover == second.saving_cover
    assert first.saving_cover[0].amount == pytest.approx(850 / 1000)
    assert [d.amount for d in second.debt_service] == pytest.approx([500, 500])


def test_monthly_payments_gather_in_the_year_that_holds_them() -> None:
    """Start 1 December 2025, base 1 September 2025: payments from 1 January; nine fall up to 1 September 2026."""
    late = loan("1200", 0.0, 1, payments_per_year=12, start=date(2025, 12, 1))
    (answer,) = loans(terms(loans=(late,)), CARRIED)
    assert [d.year for d in answer.debt_service] == [1, 2]
    assert [d.amount for d in answer.debt_service] == pytest.approx([900, 300])


def test_a_loan_that_rounding_up_clears_early_asks_nothing_of_its_last_years() -> None:
    """10 in a coin without parts over twelve years, no interest: 10/12 is posted as 1, and ten payments clear it. A
    cash of 100 a year covers each of them a hundred times; in years 11 and 12 nothing is due."""
    owed = terms(coin_digits=0, loans=(loan("10", 0.0, 12),))
    (figures,) = loans(owed, project(part(1000.0), saving=100.0, years=12, d=0.05))
    assert [(one.year, one.amount) for one in figures.debt_service] == [(k, 1.0) for k in range(1, 11)]
    assert [one.amount for one in figures.saving_cover] == [pytest.approx(100.0)] * 10 + [None, None]
    assert [row.balance for row in figures.rows[9:]] == [0.0, 0.0, 0.0]


def test_with_real_rates_payments_are_deflated_and_it_is_said() -> None:
    """500 due in year 2 at 3 % inflation is 500/1.03² = 471.30 in base-date money; the rows stay 500."""
    real = terms(loans=(loan("2000", 0.0, 4),), rates_are_real=True, inflation=sure(0.03))
    (answer,) = loans(real, CARRIED)
    assert answer.debt_service[1].amount == pytest.approx(471.2980, abs=1e-4)
    assert answer.rows[1].payment == 500.0
    assert [n.code for n in loan_notices(real)] == ["loan-deflated"]
    assert loan_notices(terms(loans=real.loans)) == ()


def test_an_unknown_saving_leaves_the_cover_open() -> None:
    unknown = replace(CARRIED, year=replace(CARRIED.year, avoided_fuel_cost=None))
    (answer,) = loans(terms(loans=(loan("2000", 0.0, 4),)), unknown)
    assert answer.saving_cover == ()
    assert answer.lowest is None
    assert answer.debt_service[0].amount == 500.0


def test_a_loan_changes_no_worth() -> None:
    def figures(ledger: Ledger) -> WorthFigures:
        p = project_from(ledger, year_money(1500.0))
        return worth(p, against="x", others={}, whole_house=p, degree_days=DegreeDays()).figures

    tubes = build("tubes", item("10000"))
    assert figures(ledger_of(tubes)) == figures(ledger_of(tubes, loans=(loan("8000", 0.07, 10),)))


def test_borrowed_money_moves_the_owner_s_worth_and_not_the_project_s() -> None:
    """Constructed by us: 10,000, 1,500 a year, 15 y, 6 %; 8,000 borrowed at 7 % over 10 y (1,139.02 a year).

    Project alone 4,568.37; owner (−2,000, savings less payments) 4,185.09; capital counted twice −3,814.91 (wrong).
    """
    plain = project(part(10000.0, life=15.0), saving=1500.0, years=15, d=0.06)
    (answer,) = loans(terms(loans=(loan("8000", 0.07, 10, posting=Posting.EXACT),)), plain)
    owner = -2000 + sum(known(o.amount) / 1.06**o.year for o in answer.owner_cash)
    assert owner == pytest.approx(4185.09, abs=0.005)
    assert owner - 8000 == pytest.approx(-3814.91, abs=0.005)


def test_year_0_carries_no_payment() -> None:
    assert yearly_cash(CARRIED)[0] == 0.0
    early = loan("1000", 0.0, 2, start=date(BASE.year - 1, 9, 1))
    (answer,) = loans(terms(loans=(early,)), CARRIED)
    assert [d.year for d in answer.debt_service] == [0, 1]
    assert answer.saving_cover[0].year == 1


def test_payments_that_fit_no_calendar_fall_evenly_through_the_year() -> None:
    """24 a year: 365.2425/24 = 15.2 days apart, from 1 January 2025 to the 16th, the 31st (30.4), and a year on."""
    twice_a_month = loan("1200", 0.05, 1, payments_per_year=24, start=date(2025, 1, 1))
    assert [payment_date(twice_a_month, k) for k in (1, 2, 24)] == [
        date(2025, 1, 16), date(2025, 1, 31), date(2026, 1, 1),
    ]  # fmt: skip
