"""Internal rates of many flows at once."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.money.many_rates import internal_rates
from ledger.money.returns import internal_rate


def test_each_row_has_the_printed_rate_or_none():
    """numpy-financial docstring .28095 and −.0955; CHE374 .21; 38.2 and 261.8 % together are none; all losses none."""
    rows = np.zeros((6, 11))
    rows[0, :5] = [-100, 39, 59, 55, 20]
    rows[1, :4] = [-100, 0, 0, 74]
    rows[2] = [-100, *[25] * 10]
    rows[3, :3] = [-2000, 10000, -10000]
    rows[4] = -1
    rows[5, :2] = [-1, 20]  # 1900 %
    rates = internal_rates(rows, np.arange(11.0))
    assert rates[:2] == pytest.approx([0.28095, -0.0955], abs=5e-5)
    assert rates[2] == pytest.approx(0.21, abs=0.005)
    assert np.isnan(rates[3:]).all()


def test_a_loan_taken_and_paid_back_has_its_rate_too():
    """+100 now, −121 in two years: 10 %."""
    assert internal_rates(np.array([[100.0, 0.0, -121.0]]), np.arange(3.0))[0] == pytest.approx(0.10, rel=1e-12)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.floats(1, 1e5), st.lists(st.just(0.0) | st.floats(0.01, 1e4), min_size=30, max_size=30)),
        min_size=1,
        max_size=5,
    ),
    st.booleans(),
)
def test_together_they_are_what_each_is_alone(flows, mid_year):
    amounts = np.array([[-capital, *savings] for capital, savings in flows])
    times = np.arange(31.0)
    times = np.where(times > 0, times - 0.5, 0.0) if mid_year else times
    together = internal_rates(amounts, times)
    for row, rate in zip(amounts, together, strict=True):
        alone = internal_rate(row, times).rate
        if alone is None:
            assert np.isnan(rate) or rate == pytest.approx(-0.99, abs=1e-9) or rate == pytest.approx(10.0, abs=1e-6)
        else:
            assert rate == pytest.approx(alone, rel=1e-9, abs=1e-11)
