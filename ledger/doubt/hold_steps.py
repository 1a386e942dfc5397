"""What a warmer or colder house would be worth: the hold temperature in steps, everything reckoned again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ledger.doubt.chain import Chain
from ledger.heat.bare import Ways
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import heat_work
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.money.worth import npv

STEPS_K = (-3.0, -2.0, -1.0, 0.0, 1.0, 2.0, 3.0)


@dataclass(frozen=True, slots=True)
class HoldStep:
    """The typical year and the worth of the build at another hold temperature. [°C, kWh, currency]

    `npv` None: not known. `to_buy_kwh` is what the next degree costs in heat.
    """

    hold_c: float
    need_kwh: float
    avoided_kwh: float
    to_buy_kwh: float
    npv: float | None


def hold_steps(
    prepared: Prepared, ledger: Ledger, *, ways: Ways, fan_kwh: float | None, steps_k: Sequence[float] = STEPS_K
) -> tuple[HoldStep, ...]:
    """Reckon heat and money again at hold temperatures around the ledger's.

    Nothing is scaled: a warmer house needs heat in hours that a colder one never asks for, and a store gives less.

    Parameters
    ----------
    prepared : the record laid out.
    ledger : as read.
    ways : the bare house as other rooms answer it.
    fan_kwh : energy of the logged fan in a season. [kWh]
    steps_k : differences from the ledger's hold temperature. [K]

    Returns
    -------
    tuple of HoldStep : by rising temperature; empty where the house model is used, whose runs stand for one hold
        temperature alone, or where there is no typical year.
    """
    found = []
    for step in sorted(steps_k):
        held = replace(ledger, hold=replace(ledger.hold, temperature_c=ledger.hold.temperature_c + step))
        typical = heat_work(prepared, held, ways=ways).typical
        heat, curve = typical.heat, typical.curve
        if heat is None or curve is None or curve.way is BareWay.MODEL:
            return ()
        project = Chain(held, heat, curve, fan_kwh).project({})
        worth = None if project.year.avoided_fuel_cost is None else float(npv(project))
        found.append(HoldStep(held.hold.temperature_c, heat.need_kwh, heat.avoided_kwh, heat.to_buy_kwh, worth))
    return tuple(found)


def first_that_pays(steps: Sequence[HoldStep]) -> HoldStep | None:
    """The lowest hold temperature of the steps at which the build pays; None where it does at none of them."""
    return next((s for s in steps if s.npv is not None and s.npv >= 0.0), None)
