"""What stands around the plans: where they tie, an own kilowatt-hour, a power cut, a hard winter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ledger.errors import Notice
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.other_years import FittedHouse, fitted_house
from ledger.heat.prepared import Prepared
from ledger.heat.season_answer import SeasonWork
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.money.prices import electricity_price
from ledger.money.project import number
from ledger.plans.measures import CheaperBuild, cheaper_builds
from ledger.plans.other_winter import USUAL_HARD_WINTER, HardWinter, stress_of
from ledger.plans.power import own_price_per_kwh, stored_kwh
from ledger.plans.power_cut import power_cut
from ledger.plans.results import Comparison, Plan, PowerCut, Stress
from ledger.plans.stress import Cold
from ledger.plans.ties import Judged, Tie, ties
from ledger.series.record import HourlyRecord


@dataclass(frozen=True, slots=True)
class OwnPower:
    """Life off the grid: what a full battery gives [kWh], an own kilowatt-hour beside the ledger's [currency/kWh]."""

    battery_kwh: float | None
    own_price_per_kwh: float | None
    ledger_price_per_kwh: float | None


@dataclass(frozen=True, slots=True)
class AroundPlans:
    """What `compare` and `stress` show beside the plans. None: not known, or the ledger says nothing of it.

    `worst_winter`: the hardest winter of the ledger's long outdoor record, as it was. `design_temperature_c`,
    `bare_lift_k`: what the coldest night was judged on. [°C, K] `house`: the believed model that was run.
    """

    ties: tuple[Tie, ...] = ()
    power: OwnPower | None = None
    power_cut: PowerCut | None = None
    stress: Stress | None = None
    design_temperature_c: float | None = None
    bare_lift_k: float | None = None
    worst_winter: Stress | None = None
    cheaper: tuple[CheaperBuild, ...] = ()
    house: FittedHouse | None = None
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Outdoors:
    """What winters are looked at with: the model and what it was fitted to, the long outdoor record. None: none."""

    model: HouseModelAnswer | None
    prepared: Prepared
    climate: HourlyRecord | None


def around_plans(ledger: Ledger, seasons: Sequence[SeasonWork], compared: Comparison, *, judged: Judged) -> AroundPlans:
    """Reckon what stands around the plans, the usual hard winter among it.

    Ties are sought among the plans without a build and with all of them: single builds would only say the same again.

    Parameters
    ----------
    ledger : sources, terms, battery.
    seasons : as reckoned.
    compared : the plans with the design temperature that they were judged on.
    judged : what they were judged on, as `compare` takes it.

    Returns
    -------
    AroundPlans
    """
    every = tuple(b.name for b in ledger.builds)
    shown = [p for p in compared.plans if p.builds in ((), every)]
    design_c = compared.design_temperature_c
    around = AroundPlans(
        ties=ties(ledger, judged, shown),
        power=own_power(ledger),
        power_cut=None
        if design_c is None
        else power_cut(ledger, seasons, design_temperature_c=design_c, plans=compared.plans),
        cheaper=cheaper_builds(ledger, judged.heat, fan_kwh=judged.fan_kwh),
        design_temperature_c=design_c,
        bare_lift_k=judged.heat.bare_lift_p10_k,
    )
    return with_winter(around, ledger, seasons, hard=USUAL_HARD_WINTER)


def look_outdoors(
    around: AroundPlans, ledger: Ledger, seasons: Sequence[SeasonWork], plans: Sequence[Plan], outdoors: Outdoors
) -> AroundPlans:
    """The same with what a believed model and a long outdoor record say: hard winters, a power cut.

    Parameters
    ----------
    around : as reckoned without them.
    ledger, seasons : as for `around_plans`.
    plans : as compared.
    outdoors : the model and the record.

    Returns
    -------
    AroundPlans
    """
    house = standing(fitted_house(outdoors.model, outdoors.prepared, ledger), seasons)
    design_c = around.design_temperature_c
    if house is not None:
        around = with_winter(replace(around, house=house), ledger, seasons, hard=USUAL_HARD_WINTER)
        if design_c is not None:
            cut = power_cut(ledger, seasons, design_temperature_c=design_c, plans=plans, house=house)
            around = replace(around, power_cut=cut)
    if outdoors.climate is None:
        return around
    cold = Cold(0.0, design_c, around.bare_lift_k)
    return replace(around, worst_winter=stress_of(ledger, seasons, cold, record=outdoors.climate, house=house))


def standing(house: FittedHouse | None, seasons: Sequence[SeasonWork]) -> FittedHouse | None:
    """The believed model where every logged season is answered by it; a measured twin that contradicts it stands."""
    return house if seasons and all(s.way is BareWay.MODEL for s in seasons) else None


def with_winter(around: AroundPlans, ledger: Ledger, seasons: Sequence[SeasonWork], *, hard: HardWinter) -> AroundPlans:
    """The same with another hard winter.

    Parameters
    ----------
    around : as reckoned.
    ledger, seasons : as for `around_plans`.
    hard : how hard a winter.

    Returns
    -------
    AroundPlans
    """
    cold = Cold(hard.colder_k, around.design_temperature_c, around.bare_lift_k)
    found = stress_of(ledger, seasons, cold, record=hard.record, house=around.house)
    return replace(around, stress=found, notices=() if found is not None else (_no_winter(seasons, hard),))


def _no_winter(seasons: Sequence[SeasonWork], hard: HardWinter) -> Notice:
    if not any(s.reckoned.rows.size for s in seasons):
        text = (
            "No hard winter is looked at: only a log shows what the build still gives in the cold, and no season is "
            "logged in which the need can be reckoned."
        )
    else:
        text = "No hard winter is looked at: the other record holds no hour of the season that counts."
    return Notice("stress-unknown", text, "stress" if hard.record is None else "stress.record")


def own_power(ledger: Ledger) -> OwnPower | None:
    """The battery and the price of an own kilowatt-hour; None where the ledger has no `[power]`."""
    if ledger.power is None:
        return None
    price = electricity_price(ledger, ledger.terms.base_date)
    return OwnPower(
        battery_kwh=stored_kwh(ledger.power),
        own_price_per_kwh=own_price_per_kwh(ledger.power, ledger.terms),
        ledger_price_per_kwh=None if price is None else float(number(price)),
    )
