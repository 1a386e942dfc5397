"""The place, the structure that is kept warm, and what one would pay to hold."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from ledger.model.values import Spread, Window


class BareWay(StrEnum):
    """How the bare house is reckoned (method: the bare house)."""

    AUTO = "auto"
    TWIN = "twin"
    FAN_OFF = "fan-off"
    MODEL = "model"
    LIFT = "lift"


class CountRule(StrEnum):
    """Which hours count as heat need: dark hours only, or day hours too by a heat balance."""

    DARK = "dark"
    BALANCE = "balance"


class GddMethod(StrEnum):
    """How growing degree-days are reckoned."""

    HOURLY = "hourly"
    AVERAGE = "average"
    CAPPED = "capped"
    SINE = "sine"


@dataclass(frozen=True, slots=True)
class Site:
    """Where the house stands."""

    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    timezone: str
    design_temperature_c: float | None = None


@dataclass(frozen=True, slots=True)
class Surface:
    """A part of the envelope that loses heat through its area."""

    name: str
    area_m2: Spread
    u_value_w_per_m2_k: Spread
    cover: str | None = None


@dataclass(frozen=True, slots=True)
class Edge:
    """Heat lost along a footing, per length."""

    name: str
    length_m: Spread
    loss_w_per_m_k: Spread


@dataclass(frozen=True, slots=True)
class House:
    """The house as it stands now, with its builds.

    `unheated_lift_k` is None when the grower gave none: then it follows from `night_floor_heat_w_per_m2`, the floor
    area and the heat-loss coefficient (heat.bare).
    """

    floor_area_m2: Spread
    volume_m3: Spread
    surfaces: tuple[Surface, ...]
    edges: tuple[Edge, ...]
    air_changes_per_h: Spread
    unheated_lift_k: Spread | None
    night_floor_heat_w_per_m2: Spread
    bare: BareWay
    sun_gain: Spread
    form: str | None = None


@dataclass(frozen=True, slots=True)
class Hold:
    """The temperature that one would pay to hold, in which part of the year, in which hours."""

    temperature_c: float
    season: Window
    count: CountRule = CountRule.DARK
    backup_none: bool = False


@dataclass(frozen=True, slots=True)
class Crop:
    """How growing degree-days are counted."""

    base_c: float
    ceiling_c: float | None
    method: GddMethod
    window: Window
