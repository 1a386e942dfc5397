"""What a lender asks beside the headline: cover in another winter, worth at other rates."""

from __future__ import annotations

from datetime import date

import pytest

from ledger.model.ledger import Ledger
from ledger.model.terms import Loan
from ledger.plans.for_a_lender import cover_in_winter, worth_at
from ledger.plans.results import Stress
from tests.money.made import BASE, build, item, loan, sure
from tests.plans.made import plug
from tests.running.made import ledger_with, typical

HEAT = typical([4.0], [1.0], weight=500.0)
"""2,000 kWh needed, 500 to buy, so 1,500 avoided; at 0.20 a kWh they are worth 300 a year."""


FOUR_YEARS = loan("800", 0.0, 4)


def lent(*loans: Loan) -> Ledger:
    tubes = build("tubes", item("1000.00", life=50.0))
    heater = plug(price=0.20, price_growth=sure(0.0))
    return ledger_with(
        tubes,
        sources=(heater,),
        price=0.20,
        growth=0.0,
        study_years=4,
        against=heater.name,
        loans=loans,
        inflation=sure(0.0),
        discount_rate=sure(0.05),
    )


def winter(need_kwh: float, avoided_kwh: float) -> Stress:
    return Stress(
        "2025-26", 0.0, need_kwh, avoided_kwh, need_kwh - avoided_kwh, 0, 0, 0, None, None, None, None, ()
    )  # fmt: skip


def test_cover_in_the_typical_winter_is_the_saving_cover() -> None:
    """1,500 kWh at 0.20 are 300; 200 are due a year: 1.5 times."""
    assert cover_in_winter(lent(FOUR_YEARS), HEAT, winter(2000.0, 1500.0), year=2, fan_kwh=None) == pytest.approx(1.5)


def test_a_mild_winter_saves_less_and_covers_less() -> None:
    """1,000 kWh at 0.20 are 200: just 1.0 times the 200 that are due."""
    assert cover_in_winter(lent(FOUR_YEARS), HEAT, winter(1200.0, 1000.0), year=2, fan_kwh=None) == pytest.approx(1.0)


def test_without_a_loan_or_a_payment_in_the_year_there_is_no_cover() -> None:
    assert cover_in_winter(lent(), HEAT, winter(2000.0, 1500.0), year=2, fan_kwh=None) is None
    early = loan("800", 0.0, 2, start=date(BASE.year - 1, BASE.month, BASE.day))
    assert cover_in_winter(lent(early), HEAT, winter(2000.0, 1500.0), year=3, fan_kwh=None) is None


def test_the_worth_at_other_rates_by_hand() -> None:
    """300 a year for 4 years on 1,000: at 0 % 200 and 4/50 of the item's life gone, 46/50 of 1,000 left: 1,120.

    At 10 %: 300 · 3.169865 − 1,000 + 920 / 1.4641 = 579.332.
    """
    found = dict(worth_at(lent(), HEAT, (0.0, 0.10), fan_kwh=None))
    assert found[0.0] == pytest.approx(1120.0)
    assert found[0.10] == pytest.approx(579.332, abs=0.001)
