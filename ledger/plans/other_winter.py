"""Another outdoor record in the place of the logged winter: its worst season, and what the builds would give in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ledger.heat.envelope import envelope
from ledger.heat.prepared import YearHours, lay_out
from ledger.heat.rungs import need_kwh
from ledger.heat.season import coefficients, counted_air
from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger
from ledger.plans.colder import NO_WANT_KWH, ColdWinter, colder_winter, nights_between_noons
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
    ledger: Ledger, seasons: Sequence[SeasonWork], cold: Cold, *, record: HourlyRecord | None
) -> Stress | None:
    """The hard winter of the log, or of another record where one is given.

    Parameters
    ----------
    ledger : house, sources, battery.
    seasons : of the log, as reckoned: they show what the builds can give.
    cold : how much colder the winter is made.
    record : another outdoor record; None: the log's own.

    Returns
    -------
    Stress : None without a logged season, or without a counted hour in the other record.
    """
    if record is None:
        return stress(ledger, tuple(seasons), cold)
    known = [s for s in seasons if s.reckoned.rows.size]
    if not known:
        return None
    years = lay_out(record, site=ledger.site, hold=ledger.hold, crop=ledger.crop)
    usable = [y for y in years if bool(np.any(_rows(y)))]
    whole = [y for y in usable if np.count_nonzero(_rows(y)) >= WHOLE * np.count_nonzero(y.counted)]
    winters = [(y.span.name, _winter(y, ledger, known, cold.colder_k)) for y in whole or usable]
    found = hardest(winters)
    return None if found is None else stress_in(ledger, found[0], found[1], cold)


def _rows(year: YearHours) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Hours that count and whose need can be reckoned from outdoors alone."""
    return np.asarray(year.counted & year.valid_outdoors & (year.dark | np.isfinite(year.channels["sun"])))


def _winter(year: YearHours, ledger: Ledger, seasons: Sequence[SeasonWork], colder_k: float) -> ColdWinter:
    """Each night needs what the bare house would, and the builds give it up to what the log has shown them to give.

        need   = Σ H_bare · max(0, T_h − (T_o − colder + lift)),  lift = mean of T_b − T_o in the log's counted hours
        to buy = need − min(need, cap) · (1 − backup delivered ÷ added)

    Heat that a backup delivered stands inside what the log seems to have been given, so its share is taken off.
    """
    rows = np.flatnonzero(_rows(year))
    loss = envelope(ledger.house, ledger.builds, elevation_m=ledger.site.elevation_m)
    air, h = counted_air(year, rows, ledger), coefficients(year, rows, loss)
    outdoor = air.outdoor_c - colder_k
    air = replace(air, outdoor_c=outdoor)
    hold_c = ledger.hold.temperature_c
    need = need_kwh(air, hold_c=hold_c, bare_c=outdoor + _lift_k(seasons), bare_w_per_k=h.bare_w_per_k)
    evenings, night = nights_between_noons(year.begins_utc[rows], ledger.site)
    logged = [colder_winter(s, ledger.site, hold_c=hold_c, colder_k=0.0) for s in seasons]
    cap = max(w.cap_kwh for w in logged)
    needed = np.asarray(np.bincount(night, weights=need), dtype=np.float64)
    left = needed - np.minimum(needed, max(0.0, cap)) * (1.0 - _backup_share(seasons))
    part = np.divide(left, needed, out=np.zeros_like(left), where=needed > NO_WANT_KWH)
    to_buy = need * part[night]
    fan = np.concatenate([w.fan_w for w in logged])
    return ColdWinter(
        begins_utc=year.begins_utc[rows],
        outdoor_c=outdoor,
        need_kwh=need,
        to_buy_kwh=to_buy,
        indoor_c=hold_c - to_buy * 1000.0 / (h.stands_w_per_k * year.step_h),
        night=night,
        evenings=evenings,
        fan_w=np.full(rows.size, float(np.mean(fan))),
        step_h=year.step_h,
        cap_kwh=cap,
        cap_seen=any(w.cap_seen for w in logged),
    )


def _lift_k(seasons: Sequence[SeasonWork]) -> float:
    """How much warmer than outdoors the bare house was, mean of the log's counted hours. [K]"""
    parts = [s.reckoned.bare_c[s.reckoned.rows] - s.reckoned.air.outdoor_c for s in seasons]
    return float(np.mean(np.concatenate(parts)))


def _backup_share(seasons: Sequence[SeasonWork]) -> float:
    """Backup heat delivered ÷ added heat of the log, 0 to 1. [-]"""
    added = sum(float(np.sum(s.reckoned.heat.added_kwh)) for s in seasons)
    backup = sum(s.backup.delivered_kwh for s in seasons)
    return min(1.0, backup / added) if added > 0.0 and backup > 0.0 else 0.0
