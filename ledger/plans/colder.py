"""A logged winter made colder, where no house model is believed: what the build still gives, night by night."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.rungs import need_kwh
from ledger.heat.season_answer import SeasonWork
from ledger.model.house import Site
from ledger.money.project import FloatArray

# A night's want below this is rounding. [kWh]
NO_WANT_KWH = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class ColdWinter:
    """A season's counted hours in a colder winter, heater off.

    Attributes
    ----------
    begins_utc : when each row begins.
    outdoor_c : [°C]
    need_kwh, to_buy_kwh : in each row, bare and with the builds. [kWh]
    indoor_c : with the builds and no heater; at or above the hold temperature it is that temperature. [°C]
    night : which night each row belongs to, 0 to count − 1, in order of time.
    evenings : number of the clock day on whose evening each night began.
    fan_w : what the logged fan drew in each row, its mean where a row is open, 0 where none is logged. [W]
    step_h : length of a row. [h]
    cap_kwh : most that the builds are taken to give in a night. [kWh]
    cap_seen : whether a night below hold has shown that limit; else it is the most they ever gave.
    """

    begins_utc: pd.DatetimeIndex
    outdoor_c: FloatArray
    need_kwh: FloatArray
    to_buy_kwh: FloatArray
    indoor_c: FloatArray
    night: NDArray[np.intp]
    evenings: NDArray[np.int64]
    fan_w: FloatArray
    step_h: float
    cap_kwh: float
    cap_seen: bool

    def by_night(self, hourly: FloatArray) -> FloatArray:
        """Sum of each night."""
        return np.asarray(np.bincount(self.night, weights=hourly), dtype=np.float64)


def colder_winter(work: SeasonWork, site: Site, *, hold_c: float, colder_k: float) -> ColdWinter:
    """Shift a season's outdoor temperature, and with it the bare house's, and let the builds give what they can.

        need    = Σ H_bare · max(0, T_h − (T_b − colder))
        a night below hold  : what the builds gave then is their limit
        a night that held   : they give up to the highest such limit (none seen: up to the most they ever gave)
        to buy  = need − given, spread over the night as its need is; backup heat that was delivered is bought again

    Differs from a run of the house model, in which a store also cools with the weeks before.

    Parameters
    ----------
    work : the season as reckoned.
    site : for the clock of its nights.
    hold_c : hold temperature. [°C]
    colder_k : how much colder than logged; negative is milder. [K]

    Returns
    -------
    ColdWinter
    """
    reckoned, year = work.reckoned, work.year
    rows, h = reckoned.rows, reckoned.h
    air = replace(reckoned.air, outdoor_c=reckoned.air.outdoor_c - colder_k)
    need = need_kwh(air, hold_c=hold_c, bare_c=reckoned.bare_c[rows] - colder_k, bare_w_per_k=h.bare_w_per_k)
    begins = year.begins_utc[rows]
    evenings, night = nights_between_noons(begins, site)
    gave, short = (np.bincount(night, weights=x) for x in (reckoned.heat.added_kwh, reckoned.heat.shortfall_kwh))
    below = short > NO_WANT_KWH
    limits = gave[below] if bool(below.any()) else gave
    cap = float(limits.max()) if limits.size else 0.0
    can_give = np.where(below, gave, np.maximum(gave, cap))
    needed = np.asarray(np.bincount(night, weights=need), dtype=np.float64)
    left = np.maximum(0.0, needed - np.minimum(needed, can_give))
    left = _with_backup(left, needed, work.backup.delivered_kwh)
    part = np.divide(left, needed, out=np.zeros_like(left), where=needed > NO_WANT_KWH)
    to_buy = need * part[night]
    indoor = hold_c - to_buy * 1000.0 / (h.stands_w_per_k * year.step_h)
    return ColdWinter(
        begins_utc=begins,
        outdoor_c=air.outdoor_c,
        need_kwh=need,
        to_buy_kwh=to_buy,
        indoor_c=indoor,
        night=night,
        evenings=evenings,
        fan_w=_filled(year.channels["fan_w"][rows]),
        step_h=year.step_h,
        cap_kwh=cap,
        cap_seen=bool(below.any()),
    )


def nights_between_noons(begins: pd.DatetimeIndex, site: Site) -> tuple[NDArray[np.int64], NDArray[np.intp]]:
    """The evenings, and the night of each row: from noon to noon of the clock."""
    local = begins.tz_convert(site.timezone).tz_localize(None) - pd.Timedelta(hours=12)
    evenings, night = np.unique(local.normalize().as_unit("s").asi8 // 86400, return_inverse=True)
    return np.asarray(evenings, dtype=np.int64), np.asarray(night, dtype=np.intp)


def _filled(watts: FloatArray) -> FloatArray:
    known = np.isfinite(watts)
    return np.where(known, watts, float(np.mean(watts[known])) if bool(known.any()) else 0.0)


def _with_backup(left_kwh: FloatArray, needed_kwh: FloatArray, backup_kwh: float) -> FloatArray:
    """Backup heat stood in what was given: it is bought again, where the build was said to have met the need."""
    met = needed_kwh - left_kwh
    whole = float(met.sum())
    if backup_kwh <= 0.0 or whole <= 0.0:
        return left_kwh
    return np.asarray(left_kwh + met * min(1.0, backup_kwh / whole))
