"""How another value, or an array of draws, is put in the place of a likely one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any, TypeVar

from ledger.model.build import Build, Item
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.model.terms import Terms
from ledger.model.values import Basis, MoneyRange, Spread
from ledger.money.project import Number

Ranged = TypeVar("Ranged", Spread, MoneyRange)
Change = Callable[[Ledger, Number], Ledger]

Entry = TypeVar("Entry")


def follows_inflation(growth: Spread, terms: Terms) -> bool:
    """Whether a growth was left to us and is inflation."""
    i = terms.inflation
    same = (growth.likely, growth.low, growth.high) == (i.likely, i.low, i.high)
    return same and growth.basis is Basis.ASSUMED and not terms.rates_are_real


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


def put_inflation(ledger: Ledger) -> Change:
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
    return put_growth(source, ledger)(ledger, growth)


def scale_prices(ledger: Ledger, name: str, factor: Number) -> Ledger:
    """The ledger with all prices of a source, those of its tariffs too, times a factor."""

    def change(source: Source) -> Source:
        tariffs = tuple(replace(t, price=likely(t.price, t.price.likely * factor)) for t in source.tariffs)
        return replace(source, price=likely(source.price, source.price.likely * factor), tariffs=tariffs)

    return change_source(ledger, name, change)


def grows_as_a_source(ledger: Ledger) -> bool:
    """Whether electricity was left to grow as an electric source does: then it moves with that source."""
    return any(s.kind.electric and s.price_growth == ledger.electricity.price_growth for s in ledger.sources)


def put_growth(source: Source, ledger: Ledger) -> Change:
    """A source's price growth, with that of electricity where it follows."""
    with_electricity = source.kind.electric and ledger.electricity.price_growth == source.price_growth

    def put(led: Ledger, value: Number) -> Ledger:
        growth = likely(source.price_growth, value)
        changed = change_source(led, source.name, lambda s: replace(s, price_growth=growth))
        if with_electricity:
            changed = replace(changed, electricity=replace(led.electricity, price_growth=growth))
        return changed

    return put


def put_labour(ledger: Ledger, value: Number) -> Ledger:
    """Another price of an own hour; nothing where the ledger gives none."""
    rate = ledger.labour_rate_per_h
    return ledger if rate is None else replace(ledger, labour_rate_per_h=likely(rate, value))


def put_electric_growth(ledger: Ledger, value: Number) -> Ledger:
    """Another growth of the price of electricity."""
    own = ledger.electricity
    return replace(ledger, electricity=replace(own, price_growth=likely(own.price_growth, value)))


def put_grant(number: int) -> Change:
    """Another amount of a grant, counted from 0."""

    def put(ledger: Ledger, value: Number) -> Ledger:
        grants = ledger.terms.grants
        changed = replace(grants[number], amount=likely(grants[number].amount, value))
        return replace(ledger, terms=replace(ledger.terms, grants=_swapped(grants, number, changed)))

    return put


def put_tariff(number: int) -> Callable[[Source, Number], Source]:
    """Another price of a source's tariff, counted from 0."""

    def put(source: Source, value: Number) -> Source:
        tariff = source.tariffs[number]
        changed = replace(tariff, price=likely(tariff.price, value))
        return replace(source, tariffs=_swapped(source.tariffs, number, changed))

    return put


def put_upkeep(build: int, number: int) -> Change:
    """Another amount of a build's upkeep, both counted from 0."""

    def put(ledger: Ledger, value: Number) -> Ledger:
        def change(b: Build) -> Build:
            changed = replace(b.upkeep[number], amount=likely(b.upkeep[number].amount, value))
            return replace(b, upkeep=_swapped(b.upkeep, number, changed))

        return change_build(ledger, build, change)

    return put


def change_item(ledger: Ledger, build: int, number: int, change: Callable[[Item], Item]) -> Ledger:
    """The ledger with one item of one build changed, both counted from 0."""

    def changed(b: Build) -> Build:
        return replace(b, items=_swapped(b.items, number, change(b.items[number])))

    return change_build(ledger, build, changed)


def change_build(ledger: Ledger, number: int, change: Callable[[Build], Build]) -> Ledger:
    """The ledger with one build changed, counted from 0."""
    return replace(ledger, builds=_swapped(ledger.builds, number, change(ledger.builds[number])))


def change_source(ledger: Ledger, name: str, change: Callable[[Source], Source]) -> Ledger:
    """The ledger with the source of that name changed."""
    return replace(ledger, sources=tuple(change(s) if s.name == name else s for s in ledger.sources))


def _swapped(entries: tuple[Entry, ...], number: int, new: Entry) -> tuple[Entry, ...]:
    return (*entries[:number], new, *entries[number + 1 :])
