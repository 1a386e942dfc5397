"""A farm by a rule that can be followed, five weeks at a quarter hour, without a store or a fan in the log.

Outdoors: a mean of −2 °C with fronts of six days (4 K) and a daily wave (4 K, coldest at 6). The like house without the
build follows a mean of the last six hours outdoors, 2 K above it, with up to 8 K of sun by day; the house itself
follows a mean of the last day, 4 K above it, with up to 6 K of sun. Readings to a tenth with a little noise.
"""

from __future__ import annotations

import numpy as np
import pandas as pd

from tests.planted.faults import INDOOR, OUTDOOR, PER_DAY

DAYS = 35
TWIN = "Twin [°C]"

LEDGER = """
[site]
latitude = 46
longitude = 0
elevation = "600 m"
timezone = "UTC"
[house]
floor_area = "60 m2"
volume = "150 m3"
air_changes = 0.8
[[house.surface]]
name = "skin"
area = "140 m2"
u_value = "3 W/m2/K"
[[house.edge]]
name = "footing"
length = "32 m"
loss = "0.8 W/m/K"
[hold]
temperature = "6 degC"
season = { begins = "12-01", ends = "01-04" }
backup_used = "none"
[money]
base_date = 2024-10-01
[electricity]
price = 0.2
[[build]]
name = "berm and water barrels"
[[build.item]]
date = 2024-06-01
what = "all of it"
amount = 3000
[[source]]
name = "heater"
kind = "electric resistance"
price = 0.2
capital = 100
backup = true
[[log]]
file = "log.csv"
time = "Time"
indoor = { column = "Indoor [°C]" }
outdoor = { column = "Outdoor [°C]" }
"""
WITH_TWIN = LEDGER + 'unheated = { column = "Twin [°C]" }\n'


def station() -> pd.DataFrame:
    """The log from the first of December on."""
    steps = np.arange((DAYS + 1) * PER_DAY)
    hour, rng = steps / 4.0, np.random.default_rng(11)
    outdoor = -2.0 + 4.0 * np.sin(hour / (6 * 24) * 2 * np.pi) - 4.0 * np.cos((hour - 6.0) / 24 * 2 * np.pi)
    sun = np.maximum(0.0, np.sin((hour % 24 - 8.0) / 8.0 * np.pi)) * ((hour % 24 > 8) & (hour % 24 < 16))
    cloud = rng.uniform(0.3, 1.0, DAYS + 1)[(steps // PER_DAY)]
    air = pd.Series(outdoor)
    twin = air.rolling(6 * 4, min_periods=1).mean() + 2.0 + 8.0 * sun * cloud
    indoor = air.rolling(24 * 4, min_periods=1).mean() + 4.0 + 6.0 * sun * cloud
    table = pd.DataFrame({INDOOR: indoor, OUTDOOR: air, TWIN: twin})
    table = (table + rng.normal(0.0, 0.1, table.shape)).round(1).iloc[PER_DAY:]
    return table.set_axis(pd.date_range("2024-12-01", periods=len(table), freq="15min", tz="UTC", name="Time"))
