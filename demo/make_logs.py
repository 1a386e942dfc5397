"""Write the logs of the demos: `python demo/make_logs.py`. The same seed writes the same bytes.

All places, farms and houses are invented; `places.py` says where their weather comes from. What the build truly saved
is the difference of two runs of the simulator, with a heater that keeps the hold temperature, without and with the
build: `truth()`. Three winters of one more farm are in `three_winters.py`, and written with the others.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import three_winters
from numpy.typing import NDArray
from places import Place, Scene, air_density, clock, lived, local, meters, truth, weather, within
from simulator import STEP_S, GrowingHouse, Heater, Tank, Tubes

__all__ = ["SCENES", "WRITERS", "meters", "readings", "truth"]

HERE = Path(__file__).resolve().parent


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
    frame[within(scene, pd.DatetimeIndex(frame.index), scene.power_cut)] = np.nan
    frame = frame.ffill()  # without mains the station went on storing its last reading
    for gap in scene.gaps:
        frame = frame[~within(scene, pd.DatetimeIndex(frame.index), gap)]
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
    """Write all logs beside this script, and print what the meters and the simulator say."""
    parser = argparse.ArgumentParser(description="Write the logs of the demos; print the meters and the true answer.")
    parser.add_argument("folder", nargs="?", type=Path, default=HERE, help="folder that holds one folder a farm")
    folder = parser.parse_args().folder
    for scene in SCENES:
        path = folder / scene.key / "station.csv"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(WRITERS[scene.key](readings(scene)), encoding="utf-8", newline="\n")
        true = truth(scene)
        sys.stdout.write(f"{scene.key}: {path.stat().st_size} bytes\n{meters(scene).round(1).to_string()}\n")
        sys.stdout.write(f"held by a heater: bare {true.bare_kwh:.0f} kWh, built {true.built_kwh:.0f} kWh\n")
        sys.stdout.write(f"in the dark: bare {true.bare_dark_kwh:.0f} kWh, built {true.built_dark_kwh:.0f} kWh\n")
    for name, text in three_winters.files().items():
        path = folder / three_winters.KEY / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    sys.stdout.write(three_winters.summary())


if __name__ == "__main__":
    main()
