"""Present-value factors, real and nominal rates, annuities."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.model.terms import Timing
from ledger.money.discounting import (
    annual_equivalent,
    growth_factor,
    nominal_rate,
    present_value_factor,
    real_rate,
    stream_times_years,
    uniform_present_value,
)

END, MID = Timing.END_OF_YEAR, Timing.MID_YEAR


def upv(rate: float, years: int, growth: float = 0.0, timing: Timing = END) -> float:
    return float(uniform_present_value(rate, growth, study_years=years, timing=timing))


# Univ. of Connecticut industrial training centre, module "Engineering Economics", time value: printed to 3 decimals.
@pytest.mark.parametrize(("years", "printed"), [(1, 0.909), (2, 0.826), (3, 0.751), (5, 0.621), (20, 0.149)])
def test_a_single_present_value_at_ten_percent_is_the_printed_factor(years: int, printed: float) -> None:
    assert float(present_value_factor(0.10, np.array([float(years)]))[0]) == pytest.approx(printed, abs=0.0005)


def test_1000_at_8_percent_has_grown_to_1469_after_5_years() -> None:
    """Univ. of Connecticut, time value: printed 1,469."""
    assert 1000 * float(growth_factor(0.08, 5)[5]) == pytest.approx(1469, abs=0.5)


# Renewable and Efficient Electric Power Systems, table 5.4: printed to 2 decimals.
@pytest.mark.parametrize(
    ("rate", "years", "printed"),
    [
        (0.09, 1, 0.92),
        (0.09, 2, 1.76),
        (0.09, 3, 2.53),
        (0.15, 2, 1.63),
        (0.19, 3, 2.14),
        (0.25, 3, 1.95),
        (0.31, 2, 1.35),
        (0.39, 2, 1.24),
        (0.39, 1, 0.72),
    ],
)
def test_a_uniform_present_value_is_the_textbook_s(rate: float, years: int, printed: float) -> None:
    assert upv(rate, years) == pytest.approx(printed, abs=0.005)


# Annual supplement to NIST Handbook 135 (NISTIR 85-3273) at 3 %, from memory: 3 and 2 decimals.
@pytest.mark.parametrize(
    ("years", "single", "uniform"), [(1, 0.971, 0.97), (10, 0.744, 8.53), (20, 0.554, 14.88), (25, 0.478, 17.41)]
)
def test_factors_at_three_percent_are_those_of_the_federal_supplement(
    years: int, single: float, uniform: float
) -> None:
    assert float(present_value_factor(0.03, np.array([float(years)]))[0]) == pytest.approx(single, abs=0.0005)
    assert upv(0.03, years) == pytest.approx(uniform, abs=0.005)


# MIL-HDBK-1003/13A tables 3-5a, 3-5c print the value with flow spread within the year (last-digit noise, 0.003). A
# flow at mid-year lies 0.0001 to 0.0024 from it; one at the year's end is 1 to 3 % away.
@pytest.mark.parametrize(
    ("rate", "growth", "printed", "end", "mid"),
    [
        (0.10, 0.07, 18.049, 17.8002, 18.0480),
        (0.10, 0.08, 20.05, 19.8673, 20.0504),
        (0.07, 0.00, 12.057, 11.6536, 12.0546),
        (0.07, 0.05, 19.931, 19.7435, 19.9307),
    ],
)
def test_escalated_uniform_present_values_over_25_years_tell_end_from_middle_of_year(
    rate: float, growth: float, printed: float, end: float, mid: float
) -> None:
    assert upv(rate, 25, growth) == pytest.approx(end, abs=0.00006)
    # The handbook grows a mid-year flow by k − ½ years; ours takes the price of the whole year k, (1 + growth)^½ more.
    middle = upv(rate, 25, growth, MID) / (1 + growth) ** 0.5
    assert middle == pytest.approx(mid, abs=0.00006)
    assert middle == pytest.approx(printed, abs=0.003)
    assert abs(upv(rate, 25, growth) - printed) > 0.1


def test_growth_equal_to_the_rate_makes_each_year_worth_one() -> None:
    """MIL-HDBK-1003/13A table 3-5a: 25.0 at 10 % growth and 10 % discount."""
    assert upv(0.10, 25, 0.10) == pytest.approx(25.0, abs=1e-9)


def test_the_first_payment_is_grown_already() -> None:
    """10 CFR 436.17 escalates from year 1: d 3 %, e 2 %, 20 years 18.0812; the ungrown gradient gives 17.7267."""
    assert upv(0.03, 20, 0.02) == pytest.approx(18.0812, abs=0.00006)
    assert upv(0.03, 20, 0.02) / 1.02 == pytest.approx(17.7267, abs=0.0001)


def test_a_delayed_start_is_the_difference_of_two_factors() -> None:
    """10 CFR 436.17(b): d 3 %, e 2 %: 18.081229 − 1.970968 = 16.110261 = Σ of years 3 to 20."""
    late = float(sum((1.02 / 1.03) ** t for t in range(3, 21)))
    assert upv(0.03, 20, 0.02) - upv(0.03, 2, 0.02) == pytest.approx(16.110261, abs=1e-6)
    assert upv(0.03, 20, 0.02) - upv(0.03, 2, 0.02) == pytest.approx(late, abs=1e-12)


def test_six_percent_real_and_three_percent_inflation_compose_to_9_18_percent() -> None:
    """Course CHE374, lecture 10: .0918; the plain sum, .09, is wrong."""
    assert nominal_rate(0.06, 0.03) == pytest.approx(0.0918, abs=5e-5)


def test_the_real_rate_undoes_the_composition() -> None:
    """Course CHE374, lecture 10: nominal .050625 with 2 % inflation is .03002 real."""
    assert real_rate(0.050625, 0.02) == pytest.approx(0.03002, abs=1e-5)


def test_real_and_nominal_flows_agree_only_at_their_own_rate() -> None:
    """CHE374, lecture 10: 30,000 a year for 5 years on 100,000 is worth 26,400 at 6 % and 16,100 at 9.18 % (±50)."""
    assert -100000 + 30000 * upv(0.06, 5) == pytest.approx(26400, abs=50)
    assert -100000 + 30000 * upv(0.0918, 5) == pytest.approx(16100, abs=50)
    # The same five payments grown by inflation and discounted at the composed rate are the real ones.
    assert 30000 * upv(float(nominal_rate(0.06, 0.03)), 5, 0.03) == pytest.approx(30000 * upv(0.06, 5), rel=1e-12)


# Capital Recovery Factor Tables, public-utility loan hand-out (secondary source): 4 significant figures.
CAPITAL_RECOVERY = {
    0.025: (1.025, 0.5188, 0.3501, 0.2658, 0.2152, 0.1816, 0.1575),
    0.03: (1.03, 0.5226, 0.3535, 0.269, 0.2184, 0.1846, 0.1605),
    0.04: (1.04, 0.5302, 0.3603, 0.2755, 0.2246, 0.1908, 0.1666),
    0.05: (1.05, 0.5378, 0.3672, 0.282, 0.231, 0.197, 0.1728),
}


@pytest.mark.parametrize(
    ("rate", "years", "printed"),
    [(rate, n, factor) for rate, row in CAPITAL_RECOVERY.items() for n, factor in enumerate(row, start=1)],
)
def test_one_unit_spread_over_the_years_is_the_printed_capital_recovery(
    rate: float, years: int, printed: float
) -> None:
    # 0.025 at 6 years is a tie in the print (.181550): its tolerance is .00006.
    tolerance = 6e-5 if (rate, years) == (0.025, 6) else 5e-5
    level = float(annual_equivalent(1.0, rate, 0.0, study_years=years, timing=END))
    assert level == pytest.approx(printed, abs=tolerance)


def test_the_annuity_at_a_real_rate_of_zero_is_a_plain_division() -> None:
    assert float(annual_equivalent(500.0, 0.02, 0.02, study_years=20, timing=END)) == pytest.approx(25.0, rel=1e-12)


def test_the_annuity_in_base_date_money_is_the_one_at_the_real_rate() -> None:
    """Nominal 9.18 %, inflation 3 % is 6 % real: 1,000 over 10 years is 1000 · .06/(1 − 1.06^−10) = 135.868."""
    level = float(annual_equivalent(1000.0, 0.0918, 0.03, study_years=10, timing=END))
    assert level == pytest.approx(135.868, abs=0.0005)


@given(st.floats(0.0, 0.2), st.floats(0.0, 0.1), st.integers(1, 60), st.sampled_from(list(Timing)))
def test_a_cost_level_in_base_date_money_comes_back_as_itself(
    rate: float, inflation: float, years: int, timing: Timing
) -> None:
    present = 40.0 * upv(rate, years, inflation, timing)
    assert float(annual_equivalent(present, rate, inflation, study_years=years, timing=timing)) == pytest.approx(40.0)


@given(st.floats(0.001, 0.5), st.integers(1, 60))
def test_capital_recovery_less_sinking_fund_is_the_rate(rate: float, years: int) -> None:
    """A/P − A/F = i (the check that a printed pair .162745, .093573 at 6 %, 8 years fails, course CE 4200)."""
    recovery = 1.0 / upv(rate, years)
    sinking = recovery * float(present_value_factor(rate, np.array([float(years)]))[0])
    assert recovery - sinking == pytest.approx(rate, rel=1e-9)


def test_streams_fall_at_year_ends_or_middles_and_year_0_at_the_base_date() -> None:
    assert stream_times_years(3, END).tolist() == [0.0, 1.0, 2.0, 3.0]
    assert stream_times_years(3, MID).tolist() == [0.0, 0.5, 1.5, 2.5]


def test_draws_broadcast_over_the_leading_axis() -> None:
    rates = np.array([0.03, 0.06])
    together = uniform_present_value(rates, np.array([0.01, 0.02]), study_years=7, timing=MID)
    assert together == pytest.approx([upv(0.03, 7, 0.01, MID), upv(0.06, 7, 0.02, MID)])
