"""Farms drawn for the calibration: the houses, their logs as files, the ledger that a grower writes, the truth."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from tests.housemodel.simulator import Houses, Ran, run
from tests.housemodel.weather import DAYS, PER_DAY, Weather, make_weather

Floats = NDArray[np.float64]

FIRST = pd.Timestamp("2024-10-01", tz="UTC")


@dataclass(frozen=True, slots=True, eq=False)
class Farms:
    """Houses with their weather, what their loggers have, and how wrong their growers' figures are."""

    houses: Houses
    weather: Weather
    latitude_deg: Floats
    elevation_m: Floats
    u_stated: Floats
    leak_stated: Floats
    tank_stated_m3: Floats
    sun_logged: NDArray[np.bool_]
    heater_logged: NDArray[np.bool_]
    off_blocks: NDArray[np.bool_]
    holes: NDArray[np.int64]
    first_day: int


@dataclass(frozen=True, slots=True)
class Truth:
    """What a heater would have used at the hold temperature. [kWh]"""

    bare_kwh: float
    built_kwh: float

    @property
    def avoided_kwh(self) -> float:
        """Bare less built."""
        return self.bare_kwh - self.built_kwh


def draw_farms(count: int, seed: int, *, days: tuple[int, int] = (0, DAYS)) -> Farms:
    """Draw farms of all kinds: tubes, tanks, both; glazing, leaks, climates; with and without sun; wrong ledgers."""
    rng = np.random.default_rng(seed)
    kind = np.arange(count) % 4
    tubes = np.isin(kind, (0, 1, 3)).astype(float)
    tank = np.isin(kind, (2, 3))
    floor = rng.uniform(30.0, 140.0, count)
    cover = floor * rng.uniform(1.7, 2.6, count)
    flow = rng.uniform(2.0, 6.0, count) * floor
    tank_m3 = np.where(tank, floor * rng.uniform(0.03, 0.12, count), 0.0)
    latitude, elevation = rng.uniform(33.0, 56.0, count), rng.uniform(0.0, 2400.0, count)
    mean = rng.uniform(2.0, 11.0, count)
    weather = make_weather(latitude, mean, rng.uniform(6.0, 13.0, count), rng.uniform(0.2, 0.75, count), seed + 1)
    houses = Houses(
        floor_m2=floor,
        cover_m2=cover,
        volume_m3=floor * rng.uniform(2.2, 3.2, count),
        inner_film=rng.uniform(6.0, 9.0, count),
        cover_r=rng.choice([0.01, 0.12, 0.2, 0.3], count) * rng.uniform(0.85, 1.15, count),
        leak_per_h=rng.uniform(0.3, 1.6, count),
        density=1.2 * (1.0 - 2.25577e-5 * elevation) ** 5.25588,
        edge_w_per_k=rng.uniform(0.4, 1.3, count) * 4.1 * np.sqrt(floor),
        transmission=rng.uniform(0.35, 0.65, count),
        low_sun=rng.uniform(0.0, 0.35, count),
        evaporated=rng.uniform(0.2, 0.6, count),
        on_floor=rng.uniform(0.35, 0.75, count),
        plant_j_per_k=floor * rng.uniform(8e3, 45e3, count),
        soil_w_per_m_k=rng.uniform(0.7, 2.0, count),
        soil_j_per_m3_k=rng.uniform(1.5e6, 2.9e6, count),
        tank_m3=tank_m3,
        tank_face_m2=4.5 * np.maximum(tank_m3, 0.01) ** (2 / 3),
        tank_lit=np.where(tank, rng.uniform(0.03, 0.25, count), 0.0),
        tubes=tubes,
        tube_flow_w_per_k=flow,
        tube_ntu=rng.uniform(0.8, 2.5, count),
        ring_j_per_k=floor * rng.uniform(0.8e5, 3.0e5, count),
        ring_w_per_k=floor * rng.uniform(2.0, 7.0, count),
        wet=rng.uniform(0.0, 0.4, count),
        fan_w=flow / rng.uniform(1.0, 3.0, count),
        warm_on_c=rng.choice([18.0, 20.0, 22.0, 24.0], count),
        cold_on_c=rng.choice([5.0, 7.0, 8.0, 10.0], count),
        over_on_k=rng.uniform(1.5, 4.0, count),
        vent_c=rng.choice([25.0, 28.0, 30.0, 60.0], count),
        backup_w=np.where(rng.random(count) < 0.2, rng.uniform(1000.0, 4000.0, count), 0.0),
        hold_c=rng.choice([2.0, 3.0, 4.0, 5.0, 6.0], count),
    )
    return Farms(
        houses=houses,
        weather=_cut(weather, days),
        latitude_deg=latitude,
        elevation_m=elevation,
        u_stated=np.clip(np.exp(rng.normal(0.0, 0.15, count)), 0.7, 1.3),
        leak_stated=np.exp(rng.normal(0.0, 0.3, count)),
        tank_stated_m3=tank_m3 * np.exp(rng.normal(0.0, 0.05, count)),
        sun_logged=(np.arange(count) // 4) % 2 == 0,
        heater_logged=houses.backup_w > 0.0,
        off_blocks=(tubes > 0) & (rng.random(count) < 0.4),
        holes=rng.choice([0, 0, 1, 2], count),
        first_day=days[0],
    )


def _cut(w: Weather, days: tuple[int, int]) -> Weather:
    part = slice(days[0] * PER_DAY, days[1] * PER_DAY)
    return Weather(
        w.air_c[part], w.beam_normal[part], w.diffuse[part], w.cloud[part], w.wind[part], w.elevation[part], w.deep_c
    )


def simulate(farms: Farms, seed: int) -> tuple[Ran, tuple[Truth, ...]]:
    """The logged winter, and the truth at the hold temperature with everything and with nothing built."""
    off = _off(farms, seed)
    logged = run(farms.houses, farms.weather, tank=True, bed=True, hold_c=None, off=off)
    hold = farms.houses.hold_c
    bare = run(farms.houses, farms.weather, tank=False, bed=False, hold_c=hold).heater_kwh
    built = run(farms.houses, farms.weather, tank=True, bed=True, hold_c=hold).heater_kwh
    return logged, tuple(Truth(float(b), float(w)) for b, w in zip(bare, built, strict=True))


def _off(farms: Farms, seed: int) -> NDArray[np.bool_]:
    """Five days off in every fifty where the grower tests the fan."""
    days = np.arange(len(farms.weather.air_c)) // PER_DAY
    return ((days + seed) % 50 < 5)[:, None] & farms.off_blocks[None]


def u_value(h: Houses) -> Floats:
    """U-value a careful table would give: inner film, cover, outer film in a wind of 3 m/s."""
    return 1.0 / (1.0 / (h.inner_film + 0.5) + h.cover_r + 1.0 / 16.0)


def log_of(farms: Farms, logged: Ran, house: int, seed: int) -> pd.DataFrame:
    """What the station wrote: quarter-hour instants with noise, offset, slow drift, a tenth of a degree."""
    rng = np.random.default_rng(seed * 1000 + house)
    h, w, n = farms.houses, farms.weather, len(logged.air_c)
    every = slice(0, 3 * n, 3)
    up = np.maximum(np.sin(w.elevation[every, house]), 0.0)
    sun = w.beam_normal[every, house] * up + w.diffuse[every, house]

    def read(values: Floats, noise: float) -> Floats:
        drift = 0.15 * np.sin(np.arange(n) / n * rng.uniform(2, 9) + rng.uniform(0, 6))
        return np.round(values + rng.normal(0, noise, n) + rng.normal(0, 0.15) + drift, 1)

    found = {
        "Indoor [°C]": read(logged.air_c[:, house], 0.12),
        "Outdoor [°C]": read(w.air_c[every, house], 0.12),
    }
    if h.tank_m3[house] > 0:
        found["Tank [°C]"] = read(logged.tank_c[:, house], 0.05)
    if h.tubes[house] > 0:
        found["Fan"] = logged.fan_on[:, house]
    if farms.sun_logged[house]:
        found["Sun [W/m2]"] = np.round(sun * rng.normal(1.0, 0.03), 0)
    if farms.heater_logged[house]:
        found["Heater [W]"] = np.round(logged.heater_w[:, house], 0)
    table = pd.DataFrame(
        found, index=pd.date_range(FIRST + pd.Timedelta(days=farms.first_day), periods=n, freq="15min", name="Time")
    )
    for _ in range(int(farms.holes[house])):
        first = int(rng.integers(n // 10, n - n // 10))
        table = table.drop(table.index[first : first + int(rng.integers(40, 700))])
    return table


def ledger_of(farms: Farms, house: int) -> str:
    """The ledger as the grower writes it, with U-values and leakage as wrong as they may be."""
    h = farms.houses
    u = float(u_value(h)[house] * farms.u_stated[house])
    leak = float(h.leak_per_h[house] * 0.9 * farms.leak_stated[house])
    perimeter = 4.1 * float(np.sqrt(h.floor_m2[house]))
    first = FIRST + pd.Timedelta(days=farms.first_day)
    last = first + pd.Timedelta(days=len(farms.weather.air_c) // PER_DAY - 1)
    season = f'season = {{ begins = "{first:%m-%d}", ends = "{last:%m-%d}" }}'
    lines = [
        '[ledger]\ntitle = "drawn"\ncurrency = "EUR"\n[site]',
        f"latitude = {farms.latitude_deg[house]:.3f}\nlongitude = 0.0",
        f'elevation = "{farms.elevation_m[house]:.0f} m"\ntimezone = "UTC"\n[house]',
        f'floor_area = "{h.floor_m2[house]:.1f} m2"\nvolume = "{h.volume_m3[house]:.1f} m3"',
        f"air_changes = {{ low = {leak * 0.55:.3f}, likely = {leak:.3f}, high = {leak * 1.8:.3f}, "
        'basis = "estimated" }',
        f'[[house.surface]]\nname = "cover"\narea = "{h.cover_m2[house]:.1f} m2"\nu_value = "{u:.3f} W/m2/K"',
        f'[[house.edge]]\nname = "footing"\nlength = "{perimeter:.2f} m"',
        f'loss = "{h.edge_w_per_k[house] / perimeter:.3f} W/m/K"',
        f'[hold]\ntemperature = "{h.hold_c[house]:.1f} degC"\n{season}',
        '[crop]\nbase = "10 degC"\n[money]\nbase_date = 2024-10-01\nstudy_years = 20\ndiscount_rate = 0.05',
        "inflation = 0.02\n[electricity]\nprice = 0.2",
        '[[source]]\nname = "heater"\nkind = "electric resistance"\nunit = "kWh"\nprice = 0.2\ncapital = 100',
        "life_years = 8\nbackup = true",
    ]
    if h.tubes[house] > 0:
        lines.append(
            '[[build]]\nname = "tubes"\nlife_years = 30\n[[build.item]]\ndate = 2024-06-01\nwhat = "all"\namount = 1'
        )
    if h.tank_m3[house] > 0:
        lines.append(
            '[[build]]\nname = "tank"\nlife_years = 20\n[[build.item]]\ndate = 2024-06-01\nwhat = "all"\namount = 1'
        )
        lines.append('[[store]]\nname = "tank"\nbuild = "tank"\nchannel = "water"')
        lines.append(f'volume = "{farms.tank_stated_m3[house]:.3f} m3"')
    lines.append('[[log]]\nfile = "log.csv"\ntime = "Time"\nindoor = { column = "Indoor [°C]" }')
    lines.append('outdoor = { column = "Outdoor [°C]" }')
    if h.tank_m3[house] > 0:
        lines.append('water = { column = "Tank [°C]" }')
    if h.tubes[house] > 0:
        lines.append(f'fan = {{ column = "Fan", power = "{h.fan_w[house]:.0f} W" }}')
    if farms.sun_logged[house]:
        lines.append('sun = { column = "Sun [W/m2]" }')
    if farms.heater_logged[house]:
        lines.append('heater = { column = "Heater [W]" }')
    return "\n".join(lines) + "\n"


def write_farm(folder: Path, farms: Farms, logged: Ran, house: int, seed: int) -> None:
    """Write a farm's ledger and log."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "ledger.toml").write_text(ledger_of(farms, house), encoding="utf-8")
    log_of(farms, logged, house, seed).tz_localize(None).to_csv(folder / "log.csv", date_format="%Y-%m-%d %H:%M")
