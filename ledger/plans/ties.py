"""Where two plans cost the same: the wage at which free wood stops being cheap, the fuel price that decides."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from ledger.heat.results import TypicalHeat
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.model.values import Spread
from ledger.plans.compare import compare
from ledger.plans.results import Plan


@dataclass(frozen=True, slots=True, eq=False)
class Judged:
    """What the plans are judged on, as `compare` takes it."""

    heat: TypicalHeat
    fan_kwh: float | None
    coldest_logged_c: float | None
    shares: Mapping[str, float] | None


def wage_at_tie(ledger: Ledger, judged: Judged, *, one: str, other: str) -> float | None:
    """The labour rate at which two plans have the same life-cycle cost.

        rate = difference at no wage ÷ (difference at no wage − difference at a wage of 1)

    Every cost is a straight line in the rate (own work in fuel, running, upkeep and the build's capital alike), so two
    reckonings settle it. Differs from a wage earned by burning wood, which would leave the stove's cost out.

    Parameters
    ----------
    ledger, judged : as for `compare`.
    one, other : names of two plans.

    Returns
    -------
    float : [currency/h]; None where no wage from 0 up brings the tie, or a cost or the hours of work are unknown.
    """

    def at(rate_per_h: float) -> float | None:
        return _difference(replace(ledger, labour_rate_per_h=Spread.sure(rate_per_h)), judged, one, other)

    return _root(at, scale=1.0)


def price_at_tie(ledger: Ledger, judged: Judged, *, source: str, one: str, other: str) -> float | None:
    """The base-date price of a source's fuel at which two plans have the same life-cycle cost.

    Every cost is a straight line in that price. Tariffs that begin after the base date stay as they are stated; one
    that is in force on it is replaced.

    Parameters
    ----------
    ledger, judged : as for `compare`.
    source : whose price is moved.
    one, other : names of two plans.

    Returns
    -------
    float : [currency/unit]; None where no price from 0 up brings the tie, or a cost is unknown.
    """
    scale = max(1e-9, ledger.source(source).price.likely)

    def at(price: float) -> float | None:
        return _difference(with_price(ledger, source, price), judged, one, other)

    return _root(at, scale=scale)


@dataclass(frozen=True, slots=True)
class Tie:
    """Where a plan that takes work costs the same as the cheapest plan that takes none, with the same builds.

    `wage_per_h` [currency/h] and `price_per_unit` [currency/unit] of `other_source`; None: no such wage or price.
    """

    plan: str
    other: str
    other_source: str
    wage_per_h: float | None
    price_per_unit: float | None


def ties(ledger: Ledger, judged: Judged, plans: Sequence[Plan]) -> tuple[Tie, ...]:
    """For every plan that takes work: the wage, and the other's fuel price, at which it stops being the cheaper one.

    Parameters
    ----------
    ledger, judged : as for `compare`.
    plans : its answer.

    Returns
    -------
    tuple of Tie : against the cheapest plan without work that holds, else the cheapest without work.
    """
    found = []
    for plan in plans:
        other = _cheapest_without_work(plans, plan.builds)
        if not plan.labour_hours or other is None or other.source is None or plan.life_cycle_cost is None:
            continue
        wage = wage_at_tie(ledger, judged, one=plan.name, other=other.name)
        price = price_at_tie(ledger, judged, source=other.source, one=plan.name, other=other.name)
        found.append(Tie(plan.name, other.name, other.source, wage, price))
    return tuple(found)


def _cheapest_without_work(plans: Sequence[Plan], builds: tuple[str, ...]) -> Plan | None:
    idle = [p for p in plans if p.builds == builds and p.source is not None and p.labour_hours == 0.0]
    known = [p for p in idle if p.life_cycle_cost is not None]
    return min(known, key=lambda p: (p.rank is None, p.life_cycle_cost or 0.0), default=None)


def with_price(ledger: Ledger, source: str, price: float) -> Ledger:
    """The ledger with another base-date price of a source; later tariffs stay."""

    def priced(each: Source) -> Source:
        later = tuple(t for t in each.tariffs if t.since > ledger.terms.base_date)
        return replace(each, price=Spread.sure(price), tariffs=later) if each.name == source else each

    return replace(ledger, sources=tuple(priced(s) for s in ledger.sources))


def _difference(ledger: Ledger, judged: Judged, one: str, other: str) -> float | None:
    """Life-cycle cost of one plan less that of the other. None: one is unknown, or is before its work."""
    plans = compare(
        ledger,
        without_nights(judged.heat),
        fan_kwh=judged.fan_kwh,
        coldest_logged_c=judged.coldest_logged_c,
        shares=judged.shares,
    ).plans
    first, second = _cost(plans, one), _cost(plans, other)
    return None if first is None or second is None else first - second


def without_nights(heat: TypicalHeat) -> TypicalHeat:
    """Hours that do not say when they are: no night is counted, since nights move no cost and take the longest."""
    return replace(heat, profile=heat.profile.reset_index(drop=True))


def _cost(plans: tuple[Plan, ...], name: str) -> float | None:
    plan = next(p for p in plans if p.name == name)
    return None if plan.money_before_work else plan.life_cycle_cost


def _root(difference: Callable[[float], float | None], *, scale: float) -> float | None:
    """Where a straight line through its values at 0 and `scale` is 0, from 0 up."""
    start, end = difference(0.0), difference(scale)
    if start is None or end is None or start == end:
        return None
    root = scale * start / (start - end)
    return root if root >= 0.0 else None
