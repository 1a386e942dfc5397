"""The five rungs, by hand and by law."""

from __future__ import annotations

import numpy as np
import pytest

from ledger.heat.reckoning import prepare, reckon
from ledger.model.house import Window
from ledger.model.values import MonthDay
from tests.heat.builders import ledger_of, plain_house, record_of, spread

TWO_NIGHTS = Window(MonthDay(1, 10), MonthDay(1, 12))


def test_two_nights_by_hand():
    """Three days in January at 46° N, from 10 January 00:00 to 12 January 24:00; the sun is up for about nine hours.

    House: H = 100 W/K (50 m2 · 2 W/m2/K, no leak, no edge, sea level). Hold 5 °C. The bare house is 2 K over outdoors.
    Outdoors −1 °C on the first day and −5 °C on the two that follow, indoors 4 °C and 1 °C: the figures change only by
    the clock day, so that every dark hour of a day is the same hour.

        day 1, a dark hour: load   0.1 kW/K · (5 − −1) = 0.6    held 0.1 · (4 − −1) = 0.5
                            bare   −1 + 2 = 1 °C: need 0.1 · (5 − 1) = 0.4
                            short  0.1 · (5 − 4) = 0.1           added 0.4 − 0.1 = 0.3
        days 2 and 3:       load   0.1 · (5 − −5) = 1.0          held 0.1 · (1 − −5) = 0.6
                            bare   −3 °C: need 0.1 · (5 − −3) = 0.8
                            short  0.1 · (5 − 1) = 0.4           added 0.4
        gross, every hour:  day 1 0.1 · 5 = 0.5, days 2 and 3 0.1 · 6 = 0.6: 24 · 0.5 + 48 · 0.6 = 40.8

    Sunrise near 7:52 and sunset near 16:51 (clock +1): hours beginning 8 to 16 have their middle in the light, so 15 of
    24 hours are dark: load 15 · 0.6 + 30 · 1.0 = 39, held 15 · 0.5 + 30 · 0.6 = 25.5, need 15 · 0.4 + 30 · 0.8 = 30,
    short 15 · 0.1 + 30 · 0.4 = 13.5, added 30 − 13.5 = 16.5, all of it credited, 16.5 / 30 = 0.55 of the need.
    Dark degree-hours: load ÷ 0.1 = 390.
    """
    ledger = ledger_of(plain_house(100.0, lift=spread(2.0)), season=TWO_NIGHTS)
    day = np.repeat([0, 1, 2], 24)
    record = record_of(
        {"indoor": np.where(day == 0, 4.0, 1.0), "outdoor": np.where(day == 0, -1.0, -5.0)},
        first="2026-01-10T00:00+01:00",
    )
    season = reckon(prepare(record, ledger), ledger).seasons[0]
    assert (season.season, season.hours, season.hours_valid, season.hours_counted) == ("2026", 72, 72, 45)
    assert season.rungs.gross_kwh == pytest.approx(40.8)
    assert season.rungs.load_kwh == pytest.approx(39.0)
    assert season.rungs.held_kwh == pytest.approx(25.5)
    assert season.need_kwh == pytest.approx(30.0)
    assert season.shortfall_kwh == pytest.approx(13.5)
    assert season.rungs.added_kwh == pytest.approx(16.5)
    assert season.rungs.credited_kwh == pytest.approx(16.5)
    assert season.passive_fraction == pytest.approx(0.55)
    assert season.dark_degree_hours_k_h == pytest.approx(390.0)
    assert season.indoor_min_c == 1.0
    assert (season.hours_below_hold, season.hours_below_freezing) == (72, 0)
