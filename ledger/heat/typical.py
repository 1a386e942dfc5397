"""The year that payback rests on: from a long outdoor record, from twelve normals, or from the logged seasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.bare import Ways, lift_k, on_grid, sorted_band
from ledger.heat.curve import EnergyCurve, LoggedPart, heat_inputs, likely_lift_k, model_input
from ledger.heat.draws import drawn, symmetric
from ledger.heat.envelope import Doubt, Envelope
from ledger.heat.heat_curve import HeatCurve, heat_curve
from ledger.heat.prepared import Integers, Prepared, YearHours
from ledger.heat.results import Band, TypicalHeat
from ledger.heat.rungs import CountedAir, Floats, need_kwh
from ledger.heat.season import BACKUP, BARE, INDOOR, coefficients, counted_air, sensor_accuracy_k
from ledger.heat.season_answer import SeasonWork
from ledger.heat.typical_growth import TypicalGrowth, typical_growth
from ledger.heat.typical_hours import LoggedYear, logged_profile, logged_year
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.model.values import Spread

LOGGED = "logged seasons"
CLIMATE_FILE = "climate file"
NORMALS = "climate normals"
EXPECTED = "expected"
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


@dataclass(frozen=True, slots=True, eq=False)
class TypicalWork:
    """The typical year, its curve for the doubt room, and what has to be said."""

    heat: TypicalHeat | None
    curve: EnergyCurve | None
    notices: tuple[Notice, ...]


def typical_year(
    prepared: Prepared, ledger: Ledger, loss: Envelope, works: Sequence[SeasonWork], ways: Ways
) -> TypicalWork:
    """Reckon the typical year from the best that is there.

    Best first: the model's own run over a long outdoor record; a long outdoor record or twelve normals (each season's
    need, avoided = passive fraction · need); the logged seasons, month by month. Nothing is scaled by degree-hours.

    Parameters
    ----------
    prepared : logged seasons and climate.
    ledger : house, hold, builds.
    loss : coefficients at likely values. [W/K]
    works : the logged seasons as reckoned.
    ways : what other rooms answer.

    Returns
    -------
    TypicalWork
    """
    growth = typical_growth(works)
    by_model = any(w.way is BareWay.MODEL for w in works)
    if by_model and ways.typical is not None:
        heat = replace(_with_growth(ways.typical, growth), bare_lift_p10_k=_low_lift_k(works))
        return TypicalWork(heat, _model_curve(ledger, loss, heat), ())
    logged = logged_year(works)
    if logged is not None and by_model:
        return _from_model(ledger, loss, logged, growth)
    if prepared.climate and (logged is not None or _fractions(ledger) or not ledger.builds):
        return _from_climate(prepared, ledger, loss, logged, growth)
    if logged is not None:
        return _from_log(ledger, loss, logged, growth)
    return TypicalWork(None, None, (_nothing_known(ledger, works),))


def _from_log(ledger: Ledger, loss: Envelope, logged: LoggedYear, growth: TypicalGrowth) -> TypicalWork:
    way = _loosest([s.work.way for s in logged.stretches])
    curve = _curve(ledger, loss, way, logged=_logged_part(ledger, loss, logged), climate=None)
    need = logged.need_kwh * (1.0 + logged.missing_share)
    avoided = min(need, logged.added_kwh - logged.backup_kwh)
    band = _band(curve, logged.missing_share, logged.backup_kwh)
    season_needs = [float(np.sum(s.need_kwh)) for s in logged.stretches]
    heat = TypicalHeat(
        basis=LOGGED,
        months_not_logged=logged.months_missing,
        need_kwh=need,
        avoided_kwh=avoided,
        avoided_range_kwh=band,
        to_buy_kwh=need - avoided,
        at_least=bool(logged.months_missing),
        gdd_indoor_k_d=growth.indoor_k_d,
        gdd_over_outdoors_k_d=growth.over_outdoors_k_d,
        gdd_by_build_k_d=growth.by_build_k_d,
        gdd_months=growth.months,
        profile=logged_profile(logged, need_kwh=need, to_buy_kwh=need - avoided),
        bare=way.value,
        seasons_averaged=len(season_needs),
        highest_need_kwh=max(season_needs),
        lowest_need_kwh=min(season_needs),
        bare_lift_p10_k=_low_lift_k([s.work for s in logged.stretches]),
    )
    return TypicalWork(heat, curve, _of_missing_months(logged))


def _from_model(ledger: Ledger, loss: Envelope, logged: LoggedYear, growth: TypicalGrowth) -> TypicalWork:
    work = _from_log(ledger, loss, logged, growth)
    heat = work.heat
    if heat is None:
        return work
    seasons = [s.work.heat for s in logged.stretches]
    centres = [s.avoided_whole_season_kwh if s.avoided_whole_season_range_kwh else s.avoided_kwh for s in seasons]
    bands = [s.avoided_whole_season_range_kwh or s.avoided_range_kwh for s in seasons]
    below = float(np.mean([(c or 0.0) - b.p10 for c, b in zip(centres, bands, strict=True)]))
    above = float(np.mean([b.p90 - (c or 0.0) for c, b in zip(centres, bands, strict=True)]))
    more = logged.missing_share * max(0.0, heat.avoided_kwh)
    heat = replace(
        heat,
        avoided_range_kwh=Band(heat.avoided_kwh - max(0.0, below), heat.avoided_kwh + max(0.0, above) + more),
        bare=BareWay.MODEL.value,
    )
    return TypicalWork(heat, _model_curve(ledger, loss, heat), work.notices)


def _from_climate(
    prepared: Prepared, ledger: Ledger, loss: Envelope, logged: LoggedYear | None, growth: TypicalGrowth
) -> TypicalWork:
    way = BareWay.LIFT if logged is None else _loosest([s.work.way for s in logged.stretches])
    lift = lift_k(ledger.house, loss).likely if way is BareWay.LIFT or logged is None else _measured_lift_k(logged)
    years = [_climate_year(y, ledger, loss, lift, len(prepared.climate)) for y in prepared.climate]
    climate = _one_curve(
        [(y.air, y.bare_c, y.h_bare, y.weights) for y in years],
        hold_c=ledger.hold.temperature_c,
        night_h_w_per_k=float(loss.bare_night.total_w_per_k),
    )
    part = _logged_part(ledger, loss, logged) if logged is not None else None
    curve = _curve(ledger, loss, way, logged=part, climate=climate)
    need_by_hour = [y.need_kwh for y in years]
    need = float(sum(np.sum(n * y.weights) for n, y in zip(need_by_hour, years, strict=True)))
    _, avoided_draw = curve.answer({})
    avoided = float(avoided_draw[0])
    seasons = [float(np.sum(n * y.weights)) * len(years) for n, y in zip(need_by_hour, years, strict=True)]
    heat = TypicalHeat(
        basis=EXPECTED if logged is None else prepared.climate_basis or CLIMATE_FILE,
        months_not_logged=logged.months_missing if logged is not None else (),
        need_kwh=need,
        avoided_kwh=avoided,
        avoided_range_kwh=_band(curve, 0.0, 0.0),
        to_buy_kwh=need - avoided,
        at_least=False,
        gdd_indoor_k_d=growth.indoor_k_d,
        gdd_over_outdoors_k_d=growth.over_outdoors_k_d,
        gdd_by_build_k_d=growth.by_build_k_d,
        gdd_months=growth.months,
        profile=_climate_profile(years, need, need - avoided),
        bare=way.value,
        seasons_averaged=len(seasons),
        highest_need_kwh=max(seasons),
        lowest_need_kwh=min(seasons),
        bare_lift_p10_k=_low_lift_k([s.work for s in logged.stretches]) if logged is not None else None,
    )
    return TypicalWork(heat, curve, _of_climate(logged))


@dataclass(frozen=True, slots=True, eq=False)
class _ClimateYear:
    index: pd.DatetimeIndex
    air: CountedAir
    bare_c: Floats
    h_bare: Floats
    weights: Floats
    need_kwh: Floats


def _climate_year(year: YearHours, ledger: Ledger, loss: Envelope, lift: float, seasons: int) -> _ClimateYear:
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
                    "weight": y.weights,
                    "need_kwh": y.need_kwh,
                    "to_buy_kwh": y.need_kwh * share,
                },
                index=y.index,
            )
            for y in years
        ]
    )


def _lifts_k(work: SeasonWork) -> Floats:
    """How much warmer than outdoors the bare house was in a season's counted hours, by the way that is used [K]."""
    if work.way is BareWay.MODEL and work.model is not None:
        over = on_grid(work.model.bare_free_c, work.year) - work.year.outdoor_c
        return np.asarray(over[work.year.counted & np.isfinite(over)])
    return np.asarray(work.reckoned.bare_c[work.reckoned.rows] - work.reckoned.air.outdoor_c)


def _measured_lift_k(logged: LoggedYear) -> float:
    """Its mean over the seasons [K]."""
    return float(np.mean(np.concatenate([_lifts_k(s.work) for s in logged.stretches])))


def _low_lift_k(works: Sequence[SeasonWork]) -> float | None:
    """Its tenth percentile, at least 0; None where it is assumed, or not known [K]."""
    lifts = np.concatenate([_lifts_k(w) for w in works] or [np.empty(0)])
    if len(lifts) == 0 or any(w.way is BareWay.LIFT for w in works):
        return None
    return max(0.0, float(np.quantile(lifts, 0.1)))


def _logged_part(ledger: Ledger, loss: Envelope, logged: LoggedYear) -> LoggedPart:
    hold_c = ledger.hold.temperature_c
    reckoned = [s.work.reckoned for s in logged.stretches]
    weights = [_on_rows(s.rows, w, s.work.reckoned.rows) for s, w in zip(logged.stretches, logged.weights, strict=True)]
    pairs = list(zip(reckoned, weights, strict=True))
    return LoggedPart(
        need=_one_curve(
            [(r.air, r.bare_c[r.rows], r.h.bare_w_per_k, w) for r, w in pairs],
            hold_c=hold_c,
            night_h_w_per_k=float(loss.bare_night.total_w_per_k),
        ),
        shortfall=_one_curve(
            [(r.air, r.air.indoor_c, r.h.stands_w_per_k, w) for r, w in pairs],
            hold_c=hold_c,
            night_h_w_per_k=float(loss.night.total_w_per_k),
        ),
        backup_kwh=logged.backup_kwh,
        months_missing_share=logged.missing_share,
    )


def _on_rows(rows: Integers, weights: Floats, wanted: Integers) -> Floats:
    """Weights moved to other rows of the same grid, 0 where there is none."""
    size = int(max(np.max(rows, initial=0), np.max(wanted, initial=0))) + 1
    laid = np.zeros(size)
    laid[rows] = weights
    return np.asarray(laid[wanted])


def _one_curve(
    parts: Sequence[tuple[CountedAir, Floats, Floats, Floats]], *, hold_c: float, night_h_w_per_k: float
) -> HeatCurve:
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


def _curve(
    ledger: Ledger, loss: Envelope, way: BareWay, *, logged: LoggedPart | None, climate: HeatCurve | None
) -> EnergyCurve:
    fractions = _fractions(ledger) if logged is None else ()
    bare = Doubt(BARE, symmetric(sensor_accuracy_k(ledger, "unheated")))
    indoor = Doubt(INDOOR, symmetric(sensor_accuracy_k(ledger, "indoor") if logged is not None else 0.0))
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


def _model_curve(ledger: Ledger, loss: Envelope, heat: TypicalHeat) -> EnergyCurve:
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


def _backup_efficiency(ledger: Ledger) -> Spread:
    """The backup's efficiency ÷ its likely value."""
    source = next((s for s in ledger.sources if s.backup), None)
    if source is None or source.cop or source.efficiency.likely <= 0.0:
        return Spread.sure(1.0)
    e = source.efficiency
    return replace(e, likely=1.0, low=e.low / e.likely, high=e.high / e.likely)


def _band(curve: EnergyCurve, missing_share: float, backup_kwh: float) -> Band:
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


def _fractions(ledger: Ledger) -> tuple[Doubt, ...]:
    return tuple(
        Doubt(f"build[{b.name}].expected_fraction", b.expected_fraction)
        for b in ledger.builds
        if b.expected_fraction is not None
    )


def _loosest(ways: Sequence[BareWay]) -> BareWay:
    order = (BareWay.LIFT, BareWay.MODEL, BareWay.FAN_OFF, BareWay.TWIN)
    return next(w for w in order if w in ways)


def _with_growth(heat: TypicalHeat, growth: TypicalGrowth) -> TypicalHeat:
    by_build = heat.gdd_by_build_k_d
    return replace(
        heat,
        gdd_indoor_k_d=growth.indoor_k_d if heat.gdd_indoor_k_d is None else heat.gdd_indoor_k_d,
        gdd_over_outdoors_k_d=(
            growth.over_outdoors_k_d if heat.gdd_over_outdoors_k_d is None else heat.gdd_over_outdoors_k_d
        ),
        gdd_by_build_k_d=growth.by_build_k_d if by_build is None else by_build,
        gdd_months=heat.gdd_months or growth.months,
        bare=BareWay.MODEL.value,
    )


def _of_missing_months(logged: LoggedYear) -> tuple[Notice, ...]:
    if not logged.months_missing:
        return ()
    names = ", ".join(MONTHS[m - 1] for m in logged.months_missing)
    text = (
        f'No season logged {names} enough: the saving of these months stands at 0, so the headline is "at least"; '
        "their need is the mean per hour of the logged months. Cheapest cure: twelve climate normals under [climate]."
    )
    return (Notice("months_not_logged", text, "typical_year.months_not_logged"),)


def _of_climate(logged: LoggedYear | None) -> tuple[Notice, ...]:
    if logged is None:
        text = "Nothing is logged yet: the saving is the expected share of the need, not a measurement."
        return (Notice("saving_expected", text, "typical_year.avoided_kwh"),)
    if logged.months_missing:
        names = ", ".join(MONTHS[m - 1] for m in logged.months_missing)
        text = (
            f"No season logged {names} enough: the share of the need that the build covers is that of the other months."
        )
        return (Notice("months_not_logged", text, "typical_year.months_not_logged"),)
    return ()


def _nothing_known(ledger: Ledger, works: Sequence[SeasonWork]) -> Notice:
    if works:
        text = "No month was logged enough (120 hours that count, or nine tenths of the month's) for a typical year."
    elif ledger.climate is None:
        text = "No log and no climate: a typical year needs a log, a long outdoor record or twelve normals."
    else:
        text = "Nothing is logged and no build says what share of the need it is expected to cover (expected_fraction)."
    return Notice("no_typical_year", text, "typical_year")
