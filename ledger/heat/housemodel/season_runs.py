"""One season's runs by all structures, put together: need, avoided heat, range, temperatures, what-ifs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.bare import ModelSeason
from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.grid import Flags, Grid
from ledger.heat.housemodel.march import march
from ledger.heat.housemodel.misfit import cloud_rule
from ledger.heat.housemodel.open_days import NO_WEATHER, FilledBy, Weather
from ledger.heat.housemodel.open_runs import OpenDays, run_open_days
from ledger.heat.housemodel.runs import Outcome, bare_and_built, run_all
from ledger.heat.housemodel.spread import (
    ANOTHER_WINTER_SHARE,
    DRAWS,
    DRAWS_COUNT,
    LEAST_SHARE_OF_NEED,
    banded,
    drawn_figures,
    drawn_misreadings_k,
    draws_count,
    wrong_physics,
)
from ledger.heat.housemodel.structure import Bed
from ledger.heat.housemodel.thermostat import NO_FAN, FanRule, cold_setting_c, fan_rule, repeated, rule_of_each
from ledger.heat.housemodel.variants import Voice
from ledger.heat.housemodel.whatif import HeldAt, Told, ask
from ledger.heat.housemodel.whole_winter import EDGE, WholeWinter, whole_winter
from ledger.heat.results import Band, BareAnswer
from ledger.heat.spans import Span
from ledger.model.ledger import Ledger

Floats = NDArray[np.float64]

LEAST_WEIGHT = 0.02
"""A structure with a smaller share in the answer is not run."""
UNBELIEVED_FACTOR = 1.5
"""Without belief the range is this much wider, and never narrower than the doubt about the heat loss."""


@dataclass(frozen=True, slots=True, eq=False)
class SeasonAnswer:
    """A season's runs.

    Attributes
    ----------
    model : in the form that the heat rooms take.
    told : what the season was asked besides: each build left out, other holds, sizes, settings of the fan.
    at_hold : the season at other hold temperatures. [°C]
    rule : the fan's thermostat as the log shows it, of the structure with the largest share.
    filled : open days in the figures of the whole season; None where there are none to speak of.
    """

    model: ModelSeason
    told: Told
    at_hold: Mapping[float, ModelSeason]
    rule: FanRule
    filled: Filled | None = None


@dataclass(frozen=True, slots=True)
class Filled:
    """Days of a season without an indoor reading, and whence their outdoor air is where that was not read."""

    days: float
    by: tuple[FilledBy, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Runs:
    """One structure's runs with its share in the answer; kilowatt-hours by step of bare and built, a column a draw.

    `figures`: draws, the found ones first; `read`: the fan's rule with its settings as each draw reads them; `count`:
    what the draws' own distance counts for in the range.
    """

    fit: Fit
    weight: float
    rule: FanRule
    figures: Floats
    read: FanRule
    bare: Outcome
    built: Outcome
    bare_free: Outcome
    built_free: Outcome
    count: float = DRAWS_COUNT


def answer_season(
    fits: Sequence[Fit], weights: Floats, span: Span, ledger: Ledger, *, believed: bool, weather: Weather = NO_WEATHER
) -> SeasonAnswer:
    """Run every structure that has a say and put the answers together.

    Parameters
    ----------
    fits, weights : structures with their shares.
    span : the season.
    ledger : hold temperature.
    believed : an answer that is not believed has a wider range.
    weather : outdoor air besides the log's, for days that it lacks.

    Returns
    -------
    SeasonAnswer
    """
    hold_c = ledger.hold.temperature_c
    says = [(f, float(w)) for f, w in zip(fits, weights, strict=True) if w >= LEAST_WEIGHT]
    say = sum(w for _, w in says)
    runs = [_run(f, w / say, hold_c) for f, w in says]
    grid = fits[0].problem.grid
    stamps = grid.stamps_utc
    inside = np.asarray((stamps >= span.begins_utc) & (stamps < span.ends_utc))
    covered = bool(stamps[0] <= span.begins_utc + EDGE and stamps[-1] >= span.ends_utc - EDGE)
    main = max(runs, key=lambda r: r.weight)
    winter = whole_winter(grid, span, ledger.site, weather)
    whole = _whole(runs, inside, winter, span, hold_c, believed=believed)
    model = ModelSeason(
        valid=_answer(runs, inside & grid.read, believed=believed),
        whole=whole,
        bare_free_c=_hourly_mean(grid, _blend(runs, lambda r: r.bare_free.air_c[:, 0])),
        built_free_c=_hourly_mean(grid, _blend(runs, lambda r: r.built_free.air_c[:, 0])),
        need_by_hour_kwh=_hourly_sum(grid, _blend(runs, lambda r: r.bare.heater_kwh[:, 1:].mean(axis=1)), inside),
        to_buy_by_hour_kwh=_hourly_sum(grid, _blend(runs, lambda r: r.built.heater_kwh[:, 1:].mean(axis=1)), inside),
    )
    wrong = wrong_physics(main.fit).times(1.0 if believed else UNBELIEVED_FACTOR)
    voices = [Voice(r.fit, r.weight, r.rule) for r in runs]
    now = whole if covered else _answer(runs, inside, believed=believed)
    told = ask(voices, hold_c=hold_c, season=inside, wrong=wrong, now=now)
    at_hold = {held_c: _at_hold(model, held, grid, inside, covered=covered) for held_c, held in told.held_at.items()}
    filled = None if winter is None else Filled(winter.open_days, winter.guesses.filled_by)
    return SeasonAnswer(model, told, at_hold, main.rule, filled)


def _run(fit: Fit, weight: float, hold_c: float) -> _Runs:
    rule = each = read = NO_FAN
    figures = drawn_figures(fit)
    if fit.problem.structure.bed is not Bed.NONE and fit.marched.near_c is not None:
        rule = fan_rule(fit.problem.grid, fit.marched.near_c)
        beds = march(fit.problem, figures, cloud_rule(fit.problem.grid, fit.noise)).near_c
        if beds is not None:
            places = np.arange(len(figures))
            read = rule_of_each(rule, fit.problem.grid, beds, misread_k=drawn_misreadings_k())
            each = repeated(read, np.concatenate([places, places, [0, 0]]))
    cases = (*bare_and_built(hold_c, figures), *bare_and_built(None, figures[:1]))
    bare, built, bare_free, built_free = run_all(fit.problem, cases, sun_w_m2=fit.marched.sun_w_m2, rule=each)
    count = draws_count(hold_c, cold_setting_c(rule))
    return _Runs(fit, weight, rule, figures, read, bare, built, bare_free, built_free, count)


def _whole(
    runs: Sequence[_Runs], inside: Flags, winter: WholeWinter | None, span: Span, hold_c: float, *, believed: bool
) -> BareAnswer:
    """The whole season: what the log's own hours give, and the days that it lacks by runs of their own."""
    if winter is None:
        return _answer(runs, inside, believed=believed)
    opened = [run_open_days(r.fit, r.figures, r.read, winter=winter, span=span, hold_c=hold_c) for r in runs]
    return _answer(runs, inside & runs[0].fit.problem.grid.read, believed=believed, opened=opened)


def _answer(
    runs: Sequence[_Runs], rows: Flags, *, believed: bool, opened: Sequence[OpenDays] | None = None
) -> BareAnswer:
    need = [r.bare.heater_kwh[rows, 1:].sum(axis=0) for r in runs]
    avoided = [n - r.built.heater_kwh[rows, 1:].sum(axis=0) for n, r in zip(need, runs, strict=True)]
    elsewhere = 0.0
    if opened is not None:
        elsewhere = ANOTHER_WINTER_SHARE * _scale(runs, [o.need_kwh for o in opened], [o.avoided_kwh for o in opened])
        need = [n + o.need_kwh for n, o in zip(need, opened, strict=True)]
        avoided = [a + o.avoided_kwh for a, o in zip(avoided, opened, strict=True)]
    central_need, central = _mean(runs, need), _mean(runs, avoided)
    draws = np.concatenate(avoided)
    shares = np.concatenate([np.full(DRAWS, r.weight / DRAWS) for r in runs])
    main = max(runs, key=lambda r: r.weight)
    doubt = wrong_physics(main.fit).kwh(central, central_need)
    if not believed:
        of_heat_loss = main.fit.problem.house.heat_loss_log_sd * _scale(runs, need, avoided)
        doubt = UNBELIEVED_FACTOR * max(doubt, of_heat_loss)
    doubt = float(np.hypot(doubt, elsewhere))
    band: Band = banded(central, draws, shares, allowance_kwh=doubt, count=main.count)
    return BareAnswer(central_need, central, band.p10, band.p90)


def _mean(runs: Sequence[_Runs], of_draws: Sequence[Floats]) -> float:
    return float(sum(r.weight * one.mean() for one, r in zip(of_draws, runs, strict=True)))


def _scale(runs: Sequence[_Runs], need: Sequence[Floats], avoided: Sequence[Floats]) -> float:
    """What doubts are shares of: the avoided heat, or a tenth of the need where that is more. [kWh]"""
    return max(abs(_mean(runs, avoided)), LEAST_SHARE_OF_NEED * _mean(runs, need))


def _at_hold(model: ModelSeason, held: HeldAt, grid: Grid, inside: Flags, *, covered: bool) -> ModelSeason:
    """The season held at another temperature; free runs know of no hold. Days beyond the log are left out."""

    def answer(rows: Flags) -> BareAnswer:
        need, built = float(held.bare_kwh[rows].sum()), float(held.built_kwh[rows].sum())
        of_all = need / float(held.bare_kwh[inside].sum()) if need > 0.0 else 0.0
        below, above = held.avoided.kwh - held.avoided.p10, held.avoided.p90 - held.avoided.kwh
        return BareAnswer(need, need - built, need - built - of_all * below, need - built + of_all * above)

    return replace(
        model,
        valid=answer(inside & grid.read),
        whole=answer(inside) if covered else None,
        need_by_hour_kwh=_hourly_sum(grid, held.bare_kwh, inside),
        to_buy_by_hour_kwh=_hourly_sum(grid, held.built_kwh, inside),
    )


def _blend(runs: Sequence[_Runs], pick: Callable[[_Runs], Floats]) -> Floats:
    return np.asarray(sum(r.weight * pick(r) for r in runs), dtype=np.float64)


def _hourly_mean(grid: Grid, values: Floats) -> pd.Series[float]:
    """Means of the hours; a step longer than an hour stands in all of its hours, the last one's too."""
    means = pd.Series(values, index=grid.stamps_utc).resample("1h").mean()
    if grid.step_s <= 3600.0:
        return means.ffill()
    ends = (grid.stamps_utc[-1] + pd.Timedelta(seconds=grid.step_s)).ceil("h")
    return means.reindex(pd.date_range(means.index[0], ends, freq="1h", inclusive="left")).ffill()


def _hourly_sum(grid: Grid, values: Floats, rows: Flags) -> pd.Series[float]:
    """Energy of the hours from the first to the last row; a step longer than an hour is spread over its hours."""
    wanted = np.flatnonzero(rows)
    if not len(wanted) or grid.step_s <= 3600.0:
        return pd.Series(values[rows], index=grid.stamps_utc[rows]).resample("1h").sum()
    over = slice(wanted[0], wanted[-1] + 1)
    stamps, step = grid.stamps_utc[over], pd.Timedelta(seconds=grid.step_s)
    hours = pd.date_range(stamps[0].floor("h"), (stamps[-1] + step).ceil("h"), freq="1h")
    so_far = np.append(0.0, np.cumsum(np.where(rows, values, 0.0)[over]))
    at = np.asarray((hours - stamps[0]) / step, dtype=np.float64)
    return pd.Series(np.diff(np.interp(at, np.arange(len(so_far)), so_far)), index=hours[:-1])
