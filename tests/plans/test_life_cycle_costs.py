"""Life-cycle costs of all plans of three ledgers, reckoned a second time from the printed formulas.

The formulas below are those of 10 CFR 436.16 (single and uniform present value), 436.17 (energy with escalation) and
436.19 (life-cycle cost = investment − salvage + replacements + operation + energy, all in present value), with the
straight-line residual of NIST Handbook 135. They share no code with the package.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

import pytest

from ledger.model.build import Upkeep
from ledger.model.heaters import CopPoint, Kind, Tariff
from ledger.model.terms import Timing
from tests.known import known
from tests.money.made import build, grant, item, sure
from tests.plans.made import compared, money, named, plug, stove
from tests.running.made import ledger_with, line, typical


@dataclass(frozen=True)
class Hand:
    """The terms of a study, and present values by the printed formulas."""

    d: float
    n: int
    i: float
    mid_year: bool = False

    def spv(self, t: float) -> float:
        return float(1.0 / (1.0 + self.d) ** t)

    def when(self, k: int) -> float:
        return k - 0.5 if self.mid_year and k else k

    def upv(self, growth: float) -> float:
        """Σ ((1 + e)^k ÷ (1 + d)^t): UPV* of 436.17(b), UPV where the growth is 0."""
        return sum((1.0 + growth) ** k * self.spv(self.when(k)) for k in range(1, self.n + 1))

    def unit(self, cost: float, life: int, *, bought: int = 0, left: float = 0.0, owned: bool = False) -> float:
        """A unit bought in a year, replaced whenever its life is over before the study's end, less what is left."""
        total = 0.0 if owned else cost * self.spv(self.when(bought))
        last = bought
        while last + life < self.n:
            last += life
            total += cost * (1.0 + self.i) ** last * self.spv(self.when(last))
        remaining = (last + life - self.n) / life
        salvage = left + (cost - left) * remaining
        return total - salvage * (1.0 + self.i) ** self.n * self.spv(self.n)


HEAT = typical([4.0, 6.0, 2.0], [3.0, 4.0, 0.0], outdoor=[-5.0, -15.0, 5.0], weight=500.0)
NEED, BUY = 6000.0, 3500.0


def test_first_ledger_nominal_end_of_year_two_sources_fan_and_filter() -> None:
    """d 6 %, i 2 %, 25 years. Need 6000 kWh, to buy 3500. Build: trench 3850 for 40 years, fan 180 for 7; the fan runs
    on 31 kWh in January at 0.20 (growth 3 %); filter 25 a year. Electric heater: 300 for 10 years, 0.20 a kWh, growth
    3 %. Stove: 2400 for 18 years, chimney 140, 200 a cord of 2500 delivered kWh, growth 1 %, 8 h · 15 a cord."""
    tubes = build("tubes", item("3850", life=40), item("180", life=7), upkeep=(Upkeep("filter", money(25)),))
    electric = plug(price_growth=sure(0.03))
    wood = stove(price_growth=sure(0.01), life_years=sure(18.0))
    ledger = ledger_with(
        tubes,
        sources=(electric, wood),
        price=0.20,
        growth=0.03,
        labour_rate=15.0,
        running=(line("tubes", date(2026, 1, 1), date(2026, 1, 31), kwh=31.0),),
    )
    answer = compared(ledger, HEAT)
    hand = Hand(d=0.06, n=25, i=0.02)

    def electric_cost(kwh: float) -> float:
        return hand.unit(300, 10) + kwh * 0.20 * hand.upv(0.03)

    def wood_cost(kwh: float) -> float:
        cords = kwh / 2500
        return (
            hand.unit(2400, 18) + cords * 200 * hand.upv(0.01) + cords * 8 * 15 * hand.upv(0.02) + 140 * hand.upv(0.02)
        )

    tubes_cost = hand.unit(3850, 40) + hand.unit(180, 7) + 31 * 0.20 * hand.upv(0.03) + 25 * hand.upv(0.02)
    expected = {
        "plug heater alone": electric_cost(NEED),
        "wood stove alone": wood_cost(NEED),
        "build + plug heater": tubes_cost + electric_cost(BUY),
        "build + wood stove": tubes_cost + wood_cost(BUY),
        "build alone": tubes_cost,
        "nothing": 0.0,
    }
    assert {p.name: p.life_cycle_cost for p in answer.plans} == pytest.approx(expected, rel=1e-9)
    assert named(answer, "build + wood stove").first_year_cost == pytest.approx(1.4 * 200 + 1.4 * 120 + 140 + 6.2 + 25)
    real = Hand(d=1.06 / 1.02 - 1, n=25, i=0.0)
    plan = named(answer, "build + wood stove")
    assert plan.annual_cost == pytest.approx(known(plan.life_cycle_cost) / real.upv(0.0), rel=1e-9)
    assert plan.capital == pytest.approx(3850 + 180 + 2400)


def test_second_ledger_mid_year_an_owned_stove_a_tariff_a_grant_a_late_receipt() -> None:
    """d 5 %, i 3 %, 12 years, mid-year. The stove, 2000 for 15 years, was bought 4 years before the base date and wears
    out in year 11. Its cord costs 200 (growth 4 %), 260 from year 3 on. The propane heater, two units of 450 for 9
    years, burns 1.50 a unit of 25 kWh at 80 %. Build: 2000 at a share of 0.6 for 20 years, residual 300; a pump of 400
    for 5 years paid in year 2; grant 500 counted at its share; expected running 30 a year."""
    tank = replace(
        build(
            "tank",
            item("2000", share=0.6, life=20, residual="300"),
            item("400", life=5, day=date(2027, 3, 1)),
        ),
        expected_running=money(30),
    )
    wood = stove(
        capital=money(2000),
        life_years=sure(15.0),
        bought=date(2021, 9, 1),
        price_growth=sure(0.04),
        upkeep_per_year=money(100),
        tariffs=(Tariff(date(2028, 1, 15), sure(260.0)),),
        hours_per_unit=sure(0.0),
    )
    gas = plug(
        name="propane heater",
        kind=Kind.PROPANE,
        unit="gal",
        price=1.50,
        heat_per_unit_kwh=sure(25.0),
        efficiency=sure(0.8),
        price_growth=sure(0.02),
        capital=money(450),
        units=2,
        life_years=sure(9.0),
    )
    ledger = ledger_with(
        tank,
        sources=(wood, gas),
        discount_rate=sure(0.05),
        inflation=sure(0.03),
        study_years=12,
        timing=Timing.MID_YEAR,
        grants=(grant("500"),),
        price=0.2,
        against="wood stove",
    )
    answer = compared(ledger, HEAT)
    hand = Hand(d=0.05, n=12, i=0.03, mid_year=True)

    def wood_cost(kwh: float) -> float:
        cords = kwh / 2500
        prices = [200 * 1.04, 200 * 1.04**2] + [260 * 1.04 ** (k - 3) for k in range(3, 13)]
        fuel = sum(cords * p * hand.spv(hand.when(k)) for k, p in enumerate(prices, start=1))
        return hand.unit(2000, 15, bought=-4, owned=True) + fuel + 100 * hand.upv(0.03)

    def gas_cost(kwh: float) -> float:
        return 2 * hand.unit(450, 9) + kwh / 20 * 1.50 * hand.upv(0.02)

    share = (2000 * 0.6 + 400) / 2400
    tank_cost = 0.6 * hand.unit(2000, 20, left=300) + hand.unit(400, 5, bought=2) - 500 * share + 30 * hand.upv(0.03)
    expected = {
        "wood stove alone": wood_cost(NEED),
        "propane heater alone": gas_cost(NEED),
        "build + wood stove": tank_cost + wood_cost(BUY),
        "build + propane heater": tank_cost + gas_cost(BUY),
        "build alone": tank_cost,
        "nothing": 0.0,
    }
    assert {p.name: p.life_cycle_cost for p in answer.plans} == pytest.approx(expected, rel=1e-9)
    assert named(answer, "wood stove alone").capital == 0.0
    assert named(answer, "build + propane heater").capital == pytest.approx(1200 + 400 - 500 * share + 900)


def test_third_ledger_real_rates_a_heat_pump_two_builds_each_alone() -> None:
    """d 3 % real, no inflation, 20 years. Heat pump: 5000 for 12 years, COP 2 at −15 °C, 3 at 0, 3.5 at 10, 0.25 a kWh,
    real growth 1 %, upkeep 60. Hours at −5 °C: COP 2 + 10/15; −15: 2; 5: 3.25. Builds: screen 900 for 8 years (share of
    the saving 0.3), tubes 3000 for 30 years (0.7); the screen takes 20 a year, the tubes 45."""
    screen = replace(build("screen", item("900", life=8)), expected_running=money(20))
    tubes = replace(build("tubes", item("3000", life=30)), expected_running=money(45))
    pump = plug(
        name="heat pump",
        kind=Kind.HEAT_PUMP,
        price=0.25,
        price_growth=sure(0.01),
        capital=money(5000),
        life_years=sure(12.0),
        upkeep_per_year=money(60),
        cop=(CopPoint(-15.0, 2.0), CopPoint(0.0, 3.0), CopPoint(10.0, 3.5)),
    )
    ledger = ledger_with(
        screen,
        tubes,
        sources=(pump,),
        discount_rate=sure(0.03),
        inflation=sure(0.02),
        rates_are_real=True,
        study_years=20,
        against="heat pump",
        growth=0.01,
    )
    answer = compared(ledger, HEAT, shares={"screen": 0.3, "tubes": 0.7})
    hand = Hand(d=0.03, n=20, i=0.0)
    cop = {-5.0: 2 + 10 / 15, -15.0: 2.0, 5.0: 3.25}

    def pump_cost(*kwh: float) -> float:
        taken = 500 * sum(q / c for q, c in zip(kwh, cop.values(), strict=True))
        return hand.unit(5000, 12) + taken * 0.25 * hand.upv(0.01) + 60 * hand.upv(0.0)

    screen_cost = hand.unit(900, 8) + 20 * hand.upv(0.0)
    tubes_cost = hand.unit(3000, 30) + 45 * hand.upv(0.0)
    expected = {
        "heat pump alone": pump_cost(4, 6, 2),
        "build + heat pump": screen_cost + tubes_cost + pump_cost(3, 4, 0),
        "build alone": screen_cost + tubes_cost,
        "screen + heat pump": screen_cost + pump_cost(4 - 0.3, 6 - 0.6, 2 - 0.6),
        "screen alone": screen_cost,
        "tubes + heat pump": tubes_cost + pump_cost(4 - 0.7, 6 - 1.4, 2 - 1.4),
        "tubes alone": tubes_cost,
        "nothing": 0.0,
    }
    assert {p.name: p.life_cycle_cost for p in answer.plans} == pytest.approx(expected, rel=1e-9)
    plan = named(answer, "heat pump alone")
    assert plan.annual_cost == pytest.approx(known(plan.life_cycle_cost) / hand.upv(0.0), rel=1e-9)
    assert plan.fuel_units == pytest.approx(500 * (4 / cop[-5.0] + 6 / 2 + 2 / 3.25))
