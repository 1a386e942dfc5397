"""Nights: how long they are, which need heat, on which someone has to get up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from ledger.model.house import Site
from ledger.plans.nights import nights_of, nights_to_tend
from tests.known import known
from tests.money.made import sure
from tests.plans.made import compared, named, plug, stove
from tests.running.made import ledger_with, typical

EQUATOR = Site(0.0, 0.0, 0.0, "UTC")


def hours_of(first: str, count: int, weight: float = 1.0) -> pd.DataFrame:
    return pd.DataFrame(
        {"weight": np.full(count, weight)}, index=pd.date_range(first, periods=count, freq="h", tz="UTC")
    )


def test_a_night_at_the_equator_is_twelve_hours_and_stands_for_itself() -> None:
    """On the equator at longitude 0 near the equinox of 2026 the sun sets at about 18:07 and rises at about 06:07 UTC:
    the hours 18 to 5 have it below the horizon in their middle. Two days of hours: 12 dark ones from each evening,
    the first morning's 6 and the last evening's 6 belong to nights seen by half."""
    nights = known(nights_of(hours_of("2026-03-20T00:00", 48), EQUATOR))
    assert nights.dark_hours.tolist() == [12.0, 12.0, 12.0]
    assert nights.weight == pytest.approx([0.5, 1.0, 0.5])
    assert nights.rows.size == 24


def test_rows_that_stand_twice_make_their_night_stand_twice_and_holes_do_not_shorten_it() -> None:
    """Six of the twelve dark hours logged, each standing for 2: one night, still twelve hours long."""
    nights = known(nights_of(hours_of("2026-03-20T18:00", 6, weight=2.0), EQUATOR))
    assert nights.dark_hours.tolist() == [12.0]
    assert nights.weight == pytest.approx([1.0])


def test_rows_that_repeat_an_hour_are_nights_of_their_own() -> None:
    one = hours_of("2026-03-20T18:00", 12)
    nights = known(nights_of(pd.concat([one, one * 0.25]), EQUATOR))
    assert sorted(nights.weight) == pytest.approx([0.25, 1.0])
    first_only = np.r_[np.ones(12), np.zeros(12)]
    assert nights.weight[nights.with_heat(first_only)] == pytest.approx([1.0])


def test_a_load_that_burns_longer_than_the_night_needs_nobody() -> None:
    profile = pd.concat([hours_of(f"2026-03-2{d}T18:00", 12) for d in range(5)])
    nights = known(nights_of(profile, EQUATOR))
    heat = np.r_[np.zeros(24), np.ones(36)]
    assert nights_to_tend(nights, heat, burn_hours=6.0) == 3
    assert nights_to_tend(nights, heat, burn_hours=12.0) == 0


def test_rows_that_do_not_say_when_they_are_give_no_nights() -> None:
    assert nights_of(pd.DataFrame({"weight": [1.0]}), EQUATOR) is None


def test_daylight_rows_are_no_night() -> None:
    assert nights_of(hours_of("2026-03-20T10:00", 3), EQUATOR) is None


HEAT = typical([5.0] * 13, [0.0] * 12 + [5.0], weight=1.0)


def test_plans_say_on_how_many_nights_a_stove_wants_tending() -> None:
    """13 January hours from 17:00 UTC on at 46° north: a night of 14 or 15 h; heat in all hours alone, in the last
    hour with the build. A load lasts 6 h: one night either way; unknown without burn hours; a heater needs nobody."""
    ledger = ledger_with(sources=(stove(burn_hours=sure(6.0)), plug()))
    answer = compared(ledger, HEAT)
    assert named(answer, "wood stove alone").nights_to_tend == 1
    assert named(answer, "plug heater alone").nights_to_tend == 0
    silent = compared(replace(ledger, sources=(stove(), plug())), HEAT)
    assert named(silent, "wood stove alone").nights_to_tend is None
    long = compared(replace(ledger, sources=(stove(burn_hours=sure(16.0)), plug())), HEAT)
    assert named(long, "wood stove alone").nights_to_tend == 0
