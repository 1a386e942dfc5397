"""Another outdoor record by hand: its worst season, the limit that the log has shown, backup taken off."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.plans.other_winter import stress_of
from ledger.plans.stress import Cold
from ledger.series.record import HourlyRecord
from tests.heat.builders import record_of
from tests.known import known
from tests.plans.test_stress import dark_hours, three_backed_nights, three_nights

AS_IT_WAS = Cold(0.0, -15.0, None)


def outdoors(*nights_c: float, first: str = "2012-01-01T12:00+01:00") -> HourlyRecord:
    """One steady temperature from noon to noon, as the log's three days."""
    return record_of({"outdoor": np.repeat(np.array(nights_c), 24)}, first=first)


def test_two_nights_of_another_record_by_hand() -> None:
    """H 100 W/K, lift 2, hold 5. The log's nights below hold gave 1.1 and 0.9 kW, its cap 1.1 kW · n hours. At −20 °C a
    night needs 0.1 · (5 + 18) = 2.3 kW, of which 1.1 is given and 1.2 bought; at −4 °C 0.7 kW, all given."""
    ledger, seasons = three_nights((6.0, 3.0, 1.0))
    n = dark_hours(seasons)
    answer = known(stress_of(ledger, seasons, AS_IT_WAS, record=outdoors(-20.0, -4.0)))
    assert answer.season == "2011-12"
    assert answer.need_kwh == pytest.approx((2.3 + 0.7) * n)
    assert answer.to_buy_kwh == pytest.approx(1.2 * n, abs=1e-6)
    assert (answer.nights_short, answer.longest_run_short, answer.nights_counted) == (1, 1, 2)
    assert answer.cap_kwh == pytest.approx(1.1 * n)


def test_frost_is_where_what_is_missing_takes_the_air_below_0() -> None:
    """1.2 kW short at 100 W/K: 12 K below hold, −7 °C, all n hours of the one night."""
    ledger, seasons = three_nights((6.0, 3.0, 1.0))
    answer = known(stress_of(ledger, seasons, AS_IT_WAS, record=outdoors(-20.0, -4.0)))
    assert answer.frost_hours == round(dark_hours(seasons))


def test_of_several_winters_the_one_with_the_greatest_need_stands() -> None:
    """Two days of January 2012 at −5 °C, two of January 2013 at −12 °C, nothing between."""
    ledger, seasons = three_nights((6.0, 3.0, 1.0))
    mild, hard = outdoors(-5.0, -5.0), outdoors(-12.0, -12.0, first="2013-01-01T12:00+01:00")
    both = replace(mild, hours=pd.concat([mild.hours, hard.hours]))
    answer = known(stress_of(ledger, seasons, AS_IT_WAS, record=both))
    assert answer.season == "2012-13"
    assert answer.need_kwh == pytest.approx(2 * 1.5 * dark_hours(seasons), rel=0.01)


def test_backup_heat_in_the_log_is_no_gift_of_the_build() -> None:
    """Held at 6 °C three nights gave 3 · 1.3 kW · n; 30 kWh of it came from a heater, so that share is bought."""
    ledger, backed = three_backed_nights()
    n = dark_hours(backed)
    share = 30.0 / (3 * 1.3 * n)
    answer = known(stress_of(ledger, backed, AS_IT_WAS, record=outdoors(-10.0)))
    assert answer.to_buy_kwh == pytest.approx(1.3 * n * share)


def test_without_a_log_nobody_knows_what_the_build_would_give() -> None:
    ledger, _ = three_nights((6.0, 3.0, 1.0))
    assert stress_of(ledger, (), AS_IT_WAS, record=outdoors(-20.0)) is None


def test_a_record_of_summer_holds_no_winter() -> None:
    ledger, seasons = three_nights((6.0, 3.0, 1.0))
    summer = outdoors(10.0, 12.0, first="2012-07-01T12:00+02:00")
    assert stress_of(ledger, seasons, AS_IT_WAS, record=summer) is None


@settings(max_examples=10, deadline=None)
@given(st.floats(-25, 10), st.floats(0, 8))
def test_a_colder_record_never_buys_less(outdoor_c: float, colder_k: float) -> None:
    ledger, seasons = three_nights((6.0, 3.0, 1.0))
    was = known(stress_of(ledger, seasons, AS_IT_WAS, record=outdoors(outdoor_c, outdoor_c)))
    harder = known(stress_of(ledger, seasons, Cold(colder_k, -15.0, None), record=outdoors(outdoor_c, outdoor_c)))
    assert harder.to_buy_kwh >= was.to_buy_kwh - 1e-9
    assert harder.need_kwh == pytest.approx(harder.avoided_kwh + harder.to_buy_kwh)
