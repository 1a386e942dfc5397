"""Every solved break-even put back into a random ledger: the money is reckoned anew and nothing is left."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from hypothesis import HealthCheck, Phase, assume, given, settings
from hypothesis import strategies as st

from ledger.doubt.breakeven import BreakEven, break_evens
from ledger.doubt.chain import Chain
from ledger.heat.results import TypicalHeat
from ledger.model.build import Item
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange, Spread
from ledger.money.avoided import to_year_money
from ledger.money.capital import capital
from ledger.money.prices import price_in_force
from ledger.money.project import number, project_from
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import npv, npv_without_residual
from tests.doubt.made import Linear
from tests.plans.random_ledgers import ledgers, typical_years

QUIET = settings(
    phases=[Phase.explicit, Phase.generate],
    max_examples=15,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
FAN_KWH = 50.0
CENT = 0.005

Put = Callable[[Ledger, TypicalHeat, float], tuple[Ledger, TypicalHeat]]


@st.composite
def chains(draw: st.DrawFn) -> Chain:
    ledger, heat = draw(ledgers()), draw(typical_years())
    against = draw(st.sampled_from([s.name for s in ledger.sources]))
    ledger = replace(ledger, terms=replace(ledger.terms, against=against))
    return Chain(ledger, heat, Linear(heat.need_kwh, heat.avoided_kwh), fan_kwh=FAN_KWH)


def worth_of(ledger: Ledger, heat: TypicalHeat, *, left: bool = True) -> float:
    """Net present value by the money rooms alone, without the room that solved."""
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=FAN_KWH)
    source = ledger.source(ledger.terms.against)
    year, _ = to_year_money(ledger, heat, source, running=running, upkeep=typical_upkeep(ledger, ledger.builds))
    project = project_from(ledger, year)
    return float(npv(project) if left else npv_without_residual(project))


def put_price(ledger: Ledger, heat: TypicalHeat, value: float) -> tuple[Ledger, TypicalHeat]:
    """The price in force on the base date, plain or by a tariff, typed in; the others in the same proportion."""
    source = ledger.source(ledger.terms.against)
    factor = value / float(number(price_in_force(source, ledger.terms.base_date)))
    tariffs = tuple(replace(t, price=Spread.sure(t.price.likely * factor)) for t in source.tariffs)
    new = replace(source, price=Spread.sure(source.price.likely * factor), tariffs=tariffs)
    return replace(ledger, sources=tuple(new if s is source else s for s in ledger.sources)), heat


def put_growth(ledger: Ledger, heat: TypicalHeat, value: float) -> tuple[Ledger, TypicalHeat]:
    """The growth typed in; that of electricity, where nobody gave it another, is the source's."""
    source = ledger.source(ledger.terms.against)
    new = replace(source, price_growth=Spread.sure(value))
    changed = replace(ledger, sources=tuple(new if s is source else s for s in ledger.sources))
    if source.kind.electric and ledger.electricity.price_growth == source.price_growth:
        changed = replace(changed, electricity=replace(ledger.electricity, price_growth=Spread.sure(value)))
    return changed, heat


def put_rate(ledger: Ledger, heat: TypicalHeat, value: float) -> tuple[Ledger, TypicalHeat]:
    return replace(ledger, terms=replace(ledger.terms, discount_rate=Spread.sure(value))), heat


def put_capital(ledger: Ledger, heat: TypicalHeat, value: float) -> tuple[Ledger, TypicalHeat]:
    """Every amount, own hour and value at the end in one proportion; the grants stay."""
    figures = capital(ledger)
    factor = (value + figures.grants) / figures.share_for_heat

    def scaled(item: Item) -> Item:
        money = (MoneyRange.sure(repr(float(m.likely) * factor)) for m in (item.amount, item.residual))
        amount, residual = money
        hours = None if item.hours is None else Spread.sure(item.hours.likely * factor)
        return replace(item, amount=amount, residual=residual, hours=hours)

    builds = tuple(replace(b, items=tuple(scaled(i) for i in b.items)) for b in ledger.builds)
    return replace(ledger, builds=builds), heat


def put_heat(ledger: Ledger, heat: TypicalHeat, value: float) -> tuple[Ledger, TypicalHeat]:
    return ledger, replace(heat, avoided_kwh=value, to_buy_kwh=heat.need_kwh - value)


# What stands in the ledger, or on the screen: price to six decimals, rates to a hundredth of a point, money in cents,
# heat to a kilowatt-hour.
PUTS: dict[str, tuple[Put, float]] = {
    "fuel price": (put_price, 1e-6),
    "growth of the fuel price": (put_growth, 1e-4),
    "discount rate": (put_rate, 1e-4),
    "net capital": (put_capital, 0.01),
    "avoided heat": (put_heat, 1.0),
}


def solved(chain: Chain) -> dict[str, BreakEven]:
    return {b.what: b for b in break_evens(chain)}


@QUIET
@given(chains())
def test_a_break_even_put_back_unrounded_leaves_nothing_to_the_cent(chain: Chain) -> None:
    found = solved(chain)
    assume(any(found[what].at is not None for what in PUTS))
    for what, (put, _) in PUTS.items():
        at = found[what].at
        if at is not None and (what != "fuel price" or found[what].today > 0):
            assert abs(worth_of(*put(chain.ledger, chain.heat, at))) < CENT, what


@QUIET
@given(chains())
def test_rounded_as_the_ledger_takes_it_it_leaves_what_the_rounding_is_worth(chain: Chain) -> None:
    """Between the two values half a step below and above, which the rounded one lies between, lies the worth."""
    found = solved(chain)
    assume(any(found[what].at is not None for what in PUTS))
    for what, (put, step) in PUTS.items():
        at = found[what].at
        if at is None or (what == "fuel price" and found[what].today == 0):
            continue
        rounded = float(round(Decimal(at) / Decimal(str(step)))) * step
        ends = [worth_of(*put(chain.ledger, chain.heat, at + half)) for half in (-step / 2, step / 2)]
        assert abs(worth_of(*put(chain.ledger, chain.heat, rounded))) <= max(map(abs, ends)) + CENT, what


@QUIET
@given(chains())
def test_life_and_years_are_the_first_that_pay(chain: Chain) -> None:
    """Typed into the ledger, the value found pays; those below it that are tried do not."""
    for one in break_evens(chain)[len(PUTS) :]:
        put = years_put if one.path == "money.study_years" else life_put(one.path)
        left = one.path != "money.study_years"
        last = 40 if one.at is None else int(one.at)
        tried = sorted({1, last // 3, last // 2, last - 2, last - 1} & set(range(1, last)))
        for years in tried:
            assert worth_of(put(chain.ledger, years), chain.heat, left=left) < CENT, (one.what, years)
        if one.at is not None:
            assert worth_of(put(chain.ledger, last), chain.heat, left=left) > -CENT, one.what


def years_put(ledger: Ledger, years: int) -> Ledger:
    return replace(ledger, terms=replace(ledger.terms, study_years=years))


def life_put(path: str) -> Callable[[Ledger, int], Ledger]:
    """The ledger with another life of the item that a path like build[tubes].item[2].life_years names."""
    name, number = path.removeprefix("build[").removesuffix("].life_years").split("].item[")

    def put(ledger: Ledger, years: int) -> Ledger:
        build = next(b for b in ledger.builds if b.name == name)
        items = list(build.items)
        items[int(number) - 1] = replace(items[int(number) - 1], life_years=Spread.sure(float(years)))
        new = replace(build, items=tuple(items))
        return replace(ledger, builds=tuple(new if b is build else b for b in ledger.builds))

    return put
