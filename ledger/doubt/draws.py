"""How sure the worth is: every range drawn at once and carried through the whole chain."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from ledger.doubt.chain import Chain, Draws
from ledger.heat.curve import FLOOR_HEAT, LIFT
from ledger.heat.draws import drawn
from ledger.heat.envelope import Doubt
from ledger.model.house import BareWay
from ledger.money.many_worths import ManyWorths, many_worths
from ledger.money.project import FloatArray
from ledger.money.results import Percentiles, WorthRange

DRAWS = 20_000
SEED = 20_250_901
_STEPS_OF_A_SPAN = 25

UNKNOWN_RANGE = WorthRange(Percentiles(None, None, None), Percentiles(None, None, None), None, 0, SEED)


def worth_range(chain: Chain, *, draws: int = DRAWS, seed: int = SEED) -> WorthRange:
    """The range of net present value, simple payback and internal rate, and the chance that the build pays.

    Every input with a range is drawn from its triangle by a Latin hypercube with a fixed seed; what two figures share
    (H in need and avoided heat, an efficiency in backup and price, inflation in growths) is drawn once. Where months
    are not logged, the upper end (and the early end of the payback) takes the mean of the logged for them. With the
    bare house by an assumed or stated lift nothing is known of the distribution: the ends over the lift, all else
    likely, stand as p10 and p90, the likely value as p50, and there is no chance.

    Parameters
    ----------
    chain : the whole chain.
    draws : how many. [-]
    seed : of the draws.

    Returns
    -------
    WorthRange : [currency, a, 1/a]; a percentile is None where it falls among draws that never pay back, or that lie
        beyond all rates; those of the rate are None where a draw has several.

    Source
    ------
    Triangular inputs and Latin hypercube: McKay, Beckman & Conover 1979, Technometrics 21(2).
    """
    if chain.response.way is BareWay.LIFT:
        return _span(chain, seed)
    values = drawn(chain.inputs(), draws=draws, seed=seed)
    found = many_worths(chain.project(values), draws)
    gains, backs, rates = percentiles(found.npv), _of_paybacks(found), _of_rates(found)
    if chain.months_not_logged() is not None:
        most = many_worths(chain.project({**values, **_missing_filled(chain, draws)}), draws)
        gains = replace(gains, p90=percentiles(most.npv).p90)
        backs = replace(backs, p10=_of_paybacks(most).p10)
        rates = replace(rates, p90=_of_rates(most).p90)
    return WorthRange(gains, backs, float(np.mean(found.npv > 0.0)), draws, seed, rates)


def _of_paybacks(found: ManyWorths) -> Percentiles:
    return percentiles(never_as_infinite(found.simple_payback_years))


def _of_rates(found: ManyWorths) -> Percentiles:
    """Of the internal rates; unknown where any draw has several, since no order holds among them."""
    if np.isnan(found.irr).any():
        return Percentiles(None, None, None)
    return percentiles(found.irr)


def _missing_filled(chain: Chain, draws: int) -> dict[str, FloatArray]:
    """The months that no season logged at the mean of those logged; nothing where none is missing."""
    missing = chain.months_not_logged()
    return {} if missing is None else {missing.path: np.full(draws, missing.spread.high)}


def percentiles(values: FloatArray) -> Percentiles:
    """Tenth, fiftieth and ninetieth percentile, linear between order statistics; None where one is not finite."""
    ordered = np.sort(values)
    place = np.array([0.1, 0.5, 0.9]) * (len(ordered) - 1)
    below = np.floor(place).astype(int)
    above = np.minimum(below + 1, len(ordered) - 1)
    with np.errstate(invalid="ignore"):
        part = place - below
        step = np.where(ordered[above] > ordered[below], (ordered[above] - ordered[below]) * part, 0.0)
        between = np.where(part > 0, ordered[below] + step, ordered[below])
    p10, p50, p90 = (float(v) if np.isfinite(v) else None for v in between)
    return Percentiles(p10, p50, p90)


def never_as_infinite(years: FloatArray) -> FloatArray:
    """Paybacks in which a draw that never pays back is later than every other."""
    return np.where(np.isnan(years), np.inf, years)


def _span(chain: Chain, seed: int) -> WorthRange:
    """The ends over the lift (and over the expected share of a build not yet logged), all else likely."""
    grid = _span_with_missing(chain)
    likely = many_worths(chain.project({}), 1)
    over = many_worths(chain.project(grid), len(next(iter(grid.values()), np.zeros(1))))
    return WorthRange(
        npv=_ends(over.npv, likely.npv),
        simple_payback_years=_ends(
            never_as_infinite(over.simple_payback_years), never_as_infinite(likely.simple_payback_years)
        ),
        chance_npv_positive=None,
        draws=0,
        seed=seed,
        irr=_ends(over.irr, likely.irr),
    )


def _ends(over: FloatArray, likely: FloatArray) -> Percentiles:
    """The two ends of a span with the likely value between them; None where one is not finite."""
    return Percentiles(_finite(float(np.min(over))), _finite(float(likely[0])), _finite(float(np.max(over))))


def _span_with_missing(chain: Chain) -> Draws:
    """The steps of the span, once as they are and once with the months not logged filled."""
    grid = span_draws(chain)
    missing = chain.months_not_logged()
    if missing is None:
        return grid
    length = len(next(iter(grid.values()), np.zeros(1)))
    twice = {path: np.tile(values, 2) for path, values in grid.items()}
    return twice | {missing.path: np.repeat([missing.spread.low, missing.spread.high], length)}


def span_draws(chain: Chain) -> Draws:
    """Every pair of a lift and an expected share between their ends, as draws."""
    lifts = [d for d in chain.response.inputs if d.path in (LIFT, FLOOR_HEAT)]
    shares = list(chain.response.fraction_paths)
    across, along = _between(lifts), _between(shares)
    grid: dict[str, FloatArray] = {}
    for path, values in across.items():
        grid[path] = np.repeat(values, _STEPS_OF_A_SPAN if along else 1)
    for path, values in along.items():
        grid[path] = np.tile(values, _STEPS_OF_A_SPAN if across else 1)
    return grid


def _between(doubts: Sequence[Doubt]) -> Mapping[str, FloatArray]:
    """Each input's steps from its low to its high end by way of its likely value."""
    half = _STEPS_OF_A_SPAN // 2
    return {
        d.path: np.r_[
            np.linspace(d.spread.low, d.spread.likely, half, endpoint=False),
            np.linspace(d.spread.likely, d.spread.high, _STEPS_OF_A_SPAN - half),
        ]
        for d in doubts
    }


def _finite(value: float) -> float | None:
    return value if np.isfinite(value) else None
