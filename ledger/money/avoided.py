"""What the heat that was not bought would have cost, source by source: the year's money that worth is made of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ledger.errors import Notice
from ledger.heat.results import TypicalHeat
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.money.priced import price_energy, price_fuel
from ledger.money.prices import input_factor, labour_hours, units_of
from ledger.money.project import FloatArray, Number, YearMoney, labour_rate, number
from ledger.money.results import TypicalMoney
from ledger.money.running import RunningYear, UpkeepYear


@dataclass(frozen=True, slots=True, eq=False)
class HeatHours:
    """A typical year hour by hour. Σ weight · need_kwh and Σ weight · to_buy_kwh are its sums.

    need_kwh, to_buy_kwh : in the hour [kWh]; outdoor_c [°C]; weight : hours of the year that a row stands for [-].
    """

    need_kwh: FloatArray
    to_buy_kwh: FloatArray
    outdoor_c: FloatArray
    weight: FloatArray

    def total_kwh(self, heat_kwh: FloatArray) -> float:
        """Σ weight · heat of the hour. [kWh]"""
        return float(np.sum(self.weight * heat_kwh))


def heat_hours(heat: TypicalHeat) -> HeatHours:
    """The hourly shape of a typical year as plain arrays.

    Rows of a record coarser than an hour become mean hours that stand for as many hours more: an output in kilowatts
    is set against what is asked for in an hour.
    """
    need, buy, outdoor, weight = (
        heat.profile[name].to_numpy(dtype=np.float64) for name in ("need_kwh", "to_buy_kwh", "outdoor_c", "weight")
    )
    return HeatHours(need / heat.step_h, buy / heat.step_h, outdoor, weight * heat.step_h)


@dataclass(frozen=True, slots=True, eq=False)
class Bought:
    """Heat bought from one source in a year: heat [kWh], units of fuel, own hours (None: not known)."""

    source: Source
    heat_kwh: Number
    units: Number
    own_hours: Number | None


def capacity_kw(source: Source) -> float | None:
    """Most that a source gives, all its units together. None: not known. [kW]"""
    return None if source.output_kw is None else float(np.mean(number(source.output_kw))) * source.units


def second_source(ledger: Ledger, source: Source) -> Source | None:
    """The source that gives the heat above this one's output, where the ledger names one."""
    return None if source.then is None or source.then == source.name else ledger.source(source.then)


def split(heat_kwh: FloatArray, first: Source, second: Source | None) -> tuple[FloatArray, FloatArray]:
    """Share an hour's heat between a first source and the one above its output.

        first = min(heat, output · units),  second = heat − first      all to the first without a second or an output

    Returns
    -------
    first, second : [kWh in the hour]
    """
    limit = capacity_kw(first)
    if second is None or limit is None:
        return heat_kwh, np.zeros_like(heat_kwh)
    below = np.minimum(heat_kwh, limit)
    return below, heat_kwh - below


def buy_heat(
    ledger: Ledger, source: Source, heat_kwh: FloatArray, *, hours: HeatHours, total_kwh: Number
) -> tuple[Bought, ...]:
    """Buy a year's heat from a source and, above its output, from its second.

        units = Σ weight · heat ÷ (heat per unit · efficiency of the hour)

    The whole of the heat is bought, whatever the output of the last source. Where the year's total differs from the
    sum of its hours (a draw of a range), the rest is bought at the mean share and efficiency of the need.

    Parameters
    ----------
    ledger : for the second source.
    source : the first.
    heat_kwh : in each hour. [kWh]
    hours : the typical year that the hours belong to.
    total_kwh : heat of the year. [kWh]

    Returns
    -------
    tuple of Bought : one, or two with a second source.
    """
    second = second_source(ledger, source)
    rest = total_kwh - hours.total_kwh(heat_kwh)
    whole_need = hours.total_kwh(hours.need_kwh)
    need_parts = split(hours.need_kwh, source, second)
    parts = []
    for who, heat, need in zip((source, second), split(heat_kwh, source, second), need_parts, strict=True):
        if who is None:
            continue
        factor = input_factor(who, hours.outdoor_c)
        share, mean = _share_of_need(hours, need, factor, whole_need, alone=second is None)
        own = rest * share
        units = units_of(who, hours.total_kwh(heat * factor) + own * mean)
        parts.append(Bought(who, hours.total_kwh(heat) + own, units, labour_hours(who, units)))
    return tuple(parts)


def _share_of_need(
    hours: HeatHours, need: FloatArray, factor: FloatArray, whole_need: float, *, alone: bool
) -> tuple[float, float]:
    """A source's share of the need, and its mean input per kilowatt-hour over it."""
    mine = hours.total_kwh(need)
    if mine <= 0.0:
        return (1.0 if alone else 0.0), (float(np.mean(factor)) if factor.size else 1.0)
    return (1.0 if alone else mine / whole_need), hours.total_kwh(need * factor) / mine


def avoided_units(source: Source, avoided_kwh: Number, *, typical: TypicalHeat | None) -> Number:
    """Units of fuel for heat of which only the sum is known: at the mean efficiency of the typical year's need.

    Returns
    -------
    float or array : [unit]
    """
    if typical is None or not source.cop:
        return units_of(source, avoided_kwh * (1.0 if not source.cop else _middle_of_curve(source)))
    hours = heat_hours(typical)
    _, mean = _share_of_need(
        hours, hours.need_kwh, input_factor(source, hours.outdoor_c), hours.total_kwh(hours.need_kwh), alone=True
    )
    return units_of(source, avoided_kwh * mean)


def avoided_parts(
    ledger: Ledger, source: Source, avoided_kwh: float, *, typical: TypicalHeat | None
) -> tuple[tuple[Source, Number], ...]:
    """Units of fuel by source for heat of which only the sum is known.

    Where a second source gives the heat above the first one's output, the sum is shared as the typical year's avoided
    heat is; with nothing avoided in it, or no typical year, all falls to the first.

    Returns
    -------
    tuple of (source, units)
    """
    second = second_source(ledger, source)
    if second is None or typical is None:
        return ((source, avoided_units(source, avoided_kwh, typical=typical)),)
    hours = heat_hours(typical)
    need, left = split(hours.need_kwh, source, second), split(hours.to_buy_kwh, source, second)
    whole = hours.total_kwh(hours.need_kwh - hours.to_buy_kwh)
    first = hours.total_kwh(need[0] - left[0]) / whole if whole > 0.0 else 1.0
    return tuple(
        (who, avoided_units(who, avoided_kwh * part, typical=typical))
        for who, part in ((source, first), (second, 1.0 - first))
    )


def _middle_of_curve(source: Source) -> float:
    """Input per kilowatt-hour at the mean of the stated points, where no hour is known."""
    return 1.0 / (sum(p.cop for p in source.cop) / len(source.cop))


def to_year_money(
    ledger: Ledger, heat: TypicalHeat, source: Source, *, running: RunningYear, upkeep: UpkeepYear
) -> tuple[YearMoney, tuple[Notice, ...]]:
    """The year's money of the build against a source, at base-date prices.

        avoided fuel   = (units of the need − units of the heat to buy) · price on the base date
        avoided labour = the same units · hours per unit · labour rate

    The source stays as backup: its capital and upkeep are not saved. Unknown hours of work are left out with a notice,
    so the saving is then before the work that it spares.

    Parameters
    ----------
    ledger : prices, base date, growths.
    heat : the typical year.
    source : the one whose heat is avoided, with its second source if it has one.
    running, upkeep : of the builds, from `typical_running` and `typical_upkeep`.

    Returns
    -------
    YearMoney, notices
    """
    hours = heat_hours(heat)
    need = buy_heat(ledger, source, hours.need_kwh, hours=hours, total_kwh=heat.need_kwh)
    buy = buy_heat(ledger, source, hours.to_buy_kwh, hours=hours, total_kwh=heat.need_kwh - heat.avoided_kwh)
    saved = [(n.source, n.units - b.units) for n, b in zip(need, buy, strict=True)]
    fuel, energy = price_fuel(ledger, saved), price_energy(ledger, running)
    labour, notices = work_money(ledger, saved)
    year = YearMoney(
        avoided_kwh=heat.avoided_kwh,
        avoided_fuel_cost=fuel.base_cost,
        fuel_growth=number(source.price_growth),
        avoided_labour_cost=labour,
        running_energy_cost=running.energy_cost,
        energy_growth=number(ledger.electricity.price_growth),
        running_labour_cost=running.labour_cost,
        running_other_cost=running.other_cost,
        upkeep_cost=upkeep.cost,
        upkeep_labour_cost=upkeep.labour_cost,
        fuel_price_path=fuel.path,
        energy_price_path=None if energy is None else energy.path,
        later_fuel_cost=fuel.later,
        later_energy_cost=None if energy is None else energy.later,
    )
    return year, notices


def work_money(ledger: Ledger, units: Sequence[tuple[Source, Number]]) -> tuple[Number, tuple[Notice, ...]]:
    """Own work that so many units take, in money, and a notice for each source whose hours are not known."""
    rate = labour_rate(ledger)
    money: Number = 0.0
    unknown = []
    for source, count in units:
        hours = labour_hours(source, count)
        if hours is None:
            unknown.append(source.name)
        else:
            money = money + hours * rate
    if not unknown or ledger.labour_rate_per_h is None:
        return money, ()
    return money, tuple(
        Notice("work-unknown", f"the work that '{n}' takes is not known (hours_per_unit): money is before it", "source")
        for n in unknown
    )


def typical_money(year: YearMoney, *, running: RunningYear, upkeep: UpkeepYear) -> TypicalMoney:
    """The typical year in four figures, at base-date prices. Unknown running cost leaves the saving before it."""
    avoided = None if year.avoided_fuel_cost is None else float(year.avoided_fuel_cost + year.avoided_labour_cost)
    total = None if running.total is None else float(running.total)
    noted = float(upkeep.total)
    return TypicalMoney(
        running_cost=total,
        upkeep_cost=noted,
        avoided_cost=avoided,
        net_saving=None if avoided is None else avoided - (total or 0.0) - noted,
        months_without_running_line=running.months_without_line,
    )
