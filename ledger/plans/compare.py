"""Every way to hold the house, side by side on the same typical year."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.results import TypicalHeat
from ledger.heat.rungs import BELOW_HOLD_TOLERANCE_K
from ledger.model.build import Build
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.money.avoided import (
    Bought,
    HeatHours,
    avoided_units,
    buy_heat,
    capacity_kw,
    heat_hours,
    second_source,
    split,
)
from ledger.money.prices import FREE_OF_WORK, price_in_force
from ledger.money.project import FloatArray, Number, number
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import level
from ledger.plans.costs import NOTHING_BUILT, BuildYear, PlanMoney, capital_unknown, plan_money
from ledger.plans.design import peak_need_kw, works_in_power_cut
from ledger.plans.nights import NO_HEAT_KWH, Nights, nights_of, nights_to_tend
from ledger.plans.results import Comparison, Plan

# Heat above the output that is rounding and not want. [kWh a year]
NO_UNMET_KWH = 1e-6


@dataclass(frozen=True, slots=True, eq=False)
class Setting:
    """What all plans are judged on.

    Attributes
    ----------
    ledger, heat : prices and terms; the typical year.
    hours, nights : the same year hour by hour; its nights (None: the hours do not say when they are).
    design_temperature_c : of the coldest night to be held. None: neither stated nor logged. [°C]
    """

    ledger: Ledger
    heat: TypicalHeat
    hours: HeatHours
    nights: Nights | None
    design_temperature_c: float | None


@dataclass(frozen=True, slots=True, eq=False)
class HeatOfPlan:
    """Heat that a plan has to buy: by row [kWh in the hour] and in the year [kWh]."""

    hourly_kwh: FloatArray
    total_kwh: Number


def compare(
    ledger: Ledger,
    heat: TypicalHeat,
    *,
    fan_kwh: float | None,
    coldest_logged_c: float | None,
    shares: Mapping[str, float] | None,
) -> Comparison:
    """Draw up every plan: each source alone and with the builds, the builds alone, nothing.

    Several builds are taken together, and each alone where its share of the saving is known. Heat, fuel, work and
    life-cycle cost are those of the whole heat to buy; `unmet_kwh` stands beside them and is never taken off. Plans
    that hold the design night with no unmet heat are ranked by life-cycle cost, ties by less capital.

    Parameters
    ----------
    ledger : sources, builds, terms.
    heat : the typical year.
    fan_kwh : energy of the logged fan in a season, from `fan_energy_kwh`. [kWh]
    coldest_logged_c : coldest valid outdoor hour of the log, used where the site states no design temperature. [°C]
    shares : each build's part of the avoided heat, summing to 1, by name. None: not known.

    Returns
    -------
    Comparison
    """
    stated = ledger.site.design_temperature_c
    design = coldest_logged_c if stated is None else stated
    setting = Setting(ledger, heat, heat_hours(heat), nights_of(_in_hours(heat), ledger.site), design)
    groups, notices = _groups(ledger, shares, fan_kwh)
    bare = heat_left(setting.hours, setting.heat, 0.0)
    plans = [_with_source(setting, NOTHING_BUILT, bare, s, f"{s.name} alone") for s in ledger.sources]
    for name, built, share in groups:
        left = heat_left(setting.hours, setting.heat, share)
        plans += [_with_source(setting, built, left, s, f"{name} + {s.name}") for s in ledger.sources]
        plans.append(_without_source(setting, built, left, f"{name} alone"))
    plans.append(_without_source(setting, NOTHING_BUILT, bare, "nothing"))
    said = (*notices, *_notices(ledger, design))
    basis = "stated" if stated is not None else ("coldest hour logged" if design is not None else "not known")
    return Comparison(ranked(plans), design, basis, said)


def _in_hours(heat: TypicalHeat) -> pd.DataFrame:
    """The profile with weights in hours of the year, whatever the length of its rows."""
    return heat.profile.assign(weight=heat.profile["weight"] * heat.step_h)


def _groups(
    ledger: Ledger, shares: Mapping[str, float] | None, fan_kwh: float | None
) -> tuple[list[tuple[str, BuildYear, float]], list[Notice]]:
    """The builds together, then each one of several, with its share of the avoided heat."""
    if not ledger.builds:
        return [], []
    together, said = _build_year(ledger, ledger.builds, fan_kwh)
    groups = [("build", together, 1.0)]
    notices = list(said)
    if len(ledger.builds) > 1 and shares is None:
        text = "how the saving is shared between the builds is not known: they are compared together only"
        notices.append(Notice("builds-together-only", text, "plans"))
    elif len(ledger.builds) > 1 and shares is not None:
        for build in ledger.builds:
            alone, _ = _build_year(ledger, (build,), None)
            groups.append((build.name, alone, shares[build.name]))
    return groups, notices


def _build_year(
    ledger: Ledger, builds: tuple[Build, ...], fan_kwh: float | None
) -> tuple[BuildYear, tuple[Notice, ...]]:
    running, notices = typical_running(ledger, builds, fan_kwh=fan_kwh)
    return BuildYear(builds, running, typical_upkeep(ledger, builds)), notices


def heat_left(hours: HeatHours, heat: TypicalHeat, share: float) -> HeatOfPlan:
    """Need less a share of what the builds avoid, hour by hour and in the year."""
    if share == 1.0:
        return HeatOfPlan(hours.to_buy_kwh, heat.need_kwh - heat.avoided_kwh)
    hourly = hours.need_kwh - share * (hours.need_kwh - hours.to_buy_kwh)
    return HeatOfPlan(hourly, heat.need_kwh - share * heat.avoided_kwh)


def _with_source(setting: Setting, built: BuildYear, heat: HeatOfPlan, source: Source, name: str) -> Plan:
    ledger = setting.ledger
    second = second_source(ledger, source)
    bought = buy_heat(ledger, source, heat.hourly_kwh, hours=setting.hours, total_kwh=heat.total_kwh)
    money = plan_money(ledger, built, bought)
    plan = _plan(setting, name, built, heat, money)
    sources = (source,) if second is None else (source, second)
    output_kw = _output_kw(sources)
    peak_kw = plan.peak_need_kw
    return replace(
        plan,
        source=source.name,
        second=None if second is None else second.name,
        unmet_kwh=None if output_kw is None else setting.hours.total_kwh(np.maximum(heat.hourly_kwh - output_kw, 0.0)),
        fuel_units=float(bought[0].units),
        second_fuel_units=None if second is None else float(bought[1].units),
        fuel_cost_per_delivered_kwh=_per_delivered_kwh(setting, bought, money),
        output_kw=output_kw,
        holds_design_night=None if output_kw is None or peak_kw is None else output_kw >= peak_kw,
        works_in_power_cut=works_in_power_cut(sources),
        nights_to_tend=_tending(setting, source, heat),
    )


def _without_source(setting: Setting, built: BuildYear, heat: HeatOfPlan, name: str) -> Plan:
    """A plan that buys no heat: all that is left is unmet, and cold nights are counted."""
    plan = _plan(setting, name, built, heat, plan_money(setting.ledger, built, ()))
    nights = setting.nights
    return replace(
        plan,
        unmet_kwh=max(0.0, float(heat.total_kwh)),
        output_kw=0.0,
        holds_design_night=None if plan.peak_need_kw is None else plan.peak_need_kw <= 0.0,
        nights_to_tend=0,
        nights_short=None if nights is None else nights.count(nights.with_heat(heat.hourly_kwh)),
        frost_hours=_frost_hours(setting, built),
    )


def _plan(setting: Setting, name: str, built: BuildYear, heat: HeatOfPlan, money: PlanMoney) -> Plan:
    """A plan's heat and money; what depends on a source is left open."""
    cost = money.life_cycle_cost
    return Plan(
        name=name,
        builds=tuple(b.name for b in built.builds),
        source=None,
        capital=None if money.capital is None else float(money.capital),
        heat_to_buy_kwh=float(heat.total_kwh),
        unmet_kwh=None,
        fuel_units=None,
        fuel_cost=float(money.fuel_cost),
        labour_hours=None if money.labour_hours is None else float(money.labour_hours),
        labour_cost=None if money.labour_cost is None else float(money.labour_cost),
        first_year_cost=float(money.first_year_cost),
        life_cycle_cost=None if cost is None else float(cost),
        annual_cost=None if cost is None else float(level(cost, money.project)),
        fuel_cost_per_delivered_kwh=None,
        peak_need_kw=_peak_kw(setting, built),
        output_kw=None,
        holds_design_night=None,
        works_in_power_cut=None,
        nights_to_tend=None,
        rank=None,
        money_before_work=money.before_work,
    )


def _peak_kw(setting: Setting, built: BuildYear) -> float | None:
    if setting.design_temperature_c is None:
        return None
    return peak_need_kw(
        setting.ledger,
        built.builds,
        design_temperature_c=setting.design_temperature_c,
        bare_lift_k=setting.heat.bare_lift_p10_k,
    )


def _output_kw(sources: Sequence[Source]) -> float | None:
    """Most that a plan's sources give together; None where one is not known."""
    each = [capacity_kw(s) for s in sources]
    return None if None in each else sum(kw for kw in each if kw is not None)


def _per_delivered_kwh(setting: Setting, bought: Sequence[Bought], money: PlanMoney) -> float:
    """Fuel cost ÷ heat delivered; with no heat to deliver, the first source's at the mean efficiency of the need."""
    heat = float(sum(b.heat_kwh for b in bought))
    if heat > NO_HEAT_KWH:
        return float(money.fuel_cost) / heat
    source = bought[0].source
    units = avoided_units(source, 1.0, typical=setting.heat)
    return float(units * number(price_in_force(source, setting.ledger.terms.base_date)))


def _tending(setting: Setting, source: Source, heat: HeatOfPlan) -> int | None:
    """Nights on which the first source's load does not last; 0 for heaters that feed themselves, None if not known."""
    if source.kind in FREE_OF_WORK:
        return 0
    if source.burn_hours is None or setting.nights is None:
        return None
    first, _ = split(heat.hourly_kwh, source, second_source(setting.ledger, source))
    return nights_to_tend(setting.nights, first, burn_hours=source.burn_hours.likely)


def _frost_hours(setting: Setting, built: BuildYear) -> int | None:
    """Hours below freezing, of those that count: as logged with all builds, the bare house's with none."""
    if len(built.builds) == len(setting.ledger.builds):
        name = "indoor_c"
    elif not built.builds:
        name = "bare_c"
    else:
        return None
    profile = setting.heat.profile
    if name not in profile or not profile[name].notna().all():
        return None
    frost = profile[name].to_numpy(dtype=np.float64) < -BELOW_HOLD_TOLERANCE_K
    return round(setting.hours.total_kwh(frost.astype(np.float64)))


def ranked(plans: Sequence[Plan]) -> tuple[Plan, ...]:
    """Give the plans that hold their rank: 1 for the least life-cycle cost, ties by less capital, then as they stand.

    A plan is ranked when its cost is known with its work in it, no heat is unmet and the design night is not lost;
    where its output is not known it is ranked all the same, and the caller says that nobody knows whether it copes.

    Returns
    -------
    tuple of Plan : in the same order.
    """
    holding = [p for p in plans if _may_rank(p)]
    order = sorted(holding, key=lambda p: (p.life_cycle_cost or 0.0, p.capital or 0.0))
    places = {id(p): place for place, p in enumerate(order, start=1)}
    return tuple(replace(p, rank=places.get(id(p))) for p in plans)


def _may_rank(plan: Plan) -> bool:
    if plan.source is None or plan.life_cycle_cost is None or plan.money_before_work:
        return False
    return plan.holds_design_night is not False and (plan.unmet_kwh is None or plan.unmet_kwh <= NO_UNMET_KWH)


def _notices(ledger: Ledger, design_c: float | None) -> tuple[Notice, ...]:
    notices = []
    for source in ledger.sources:
        if source.capital is None:
            notices.append(capital_unknown(source.name))
        if source.output_kw is None:
            text = f"the output of '{source.name}' is not known: nobody can say whether it copes with the coldest night"
            notices.append(Notice("source-output-unknown", text, "source", source.line))
        if source.hours_per_unit is None and source.kind not in FREE_OF_WORK:
            text = f"the work that '{source.name}' takes is not known (hours_per_unit)"
            text += ": its plans are before it and not ranked" if ledger.labour_rate_per_h is not None else ""
            notices.append(Notice("source-work-unknown", text, "source", source.line))
    if design_c is None:
        text = "no design temperature and no outdoor log: peak need is not known"
        notices.append(Notice("design-temperature-unknown", text, "site.design_temperature"))
    elif ledger.site.design_temperature_c is None:
        text = (
            "no design temperature is stated: the coldest hour of the log stands in for it, and winters can be colder"
        )
        notices.append(Notice("design-temperature-logged", text, "site.design_temperature"))
    return tuple(notices)
