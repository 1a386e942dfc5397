"""The program against the simulator that wrote the demo logs, and the answers that the demos were built to give.

The simulator runs each house twice with a heater that keeps the hold temperature, without and with the build. The
program sees only the log: readings rounded, noisy, frozen for a day, with holes; and the ledger's own heat loss, which
is not the simulator's (no wind, no clear sky, a cover from the table).
"""

from __future__ import annotations

from typing import Any

import make_logs
import pytest

from tests.demo import DEMO
from tests.demo.shared import document

SCENES = {scene.key: scene for scene in make_logs.SCENES}


@pytest.fixture(params=sorted(SCENES))
def demo(request: pytest.FixtureRequest) -> tuple[str, dict[str, Any]]:
    return request.param, document(request.param)


def test_one_demo_pays_and_the_other_does_not() -> None:
    assert document("torvena")["worth"]["verdict"] == "pays"
    assert document("sorrel")["worth"]["verdict"] == "does not pay"


def test_the_range_holds_what_the_build_truly_saved_in_the_hours_that_count(demo: tuple[str, dict[str, Any]]) -> None:
    key, answer = demo
    (season,) = answer["seasons"]
    span = season["avoided_whole_season_range_kwh"]
    assert span["p10"] < make_logs.truth(SCENES[key]).avoided_dark_kwh < span["p90"]


def test_by_a_twin_the_day_is_left_out_so_the_credit_errs_low_of_day_and_night(
    demo: tuple[str, dict[str, Any]],
) -> None:
    """The README says so: cold hours after sunrise are another tenth or two on these farms, and are not claimed."""
    key, answer = demo
    true = make_logs.truth(SCENES[key])
    assert answer["seasons"][0]["avoided_whole_season_kwh"] < true.avoided_kwh
    assert 1.10 < true.avoided_kwh / true.avoided_dark_kwh < 1.25


def test_the_guess_by_lift_may_be_far_off_where_the_twin_is_not(demo: tuple[str, dict[str, Any]]) -> None:
    key, answer = demo
    true = make_logs.truth(SCENES[key]).avoided_dark_kwh
    ways = answer["seasons"][0]["bare"]["ways"]
    assert answer["seasons"][0]["bare"]["used"] == "twin"
    assert abs(ways["twin"]["avoided_kwh"] - true) < abs(ways["lift"]["avoided_kwh"] - true)


def test_the_frozen_day_and_the_holes_are_found(demo: tuple[str, dict[str, Any]]) -> None:
    """Torvena: frozen 18:20 to 20:05 a day later is about 26 h. Sorrel: 04:40 to 09:30 a day later is about 29 h."""
    key, answer = demo
    lost = answer["log"]["lost_hours"]
    frozen, gap = {"torvena": (26, 44), "sorrel": (29, 41)}[key]
    assert lost["stuck"] == pytest.approx(frozen, abs=2)
    assert lost["gap"] == pytest.approx(gap, abs=2)
    assert answer["seasons"][0]["coverage"] > 0.97


def test_backup_heat_is_taken_off(demo: tuple[str, dict[str, Any]]) -> None:
    """Torvena 3.0 + 138.1 + 88.2 = 229.3 kWh; Sorrel 2.7 gal of 91,000 Btu at 80 %: 2.7·26.669·0.8 = 57.6 kWh."""
    key, answer = demo
    (season,) = answer["seasons"]
    assert season["backup_delivered_kwh"] == pytest.approx({"torvena": 229.3, "sorrel": 57.6}[key], abs=0.1)
    assert season["avoided_kwh"] == pytest.approx(season["rungs"]["added_kwh"] - season["backup_delivered_kwh"])


def test_the_receipts_add_up(demo: tuple[str, dict[str, Any]]) -> None:
    """Torvena: 620 + 234 + 145.50 + 190 + 168.90 + 96 + 310 + 260 + 125 + 34.90 = 2184.30; for the heat less 20 % of
    620 (124) and with 60 h at 14 (840): 2900.30. Sorrel: 4850 + 1092 + 640 + 1880 + 1310 + 468 + 255 + 1150 + 74.40 =
    11,719.40; for the heat less 40 % of 1880 (752) and with 96 h at 18 (1728): 12,695.40.
    """
    key, answer = demo
    gross, heat = {"torvena": (2184.30, 2900.30), "sorrel": (11719.40, 12695.40)}[key]
    assert answer["capital"]["gross"] == pytest.approx(gross, abs=0.005)
    assert answer["capital"]["share_for_heat"] == pytest.approx(heat, abs=0.005)


@pytest.mark.parametrize("key", sorted(SCENES))
def test_a_fan_that_idles_in_mild_weather_is_not_taken_for_switched_off(key: str) -> None:
    """Nobody switched these fans off: the thermostat left them idle in mild spells, and such nights are warm for that
    very reason. Taken for a test they would make Sorrel's tubes cool the house, against 0.97 MWh truly saved.
    """
    from ledger.heat.fan_nights import nights_of_season
    from ledger.heat.reckoning import prepare
    from ledger.intake.gather import gather

    gathered = gather(DEMO / key / "ledger.toml")
    assert gathered.record is not None
    (year,) = prepare(gathered.record, gathered.ledger).years
    nights = nights_of_season(year)
    assert len(nights) > 200
    assert not any(night.off for night in nights)
