"""What heat from a source costs: the price in force, its path over the study, units and hours of work for a need.

Functions of numbers take floats or numpy arrays alike, so that ranges can be drawn through them.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np
from numpy.typing import ArrayLike

from ledger.model.heaters import CopPoint, Kind, Source, Tariff
from ledger.model.ledger import Ledger
from ledger.model.values import Spread
from ledger.money.project import FloatArray, Number, number, year_of


def price_in_force(source: Source, day: date) -> Spread:
    """Price of one unit on a day: the latest tariff that has begun, else the plain price. No growth.

    Parameters
    ----------
    source : the way to buy heat.
    day : the day asked for; a tariff holds from its own first day.

    Returns
    -------
    Spread : price per unit [currency/unit].
    """
    begun = [t for t in source.tariffs if t.since <= day]
    return max(begun, key=lambda t: t.since).price if begun else source.price


def electricity_price(ledger: Ledger, day: date) -> Spread | None:
    """Price of a kilowatt-hour for what is not a source: `[electricity]`, else that of the electric source.

    An electric source whose unit is not the kilowatt-hour has its price divided by the heat in one unit.

    Returns
    -------
    Spread : price [currency/kWh]; None when no price is known (the reader refuses such a ledger where one is needed).
    """
    if ledger.electricity.price is not None:
        return ledger.electricity.price
    source = electric_source(ledger)
    if source is None:
        return None
    price = price_in_force(source, day)
    per_unit = source.heat_per_unit_kwh.likely
    return Spread(
        likely=price.likely / per_unit,
        low=price.low / per_unit,
        high=price.high / per_unit,
        basis=price.basis,
        exact=price.exact,
        stated=price.stated,
        note=price.note,
    )


def electric_source(ledger: Ledger) -> Source | None:
    """The first electric source of the ledger, whose price stands in where `[electricity]` has none."""
    return next((s for s in ledger.sources if s.kind.electric), None)


def price_path(
    price: ArrayLike,
    growth: ArrayLike,
    *,
    tariffs: Sequence[Tariff],
    base_date: date,
    study_years: int,
) -> FloatArray:
    """Price of one unit in each year of the study.

        year k : price · (1 + growth)^k                            until a later tariff begins
                 tariff · (1 + growth)^(k − j)   for k ≥ j         j = the year that holds the tariff's first day

    A year is priced as its end finds it, since every stream of a year falls due at its end: the tariff is paid as
    stated in the year in which it begins and grows from there. Of several tariffs in one year the last counts.

    Parameters
    ----------
    price : price in force on the base date. [currency/unit]
    growth : yearly growth. [-]
    tariffs : dated prices; those up to the base date are left aside, being in `price` already.
    base_date : year 0 ends on it.
    study_years : N.

    Returns
    -------
    array : shape (..., N), year k at index k − 1. [currency/unit]
    """
    start = np.asarray(price, dtype=np.float64)[..., np.newaxis]
    rate = np.asarray(growth, dtype=np.float64)[..., np.newaxis]
    years = np.arange(1, study_years + 1)
    path: FloatArray = start * (1.0 + rate) ** years
    for tariff in sorted(tariffs, key=lambda t: t.since):
        j = year_of(tariff.since, base=base_date)
        if j >= 1:
            stated = np.asarray(tariff.price.likely, dtype=np.float64)[..., np.newaxis]
            grown = stated * (1.0 + rate) ** np.maximum(years - j, 0)
            path = np.where(years >= j, grown, path)
    return path


def source_price_path(source: Source, *, base_date: date, study_years: int) -> FloatArray:
    """Price path of a source at its likely price and growth; see `price_path`."""
    return price_path(
        price_in_force(source, base_date).likely,
        source.price_growth.likely,
        tariffs=source.tariffs,
        base_date=base_date,
        study_years=study_years,
    )


def has_later_tariff(source: Source, *, base_date: date) -> bool:
    """Whether a tariff begins after the base date, so that the price path is not one plain growth."""
    return any(t.since > base_date for t in source.tariffs)


def delivered_price_per_kwh(price: ArrayLike, heat_per_unit_kwh: ArrayLike, efficiency: ArrayLike) -> FloatArray:
    """Fuel cost of one delivered kilowatt-hour.

        price ÷ (heat per unit · efficiency)

    Differs from a price per gross kilowatt-hour, which leaves the stove's or furnace's losses out.

    Parameters
    ----------
    price : of one unit. [currency/unit]
    heat_per_unit_kwh : gross heat in one unit. [kWh/unit]
    efficiency : delivered / gross. [-]

    Returns
    -------
    array or scalar : [currency/kWh]

    Source
    ------
    Univ. of Connecticut Extension, Comparing Fuel Costs (2013).
    """
    result: FloatArray = np.asarray(price, dtype=np.float64) / (np.asarray(heat_per_unit_kwh) * np.asarray(efficiency))
    return result


def cop_at(points: Sequence[CopPoint], outdoor_c: ArrayLike) -> FloatArray:
    """Coefficient of performance at outdoor temperatures: straight between the points, held flat outside them.

    Parameters
    ----------
    points : at least one point, in any order.
    outdoor_c : [°C]

    Returns
    -------
    array : COP. [-]
    """
    if not points:
        raise ValueError("a heat pump's curve needs at least one point")
    ordered = sorted(points, key=lambda p: p.outdoor_c)
    result: FloatArray = np.interp(
        np.asarray(outdoor_c, dtype=np.float64), [p.outdoor_c for p in ordered], [p.cop for p in ordered]
    )
    return result


def input_factor(source: Source, outdoor_c: ArrayLike) -> FloatArray:
    """Gross heat or electricity that one delivered kilowatt-hour takes, as far as it depends on the hour.

        1 ÷ COP of the hour for a heat pump with points, else 1 (its efficiency is the same in every hour)

    Returns
    -------
    array : shape of `outdoor_c`. [kWh/kWh]
    """
    outdoor = np.asarray(outdoor_c, dtype=np.float64)
    return 1.0 / cop_at(source.cop, outdoor) if source.cop else np.ones(outdoor.shape)


def units_of(source: Source, input_kwh: Number) -> Number:
    """Units of fuel for heat that has passed `input_factor`.

        input ÷ (heat per unit · efficiency), the efficiency of a heat pump with points being in the input already

    Parameters
    ----------
    source : the way to buy heat.
    input_kwh : Σ weight · heat · input_factor. [kWh]

    Returns
    -------
    float or array : [unit]
    """
    efficiency = 1.0 if source.cop else number(source.efficiency)
    return input_kwh / (number(source.heat_per_unit_kwh) * efficiency)


def fuel_units(source: Source, heat_kwh: FloatArray, *, outdoor_c: FloatArray, weight: FloatArray) -> Number:
    """Units of fuel for an hourly heat profile.

        Σ weight · heat ÷ (heat per unit · efficiency of the hour)

    Parameters
    ----------
    source : the way to buy heat.
    heat_kwh : heat delivered in each hour; may be negative where a build takes more than it gives. [kWh]
    outdoor_c : [°C]
    weight : how many hours of the typical year the row stands for. [-]

    Returns
    -------
    float or array : [unit]
    """
    return units_of(source, float(np.sum(weight * heat_kwh * input_factor(source, outdoor_c))))


FREE_OF_WORK = frozenset({Kind.ELECTRIC, Kind.HEAT_PUMP, Kind.PROPANE, Kind.NATURAL_GAS, Kind.HEATING_OIL})
"""Kinds that run without anyone's work where the ledger says nothing; for all others the hours are unknown."""


def labour_hours(source: Source, units: Number) -> Number | None:
    """Hours of own work for so many units. None: not known (a stove whose hours per unit nobody wrote down)."""
    if source.hours_per_unit is not None:
        return units * number(source.hours_per_unit)
    return units * 0.0 if source.kind in FREE_OF_WORK else None
