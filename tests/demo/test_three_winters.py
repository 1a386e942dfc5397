"""The three winters of Vantarel: what the script writes, what the season book says, what the program finds."""

from __future__ import annotations

import tomllib
from typing import Any

import pandas as pd
import pytest
import three_winters
from places import meters, truth

from tests.demo import DEMO
from tests.demo.shared import document

FOLDER = DEMO / three_winters.KEY
WINTERS = {scene.key: scene for scene in three_winters.WINTERS}
DELIVERED_KWH_PER_KG = 14 * 0.80


def _lines(target: str) -> list[dict[str, Any]]:
    book = tomllib.loads((FOLDER / "ledger.toml").read_text(encoding="utf-8"))["running"]
    return [one for one in book if one["for"] == target]


def _of_winter(lines: list[dict[str, Any]], key: str) -> list[dict[str, Any]]:
    year = int(key[:4])
    first, last = pd.Timestamp(year, 10, 1), pd.Timestamp(year + 1, 9, 30)
    return [one for one in lines if first <= pd.Timestamp(one["date"]) <= last]


@pytest.mark.parametrize("key", sorted(WINTERS))
def test_the_script_writes_the_file_of_each_winter(key: str) -> None:
    """Within a digit of the last place on a thousandth of the rows, for another platform's mathematics."""
    written = three_winters.csv(three_winters.readings(WINTERS[key])).splitlines()
    kept = (FOLDER / f"station-{key}.csv").read_text(encoding="utf-8").splitlines()
    assert len(written) == len(kept)
    assert sum(a != b for a, b in zip(written, kept, strict=True)) <= len(kept) // 1000
    assert (FOLDER / f"station-{key}.csv").stat().st_size < 250_000


@pytest.mark.parametrize("key", sorted(WINTERS))
def test_the_season_book_holds_what_the_meters_read(key: str) -> None:
    """The fan by its meter (kWh, a tenth a line), the heater by its gas (a tenth of a kilogram a line: 1.1 kWh)."""
    seen = meters(WINTERS[key]).sum()
    fan = [one["meter"] for one in _of_winter(_lines("air tubes"), key) if "meter" in one]
    used = sum((m["to"] - m["from"]) % m.get("rolls_over_at", 1e9) for m in fan)
    assert used == pytest.approx(seen["fan_kwh"], abs=0.5)
    gas = sum(one["quantity"] for one in _of_winter(_lines("propane heater"), key))
    assert gas * DELIVERED_KWH_PER_KG == pytest.approx(seen["heater_kwh"], abs=2.5)


def test_the_winters_are_a_mild_a_usual_and_a_hard_one() -> None:
    need = [truth(scene).bare_kwh for scene in three_winters.WINTERS]
    assert need[0] < 0.8 * need[1] < 0.8 * 0.8 * need[2]


@pytest.mark.parametrize("key", sorted(WINTERS))
def test_the_range_holds_what_the_tubes_truly_saved_in_the_hours_that_count(key: str) -> None:
    (season,) = (one for one in document("vantarel")["seasons"] if one["season"] == key)
    span = season["avoided_whole_season_range_kwh"]
    assert span["p10"] < truth(WINTERS[key]).avoided_dark_kwh < span["p90"]


def test_the_fan_stood_still_until_the_new_one_came() -> None:
    scene = WINTERS["2024-25"]
    frame = three_winters.readings(scene)
    assert scene.fan_broken is not None
    first, last = (pd.Timestamp(one, tz=scene.place.timezone) for one in scene.fan_broken)
    stood = frame[(frame.index > first + three_winters.HOUR) & (frame.index <= last)]
    assert len(stood) > 11 * 24
    assert stood["fan"].max() == 0.0
    assert frame.loc[last : last + pd.Timedelta(days=7), "fan"].max() > 0.0
