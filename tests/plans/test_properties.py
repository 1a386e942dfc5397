"""What holds for every ledger: plan against plan is the worth of the build; dear fuel never helps; ranks in order."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.heat.results import TypicalHeat
from ledger.model.ledger import Ledger
from ledger.money.avoided import to_year_money
from ledger.money.project import build_project, project_from
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import npv
from ledger.money.year import build_years
from tests.known import known
from tests.money.made import build, item, sure
from tests.plans.made import compared, named, plug, stove
from tests.plans.random_ledgers import ledgers, typical_years
from tests.running.made import ledger_with, typical

quick = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SHARES = {"tubes": 0.7, "tank": 0.3}


@quick
@given(ledgers(), typical_years(), st.none() | st.floats(0, 500))
def test_a_plan_less_its_plan_with_the_build_is_the_worth_of_the_build(
    ledger: Ledger, heat: TypicalHeat, fan_kwh: float | None
) -> None:
    answer = compared(ledger, heat, fan_kwh=fan_kwh)
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=fan_kwh)
    upkeep = typical_upkeep(ledger, ledger.builds)
    for source in ledger.sources:
        year, _ = to_year_money(ledger, heat, source, running=running, upkeep=upkeep)
        worth = float(npv(project_from(ledger, year)))
        alone, built = (named(answer, f"{n}{source.name}{e}") for n, e in (("", " alone"), ("build + ", "")))
        if alone.life_cycle_cost is None:
            assert built.life_cycle_cost is None
            continue
        with_build = known(built.life_cycle_cost)
        scale = max(1.0, abs(worth), abs(alone.life_cycle_cost), abs(with_build))
        assert abs(alone.life_cycle_cost - with_build - worth) <= 1e-9 * scale


@quick
@given(ledgers(), typical_years())
def test_the_same_holds_for_each_of_several_builds(ledger: Ledger, heat: TypicalHeat) -> None:
    if len(ledger.builds) < 2:
        return
    answer = compared(ledger, heat, shares=SHARES)
    for source in (s for s in ledger.sources if s.then is None):
        together, _ = to_year_money(
            ledger,
            heat,
            source,
            running=typical_running(ledger, ledger.builds, fan_kwh=None)[0],
            upkeep=typical_upkeep(ledger, ledger.builds),
        )
        alone = known(named(answer, f"{source.name} alone").life_cycle_cost)
        years = build_years(ledger, together, SHARES, fan_kwh=None)
        for one in ledger.builds:
            year = known(years[one.name])
            worth = float(npv(build_project(ledger, one.name, year)))
            built = known(named(answer, f"{one.name} + {source.name}").life_cycle_cost)
            assert alone - built == pytest.approx(worth, rel=1e-9, abs=1e-9 * max(1.0, abs(alone), abs(built)))


@quick
@given(ledgers(), typical_years(), st.floats(0.0, 3.0))
def test_a_dearer_fuel_never_makes_a_plan_that_burns_it_cheaper(ledger: Ledger, heat: TypicalHeat, more: float) -> None:
    dear = tuple(
        replace(s, price=sure(s.price.likely * (1.0 + more) + more)) if s.name == "wood stove" else s
        for s in ledger.sources
    )
    before, after = compared(ledger, heat), compared(replace(ledger, sources=dear), heat)
    for old, new in zip(before.plans, after.plans, strict=True):
        burns = "wood stove" in (old.source, old.second)
        if old.life_cycle_cost is None:
            continue
        slack = 1e-9 * max(1.0, abs(old.life_cycle_cost))
        assert known(new.life_cycle_cost) >= old.life_cycle_cost - slack
        if not burns and old.source is not None and ledger.electricity.price is not None:
            assert new.life_cycle_cost == pytest.approx(old.life_cycle_cost, rel=1e-12, abs=1e-9)


@quick
@given(ledgers(), typical_years())
def test_a_build_that_avoids_nothing_adds_its_own_cost_to_the_source(ledger: Ledger, heat: TypicalHeat) -> None:
    idle = replace(heat, avoided_kwh=0.0, to_buy_kwh=heat.need_kwh)
    idle = replace(idle, profile=heat.profile.assign(to_buy_kwh=heat.profile["need_kwh"]))
    answer = compared(ledger, idle)
    own = known(named(answer, "build alone").life_cycle_cost)
    for source in ledger.sources:
        alone = named(answer, f"{source.name} alone").life_cycle_cost
        built = named(answer, f"build + {source.name}").life_cycle_cost
        if alone is not None:
            assert built == pytest.approx(alone + own, rel=1e-9, abs=1e-9 * max(1.0, abs(alone), abs(own)))


@quick
@given(ledgers(), typical_years())
def test_ranks_are_the_order_of_life_cycle_cost_among_plans_that_hold(ledger: Ledger, heat: TypicalHeat) -> None:
    plans = compared(ledger, heat, shares=SHARES if len(ledger.builds) > 1 else None).plans
    placed = sorted((p for p in plans if p.rank is not None), key=lambda p: known(p.rank))
    assert [p.rank for p in placed] == list(range(1, len(placed) + 1))
    costs = [known(p.life_cycle_cost) for p in placed]
    assert costs == sorted(costs)
    for plan in plans:
        if plan.unmet_kwh is not None and plan.unmet_kwh > 1e-3:
            assert plan.rank is None
        if plan.holds_design_night is False or plan.money_before_work or plan.source is None:
            assert plan.rank is None


@quick
@given(st.lists(st.floats(0.5, 20), min_size=1, max_size=10), st.floats(0.05, 0.9))
def test_an_output_below_the_greatest_hour_is_never_ranked(need: list[float], part: float) -> None:
    source = plug(output_kw=sure(max(need) * part))
    answer = compared(ledger_with(sources=(source,)), typical(need, need))
    plan = named(answer, "plug heater alone")
    assert known(plan.unmet_kwh) > 0.0
    assert plan.rank is None


@quick
@given(st.floats(0.0, 40.0), st.floats(0.0, 40.0))
def test_work_at_a_higher_wage_never_makes_wood_cheaper(low: float, high: float) -> None:
    heat = typical([5.0, 8.0], [2.0, 3.0], weight=300.0)
    costs = [
        known(
            named(
                compared(
                    ledger_with(build("tubes", item("900")), sources=(stove(),), labour_rate=w, against="wood stove"),
                    heat,
                ),
                "wood stove alone",
            ).life_cycle_cost
        )
        for w in sorted((low, high))
    ]
    assert costs[1] >= costs[0] - 1e-9
