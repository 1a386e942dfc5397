"""What to measure next: the input whose narrowing would shrink the range of the answer most."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ledger.doubt.chain import Chain, Draws
from ledger.doubt.draws import SEED, percentiles, span_draws
from ledger.doubt.measure_ways import way_to_measure
from ledger.heat.draws import drawn
from ledger.heat.envelope import Doubt
from ledger.model.house import BareWay
from ledger.money.project import FloatArray
from ledger.money.worth import npv

DRAWS_TO_COMPARE = 4_000
LEAST_SHRINK = 0.005
"""Less than half a hundredth is noise of the draws, and no reason to measure anything."""


@dataclass(frozen=True, slots=True)
class MeasureNext:
    """One input, and what knowing it twice as well would do.

    `range_now`, `range_half`: p90 − p10 of the net present value with every input as it stands, and with this one at
    half its width [currency]; `shrink` = 1 − half ÷ now [-]. `way`: the cheapest way to measure it, `source`: of the
    way; None: no measurement narrows it (a rate, a price to come), it is decided or waited for.
    """

    input: str
    range_now: float
    range_half: float
    shrink: float
    way: str | None
    source: str | None


def measure_next(chain: Chain) -> tuple[MeasureNext, ...]:
    """Rank the inputs by how much the range of the net present value shrinks when one is known twice as well.

        shrink = 1 − (p90 − p10 with this input at half its width) ÷ (p90 − p10 as it stands)

    The draws are common to all, so that a difference is the input's and not the luck of the draw. Differs from the
    drivers, which swing each input alone, all others at their likely values: an input that swings far shrinks little
    beside one that swings farther still, since independent ranges add by their squares. With the bare house by a lift
    the ends over the span take the place of p10 and p90. Months that no season logged count as an input: half of them
    logged.

    Parameters
    ----------
    chain : the whole chain.

    Returns
    -------
    tuple of MeasureNext : the greatest shrink first; inputs that shrink nothing are left out.

    Source
    ------
    Constructed by us; the draws as in `worth_range`.
    """
    by_span = chain.response.way is BareWay.LIFT
    inputs = _spanned(chain) if by_span else chain.inputs()
    values = span_draws(chain) if by_span else drawn(inputs, draws=DRAWS_TO_COMPARE, seed=SEED)
    missing = chain.months_not_logged()
    filled = 0.0 if missing is None else missing.spread.high
    now = _width(chain, values, filled, by_span=by_span)
    if now <= 0.0:
        return ()
    halves = [(one.path, _width(chain, _halved(values, one), filled, by_span=by_span)) for one in inputs]
    if missing is not None:
        halves.append((missing.path, _width(chain, values, filled / 2.0, by_span=by_span)))
    return _ranked(chain, now, halves)


def _ranked(chain: Chain, now: float, halves: Sequence[tuple[str, float]]) -> tuple[MeasureNext, ...]:
    found = []
    for path, half in halves:
        shrink = 1.0 - half / now
        if shrink >= LEAST_SHRINK:
            way = way_to_measure(path, chain.ledger)
            told = (None, None) if way is None else (way.words, way.source)
            found.append(MeasureNext(path, now, half, shrink, *told))
    return tuple(sorted(found, key=lambda one: -one.shrink))


def _spanned(chain: Chain) -> tuple[Doubt, ...]:
    """The inputs over which the span of a lift runs."""
    paths = set(span_draws(chain))
    return tuple(one for one in chain.response.inputs if one.path in paths)


def _halved(values: Draws, one: Doubt) -> Draws:
    """The same draws with one input half as far from its likely value: its triangle at half its width."""
    return {**values, one.path: one.spread.likely + (values[one.path] - one.spread.likely) / 2.0}


def _width(chain: Chain, values: Draws, filled: float, *, by_span: bool) -> float:
    """p90 − p10 of the worth, or its whole span; the upper end with the months not logged filled so far. [currency]"""
    worths = _worths(chain, values)
    most = worths if filled == 0.0 else _worths(chain, _with_missing(chain, values, filled, worths.size))
    if by_span:
        return float(max(worths.max(), most.max()) - worths.min())
    low, high = percentiles(worths).p10, percentiles(most).p90
    return 0.0 if low is None or high is None else high - low


def _with_missing(chain: Chain, values: Draws, filled: float, length: int) -> Draws:
    missing = chain.months_not_logged()
    return values if missing is None else {**values, missing.path: np.full(length, filled)}


def _worths(chain: Chain, values: Draws) -> FloatArray:
    length = len(next(iter(values.values()), np.zeros(1)))
    return np.broadcast_to(npv(chain.project(values)), length)
