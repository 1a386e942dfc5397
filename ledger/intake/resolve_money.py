"""From `[money]`, `[labour]`, `[[benefit]]`, `[power]` and `[[next]]` to the terms of the model."""

from __future__ import annotations

from datetime import date

from ledger.intake.desk import Desk
from ledger.intake.desk_money import money, money_or_none
from ledger.intake.resolve_sources import Growth
from ledger.intake.schema_money import (
    BenefitRow,
    GrantRow,
    LoanRow,
    MoneySection,
    NextRow,
    PowerSection,
    RatesAre,
)
from ledger.intake.schema_sources import SourceRow
from ledger.intake.spreads import of_row
from ledger.intake.values import Rule, Uncertain, held
from ledger.model.build import Build, Status
from ledger.model.terms import Benefit, Grant, Loan, NextStep, Posting, Power, Terms, Timing
from ledger.model.values import Basis, Spread
from ledger.sources import DISCOUNT_RATE, INFLATION, INVERTER_EFFICIENCY, NO_SOURCE, POWER_USABLE, STUDY_YEARS

_RATE = Rule(least=-0.9, most=1.0)
_CUSTOM = "the custom of this program"


def inflation_of(desk: Desk, section: MoneySection) -> Spread:
    """Inflation as stated, else the default."""
    if section.inflation is not None:
        return section.inflation
    desk.assume_row(("money", "inflation"), INFLATION)
    return of_row(INFLATION)


def growth_of(section: MoneySection, inflation: Spread) -> Growth:
    """How prices rise where nobody says: with inflation; in real terms not at all."""
    if section.rates_are is RatesAre.REAL:
        return Growth(Spread.sure(0.0, Basis.ASSUMED), "0 % a year", "rates are real: prices keep pace with inflation")
    rise = Spread(
        inflation.likely,
        inflation.low,
        inflation.high,
        Basis.ASSUMED,
        inflation.exact,
        inflation.stated,
        "as inflation",
    )
    return Growth(rise, f"{inflation.likely:.2%} a year", "as inflation")


def base_date_of(desk: Desk, section: MoneySection, builds: list[Build]) -> date | None:
    """The base date as stated, else the day of the last receipt (of the last paper when nothing is paid yet)."""
    if section.base_date is not None:
        return section.base_date
    items = [item for build in builds for item in build.items]
    days = [item.date for item in items if item.status is Status.PAID] or [item.date for item in items]
    if not days:
        return None
    desk.assume(("money", "base_date"), max(days).isoformat(), "the day of the last receipt")
    return max(days)


def resolve_terms(
    desk: Desk,
    section: MoneySection,
    base_date: date,
    inflation: Spread,
    against: str,
) -> Terms:
    """The terms with every default filled in."""
    if section.study_years is None:
        desk.assume_row(("money", "study_years"), STUDY_YEARS)
    if section.rates_are is None:
        desk.assume(("money", "rates_are"), RatesAre.NOMINAL.value, _CUSTOM)
    if section.timing is None:
        desk.assume(("money", "timing"), Timing.END_OF_YEAR.value, _CUSTOM)
    real = section.rates_are is RatesAre.REAL
    return Terms(
        currency=desk.coin.currency,
        coin_digits=desk.coin.digits,
        base_date=base_date,
        study_years=section.study_years or int(STUDY_YEARS.likely),
        discount_rate=_discount_rate(desk, section, inflation.likely if real else None),
        rates_are_real=real,
        inflation=inflation,
        timing=section.timing or Timing.END_OF_YEAR,
        against=against,
        loans=tuple(_loan(desk, row, number, base_date) for number, row in enumerate(section.loan)),
        grants=tuple(_grant(desk, row, number, base_date) for number, row in enumerate(section.grant)),
    )


def _discount_rate(desk: Desk, section: MoneySection, inflation_of_real: float | None) -> Spread:
    """What money must earn: a plain rate is the grower's choice and takes no range; else the loan's rate, else 6 %."""
    typed = section.discount_rate
    if typed is not None:
        return held(typed, _RATE) if typed.low is not None or typed.basis is not None else _chosen(typed)
    if not section.loan:
        desk.assume_row(("money", "discount_rate"), DISCOUNT_RATE)
        return of_row(DISCOUNT_RATE)
    loan = max(section.loan, key=lambda row: row.annual_rate)
    rate, words = loan.annual_rate, f'the rate of the loan "{loan.name}"'
    if len(section.loan) > 1:
        words += ", the dearest"
    if inflation_of_real is not None:
        rate = (1.0 + rate) / (1.0 + inflation_of_real) - 1.0
        words += ", less inflation, since rates are real"
    desk.assume(("money", "discount_rate"), f"{rate:.2%} a year", words)
    return Spread.sure(rate, Basis.ASSUMED)


def _chosen(typed: Uncertain) -> Spread:
    return Spread(typed.likely, typed.likely, typed.likely, Basis.ESTIMATED, typed.exact, False, typed.note)


def _loan(desk: Desk, row: LoanRow, number: int, base_date: date) -> Loan:
    path = ("money", "loan", number)
    if row.start is None:
        desk.assume((*path, "start"), base_date.isoformat(), "the base date")
    if row.payments_per_year is None:
        desk.assume((*path, "payments_per_year"), "12 a year", NO_SOURCE)
    if row.posting is None:
        desk.assume((*path, "posting"), Posting.CENTS.value, _CUSTOM)
    payments = row.payments_per_year or 12
    if row.principal <= 0:
        desk.fault((*path, "principal"), "a loan of nothing", "write the money lent, above 0")
    if row.years * payments < 1 - 1e-9:
        desk.fault((*path, "years"), "the loan ends before its first payment", "check years and payments_per_year")
    return Loan(
        name=row.name,
        principal=row.principal,
        annual_rate=row.annual_rate,
        years=row.years,
        payments_per_year=payments,
        start=row.start or base_date,
        posting=row.posting or Posting.CENTS,
    )


def _grant(desk: Desk, row: GrantRow, number: int, base_date: date) -> Grant:
    path = ("money", "grant", number)
    if row.date is None:
        desk.assume((*path, "date"), base_date.isoformat(), "the base date")
    if row.build is None:
        desk.assume((*path, "for"), "all items, by amount", "no build is named")
    return Grant(row.name, money(desk, row.amount, Basis.RECEIPT), row.date or base_date, row.build)


def against_of(desk: Desk, section: MoneySection, rows: list[tuple[int, SourceRow]], names: list[str]) -> str | None:
    """The source whose heat is avoided: as stated, else the one marked backup, else the first."""
    if section.against is not None:
        return section.against
    marked = [row.name for _, row in rows if row.backup]
    chosen = marked[0] if marked else names[0] if names else None
    if chosen is not None:
        desk.assume(("money", "against"), chosen, "the source marked backup" if marked else "the first source")
    return chosen


def resolve_benefits(desk: Desk, rows: list[BenefitRow]) -> tuple[Benefit, ...]:
    """Money other than heat."""
    return tuple(Benefit(row.what, money(desk, row.amount, Basis.ESTIMATED)) for row in rows)


def resolve_next(desk: Desk, rows: list[NextRow]) -> tuple[NextStep, ...]:
    """Steps under consideration."""
    return tuple(
        NextStep(row.what, money(desk, row.amount, Basis.ESTIMATED), row.adds.avoided if row.adds else None)
        for row in rows
    )


def resolve_power(desk: Desk, section: PowerSection) -> Power:
    """Life off the grid, as stated; the usable share and the inverter get their defaults where a battery stands."""
    usable, inverter = section.usable, section.inverter_efficiency
    if section.battery is not None and usable is None:
        desk.assume_row(("power", "usable"), POWER_USABLE)
        usable = of_row(POWER_USABLE)
    if section.battery is not None and inverter is None:
        desk.assume_row(("power", "inverter_efficiency"), INVERTER_EFFICIENCY)
        inverter = of_row(INVERTER_EFFICIENCY)
    return Power(
        battery_kwh=section.battery,
        usable=usable,
        inverter_efficiency=inverter,
        other_load_w=section.other_load,
        array_capital=money_or_none(desk, section.array_capital),
        array_life_years=section.array_life_years,
        battery_capital=money_or_none(desk, section.battery_capital),
        battery_life_years=section.battery_life_years,
        used_energy_kwh_per_year=section.used_energy,
    )
