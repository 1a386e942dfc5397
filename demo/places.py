"""An invented place, its winter, and a house that lives through it: what all demos are made of.

Outdoor temperature, clearness of the sky and wind come from the typical year 723170TYA.CSV (TMY3, public data of the
United States) that the pvlib package ships; it is cooled, its day swing stretched and its sky cleared, as each `Place`
states, and may begin some days earlier or later, so that one winter is not the other. The sun is reckoned at the
invented site from that clearness.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
from numpy.typing import NDArray
from simulator import STEP_S, Floats, GrowingHouse, Heater, Run, Tank, Tubes, Weather, simulate, south_wall, sun_on_site

TYPICAL_YEAR = "723170TYA.CSV"
WARM_UP_DAYS = 45
SEASON = ("2025-10-01", "2026-05-01")


@dataclass(frozen=True)
class Place:
    """An invented site and what was done to the typical year to make its weather."""

    latitude_deg: float
    longitude_deg: float
    timezone: str
    cooler_k: float
    swing: float
    clearer: float
    days_later: int = 0
    """The typical year begins so many days later: winters of one place in which no night is the other's."""


@dataclass(frozen=True)
class Scene:
    """One demo: place, house, build, what the grower keeps, what went wrong with the station."""

    key: str
    seed: int
    place: Place
    house: GrowingHouse
    tubes: Tubes | None
    tank: Tank | None
    backup: Heater
    hold_c: float
    first: str
    last: str
    log_minutes: int
    power_cut: tuple[str, str]
    gaps: tuple[tuple[str, str], ...]
    inside_reads_high_k: float = 0.0
    season: tuple[str, str] = SEASON
    fan_broken: tuple[str, str] | None = None


def air_density(elevation_m: float) -> float:
    """Air density at 20 °C [kg/m3] by the pressure of the standard atmosphere (ISO 2533)."""
    return float(101325 * (1 - 2.25577e-5 * elevation_m) ** 5.25588 / (287.055 * 293.15))


def local(scene: Scene, text: str) -> pd.Timestamp:
    """A local clock time of the place."""
    return pd.Timestamp(text, tz=scene.place.timezone)


def clock(scene: Scene) -> pd.DatetimeIndex:
    """Every step of the simulation in UTC, the warming-up weeks before the log included."""
    first = local(scene, scene.first) - pd.Timedelta(days=WARM_UP_DAYS)
    last = local(scene, scene.last) + pd.Timedelta(days=1)
    return pd.date_range(first.tz_convert("UTC"), last.tz_convert("UTC"), freq=f"{int(STEP_S)}s", inclusive="left")


@cache
def typical_year() -> pd.DataFrame:
    """The typical year by hour of the year in its own standard time: temp_c, clearness, wind."""
    data, _ = pvlib.iotools.read_tmy3(Path(pvlib.__file__).parent / "data" / TYPICAL_YEAR, map_variables=True)
    outside = data["ghi_extra"].to_numpy()
    low_sun = outside < 60
    clearness = pd.Series(np.where(low_sun, np.nan, data["ghi"].to_numpy() / np.maximum(outside, 60)))
    clearness = clearness.interpolate(limit_direction="both").clip(0.05, 0.8)
    return pd.DataFrame(
        {
            "temp_c": data["temp_air"].to_numpy(),
            "clearness": clearness.to_numpy(),
            "wind": data["wind_speed"].to_numpy(),
        }
    )


def weather(scene: Scene) -> Weather:
    """The typical year carried to the invented place."""
    year, place, when = typical_year(), scene.place, clock(scene)
    standard = when + pd.Timedelta(hours=round(place.longitude_deg / 15))
    hour_of_year = (standard.day_of_year - 1) * 24 + standard.hour + standard.minute / 60
    at = np.asarray(hour_of_year - 24 * place.days_later, dtype=float) % 8760
    grid = np.arange(8760) + 0.5  # the file's hours end on their stamp: their middle lies half an hour in

    def hourly(name: str) -> Floats:
        return np.asarray(np.interp(at, grid, year[name].to_numpy(), period=8760), dtype=float)

    temp = hourly("temp_c")
    day_mean = pd.Series(temp).rolling(288, center=True, min_periods=1).mean().to_numpy()
    outdoor = day_mean + place.swing * (temp - day_mean) - place.cooler_k
    clearness = np.clip(hourly("clearness") * place.clearer, 0.05, 0.76)
    hours = np.asarray(when.hour + when.minute / 60, dtype=float)
    sin_el, cos_south, outside = sun_on_site(
        hours, np.asarray(when.day_of_year, dtype=float), place.latitude_deg, place.longitude_deg
    )
    sun = clearness * outside
    return Weather(outdoor, sun, south_wall(sun, clearness, sin_el, cos_south), hourly("wind"), clearness)


def within(scene: Scene, when: pd.DatetimeIndex, span: tuple[str, str]) -> NDArray[np.bool_]:
    """Which moments lie in a span of local clock time (first included, last not)."""
    return np.asarray((when >= local(scene, span[0])) & (when < local(scene, span[1])))


@cache
def lived(scene: Scene) -> tuple[Run, Run]:
    """What the station saw: the house with its build and its backup, and the unheated like house."""
    mains = ~within(scene, clock(scene), scene.power_cut)
    out = weather(scene)
    broken = None if scene.fan_broken is None else within(scene, clock(scene), scene.fan_broken)
    house = simulate(
        scene.house, out, tubes=scene.tubes, tank=scene.tank, heater=scene.backup, mains=mains, fan_broken=broken
    )
    twin = simulate(scene.house, out, tubes=None, tank=None, heater=None, mains=mains)
    return house, twin


@dataclass(frozen=True)
class Truth:
    """What the simulator knows and the program must find: heater energy of the season, house held throughout, kWh.

    `dark`: while the sun is under the horizon, the hours that the program counts unless told otherwise.
    """

    bare_kwh: float
    built_kwh: float
    bare_dark_kwh: float
    built_dark_kwh: float

    @property
    def avoided_kwh(self) -> float:
        """Heat not bought because of the build, day and night."""
        return self.bare_kwh - self.built_kwh

    @property
    def avoided_dark_kwh(self) -> float:
        """Heat not bought because of the build, in the dark."""
        return self.bare_dark_kwh - self.built_dark_kwh


@cache
def truth(scene: Scene) -> Truth:
    """Two runs with a heater that keeps the hold temperature all season, without and with the build."""
    out, when = weather(scene), clock(scene)
    season = within(scene, when, scene.season)
    dark = season & (out.sun_w_per_m2 <= 0)
    mains, heater = np.ones(len(when), dtype=bool), Heater(scene.hold_c)
    bare = simulate(scene.house, out, tubes=None, tank=None, heater=heater, mains=mains)
    built = simulate(scene.house, out, tubes=scene.tubes, tank=scene.tank, heater=heater, mains=mains)
    kwh = STEP_S / 3.6e6
    return Truth(*(float(run.heater_w[hours].sum()) * kwh for hours in (season, dark) for run in (bare, built)))


def meters(scene: Scene) -> pd.DataFrame:
    """Fan and heater by calendar month, kWh: what the grower read off the meters."""
    house, _ = lived(scene)
    kwh = STEP_S / 3.6e6
    frame = pd.DataFrame({"fan_kwh": house.fan_w * kwh, "heater_kwh": house.heater_w * kwh}, index=clock(scene))
    frame = frame[frame.index >= local(scene, scene.first)]
    return frame.groupby(pd.DatetimeIndex(frame.index).tz_convert(scene.place.timezone).strftime("%Y-%m")).sum()
