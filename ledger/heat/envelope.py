"""How many watts the house loses for each kelvin over outdoors, by part, with and without its builds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from ledger.model.build import Before, Build, Hours
from ledger.model.house import House
from ledger.model.values import Spread

Number = float | NDArray[np.float64]

SPECIFIC_HEAT_OF_AIR_J_PER_KG_K = 1006.0
GAS_CONSTANT_OF_DRY_AIR_J_PER_KG_K = 287.055
INDOOR_AIR_K = 293.15
SEA_LEVEL_PRESSURE_PA = 101325.0
COVER = "cover"

Draws = Mapping[str, NDArray[np.float64]]
NO_DRAWS: Draws = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class HeatLoss:
    """Heat-loss coefficient by part [W/K]. Arrays where values were drawn, one entry a draw."""

    conduction_w_per_k: Number
    air_leakage_w_per_k: Number
    edge_w_per_k: Number

    @property
    def total_w_per_k(self) -> Number:
        """Sum of the parts [W/K]."""
        return self.conduction_w_per_k + self.air_leakage_w_per_k + self.edge_w_per_k


@dataclass(frozen=True, slots=True)
class Envelope:
    """The house as it stands and bare (nothing built), by night and by day (a screen is closed only at night).

    Without a change of the envelope that works at night only, `day` equals `night`.
    """

    night: HeatLoss
    day: HeatLoss
    bare_night: HeatLoss
    bare_day: HeatLoss


@dataclass(frozen=True, slots=True)
class Doubt:
    """An input of the heat-loss coefficient that carries a range; `path` names it in draws and drivers."""

    path: str
    spread: Spread


@dataclass(slots=True)
class _Parts:
    """Values in use while a house is put together."""

    areas: dict[str, Number] = field(default_factory=dict)
    u_values: dict[str, Number] = field(default_factory=dict)
    lengths: dict[str, Number] = field(default_factory=dict)
    losses: dict[str, Number] = field(default_factory=dict)
    volume_m3: Number = 0.0
    air_changes_per_h: Number = 0.0


def air_pressure_pa(elevation_m: float) -> float:
    """Pressure of the standard atmosphere at a height.

    >>> air_pressure_pa(0.0)
    101325.0

        p(z) = 101325 · (1 − 2.25577e-5 · z)^5.25588

    Parameters
    ----------
    elevation_m : height above the sea. [m]

    Returns
    -------
    float : pressure. [Pa]

    Source
    ------
    ISO 2533:1975; ASHRAE Handbook, Fundamentals.
    """
    return float(SEA_LEVEL_PRESSURE_PA * (1.0 - 2.25577e-5 * elevation_m) ** 5.25588)


def air_density_kg_per_m3(elevation_m: float) -> float:
    """Density of dry air at 20 °C under the pressure of that height.

        ρ = p(z) / (287.055 · 293.15)

    Differs from the density of the standard atmosphere, which also holds the colder air aloft; a house heats its air.

    Parameters
    ----------
    elevation_m : height above the sea. [m]

    Returns
    -------
    float : density. [kg/m3]

    Source
    ------
    Gas law with the pressure of ISO 2533:1975.
    """
    return air_pressure_pa(elevation_m) / (GAS_CONSTANT_OF_DRY_AIR_J_PER_KG_K * INDOOR_AIR_K)


def heat_loss(house: House, *, elevation_m: float, draws: Draws = NO_DRAWS) -> HeatLoss:
    """Heat-loss coefficient of the house as it stands, with its builds (a night screen closed).

        H = Σ U·A + Σ ψ·L + ρ·c_p·V·n/3600

    Differs from a figure by floor area: the envelope is two and a half to four times the floor.

    Parameters
    ----------
    house : the structure. [m2, W/m2/K, m, W/m/K, m3, 1/h]
    elevation_m : height above the sea. [m]
    draws : values to use in place of the likely ones, by the path of `doubts`. [as the input]

    Returns
    -------
    HeatLoss : parts and total. [W/K]

    Source
    ------
    ISO 13789:2017; greenhouse form in ANSI/ASABE EP406.
    """
    return _coefficient(_as_it_stands(house, draws), elevation_m)


def envelope(house: House, builds: Iterable[Build], *, elevation_m: float, draws: Draws = NO_DRAWS) -> Envelope:
    """Heat-loss coefficients of the house as it stands and of the bare house, by night and by day.

    The bare house has, in place of every part that a build changed, what stood there before; where two builds name
    the same part, the one that loses most, since without both of them it would be there.

    Parameters
    ----------
    house : the structure as it stands. [SI]
    builds : the builds whose `before` is undone in the bare house.
    elevation_m : height above the sea. [m]
    draws : values to use in place of the likely ones, by the path of `doubts`. [as the input]

    Returns
    -------
    Envelope : four coefficients. [W/K]

    Source
    ------
    ISO 13789:2017. That a night screen is open by day: from its working.
    """
    builds = tuple(builds)
    night_only = tuple(_changes(builds, hours=(Hours.NIGHT,), draws=draws))
    every = tuple(_changes(builds, hours=(Hours.ALWAYS, Hours.NIGHT), draws=draws))
    return Envelope(
        night=_coefficient(_as_it_stands(house, draws), elevation_m),
        day=_coefficient(_undone(house, _as_it_stands(house, draws), night_only), elevation_m),
        bare_night=_coefficient(_undone(house, _as_it_stands(house, draws), every), elevation_m),
        bare_day=_coefficient(_undone(house, _as_it_stands(house, draws), every), elevation_m),
    )


def changes_envelope(build: Build) -> bool:
    """Whether a build changed what the house loses."""
    return bool(build.before)


def doubts(house: House, builds: Iterable[Build]) -> tuple[Doubt, ...]:
    """Name every input of the coefficients that carries a range, for draws and drivers.

    Parameters
    ----------
    house : the structure as it stands.
    builds : builds with their `before`.

    Returns
    -------
    tuple of Doubt : in the order of the ledger; inputs without a range are left out.
    """
    found = [
        Doubt("house.volume", house.volume_m3),
        Doubt("house.air_changes", house.air_changes_per_h),
    ]
    for surface in house.surfaces:
        found += [
            Doubt(f"house.surface[{surface.name}].area", surface.area_m2),
            Doubt(f"house.surface[{surface.name}].u_value", surface.u_value_w_per_m2_k),
        ]
    for edge in house.edges:
        found += [
            Doubt(f"house.edge[{edge.name}].length", edge.length_m),
            Doubt(f"house.edge[{edge.name}].loss", edge.loss_w_per_m_k),
        ]
    for build in builds:
        for number, before in enumerate(build.before):
            spread = _before_spread(before)
            found.append(Doubt(_before_path(build, number), spread))
    return tuple(d for d in found if d.spread.high > d.spread.low)


def _before_path(build: Build, number: int) -> str:
    return f"build[{build.name}].before[{number}]"


def _before_spread(before: Before) -> Spread:
    spread = before.u_value_w_per_m2_k or before.air_changes_per_h or before.loss_w_per_m_k
    if spread is None:
        raise ValueError("a change of the envelope without a value")
    return spread


def _as_it_stands(house: House, draws: Draws) -> _Parts:
    def value(path: str, spread: Spread) -> Number:
        return draws.get(path, spread.likely)

    parts = _Parts(
        volume_m3=value("house.volume", house.volume_m3),
        air_changes_per_h=value("house.air_changes", house.air_changes_per_h),
    )
    for s in house.surfaces:
        parts.areas[s.name] = value(f"house.surface[{s.name}].area", s.area_m2)
        parts.u_values[s.name] = value(f"house.surface[{s.name}].u_value", s.u_value_w_per_m2_k)
    for e in house.edges:
        parts.lengths[e.name] = value(f"house.edge[{e.name}].length", e.length_m)
        parts.losses[e.name] = value(f"house.edge[{e.name}].loss", e.loss_w_per_m_k)
    return parts


def _changes(builds: Iterable[Build], *, hours: tuple[Hours, ...], draws: Draws) -> Iterable[tuple[Before, Number]]:
    for build in builds:
        for number, before in enumerate(build.before):
            if before.hours in hours:
                yield before, draws.get(_before_path(build, number), _before_spread(before).likely)


def _undone(house: House, parts: _Parts, changes: Iterable[tuple[Before, Number]]) -> _Parts:
    """The parts with what stood there before; the leakiest where several changes name one part."""
    air: list[Number] = []
    u_values: dict[str, list[Number]] = {}
    losses: dict[str, list[Number]] = {}
    for before, value in changes:
        if before.air_changes_per_h is not None:
            air.append(value)
        elif before.surface is not None:
            for name in _surfaces_named(house, before.surface):
                u_values.setdefault(name, []).append(value)
        elif before.edge is not None:
            losses.setdefault(before.edge, []).append(value)
        else:
            raise ValueError("a change of the envelope that names no part of it")
    if air:
        parts.air_changes_per_h = _greatest(air)
    parts.u_values |= {name: _greatest(values) for name, values in u_values.items()}
    parts.losses |= {name: _greatest(values) for name, values in losses.items()}
    return parts


def _surfaces_named(house: House, name: str) -> tuple[str, ...]:
    """Surfaces that a change names; "cover" is the form's cover, whichever surfaces that is."""
    named = tuple(s.name for s in house.surfaces if s.name == name)
    if named or name != COVER:
        return named
    return tuple(s.name for s in house.surfaces if s.cover is not None)


def _greatest(values: list[Number]) -> Number:
    most = values[0]
    for value in values[1:]:
        most = np.maximum(most, value)
    return most


def _coefficient(parts: _Parts, elevation_m: float) -> HeatLoss:
    air_j_per_m3_k = air_density_kg_per_m3(elevation_m) * SPECIFIC_HEAT_OF_AIR_J_PER_KG_K
    nothing: Number = 0.0
    return HeatLoss(
        conduction_w_per_k=sum((parts.u_values[name] * area for name, area in parts.areas.items()), nothing),
        air_leakage_w_per_k=air_j_per_m3_k * parts.volume_m3 * parts.air_changes_per_h / 3600.0,
        edge_w_per_k=sum((parts.losses[name] * length for name, length in parts.lengths.items()), nothing),
    )
