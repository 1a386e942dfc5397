"""Payback: when what was put in has come back."""

from __future__ import annotations

import numpy as np

from ledger.money.project import FloatArray, Number

# A running sum this close to 0, against its own size, has come back: rounding of floats is no debt.
_ROUNDING = 1e-10


def simple_payback_years(capital: Number, first_year_saving: Number) -> FloatArray:
    """Capital ÷ the net saving of the first year at base-date prices.

    Differs from the running-sum payback, which lets prices grow and replacements fall due. 0 where nothing net was
    put in; NaN (never) where the saving is not positive.

    Parameters
    ----------
    capital : net of grants, or before them. [currency]
    first_year_saving : [currency/a]

    Returns
    -------
    FloatArray : [a], NaN where the capital never comes back.

    Source
    ------
    7 CFR 4288.21(b)(1), C/S, applied after grants.
    """
    put_in, saving = np.broadcast_arrays(np.asarray(capital, dtype=np.float64), first_year_saving)
    pays = saving > 0
    return np.where(pays, np.maximum(put_in, 0.0) / np.where(pays, saving, 1.0), np.nan)


def last_crossing_years(yearly: FloatArray) -> FloatArray:
    """When the running sum of yearly amounts rises to 0 for the last time, linear within the year.

        k − 1 + (−sum of years 0..k−1) ÷ amount of year k

    A replacement that throws the sum below 0 again moves the payback behind it, unlike the first crossing. 0 where
    the sum never is negative; NaN where it is still negative at the end of the study.

    Parameters
    ----------
    yearly : years 0..N on the last axis, draws before it. [currency]

    Returns
    -------
    FloatArray : [a], shape of the draws.

    Source
    ------
    10 CFR 436.23 for the running sum; the last crossing is our reading where it crosses more than once.
    """
    sums = np.cumsum(yearly, axis=-1)
    floor = -_ROUNDING * np.abs(sums).max(axis=-1, keepdims=True)
    below = sums < floor
    years = yearly.shape[-1]
    after_last = years - np.argmax(below[..., ::-1], axis=-1)
    ever, reached = below.any(axis=-1), ~below[..., -1]
    crosses = ever & reached
    k = np.where(crosses, after_last, 1)
    debt = -np.take_along_axis(sums, (k - 1)[..., None], axis=-1)[..., 0]
    step = np.take_along_axis(yearly, np.minimum(k, years - 1)[..., None], axis=-1)[..., 0]
    inside = np.divide(debt, step, out=np.zeros(crosses.shape), where=crosses)
    crossed = np.where(ever, k - 1 + np.minimum(inside, 1.0), 0.0)
    return np.where(reached, crossed, np.nan)
