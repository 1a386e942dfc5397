"""Rates of return and ratios."""

import warnings
from fractions import Fraction

import numpy as np
import numpy_financial as npf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.money.returns import (
    adjusted_internal_rate,
    internal_rate,
    modified_rate,
    present_value_at,
    savings_to_investment,
)
from ledger.money.roots import count_roots
from tests.known import known
from tests.money.made import dated


# Univ. of Connecticut (NPV), numpy-financial docstring (npv), LibreOffice Calc help (NPV), course CHE374 lecture 5.
@pytest.mark.parametrize(
    ("rate", "amounts", "printed", "tolerance"),
    [
        (0.10, [-5000, *[1500] * 5], 686, 0.5),
        (0.08, [-40000, 5000, 8000, 12000, 30000], 3065.22267, 5e-6),
        (0.0875, [-40, 10, 20, 30], 9.43, 0.005),
        (0.0875, [0, 10, 20, 30], 49.43, 0.005),
        (0.05, [-20000, *[3000] * 9, 7000], 5621, 0.5),
        (0.05, [-40000, *[8000] * 4, 21000], 4822, 0.5),
        (0.05, [-20000, *[3000] * 4, 10000], -1527, 0.5),
    ],
)
def test_the_present_value_starts_with_year_0_undiscounted(
    rate: float, amounts: list[int], printed: float | int, tolerance: float
) -> None:
    assert float(present_value_at(*dated(amounts), rate)) == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("amounts", "printed", "tolerance"),
    [
        ([-100, *[25] * 10], 0.21, 0.005),  # course CHE374, lecture 6
        ([-100, 39, 59, 55, 20], 0.28095, 5e-6),  # numpy-financial docstring, irr
        ([-100, 0, 0, 74], -0.0955, 5e-5),  # numpy-financial docstring, a negative rate
        ([-1000, *[200] * 10], 0.15098, 5e-6),  # REEPS p. 245: just over 15 %; payback 5 is not 20 %
        ([-10000, *[1500] * 15], 0.1240, 5e-5),  # constructed by us
    ],
)
def test_the_one_internal_rate_is_the_printed_one(amounts: list[int], printed: float, tolerance: float) -> None:
    answer = internal_rate(*dated(amounts))
    assert answer.roots == 1
    assert answer.rate == pytest.approx(printed, abs=tolerance)


@pytest.mark.parametrize(
    ("amounts", "rates"),
    [
        ([-2000, 10000, -10000], 2),  # exam question page (weak source): 38.2 % and 261.8 %
        ([-252, 1431, -3035, 2850, -1000], 4),  # by algebra: 25, 33.3, 42.9, 66.7 %
        ([-1000, 300, 300, -100], 2),  # constructed by us: −64.2 % and −50 %, negative at every rate from 0 up
        ([-5, 10.5, 1, -8, 1], 3),  # numpy-financial gives 8.86 % for it and keeps silent about the others
    ],
)
def test_a_flow_with_several_rates_is_given_none_of_them(amounts: list[int | float], rates: int) -> None:
    answer = internal_rate(*dated(amounts))
    assert answer.rate is None
    assert answer.roots == rates


def test_a_rate_that_only_touches_zero_is_none() -> None:
    """−1 + 2.2/1.1 − 1.21/1.1² = 0 at 10 %, and the present value is below 0 at every other rate."""
    assert internal_rate(*dated([-100, 220, -121])).rate is None


def test_no_change_of_sign_has_no_rate() -> None:
    assert internal_rate(*dated([-100, -1, -1])).roots == 0
    assert internal_rate(*dated([0, 0, 0])).roots == 0


def test_a_rate_outside_the_range_does_not_count() -> None:
    """−1 now and 20 in a year is 1900 %."""
    assert internal_rate(*dated([-1, 20])).roots == 0


def test_a_rate_at_mid_year_solves_the_mid_year_flow() -> None:
    """−100 now and 110 half a year later: 1.1² − 1 = 21 %."""
    assert internal_rate(np.array([-100.0, 110.0]), np.array([0.0, 0.5])).rate == pytest.approx(0.21, rel=1e-12)


def test_times_off_the_half_year_are_a_bug() -> None:
    with pytest.raises(ValueError, match="half years"):
        internal_rate(np.array([-1.0, 2.0]), np.array([0.0, 0.3]))


def test_a_stated_root_set_is_counted_exactly() -> None:
    """(x − 1)(x − 2)(x − 3) = −6 + 11x − 6x² + x³; (x − 2)² touches."""
    cubic = [Fraction(-6), Fraction(11), Fraction(-6), Fraction(1)]
    assert count_roots(cubic, Fraction(1, 2), Fraction(5, 2)) == 2
    assert count_roots(cubic, Fraction(1, 2), Fraction(4)) == 3
    assert count_roots(cubic, Fraction(1), Fraction(2)) == 2, "roots at the ends count"
    assert count_roots([Fraction(4), Fraction(-4), Fraction(1)], Fraction(1), Fraction(3)) == 2


def test_a_touching_root_beside_a_crossing_one_is_seen() -> None:
    """(x − 2)²(x − 3) = −12 + 16x − 7x² + x³; and two roots a millionth apart, too close for halving to part soon."""
    touching = [Fraction(-12), Fraction(16), Fraction(-7), Fraction(1)]
    assert count_roots(touching, Fraction(1), Fraction(4)) == 3
    near = Fraction(2) + Fraction(1, 10**9)
    close = [2 * near, -(2 + near), Fraction(1)]
    assert count_roots(close, Fraction(1), Fraction(4)) == 2


@settings(max_examples=60, deadline=None)
@given(st.lists(st.fractions(Fraction(1, 10), Fraction(9), max_denominator=200), min_size=1, max_size=7, unique=True))
def test_the_count_is_the_number_of_roots_a_polynomial_was_made_of(roots: list[Fraction]) -> None:
    polynomial = [Fraction(1)]
    for root in roots:
        shifted = [Fraction(0), *polynomial]
        polynomial = [a - root * b for a, b in zip(shifted, [*polynomial, Fraction(0)], strict=True)]
    assert count_roots(polynomial, Fraction(1, 11), Fraction(10)) == len(roots)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(100, 1e5),
    st.lists(st.floats(0, 1e4), min_size=1, max_size=40).filter(lambda x: sum(x) > 1),
    st.booleans(),
)
def test_the_present_value_at_the_internal_rate_is_zero(capital: float, savings: list[float], mid: bool) -> None:
    amounts, times = dated([-capital, *savings])
    times = np.where(times > 0, times - 0.5, 0) if mid else times
    answer = internal_rate(amounts, times)
    if answer.rate is None:
        assert answer.roots == 0, "one change of sign has at most one rate"
    else:
        size = float(present_value_at(np.abs(amounts), times, answer.rate))
        assert abs(float(present_value_at(amounts, times, answer.rate))) < 1e-9 * size


@settings(max_examples=40, deadline=None)
@given(st.floats(100, 1e5), st.lists(st.floats(10, 1e4), min_size=3, max_size=30))
def test_an_independent_solver_finds_the_same_rate(capital: float, savings: list[float]) -> None:
    amounts, times = dated([-capital, *savings])
    answer = internal_rate(amounts, times)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        other = float(npf.irr(amounts))
    if answer.rate is not None and np.isfinite(other) and abs(float(present_value_at(amounts, times, other))) < 1e-6:
        assert answer.rate == pytest.approx(other, rel=1e-6, abs=1e-9)


def test_the_modified_rate_of_a_spreadsheet_s_example_at_one_rate_for_both() -> None:
    """LibreOffice Calc, MIRR: flows −5, 10, 15, 8, finance 50 %, reinvestment 10 % gives 94.16 %.

    Ours takes one rate for both: with the only negative flow in year 0 the finance rate has no say, so 10 % gives it.
    """
    amounts, times = dated([-5, 10, 15, 8])
    assert modified_rate(amounts * 1.1**-times, 0.10) == pytest.approx(0.9416, abs=5e-5)


def test_the_modified_rate_with_a_bad_year_by_hand() -> None:
    """d 10 %: −100, +80, −11, +60.5 → future value 80 · 1.21 + 60.5 = 157.3; present value 100 + 11/1.21 = 109.0909.

    157.3/109.0909 = 1.441917; ^(1/3) = 1.129737.
    """
    amounts, times = dated([-100, 80, -11, 60.5])
    assert modified_rate(amounts * 1.1**-times, 0.10) == pytest.approx(1.441917 ** (1 / 3) - 1, abs=1e-6)


@pytest.mark.parametrize("amounts", [[-100, -5, -5], [100, 5, 5]])
def test_the_modified_rate_needs_a_gain_and_a_loss(amounts: list[int]) -> None:
    assert modified_rate(np.array(amounts, dtype=float), 0.05) is None


def test_the_ratio_of_a_weatherization_exercise() -> None:
    """Training exercise on SIR (secondary source, undiscounted): 25 years of 100 on 400 is 6.25."""
    assert savings_to_investment(25 * 100.0, 400.0) == pytest.approx(6.25)


def test_no_investment_has_no_ratio_and_no_adjusted_rate() -> None:
    assert savings_to_investment(100.0, 0.0) is None
    assert savings_to_investment(100.0, -5.0) is None
    assert adjusted_internal_rate(None, 0.05, 20) is None
    assert adjusted_internal_rate(-0.5, 0.05, 20) is None


def test_the_adjusted_rate_of_the_identity_example() -> None:
    """Constructed by us: SIR 1.534552, 3 %, 20 years: 5.22921 %."""
    assert adjusted_internal_rate(1.534552, 0.03, 20) == pytest.approx(0.0522921, abs=1e-6)


def test_a_ratio_below_one_earns_less_than_the_discount_rate() -> None:
    """A quarter comes back over two years at 6 %: 1.06 · √0.25 − 1 = −47 %."""
    assert adjusted_internal_rate(0.25, 0.06, 2) == pytest.approx(-0.47)


def test_the_modified_rate_of_a_single_year_is_that_year_s() -> None:
    """100 put in, 121 a year later, whatever the discount rate: 21 %."""
    assert modified_rate(np.array([-100.0, 121.0 / 1.1]), 0.10) == pytest.approx(0.21)


def test_one_touching_root_among_three_crossings_is_counted_by_the_chain() -> None:
    """(x − 1)²(x − 2)(x − 3)(x − 4) = −24 + 74x − 85x² + 45x³ − 11x⁴ + x⁵: 2 + 3 in [1/2, 5]; 2 + 1 in [1/2, 5/2]."""
    five = [Fraction(c) for c in (-24, 74, -85, 45, -11, 1)]
    assert count_roots(five, Fraction(1, 2), Fraction(5)) == 5
    assert count_roots(five, Fraction(1, 2), Fraction(5, 2)) == 3
    assert count_roots([-c for c in five], Fraction(1, 2), Fraction(7, 2)) == 4


@pytest.mark.parametrize("said", [0.5, 30.0, -2.0, float("nan")])
def test_a_rate_from_the_library_is_taken_only_where_the_flow_is_worth_nothing_at_it(
    said: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """−100 and 110 a year later is 10 %, whatever another release of the library might answer."""
    monkeypatch.setattr(npf, "irr", lambda _: said)
    assert known(internal_rate(*dated([-100, 110])).rate) == pytest.approx(0.10, rel=1e-9)


def test_coefficients_of_nothing_and_of_one_are_what_they_are() -> None:
    """x(x − 2)(x − 3) = 6x − 5x² + x³; (1 − x)(1 − 2x) = 1 − 3x + 2x²; x² − 4: roots between 1/4 and 4."""
    assert count_roots([Fraction(c) for c in (0, 6, -5, 1)], Fraction(1, 4), Fraction(4)) == 2
    assert count_roots([Fraction(c) for c in (1, -3, 2)], Fraction(1, 4), Fraction(4)) == 2
    assert count_roots([Fraction(c) for c in (-4, 0, 1)], Fraction(1, 4), Fraction(4)) == 1
    assert count_roots([Fraction(c) for c in (0, 6, -5, 1, 0)], Fraction(1, 4), Fraction(4)) == 2
    assert count_roots([], Fraction(1, 4), Fraction(4)) == 0


def test_a_rate_beyond_the_range_is_not_taken_for_the_one_inside_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """(1.1x − 1)(21x − 1) = 1 − 22.1x + 23.1x²: 10 % and 2000 %, of which the library might name either."""
    monkeypatch.setattr(npf, "irr", lambda _: 20.0)
    found = internal_rate(*dated([1.0, -22.1, 23.1]))
    assert found.roots == 1
    assert known(found.rate) == pytest.approx(0.10, rel=1e-9)
