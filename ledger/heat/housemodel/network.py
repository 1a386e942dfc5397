"""Masses, conductances and how heat comes in: the model's equations in matrix form, one set a row of a batch."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.priors import Figure, HouseNumbers
from ledger.heat.housemodel.structure import AIR, BELOW_LADDER_M, LADDER_M, Floor, Structure

Floats = NDArray[np.float64]
Values = Mapping[Figure, Floats]

TOP = 1


@dataclass(frozen=True, slots=True)
class Build:
    """Which parts of the builds stand in a run; `envelope`: the cover as it stands now, not as it was before."""

    tank: bool
    bed: bool
    envelope: bool


BUILT = Build(tank=True, bed=True, envelope=True)
BARE = Build(tank=False, bed=False, envelope=False)


@dataclass(frozen=True, slots=True, eq=False)
class Network:
    """A house as masses and links, (batch, ...).

    Attributes
    ----------
    mass_j_per_k : (batch, nodes). [J/K]
    link_w_per_k : between nodes, symmetric, zero diagonal, fan off: (batch, nodes, nodes). [W/K]
    outdoor_w_per_k : air to outdoors: (batch,). [W/K]
    deep_w_per_k : to the deep ground: (batch, nodes). [W/K]
    deep_over_k : that ground over the one under the floor: (batch, nodes). [K]
    sun_m2 : heat from one W/m2 of sun: (batch, nodes). [m2]
    """

    mass_j_per_k: Floats
    link_w_per_k: Floats
    outdoor_w_per_k: Floats
    deep_w_per_k: Floats
    deep_over_k: Floats
    sun_m2: Floats


def network(values: Values, structure: Structure, house: HouseNumbers, stands: Build) -> Network:
    """Put the masses and links of a structure together.

    Without the tank its node is cut off from the house, and the sun that it took falls on the floor. Without the bed's
    fan the bed stays what it is, ground.

    Parameters
    ----------
    values : fitted figures, one entry a row of the batch.
    structure : which masses.
    house : the ledger's figures.
    stands : which parts of the builds stand.

    Returns
    -------
    Network
    """
    batch, nodes = len(values[Figure.HEAT_LOSS]), structure.nodes
    mass, deep = np.ones((batch, nodes)), np.zeros((batch, nodes))
    link = np.zeros((batch, nodes, nodes))
    mass[:, AIR] = values[Figure.AIR_MASS]
    mass[:, structure.light_node] = values[Figure.LIGHT_MASS]
    _join(link, AIR, structure.light_node, values[Figure.LIGHT_LINK])
    over = np.zeros((batch, nodes))
    _add_floor(values, structure, house, (mass, link, deep))
    if (tank := structure.tank_node) is not None:
        mass[:, tank] = values[Figure.TANK_MASS]
        if stands.tank:
            _join(link, AIR, tank, values[Figure.TANK_LINK])
    if (near := structure.near_node) is not None and (far := structure.far_node) is not None:
        mass[:, near], mass[:, far] = values[Figure.BED_NEAR_MASS], values[Figure.BED_FAR_MASS]
        _join(link, near, far, values[Figure.BED_INSIDE])
        deep[:, far] = values[Figure.BED_DOWN]
        over[:, far] = values[Figure.BED_DEEP]
        _join(link, near, structure.under_bed_layer, values[Figure.BED_UP])
    return Network(mass, link, values[Figure.HEAT_LOSS], deep, over, _sun(values, structure, stands, nodes))


def step_matrix(
    net: Network,
    *,
    step_s: float,
    loss_factor: float,
    fan: tuple[int | None, Floats | float] = (None, 0.0),
) -> Floats:
    """The matrix that takes heat stored and put in over a step to temperatures at its end.

        (C/Δt + K)·T_new = C/Δt·T_old + q        (implicit Euler: stable at any step, closes the balance exactly)

    Parameters
    ----------
    net : the house.
    step_s : length of a step. [s]
    loss_factor : heat loss to outdoors over that of the network (a screen open by day, another envelope).
    fan : the bed's node (None: no bed) and the conductance that the fan adds between air and it. [W/K]

    Returns
    -------
    array : (batch, nodes, nodes). [K/W]
    """
    link = net.link_w_per_k
    left = -link
    every = np.arange(net.mass_j_per_k.shape[1])
    left[:, every, every] = link.sum(axis=2) + net.deep_w_per_k + net.mass_j_per_k / step_s
    left[:, AIR, AIR] += net.outdoor_w_per_k * loss_factor
    node, flow = fan
    if node is not None and np.any(flow):
        for row, sign in ((AIR, 1.0), (node, -1.0)):
            left[:, row, AIR] += sign * flow
            left[:, row, node] -= sign * flow
    return np.asarray(np.linalg.inv(left), dtype=np.float64)


def _join(link: Floats, one: int, other: int, conductance: Floats | float) -> None:
    link[:, one, other] += conductance
    link[:, other, one] += conductance


def _add_floor(values: Values, structure: Structure, house: HouseNumbers, into: tuple[Floats, Floats, Floats]) -> None:
    mass, link, deep = into
    area = house.floor_area_m2
    if structure.floor is Floor.TWO_LAYERS:
        mass[:, TOP], mass[:, TOP + 1] = values[Figure.FLOOR_TOP_MASS], values[Figure.FLOOR_LOW_MASS]
        _join(link, AIR, TOP, values[Figure.FLOOR_FILM])
        _join(link, TOP, TOP + 1, values[Figure.FLOOR_INSIDE])
        deep[:, TOP + 1] = values[Figure.FLOOR_DOWN]
        return
    through = values[Figure.SOIL_CONDUCTIVITY] * area
    for layer, thick in enumerate(LADDER_M):
        mass[:, TOP + layer] = values[Figure.SOIL_CAPACITY] * area * thick
    _join(link, AIR, TOP, 1.0 / (1.0 / values[Figure.FLOOR_FILM] + LADDER_M[0] / 2.0 / through))
    for layer in range(len(LADDER_M) - 1):
        _join(link, TOP + layer, TOP + layer + 1, through / ((LADDER_M[layer] + LADDER_M[layer + 1]) / 2.0))
    deep[:, structure.floor_layers] = through / (LADDER_M[-1] / 2.0 + BELOW_LADDER_M)


def _sun(values: Values, structure: Structure, stands: Build, nodes: int) -> Floats:
    taken = np.zeros((len(values[Figure.SUN_AREA]), nodes))
    floor = values[Figure.SUN_AREA] * values[Figure.SUN_FLOOR]
    taken[:, structure.light_node] = values[Figure.SUN_AREA] - floor
    taken[:, TOP] = floor
    if structure.tank_node is not None and stands.tank:
        taken[:, structure.tank_node] = floor * values[Figure.TANK_SUN]
        taken[:, TOP] -= taken[:, structure.tank_node]
    return taken


def start_temperatures(
    values: Values, structure: Structure, *, first_air_c: float, first_days_c: float, water_c: float | None
) -> Floats:
    """Temperatures of all masses before the first step.

    Parameters
    ----------
    values : fitted figures.
    structure : which masses.
    first_air_c, first_days_c : air at the first reading, and over the first three days. [°C]
    water_c : the tank's first reading. [°C]

    Returns
    -------
    array : (batch, nodes). [°C]
    """
    deep = values[Figure.DEEP]
    start = np.empty((len(deep), structure.nodes))
    start[:, AIR] = start[:, structure.light_node] = first_air_c
    depths = (0.15, 0.3, 0.5, 0.7) if structure.floor is Floor.LADDER else (0.2, 0.5)
    for layer, share in enumerate(depths):
        start[:, TOP + layer] = (first_days_c + values[Figure.FLOOR_START]) * (1.0 - share) + (deep + 2.0) * share
    if structure.tank_node is not None:
        start[:, structure.tank_node] = first_days_c if water_c is None else water_c
    if structure.near_node is not None and structure.far_node is not None:
        start[:, structure.near_node] = start[:, structure.far_node] = (
            deep + values[Figure.BED_DEEP] + values[Figure.BED_START]
        )
    return start
