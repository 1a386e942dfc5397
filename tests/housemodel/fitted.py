"""Fits and seasons of the house model written down by hand, for tests of what is asked of it."""

from __future__ import annotations

from types import MappingProxyType

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.bare import ModelSeason
from ledger.heat.housemodel.answer import FittedFigure, HouseModelAnswer, SeasonModel
from ledger.heat.housemodel.belief import HeldOut
from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.left_out import Part, PartOfSaving, Ranged, Split
from ledger.heat.housemodel.march import Marched
from ledger.heat.housemodel.misfit import Noise
from ledger.heat.housemodel.problem import Problem
from ledger.heat.housemodel.season_runs import SeasonAnswer
from ledger.heat.housemodel.thermostat import NO_FAN, FanRule
from ledger.heat.housemodel.variants import Voice
from ledger.heat.housemodel.whatif import Change, FanFound, Told, WhatIf
from ledger.heat.results import BareAnswer

Floats = NDArray[np.float64]


def voice_of(problem: Problem, fitted: Floats, rule: FanRule = NO_FAN) -> Voice:
    """A house that is known for sure: draws all but alike, sun as measured."""
    steps, sun = problem.grid.steps, problem.grid.sun_w_m2
    marched = Marched(np.zeros(steps), None, None, np.zeros(steps) if sun is None else sun, np.zeros(0))
    sure = 1e-18 * np.eye(fitted.shape[1])
    return Voice(Fit(problem, fitted[0], sure, Noise(np.ones(steps), 0.1), marched, 0.0, 0.0), 1.0, rule)


def about(kwh: float, half: float = 20.0) -> Ranged:
    return Ranged(kwh, kwh - half, kwh + half)


def told_of(*, tank: float = 300.0, bed: float = 900.0, both: float = 1100.0, cold_c: float | None = 7.0) -> Told:
    """A tank and a bed with what each would save alone and both together; need 3,000 kWh, held at 4 °C."""
    parts = (
        PartOfSaving(Part.TANK, about(tank), about(both - bed), (tank + both - bed) / 2),
        PartOfSaving(Part.BED, about(bed), about(both - tank), (bed + both - tank) / 2),
    )

    def changed(change: Change, to: float, gain: float, fan_kwh: float, part: Part | None = None) -> WhatIf:
        return WhatIf(change, part, to, 3000.0, about(both + gain), about(gain), fan_kwh * 10.0, fan_kwh)

    what_ifs = (
        changed(Change.HOLD, 1.0, -300.0, 130.0),
        changed(Change.HOLD, 7.0, -600.0, 10.0),
        changed(Change.SIZE, 2.0, 150.0, 130.0, Part.TANK),
        changed(Change.SIZE, 2.0, 500.0, 230.0, Part.BED),
        changed(Change.FAN_COLD, 5.0, -400.0, 80.0),
        changed(Change.FAN_WARM, 22.0, -5.0, 129.0),
    )
    beside = (changed(Change.HOLD, 6.0, 100.0, 120.0), changed(Change.HOLD, 8.0, -700.0, 10.0))
    fan = FanFound(cold_c, 20.0, False, 1300.0, 130.0, beside if cold_c is not None else ())
    return Told(4.0, 3000.0, about(both, 200.0), Split(about(both, 200.0), parts), what_ifs, fan, MappingProxyType({}))


def season_of(told: Told, *, name: str = "2025-26", believed: bool = True, loss_w_per_k: float = 430.0) -> SeasonModel:
    """A season that was fitted: heat loss 400 W/K before the log was read."""
    nothing: pd.Series[float] = pd.Series(dtype=float)
    answer = BareAnswer(told.need_kwh, told.now.kwh, told.now.p10, told.now.p90)
    model = ModelSeason(answer, answer, nothing, nothing, nothing, nothing)
    loss = FittedFigure(
        "heat loss to outdoors", "W/K", loss_w_per_k, 400.0, 0.9 * loss_w_per_k, 1.1 * loss_w_per_k, 0.5
    )
    why = () if believed else ("nothing in the log fixes kilowatt-hours.",)
    held_out = HeldOut(40, 0.08, -0.003)
    answered = SeasonAnswer(model, told, MappingProxyType({}), NO_FAN)
    return SeasonModel(
        name, {"floor in two layers": 1.0}, (loss,), held_out, ("measured sun",), (), believed, why, answered
    )


def model_of(*seasons: SeasonModel) -> HouseModelAnswer:
    why = tuple(f"Season {s.season}: {w}" for s in seasons for w in s.why_not)
    return HouseModelAnswer({s.season: s for s in seasons}, all(s.believed for s in seasons), why)
