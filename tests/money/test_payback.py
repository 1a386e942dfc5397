"""When what was put in has come back."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.money.payback import last_crossing_years, simple_payback_years
from ledger.money.results import SeasonAccount
from ledger.money.season_track import pace
from ledger.money.worth import net_saving_in_cash, simple_payback
from tests.known import known
from tests.money.made import dated, part, project, year_money


def crossing(amounts: list[float], rate: float = 0.0) -> float:
    flow, times = dated(amounts)
    return float(last_crossing_years(flow * (1 + rate) ** -times))


def test_a_rebate_lowers_the_cost_and_is_no_saving() -> None:
    """Univ. of Connecticut, payback: 12,000 less a rebate of 2,000, saving 4,000: 2.5 years."""
    assert float(simple_payback_years(12000 - 2000, 4000)) == pytest.approx(2.5, abs=0.005)
    assert crossing([-10000, *[4000] * 5]) == pytest.approx(2.5, abs=0.005)


def test_uneven_savings_cross_inside_the_third_year() -> None:
    """Univ. of Connecticut: −20,000, 5,000, 8,000, 10,000 is 2.7; cost ÷ first saving would be 4.0, ÷ mean 2.61."""
    assert crossing([-20000, 5000, 8000, 10000]) == pytest.approx(2.7, abs=1e-12)
    assert float(simple_payback_years(20000, 5000)) == pytest.approx(4.0)


def test_a_discounted_payback_is_linear_within_the_year() -> None:
    """Univ. of Connecticut says between 3 and 4 at 10 %; 3 + 1,329.83/6,830.13 = 3.195."""
    assert crossing([-20000, 5000, 8000, 10000, 10000], 0.10) == pytest.approx(3.195, abs=0.001)


def test_the_discounted_running_sum_is_the_printed_one() -> None:
    """Univ. of Connecticut prints −20000 −15455 −8847 −1337 5493 with 3-decimal factors (tolerance 8)."""
    flow, times = dated([-20000, 5000, 8000, 10000, 10000])
    printed = [-20000, -15455, -8847, -1337, 5493]
    assert np.cumsum(flow * 1.1**-times) == pytest.approx(printed, abs=8)


def test_15000_saved_back_at_5000_takes_3_751_years_at_ten_percent() -> None:
    """The print says about 3.5, by eye; linear within year 4 it is 3.751 (closed form 3.742)."""
    assert crossing([-15000, *[5000] * 6], 0.10) == pytest.approx(3.751, abs=0.001)


@pytest.mark.parametrize(("extra", "saving", "printed"), [(900, 480, 1.9), (4100, 480, 8.5)])
def test_only_the_increment_counts_where_the_replacement_was_due_anyway(
    extra: int, saving: int, printed: float
) -> None:
    """Univ. of Connecticut, retrofit against replacement."""
    assert float(simple_payback_years(extra, saving)) == pytest.approx(printed, abs=0.05)


def test_a_replacement_that_digs_a_new_hole_moves_the_payback_behind_it() -> None:
    """−100, +60, +60, −50, +60, +60: sums −100, −40, 20, −30, 30, 90. First crossing 1.667; last 3 + 30/60 = 3.5."""
    assert crossing([-100, 60, 60, -50, 60, 60]) == pytest.approx(3.5)


def test_never_is_none_and_not_the_study() -> None:
    assert np.isnan(crossing([-100, 10, 10]))
    assert np.isnan(simple_payback_years(100, 0))
    assert np.isnan(simple_payback_years(100, -3))


def test_paid_back_by_the_last_day_counts() -> None:
    assert crossing([-30, 10, 10, 10]) == pytest.approx(3.0)
    assert crossing([-0.3, 0.1, 0.1, 0.1]) == pytest.approx(3.0), "rounding of floats is no debt"


def test_nothing_put_in_is_paid_back_at_once() -> None:
    assert crossing([0, 10, 10]) == 0.0
    assert float(simple_payback_years(-5, 10)) == 0.0


def test_a_later_hole_counts_even_if_nothing_was_put_in_at_first() -> None:
    """10, 10, −50, 20, 20: sums 10, 20, −30, −10, 10; last crossing 3 + 10/20."""
    assert crossing([10, 10, -50, 20, 20]) == pytest.approx(3.5)


def test_draws_are_reckoned_side_by_side() -> None:
    rows = np.array([[-100.0, 60, 60], [-100.0, 10, 10], [0.0, 1, 1]])
    assert last_crossing_years(rows) == pytest.approx([1 + 40 / 60, np.nan, 0.0], nan_ok=True)


@given(st.floats(1, 1e6), st.floats(1, 1e5), st.integers(1, 40))
def test_with_equal_years_the_crossing_is_the_simple_payback(capital: float, saving: float, years: int) -> None:
    simple = float(simple_payback_years(capital, saving))
    answer = crossing([-capital, *[saving] * years])
    if simple < years - 1e-6:
        assert answer == pytest.approx(simple, rel=1e-6, abs=1e-6)
    elif simple > years + 1e-6:
        assert np.isnan(answer)


@given(st.lists(st.floats(-1e4, 1e4), min_size=2, max_size=30))
def test_after_the_last_crossing_the_sum_never_falls_below_zero(amounts: list[float]) -> None:
    answer = crossing(amounts)
    sums = np.cumsum(amounts)
    if not np.isnan(answer):
        slack = 1e-9 * max(1.0, float(np.abs(sums).max()))
        assert (sums[int(np.ceil(answer - 1e-9)) :] >= -slack).all()


def test_without_a_known_saving_a_payback_is_not_reckoned() -> None:
    """Views show nothing then; to ask for it all the same is a bug of ours."""
    with pytest.raises(ValueError, match="known saving"):
        simple_payback(project(part(1000.0), saving=year_money(None), years=10, d=0.05))
    assert net_saving_in_cash(year_money(None)) is None


def test_without_a_known_saving_of_every_season_there_is_no_pace() -> None:
    known_one = SeasonAccount("2025-26", 10.0, 0.0, 0.0, 0.0, 0.0, 110.0, 100.0, 100.0, 400.0)
    unknown = replace(known_one, season="2026-27", net_saving=None)
    assert pace([known_one, unknown], last_day=date(2027, 9, 30)) is None
    assert pace([replace(known_one, still_to_recover=None)], last_day=date(2026, 9, 30)) is None
    assert known(pace([known_one], last_day=date(2026, 9, 30))).years_to_go == 4.0


def test_a_day_beyond_two_hundred_years_is_not_named() -> None:
    """400 left at 2 a season are 200 years, at 1.99 just over."""
    account = SeasonAccount("2025-26", 0.0, 0.0, 0.0, 0.0, 0.0, 2.0, 2.0, 2.0, 400.0)
    assert known(pace([account], last_day=date(2026, 9, 30))).paid_on is not None
    slower = known(pace([replace(account, net_saving=1.99)], last_day=date(2026, 9, 30)))
    assert slower.paid_on is None
    assert slower.years_to_go == pytest.approx(400 / 1.99)
