"""A power cut on a cold evening: how long the house stays warm on its own, from the fastest cooling seen in the log."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, log

import numpy as np

from ledger.heat.envelope import changes_envelope
from ledger.heat.housemodel.house import WATER
from ledger.heat.housemodel.left_alone import CUT_DAYS, Standing, left_alone
from ledger.heat.housemodel.network import Build as Parts
from ledger.heat.housemodel.other_years import FittedHouse
from ledger.heat.rungs import BELOW_HOLD_TOLERANCE_K
from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger
from ledger.money.project import FloatArray
from ledger.plans.colder import nights_between_noons
from ledger.plans.results import CutPlan, Plan, PowerCut
from ledger.plans.stress import BY_MODEL

# Common practice, no source: below these a night says nothing of how fast a house cools.
LEAST_HOURS = 6.0
LEAST_LIFT_K = 3.0


@dataclass(frozen=True, slots=True, eq=False)
class _Night:
    """One night's dark hours in order of time. [°C, h]"""

    inside_c: FloatArray
    outdoor_c: FloatArray
    step_h: float


def power_cut(
    ledger: Ledger,
    seasons: Sequence[SeasonWork],
    *,
    design_temperature_c: float,
    plans: Sequence[Plan] = (),
    house: FittedHouse | None = None,
) -> PowerCut | None:
    """How long the house stays above hold and above freezing with nothing on, on the design night, plan by plan.

        without a model: dT/dt = −k · (T − T_design),  k = the greatest of the nights' Σ fall ÷ Σ (T − T_o)
        hours from T_1 to T_2 = ln((T_1 − T_design) ÷ (T_2 − T_design)) ÷ k

    By a believed model: it is run to nightfall of the coldest night, and on with neither heater nor fan. Without one it
    starts from the evening of the coldest night logged, or from the hold temperature where that was colder, since a
    heater held it. Heat that a heater or the fan gave makes the log cool more slowly than the house alone would: the
    fastest night is taken for that reason, and it stays an estimate.

    Parameters
    ----------
    ledger : hold temperature.
    seasons : as reckoned.
    design_temperature_c : outdoors during the cut. [°C]
    plans : as compared.
    house : a believed model.

    Returns
    -------
    PowerCut : None where no logged night cools enough to tell. Hours are None where it never gets so cold.
    """
    if house is not None:
        return _by_model(ledger, plans, house, design_c=design_temperature_c)
    hold_c = ledger.hold.temperature_c
    built = [n for s in seasons for n in _nights(s, ledger, s.year.indoor_c)]
    bare = [n for s in seasons for n in _nights(s, ledger, s.year.channels["unheated"])]
    per_h, bare_per_h = fastest(built), fastest(bare)
    if per_h is None:
        return None
    coldest = min(built, key=lambda n: float(n.outdoor_c.mean()))
    with_build = _Cooling(max(hold_c, float(coldest.inside_c[0])), per_h, design_temperature_c)
    without = None if bare_per_h is None else _Cooling(hold_c, bare_per_h, design_temperature_c)
    every = tuple(b.name for b in ledger.builds)
    stages = {every: with_build.stage(hold_c), (): None if without is None else without.stage(hold_c)}
    if not every:
        stages = {(): with_build.stage(hold_c)}
    return PowerCut(
        cooling_per_h=per_h,
        start_c=with_build.start_c,
        hours_above_hold=with_build.hours_to(hold_c),
        hours_above_freezing=with_build.hours_to(0.0),
        bare_hours_above_freezing=None if without is None else without.hours_to(0.0),
        plans=tuple(_cut_plan(p, stages.get(p.builds)) for p in plans),
    )


# Start [°C], hours above hold and above freezing [h].
_Stage = tuple[float, float | None, float | None]


@dataclass(frozen=True, slots=True)
class _Cooling:
    """Free cooling from a temperature at a rate towards another. [°C, 1/h, °C]"""

    start_c: float
    per_h: float
    outdoor_c: float

    def hours_to(self, target_c: float) -> float | None:
        return hours_until(target_c, start_c=self.start_c, outdoor_c=self.outdoor_c, per_h=self.per_h)

    def stage(self, hold_c: float) -> _Stage:
        return self.start_c, self.hours_to(hold_c), self.hours_to(0.0)


def _cut_plan(plan: Plan, stage: _Stage | None) -> CutPlan:
    goes_on = False if plan.source is None else plan.works_in_power_cut
    if stage is None:
        return CutPlan(plan.name, goes_on, False, None, None, None)
    return CutPlan(plan.name, goes_on, True, *stage)


def _by_model(ledger: Ledger, plans: Sequence[Plan], house: FittedHouse, *, design_c: float) -> PowerCut:
    """Every plan's house run to nightfall and on: held by its heater until then, or free where it has none."""
    hold_c = ledger.hold.temperature_c
    every = tuple(b.name for b in ledger.builds)
    keys = {(p.builds, p.source is not None) for p in plans} | {(every, True), ((), True)}
    order = sorted(keys)
    runs = left_alone(
        house,
        [Standing(parts_standing(ledger, builds), hold_c if heated else None) for builds, heated in order],
        design_c=design_c,
    )
    stages = {
        key: (run.start_c, run.hours_above(hold_c - BELOW_HOLD_TOLERANCE_K), run.hours_above(0.0))
        for key, run in zip(order, runs, strict=True)
    }
    built, bare = stages[every, True], stages[(), True]
    return PowerCut(
        cooling_per_h=None,
        start_c=built[0],
        hours_above_hold=built[1],
        hours_above_freezing=built[2],
        bare_hours_above_freezing=bare[2],
        by=BY_MODEL,
        hours_looked_at=24.0 * CUT_DAYS,
        plans=tuple(_cut_plan(p, stages[p.builds, p.source is not None]) for p in plans),
    )


def parts_standing(ledger: Ledger, builds: Sequence[str]) -> Parts:
    """Which parts of the model stand where only some builds do: envelope, tank (its water is logged), else the bed."""
    here = [b for b in ledger.builds if b.name in builds]
    tanks = {s.build for s in ledger.stores if s.channel == WATER}
    return Parts(
        tank=any(b.name in tanks for b in here),
        bed=any(b.name not in tanks and not changes_envelope(b) for b in here),
        envelope=any(changes_envelope(b) for b in here) or not any(changes_envelope(b) for b in ledger.builds),
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
