"""A hard winter: what the builds still give, what must be bought, who copes, how long the battery lasts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.errors import Notice
from ledger.heat.rungs import BELOW_HOLD_TOLERANCE_K
from ledger.heat.season_answer import SeasonWork
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.money.avoided import HeatHours, buy_heat, capacity_kw, second_source
from ledger.money.prices import electric_source, input_factor, price_in_force, units_of
from ledger.money.project import FloatArray, number
from ledger.plans.colder import ColdWinter, Limit, colder_winter, logged_nights
from ledger.plans.design import peak_need_kw
from ledger.plans.power import hours_carried, stored_kwh
from ledger.plans.results import Stress, StressSource

BY_MODEL, BY_LIMIT = "house model", "limit seen in the log"


@dataclass(frozen=True, slots=True)
class Cold:
    """How cold: the shift of the winter [K], the design temperature before it [°C], the bare lift of `compare` [K]."""

    colder_k: float
    design_temperature_c: float | None
    bare_lift_k: float | None


def stress(ledger: Ledger, seasons: tuple[SeasonWork, ...], cold: Cold) -> Stress | None:
    """Make the logged winters colder and report the one with the greatest need.

    Without a believed house model: see `colder_winter`. What is to be bought is that of the logged hours that count.

    Parameters
    ----------
    ledger : house, sources, battery.
    seasons : as reckoned.
    cold : the shift.

    Returns
    -------
    Stress : None without a logged season.
    """
    hold_c, site = ledger.hold.temperature_c, ledger.site
    logged = [logged_nights(w, site) for w in seasons]
    winters = [
        (w.heat.season, colder_winter(w, site, hold_c=hold_c, colder_k=cold.colder_k, logged=logged)) for w in seasons
    ]
    found = hardest(winters)
    return None if found is None else stress_in(ledger, found[0], found[1], cold)


def hardest(winters: Sequence[tuple[str, ColdWinter]]) -> tuple[str, ColdWinter] | None:
    """The winter with the greatest need, by its season's name; None where none has an hour that counts."""
    known = [one for one in winters if one[1].need_kwh.size]
    return max(known, key=lambda one: float(one[1].need_kwh.sum()), default=None)


def stress_in(ledger: Ledger, season: str, winter: ColdWinter, cold: Cold) -> Stress:
    """What a hard winter asks of the builds, the sources and the battery.

    Parameters
    ----------
    ledger : sources, battery.
    season : the winter's name.
    winter : its counted hours, already colder.
    cold : the shift, for the design night.

    Returns
    -------
    Stress
    """
    need, buy, limit = float(winter.need_kwh.sum()), float(winter.to_buy_kwh.sum()), winter.limit
    short = winter.by_night(winter.below.astype(np.float64)) > 0.0
    peak_kw = _peak_kw(ledger, cold)
    carried = battery(ledger, winter)
    return Stress(
        season=season,
        colder_k=cold.colder_k,
        need_kwh=need,
        avoided_kwh=need - buy,
        to_buy_kwh=buy,
        nights_short=int(np.count_nonzero(short)),
        longest_run_short=longest_run(winter.evenings[short]),
        frost_hours=round(float(np.count_nonzero(winter.indoor_c < -BELOW_HOLD_TOLERANCE_K)) * winter.step_h),
        cap_kwh=None if limit is None else limit.cap_kwh,
        peak_need_kw=peak_kw,
        battery_hours=None if carried is None else carried[0],
        battery_nights=None if carried is None else carried[1],
        sources=tuple(_source(ledger, winter, s, peak_kw) for s in ledger.sources),
        notices=() if limit is None else _notices(limit),
        nights_counted=int(winter.evenings.size),
        by=BY_MODEL if limit is None else BY_LIMIT,
        to_buy_most_kwh=None if limit is None else limit.to_buy_most_kwh,
    )


def _peak_kw(ledger: Ledger, cold: Cold) -> float | None:
    if cold.design_temperature_c is None:
        return None
    colder_c = cold.design_temperature_c - cold.colder_k
    return peak_need_kw(ledger, ledger.builds, design_temperature_c=colder_c, bare_lift_k=cold.bare_lift_k)


def longest_run(evenings: NDArray[np.int64]) -> int:
    """The most evenings that follow one another day by day. [nights]"""
    if not evenings.size:
        return 0
    breaks = np.flatnonzero(np.diff(evenings) != 1)
    edges = np.concatenate([[-1], breaks, [evenings.size - 1]])
    return int(np.diff(edges).max())


def hours_of(winter: ColdWinter) -> HeatHours:
    """The winter as mean kilowatts by row, each for its own length, so that an output in kW can be set against it."""
    step = winter.step_h
    weight = np.full(winter.need_kwh.size, step)
    return HeatHours(winter.need_kwh / step, winter.to_buy_kwh / step, winter.outdoor_c, weight)


def _source(ledger: Ledger, winter: ColdWinter, source: Source, peak_kw: float | None) -> StressSource:
    hours = hours_of(winter)
    total = hours.total_kwh(hours.to_buy_kwh)
    bought = buy_heat(ledger, source, hours.to_buy_kwh, hours=hours, total_kwh=total)
    second = second_source(ledger, source)
    outputs = [capacity_kw(s) for s in (source, second) if s is not None]
    output_kw = None if None in outputs else sum(kw for kw in outputs if kw is not None)
    own_hours = [b.own_hours for b in bought]
    fuel = sum(float(b.units * number(price_in_force(b.source, ledger.terms.base_date))) for b in bought)
    return StressSource(
        name=source.name,
        fuel_units=float(bought[0].units),
        fuel_cost=fuel,
        labour_hours=None if None in own_hours else sum(float(h) for h in own_hours if h is not None),
        unmet_kwh=None if output_kw is None else hours.total_kwh(np.maximum(hours.to_buy_kwh - output_kw, 0.0)),
        output_kw=output_kw,
        holds_design_night=None if output_kw is None or peak_kw is None else output_kw >= peak_kw,
        second=None if second is None else second.name,
        second_fuel_units=None if second is None else float(bought[1].units),
    )


def battery(ledger: Ledger, winter: ColdWinter) -> tuple[float, int] | None:
    """How long the battery carries the worst night, and how many nights it carries through.

    On it hang the electric heater with what it has to give, up to its output, the logged fan, and the other load.

    Parameters
    ----------
    ledger : battery, electric source.
    winter : the nights.

    Returns
    -------
    (hours of the worst night [h], nights) : None without a battery.
    """
    power = ledger.power
    stored = None if power is None else stored_kwh(power)
    if power is None or stored is None:
        return None
    other_w = 0.0 if power.other_load_w is None else power.other_load_w.likely
    load = _heater_kwh(ledger, winter) + (winter.fan_w + other_w) / 1000.0 * winter.step_h
    by_night = winter.by_night(load)
    worst = int(np.argmax(by_night))
    hours = hours_carried(stored, load[winter.night == worst], step_h=winter.step_h)
    return hours, int(np.count_nonzero(by_night <= stored))


def _heater_kwh(ledger: Ledger, winter: ColdWinter) -> FloatArray:
    """Electricity that the electric source draws in each row; none without one. [kWh]"""
    source = electric_source(ledger)
    if source is None:
        return np.zeros(winter.to_buy_kwh.size)
    limit = capacity_kw(source)
    heat = winter.to_buy_kwh if limit is None else np.minimum(winter.to_buy_kwh, limit * winter.step_h)
    taken: FloatArray = heat * input_factor(source, winter.outdoor_c)
    kwh: FloatArray = np.asarray(units_of(source, taken)) * source.heat_per_unit_kwh.likely
    return kwh


def _notices(limit: Limit) -> tuple[Notice, ...]:
    text = "no run of the house model stands behind this: "
    if limit.seen:
        text += (
            "the most that the build alone gave on a night below hold, in any logged winter, is its limit every night"
        )
    else:
        text += "no logged night fell below hold, so the limit of the build was never seen: the most it gave is taken"
    text += ". Night after night it may give less, as a store that is drained does; at the most, what stands beside it"
    return (Notice("stress-without-model", text + " has to be bought", "stress"),)
