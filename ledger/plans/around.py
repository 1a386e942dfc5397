"""What stands around the plans: where they tie, an own kilowatt-hour, a power cut, a hard winter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger
from ledger.money.prices import electricity_price
from ledger.money.project import number
from ledger.plans.other_winter import USUAL_HARD_WINTER, HardWinter, stress_of
from ledger.plans.power import own_price_per_kwh, stored_kwh
from ledger.plans.power_cut import power_cut
from ledger.plans.results import Comparison, PowerCut, Stress
from ledger.plans.stress import Cold
from ledger.plans.ties import Judged, Tie, ties


@dataclass(frozen=True, slots=True)
class OwnPower:
    """Life off the grid: what a full battery gives [kWh], an own kilowatt-hour beside the ledger's [currency/kWh]."""

    battery_kwh: float | None
    own_price_per_kwh: float | None
    ledger_price_per_kwh: float | None


@dataclass(frozen=True, slots=True)
class AroundPlans:
    """What `compare` and `stress` show beside the plans. None: not known, or the ledger says nothing of it.

    `design_temperature_c`, `bare_lift_k`: what the coldest night was judged on. [°C, K]
    """

    ties: tuple[Tie, ...] = ()
    power: OwnPower | None = None
    power_cut: PowerCut | None = None
    stress: Stress | None = None
    design_temperature_c: float | None = None
    bare_lift_k: float | None = None


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
        power_cut=None if design_c is None else power_cut(ledger, seasons, design_temperature_c=design_c),
        design_temperature_c=design_c,
        bare_lift_k=judged.heat.bare_lift_p10_k,
    )
    return with_winter(around, ledger, seasons, hard=USUAL_HARD_WINTER)


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
    return replace(around, stress=stress_of(ledger, seasons, cold, record=hard.record))


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
