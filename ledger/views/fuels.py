"""Fuel in its own unit, and what has to be said of some kinds of heater."""

from __future__ import annotations

from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.plans.results import Plan, StressSource
from ledger.sources import ROCKET_KINDS, WOOD_CAP
from ledger.views.figures import Measure, Style, show_figure
from ledger.views.screen import Screen

_Part = tuple[str | None, float | None]


def fuel_words(plan: Plan, ledger: Ledger) -> str:
    """A plan's fuel of a year, each source's in its own unit."""
    return _both((plan.source, plan.fuel_units), (plan.second, plan.second_fuel_units), ledger)


def hard_fuel_words(source: StressSource, ledger: Ledger) -> str:
    """The same for a hard winter."""
    return _both((source.name, source.fuel_units), (source.second, source.second_fuel_units), ledger)


def _both(first: _Part, second: _Part, ledger: Ledger) -> str:
    parts = (first, second)
    said = [amount_words(units, ledger.source(name)) for name, units in parts if name is not None and units is not None]
    return " + ".join(said) or "none"


def amount_words(units: float, source: Source) -> str:
    """So many units of a fuel, to what they deserve."""
    shown = f"{units:,.0f}" if abs(units) >= 10 else f"{units:.1f}"
    if units > 0.0 and shown == "0.0":
        shown = "under 0.1"
    return f"{shown} {source.unit}"


def cop_lines(ledger: Ledger, screen: Screen, style: Style) -> list[str]:
    """The points of each heat pump, between which its efficiency is drawn."""
    lines: list[str] = []
    for source in ledger.sources:
        if source.cop:
            points = ", ".join(
                f"{p.cop:g} at {show_figure(p.outdoor_c, Measure.TEMPERATURE, style)}" for p in source.cop
            )
            lines += screen.prose(f"{source.name} gives for each kWh it takes (COP): {points}.", indent=2)
    return lines


def rocket_lines(ledger: Ledger, screen: Screen) -> list[str]:
    """That nobody has measured rocket heaters, with the range taken and the cap."""
    rockets = [s for s in ledger.sources if s.kind.value in ROCKET_KINDS]
    if not rockets:
        return []
    taken = ", ".join(
        f"{s.name} {s.efficiency.likely * 100:.0f} % ({s.efficiency.low * 100:.0f} to {s.efficiency.high * 100:.0f})"
        for s in rockets
    )
    text = (
        f"For rocket stoves and rocket mass heaters no accredited measurement of the heat delivered was found; taken "
        f"here: {taken} of the gross heat, never above {WOOD_CAP * 100:.0f} %."
    )
    return screen.prose(text, indent=2)
