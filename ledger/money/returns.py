"""Rates of return: the internal rate where there is exactly one, and the ratios that need no root."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
import numpy_financial as npf
from scipy.optimize import brentq

from ledger.money.project import FloatArray, Number
from ledger.money.roots import count_roots

LOWEST_RATE = -0.99
HIGHEST_RATE = 10.0
# Worth nothing at a rate: so small a part of the amounts' sizes added up.
NOTHING_OF_THE_SUM = 1e-13
# The same range in x = (1 + rate)^(−1 ÷ steps a year), from the highest rate to the lowest; √(1/11) as the fraction
# of its continued fraction that lies just below (1000.00006 %).
_RANGE = {
    1: (Fraction(1, 11), Fraction(100)),
    2: (Fraction(1197, 3970), Fraction(10)),
}


@dataclass(frozen=True, slots=True)
class InternalRate:
    """The internal rate of return, or how many rates there are instead. `rate` is set only when `roots` is 1."""

    rate: float | None
    roots: int


def internal_rate(amounts: FloatArray, times_years: FloatArray) -> InternalRate:
    """The one rate between −99 % and 1000 % at which dated amounts are worth nothing today.

        Σ amount · (1 + rate)^−time = 0

    With x = 1/(1 + rate), or its root for half years, this is a polynomial, whose roots in the range are counted
    exactly (Descartes' rule where it settles the matter, else Sturm's theorem in whole numbers), so that a flow with
    several rates, none, or one that only touches zero is never given a rate. Common solvers return one root of several
    in silence.

    Parameters
    ----------
    amounts : one project's flows. [currency]
    times_years : whole or half years after the base date; may repeat. [a]

    Returns
    -------
    InternalRate : rate [1/a], roots in the range (a touching root counts 2).

    Raises
    ------
    ValueError : times that are not whole or half years.

    Source
    ------
    ASTM E1057 (internal rate of return and its ambiguity with several changes of sign).
    """
    steps_a_year = 1 if np.array_equal(times_years, np.round(times_years)) else 2
    coefficients = _by_step(amounts, times_years * steps_a_year)
    low, high = _RANGE[steps_a_year]
    roots = count_roots(coefficients, low, high)
    if roots != 1:
        return InternalRate(None, roots)
    scaled = np.array([float(c) for c in coefficients])
    scaled = scaled / np.abs(scaled).max()
    root = _library_root(scaled, float(low), float(high))
    if root is None:
        root = brentq(lambda x: _value_scaled(scaled, x), float(low), float(high), xtol=1e-15, rtol=1e-15, maxiter=500)
    return InternalRate(float(root**-steps_a_year - 1.0), 1)


def _library_root(scaled: FloatArray, low: float, high: float) -> float | None:
    """x = 1 / (1 + rate of a step) as numpy-financial finds it; None where that is not the root that was counted.

    Its releases differ (1.0 takes the root of a companion matrix that lies nearest to 0 %), so what it says is used
    only when it lies in the range and the amounts are worth nothing at it.
    """
    try:
        with np.errstate(all="ignore"):
            rate = float(npf.irr(scaled))
    except np.linalg.LinAlgError:  # amounts of very unlike size
        return None
    if not np.isfinite(rate) or rate <= -1.0:
        return None
    x = 1.0 / (1.0 + rate)
    terms = np.abs(scaled) * x ** np.arange(len(scaled))
    exact = low <= x <= high and abs(_value_scaled(scaled, x)) <= NOTHING_OF_THE_SUM * float(terms.sum())
    return x if exact else None


def modified_rate(worth_today: FloatArray, discount_rate: float) -> float | None:
    """The rate that turns the negative years' present value into the positive years' future value.

        (Σ positive net years at N ÷ −Σ negative net years today)^(1/N) − 1,  both at the discount rate

    The residual belongs to year N. Differs from the adjusted internal rate, whose divisor is the investment and whose
    savings are net of each year's costs.

    Parameters
    ----------
    worth_today : each year's net flow at the base date, years 0..N. [currency]
    discount_rate : finance rate and reinvestment rate alike. [1/a]

    Returns
    -------
    float or None : [1/a]; None without a positive or without a negative year.

    Source
    ------
    Modified internal rate of return as spreadsheet programs define it (MIRR of the OpenFormula standard).
    """
    years = worth_today.shape[-1] - 1
    paid, earned = -float(worth_today[worth_today < 0].sum()), float(worth_today[worth_today > 0].sum())
    if paid <= 0 or earned <= 0 or years < 1:
        return None
    return float((earned / paid) ** (1 / years) * (1 + discount_rate) - 1)


def savings_to_investment(saving_present_value: float, investment_present_value: float) -> float | None:
    """Present value of savings net of running and upkeep ÷ that of capital and replacements less residual.

    None when the divisor is not positive. Source: 10 CFR 436.21; ASTM E964.
    """
    if investment_present_value <= 0:
        return None
    return saving_present_value / investment_present_value


def adjusted_internal_rate(ratio: float | None, discount_rate: float, study_years: int) -> float | None:
    """(1 + d) · SIR^(1/N) − 1; None when the ratio is unknown or not positive. Source: 10 CFR 436.22. [1/a]"""
    if ratio is None or ratio <= 0:
        return None
    return float((1 + discount_rate) * ratio ** (1 / study_years) - 1)


def present_value_at(amounts: FloatArray, times_years: FloatArray, rate: Number) -> FloatArray:
    """Σ amount · (1 + rate)^−time, on the last axis. [currency]"""
    factor = (1.0 + np.asarray(rate, dtype=np.float64)[..., None]) ** -times_years
    return np.asarray((amounts * factor).sum(axis=-1))


def _by_step(amounts: FloatArray, steps: FloatArray) -> list[Fraction]:
    """Amounts gathered by step of time, as exact fractions, rising times."""
    if not np.array_equal(steps, np.round(steps)):
        raise ValueError("flows must fall on whole or half years")
    gathered = [Fraction(0)] * (int(steps.max()) + 1)
    for amount, step in zip(amounts, steps, strict=True):
        gathered[int(step)] += Fraction(float(amount))
    return gathered


def _value_scaled(coefficients: FloatArray, x: float) -> float:
    """The polynomial ÷ max(1, x)^degree: the same sign and roots, without overflow."""
    powers = np.arange(len(coefficients), dtype=np.float64)
    if x > 1:
        powers = powers - (len(coefficients) - 1)
    return float((coefficients * x**powers).sum())
