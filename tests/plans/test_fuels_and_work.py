"""Published rows of fuel cost through the plans; every kind of heater side by side; own work at a rate and at none."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.model.heaters import Kind
from ledger.plans.results import Comparison
from ledger.plans.ties import Judged
from ledger.plans.work_free import with_work_free
from tests.money.made import build, item, sure
from tests.plans.made import compared, money, named, plug, stove
from tests.running.made import ledger_with, typical
from tests.running.test_prices import BTU_PER_KWH, DIVIDE, MILLION_BTU_KWH, MULTIPLY

HEAT = typical([10.0, 6.0], [7.0, 3.0], outdoor=[-10.0, -5.0], weight=100.0)
JUDGED = Judged(HEAT, None, -14.0, None)
ROWS = [(*row, True) for row in MULTIPLY] + [(*row, False) for row in DIVIDE]


@pytest.mark.parametrize(
    ("fuel", "btu", "efficiency", "printed", "tolerance", "times"), ROWS, ids=[str(r[0]) for r in ROWS]
)
def test_the_printed_rows_of_fuel_cost_come_out_of_the_plans(
    fuel: str, btu: float, efficiency: float, printed: float, tolerance: float, times: bool
) -> None:
    """Univ. of Connecticut Extension, Comparing Fuel Costs (2013), to the tolerance of the print (see test_prices): a
    plan's fuel cost per delivered kilowatt-hour, by the million Btu, is the price times or over the printed number."""
    price = 2.0 if times else 200.0
    source = plug(
        name="it",
        kind=Kind.OTHER,
        price=price,
        heat_per_unit_kwh=sure(btu / BTU_PER_KWH),
        efficiency=sure(efficiency),
    )
    plan = named(compared(ledger_with(sources=(source,), price=0.2, against="it"), HEAT), "it alone")
    assert plan.fuel_cost_per_delivered_kwh is not None
    a_million = plan.fuel_cost_per_delivered_kwh * MILLION_BTU_KWH
    number = a_million / price if times else price / a_million
    assert number == pytest.approx(printed, abs=tolerance), fuel


@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_of_heater_stands_alone_and_with_the_build(kind: Kind) -> None:
    """1600 kWh alone, 1000 with the build, at 0.20 a kWh whatever burns."""
    source = plug(name="it", kind=kind, price=0.20, hours_per_unit=sure(0.0))
    built = replace(build("tubes", item("900")), expected_running=money(0))
    answer = compared(ledger_with(built, sources=(source,), price=0.2, against="it"), HEAT)
    alone, with_build = named(answer, "it alone"), named(answer, "build + it")
    assert alone.fuel_cost == pytest.approx(320.0)
    assert with_build.fuel_cost == pytest.approx(200.0)
    assert alone.rank is not None
    assert with_build.rank is not None


def by_hand(rate: float | None) -> Comparison:
    """Build: 900, dug in 20 h, filter of 1 h a year; stove: 8 h a cord of 2500 delivered kWh."""
    tubes = replace(build("tubes", item("900", hours=sure(20.0))), expected_running=money(10))
    ledger = ledger_with(tubes, sources=(stove(),), price=0.2, labour_rate=rate, against="wood stove")
    return with_work_free(compared(ledger, HEAT), ledger, JUDGED)


def test_with_work_at_nothing_a_plan_costs_its_money() -> None:
    """1600 ÷ 2500 = 0.64 cord: 128, chimney 140: 268 without work; 5.12 h at 15: 76.80 more."""
    plan = named(by_hand(15.0), "wood stove alone")
    assert plan.first_year_cost_without_work == pytest.approx(268.0)
    assert plan.first_year_cost == pytest.approx(268.0 + 76.8)


def test_work_at_nothing_leaves_out_the_digging_too() -> None:
    """The build alone: 900 and its running; 20 h · 15 = 300 of digging stand in the cost at the stated rate only."""
    plan = named(by_hand(15.0), "build alone")
    assert plan.life_cycle_cost is not None
    assert plan.life_cycle_cost_without_work == pytest.approx(plan.life_cycle_cost - 300.0)


def test_without_a_rate_both_are_the_same() -> None:
    for plan in by_hand(None).plans:
        assert plan.life_cycle_cost_without_work == plan.life_cycle_cost
        assert plan.first_year_cost_without_work == plan.first_year_cost


@settings(max_examples=20, deadline=None)
@given(st.floats(0.0, 60.0))
def test_work_never_makes_a_plan_cheaper(rate: float) -> None:
    for plan in by_hand(rate).plans:
        assert plan.life_cycle_cost is not None
        assert plan.life_cycle_cost_without_work is not None
        assert plan.life_cycle_cost >= plan.life_cycle_cost_without_work - 1e-9


def test_unknown_hours_of_work_leave_the_cost_without_work_known() -> None:
    ledger = ledger_with(sources=(stove(hours_per_unit=None),), price=0.2, labour_rate=15.0, against="wood stove")
    plan = named(with_work_free(compared(ledger, HEAT), ledger, JUDGED), "wood stove alone")
    assert plan.money_before_work
    assert plan.rank is None
    assert plan.first_year_cost_without_work == pytest.approx(268.0)
