"""Write the logs of the two demos: `python demo/make_logs.py`. The same seed writes the same bytes.

Both places, farms and houses are invented. Outdoor temperature, clearness of the sky and wind come from the typical
year 723170TYA.CSV (TMY3, public data of the United States) that the pvlib package ships; it is cooled, its day swing
stretched and its sky cleared, as each `Place` below states, to make a high, cold, sunny winter of it. The sun is
reckoned at the invented site from that clearness. What the build truly saved is the difference of two runs of the
simulator, with a heater that keeps the hold temperature, without and with the build: `truth()`.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
from numpy.typing import NDArray
from simulator import STEP_S, Floats, GrowingHouse, Heater, Run, Tank, Tubes, Weather, simulate, south_wall, sun_on_site

HERE = Path(__file__).resolve().parent
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


def air_density(elevation_m: float) -> float:
    """Air density at 20 °C [kg/m3] by the pressure of the standard atmosphere (ISO 2533)."""
    return float(101325 * (1 - 2.25577e-5 * elevation_m) ** 5.25588 / (287.055 * 293.15))


TORVENA = Scene(
    key="torvena",
    seed=20251001,
    place=Place(46.4, 10.9, "Europe/Rome", cooler_k=4.0, swing=1.15, clearer=1.20),
    house=GrowingHouse(
        floor_m2=60.0,
        volume_m3=162.0,
        cover_m2=143.8,
        south_m2=24.0,
        u_cover_w_per_m2_k=2.7,
        edge_w_per_k=34 * 0.9,
        air_density_kg_per_m3=air_density(1450),
        calm_air_changes_per_h=0.7,
        ground_c=8.5,
        fabric_j_per_k=6e5,
        floor_to_air_w_per_m2_k=2.0,
        top_mid_w_per_m2_k=3.0,
    ),
    tubes=Tubes(
        1300, near_j_per_k=2.2e7, far_j_per_k=8e7, near_far_w_per_k=900, fan_w=95, charge_above_c=20, give_below_c=6.5
    ),
    tank=Tank(heat_j_per_k=4.2 * 4.18e6, to_air_w_per_k=90, sun_share=0.07),
    backup=Heater(hold_c=-1.0, output_w=9000),
    hold_c=5.0,
    first="2025-09-24",
    last="2026-05-05",
    log_minutes=15,
    power_cut=("2026-01-13 18:20", "2026-01-14 20:05"),
    gaps=(
        ("2025-11-18 07:00", "2025-11-19 15:30"),
        ("2026-02-24 10:10", "2026-02-24 11:40"),
        ("2026-04-02 13:00", "2026-04-03 01:00"),
    ),
)
SORREL = Scene(
    key="sorrel",
    seed=19740612,
    place=Place(36.3, -106.1, "America/Denver", cooler_k=1.0, swing=1.30, clearer=1.25),
    house=GrowingHouse(
        floor_m2=800 * 0.09290304,
        volume_m3=7600 * 0.0283168466,
        cover_m2=1836 * 0.09290304,
        south_m2=28.0,
        u_cover_w_per_m2_k=4.0,
        edge_w_per_k=120 * 0.3048 * 1.15,
        air_density_kg_per_m3=air_density(2180),
        calm_air_changes_per_h=0.8,
        ground_c=10.0,
        fabric_j_per_k=7e5,
        floor_to_air_w_per_m2_k=2.0,
        top_mid_w_per_m2_k=3.0,
    ),
    tubes=Tubes(
        900, near_j_per_k=1.6e7, far_j_per_k=7e7, near_far_w_per_k=700, fan_w=190, charge_above_c=23, give_below_c=6.0
    ),
    tank=None,
    backup=Heater(hold_c=(25 - 32) / 1.8, output_w=15000),
    hold_c=(40 - 32) / 1.8,
    first="2025-09-25",
    last="2026-05-03",
    log_minutes=10,
    power_cut=("2026-02-03 04:40", "2026-02-04 09:30"),
    gaps=(("2025-12-21 16:00", "2025-12-23 09:20"), ("2026-03-17 02:00", "2026-03-17 04:10")),
    inside_reads_high_k=0.2,
)
SCENES = (TORVENA, SORREL)


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
    at = np.asarray(hour_of_year, dtype=float) % 8760
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


def _within(scene: Scene, when: pd.DatetimeIndex, span: tuple[str, str]) -> NDArray[np.bool_]:
    """Which moments lie in a span of local clock time (first included, last not)."""
    return np.asarray((when >= local(scene, span[0])) & (when < local(scene, span[1])))


@cache
def lived(scene: Scene) -> tuple[Run, Run]:
    """What the station saw: the house with its build and its backup, and the unheated like house."""
    mains = ~_within(scene, clock(scene), scene.power_cut)
    out = weather(scene)
    house = simulate(scene.house, out, tubes=scene.tubes, tank=scene.tank, heater=scene.backup, mains=mains)
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
    season = _within(scene, when, SEASON)
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


def readings(scene: Scene) -> pd.DataFrame:
    """What the station stored: sensor noise, a lost stretch, a day on which it repeated its last reading."""
    rng = np.random.default_rng(scene.seed)
    house, twin = lived(scene)
    out, when = weather(scene), clock(scene)
    n = len(when)
    frame = pd.DataFrame(
        {
            "inside": house.air_c + scene.inside_reads_high_k + rng.normal(0, 0.12, n),
            "outside": out.outdoor_c + rng.normal(0, 0.10, n),
            "other": twin.air_c + rng.normal(0, 0.12, n),
            "tank": house.tank_c + rng.normal(0, 0.04, n),
            "sun": np.maximum(0.0, out.sun_w_per_m2 * (1 + rng.normal(0, 0.02, n))),
            "fan": (house.fan_w > 0).astype(float),
        },
        index=when,
    )
    every = scene.log_minutes * 60 // int(STEP_S)
    frame = frame[frame.index >= local(scene, scene.first)].iloc[::every]
    frame[_within(scene, pd.DatetimeIndex(frame.index), scene.power_cut)] = np.nan
    frame = frame.ffill()  # without mains the station went on storing its last reading
    for gap in scene.gaps:
        frame = frame[~_within(scene, pd.DatetimeIndex(frame.index), gap)]
    return frame


def _cells(values: NDArray[np.float64]) -> list[list[str]]:
    """Rows of readings as a station shows them: one decimal, no minus before a zero."""
    return [[f"{v:.1f}" for v in row] for row in np.round(values, 1) + 0.0]


def torvena_csv(frame: pd.DataFrame) -> str:
    """The export of a station that writes decimal commas and the date day first."""
    stamps = pd.DatetimeIndex(frame.index).tz_convert(TORVENA.place.timezone).strftime("%d.%m.%Y %H:%M")
    degrees = _cells(frame[["inside", "outside", "other", "tank"]].to_numpy())
    whole = frame[["sun", "fan"]].to_numpy().round().astype(int).astype(str).tolist()
    rows = ["Logger Vogna 4 / export", "interval 15 min", "When;Beds °C;Yard °C;Other house °C;Tank °C;Sun W/m2;Fan"]
    for stamp, cells, rest in zip(stamps, degrees, whole, strict=True):
        rows.append(";".join([stamp, *(c.replace(".", ",") for c in cells), *rest]))
    return "\n".join(rows) + "\n"


def sorrel_csv(frame: pd.DataFrame) -> str:
    """The export of a station that writes °F and the date in ISO order."""
    stamps = pd.DatetimeIndex(frame.index).tz_convert(SORREL.place.timezone).strftime("%Y-%m-%d %H:%M")
    degrees = _cells(frame[["inside", "outside", "other"]].to_numpy() * 1.8 + 32)
    fan = frame["fan"].to_numpy().astype(int).astype(str).tolist()
    rows = ["Date and time,In (°F),Out (°F),Neighbor house (°F),Fan on"]
    for stamp, cells, on in zip(stamps, degrees, fan, strict=True):
        rows.append(",".join([stamp, *cells, on]))
    return "\n".join(rows) + "\n"


WRITERS = {"torvena": torvena_csv, "sorrel": sorrel_csv}


def main() -> None:
    """Write both logs beside this script, and print what the meters and the simulator say."""
    parser = argparse.ArgumentParser(description="Write the logs of the demos; print the meters and the true answer.")
    parser.add_argument("folder", nargs="?", type=Path, default=HERE, help="folder that holds torvena/ and sorrel/")
    folder = parser.parse_args().folder
    for scene in SCENES:
        path = folder / scene.key / "station.csv"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(WRITERS[scene.key](readings(scene)), encoding="utf-8", newline="\n")
        true = truth(scene)
        sys.stdout.write(f"{scene.key}: {path.stat().st_size} bytes\n{meters(scene).round(1).to_string()}\n")
        sys.stdout.write(f"held by a heater: bare {true.bare_kwh:.0f} kWh, built {true.built_kwh:.0f} kWh\n")
        sys.stdout.write(f"in the dark: bare {true.bare_dark_kwh:.0f} kWh, built {true.built_dark_kwh:.0f} kWh\n")


if __name__ == "__main__":
    main()
