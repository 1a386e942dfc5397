"""From an hourly record to plans: the peak need of a house whose twin was logged, plans that add up to the season."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ledger.heat.bare_lift import bare_lift_p10_k
from ledger.heat.reckoning import heat_work, prepare, reckon
from ledger.plans.compare import compare
from tests.heat.builders import heater, ledger_of, plain_house, record_of, spread, winter_record
from tests.known import known
from tests.plans.made import named


def test_the_lift_of_a_twin_is_the_tenth_percentile_of_its_counted_hours() -> None:
    """300 hours from noon of 1 January; the twin stands 1 K above outdoors in the first 90 of them,
    3 K after. More than a tenth of the counted hours have 1 K, so the tenth percentile is 1."""
    outdoor = np.linspace(-10.0, -5.0, 300)
    twin = outdoor + np.where(np.arange(300) < 90, 1.0, 3.0)
    record = record_of({"indoor": outdoor + 8.0, "outdoor": outdoor, "unheated": twin}, first="2026-01-01T12:00+01:00")
    ledger = ledger_of()
    work = heat_work(prepare(record, ledger), ledger)
    assert bare_lift_p10_k(work.seasons) == pytest.approx(1.0)


def test_a_twin_colder_than_outdoors_gives_a_lift_of_0() -> None:
    outdoor = np.linspace(-10.0, -5.0, 300)
    record = record_of(
        {"indoor": outdoor + 8.0, "outdoor": outdoor, "unheated": outdoor - 2.0}, first="2026-01-01T12:00+01:00"
    )
    ledger = ledger_of()
    assert known(reckon(prepare(record, ledger), ledger).typical).bare_lift_p10_k == 0.0


def test_by_lift_the_ledgers_own_low_end_stands() -> None:
    """H = 100 W/K (50 m2 of 2 W/m2/K), hold 5, design −15, lift 1 to 3: (20 − 1)·100 = 1.9 kW. Output 1.8 kW fails."""
    ledger = replace(
        ledger_of(plain_house(100.0, lift=spread(2.0, 1.0, 3.0))), sources=(heater(output_kw=spread(1.8)),)
    )
    heat = known(reckon(prepare(winter_record(), ledger), ledger).typical)
    assert heat.bare_lift_p10_k is None
    answer = compare(ledger, heat, fan_kwh=None, coldest_logged_c=-15.0, shares=None)
    plan = named(answer, "electric heater alone")
    assert plan.peak_need_kw == pytest.approx(1.9)
    assert plan.holds_design_night is False
    assert plan.rank is None


def test_plans_buy_the_need_and_what_the_build_left_of_it() -> None:
    ledger = replace(ledger_of(), sources=(heater(output_kw=spread(50.0)),))
    heat = known(reckon(prepare(winter_record(), ledger), ledger).typical)
    answer = compare(ledger, heat, fan_kwh=0.0, coldest_logged_c=-20.0, shares=None)
    alone, built = named(answer, "electric heater alone"), named(answer, "build + electric heater")
    assert alone.heat_to_buy_kwh == pytest.approx(heat.need_kwh)
    assert built.heat_to_buy_kwh == pytest.approx(heat.to_buy_kwh)
    assert known(alone.fuel_cost) - known(built.fuel_cost) == pytest.approx(0.16 * heat.avoided_kwh)
    assert 0 < known(named(answer, "build alone").nights_short) <= 212
    assert known(named(answer, "nothing").nights_short) <= 212
