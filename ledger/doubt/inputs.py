"""Every input of the money that carries a range, by its path."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from ledger.doubt.puts import (
    Change,
    as_spread,
    change_build,
    change_item,
    change_source,
    follows_inflation,
    grows_as_a_source,
    likely,
    put_electric_growth,
    put_grant,
    put_growth,
    put_inflation,
    put_labour,
    put_tariff,
    put_upkeep,
)
from ledger.model.build import Build, Item
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.model.values import Spread
from ledger.money.prices import electric_source
from ledger.money.project import Number

INFLATION = "money.inflation"
DISCOUNT_RATE = "money.discount_rate"


@dataclass(frozen=True, slots=True)
class MoneyInput:
    """One uncertain input; `put` gives the ledger with another likely value, or an array of draws, in its place."""

    path: str
    spread: Spread
    put: Change


def money_inputs(ledger: Ledger, sources: Iterable[Source]) -> tuple[MoneyInput, ...]:
    """Name every input of the money with a range, in the order of the ledger.

    A price growth that nobody stated is no input of its own: it moves with inflation, or that of electricity with its
    source. Paths are those of the ledger file, with the name of a build or source in brackets and lists counted from 1.

    Parameters
    ----------
    ledger : everything that the grower wrote.
    sources : those whose price, efficiency and work take part; other sources are left out.

    Returns
    -------
    tuple of MoneyInput : those with high > low.
    """
    found = [
        *_of_terms(ledger),
        *_of_electricity(ledger),
        *(i for number, build in enumerate(ledger.builds) for i in _of_build(build, number)),
        *(i for source in sources for i in _of_source(source, ledger)),
    ]
    return tuple(i for i in found if i.spread.high > i.spread.low)


def spreads(ledger: Ledger) -> Mapping[str, Spread]:
    """The range of every uncertain money input of the headline, by path."""
    return {i.path: i.spread for i in money_inputs(ledger, headline_sources(ledger))}


def with_likely(ledger: Ledger, path: str, value: Number) -> Ledger:
    """The ledger with another likely value at a path of `spreads`; its range stays as it stands.

    Parameters
    ----------
    ledger : as read.
    path : of the input.
    value : in the unit of the input; an array stands for draws.

    Returns
    -------
    Ledger

    Raises
    ------
    KeyError : no such input, or one without a range.
    """
    puts = {i.path: i.put for i in money_inputs(ledger, ledger.sources)}
    return puts[path](ledger, value)


def headline_sources(ledger: Ledger) -> tuple[Source, ...]:
    """The sources whose prices reach the headline: the one it is against, its second, the electric one."""
    against = ledger.source(ledger.terms.against)
    names = {against.name, against.then}
    electric = electric_source(ledger)
    if ledger.electricity.price is None and electric is not None:
        names.add(electric.name)
    return tuple(s for s in ledger.sources if s.name in names)


def _of_terms(ledger: Ledger) -> Iterator[MoneyInput]:
    terms = ledger.terms
    yield MoneyInput(
        DISCOUNT_RATE,
        terms.discount_rate,
        lambda led, v: replace(led, terms=replace(led.terms, discount_rate=likely(led.terms.discount_rate, v))),
    )
    if not terms.rates_are_real:
        yield MoneyInput(INFLATION, terms.inflation, put_inflation(ledger))
    for k, grant in enumerate(terms.grants):
        yield MoneyInput(f"money.grant[{grant.name}].amount", as_spread(grant.amount), put_grant(k))
    if ledger.labour_rate_per_h is not None:
        yield MoneyInput("labour.rate", ledger.labour_rate_per_h, put_labour)


def _of_electricity(ledger: Ledger) -> Iterator[MoneyInput]:
    own = ledger.electricity
    if own.price is not None:
        price = own.price
        yield MoneyInput(
            "electricity.price",
            price,
            lambda led, v: replace(led, electricity=replace(led.electricity, price=likely(price, v))),
        )
    if not (follows_inflation(own.price_growth, ledger.terms) or grows_as_a_source(ledger)):
        yield MoneyInput("electricity.price_growth", own.price_growth, put_electric_growth)


def _of_build(build: Build, number: int) -> Iterator[MoneyInput]:
    name = f"build[{build.name}]"
    for k, item in enumerate(build.items):
        yield from _of_item(item, number, k, f"{name}.item[{k + 1}]")
    for k, upkeep in enumerate(build.upkeep):
        yield MoneyInput(f"{name}.upkeep[{k + 1}].amount", as_spread(upkeep.amount), put_upkeep(number, k))
    if build.expected_running is not None:
        running = build.expected_running
        yield MoneyInput(
            f"{name}.expected_running",
            as_spread(running),
            lambda led, v: change_build(led, number, lambda b: replace(b, expected_running=likely(running, v))),
        )


def _of_item(item: Item, build: int, number: int, path: str) -> Iterator[MoneyInput]:
    def put(change: Callable[[Item, Number], Item]) -> Change:
        return lambda led, v: change_item(led, build, number, lambda i: change(i, v))

    yield MoneyInput(f"{path}.amount", as_spread(item.amount), put(lambda i, v: replace(i, amount=likely(i.amount, v))))
    yield MoneyInput(f"{path}.share", item.share, put(lambda i, v: replace(i, share=likely(i.share, v))))
    yield MoneyInput(
        f"{path}.life_years", item.life_years, put(lambda i, v: replace(i, life_years=likely(i.life_years, v)))
    )
    yield MoneyInput(
        f"{path}.residual", as_spread(item.residual), put(lambda i, v: replace(i, residual=likely(i.residual, v)))
    )
    if item.hours is not None:
        hours = item.hours
        yield MoneyInput(f"{path}.hours", hours, put(lambda i, v: replace(i, hours=likely(hours, v))))


def _of_source(source: Source, ledger: Ledger) -> Iterator[MoneyInput]:
    path, name = f"source[{source.name}]", source.name

    def put(change: Callable[[Source, Number], Source]) -> Change:
        return lambda led, v: change_source(led, name, lambda s: change(s, v))

    yield MoneyInput(f"{path}.price", source.price, put(lambda s, v: replace(s, price=likely(s.price, v))))
    for k, tariff in enumerate(source.tariffs):
        yield MoneyInput(f"{path}.tariff[{k + 1}].price", tariff.price, put(put_tariff(k)))
    yield MoneyInput(
        f"{path}.heat_per_unit",
        source.heat_per_unit_kwh,
        put(lambda s, v: replace(s, heat_per_unit_kwh=likely(s.heat_per_unit_kwh, v))),
    )
    if not source.cop:
        yield MoneyInput(
            f"{path}.efficiency", source.efficiency, put(lambda s, v: replace(s, efficiency=likely(s.efficiency, v)))
        )
    if not follows_inflation(source.price_growth, ledger.terms):
        yield MoneyInput(
            f"{path}.price_growth",
            source.price_growth,
            put_growth(source, ledger),
        )
    yield from _of_unit(source, path, put)
    if source.hours_per_unit is not None and ledger.labour_rate_per_h is not None:
        hours = source.hours_per_unit
        yield MoneyInput(f"{path}.hours_per_unit", hours, put(lambda s, v: replace(s, hours_per_unit=likely(hours, v))))


def _of_unit(
    source: Source, path: str, put: Callable[[Callable[[Source, Number], Source]], Change]
) -> Iterator[MoneyInput]:
    """What the heater itself costs: in the cost of a plan, never in the worth of the build."""
    if source.capital is not None:
        capital = source.capital
        yield MoneyInput(
            f"{path}.capital", as_spread(capital), put(lambda s, v: replace(s, capital=likely(capital, v)))
        )
    yield MoneyInput(
        f"{path}.life_years", source.life_years, put(lambda s, v: replace(s, life_years=likely(s.life_years, v)))
    )
    yield MoneyInput(
        f"{path}.upkeep",
        as_spread(source.upkeep_per_year),
        put(lambda s, v: replace(s, upkeep_per_year=likely(s.upkeep_per_year, v))),
    )
