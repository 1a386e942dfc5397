"""Internal rates of thousands of flows at once."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from ledger.money.isolate import Pieces, crossings, pieces
from ledger.money.project import FloatArray
from ledger.money.returns import HIGHEST_RATE, LOWEST_RATE, internal_rate

# u = −ln(1 + rate) at the ends of the range
_AT_HIGHEST, _AT_LOWEST = -float(np.log1p(HIGHEST_RATE)), -float(np.log1p(LOWEST_RATE))
_MOST_STEPS = 100
_ROWS_AT_ONCE = 4000
# Newton's step squares the distance: a step this short has landed within the last digits of a float.
_CLOSE = 1e-8


def internal_rates(amounts: FloatArray, times_years: FloatArray) -> FloatArray:
    """The internal rate of each row of amounts, between −99 % and 1000 %.

        ln Σ gains · x^time = ln Σ losses · x^time,  x = 1/(1 + rate)

    Differs from `internal_rate`, which answers one flow and counts its rates exactly, in speed alone. An outlay
    followed by nothing but gains has at most one rate. All other rows are looked at piece by piece of the range
    (`crossings`); the few that this leaves open are counted one by one. Then Newton's method inside a shrinking
    bracket, on sums by Horner's scheme.

    Parameters
    ----------
    amounts : one project a row, times on the last axis. [currency]
    times_years : whole or half years after the base date, rising; may repeat. [a]

    Returns
    -------
    FloatArray : one rate a row; ∞ where a row gains at every rate, −∞ where it loses at every one, NaN where it has
        several rates, or nothing in it. [1/a]

    Source
    ------
    Descartes' rule of signs; Newton's method with bisection.
    """
    rates = np.empty(len(amounts))
    plain = np.zeros(len(amounts), dtype=bool)
    for rows in blocks(len(amounts)):
        by_time = np.ascontiguousarray(amounts[rows].T)
        plain[rows] = _outlay_first(by_time)
        if plain[rows].any():
            rates[rows][plain[rows]] = _of_outlays(_columns(by_time, plain[rows]), times_years)
    others = np.flatnonzero(~plain)
    if len(others):
        at = pieces(times_years)
        for rows in blocks(len(others)):
            rates[others[rows]] = _of_others(amounts[others[rows]], times_years, at)
    return rates


def blocks(rows: int) -> Iterator[slice]:
    """Rows in parts that stay in a processor's cache: several times faster than all at once."""
    return (slice(first, first + _ROWS_AT_ONCE) for first in range(0, rows, _ROWS_AT_ONCE))


def _columns(by_time: FloatArray, wanted: NDArray[np.bool_]) -> FloatArray:
    return by_time if wanted.all() else by_time[:, wanted]


def _outlay_first(by_time: FloatArray) -> NDArray[np.bool_]:
    """Whether a flow is an outlay at the base date with nothing but gains after it."""
    least, most = by_time[1:].min(axis=0, initial=np.inf), by_time[1:].max(axis=0, initial=0.0)
    return np.asarray((by_time[0] < 0) & (least >= 0) & (most > 0))


def _of_outlays(by_time: FloatArray, times_years: FloatArray) -> FloatArray:
    """Rates of flows that are an outlay with nothing but gains after it."""
    losses, gains, times = -by_time[:1], by_time[1:], times_years[1:]
    sums = [_weighed(times**power, gains) for power in (0, 1, 2)]
    at_zero, slope = np.log(sums[0] / losses[0]), sums[1] / sums[0]
    bend = sums[2] / sums[0] - slope**2
    start = -2.0 * at_zero / (slope + np.sqrt(np.maximum(slope**2 - 2.0 * at_zero * bend, 0.0)))
    at_highest, at_lowest = (_weighed(np.exp(u * times), gains) - losses[0] for u in (_AT_HIGHEST, _AT_LOWEST))
    low, high = np.full(start.shape, _AT_HIGHEST), np.full(start.shape, _AT_LOWEST)
    u = _solved((gains, times), (losses, times_years[:1]), np.clip(start, low, high), low, high)
    return np.where(at_highest > 0, np.inf, np.where(at_lowest < 0, -np.inf, np.expm1(-u)))


def _of_others(amounts: FloatArray, times_years: FloatArray, at: Pieces) -> FloatArray:
    """Rates of flows that change sign never, late, or more than once."""
    by_time = np.ascontiguousarray(amounts.T)
    found = crossings(by_time, at)
    rates = _beyond(by_time)
    once = found.count == 1
    if once.any():
        rising = by_time[:, once] * -found.before[once]
        gains, losses = np.maximum(rising, 0.0), np.maximum(-rising, 0.0)
        low, high = found.low[once], found.high[once]
        rates[once] = np.expm1(-_solved((gains, times_years), (losses, times_years), (low + high) / 2, low, high))
    for row in np.flatnonzero(found.count > 1):
        alone = internal_rate(amounts[row], times_years)
        if alone.roots:
            rates[row] = np.nan if alone.rate is None else alone.rate
    return rates


def _beyond(by_time: FloatArray) -> FloatArray:
    """∞ where a flow without a rate gains, −∞ where it loses, NaN where nothing is in it."""
    total = by_time.sum(axis=0)
    return np.where(total > 0, np.inf, np.where(total < 0, -np.inf, np.nan))


def _weighed(weights: FloatArray, by_time: FloatArray) -> FloatArray:
    """Σ weight · amount of each flow, on one processor."""
    return np.asarray(np.einsum("j,ji->i", weights, by_time))


Dated = tuple[FloatArray, FloatArray]


def _solved(gains: Dated, losses: Dated, start: FloatArray, low: FloatArray, high: FloatArray) -> FloatArray:
    """u = ln x at which gains and losses are worth the same, where losses weigh more at `low`, gains at `high`."""
    u, far, steps = start, True, 0
    while far and steps < _MOST_STEPS:
        (up, up_slope), (down, down_slope) = _grown(*gains, u), _grown(*losses, u)
        with np.errstate(divide="ignore", invalid="ignore"):
            value, slope = np.log(up / down), up_slope / up - down_slope / down
            step = u - value / slope
        low, high = np.where(value <= 0, u, low), np.where(value >= 0, u, high)
        moved = np.where((step >= low) & (step <= high), step, (low + high) / 2)
        u, far, steps = moved, bool(np.abs(moved - u).max(initial=0.0) > _CLOSE), steps + 1
    return u


def _grown(amounts: FloatArray, times_years: FloatArray, u: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Σ amount · e^(u · time) and its slope in u, by Horner's scheme; times on the first axis."""
    gaps = np.diff(times_years, prepend=0.0)
    powers = {gap: np.exp(u * gap) for gap in set(gaps.tolist()) if gap}
    value, slope = amounts[-1].copy(), np.zeros_like(u)
    for k in range(len(gaps) - 1, -1, -1):
        gap = float(gaps[k])
        if gap:
            slope += value if gap == 1.0 else gap * value
            slope *= powers[gap]
            value *= powers[gap]
        if k:
            value += amounts[k - 1]
    return value, slope
