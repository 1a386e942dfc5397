"""How fast logs are read, against yardsticks measured in the same run. Not a test: run it by hand.

    python tests/benchmarks/logs_speed.py [years of one-minute readings, default 10]

1. `check` on ten years of one-minute readings (5.26 million rows) against a bare streaming read of the same file with
   hourly means by polars; wanted: at most 4 times, under 1 GB.
2. `check` on three years of quarter-hours against `import pandas`; wanted: at most 4 times.

Every figure is the best of three child processes.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import pandas as pd

LEDGER = """
[ledger]
title = "benchmark"
currency = "EUR"
[site]
latitude = 46
longitude = 11
elevation = "1200 m"
timezone = "Europe/Rome"
[house]
floor_area = "60 m2"
volume = "160 m3"
air_changes = 0.8
unheated_lift = "3 K"
[[house.surface]]
name = "cover"
area = "120 m2"
u_value = "3 W/m2/K"
[hold]
temperature = "4 degC"
season = { begins = "10-01", ends = "04-30" }
[money]
base_date = 2015-10-01
study_years = 20
discount_rate = 0.05
inflation = 0.02
[[build]]
name = "buried air tubes"
life_years = 30
[[build.item]]
date = 2015-06-01
what = "digging"
amount = 1000.00
[[source]]
name = "electric heater"
kind = "electric resistance"
unit = "kWh"
price = 0.2
backup = true
[[log]]
file = "station.csv"
time = "Time"
clock = "UTC"
indoor = { column = "Inside (°C)" }
outdoor = { column = "Outside (°C)" }
"""
BARE = """
import polars
(polars.scan_csv({file!r}, try_parse_dates=True)
 .group_by(polars.col("Time").dt.truncate("1h")).mean().collect(engine="streaming"))
"""
WATCHED = """
import resource, subprocess, sys
done = subprocess.run(sys.argv[1:], stdout=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss, done.returncode)
"""


def write_log(folder: Path, rows: int, minutes: int) -> Path:
    """A log of two channels, to a hundredth of a degree."""
    stamps = pd.date_range("2015-10-01", periods=rows, freq=pd.Timedelta(minutes=minutes))
    days = np.arange(rows) * minutes / 1440
    rng = np.random.default_rng(1)
    outdoor = 8 - 10 * np.cos(days * 2 * np.pi / 365.25) - 5 * np.cos(days * 2 * np.pi) + rng.normal(0, 0.1, rows)
    indoor = outdoor + 6 + 4 * np.maximum(0, -np.cos(days * 2 * np.pi))
    frame = pd.DataFrame({"Time": stamps, "Inside (°C)": indoor.round(2), "Outside (°C)": outdoor.round(2)})
    path = folder / "station.csv"
    frame.to_csv(path, index=False, date_format="%Y-%m-%d %H:%M:%S")
    (folder / "ledger.toml").write_text(LEDGER, encoding="utf-8")
    return path


def best_seconds(command: list[str]) -> float:
    """The quickest of three runs. [s]"""
    times = []
    for _ in range(3):
        began = time.perf_counter()
        subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
        times.append(time.perf_counter() - began)
    return min(times)


def peak_mb(command: list[str]) -> float:
    """Most memory that a command holds. [MB]"""
    watched = subprocess.run([sys.executable, "-c", WATCHED, *command], capture_output=True, text=True, check=True)
    kilobytes, code = watched.stdout.split()
    if code != "0":
        sys.stdout.write(f"  the command ended with {code}\n")
    return int(kilobytes) / 1024


def compare(rows: int, minutes: int, yardstick: str, name: str) -> None:
    """Print one comparison."""
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        path = write_log(folder, rows, minutes)
        check = [sys.executable, "-m", "ledger", "check", str(folder / "ledger.toml"), "--json", "-"]
        bare = best_seconds([sys.executable, "-c", yardstick.format(file=str(path))])
        ours = best_seconds(check)
        size = path.stat().st_size / 1e6
        sys.stdout.write(f"{rows:>9,} rows, {size:.0f} MB: check {ours:.2f} s, {name} {bare:.2f} s, ")
        sys.stdout.write(f"ratio {ours / bare:.2f}, {peak_mb(check):.0f} MB\n")


if __name__ == "__main__":
    years = float(sys.argv[1]) if len(sys.argv) > 1 else 10.0
    compare(round(years * 525_960), 1, BARE, "bare polars")
    compare(3 * 35_064, 15, "import pandas", "import pandas")
