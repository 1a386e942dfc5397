"""The five rungs, by hand and by law."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.heat.reckoning import prepare, reckon
from ledger.heat.rungs import (
    Coefficients,
    CountedAir,
    bare_doubt_kwh,
    credited_kwh,
    gross_kwh,
    hourly_heat,
    need_kwh,
)
from ledger.model.values import MonthDay, Window
from tests.heat.builders import ledger_of, plain_house, record_of, spread

TWO_NIGHTS = Window(MonthDay(1, 10), MonthDay(1, 12))


def test_two_nights_by_hand() -> None:
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


def air_of(outdoor: list[float], indoor: list[float], day: list[bool], sun_gain_w: float = 0.0) -> CountedAir:
    flags = np.array(day)
    return CountedAir(np.array(outdoor), np.array(indoor), flags, np.where(flags, sun_gain_w, 0.0))


def same_h(stands: float, bare: float, hours: int) -> Coefficients:
    return Coefficients(np.full(hours, stands), np.full(hours, bare))


def test_a_second_layer_and_a_store_share_the_saving_by_hand() -> None:
    """One hour at −10 °C, hold 5 °C. H_bare 200 W/K, H 100 W/K, lift of the bare house 2 K: T_b = −8 °C.

    need = 0.2 · (5 + 8) = 2.6. With the layer alone the lift is 2 · 200/100 = 4 K: T_e = −6 °C, still wanted
    0.1 · (5 + 6) = 1.1, so the envelope's part is 1.5. Indoors 3 °C: the store's part 0.1 · (3 + 6) = 0.9.
    Added 2.4, short 0.1 · (5 − 3) = 0.2 = 2.6 − 2.4. Load and held use H: 1.5 and 1.3.
    """
    heat = hourly_heat(air_of([-10.0], [3.0], [False]), hold_c=5.0, bare_c=np.array([-8.0]), h=same_h(100.0, 200.0, 1))
    assert heat.need_kwh[0] == pytest.approx(2.6)
    assert heat.added_kwh[0] == pytest.approx(2.4)
    assert heat.shortfall_kwh[0] == pytest.approx(0.2)
    assert heat.load_kwh[0] == pytest.approx(1.5)
    assert heat.held_kwh[0] == pytest.approx(1.3)


def test_a_sunlit_hour_counts_only_what_the_sun_leaves() -> None:
    """0 °C outdoors, hold 10 °C, H 100 W/K, the sun brings 400 W; bare house 2 °C, indoors 7 °C.

    load max(0, 1.0 − 0.4) = 0.6; held max(0, 0.7 − 0.4) = 0.3; bare house max(0, 0.2 − 0.4) = 0: need 0.6 − 0 = 0.6;
    short 0.6 − 0.3 = 0.3; added 0.3. The same hour in the dark: 1.0, 0.7, 0.8, 0.3, 0.5.
    """
    air = air_of([0.0, 0.0], [7.0, 7.0], [True, False], 400.0)
    heat = hourly_heat(air, hold_c=10.0, bare_c=np.array([2.0, 2.0]), h=same_h(100.0, 100.0, 2))
    assert heat.load_kwh.tolist() == pytest.approx([0.6, 1.0])
    assert heat.held_kwh.tolist() == pytest.approx([0.3, 0.7])
    assert heat.need_kwh.tolist() == pytest.approx([0.6, 0.8])
    assert heat.shortfall_kwh.tolist() == pytest.approx([0.3, 0.3])
    assert heat.added_kwh.tolist() == pytest.approx([0.3, 0.5])


def test_a_film_house_colder_than_outdoors_needs_more_than_the_load() -> None:
    """2 °C outdoors, bare house 1 °C, hold 5 °C, H 100 W/K: load 0.3, need 0.4; indoors 0.5 °C: added −0.05."""
    heat = hourly_heat(air_of([2.0], [0.5], [False]), hold_c=5.0, bare_c=np.array([1.0]), h=same_h(100, 100, 1))
    assert (heat.load_kwh[0], heat.need_kwh[0]) == (pytest.approx(0.3), pytest.approx(0.4))
    assert heat.added_kwh[0] == pytest.approx(-0.05)
    assert bare_doubt_kwh(heat.added_kwh) == pytest.approx(0.05)


def test_credited_is_added_less_backup_and_at_most_the_need() -> None:
    assert credited_kwh(added_kwh=10.0, backup_delivered_kwh=3.0, need_kwh=20.0) == 7.0
    assert credited_kwh(added_kwh=10.0, backup_delivered_kwh=30.0, need_kwh=20.0) == -20.0
    assert credited_kwh(added_kwh=10.0, backup_delivered_kwh=0.0, need_kwh=8.0) == 8.0


TEMPERATURES = st.floats(-30, 40)
HOURS = st.lists(st.tuples(TEMPERATURES, TEMPERATURES, TEMPERATURES, st.booleans()), min_size=1, max_size=30)


@settings(max_examples=150)
@given(
    hours=HOURS,
    hold=st.floats(-2, 20),
    h=st.floats(10, 500),
    worse=st.floats(1, 4),
    sun=st.floats(0, 5000),
    backup=st.floats(0, 50),
)
def test_the_rungs_keep_their_order_and_the_account_closes(
    hours: list[tuple[float, float, float, bool]], hold: float, h: float, worse: float, sun: float, backup: float
) -> None:
    outdoor, indoor, bare, day = (list(column) for column in zip(*hours, strict=True))
    air = air_of(outdoor, indoor, day, sun)
    heat = hourly_heat(air, hold_c=hold, bare_c=np.array(bare), h=same_h(h, h * worse, len(hours)))
    need, held, load = (float(np.sum(x)) for x in (heat.need_kwh, heat.held_kwh, heat.load_kwh))
    added, short = float(np.sum(heat.added_kwh)), float(np.sum(heat.shortfall_kwh))
    gross = gross_kwh(air.indoor_c, air.outdoor_c, np.full(len(hours), h), step_h=1.0)
    credited = credited_kwh(added_kwh=added, backup_delivered_kwh=backup, need_kwh=need)
    assert held <= gross + 1e-9
    assert held <= load + 1e-9
    assert credited <= need + 1e-9
    assert credited < added + 1e-9
    assert need - credited == pytest.approx(short + backup, abs=1e-6)


@settings(max_examples=100)
@given(hours=HOURS, hold=st.floats(-2, 20), h=st.floats(10, 500), better=st.floats(0.1, 1), floor_w=st.floats(0, 5000))
def test_better_insulation_never_raises_the_need_though_the_lift_grows(
    hours: list[tuple[float, float, float, bool]], hold: float, h: float, better: float, floor_w: float
) -> None:
    """By the default lift the bare house is floor heat / H over outdoors, so that it warms as H falls."""
    outdoor, indoor, _, day = (list(column) for column in zip(*hours, strict=True))
    air = air_of(outdoor, indoor, day)

    def need(coefficient: float) -> float:
        bare = air.outdoor_c + floor_w / coefficient
        return float(np.sum(need_kwh(air, hold_c=hold, bare_c=bare, bare_w_per_k=np.full(len(hours), coefficient))))

    assert need(h * better) <= need(h) + 1e-9
