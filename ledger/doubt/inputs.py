"""Every input of the money that carries a range, by its path, and how another value is put in its place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any, TypeVar

from ledger.model.build import Build, Item
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.model.terms import Terms
from ledger.model.values import Basis, MoneyRange, Spread
from ledger.money.prices import electric_source
from ledger.money.project import Number

Ranged = TypeVar("Ranged", Spread, MoneyRange)
Change = Callable[[Ledger, Number], Ledger]

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


def follows_inflation(growth: Spread, terms: Terms) -> bool:
    """Whether a growth was left to us and is inflation."""
    i = terms.inflation
    same = (growth.likely, growth.low, growth.high) == (i.likely, i.low, i.high)
    return same and growth.basis is Basis.ASSUMED and not terms.rates_are_real


def _of_terms(ledger: Ledger) -> Iterator[MoneyInput]:
    terms = ledger.terms
    yield MoneyInput(
        DISCOUNT_RATE,
        terms.discount_rate,
        lambda led, v: replace(led, terms=replace(led.terms, discount_rate=likely(led.terms.discount_rate, v))),
    )
    if not terms.rates_are_real:
        yield MoneyInput(INFLATION, terms.inflation, _put_inflation(ledger))
    for k, grant in enumerate(terms.grants):
        yield MoneyInput(f"money.grant[{grant.name}].amount", as_spread(grant.amount), _put_grant(k))
    if ledger.labour_rate_per_h is not None:
        yield MoneyInput("labour.rate", ledger.labour_rate_per_h, _put_labour)


def _of_electricity(ledger: Ledger) -> Iterator[MoneyInput]:
    own = ledger.electricity
    if own.price is not None:
        price = own.price
        yield MoneyInput(
            "electricity.price",
            price,
            lambda led, v: replace(led, electricity=replace(led.electricity, price=likely(price, v))),
        )
    if not (follows_inflation(own.price_growth, ledger.terms) or _grows_as_a_source(ledger)):
        yield MoneyInput("electricity.price_growth", own.price_growth, _put_electric_growth)


def _of_build(build: Build, number: int) -> Iterator[MoneyInput]:
    name = f"build[{build.name}]"
    for k, item in enumerate(build.items):
        yield from _of_item(item, number, k, f"{name}.item[{k + 1}]")
    for k, upkeep in enumerate(build.upkeep):
        yield MoneyInput(f"{name}.upkeep[{k + 1}].amount", as_spread(upkeep.amount), _put_upkeep(number, k))
    if build.expected_running is not None:
        running = build.expected_running
        yield MoneyInput(
            f"{name}.expected_running",
            as_spread(running),
            lambda led, v: _change_build(led, number, lambda b: replace(b, expected_running=likely(running, v))),
        )


def _of_item(item: Item, build: int, number: int, path: str) -> Iterator[MoneyInput]:
    def put(change: Callable[[Item, Number], Item]) -> Change:
        return lambda led, v: _change_item(led, build, number, lambda i: change(i, v))

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
        return lambda led, v: _change_source(led, name, lambda s: change(s, v))

    yield MoneyInput(f"{path}.price", source.price, put(lambda s, v: replace(s, price=likely(s.price, v))))
    for k, tariff in enumerate(source.tariffs):
        yield MoneyInput(f"{path}.tariff[{k + 1}].price", tariff.price, put(_put_tariff(k)))
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
            _put_growth(source, ledger),
        )
    if source.hours_per_unit is not None and ledger.labour_rate_per_h is not None:
        hours = source.hours_per_unit
        yield MoneyInput(f"{path}.hours_per_unit", hours, put(lambda s, v: replace(s, hours_per_unit=likely(hours, v))))


def likely(value: Ranged, new: Number) -> Ranged:
    """The range with another likely value.

    An array stands for draws: every function of the money takes `likely` as a Number, so one ledger carries them all.
    """
    put: Any = new
    if isinstance(value, MoneyRange) and isinstance(new, float | int):
        put = Decimal(repr(float(new)))
    return replace(value, likely=put)


def as_spread(money: MoneyRange) -> Spread:
    """A range of money as floats."""
    return Spread(float(money.likely), float(money.low), float(money.high), money.basis)


def _put_inflation(ledger: Ledger) -> Change:
    """Inflation, with every growth that follows it. Who follows is settled on the ledger as read."""
    names = {s.name for s in ledger.sources if follows_inflation(s.price_growth, ledger.terms)}
    with_electricity = follows_inflation(ledger.electricity.price_growth, ledger.terms)

    def put(led: Ledger, value: Number) -> Ledger:
        growth = likely(ledger.terms.inflation, value)
        sources = tuple(replace(s, price_growth=growth) if s.name in names else s for s in led.sources)
        electricity = replace(led.electricity, price_growth=growth) if with_electricity else led.electricity
        return replace(led, terms=replace(led.terms, inflation=growth), electricity=electricity, sources=sources)

    return put


def grow_source(ledger: Ledger, source: Source, growth: Number) -> Ledger:
    """The ledger with another price growth of a source, and of electricity where that follows it."""
    return _put_growth(source, ledger)(ledger, growth)


def scale_prices(ledger: Ledger, name: str, factor: Number) -> Ledger:
    """The ledger with all prices of a source, those of its tariffs too, times a factor."""

    def change(source: Source) -> Source:
        tariffs = tuple(replace(t, price=likely(t.price, t.price.likely * factor)) for t in source.tariffs)
        return replace(source, price=likely(source.price, source.price.likely * factor), tariffs=tariffs)

    return _change_source(ledger, name, change)


def _grows_as_a_source(ledger: Ledger) -> bool:
    """Whether electricity was left to grow as an electric source does: then it moves with that source."""
    return any(s.kind.electric and s.price_growth == ledger.electricity.price_growth for s in ledger.sources)


def _put_growth(source: Source, ledger: Ledger) -> Change:
    """A source's price growth, with that of electricity where it follows."""
    with_electricity = source.kind.electric and ledger.electricity.price_growth == source.price_growth

    def put(led: Ledger, value: Number) -> Ledger:
        growth = likely(source.price_growth, value)
        changed = _change_source(led, source.name, lambda s: replace(s, price_growth=growth))
        if with_electricity:
            changed = replace(changed, electricity=replace(led.electricity, price_growth=growth))
        return changed

    return put


def _put_labour(ledger: Ledger, value: Number) -> Ledger:
    rate = ledger.labour_rate_per_h
    return ledger if rate is None else replace(ledger, labour_rate_per_h=likely(rate, value))


def _put_electric_growth(ledger: Ledger, value: Number) -> Ledger:
    own = ledger.electricity
    return replace(ledger, electricity=replace(own, price_growth=likely(own.price_growth, value)))


def _put_grant(number: int) -> Change:
    def put(ledger: Ledger, value: Number) -> Ledger:
        grants = ledger.terms.grants
        changed = replace(grants[number], amount=likely(grants[number].amount, value))
        return replace(ledger, terms=replace(ledger.terms, grants=_swapped(grants, number, changed)))

    return put


def _put_tariff(number: int) -> Callable[[Source, Number], Source]:
    def put(source: Source, value: Number) -> Source:
        tariff = source.tariffs[number]
        changed = replace(tariff, price=likely(tariff.price, value))
        return replace(source, tariffs=_swapped(source.tariffs, number, changed))

    return put


def _put_upkeep(build: int, number: int) -> Change:
    def put(ledger: Ledger, value: Number) -> Ledger:
        def change(b: Build) -> Build:
            changed = replace(b.upkeep[number], amount=likely(b.upkeep[number].amount, value))
            return replace(b, upkeep=_swapped(b.upkeep, number, changed))

        return _change_build(ledger, build, change)

    return put


def _change_item(ledger: Ledger, build: int, number: int, change: Callable[[Item], Item]) -> Ledger:
    def changed(b: Build) -> Build:
        return replace(b, items=_swapped(b.items, number, change(b.items[number])))

    return _change_build(ledger, build, changed)


def _change_build(ledger: Ledger, number: int, change: Callable[[Build], Build]) -> Ledger:
    return replace(ledger, builds=_swapped(ledger.builds, number, change(ledger.builds[number])))


def _change_source(ledger: Ledger, name: str, change: Callable[[Source], Source]) -> Ledger:
    return replace(ledger, sources=tuple(change(s) if s.name == name else s for s in ledger.sources))


Entry = TypeVar("Entry")


def _swapped(entries: tuple[Entry, ...], number: int, new: Entry) -> tuple[Entry, ...]:
    return (*entries[:number], new, *entries[number + 1 :])
