"""A logged winter made colder, where no house model is believed: what the build still gives, night by night."""

from __future__ import annotations

from collections.abc import Sequence
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
    """A season's hours in a colder winter.

    Attributes
    ----------
    begins_utc : when each row begins.
    outdoor_c : [°C]
    need_kwh, to_buy_kwh : in each row, bare and with the builds. [kWh]
    indoor_c : with the builds and no heater; without a model at or above the hold temperature it is that. [°C]
    below : rows in which that is below the hold temperature.
    night : which night each row belongs to, 0 to count − 1, in order of time.
    evenings : number of the clock day on whose evening each night began.
    fan_w : what the fan draws in each row, its mean where a row is open, 0 where none is logged. [W]
    step_h : length of a row. [h]
    limit : what the log shows of the builds' limit; None where a model says it hour by hour.
    """

    begins_utc: pd.DatetimeIndex
    outdoor_c: FloatArray
    need_kwh: FloatArray
    to_buy_kwh: FloatArray
    indoor_c: FloatArray
    below: NDArray[np.bool_]
    night: NDArray[np.intp]
    evenings: NDArray[np.int64]
    fan_w: FloatArray
    step_h: float
    limit: Limit | None

    def by_night(self, hourly: FloatArray) -> FloatArray:
        """Sum of each night."""
        return np.asarray(np.bincount(self.night, weights=hourly), dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Limit:
    """The most that the builds are taken to give in a night, and how much that is worth.

    `cap_kwh`: the highest of the nights that they alone could not hold, all winters together; `seen`: there was such a
    night, else it is the most they ever gave. `to_buy_most_kwh`: had they given in no night more than the log shows.
    """

    cap_kwh: float
    seen: bool
    to_buy_most_kwh: float


@dataclass(frozen=True, slots=True, eq=False)
class LoggedNights:
    """What the builds gave in the nights of a logged season, heat of a backup taken off. [kWh]

    `short`: nights that they alone could not hold.
    """

    gave_kwh: FloatArray
    short: NDArray[np.bool_]


def logged_nights(work: SeasonWork, site: Site) -> LoggedNights:
    """Read off a season what its builds gave night by night.

        gave = Σ added − backup heat of the night;  short: shortfall + backup heat > 0

    Backup heat is put where the log shows the heater at work; where only its sum is known, in the hours of its month
    that were short, in proportion, since a heater works when the house is coldest, else by the need.

    Parameters
    ----------
    work : the season as reckoned.
    site : for the clock of its nights.

    Returns
    -------
    LoggedNights
    """
    rows, heat = work.reckoned.rows, work.reckoned.heat
    _, night = nights_between_noons(work.year.begins_utc[rows], site)
    backup = backup_by_row_kwh(work)
    gave = np.asarray(np.bincount(night, weights=heat.added_kwh - backup), dtype=np.float64)
    missing = np.bincount(night, weights=heat.shortfall_kwh + backup)
    return LoggedNights(gave, np.asarray(missing > NO_WANT_KWH))


def backup_by_row_kwh(work: SeasonWork) -> FloatArray:
    """Backup heat of a season laid on its counted hours. [kWh]"""
    rows, heat, whole = work.reckoned.rows, work.reckoned.heat, work.backup.delivered_kwh
    laid = np.zeros(rows.size)
    if whole <= 0.0 or not rows.size:
        return laid
    heater_w = np.nan_to_num(work.year.channels["heater_w"][rows])
    month = work.year.month[rows]
    by_month = work.backup.by_month_kwh
    for m in np.flatnonzero(by_month > 0.0) + 1:
        here = month == m
        shape = next(
            (w[here] for w in (heater_w, heat.shortfall_kwh, heat.need_kwh) if float(w[here].sum()) > 0.0), None
        )
        if shape is not None:
            laid[here] = by_month[m - 1] * shape / float(shape.sum())
    placed, need = float(laid.sum()), float(heat.need_kwh.sum())
    if placed > 0.0:
        return np.asarray(laid * (whole / placed))
    return heat.need_kwh * (whole / need) if need > 0.0 else laid


def limit_of(nights: Sequence[LoggedNights]) -> tuple[float, bool]:
    """The cap and whether a night has shown it: the highest of the short nights of all winters, else of all nights."""
    gave = np.concatenate([n.gave_kwh for n in nights]) if nights else np.empty(0)
    short = np.concatenate([n.short for n in nights]) if nights else np.empty(0, dtype=np.bool_)
    seen = bool(short.any())
    limits = gave[short] if seen else gave
    return (max(0.0, float(limits.max())) if limits.size else 0.0), seen


def colder_winter(
    work: SeasonWork, site: Site, *, hold_c: float, colder_k: float, logged: Sequence[LoggedNights] = ()
) -> ColdWinter:
    """Shift a season's outdoor temperature, and with it the bare house's, and let the builds give what they can.

        need    = Σ H_bare · max(0, T_h − (T_b − colder))
        a night that the builds alone could not hold : what they gave then is their limit
        a night that they held                       : up to the highest such limit (none seen: the most they ever gave)
        to buy  = need − given, spread over the night as its need is

    A night that held and gave more than that limit gives as much again: the log shows it. Differs from a run of the
    house model, in which a store also cools with the weeks before: this one gives the same every night.

    Parameters
    ----------
    work : the season as reckoned.
    site : for the clock of its nights.
    hold_c : hold temperature. [°C]
    colder_k : how much colder than logged; negative is milder. [K]
    logged : nights of all logged seasons, for the limit; none: those of this season.

    Returns
    -------
    ColdWinter
    """
    reckoned, year = work.reckoned, work.year
    rows, h = reckoned.rows, reckoned.h
    air = replace(reckoned.air, outdoor_c=reckoned.air.outdoor_c - colder_k)
    need = need_kwh(air, hold_c=hold_c, bare_c=reckoned.bare_c[rows] - colder_k, bare_w_per_k=h.bare_w_per_k)
    evenings, night = nights_between_noons(year.begins_utc[rows], site)
    own = logged_nights(work, site)
    cap, seen = limit_of(logged or (own,))
    needed = np.asarray(np.bincount(night, weights=need), dtype=np.float64)
    left = left_after(needed, np.where(own.short, own.gave_kwh, np.maximum(own.gave_kwh, cap)))
    to_buy = spread_by_need(left, need, night)
    indoor = hold_c - to_buy * 1000.0 / (h.stands_w_per_k * year.step_h)
    return ColdWinter(
        begins_utc=year.begins_utc[rows],
        outdoor_c=air.outdoor_c,
        need_kwh=need,
        to_buy_kwh=to_buy,
        indoor_c=indoor,
        below=to_buy > NO_WANT_KWH,
        night=night,
        evenings=evenings,
        fan_w=_filled(year.channels["fan_w"][rows]),
        step_h=year.step_h,
        limit=Limit(cap, seen, float(left_after(needed, own.gave_kwh).sum())),
    )


def left_after(needed_kwh: FloatArray, can_give_kwh: FloatArray) -> FloatArray:
    """What is left of each night's need: a build that took heat in a night takes it again."""
    return np.asarray(np.maximum(0.0, needed_kwh - np.minimum(needed_kwh, can_give_kwh)))


def spread_by_need(left_kwh: FloatArray, need_kwh: FloatArray, night: NDArray[np.intp]) -> FloatArray:
    """What is left of a night in its hours, as its need is spread."""
    needed = np.bincount(night, weights=need_kwh)
    part = np.divide(left_kwh, needed, out=np.zeros_like(left_kwh), where=needed > NO_WANT_KWH)
    return np.asarray(need_kwh * part[night])


def nights_between_noons(begins: pd.DatetimeIndex, site: Site) -> tuple[NDArray[np.int64], NDArray[np.intp]]:
    """The evenings, and the night of each row: from noon to noon of the clock."""
    local = begins.tz_convert(site.timezone).tz_localize(None) - pd.Timedelta(hours=12)
    evenings, night = np.unique(local.normalize().as_unit("s").asi8 // 86400, return_inverse=True)
    return np.asarray(evenings, dtype=np.int64), np.asarray(night, dtype=np.intp)


def _filled(watts: FloatArray) -> FloatArray:
    known = np.isfinite(watts)
    return np.where(known, watts, float(np.mean(watts[known])) if bool(known.any()) else 0.0)
