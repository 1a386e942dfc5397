"""The demo logs are what their script writes, and hold the troubles that they are said to hold."""

from __future__ import annotations

import tomllib
from typing import Any

import make_logs
import pandas as pd
import pytest

from tests.demo import DEMO

SCENES = {scene.key: scene for scene in make_logs.SCENES}
pytestmark = pytest.mark.parametrize("key", sorted(SCENES))


def _ledger(key: str) -> dict[str, Any]:
    return tomllib.loads((DEMO / key / "ledger.toml").read_text(encoding="utf-8"))


def _book(key: str, name: str) -> list[dict[str, Any]]:
    return [line for line in _ledger(key)["running"] if line["for"] == name]


def _energy_kwh(line: dict[str, Any]) -> float:
    if "meter" in line:
        return float(line["meter"]["to"]) - float(line["meter"]["from"])
    return float(line["energy"].removesuffix(" kWh"))


def test_the_script_writes_the_log_that_is_kept_here(key: str) -> None:
    """Line by line and within a digit of the last place, so that another platform's mathematics may differ by that."""
    written = make_logs.WRITERS[key](make_logs.readings(SCENES[key])).splitlines()
    kept = (DEMO / key / "station.csv").read_text(encoding="utf-8").splitlines()
    assert len(written) == len(kept)
    unlike = [i for i, (a, b) in enumerate(zip(written, kept, strict=True)) if a != b]
    assert len(unlike) <= len(kept) // 1000


def test_the_station_repeats_its_last_reading_while_the_power_is_out(key: str) -> None:
    scene = SCENES[key]
    frame = make_logs.readings(scene)
    first, last = (pd.Timestamp(t, tz=scene.place.timezone) for t in scene.power_cut)
    frozen = frame[(frame.index >= first) & (frame.index < last)]
    assert (last - first) > pd.Timedelta(hours=20)
    assert len(frozen) == (last - first) / pd.Timedelta(minutes=scene.log_minutes)
    assert frozen.nunique().eq(1).all()


def test_the_lost_stretches_are_lost(key: str) -> None:
    scene = SCENES[key]
    steps = make_logs.readings(scene).index.to_series().diff()
    assert (steps > pd.Timedelta(minutes=scene.log_minutes)).sum() == len(scene.gaps)


def test_the_hour_that_the_clock_repeats_stands_twice_and_the_hour_it_skips_not_at_all(key: str) -> None:
    """Summer time: Europe 2025-10-26 and 2026-03-29, America 2025-11-02 and 2026-03-08."""
    rows = (DEMO / key / "station.csv").read_text(encoding="utf-8").splitlines()
    twice, never = {"torvena": ("26.10.2025 02:", "29.03.2026 02:"), "sorrel": ("2025-11-02 01:", "2026-03-08 02:")}[
        key
    ]
    per_hour = 60 // SCENES[key].log_minutes
    assert sum(row.startswith(twice) for row in rows) == 2 * per_hour
    assert not any(row.startswith(never) for row in rows)


def test_the_season_book_holds_what_the_fan_meter_read(key: str) -> None:
    """Sum of the ledger's lines against the simulator's fan, to the rounding of monthly readings (0.1 kWh a line)."""
    build = {"torvena": "buried air tubes", "sorrel": "deep air tubes"}[key]
    lines = [line for line in _book(key, build) if "energy" in line or "meter" in line]
    assert sum(map(_energy_kwh, lines)) == pytest.approx(make_logs.meters(SCENES[key])["fan_kwh"].sum(), abs=0.5)


def test_the_season_book_holds_what_the_backup_gave(key: str) -> None:
    """Torvena: kWh at the plug, efficiency 1. Sorrel: gallons of 91,000 Btu gross (40 CFR 98 table C-1) at 80 %."""
    gave_kwh = make_logs.meters(SCENES[key])["heater_kwh"].sum()
    if key == "torvena":
        assert sum(map(_energy_kwh, _book(key, "electric heater"))) == pytest.approx(gave_kwh, abs=0.5)
    else:
        gallons = sum(line["quantity"] for line in _book(key, "propane heater"))
        assert gallons * 91_000 / 3412.142 * 0.80 == pytest.approx(gave_kwh, rel=0.02)


def test_the_build_saves_heat_and_not_all_of_it(key: str) -> None:
    true = make_logs.truth(SCENES[key])
    assert 0.1 * true.bare_kwh < true.avoided_kwh < 0.8 * true.bare_kwh


def test_the_log_covers_a_whole_winter_and_stays_small(key: str) -> None:
    index = make_logs.readings(SCENES[key]).index
    assert index[0] < pd.Timestamp("2025-10-01", tz="UTC")
    assert index[-1] > pd.Timestamp("2026-04-30 23:00", tz="UTC")
    assert (DEMO / key / "station.csv").stat().st_size < 1_200_000
