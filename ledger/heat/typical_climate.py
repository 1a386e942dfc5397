"""The typical year from a long outdoor record or twelve normals."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from ledger.heat.bare import lift_k
from ledger.heat.climate import CLIMATE_FILE
from ledger.heat.envelope import Envelope
from ledger.heat.prepared import Prepared, YearHours
from ledger.heat.rungs import CountedAir, Floats, need_kwh
from ledger.heat.season import coefficients, counted_air
from ledger.heat.typical_curves import (
    Found,
    TypicalWork,
    band_of,
    curve_of,
    logged_part,
    loosest,
    measured_lift_k,
    one_curve,
    typical_heat,
)
from ledger.heat.typical_growth import TypicalGrowth
from ledger.heat.typical_hours import LoggedYear
from ledger.heat.typical_notices import climate_notices
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger

EXPECTED = "expected"


def from_climate(
    prepared: Prepared, ledger: Ledger, loss: Envelope, *, logged: LoggedYear | None, growth: TypicalGrowth
) -> TypicalWork:
    """Each season's need by the lift, averaged; avoided = passive fraction · need.

    The passive fraction is that of the logged months, or where nothing is logged the builds' expected fraction. A
    bare house that was measured gives its mean lift over outdoors.

    Parameters
    ----------
    prepared : its whole seasons of climate.
    ledger : house, hold, builds.
    loss : coefficients at likely values. [W/K]
    logged : the logged hours; None where nothing is logged.
    growth : degree-days of the logged months. [K·d]

    Returns
    -------
    TypicalWork
    """
    if logged is None:
        way, lift, part = BareWay.LIFT, lift_k(ledger.house, loss).likely, None
    else:
        way, part = loosest([s.work.way for s in logged.stretches]), logged_part(ledger, loss, logged)
        lift = lift_k(ledger.house, loss).likely if way is BareWay.LIFT else measured_lift_k(logged)
    years = [_climate_year(y, ledger, loss, lift=lift, seasons=len(prepared.climate)) for y in prepared.climate]
    climate = one_curve(
        [(y.air, y.bare_c, y.h_bare, y.weights) for y in years],
        hold_c=ledger.hold.temperature_c,
        night_h_w_per_k=float(loss.bare_night.total_w_per_k),
    )
    curve = curve_of(ledger, loss, way, logged=part, climate=climate)
    season_needs = tuple(float(np.sum(y.need_kwh * y.weights)) * len(years) for y in years)
    need, avoided = float(np.mean(season_needs)), float(curve.answer({})[1][0])
    found = Found(need, avoided, band_of(curve, 0.0, 0.0), way, season_needs)
    basis = EXPECTED if logged is None else prepared.climate_basis or CLIMATE_FILE
    profile = _climate_profile(years, need, need - avoided)
    heat = typical_heat(basis, found, growth, logged=logged, profile=profile)
    heat = replace(heat, step_h=prepared.climate[0].step_h)
    return TypicalWork(heat, curve, (*prepared.climate_notices, *climate_notices(logged)))


@dataclass(frozen=True, slots=True, eq=False)
class _ClimateYear:
    index: pd.DatetimeIndex
    air: CountedAir
    bare_c: Floats
    h_bare: Floats
    weights: Floats
    need_kwh: Floats


def _climate_year(year: YearHours, ledger: Ledger, loss: Envelope, *, lift: float, seasons: int) -> _ClimateYear:
    usable = year.counted & year.valid_outdoors & (year.dark | np.isfinite(year.channels["sun"]))
    rows = np.flatnonzero(usable)
    air, h = counted_air(year, rows, ledger), coefficients(year, rows, loss)
    bare_c = air.outdoor_c + lift
    cover = np.count_nonzero(year.counted) / len(rows)
    need = need_kwh(air, hold_c=ledger.hold.temperature_c, bare_c=bare_c, bare_w_per_k=h.bare_w_per_k)
    weights = np.full(len(rows), cover / seasons)
    return _ClimateYear(year.begins_utc[rows], air, bare_c, h.bare_w_per_k, weights, need)


def _climate_profile(years: Sequence[_ClimateYear], need: float, to_buy: float) -> pd.DataFrame:
    share = to_buy / need if need > 0.0 else 0.0
    return pd.concat(
        [
            pd.DataFrame(
                {
                    "outdoor_c": y.air.outdoor_c,
                    "indoor_c": np.full(len(y.bare_c), np.nan),
                    "bare_c": y.bare_c,
                    "weight": y.weights,
                    "need_kwh": y.need_kwh,
                    "to_buy_kwh": y.need_kwh * share,
                },
                index=y.index,
            )
            for y in years
        ]
    )
