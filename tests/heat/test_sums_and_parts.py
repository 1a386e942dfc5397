"""Sums by night make the season, a forecast is held against the season without holes, heat by the build is counted."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ledger.heat.bare import NO_WAYS
from ledger.heat.envelope import envelope
from ledger.heat.forecast import forecasts, told_after
from ledger.heat.night_sums import night_sums
from ledger.heat.reckoning import heat_work, prepare, reckon
from ledger.model.house import Crop, GddMethod
from ledger.model.values import MonthDay, Window
from tests.heat.builders import ledger_of, plain_house, record_of, spread, winter_record
from tests.known import known

JANUARY = Window(MonthDay(1, 10), MonthDay(1, 21))
HOUSE = plain_house(100.0, lift=spread(2.0))


def test_sums_by_night_run_from_noon_to_noon_and_make_the_season() -> None:
    """Twelve days at 3 °C, outdoors −3 °C, from noon to four 2 °C: 100 W/K · 6 K, and · 1 K in those four hours.

    The first "night" is the morning of 10 January, which began on the 9th. A whole one has 4 h · 0.1 and 20 h · 0.6 kWh
    lost; in each dark hour it is 8 K too cold outdoors for the hold of 5 °C.
    """
    hour = np.arange(288) % 24
    outdoor = np.where((hour >= 12) & (hour < 16), 2.0, -3.0)
    indoor = np.where(hour == 6, 2.5, 3.0)
    ledger = ledger_of(HOUSE, season=JANUARY)
    record = record_of({"indoor": indoor, "outdoor": outdoor}, first="2026-01-10T00:00+01:00")
    work = heat_work(prepare(record, ledger), ledger)
    loss = envelope(ledger.house, ledger.builds, elevation_m=0.0)
    nights = night_sums(work.seasons, loss, hold_c=5.0, timezone="Europe/Rome")
    assert [n.evening for n in nights][:2] == ["2026-01-09", "2026-01-10"]
    assert len(nights) == 13
    whole = nights[5]
    assert (whole.season, whole.hours_valid, whole.outdoor_min_c, whole.indoor_min_c) == ("2026", 24.0, -3.0, 2.5)
    assert whole.gross_kwh == pytest.approx(4 * 0.1 + 19 * 0.6 + 0.55)
    assert whole.cold_k_h == pytest.approx(8.0 * whole.hours_counted)
    assert whole.need_kwh == pytest.approx(0.6 * whole.hours_counted)
    assert whole.shortfall_kwh == pytest.approx(0.2 * whole.hours_counted + 0.05)
    heat = work.seasons[0].heat
    assert sum(n.need_kwh for n in nights) == pytest.approx(heat.need_kwh)
    assert sum(n.shortfall_kwh for n in nights) == pytest.approx(heat.shortfall_kwh)
    assert sum(n.hours_counted for n in nights) == pytest.approx(heat.hours_counted)
    assert sum(n.gross_kwh for n in nights) == pytest.approx(heat.rungs.gross_kwh)


def test_a_house_warmer_outdoors_than_in_loses_nothing_in_that_night() -> None:
    ledger = ledger_of(HOUSE, season=JANUARY)
    record = record_of({"indoor": np.full(288, 3.0), "outdoor": np.full(288, 4.0)}, first="2026-01-10T00:00+01:00")
    work = heat_work(prepare(record, ledger), ledger)
    loss = envelope(ledger.house, ledger.builds, elevation_m=0.0)
    nights = night_sums(work.seasons, loss, hold_c=5.0, timezone="Europe/Rome")
    assert {n.gross_kwh for n in nights} == {0.0}


def test_a_forecast_is_held_against_the_season_with_its_holes_filled() -> None:
    """Two winters; three days of the second without indoors: what came is the whole season's, not the logged hours'."""
    ledger = ledger_of(plain_house(lift=spread(2.0, 1.0, 3.0)))
    hours = winter_record(2, seed=5).hours
    indoor = hours["indoor"].to_numpy().copy()
    indoor[8760 + 24 * 100 : 8760 + 24 * 103] = np.nan
    record = record_of({"indoor": indoor, "outdoor": hours["outdoor"].to_numpy()}, first="2024-10-01T00:00+02:00")
    prepared = prepare(record, ledger)
    work = heat_work(prepared, ledger)
    came, heat = known(forecasts(work, told_after(prepared, ledger, work, NO_WAYS))[1]), work.seasons[1].heat
    assert heat.need_whole_season_kwh != heat.need_kwh
    assert (came.came_need_kwh, came.came_avoided_kwh) == (heat.need_whole_season_kwh, heat.avoided_whole_season_kwh)
    assert came.holes_filled


def test_degree_days_by_the_build_are_those_above_the_bare_house() -> None:
    """Base 0 °C, 3 °C indoors, the bare house at −1: 3 K·d a day; by the build in the dark, all that a lift knows."""
    crop = Crop(base_c=0.0, ceiling_c=None, method=GddMethod.HOURLY, window=JANUARY)
    ledger = replace(ledger_of(HOUSE, season=JANUARY), crop=crop)
    record = record_of({"indoor": np.full(288, 3.0), "outdoor": np.full(288, -3.0)}, first="2026-01-10T00:00+01:00")
    heat = reckon(prepare(record, ledger), ledger).seasons[0]
    assert heat.gdd_indoor_k_d == pytest.approx(36.0)
    assert heat.gdd_outdoor_k_d == pytest.approx(0.0)
    assert heat.hours_counted == 180
    assert heat.gdd_by_build_k_d == pytest.approx(3.0 * 180 / 24)
