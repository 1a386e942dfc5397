"""Off the grid: how long the battery lasts on a cold night, and what an own kilowatt-hour truly costs."""

from __future__ import annotations

import numpy as np

from ledger.model.terms import Power, Terms
from ledger.money.project import FloatArray, number


def stored_kwh(power: Power) -> float | None:
    """What a full battery gives at the socket: capacity · usable part · inverter's efficiency. None: not stated. [kWh]

    A part that is not stated counts as 1. Batteries and fixed wiring: a licensed electrician decides.
    """
    if power.battery_kwh is None:
        return None
    usable = 1.0 if power.usable is None else power.usable.likely
    inverter = 1.0 if power.inverter_efficiency is None else power.inverter_efficiency.likely
    return power.battery_kwh.likely * usable * inverter


def hours_carried(stored: float, load_kwh: FloatArray, *, step_h: float) -> float:
    """How long a store carries a load from its first row on.

    Parameters
    ----------
    stored : [kWh]
    load_kwh : in each row, in order of time. [kWh]
    step_h : length of a row. [h]

    Returns
    -------
    float : [h]; linear within the row in which it runs out; the whole stretch where it lasts.
    """
    used = np.concatenate([[0.0], np.cumsum(load_kwh)])
    if used[-1] <= stored:
        return float(load_kwh.size * step_h)
    row = int(np.searchsorted(used, stored, side="right")) - 1
    return float((row + (stored - used[row]) / load_kwh[row]) * step_h)


def own_price_per_kwh(power: Power, terms: Terms) -> float | None:
    """What a kilowatt-hour of the grower's own array costs: each part's capital as an annuity over its life.

        (array · crf(life) + battery · crf(life)) ÷ energy used in a year,  crf at the real rate

    Differs from a price by all energy made: what the house cannot use is no help.

    Returns
    -------
    float : base-date money. [currency/kWh]; None where the energy used, or a life, or both capitals are not stated.

    Source
    ------
    Capital recovery: ASTM E917 (annual value).
    """
    used = power.used_energy_kwh_per_year
    parts = ((power.array_capital, power.array_life_years), (power.battery_capital, power.battery_life_years))
    known = [(float(number(c)), life) for c, life in parts if c is not None]
    if used is None or used.likely <= 0.0 or not known or any(life is None for _, life in known):
        return None
    inflation = 0.0 if terms.rates_are_real else terms.inflation.likely
    rate = (1.0 + terms.discount_rate.likely) / (1.0 + inflation) - 1.0
    yearly = sum(money * _recovery(rate, life.likely) for money, life in known if life is not None)
    return yearly / used.likely


def _recovery(rate: float, years: float) -> float:
    """Capital recovery factor; at rate 0 one part a year. [1/a]"""
    return 1.0 / years if abs(rate) < 1e-12 else rate / (1.0 - (1.0 + rate) ** -years)
