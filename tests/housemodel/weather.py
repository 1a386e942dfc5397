"""Made-up winters for the simulator: air, sun (beam and diffuse), wind, humidity of places that do not exist."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

STEP_S = 300.0
PER_DAY = 288
FIRST_DAY_OF_YEAR = 274
DAYS = 213


@dataclass(frozen=True, slots=True, eq=False)
class Weather:
    """By five-minute step, a column a place. [°C, W/m2, W/m2, 1, m/s, rad]"""

    air_c: Floats
    beam_normal: Floats
    diffuse: Floats
    cloud: Floats
    wind: Floats
    elevation: Floats
    deep_c: Floats


def make_weather(latitude_deg: Floats, mean_c: Floats, swing_k: Floats, cloudy: Floats, seed: int) -> Weather:
    """A winter from October to April for each place.

    Clouds come as spells of hours to days (a hidden walk squashed to 0 to 1, quick flicker on top); fronts move the air
    by days; clear nights are colder, clear days warmer; wind comes in spells and gusts.
    """
    rng = np.random.default_rng(seed)
    steps, places = DAYS * PER_DAY, len(latitude_deg)
    hour = (np.arange(steps) % PER_DAY) / 12.0
    day = FIRST_DAY_OF_YEAR + np.arange(steps) / PER_DAY
    declination = np.radians(23.45) * np.sin(2 * np.pi * (284 + day) / 365.0)
    lat = np.radians(latitude_deg)
    sine = (
        np.sin(lat)[None] * np.sin(declination)[:, None]
        + np.cos(lat)[None] * (np.cos(declination) * np.cos(np.radians(15.0 * (hour - 12.0))))[:, None]
    )
    elevation = np.arcsin(np.clip(sine, -1.0, 1.0))
    cloud = squash(walk(rng, steps, places, 20 * 12.0) * 1.4 + 2.6 * (cloudy[None] - 0.5))
    cloud = np.clip(cloud + 0.12 * walk(rng, steps, places, 4.0), 0.0, 1.0)
    front = walk(rng, steps, places, 60 * 12.0)
    season = mean_c[None] - swing_k[None] * np.cos(2 * np.pi * (day[:, None] - 20.0) / 365.0)
    clear_swing = (1.0 - cloud) * 6.0 * (np.sin(2 * np.pi * (hour - 9.0) / 24.0))[:, None]
    air = season + 4.0 * front + clear_swing + 1.2 * np.sin(2 * np.pi * (hour - 9.0) / 24.0)[:, None]
    air += 0.25 * walk(rng, steps, places, 6.0)
    up = np.maximum(sine, 0.0)
    beam = np.where(up > 0.02, 950.0 * np.exp(-0.15 / np.maximum(up, 0.02)), 0.0) * (1.0 - cloud) ** 1.2
    diffuse = up * (90.0 + 260.0 * cloud * (1.0 - 0.6 * cloud)) * (up > 0.0)
    wind = np.maximum(0.2, 2.2 + 1.6 * walk(rng, steps, places, 15 * 12.0) + 0.6 * walk(rng, steps, places, 3.0))
    deep = mean_c + 2.0 + rng.normal(0.0, 1.5, places)
    return Weather(air, beam, diffuse, cloud, wind, elevation, deep)


def walk(rng: np.random.Generator, steps: int, places: int, memory_steps: float) -> Floats:
    """A walk of unit spread that forgets over `memory_steps`."""
    from scipy.signal import lfilter

    keep = np.exp(-1.0 / memory_steps)
    noise = rng.normal(0.0, np.sqrt(1.0 - keep**2), (steps, places))
    noise[0] /= np.sqrt(1.0 - keep**2)
    return np.asarray(lfilter([1.0], [1.0, -keep], noise, axis=0))


def squash(x: Floats) -> Floats:
    """To 0..1."""
    return 1.0 / (1.0 + np.exp(-x))
