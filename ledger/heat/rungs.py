"""From warmth to money: what the house lost, needed, held and was spared, hour by hour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

WATT_HOURS_PER_KWH = 1000.0
BELOW_HOLD_TOLERANCE_K = 1e-9
DOUBTFUL_SHARE_OF_ADDED = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class CountedAir:
    """Counted valid hours, one row each.

    Attributes
    ----------
    outdoor_c, indoor_c : hourly means; indoor NaN where only the climate is known. [°C]
    day : True where the sun is up (only with `count = "balance"`).
    sun_gain_w : heat that the sun brings into the house, 0 by night. [W]
    step_h : length of a row. [h]
    """

    outdoor_c: Floats
    indoor_c: Floats
    day: Flags
    sun_gain_w: Floats
    step_h: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Coefficients:
    """Heat-loss coefficient of each row [W/K]: of the house as it stands, and of the bare house."""

    stands_w_per_k: Floats
    bare_w_per_k: Floats


@dataclass(frozen=True, slots=True, eq=False)
class HourlyHeat:
    """Heat of each counted valid hour [kWh]. `added` = `need` − `shortfall`."""

    load_kwh: Floats
    held_kwh: Floats
    need_kwh: Floats
    shortfall_kwh: Floats

    @property
    def added_kwh(self) -> Floats:
        """What the build added, negative hours kept [kWh]."""
        return self.need_kwh - self.shortfall_kwh


def loss_kwh(temp_c: Floats | float, air: CountedAir, h_w_per_k: Floats) -> Floats:
    """Heat that a house at a temperature loses in each hour, less what the sun brings.

        by night  H · (T − T_o) · Δt, below 0 where T is colder than outdoors
        by day    max(0, H · (T − T_o) − sun_gain · floor_area · sun) · Δt

    Parameters
    ----------
    temp_c : temperature indoors. [°C]
    air : the hours.
    h_w_per_k : heat-loss coefficient of each hour. [W/K]

    Returns
    -------
    array : heat. [kWh]

    Source
    ------
    Steady-state balance of ISO 13789:2017; sunlit hours as in the quasi-steady balance of ISO 52016-1.
    """
    watts = h_w_per_k * (temp_c - air.outdoor_c)
    watts = np.where(air.day, np.maximum(0.0, watts - air.sun_gain_w), watts)
    return np.asarray(watts * (air.step_h / WATT_HOURS_PER_KWH))


def need_kwh(air: CountedAir, *, hold_c: float, bare_c: Floats, bare_w_per_k: Floats) -> Floats:
    """Heat that the bare house would have to be given in each hour to be at the hold temperature.

        need = H_bare · max(0, T_h − T_b) · Δt

    Parameters
    ----------
    air : the hours.
    hold_c : hold temperature. [°C]
    bare_c : temperature of the unheated bare house. [°C]
    bare_w_per_k : its heat-loss coefficient. [W/K]

    Returns
    -------
    array : heat. [kWh]
    """
    return loss_kwh(hold_c, air, bare_w_per_k) - loss_kwh(np.minimum(bare_c, hold_c), air, bare_w_per_k)


def shortfall_kwh(air: CountedAir, *, hold_c: float, indoor_c: Floats, h_w_per_k: Floats) -> Floats:
    """Heat that was missing in each hour for the house to be at the hold temperature.

        shortfall = H · max(0, T_h − T_i) · Δt

    Parameters
    ----------
    air : the hours.
    hold_c : hold temperature. [°C]
    indoor_c : temperature of the house as it stands. [°C]
    h_w_per_k : its heat-loss coefficient. [W/K]

    Returns
    -------
    array : heat. [kWh]
    """
    return loss_kwh(hold_c, air, h_w_per_k) - loss_kwh(np.minimum(indoor_c, hold_c), air, h_w_per_k)


def hourly_heat(air: CountedAir, *, hold_c: float, bare_c: Floats, h: Coefficients) -> HourlyHeat:
    """Every rung below `gross`, hour by hour.

        load  = H · max(0, T_h − T_o)                  held  = H · max(0, min(T_i, T_h) − T_o)
        need  = H_bare · max(0, T_h − T_b)             added = need − H · max(0, T_h − T_i)

    Without a build that changes the envelope H_bare = H and `added` is H · (min(T_i, T_h) − min(T_b, T_h)). With one
    it is the envelope's part plus the store's part: need − H·max(0, T_h − T_e), and H·(min(T_i, T_h) − min(T_e, T_h)),
    where T_e, the house with the new envelope and no store, falls out of the sum.

    Parameters
    ----------
    air : counted valid hours.
    hold_c : hold temperature. [°C]
    bare_c : temperature of the bare house, unheated. [°C]
    h : heat-loss coefficients. [W/K]

    Returns
    -------
    HourlyHeat : load, held, need, shortfall. [kWh]
    """
    return HourlyHeat(
        load_kwh=np.maximum(0.0, loss_kwh(hold_c, air, h.stands_w_per_k)),
        held_kwh=np.maximum(0.0, loss_kwh(np.minimum(air.indoor_c, hold_c), air, h.stands_w_per_k)),
        need_kwh=need_kwh(air, hold_c=hold_c, bare_c=bare_c, bare_w_per_k=h.bare_w_per_k),
        shortfall_kwh=shortfall_kwh(air, hold_c=hold_c, indoor_c=air.indoor_c, h_w_per_k=h.stands_w_per_k),
    )


def gross_kwh(indoor_c: Floats, outdoor_c: Floats, h_w_per_k: Floats, *, step_h: float) -> float:
    """All the warmth of all valid hours, day and night; for curiosity.

        gross = Σ H · max(0, T_i − T_o) · Δt

    Parameters
    ----------
    indoor_c, outdoor_c : valid hours. [°C]
    h_w_per_k : heat-loss coefficient of each hour. [W/K]
    step_h : length of a row. [h]

    Returns
    -------
    float : heat. [kWh]
    """
    return float(np.sum(h_w_per_k * np.maximum(0.0, indoor_c - outdoor_c)) * step_h / WATT_HOURS_PER_KWH)


def credited_kwh(*, added_kwh: float, backup_delivered_kwh: float, need_kwh: float) -> float:
    """What may be paid for: the added heat less the backup heat delivered, at most the need; it may be below 0.

    Parameters
    ----------
    added_kwh : heat that the build added. [kWh]
    backup_delivered_kwh : bought heat that reached the house. [kWh]
    need_kwh : heat that the bare house would have needed. [kWh]

    Returns
    -------
    float : avoided heat. [kWh]
    """
    return min(need_kwh, added_kwh - backup_delivered_kwh)


def bare_doubt_kwh(added_kwh: Floats) -> float:
    """How much the hours in which the bare house would have been warmer than the built one take off `added`.

    Printed as a positive amount. Above a tenth of `added` the bare house's temperature is doubtful.

    Parameters
    ----------
    added_kwh : hourly heat that the build added. [kWh]

    Returns
    -------
    float : size of the sum of the negative hours. [kWh]
    """
    return float(np.sum(np.maximum(0.0, -added_kwh)))
