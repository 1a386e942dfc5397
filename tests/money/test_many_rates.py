"""Internal rates of many flows at once."""

from __future__ import annotations

from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.money import many_rates
from ledger.money.isolate import crossings, pieces
from ledger.money.many_rates import internal_rates
from ledger.money.project import FloatArray
from ledger.money.returns import internal_rate, present_value_at

YEARS = np.arange(11.0)


def test_each_row_has_the_printed_rate_or_none() -> None:
    """numpy-financial docstring .28095 and −.0955; CHE374 .21; 38.2 and 261.8 % together are no rate."""
    rows = np.zeros((4, 11))
    rows[0, :5] = [-100, 39, 59, 55, 20]
    rows[1, :4] = [-100, 0, 0, 74]
    rows[2] = [-100, *[25] * 10]
    rows[3, :3] = [-2000, 10000, -10000]
    rates = internal_rates(rows, YEARS)
    assert rates[:2] == pytest.approx([0.28095, -0.0955], abs=5e-5)
    assert rates[2] == pytest.approx(0.21, abs=0.005)
    assert np.isnan(rates[3])


def test_a_flow_beyond_all_rates_says_on_which_side() -> None:
    """−1 then 20 is 1900 %; −1000 then 1 is −99.9 %; all losses lose at every rate, all gains gain."""
    rows = np.zeros((5, 11))
    rows[0, :2] = [-1, 20]
    rows[1] = -1
    rows[2] = 1
    rows[3, :2] = [-1000, 1]
    rates = internal_rates(rows, YEARS)
    assert rates[:4].tolist() == [np.inf, -np.inf, np.inf, -np.inf]
    assert np.isnan(rates[4])


def test_a_loan_taken_and_paid_back_has_its_rate_too() -> None:
    """+100 now, −121 in two years: 10 %."""
    assert internal_rates(np.array([[100.0, 0.0, -121.0]]), np.arange(3.0))[0] == pytest.approx(0.10, rel=1e-12)


def test_an_amount_that_stands_twice_at_one_time_is_their_sum() -> None:
    """−100, 60 and 50 at the end of year 1: 10 %."""
    assert internal_rates(np.array([[-100.0, 60.0, 50.0]]), np.array([0.0, 1.0, 1.0]))[0] == pytest.approx(0.10)


def test_a_replaced_fan_leaves_one_rate_and_needs_no_counting_row_by_row() -> None:
    """4,900 for 600 a year, 900 again every 8 years: the sign changes seven times, the rate is one (value 0 at it)."""
    row = np.array([-4900.0, *[600.0] * 30])
    row[[8, 16, 24]] -= 900.0
    times = np.arange(31.0)
    with patch.object(many_rates, "internal_rate", side_effect=AssertionError("counted alone")):
        rate = internal_rates(row[None], times)[0]
    assert 0.05 < rate < 0.12
    assert float(present_value_at(row, times, float(rate))) == pytest.approx(0.0, abs=1e-8)
    assert (
        float(present_value_at(row, times, float(rate) - 0.01)) > 0 > float(present_value_at(row, times, rate + 0.01))
    )


STUDY = 15


def a_row_of_savings() -> st.SearchStrategy[list[float]]:
    saving = st.just(0.0) | st.floats(0.01, 1e4)
    years = st.lists(saving, min_size=STUDY, max_size=STUDY)
    return st.builds(lambda paid, later: [-paid, *later], st.floats(1, 1e5), years)


def a_row_of_anything() -> st.SearchStrategy[list[float]]:
    amount = st.just(0.0) | st.floats(-1e4, -0.01) | st.floats(0.01, 1e4)
    return st.lists(amount, min_size=STUDY + 1, max_size=STUDY + 1)


def half_years(mid_year: bool) -> FloatArray:
    times = np.arange(STUDY + 1.0)
    return np.where(times > 0, times - 0.5, 0.0) if mid_year else times


def at_an_end(rate: float) -> bool:
    return rate == pytest.approx(-0.99, abs=1e-9) or rate == pytest.approx(10.0, abs=1e-5)


@settings(max_examples=30, deadline=None)
@given(st.lists(a_row_of_savings() | a_row_of_anything(), min_size=1, max_size=4), st.booleans())
def test_together_they_are_what_each_is_alone(rows: list[list[float]], mid_year: bool) -> None:
    """Alone they are counted exactly, in whole numbers; at the very ends of the range rounding decides the side."""
    amounts, times = np.array(rows), half_years(mid_year)
    for row, rate in zip(amounts, internal_rates(amounts, times), strict=True):
        alone = internal_rate(row, times)
        if alone.roots > 1:
            assert np.isnan(rate)
        elif np.isfinite(rate) and alone.rate is not None:
            assert rate == pytest.approx(alone.rate, rel=1e-7, abs=1e-9)
        elif np.isfinite(rate) or alone.rate is not None:
            assert at_an_end(float(rate) if alone.rate is None else alone.rate)
        else:
            assert not np.isnan(rate) or not row.any()


@settings(max_examples=30, deadline=None)
@given(st.lists(a_row_of_anything(), min_size=1, max_size=4), st.booleans())
def test_a_change_of_sign_that_is_sure_is_one_by_exact_count(rows: list[list[float]], mid_year: bool) -> None:
    """Where the pieces say none or one, counting in whole numbers says the same."""
    amounts, times = np.array(rows), half_years(mid_year)
    found = crossings(np.ascontiguousarray(amounts.T), pieces(times))
    for row, count in zip(amounts, found.count, strict=True):
        if count < 2:
            assert internal_rate(row, times).roots == count


def test_the_range_of_rates_is_cut_into_pieces_that_follow_one_another() -> None:
    """From 1000 % down to −99 %: u = −ln(1 + rate) rises from −ln 11 to ln 100."""
    ends = pieces(np.arange(3.0)).ends
    assert (np.diff(ends) > 0).all()
    assert [ends[0], ends[-1]] == pytest.approx([-np.log(11.0), np.log(100.0)])
