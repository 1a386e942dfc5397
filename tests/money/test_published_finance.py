"""Published figures of engineering economics that no other test quotes: dated flows, nominal and effective rates, the
same project by four conventions. Depreciation by tax tables has no test: every figure of ours is before income tax.
"""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from ledger.model.terms import Timing
from ledger.money.discounting import annual_equivalent, growth_factor, present_value_factor

DATED = [
    (date(2001, 1, 1), -10000.0), (date(2001, 2, 1), 2000.0), (date(2001, 3, 15), 2500.0), (date(2001, 5, 12), 5000.0),
    (date(2001, 8, 10), 1000.0),
]  # fmt: skip
"""LibreOffice Calc help, XIRR and XNPV, actual days over 365. The second date is printed as 2001-01-02, day and month
swapped: only the first of February gives the printed values."""


def worth(rate: float, flows: list[tuple[float, float]]) -> float:
    """Present value of (years, amount) pairs."""
    years = np.array([when for when, _ in flows])
    return float(np.sum(np.array([amount for _, amount in flows]) * present_value_factor(rate, years)))


def in_years() -> list[tuple[float, float]]:
    return [((day - DATED[0][0]).days / 365.0, amount) for day, amount in DATED]


def test_dated_flows_at_six_percent_are_worth_the_printed_323_02() -> None:
    """LibreOffice Calc help, XNPV: 323.02."""
    assert worth(0.06, in_years()) == pytest.approx(323.02, abs=0.005)


def test_dated_flows_change_their_sign_at_the_printed_rate() -> None:
    """LibreOffice Calc help, XIRR: .1828, so the worth is above 0 at .18275 and below 0 at .18285."""
    assert worth(0.18275, in_years()) > 0.0 > worth(0.18285, in_years())


def test_five_percent_paid_twice_a_year_is_5_063_percent() -> None:
    """Course CHE374, lecture 10: .05063 (±.00001)."""
    assert float(growth_factor(0.05 / 2, 2)[2]) - 1.0 == pytest.approx(0.05063, abs=1e-5)


def test_12_73_percent_paid_monthly_is_13_5_percent() -> None:
    """LibreOffice Calc help, NOMINAL: effective .135 over 12 periods is .1273 (±.00005)."""
    low, high = (float(growth_factor(rate / 12, 12)[12]) - 1.0 for rate in (0.12725, 0.12735))
    assert low < 0.135 < high


# Constructed by us: 10,000 now, 1,500 a year for 15 years, 6 %.
def test_one_project_by_four_conventions() -> None:
    """End 4,568.37, middle 4,999.06, beginning of the year 5,442.48; 125 a month at 1.06^(1/12) 4,964.79."""
    years = range(1, 16)
    for early, printed in ((0.0, 4568.37), (0.5, 4999.06), (1.0, 5442.48)):
        flows = [(0.0, -10000.0), *((k - early, 1500.0) for k in years)]
        assert worth(0.06, flows) == pytest.approx(printed, abs=0.005)
    monthly = [(0.0, -10000.0), *((m / 12, 125.0) for m in range(1, 181))]
    assert worth(0.06, monthly) == pytest.approx(4964.79, abs=0.005)


def test_a_years_cost_with_a_salvage_by_the_right_factors() -> None:
    """Course CE 4200: 6,000, 4,000 left after 8 years, 250 a year at 6 %: 812.07 by A/P .161036 and A/F .101036.

    The printed 852.18 rests on .162745, which belongs to 10 % and 10 years.
    """
    flows = [(0.0, 6000.0), *((float(k), 250.0) for k in range(1, 9)), (8.0, -4000.0)]
    level = annual_equivalent(worth(0.06, flows), 0.06, 0.0, study_years=8, timing=Timing.END_OF_YEAR)
    assert float(level) == pytest.approx(812.07, abs=0.01)
