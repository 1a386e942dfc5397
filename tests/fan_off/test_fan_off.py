"""Nights with the fan off against like nights on, on winters whose effect is written down."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from ledger.heat.fan_nights import Night, nights_of_season
from ledger.heat.fan_off import effect_k, fan_off_answer
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import prepare
from ledger.intake.ledger_file import read_ledger
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord, HoursByReason, LogFigures

EFFECT_K = 2.5
LEDGER = """
[ledger]
title = "Fan test"
currency = "EUR"
[site]
latitude = 46
longitude = 0
elevation = "500 m"
timezone = "UTC"
[house]
floor_area = "60 m2"
volume = "150 m3"
air_changes = 0.6
[[house.surface]]
name = "cover"
area = "120 m2"
u_value = "3 W/m2/K"
[[house.edge]]
name = "footing"
length = "32 m"
loss = "0.7 W/m/K"
[hold]
temperature = "5 degC"
season = { begins = "10-01", ends = "04-30" }
[crop]
base = "10 degC"
[money]
base_date = 2024-10-01
study_years = 20
discount_rate = 0.05
inflation = 0.02
[electricity]
price = 0.2
[[build]]
name = "tubes"
life_years = 30
[[build.item]]
date = 2024-06-01
what = "all"
amount = 1000
[[source]]
name = "heater"
kind = "electric resistance"
unit = "kWh"
price = 0.2
capital = 100
life_years = 8
backup = true
[[log]]
file = "log.csv"
indoor = { column = "in [°C]" }
outdoor = { column = "out [°C]" }
"""


def ledger_in(folder: Path, more: str = "") -> Ledger:
    (folder / "ledger.toml").write_text(LEDGER + more, encoding="utf-8")
    return read_ledger(folder / "ledger.toml").ledger


def winter(*, off_every: int, seed: int = 1, days: int = 150) -> HourlyRecord:
    """Lift 5 K − 0.1 · outdoors + 0.01 · sun, 2.5 K more on nights with the fan; five days off in every `off_every`."""
    rng = np.random.default_rng(seed)
    index = pd.date_range("2024-10-20", periods=days * 24, freq="h", tz="UTC")
    day, hour = np.arange(days * 24) // 24, np.arange(days * 24) % 24
    noon = np.arange(days * 24) - 12
    evening = np.maximum(noon // 24, 0)
    bright = rng.uniform(40, 160, days)
    outdoors = np.repeat(rng.normal(0, 4, days), 24)
    off = (day % off_every) < 5 if off_every else np.zeros(len(day), dtype=bool)
    sunny = (hour >= 9) & (hour < 16)
    sun = np.where(sunny, bright[day] * 24 / 7, 0.0)
    lift = 5.0 - 0.1 * outdoors + 0.01 * bright[evening] + np.repeat(rng.normal(0, 0.5, days), 24)
    indoor = outdoors + lift + EFFECT_K * ~off[np.maximum(noon, 0)]
    indoor = np.where(sunny, np.maximum(indoor, 23.0 + rng.normal(0, 1.0, len(day))), indoor)
    fan = np.where(off, 0.0, (sunny | (hour < 6)).astype(float))
    table = pd.DataFrame(
        {"indoor": indoor, "outdoor": outdoors, "sun": sun, "fan_on": fan, "fan_w": fan * 150.0}, index=index
    )
    none = HoursByReason()
    figures = LogFigures(None, None, len(table), len(table), 1.0, none, none, {}, ())
    return HourlyRecord(table, pd.Series("", index=index), table, 60.0, "UTC", figures)


def prepared(record: HourlyRecord, ledger: Ledger) -> Prepared:
    return prepare(record, ledger)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_effect_written_into_a_winter_is_found_within_its_error(tmp_path: Path, seed: int) -> None:
    ledger = ledger_in(tmp_path)
    answer = fan_off_answer(prepared(winter(off_every=20, seed=seed), ledger), ledger)
    season = answer.seasons["2024-25"]
    assert season.se_k < 0.4
    assert abs(season.effect_k - EFFECT_K) < 3.0 * season.se_k
    # of eight: the first has no running nights before it, and a block without a cold night could be a fan that idles
    assert season.blocks >= 5


@pytest.mark.parametrize("seed", [1, 2, 3, 4, 5])
def test_no_night_counts_as_switched_off_that_was_not(tmp_path: Path, seed: int) -> None:
    """Five days off in every twenty are written into the winter, from its first day on."""
    ledger = ledger_in(tmp_path)
    record = winter(off_every=20, seed=seed)
    year = prepared(record, ledger).years[0]
    first_day = int(year.day_number[year.in_season][0])
    started = (record.hours.index[0].date() - pd.Timestamp("2024-10-01").date()).days
    off = [night for night in nights_of_season(year) if night.off]
    assert off
    for night in off:
        assert (night.day - first_day - started) % 20 < 5


def test_the_bare_house_is_what_was_measured_on_off_nights_and_colder_by_the_effect_on_others(tmp_path: Path) -> None:
    ledger, record = ledger_in(tmp_path), winter(off_every=20)
    ready = prepared(record, ledger)
    season = fan_off_answer(ready, ledger).seasons["2024-25"]
    gap = (record.hours["indoor"] - season.bare.bare_c.reindex(record.hours.index)).dropna()
    assert set(np.round(gap.unique(), 9)) == {0.0, round(season.effect_k, 9)}
    assert season.bare.low_k == pytest.approx(-season.bare.high_k)


def test_the_first_night_after_each_switch_is_not_used(tmp_path: Path) -> None:
    ledger = ledger_in(tmp_path)
    nights = nights_of_season(prepared(winter(off_every=20), ledger).years[0])
    for before, after in pairwise(nights):
        if before.off != after.off:
            assert not after.usable


def test_a_winter_without_off_nights_says_so_and_names_blocks_of_next_season(tmp_path: Path) -> None:
    ledger = ledger_in(tmp_path)
    answer = fan_off_answer(prepared(winter(off_every=0), ledger), ledger)
    assert not answer.seasons
    assert "0 usable nights with the fan switched off" in answer.why_not[0]
    assert len(answer.calendar) >= 3
    for block in answer.calendar:
        assert (block.last_night - block.first_night).days == 4
        assert block.first_night.year >= 2025


def test_a_tank_beside_the_tubes_makes_the_test_say_nothing_of_the_bare_house(tmp_path: Path) -> None:
    tank = '[[build]]\nname = "tank"\nlife_years = 20\n[[build.item]]\ndate = 2024-06-01\nwhat = "all"\namount = 5\n'
    ledger = ledger_in(tmp_path, tank)
    answer = fan_off_answer(prepared(winter(off_every=20), ledger), ledger)
    assert not answer.seasons
    assert "still stand" in answer.why_not[0]


def test_without_a_fan_channel_there_is_nothing_to_compare(tmp_path: Path) -> None:
    ledger, record = ledger_in(tmp_path), winter(off_every=20)
    bare = replace(record, hours=record.hours[["indoor", "outdoor"]], fine=record.fine[["indoor", "outdoor"]])
    assert fan_off_answer(prepared(bare, ledger), ledger).why_not == ("No channel shows when the fan ran.",)


def test_an_exact_difference_has_no_error() -> None:
    """Lift 4 K with, 1.5 K without, whatever the weather: effect 2.5, standard error 0."""
    nights = [Night(i, 4.0 if i % 2 else 1.5, float(i), float(i * i), i % 2 == 0, i // 4, True) for i in range(24)]
    effect, se = effect_k([n for n in nights if not n.off], [n for n in nights if n.off])
    assert effect == pytest.approx(2.5)
    assert se == pytest.approx(0.0, abs=1e-9)
