"""Vantarel: three winters of one invented farm, a warm, a usual and a hard one, each with its own file of readings.

The station stores hourly means, stamped with the hour's end. In the second winter the fan burns out and a new one
comes twelve days later; in the third the battery of the indoor sensor fails in the coldest night.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
from places import Place, Scene, air_density, clock, lived, local, meters, truth, weather, within
from simulator import STEP_S, GrowingHouse, Heater, Tubes

KEY = "vantarel"
HOUR = pd.Timedelta(hours=1)
_PLACE = Place(42.1, -1.2, "Europe/Madrid", cooler_k=4.5, swing=1.20, clearer=1.20)
_NEVER = ("2000-01-01 00:00", "2000-01-01 00:00")

USUAL = Scene(
    key="2024-25",
    seed=20241001,
    place=_PLACE,
    house=GrowingHouse(
        floor_m2=72.0,
        volume_m3=194.4,
        cover_m2=169.0,
        south_m2=28.0,
        u_cover_w_per_m2_k=2.9,
        edge_w_per_k=36 * 1.0,
        air_density_kg_per_m3=air_density(1180),
        calm_air_changes_per_h=0.7,
        ground_c=9.5,
        fabric_j_per_k=6e5,
        floor_to_air_w_per_m2_k=2.0,
        top_mid_w_per_m2_k=3.0,
    ),
    tubes=Tubes(
        1500, near_j_per_k=2.4e7, far_j_per_k=9e7, near_far_w_per_k=950, fan_w=110, charge_above_c=20, give_below_c=7.0
    ),
    tank=None,
    backup=Heater(hold_c=0.0, output_w=12000),
    hold_c=5.0,
    first="2024-09-26",
    last="2025-05-03",
    log_minutes=60,
    power_cut=_NEVER,
    gaps=(("2025-03-08 09:00", "2025-03-09 17:00"),),
    season=("2024-10-01", "2025-05-01"),
    fan_broken=("2025-01-09 02:00", "2025-01-21 15:00"),
)
WARM = replace(
    USUAL,
    key="2023-24",
    seed=20231001,
    place=replace(_PLACE, cooler_k=2.3, days_later=9),
    first="2023-09-27",
    last="2024-05-04",
    gaps=(),
    season=("2023-10-01", "2024-05-01"),
    fan_broken=None,
)
HARD = replace(
    USUAL,
    key="2025-26",
    seed=20251001,
    place=replace(_PLACE, cooler_k=6.7, days_later=-8),
    first="2025-09-25",
    last="2026-05-02",
    gaps=(("2025-11-12 20:00", "2025-11-13 08:00"),),
    season=("2025-10-01", "2026-05-01"),
    fan_broken=None,
)
WINTERS = (WARM, USUAL, HARD)


def readings(scene: Scene) -> pd.DataFrame:
    """Hourly means as the station stored them, stamped with the hour's end; a reading that is missing is NaN."""
    rng = np.random.default_rng(scene.seed)
    house, twin = lived(scene)
    out, when = weather(scene), clock(scene)
    n = len(when)
    fine = pd.DataFrame(
        {
            "inside": house.air_c + rng.normal(0, 0.12, n),
            "outside": out.outdoor_c + rng.normal(0, 0.10, n),
            "shed": twin.air_c + rng.normal(0, 0.12, n),
            "sun": np.maximum(0.0, out.sun_w_per_m2 * (1 + rng.normal(0, 0.02, n))),
            "fan": house.fan_w,
        },
        index=when,
    )
    hours = fine.resample(HOUR).mean()
    hours["inside"] += rng.normal(0, 0.15, len(hours))  # the heater blows, and the sensor hangs in its draught
    hours = hours[hours.index >= local(scene, scene.first)]
    for gap in scene.gaps:
        hours = hours[~within(scene, pd.DatetimeIndex(hours.index), gap)]
    if scene is HARD:
        coldest = pd.DatetimeIndex(hours.index)[int(hours["outside"].to_numpy().argmin())]
        hours.loc[coldest - 3 * HOUR : coldest + 4 * HOUR, "inside"] = np.nan
    hours.index = pd.DatetimeIndex(hours.index) + HOUR
    return hours


def csv(frame: pd.DataFrame) -> str:
    """The export: one offset from UTC on every stamp, an empty cell where a sensor was silent."""
    stamps = pd.DatetimeIndex(frame.index).tz_convert("Etc/GMT-1").strftime("%Y-%m-%d %H:%M")
    degrees = frame[["inside", "outside", "shed"]].to_numpy().round(1) + 0.0
    whole = frame[["sun", "fan"]].to_numpy().round().astype(int).astype(str).tolist()
    rows = ["Hour ending (UTC+1),Beds (°C),Outdoors (°C),Bare house (°C),Sun (W/m2),Fan (W)"]
    for stamp, cells, rest in zip(stamps, degrees, whole, strict=True):
        shown = ["" if np.isnan(cell) else f"{cell:.1f}" for cell in cells]
        rows.append(",".join([stamp, *shown, *rest]))
    return "\n".join(rows) + "\n"


def files() -> dict[str, str]:
    """The name and text of each winter's file."""
    return {f"station-{scene.key}.csv": csv(readings(scene)) for scene in WINTERS}


def summary() -> str:
    """What the meters and the simulator say of each winter."""
    told = []
    for scene in WINTERS:
        true, out = truth(scene), weather(scene)
        season = within(scene, clock(scene), scene.season)
        mean, least = float(out.outdoor_c[season].mean()), float(out.outdoor_c[season].min())
        told.append(
            f"{KEY} {scene.key}: outdoors {mean:.1f} in the mean, {least:.1f} at least, steps of {STEP_S:.0f} s"
        )
        told.append(meters(scene).round(1).to_string())
        told.append(f"held by a heater: bare {true.bare_kwh:.0f} kWh, built {true.built_kwh:.0f} kWh")
        told.append(f"in the dark: bare {true.bare_dark_kwh:.0f} kWh, built {true.built_dark_kwh:.0f} kWh")
    return "\n".join(told) + "\n"
