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

    `to_buy_kwh` is what the next degree costs in heat.
    """

    hold_c: float
    need_kwh: float
    avoided_kwh: float
    to_buy_kwh: float
    npv: float


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
    tuple of HoldStep : by rising temperature; at those alone that the house model was run at where it answers; without
        it not above the setting at which the fan stops giving back; empty where there is no typical year.
    """
    if _by_model(prepared, ledger, ways):
        return _model_steps(prepared, ledger, ways=ways, fan_kwh=fan_kwh)
    found = []
    for step in sorted(steps_k):
        if step > 0.0 and ways.warmest_hold_c is not None and ledger.hold.temperature_c + step > ways.warmest_hold_c:
            continue
        one = _step(prepared, _held(ledger, ledger.hold.temperature_c + step), ways=ways, fan_kwh=fan_kwh)
        if one is None:
            return ()
        found.append(one)
    return tuple(found)


def _by_model(prepared: Prepared, ledger: Ledger, ways: Ways) -> bool:
    curve = heat_work(prepared, ledger, ways=ways).typical.curve
    return curve is not None and curve.way is BareWay.MODEL


def _model_steps(prepared: Prepared, ledger: Ledger, *, ways: Ways, fan_kwh: float | None) -> tuple[HoldStep, ...]:
    """The same by the model's own runs at each temperature; none where a season has no such run."""
    now_c = ledger.hold.temperature_c
    if not ways.model_at or any(set(seasons) != set(ways.model) for seasons in ways.model_at.values()):
        return ()
    found = []
    for hold_c, seasons in sorted([*ways.model_at.items(), (now_c, ways.model)]):
        held = _held(ledger, hold_c)
        if hold_c != now_c:
            held = replace(held, house=replace(held.house, bare=BareWay.MODEL))
        typical = ways.typical if hold_c == now_c else None
        one = _step(prepared, held, ways=replace(ways, model=seasons, typical=typical), fan_kwh=fan_kwh)
        if one is None:
            return ()
        found.append(one)
    return tuple(found)


def _held(ledger: Ledger, hold_c: float) -> Ledger:
    return replace(ledger, hold=replace(ledger.hold, temperature_c=hold_c))


def _step(prepared: Prepared, held: Ledger, *, ways: Ways, fan_kwh: float | None) -> HoldStep | None:
    typical = heat_work(prepared, held, ways=ways).typical
    heat, curve = typical.heat, typical.curve
    if heat is None or curve is None:
        return None
    worth = float(npv(Chain(held, heat, curve, fan_kwh).project({})))
    return HoldStep(held.hold.temperature_c, heat.need_kwh, heat.avoided_kwh, heat.to_buy_kwh, worth)


def first_that_pays(steps: Sequence[HoldStep]) -> HoldStep | None:
    """The lowest hold temperature of the steps at which the build pays; None where it does at none of them."""
    return next((s for s in steps if s.npv >= 0.0), None)
