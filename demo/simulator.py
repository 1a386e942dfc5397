"""A growing house of a few masses, run through a winter: what writes the demo logs, and knows the true answer.

Nothing here is part of the program; the program never sees these numbers, only the logs. Air, floor, ground, a water
tank and a bed of buried tubes exchange heat by fixed conductances; the air is stepped implicitly, the masses
explicitly (their time constants are hours, the step is five minutes). Wind opens the leaks, clear nights cool the
cover, vents open when it gets hot, a fan runs by thermostat. Round plausible figures throughout, no source claimed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
STEP_S = 300.0
CP_AIR_J_PER_KG_K = 1006.0


@dataclass(frozen=True)
class Weather:
    """Outdoor conditions, one value a step: air [°C], sun on the horizontal and on a south wall [W/m2], wind [m/s],
    and how clear the sky is, 0 to 1."""

    outdoor_c: Floats
    sun_w_per_m2: Floats
    south_w_per_m2: Floats
    wind_m_per_s: Floats
    clearness: Floats


@dataclass(frozen=True)
class Tubes:
    """Air tubes under the floor with a fan: a near and a far ring of soil, and a thermostat with hysteresis."""

    air_flow_m3_per_h: float
    near_j_per_k: float
    far_j_per_k: float
    near_far_w_per_k: float
    fan_w: float
    charge_above_c: float
    give_below_c: float
    effectiveness: float = 0.75
    condensing: float = 1.4  # moist warm air leaves more heat in a cool tube than its temperature says


@dataclass(frozen=True)
class Tank:
    """A dark water tank that stands in the sun."""

    heat_j_per_k: float
    to_air_w_per_k: float
    sun_share: float


@dataclass(frozen=True)
class GrowingHouse:
    """The structure, without any build."""

    floor_m2: float
    volume_m3: float
    cover_m2: float
    south_m2: float
    u_cover_w_per_m2_k: float
    edge_w_per_k: float
    air_density_kg_per_m3: float
    calm_air_changes_per_h: float
    ground_c: float
    transmission: float = 0.68
    fabric_j_per_k: float = 0.0
    floor_to_air_w_per_m2_k: float = 3.5
    top_mid_w_per_m2_k: float = 4.0
    vents_open_c: float = 24.0


@dataclass(frozen=True)
class Heater:
    """Keeps the air at `hold_c` as far as `output_w` reaches."""

    hold_c: float
    output_w: float = 1e9


@dataclass(frozen=True)
class Run:
    """What happened: temperatures [°C], heater and fan [W], one value a step."""

    air_c: Floats
    tank_c: Floats
    heater_w: Floats
    fan_w: Floats


@dataclass
class _State:
    """Temperatures of the masses [°C] and the fan's thermostat."""

    air: float
    top: float
    mid: float
    deep: float
    near: float
    far: float
    tank: float
    fan: str = "off"


def simulate(
    house: GrowingHouse,
    weather: Weather,
    *,
    tubes: Tubes | None,
    tank: Tank | None,
    heater: Heater | None,
    mains: NDArray[np.bool_],
    fan_broken: NDArray[np.bool_] | None = None,
) -> Run:
    """Run the house through the weather. `mains` is False where the power is out: neither fan nor heater runs."""
    n = len(weather.outdoor_c)
    air, water, heat, fan = (np.empty(n) for _ in range(4))
    g = house.ground_c
    state = _State(air=15.0, top=g + 4, mid=g + 4, deep=g + 1, near=g + 3, far=g + 3, tank=15.0)
    bed = tubes or Tubes(0.0, 2e7, 8e7, 900.0, 0.0, 99.0, -99.0)  # without tubes the same soil lies idle
    turns = mains if fan_broken is None else mains & ~fan_broken
    for i in range(n):
        fan[i] = _switch_fan(state, bed, bool(turns[i]))
        heat[i] = _step(state, house, weather, i, bed, tank, heater if mains[i] else None, fan[i])
        air[i], water[i] = state.air, state.tank
    return Run(air_c=air, tank_c=water, heater_w=heat, fan_w=fan)


def _switch_fan(s: _State, bed: Tubes, mains: bool) -> float:
    """Set the fan by its thermostat; return its power [W]."""
    if s.fan == "off":
        if s.air > bed.charge_above_c and s.air > s.near + 3:
            s.fan = "charge"
        elif s.air < bed.give_below_c and s.near > s.air + 2:
            s.fan = "give"
    elif (s.fan == "charge" and (s.air < bed.charge_above_c - 3 or s.air < s.near + 1)) or (
        s.fan == "give" and (s.air > bed.give_below_c + 1.5 or s.near < s.air + 1)
    ):
        s.fan = "off"
    if not mains:
        s.fan = "off"
    return bed.fan_w if s.fan != "off" else 0.0


def _step(
    s: _State,
    house: GrowingHouse,
    w: Weather,
    i: int,
    bed: Tubes,
    tank: Tank | None,
    heater: Heater | None,
    fan_w: float,
) -> float:
    """Move every mass by one step; return the heater's power [W]."""
    rho_cp = house.air_density_kg_per_m3 * CP_AIR_J_PER_KG_K
    out_c = float(w.outdoor_c[i])
    changes = house.calm_air_changes_per_h * (0.6 + 0.16 * float(w.wind_m_per_s[i]))
    vent = min(1.0, max(0.0, (s.air - house.vents_open_c) / 4.0)) * 25.0
    to_out = (
        house.cover_m2 * house.u_cover_w_per_m2_k * (1 + 0.02 * (float(w.wind_m_per_s[i]) - 2.5))
        + house.edge_w_per_k
        + rho_cp * house.volume_m3 * (changes + vent) / 3600
    )
    sun = house.transmission * (house.floor_m2 * float(w.sun_w_per_m2[i]) + house.south_m2 * float(w.south_w_per_m2[i]))
    night_sky = 5.0 * house.floor_m2 * float(w.clearness[i]) * (1.0 if w.sun_w_per_m2[i] < 5 else 0.3)
    to_tank = tank.sun_share if tank else 0.0
    floor_g = house.floor_to_air_w_per_m2_k * house.floor_m2
    flow = bed.air_flow_m3_per_h / 3600 * rho_cp * bed.effectiveness if fan_w > 0 else 0.0
    if s.fan == "charge":
        flow *= bed.condensing
    tank_g = tank.to_air_w_per_k if tank else 0.0

    capacity = (house.fabric_j_per_k + house.volume_m3 * rho_cp) / STEP_S
    gain = 0.2 * sun - night_sky + fan_w
    total = capacity + to_out + floor_g + flow + tank_g
    pull = capacity * s.air + to_out * out_c + floor_g * s.top + flow * s.near + tank_g * s.tank + gain
    heater_w = 0.0
    if heater is not None:
        heater_w = min(heater.output_w, max(0.0, heater.hold_c * total - pull))
    s.air = (pull + heater_w) / total

    a = house.floor_m2
    top_mid, mid_deep, mid_far, far_deep = house.top_mid_w_per_m2_k * a, 1.5 * a, 1.5 * a, 0.6 * a
    q_top = floor_g * (s.air - s.top) + (0.55 - to_tank) * sun - top_mid * (s.top - s.mid)
    q_mid = top_mid * (s.top - s.mid) - mid_deep * (s.mid - s.deep) - mid_far * (s.mid - s.far)
    q_near = flow * (s.air - s.near) - bed.near_far_w_per_k * (s.near - s.far)
    q_far = bed.near_far_w_per_k * (s.near - s.far) + mid_far * (s.mid - s.far) - far_deep * (s.far - s.deep)
    q_deep = mid_deep * (s.mid - s.deep) + far_deep * (s.far - s.deep) - 0.8 * a * (s.deep - house.ground_c)
    s.top += q_top * STEP_S / (a * 0.06 * 2.0e6)
    s.mid += q_mid * STEP_S / (a * 0.25 * 2.2e6)
    s.deep += q_deep * STEP_S / (a * 1.0 * 2.3e6)
    s.near += q_near * STEP_S / bed.near_j_per_k
    s.far += q_far * STEP_S / bed.far_j_per_k
    if tank:
        s.tank += (tank_g * (s.air - s.tank) + to_tank * sun) * STEP_S / tank.heat_j_per_k
    return heater_w


def sun_on_site(
    hours_utc: Floats, day_of_year: Floats, latitude_deg: float, longitude_deg: float
) -> tuple[Floats, Floats, Floats]:
    """Sine of the sun's elevation, cosine of its bearing from south, sun outside the air on the horizontal [W/m2].

    Declination and equation of time by the short series of Spencer 1971.
    """
    b = 2 * math.pi * (day_of_year - 1) / 365
    declination = (
        0.006918
        - 0.399912 * np.cos(b)
        + 0.070257 * np.sin(b)
        - 0.006758 * np.cos(2 * b)
        + 0.000907 * np.sin(2 * b)
        - 0.002697 * np.cos(3 * b)
        + 0.00148 * np.sin(3 * b)
    )
    equation_min = 229.18 * (
        0.000075 + 0.001868 * np.cos(b) - 0.032077 * np.sin(b) - 0.014615 * np.cos(2 * b) - 0.040849 * np.sin(2 * b)
    )
    angle = np.radians(15 * (hours_utc + longitude_deg / 15 + equation_min / 60 - 12))
    lat = math.radians(latitude_deg)
    sin_el = np.sin(lat) * np.sin(declination) + np.cos(lat) * np.cos(declination) * np.cos(angle)
    cos_el = np.sqrt(1 - sin_el**2)
    cos_south = (np.sin(lat) * sin_el - np.sin(declination)) / np.maximum(1e-9, np.cos(lat) * cos_el)
    outside = 1361.0 * (1 + 0.034 * np.cos(b)) * np.maximum(0.0, sin_el)
    return sin_el, np.clip(cos_south, -1, 1), outside


def south_wall(sun: Floats, clearness: Floats, sin_el: Floats, cos_south: Floats) -> Floats:
    """Sun on a vertical south wall [W/m2]: direct part by geometry, half the sky, half of 0.25 off the ground.

    Diffuse share of the horizontal sun by the correlation of Erbs, Klein & Duffie 1982.
    """
    k = np.clip(clearness, 0, 0.8)
    middle = 0.9511 - 0.1604 * k + 4.388 * k**2 - 16.638 * k**3 + 12.336 * k**4
    diffuse = sun * np.where(k <= 0.22, 1 - 0.09 * k, middle)
    direct_normal = np.minimum(1000.0, (sun - diffuse) / np.maximum(0.08, sin_el))
    direct = direct_normal * np.sqrt(1 - sin_el**2) * np.maximum(0.0, cos_south)
    return np.where(sin_el > 0, direct + 0.5 * diffuse + 0.125 * sun, 0.0)
