"""The curves that the typical year is read off, and its range."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.bare import sorted_band
from ledger.heat.bare_lift import bare_lift_p10_k, lift_over_outdoors_k
from ledger.heat.curve import EnergyCurve, LoggedPart, heat_inputs, likely_lift_k, model_input
from ledger.heat.draws import drawn
from ledger.heat.envelope import Doubt, Envelope
from ledger.heat.heat_curve import HeatCurve, heat_curve
from ledger.heat.prepared import Integers
from ledger.heat.results import Band, TypicalHeat
from ledger.heat.rungs import CountedAir, Floats
from ledger.heat.season import BACKUP, BARE, INDOOR, thermometer_shift_k
from ledger.heat.typical_growth import TypicalGrowth
from ledger.heat.typical_hours import LoggedYear
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.model.values import Spread


@dataclass(frozen=True, slots=True, eq=False)
class TypicalWork:
    """The typical year, its curve for the doubt room, and what has to be said."""

    heat: TypicalHeat | None
    curve: EnergyCurve | None
    notices: tuple[Notice, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """What a way to the typical year finds: totals, range, the way to the bare house, each season's need [kWh]."""

    need_kwh: float
    avoided_kwh: float
    band: Band
    way: BareWay
    season_needs_kwh: tuple[float, ...]


def typical_heat(
    basis: str, found: Found, growth: TypicalGrowth, *, logged: LoggedYear | None, profile: pd.DataFrame
) -> TypicalHeat:
    """The typical year under the names of the results.

    Parameters
    ----------
    basis : what it rests on.
    found : totals and range. [kWh]
    growth : degree-days of the logged months. [K·d]
    logged : the logged hours that stand for it; None where nothing is logged.
    profile : one row per hour that counts; those of a coarser record are as long as its step.

    Returns
    -------
    TypicalHeat
    """
    return TypicalHeat(
        basis=basis,
        months_not_logged=logged.months_missing if logged is not None else (),
        need_kwh=found.need_kwh,
        avoided_kwh=found.avoided_kwh,
        avoided_range_kwh=found.band,
        to_buy_kwh=found.need_kwh - found.avoided_kwh,
        at_least=False,
        gdd_indoor_k_d=growth.indoor_k_d,
        gdd_over_outdoors_k_d=growth.over_outdoors_k_d,
        gdd_by_build_k_d=growth.by_build_k_d,
        gdd_months=growth.months,
        profile=profile,
        bare=found.way.value,
        seasons_averaged=len(found.season_needs_kwh),
        highest_need_kwh=max(found.season_needs_kwh),
        lowest_need_kwh=min(found.season_needs_kwh),
        bare_lift_p10_k=bare_lift_p10_k([s.work for s in logged.stretches]) if logged is not None else None,
        step_h=1.0 if logged is None else logged.stretches[0].work.year.step_h,
    )


def curve_of(
    ledger: Ledger, loss: Envelope, way: BareWay, *, logged: LoggedPart | None, climate: HeatCurve | None
) -> EnergyCurve:
    """The typical year's curve from the log, from a climate, or from both.

    Parameters
    ----------
    ledger : house, builds, logs, sources.
    loss : coefficients at likely values. [W/K]
    way : how the bare house is reckoned.
    logged : what the log shows; None where nothing is logged.
    climate : need over the climate's hours; None without a climate.

    Returns
    -------
    EnergyCurve
    """
    fractions = expected_fractions(ledger) if logged is None else ()
    bare = Doubt(BARE, thermometer_shift_k(ledger, "unheated"))
    indoor = Doubt(INDOOR, thermometer_shift_k(ledger, "indoor") if logged is not None else Spread.sure(0.0))
    efficiency = _backup_efficiency(ledger) if logged is not None and logged.backup_kwh > 0.0 else Spread.sure(1.0)
    inputs = heat_inputs(ledger, way, bare=bare, indoor=indoor, backup=Doubt(BACKUP, efficiency))
    return EnergyCurve(
        inputs=(*inputs, *fractions),
        ledger=ledger,
        likely_loss=loss,
        lift_likely_k=likely_lift_k(ledger, loss),
        way=way,
        logged=logged,
        climate=climate,
        fraction_paths=fractions,
        model=None,
    )


def model_curve(ledger: Ledger, loss: Envelope, heat: TypicalHeat) -> EnergyCurve:
    """The typical year's curve where the model answers: its own band is the one input.

    Parameters
    ----------
    ledger : house.
    loss : coefficients at likely values. [W/K]
    heat : the model's typical year.

    Returns
    -------
    EnergyCurve
    """
    return EnergyCurve(
        inputs=(model_input(heat.avoided_kwh, heat.avoided_range_kwh),),
        ledger=ledger,
        likely_loss=loss,
        lift_likely_k=likely_lift_k(ledger, loss),
        way=BareWay.MODEL,
        logged=None,
        climate=None,
        fraction_paths=(),
        model=(heat.need_kwh, heat.avoided_kwh),
    )


def logged_part(ledger: Ledger, loss: Envelope, logged: LoggedYear) -> LoggedPart:
    """What the log shows, as curves.

    Parameters
    ----------
    ledger : hold temperature.
    loss : coefficients at likely values. [W/K]
    logged : logged hours and their weights.

    Returns
    -------
    LoggedPart
    """
    hold_c = ledger.hold.temperature_c
    reckoned = [s.work.reckoned for s in logged.stretches]
    weights = [on_rows(s.rows, w, s.work.reckoned.rows) for s, w in zip(logged.stretches, logged.weights, strict=True)]
    pairs = list(zip(reckoned, weights, strict=True))
    return LoggedPart(
        need=one_curve(
            [(r.air, r.bare_c[r.rows], r.h.bare_w_per_k, w) for r, w in pairs],
            hold_c=hold_c,
            night_h_w_per_k=float(loss.bare_night.total_w_per_k),
        ),
        shortfall=one_curve(
            [(r.air, r.air.indoor_c, r.h.stands_w_per_k, w) for r, w in pairs],
            hold_c=hold_c,
            night_h_w_per_k=float(loss.night.total_w_per_k),
        ),
        backup_kwh=logged.backup_kwh,
        months_missing_share=logged.missing_share,
    )


def on_rows(rows: Integers, weights: Floats, wanted: Integers) -> Floats:
    """Weights moved to other rows of the same grid, 0 where there is none."""
    size = int(max(np.max(rows, initial=0), np.max(wanted, initial=0))) + 1
    laid = np.zeros(size)
    laid[rows] = weights
    return np.asarray(laid[wanted])


def one_curve(
    parts: Sequence[tuple[CountedAir, Floats, Floats, Floats]], *, hold_c: float, night_h_w_per_k: float
) -> HeatCurve:
    """One curve over the hours of several seasons.

    Parameters
    ----------
    parts : of each season the air, the temperature that is brought up to the hold [°C], H [W/K], the weights [-].
    hold_c : hold temperature. [°C]
    night_h_w_per_k : coefficient by night at likely values. [W/K]

    Returns
    -------
    HeatCurve
    """
    air = CountedAir(
        outdoor_c=np.concatenate([p[0].outdoor_c for p in parts]),
        indoor_c=np.concatenate([p[0].indoor_c for p in parts]),
        day=np.concatenate([p[0].day for p in parts]),
        sun_gain_w=np.concatenate([p[0].sun_gain_w for p in parts]),
        step_h=parts[0][0].step_h,
    )
    return heat_curve(
        air,
        temp_c=np.concatenate([p[1] for p in parts]),
        hold_c=hold_c,
        h_w_per_k=np.concatenate([p[2] for p in parts]),
        weights=np.concatenate([p[3] for p in parts]),
        night_h_w_per_k=night_h_w_per_k,
    )


def _backup_efficiency(ledger: Ledger) -> Spread:
    """The backup's efficiency ÷ its likely value."""
    source = next((s for s in ledger.sources if s.backup), None)
    if source is None or source.cop or source.efficiency.likely <= 0.0:
        return Spread.sure(1.0)
    e = source.efficiency
    return replace(e, likely=1.0, low=e.low / e.likely, high=e.high / e.likely)


def band_of(curve: EnergyCurve, missing_share: float, backup_kwh: float) -> Band:
    """The range of avoided heat: the lift's two ends at likely H, else the tenth and ninetieth percentile of draws.

    Its upper end takes the mean of the logged months for those that no season logged.
    """
    if curve.way is BareWay.LIFT:
        answers = [curve.answer(draws)[1][0] for draws in _ends(curve)]
        band = sorted_band(float(min(answers)), float(max(answers)))
    else:
        low, high = np.quantile(curve.answer(drawn(curve.inputs))[1], [0.1, 0.9])
        band = Band(float(low), float(high))
    return Band(band.p10, band.p90 + missing_share * max(0.0, band.p90 + backup_kwh))


def _ends(curve: EnergyCurve) -> list[dict[str, Floats]]:
    """Draws at the ends of the lift, and of the expected fraction where nothing is logged."""
    lifts = [d for d in curve.inputs if d.path in ("house.unheated_lift", "house.night_floor_heat")]
    draws: list[dict[str, Floats]] = [{}]
    for doubts in (tuple(lifts), curve.fraction_paths):
        if doubts:
            low = {d.path: np.full(1, d.spread.low) for d in doubts}
            high = {d.path: np.full(1, d.spread.high) for d in doubts}
            draws = [one | end for one in draws for end in (low, high)]
    return draws


def expected_fractions(ledger: Ledger) -> tuple[Doubt, ...]:
    """The shares of the need that builds are expected to avoid, with their ranges."""
    return tuple(
        Doubt(f"build[{b.name}].expected_fraction", b.expected_fraction)
        for b in ledger.builds
        if b.expected_fraction is not None
    )


def loosest(ways: Sequence[BareWay]) -> BareWay:
    """Of several ways to the bare house the one that says least."""
    order = (BareWay.LIFT, BareWay.MODEL, BareWay.FAN_OFF, BareWay.TWIN)
    return next(w for w in order if w in ways)


def measured_lift_k(logged: LoggedYear) -> float:
    """Mean of how much warmer than outdoors the bare house was in the counted hours of the seasons [K]."""
    return float(np.mean(np.concatenate([lift_over_outdoors_k(s.work) for s in logged.stretches])))
