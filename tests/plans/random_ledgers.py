"""Random ledgers and typical years: every kind of source, dated tariffs, second sources, grants, late receipts."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from hypothesis import strategies as st

from ledger.heat.results import TypicalHeat
from ledger.model.build import Build, Item, Upkeep
from ledger.model.heaters import CopPoint, Kind, Source, Tariff
from ledger.model.ledger import Ledger
from ledger.model.terms import Timing
from tests.money.made import BASE, build, grant, item, sure
from tests.plans.made import money, plug, stove
from tests.running.made import ledger_with, line, typical

coins = st.integers(0, 800_000).map(lambda cents: str(Decimal(cents) / 100))
growths = st.floats(-0.03, 0.08).map(sure)
lives = st.integers(2, 40).map(float)
days = st.integers(-900, 6000).map(lambda n: BASE + timedelta(days=n))
# A price is nothing or at least a thousandth: at 1e-300 a price raised to one that pays is beyond floats.
tariffs = st.lists(st.builds(Tariff, days, (st.just(0.0) | st.floats(0.001, 400.0)).map(sure)), max_size=2).map(tuple)
power_tariffs = st.lists(st.builds(Tariff, days, (st.just(0.0) | st.floats(0.001, 0.8)).map(sure)), max_size=2).map(
    tuple
)


@st.composite
def items(draw: st.DrawFn) -> Item:
    return item(
        draw(coins),
        day=draw(days),
        share=draw(st.floats(0.1, 1.0)),
        life=draw(lives),
        residual=draw(st.sampled_from(["0", "0", "50"])),
        hours=draw(st.none() | st.floats(0, 40).map(sure)),
    )


@st.composite
def builds(draw: st.DrawFn, name: str) -> Build:
    return replace(
        build(name, *draw(st.lists(items(), min_size=1, max_size=3))),
        upkeep=tuple(Upkeep("filter", money(a)) for a in draw(st.lists(st.integers(0, 200), max_size=2))),
        expected_running=draw(st.none() | st.integers(0, 200).map(money)),
    )


@st.composite
def sources(draw: st.DrawFn) -> tuple[Source, ...]:
    electric = plug(
        price=draw(st.just(0.0) | st.floats(0.05, 0.6)),
        price_growth=draw(growths),
        tariffs=draw(power_tariffs),
        life_years=sure(draw(lives)),
        output_kw=draw(st.none() | st.floats(1, 40).map(sure)),
        bought=draw(st.none() | st.dates(date(2010, 1, 1), BASE)),
    )
    wood = stove(
        price=draw(st.just(0.0) | st.floats(20, 500)),
        price_growth=draw(growths),
        tariffs=draw(tariffs),
        hours_per_unit=draw(st.none() | st.floats(0, 20).map(sure)),
        output_kw=draw(st.none() | st.floats(1, 40).map(sure)),
        units=draw(st.integers(1, 2)),
        bought=draw(st.none() | st.dates(date(2010, 1, 1), BASE)),
        then=draw(st.sampled_from([None, "plug heater"])),
    )
    pump = plug(
        name="heat pump",
        kind=Kind.HEAT_PUMP,
        price=draw(st.floats(0.05, 0.6)),
        price_growth=draw(growths),
        cop=(CopPoint(-15.0, draw(st.floats(1.0, 2.5))), CopPoint(10.0, draw(st.floats(2.5, 5.0)))),
        then=draw(st.sampled_from([None, "wood stove"])),
        output_kw=draw(st.none() | st.floats(1, 40).map(sure)),
    )
    return electric, wood, pump


@st.composite
def typical_years(draw: st.DrawFn) -> TypicalHeat:
    rows = draw(st.lists(st.tuples(st.floats(0, 20), st.floats(0, 1.2), st.floats(-25, 15)), min_size=1, max_size=10))
    return typical(
        [need for need, _, _ in rows],
        [need * left for need, left, _ in rows],
        outdoor=[outdoor for _, _, outdoor in rows],
        weight=draw(st.floats(0.1, 600)),
    )


@st.composite
def ledgers(draw: st.DrawFn) -> Ledger:
    made = tuple(draw(builds(name)) for name in draw(st.sampled_from([("tubes",), ("tubes", "tank")])))
    book = tuple(
        line("tubes", date(2026, m, 1), date(2026, m, 20), kwh=draw(st.floats(0, 80)), hours=draw(st.floats(0, 2)))
        for m in draw(st.sets(st.integers(1, 12), max_size=3))
    )
    return ledger_with(
        *made,
        sources=draw(sources()),
        running=book,
        price=draw(st.none() | st.floats(0.05, 0.6)),
        growth=draw(st.floats(-0.03, 0.08)),
        labour_rate=draw(st.none() | st.floats(0, 40)),
        discount_rate=sure(draw(st.floats(0.0, 0.15))),
        inflation=sure(draw(st.floats(0.0, 0.06))),
        rates_are_real=draw(st.booleans()),
        study_years=draw(st.integers(1, 40)),
        timing=draw(st.sampled_from(list(Timing))),
        grants=tuple(grant(a) for a in draw(st.lists(coins, max_size=1))),
    )
