"""Growing houses with other physics than the model's, many side by side, whose true answer is known.

What differs from the model: longwave loss of a cover with its own temperature to a sky of its own; leakage by wind and
stack; plants that evaporate part of the sun; soil in ten layers to three metres with an edge; a tank in two layers with
free convection; tubes with three rings of soil around them whose outer side meets the soil below; condensation in
the tubes; vents that open in proportion; sensors with noise, drift and offset; steps of five minutes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tests.housemodel.weather import PER_DAY, STEP_S, Weather

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

LAYERS_M = np.array([0.03, 0.05, 0.08, 0.12, 0.18, 0.25, 0.35, 0.45, 0.6, 0.9])
TUBE_LAYER = 5
RINGS = 3
WATER_J = 4.18e6
SIGMA = 5.67e-8


@dataclass(frozen=True, slots=True, eq=False)
class Houses:
    """Figures of the houses, one entry a house. SI units throughout."""

    floor_m2: Floats
    cover_m2: Floats
    volume_m3: Floats
    inner_film: Floats
    cover_r: Floats
    leak_per_h: Floats
    density: Floats
    edge_w_per_k: Floats
    transmission: Floats
    low_sun: Floats
    evaporated: Floats
    on_floor: Floats
    plant_j_per_k: Floats
    soil_w_per_m_k: Floats
    soil_j_per_m3_k: Floats
    tank_m3: Floats
    tank_face_m2: Floats
    tank_lit: Floats
    tubes: Floats
    tube_flow_w_per_k: Floats
    tube_ntu: Floats
    ring_j_per_k: Floats
    ring_w_per_k: Floats
    wet: Floats
    fan_w: Floats
    warm_on_c: Floats
    cold_on_c: Floats
    over_on_k: Floats
    vent_c: Floats
    backup_w: Floats
    hold_c: Floats


@dataclass(frozen=True, slots=True, eq=False)
class Ran:
    """A run, every third step (15 minutes) as instants, and the heater's energy. [°C, -, W, kWh]"""

    air_c: Floats
    tank_c: Floats
    fan_on: Floats
    heater_w: Floats
    heater_kwh: Floats


def run(h: Houses, w: Weather, *, tank: bool, bed: bool, hold_c: Floats | None, off: Flags | None = None) -> Ran:
    """Run all houses through their winter.

    `hold_c` None: free, with the backup heater of limited power at the hold temperature; else an ideal heater holds it.
    `off`: steps at which the grower has switched the fan off.
    """
    n, steps = len(h.floor_m2), len(w.air_c)
    air, cover, plants = w.air_c[0] + 4.0, w.air_c[0] + 2.0, w.air_c[0] + 4.0
    depth = np.cumsum(LAYERS_M) - LAYERS_M / 2
    soil = w.deep_c[None] + (w.air_c[:PER_DAY].mean(0) + 9.0 - w.deep_c)[None] * np.exp(-depth / 1.6)[:, None]
    rings = np.repeat(soil[TUBE_LAYER][None], RINGS, axis=0)
    top, low = air + 1.0, air.copy()
    running = np.zeros(n, dtype=bool)
    has_tank, has_bed = (h.tank_m3 > 0) & tank, (h.tubes > 0) & bed
    kept, heat = steps // 3, np.zeros(n)
    out = [np.empty((kept, n)) for _ in range(4)]
    between = h.soil_w_per_m_k * h.floor_m2 / ((LAYERS_M[1:] + LAYERS_M[:-1]) / 2)[:, None]
    mass = h.soil_j_per_m3_k * h.floor_m2 * LAYERS_M[:, None]
    down = h.soil_w_per_m_k * h.floor_m2 / (LAYERS_M[-1] / 2 + 0.5)
    air_mass = 1.2e3 * 1.3 * h.volume_m3
    inner = h.inner_film * h.cover_m2
    heater = np.zeros(n)
    for s in range(steps):
        outdoors, up = w.air_c[s], np.maximum(np.sin(w.elevation[s]), 0.0)
        lit = (
            h.transmission
            * h.floor_m2
            * (w.beam_normal[s] * (up + h.low_sun * np.cos(w.elevation[s]) * (up > 0)) + w.diffuse[s])
        )
        on_tank = np.where(has_tank, h.tank_lit * h.on_floor * lit, 0.0)
        on_floor, on_plants = h.on_floor * lit - on_tank, (1.0 - h.on_floor) * lit
        evaporated = h.evaporated * on_plants * np.clip((air - 5.0) / 15.0, 0.0, 1.0)
        sky = (outdoors + 273.15) * (0.72 + 0.25 * w.cloud[s]) ** 0.25
        outer = (5.0 + 3.0 * w.wind[s]) * h.cover_m2
        dew = np.maximum(0.0, (air - cover - 4.0)) * 0.6 * h.cover_m2
        through = (air - cover) / (1.0 / inner + h.cover_r / h.cover_m2) + dew
        balance = 1.0 / (1.0 / inner + h.cover_r / h.cover_m2)
        cover = (balance * air + outer * outdoors - 0.85 * SIGMA * h.cover_m2 * 0.7 * _linear(cover, sky) + dew) / (
            balance + outer + _slope(cover, h.cover_m2)
        )
        stack = np.sqrt(np.abs(air - outdoors) / 15.0)
        changes = h.leak_per_h * (0.35 + 0.18 * w.wind[s] + 0.35 * stack)
        leak = changes * h.volume_m3 * h.density * 1006.0 / 3600.0
        vent = np.clip((air - h.vent_c) / 2.0, 0.0, 1.0) * 25.0 * h.volume_m3 * h.density * 1006.0 / 3600.0
        film = (3.0 + 1.6 * np.cbrt(np.abs(air - soil[0]))) * h.floor_m2
        to_floor = film * (air - soil[0])
        to_plants = 6.0 * h.floor_m2 * 1.2 * (air - plants)
        tank_link = np.where(has_tank, h.tank_face_m2 * (5.0 + 2.2 * np.cbrt(np.abs(air - top))), 0.0)
        to_tank = tank_link * 0.5 * (air - top), tank_link * 0.5 * (air - low)
        running = np.where(has_bed, _switch(h, running, air, rings[0]), False)
        if off is not None:
            running = running & ~off[s]
        effect = 1.0 - np.exp(-h.tube_ntu)
        blown = np.where(running, h.tube_flow_w_per_k * effect * (air - rings[0]), 0.0)
        wet = np.where(blown > 0, h.wet * blown * np.clip((air - 12.0) / 10.0, 0.0, 1.0), 0.0)
        fan = np.where(running, h.fan_w, 0.0)
        gains = (
            on_plants * 0.15
            + fan
            - through
            - (leak + vent) * (air - outdoors)
            - h.edge_w_per_k * 0.4 * (air - outdoors)
        )
        gains = gains - to_floor - to_plants - to_tank[0] - to_tank[1] - blown
        lever = air_mass / STEP_S + balance + leak + vent + film + 7.2 * h.floor_m2 + tank_link
        lever = lever + np.where(running, h.tube_flow_w_per_k * effect, 0.0)
        free = air + gains / lever
        wanted = np.maximum(0.0, ((h.hold_c if hold_c is None else hold_c) - free) * lever)
        heater = np.minimum(wanted, h.backup_w) if hold_c is None else wanted
        heat += heater * STEP_S / 3.6e6
        new = free + heater / lever
        plants = plants + STEP_S / h.plant_j_per_k * (0.85 * on_plants - evaporated + 7.2 * h.floor_m2 * (new - plants))
        flows = between * (soil[:-1] - soil[1:])
        change = np.zeros_like(soil)
        change[:-1] -= flows
        change[1:] += flows
        change[0] += on_floor + film * (new - soil[0]) - h.edge_w_per_k * 0.6 * (soil[0] - outdoors)
        change[-1] -= down * (soil[-1] - w.deep_c)
        ring = h.ring_w_per_k * (rings[:-1] - rings[1:])
        outermost = np.where(h.tubes > 0, h.ring_w_per_k * 0.7 * (rings[-1] - soil[TUBE_LAYER + 1]), 0.0)
        change[TUBE_LAYER + 1] += outermost
        soil = soil + STEP_S * change / mass
        rings = rings.copy()
        into = np.where(running, h.tube_flow_w_per_k * effect * (new - rings[0]) + wet, 0.0)
        rings[0] += STEP_S / h.ring_j_per_k * (into - ring[0])
        rings[1] += STEP_S / (2.0 * h.ring_j_per_k) * (ring[0] - ring[1])
        rings[2] += STEP_S / (4.0 * h.ring_j_per_k) * (ring[1] - outermost)
        water = np.maximum(h.tank_m3, 1.0) * WATER_J / 2
        mix = np.where(top < low, 2000.0, 60.0) * (top - low)
        top = top + STEP_S / water * (0.65 * on_tank + tank_link * 0.5 * (new - top) - mix)
        low = low + STEP_S / water * (0.35 * on_tank + tank_link * 0.5 * (new - low) + mix)
        air = new
        if s % 3 == 0 and s // 3 < kept:
            for store, value in zip(out, (air, (top + low) / 2, running.astype(float), heater), strict=True):
                store[s // 3] = value
    return Ran(out[0], out[1], out[2], out[3], heat)


def _linear(cover_c: Floats, sky_k: Floats) -> Floats:
    """Fourth-power difference less its slope times the cover's temperature, so that the cover can be solved for."""
    k = cover_c + 273.15
    return k**4 - sky_k**4 - 4.0 * k**3 * cover_c


def _slope(cover_c: Floats, cover_m2: Floats) -> Floats:
    return 0.85 * SIGMA * cover_m2 * 0.7 * 4.0 * (cover_c + 273.15) ** 3


def _switch(h: Houses, running: Flags, air: Floats, bed: Floats) -> Flags:
    """Charges when the air is hot and the bed cooler, gives back when the air is cold and the bed warmer."""
    less = np.where(running, 0.5, 0.0)
    nearer = np.where(running, h.over_on_k * 0.5, 0.0)
    warm = (air > h.warm_on_c - less) & (air - bed > h.over_on_k - nearer)
    cold = (air < h.cold_on_c + less) & (bed - air > h.over_on_k - nearer)
    return np.asarray(warm | cold)
