"""What would have to be true: each input solved for a net present value of 0."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy.optimize import brentq

from ledger.doubt.chain import Chain
from ledger.doubt.inputs import DISCOUNT_RATE
from ledger.doubt.puts import change_item, grow_source, likely, scale_prices
from ledger.money.prices import price_in_force
from ledger.money.project import FloatArray, Number, Project, ProjectItem, number
from ledger.money.worth import counted, npv, npv_without_residual

NONE_SENSIBLE = "none inside the sensible range"

HIGHEST_FACTOR = 10.0
LOWEST_GROWTH, HIGHEST_GROWTH = -0.20, 0.30
HIGHEST_RATE = 0.50
LONGEST_STUDY_YEARS = 60
LONGEST_LIFE_YEARS = 100
_GRID = 241


@dataclass(frozen=True, slots=True)
class BreakEven:
    """The value at which the build just pays. `at` None: no such value inside the sensible range, or not known.

    `distance` is at ÷ today − 1, for rates at − today; None where today's value is 0. `unit` is the ledger's.
    """

    what: str
    path: str
    unit: str
    today: float
    at: float | None
    distance: float | None
    text: str = ""


def break_evens(chain: Chain) -> tuple[BreakEven, ...]:
    """Solve for NPV = 0: fuel price, its growth, discount rate, capital, avoided heat; a life and the years in steps.

    Each alone, all others at their likely values, between bounds that a sensible person would look at: price and
    capital 0 to 10 times today's, growth −20 to 30 % a year, discount rate 0 to 50 %, avoided heat 0 to the need,
    life 1 to 100 years, study 1 to 60. Of several solutions the one nearest to today stands. The life is that of the
    item that cost most money, own work apart: the first at which the build pays. The years are the first length of the
    study at which it pays without anything being left at its end, since buried work cannot be sold.

    Parameters
    ----------
    chain : the whole chain.

    Returns
    -------
    tuple of BreakEven : seven (six where no money was paid).

    Source
    ------
    Break-even analysis, ASTM E1369; roots by Brent's method.
    """
    solved = (_fuel_price(chain), _growth(chain), _rate(chain), _capital(chain), _avoided(chain))
    return (*solved, *_life(chain), _years(chain))


def _fuel_price(chain: Chain) -> BreakEven:
    """All prices of the source, those of later tariffs too, move in the same proportion."""
    source = chain.ledger.source(chain.ledger.terms.against)
    today = float(number(price_in_force(source, chain.ledger.terms.base_date)))

    def project(factor: Number) -> Project:
        return chain.project_with(scale_prices(chain.ledger, source.name, factor), chain.heat)

    factor = nearest_root(lambda f: npv(project(f)), low=0.0, high=HIGHEST_FACTOR, today=1.0)
    at = None if factor is None else factor * today
    return _relative("fuel price", f"source[{source.name}].price", f"per {source.unit}", today, at)


def _growth(chain: Chain) -> BreakEven:
    source = chain.ledger.source(chain.ledger.terms.against)
    today = float(number(source.price_growth))

    def project(growth: Number) -> Project:
        return chain.project_with(grow_source(chain.ledger, source, growth), chain.heat)

    at = nearest_root(lambda g: npv(project(g)), low=LOWEST_GROWTH, high=HIGHEST_GROWTH, today=today)
    return _rated("growth of the fuel price", f"source[{source.name}].price_growth", today, at)


def _rate(chain: Chain) -> BreakEven:
    plain = chain.project({})
    today = float(plain.discount_rate)
    at = nearest_root(lambda d: npv(replace(plain, discount_rate=d)), low=0.0, high=HIGHEST_RATE, today=today)
    return _rated("discount rate", DISCOUNT_RATE, today, at)


def _capital(chain: Chain) -> BreakEven:
    """The items move in one proportion, what is left of them and their replacements too; the grants stay."""
    plain = chain.project({})
    grants, today = float(plain.grants), float(counted(plain) - plain.grants)

    def project(factor: Number) -> Project:
        items = tuple(_scaled(i, factor) for i in plain.items)
        return replace(plain, items=items)

    factor = nearest_root(lambda f: npv(project(f)), low=0.0, high=HIGHEST_FACTOR, today=1.0)
    at = None if factor is None else factor * (today + grants) - grants
    return _relative("net capital", "capital.net", "", today, at)


def _scaled(item: ProjectItem, factor: Number) -> ProjectItem:
    return replace(
        item,
        counted=item.counted * factor,
        own_work=item.own_work * factor,
        residual_counted=item.residual_counted * factor,
    )


def _avoided(chain: Chain) -> BreakEven:
    need, today = chain.heat.need_kwh, chain.heat.avoided_kwh

    def project(kwh: Number) -> Project:
        avoided: Any = kwh  # an array stands for draws
        return chain.project_with(chain.ledger, replace(chain.heat, avoided_kwh=avoided))

    at = nearest_root(lambda q: npv(project(q)), low=0.0, high=max(need, today), today=today)
    return _relative("avoided heat", "typical_year.avoided_kwh", "kWh", today, at)


def _life(chain: Chain) -> tuple[BreakEven, ...]:
    """The first whole number of years that the costliest item must last; own work is not bought anew."""
    placed = [(b, k, float(i.paid)) for b, k, i in zip(*_places(chain), chain.project({}).items, strict=True)]
    if not any(paid > 0.0 for _, _, paid in placed):
        return ()
    build, place, _ = max(placed, key=lambda p: p[2])
    item = chain.ledger.builds[build].items[place]

    def put(years: Number) -> Project:
        changed = change_item(chain.ledger, build, place, lambda i: replace(i, life_years=likely(i.life_years, years)))
        return chain.project_with(changed, chain.heat)

    lives = np.arange(1.0, LONGEST_LIFE_YEARS + 1.0)
    paying = lives[np.broadcast_to(npv(put(lives)), lives.shape) >= 0.0]
    at = float(paying[0]) if len(paying) else None
    path = f"build[{chain.ledger.builds[build].name}].item[{place + 1}].life_years"
    return (_relative(f"life of {item.what}", path, "years", float(number(item.life_years)), at),)


def _places(chain: Chain) -> tuple[list[int], list[int]]:
    """Build and place of every item, in the order of the project."""
    places = [(b, k) for b, build in enumerate(chain.ledger.builds) for k in range(len(build.items))]
    return [b for b, _ in places], [k for _, k in places]


def _years(chain: Chain) -> BreakEven:
    """Not by the residual: a study of one year would hand back all but a year's wear, and the grant on top."""
    today = chain.ledger.terms.study_years
    at = next((n for n in range(1, LONGEST_STUDY_YEARS + 1) if _pays_in(chain, n)), None)
    return _relative(
        "years of the study", "money.study_years", "years", float(today), None if at is None else float(at)
    )


def _pays_in(chain: Chain, years: int) -> bool:
    terms = replace(chain.ledger.terms, study_years=years)
    return float(npv_without_residual(chain.project_with(replace(chain.ledger, terms=terms), chain.heat))) >= 0.0


def nearest_root(worth: Callable[[Number], FloatArray], *, low: float, high: float, today: float) -> float | None:
    """The value between two bounds at which a worth is 0, nearest to today's; None where it has none.

    A grid finds where the sign changes, Brent's method solves it to the last digit of a float. A worth that does not
    move with the value has none, be it 0 throughout.
    """
    if high <= low:
        return None
    grid = np.linspace(low, high, _GRID)
    values = np.broadcast_to(worth(grid), grid.shape)
    if float(np.ptp(values)) == 0.0:
        return None
    roots = [float(g) for g, v in zip(grid, values, strict=True) if v == 0.0]
    for k in np.flatnonzero(values[:-1] * values[1:] < 0.0):
        roots.append(
            float(brentq(lambda x: float(worth(float(x))), grid[k], grid[k + 1], xtol=1e-16, rtol=8.9e-16, maxiter=300))
        )
    return min(roots, key=lambda r: abs(r - today), default=None)


def _relative(what: str, path: str, unit: str, today: float, at: float | None) -> BreakEven:
    distance = None if at is None or today == 0.0 else at / today - 1.0
    return BreakEven(what, path, unit, today, at, distance, "" if at is not None else NONE_SENSIBLE)


def _rated(what: str, path: str, today: float, at: float | None) -> BreakEven:
    distance = None if at is None else at - today
    return BreakEven(what, path, "a year", today, at, distance, "" if at is not None else NONE_SENSIBLE)
