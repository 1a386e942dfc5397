"""Every way to buy heat, as backup and as the alternative to the build."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from ledger.model.values import MoneyRange, Spread


class Kind(StrEnum):
    """Kinds of heat source; each has its defaults in `ledger.sources`."""

    ELECTRIC = "electric resistance"
    HEAT_PUMP = "heat pump"
    WOOD_STOVE = "wood stove"
    ROCKET_STOVE = "rocket stove"
    ROCKET_MASS = "rocket mass heater"
    PROPANE = "propane"
    NATURAL_GAS = "natural gas"
    HEATING_OIL = "heating oil"
    PELLETS = "pellets"
    OTHER = "other"

    @property
    def electric(self) -> bool:
        """Whether its fuel is electricity."""
        return self in (Kind.ELECTRIC, Kind.HEAT_PUMP)


@dataclass(frozen=True, slots=True)
class Tariff:
    """A price per unit from a date on."""

    since: date
    price: Spread


@dataclass(frozen=True, slots=True)
class CopPoint:
    """Coefficient of performance of a heat pump at an outdoor temperature."""

    outdoor_c: float
    cop: float


@dataclass(frozen=True, slots=True)
class Source:
    """One way to buy heat.

    `price` per `unit`; `heat_per_unit_kwh` gross heat in one unit; `efficiency` delivered / gross. A heat pump with
    `cop` points has an efficiency that follows the outdoor temperature; `efficiency` is then 1 and unused.
    None means unknown and is shown as such, never as 0.
    """

    name: str
    kind: Kind
    unit: str
    price: Spread
    heat_per_unit_kwh: Spread
    efficiency: Spread
    price_growth: Spread
    capital: MoneyRange | None
    life_years: Spread
    upkeep_per_year: MoneyRange
    cop: tuple[CopPoint, ...] = ()
    bought: date | None = None
    output_kw: Spread | None = None
    units: int = 1
    hours_per_unit: Spread | None = None
    burn_hours: Spread | None = None
    needs_mains: bool | None = None
    backup: bool = False
    then: str | None = None
    tariffs: tuple[Tariff, ...] = ()
    heat_basis: str = ""
    line: int | None = None
