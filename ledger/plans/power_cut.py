"""A power cut on a cold evening: how long the house stays warm on its own, from the fastest cooling seen in the log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log

import numpy as np

from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger
from ledger.money.project import FloatArray
from ledger.plans.colder import nights_between_noons
from ledger.plans.results import PowerCut

# Common practice, no source: below these a night says nothing of how fast a house cools.
LEAST_HOURS = 6.0
LEAST_LIFT_K = 3.0


@dataclass(frozen=True, slots=True, eq=False)
class _Night:
    """One night's dark hours in order of time. [°C, h]"""

    inside_c: FloatArray
    outdoor_c: FloatArray
    step_h: float


def power_cut(ledger: Ledger, seasons: Sequence[SeasonWork], *, design_temperature_c: float) -> PowerCut | None:
    """How long the house stays above hold and above freezing with nothing on, on the design night.

        dT/dt = −k · (T − T_design),  k = the greatest of the nights' Σ fall ÷ Σ (T − T_o)
        hours from T_1 to T_2 = ln((T_1 − T_design) ÷ (T_2 − T_design)) ÷ k

    It starts from the evening of the coldest night logged, or from the hold temperature where that was colder, since a
    heater held it. Heat that a heater or the fan gave makes the log cool more slowly than the house alone would: the
    fastest night is taken for that reason, and it stays an estimate. Differs from a run of the house model.

    Parameters
    ----------
    ledger : hold temperature.
    seasons : as reckoned.
    design_temperature_c : outdoors during the cut. [°C]

    Returns
    -------
    PowerCut : None where no logged night cools enough to tell. Hours are None where it never gets so cold.
    """
    hold_c = ledger.hold.temperature_c
    built = [n for s in seasons for n in _nights(s, ledger, s.year.indoor_c)]
    bare = [n for s in seasons for n in _nights(s, ledger, s.year.channels["unheated"])]
    per_h = fastest(built)
    if per_h is None:
        return None
    coldest = min(built, key=lambda n: float(n.outdoor_c.mean()))
    start_c = max(hold_c, float(coldest.inside_c[0]))
    bare_per_h = fastest(bare)
    return PowerCut(
        cooling_per_h=per_h,
        start_c=start_c,
        hours_above_hold=hours_until(hold_c, start_c=start_c, outdoor_c=design_temperature_c, per_h=per_h),
        hours_above_freezing=hours_until(0.0, start_c=start_c, outdoor_c=design_temperature_c, per_h=per_h),
        bare_hours_above_freezing=None
        if bare_per_h is None
        else hours_until(0.0, start_c=hold_c, outdoor_c=design_temperature_c, per_h=bare_per_h),
    )


def fastest(nights: Sequence[_Night]) -> float | None:
    """The greatest rate of cooling of any night long and warm enough to tell. [1/h]"""
    rates = [r for n in nights if (r := _rate_per_h(n)) is not None]
    return max(rates, default=None)


def _rate_per_h(night: _Night) -> float | None:
    over = night.inside_c[:-1] - night.outdoor_c[:-1]
    if night.inside_c.size * night.step_h < LEAST_HOURS or float(over.min(initial=inf)) < LEAST_LIFT_K:
        return None
    fall = float(night.inside_c[0] - night.inside_c[-1])
    return fall / (float(over.sum()) * night.step_h) if fall > 0.0 else None


def hours_until(target_c: float, *, start_c: float, outdoor_c: float, per_h: float) -> float | None:
    """Hours of free cooling from one temperature to another; 0 if it is there already, None if it never gets there."""
    if start_c <= target_c:
        return 0.0
    if target_c <= outdoor_c:
        return None
    return log((start_c - outdoor_c) / (target_c - outdoor_c)) / per_h


def _nights(work: SeasonWork, ledger: Ledger, inside_c: FloatArray) -> list[_Night]:
    """The season's nights without a hole, dark hours only."""
    year = work.year
    rows = np.flatnonzero(year.dark & year.in_season & np.isfinite(inside_c) & np.isfinite(year.outdoor_c))
    if not rows.size:
        return []
    _, night = nights_between_noons(year.begins_utc[rows], ledger.site)
    edges = np.flatnonzero((np.diff(night) != 0) | (np.diff(rows) != 1)) + 1
    return [_Night(inside_c[part], year.outdoor_c[part], year.step_h) for part in np.split(rows, edges)]
