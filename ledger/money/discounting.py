"""Discounting: factors, when a year's streams fall, and the annuity in base-date money."""

from __future__ import annotations

import numpy as np

from ledger.model.terms import Timing
from ledger.money.project import FloatArray, Number


def present_value_factor(rate: Number, times_years: FloatArray) -> FloatArray:
    """The worth today of one unit of money at each time.

        (1 + rate)^−t

    Parameters
    ----------
    rate : discount rate a year, above −1; draws on leading axes. [1/a]
    times_years : times after the base date, last axis. [a]

    Returns
    -------
    FloatArray : [-], shape draws × times.

    Source
    ------
    Single present value, 10 CFR 436.16(d).
    """
    return _grown(rate, -times_years)


def growth_factor(growth: Number, study_years: int) -> FloatArray:
    """How a stream has grown by each year: (1 + growth)^k for k = 0..N. [-]"""
    return _grown(growth, np.arange(study_years + 1, dtype=np.float64))


def stream_times_years(study_years: int, timing: Timing) -> FloatArray:
    """When the streams of year 0..N fall: at 0, then at the end of each year or at its middle. [a]"""
    times = np.arange(study_years + 1, dtype=np.float64)
    match timing:
        case Timing.END_OF_YEAR:
            return times
        case Timing.MID_YEAR:  # pragma: no branch; the last of a closed choice, as mypy holds
            return np.where(times > 0, times - 0.5, 0.0)


def nominal_rate(real: Number, inflation: Number) -> Number:
    """1 + nominal = (1 + real)(1 + inflation). Source: NIST Handbook 135; 10 CFR 436.14. [1/a]"""
    return (1.0 + real) * (1.0 + inflation) - 1.0


def real_rate(nominal: Number, inflation: Number) -> Number:
    """1 + real = (1 + nominal) ÷ (1 + inflation). Source: NIST Handbook 135; 10 CFR 436.14. [1/a]"""
    return (1.0 + nominal) / (1.0 + inflation) - 1.0


def uniform_present_value(rate: Number, growth: Number, *, study_years: int, timing: Timing) -> FloatArray:
    """The worth today of one unit a year, in base-date money, over the study.

        Σ (1 + growth)^k · (1 + rate)^−t_k,  k = 1..N

    The first payment is grown by one year already (as the modified uniform present value of the energy rules has
    it), unlike the geometric gradient of textbooks, which starts ungrown.

    Parameters
    ----------
    rate, growth : a year; draws on leading axes. [1/a]
    study_years : N. [a]
    timing : payments at the end or in the middle of each year.

    Returns
    -------
    FloatArray : [a], shape of the draws.

    Source
    ------
    10 CFR 436.16(c) and 436.17(a), UPV and UPV*.
    """
    discount = present_value_factor(rate, stream_times_years(study_years, timing))
    return np.asarray((growth_factor(growth, study_years) * discount)[..., 1:].sum(axis=-1))


def annual_equivalent(
    present_value: Number, rate: Number, inflation: Number, *, study_years: int, timing: Timing
) -> Number:
    """Spread a present value over the study, level in base-date money.

        present_value ÷ Σ (1 + inflation)^k (1 + rate)^−t_k

    At the end of years this is the annuity at the real rate (1 + rate)/(1 + inflation) − 1, and present_value ÷ N
    where that is 0. With mid-year payments it uses their times, so that a cost that is level in base-date money comes
    back as itself. It differs from an annuity in nominal money, which would be higher in the first year's coin.

    Parameters
    ----------
    present_value : at the base date. [currency]
    rate, inflation : a year. [1/a]
    study_years, timing : as of the study.

    Returns
    -------
    Number : base-date money a year. [currency/a]

    Source
    ------
    Capital recovery, ASTM E917 (annual value); real rate, 10 CFR 436.14.
    """
    return present_value / uniform_present_value(rate, inflation, study_years=study_years, timing=timing)


def _grown(rate: Number, times_years: FloatArray) -> FloatArray:
    """(1 + rate)^t; for draws by the exponential, which is several times faster than the power."""
    base = np.asarray(rate, dtype=np.float64)[..., None]
    if base.size == 1:
        return np.asarray((1.0 + base) ** times_years)
    return np.asarray(np.exp(np.log1p(base) * times_years))
