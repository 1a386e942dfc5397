"""Another outdoor record in the place of the logged winter: its worst season, and what the builds would give in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ledger.heat.envelope import envelope
from ledger.heat.housemodel.other_years import FittedHouse
from ledger.heat.prepared import YearHours, lay_out
from ledger.heat.rungs import need_kwh
from ledger.heat.season import coefficients, counted_air
from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger
from ledger.plans.colder import (
    NO_WANT_KWH,
    ColdWinter,
    Limit,
    left_after,
    limit_of,
    logged_nights,
    nights_between_noons,
    spread_by_need,
)
from ledger.plans.model_winter import model_stress
from ledger.plans.results import Stress
from ledger.plans.stress import Cold, hardest, stress, stress_in
from ledger.series.record import HourlyRecord

# A season of another record counts as whole with so much of its counted hours known; common practice, no source.
WHOLE = 0.9


@dataclass(frozen=True, slots=True, eq=False)
class HardWinter:
    """Which winter is looked at: so much colder than the logged ones, or than those of another record. [K]"""

    colder_k: float
    record: HourlyRecord | None = None


USUAL_HARD_WINTER = HardWinter(5.0)
"""How hard a winter is looked at where nobody asks for another: 5 K colder than logged."""


def stress_of(
    ledger: Ledger,
    seasons: Sequence[SeasonWork],
    cold: Cold,
    *,
    record: HourlyRecord | None,
    house: FittedHouse | None = None,
) -> Stress | None:
    """The hard winter of the log, or of another record where one is given.

    Parameters
    ----------
    ledger : house, sources, battery.
    seasons : of the log, as reckoned: they show what the builds can give.
    cold : how much colder the winter is made.
    record : another outdoor record; None: the log's own.
    house : a believed model, which is run through the winter; None: by the limit that the log has shown.

    Returns
    -------
    Stress : None without a logged season, or without a counted hour in the other record.
    """
    known = [s for s in seasons if s.reckoned.rows.size]
    if not known:
        return None
    whole = () if record is None else whole_winters(record, ledger)
    if house is not None:
        return model_stress(ledger, known, cold, winters=whole, other=record is not None, house=house)
    if record is None:
        return stress(ledger, tuple(known), cold)
    found = hardest([(y.span.name, _winter(y, ledger, known, cold.colder_k)) for y in whole])
    return None if found is None else stress_in(ledger, found[0], found[1], cold)


def whole_winters(record: HourlyRecord, ledger: Ledger) -> tuple[YearHours, ...]:
    """The seasons of a record of which nine tenths are known; all that hold an hour where none is so whole."""
    years = lay_out(record, site=ledger.site, hold=ledger.hold, crop=ledger.crop)
    usable = [y for y in years if bool(np.any(_rows(y)))]
    whole = [y for y in usable if np.count_nonzero(_rows(y)) >= WHOLE * np.count_nonzero(y.counted)]
    return tuple(whole or usable)


def _rows(year: YearHours) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Hours that count and whose need can be reckoned from outdoors alone."""
    return np.asarray(year.counted & year.valid_outdoors & (year.dark | np.isfinite(year.channels["sun"])))


def _winter(year: YearHours, ledger: Ledger, seasons: Sequence[SeasonWork], colder_k: float) -> ColdWinter:
    """Each night needs what the bare house would, and the builds give it up to what the log has shown them to give.

    need   = Σ H_bare · max(0, T_h − (T_o − colder + lift)),  lift = mean of T_b − T_o in the log's counted hours
    to buy = need − min(need, cap);  at the most: need − min(need, what they gave in the middle one of the nights)
    """
    rows = np.flatnonzero(_rows(year))
    loss = envelope(ledger.house, ledger.builds, elevation_m=ledger.site.elevation_m)
    air, h = counted_air(year, rows, ledger), coefficients(year, rows, loss)
    outdoor = air.outdoor_c - colder_k
    air = replace(air, outdoor_c=outdoor)
    hold_c = ledger.hold.temperature_c
    need = need_kwh(air, hold_c=hold_c, bare_c=outdoor + _lift_k(seasons), bare_w_per_k=h.bare_w_per_k)
    evenings, night = nights_between_noons(year.begins_utc[rows], ledger.site)
    logged = [logged_nights(s, ledger.site) for s in seasons]
    cap, seen = limit_of(logged)
    usual = float(np.median(np.concatenate([n.gave_kwh for n in logged])))
    needed = np.asarray(np.bincount(night, weights=need), dtype=np.float64)
    most = float(left_after(needed, np.full(needed.size, min(cap, usual))).sum())
    to_buy = spread_by_need(left_after(needed, np.full(needed.size, cap)), need, night)
    return ColdWinter(
        begins_utc=year.begins_utc[rows],
        outdoor_c=outdoor,
        need_kwh=need,
        to_buy_kwh=to_buy,
        indoor_c=hold_c - to_buy * 1000.0 / (h.stands_w_per_k * year.step_h),
        below=to_buy > NO_WANT_KWH,
        night=night,
        evenings=evenings,
        fan_w=np.full(rows.size, _usual_fan_w(seasons)),
        step_h=year.step_h,
        limit=Limit(cap, seen, most),
    )


def _usual_fan_w(seasons: Sequence[SeasonWork]) -> float:
    """What the logged fan drew in the hours that count, their mean; 0 where none is logged. [W]"""
    watts = np.concatenate([s.year.channels["fan_w"][s.reckoned.rows] for s in seasons])
    known = watts[np.isfinite(watts)]
    return float(known.mean()) if known.size else 0.0


def _lift_k(seasons: Sequence[SeasonWork]) -> float:
    """How much warmer than outdoors the bare house was, mean of the log's counted hours. [K]"""
    parts = [s.reckoned.bare_c[s.reckoned.rows] - s.reckoned.air.outdoor_c for s in seasons]
    return float(np.mean(np.concatenate(parts)))
