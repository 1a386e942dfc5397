"""The faults, each a function from a station's table to the table with the fault in it.

Columns are "Indoor [°C]", "Outdoor [°C]" and what else the farm logs; the index is the time in UTC, every quarter hour.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pandas as pd

INDOOR, OUTDOOR = "Indoor [°C]", "Outdoor [°C]"
PER_DAY = 96
Plant = Callable[[pd.DataFrame], pd.DataFrame]


def frozen_for_two_days(table: pd.DataFrame) -> pd.DataFrame:
    """The station repeats its last reading for two days."""
    first = len(table) // 2
    stays = np.arange(len(table))
    stays[first : first + 2 * PER_DAY] = first
    return table.iloc[stays].set_axis(table.index)


def hole_over_the_coldest_night(table: pd.DataFrame) -> pd.DataFrame:
    """Power fails for 24 hours with the coldest half day in its midst."""
    half_days = table[OUTDOOR].rolling(PER_DAY // 2, center=True).mean()
    middle = int(np.nanargmin(half_days.to_numpy()))
    return table.drop(table.index[middle - PER_DAY // 2 : middle + PER_DAY // 2])


def columns_changed_round(table: pd.DataFrame) -> pd.DataFrame:
    """What stands under indoor is outdoors, and the other way."""
    return table.assign(**{INDOOR: table[OUTDOOR], OUTDOOR: table[INDOOR]})


def clock_an_hour_fast(table: pd.DataFrame) -> pd.DataFrame:
    """Every stamp an hour late."""
    return table.shift(freq="1h")


def clock_an_hour_slow(table: pd.DataFrame) -> pd.DataFrame:
    """Every stamp an hour early."""
    return table.shift(freq="-1h")


def _biased(column: str, by_k: float) -> Plant:
    def plant(table: pd.DataFrame) -> pd.DataFrame:
        return table.assign(**{column: table[column] + by_k})

    side = "warm" if by_k > 0 else "cold"
    plant.__name__ = f"half_a_kelvin_too_{side}_{'indoors' if column == INDOOR else 'outdoors'}"
    return plant


too_warm_indoors, too_cold_indoors = _biased(INDOOR, 0.5), _biased(INDOOR, -0.5)
too_warm_outdoors, too_cold_outdoors = _biased(OUTDOOR, 0.5), _biased(OUTDOOR, -0.5)


def spikes(table: pd.DataFrame) -> pd.DataFrame:
    """Thirty single readings of each channel leap by thirty kelvin."""
    rng, found = np.random.default_rng(3), {}
    for column in (INDOOR, OUTDOOR):
        values = table[column].to_numpy(dtype=np.float64, copy=True)
        values[rng.choice(len(values), 30, replace=False)] += rng.choice([-30.0, 30.0], 30)
        found[column] = values
    return table.assign(**found)


def _fahrenheit(table: pd.DataFrame, columns: list[str], first: int) -> pd.DataFrame:
    found = {}
    for column in columns:
        values = table[column].to_numpy(dtype=np.float64, copy=True)
        values[first:] = np.round(values[first:] * 1.8 + 32.0, 1)
        found[column] = values
    return table.assign(**found)


def _temperatures(table: pd.DataFrame) -> list[str]:
    return [column for column in table.columns if "°C" in column]


def fahrenheit_from_the_middle_on(table: pd.DataFrame) -> pd.DataFrame:
    """Somebody turned the display to °F: the numbers follow, the header does not."""
    return _fahrenheit(table, _temperatures(table), len(table) // 2)


def fahrenheit_called_celsius(table: pd.DataFrame) -> pd.DataFrame:
    """All temperatures in °F under headers that say °C."""
    return _fahrenheit(table, _temperatures(table), 0)


def fahrenheit_indoors_only(table: pd.DataFrame) -> pd.DataFrame:
    """One sensor in °F under a header that says °C."""
    return _fahrenheit(table, [INDOOR], 0)


def fahrenheit_outdoors_only(table: pd.DataFrame) -> pd.DataFrame:
    """The other sensor in °F under a header that says °C."""
    return _fahrenheit(table, [OUTDOOR], 0)


WITHIN_RANGE: tuple[Plant, ...] = (
    frozen_for_two_days,
    hole_over_the_coldest_night,
    clock_an_hour_fast,
    clock_an_hour_slow,
    too_warm_indoors,
    too_cold_indoors,
    too_warm_outdoors,
    too_cold_outdoors,
    spikes,
)
"""Faults that the range has to hold."""

NAMED: dict[Plant, frozenset[str]] = {
    frozen_for_two_days: frozenset({"log-stuck"}),
    spikes: frozenset({"log-spike"}),
    columns_changed_round: frozenset({"log-swapped"}),
    fahrenheit_called_celsius: frozenset({"log-too-warm"}),
    fahrenheit_indoors_only: frozenset({"log-too-warm"}),
    fahrenheit_outdoors_only: frozenset({"log-too-warm", "log-swapped"}),
}
"""Faults that a warning has to name, by any of these codes; one that turns midway is refused with its line."""
