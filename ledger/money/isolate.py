"""In which part of the range of rates a flow changes sign, for thousands of flows at once."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import comb

import numpy as np
from numpy.typing import NDArray

from ledger.money.project import FloatArray
from ledger.money.returns import HIGHEST_RATE, LOWEST_RATE

# Ends of the pieces, as rates; close together where rates of builds lie.
_RATES = (HIGHEST_RATE, 3.0, 1.0, 0.5, 0.3, 0.2, 0.15, 0.1, 0.05, 0.02, 0.0, -0.03, -0.1, -0.2, -0.4, -0.7, -0.9,
          LOWEST_RATE)  # fmt: skip
# A coefficient this small against all that could add up in it has no sure sign: rounding of floats.
_ROUNDING = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """The range of rates in pieces, for flows of given times.

    Attributes
    ----------
    steps : of each amount, counted from the base date. [-]
    weights : for each piece, the Bernstein coefficients of every power of x. [-]
    ends : u = −ln(1 + rate) at the ends of the pieces, rising.
    """

    steps: NDArray[np.int64]
    weights: tuple[FloatArray, ...]
    ends: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Crossings:
    """What is known of each flow's present value between the highest and the lowest rate.

    Attributes
    ----------
    count : how often it changes sign: 0 or 1, or 2 where it may be more than once. [-]
    low, high : u at the ends of the piece in which the one change lies.
    before : sign of the present value at the highest rate. [-]
    """

    count: NDArray[np.int64]
    low: FloatArray
    high: FloatArray
    before: FloatArray


def pieces(times_years: FloatArray) -> Pieces:
    """Lay out the pieces of the range of rates.

    A present value is a polynomial in x = (1 + rate)^(−1 ÷ steps a year).

    Parameters
    ----------
    times_years : whole or half years after the base date; may repeat. [a]

    Returns
    -------
    Pieces
    """
    steps_a_year = 1 if np.array_equal(times_years, np.round(times_years)) else 2
    steps = (times_years * steps_a_year).astype(np.int64)
    ends = -np.log1p(np.array(_RATES))
    x = np.exp(ends / steps_a_year)
    weights = tuple(_bernstein(int(steps.max()), float(a), float(b)) for a, b in pairwise(x))
    return Pieces(steps, weights, ends)


def crossings(by_time: FloatArray, at: Pieces) -> Crossings:
    """Count the changes of sign of present values over the range of rates.

    On a piece of the range the Bernstein coefficients of a polynomial change sign as often as it does, or by an even
    number more: none is none, one is one.

    Parameters
    ----------
    by_time : amounts, one flow a column. [currency]
    at : of their times.

    Returns
    -------
    Crossings

    Source
    ------
    Variation diminishing of the Bernstein form: Lane & Riesenfeld 1981, BIT 21 (from memory).
    """
    flows = by_time.shape[1]
    by_step = _by_step(by_time, at.steps)
    count, place, before = np.zeros(flows, dtype=np.int64), np.zeros(flows, dtype=np.int64), np.zeros(flows)
    for k, weights in enumerate(at.weights):
        # not a matrix product: its library would call in other processors for work this small
        values = np.einsum("ji,jk->ki", by_step, weights)
        unsure = (np.abs(values) <= _ROUNDING * weights.sum(axis=0)[:, None]).any(axis=0)
        changes = np.where(unsure, 2, np.count_nonzero(np.diff(values > 0, axis=0), axis=0))
        place = np.where(changes == 1, k, place)
        count += changes
        if k == 0:
            before = np.sign(values[0])
    return Crossings(np.minimum(count, 2), at.ends[place], at.ends[place + 1], before)


def _by_step(by_time: FloatArray, steps: NDArray[np.int64]) -> FloatArray:
    """Amounts gathered by step of time, each flow ÷ its greatest amount."""
    gathered = np.zeros((int(steps.max()) + 1, by_time.shape[1]))
    for step, row in zip(steps, by_time, strict=True):
        gathered[step] += row
    size = np.abs(gathered).max(axis=0)
    return np.asarray(gathered / np.where(size > 0, size, 1.0))


def _bernstein(degree: int, low: float, high: float) -> FloatArray:
    """Bernstein coefficients on [low, high] of each power of x, ÷ one positive factor against overflow.

    Coefficient i of x^k is the mean product of k of the numbers low (degree − i times) and high (i times).
    """
    scale = max(high, 1.0)
    lows, highs = _powers(low / scale, degree), _powers(high / scale, degree)
    products = np.stack([np.convolve(lows[degree - i], highs[i]) for i in range(degree + 1)], axis=1)
    mean = [scale ** float(k - degree) / comb(degree, k) for k in range(degree + 1)]
    return np.asarray(products * np.array(mean)[:, None])


def _powers(x: float, degree: int) -> list[FloatArray]:
    """Coefficients of (1 + x·z)^m for m = 0..degree."""
    return [np.array([comb(m, j) * x**j for j in range(m + 1)], dtype=np.float64) for m in range(degree + 1)]
