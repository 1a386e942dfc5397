"""A season's figures under the names of the results."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from ledger.errors import Notice
from ledger.heat.backup import Backup, backup_delivered, build_energy_kwh
from ledger.heat.bare import ModelSeason, Ways, choose, on_grid
from ledger.heat.degree_days import heating_degree_hours_k_h
from ledger.heat.envelope import Envelope
from ledger.heat.growth import BuildGrowth, Growth, growth_by_build, growth_by_build_modelled, growth_of
from ledger.heat.prepared import YearHours
from ledger.heat.results import Band, BareAnswer, BareFigures, Rungs, SeasonHeat
from ledger.heat.rungs import BELOW_HOLD_TOLERANCE_K, Floats, bare_doubt_kwh, gross_kwh
from ledger.heat.season import Reckoned, by_model, every_temperature_way
from ledger.heat.season_notices import season_notices
from ledger.heat.whole import WholeSeason, whole_season
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger


@dataclass(frozen=True, slots=True, eq=False)
class SeasonWork:
    """A season's answer with what the typical year is made of."""

    year: YearHours
    way: BareWay
    reckoned: Reckoned
    every: Mapping[BareWay, Reckoned]
    model: ModelSeason | None
    backup: Backup
    growth: Growth
    by_build: BuildGrowth
    heat: SeasonHeat
    notices: tuple[Notice, ...]


def reckon_season(year: YearHours, ledger: Ledger, house_loss: Envelope, ways: Ways) -> SeasonWork:
    """Everything that is said of one season.

    Parameters
    ----------
    year : the season's hours.
    ledger : house, hold, crop, book.
    house_loss : coefficients at likely values. [W/K]
    ways : what other rooms answer about the bare house.

    Returns
    -------
    SeasonWork
    """
    backup = backup_delivered(year, ledger)
    every = every_temperature_way(year, ledger, house_loss, backup=backup, ways=ways)
    model = ways.model.get(year.span.name)
    answers = _answers(every, model)
    way = choose(ledger.house.bare, answers, believed=ways.model_believed)
    reckoned = by_model(year, ledger, house_loss, model) if way is BareWay.MODEL and model else every[way]
    growth = growth_of(year, ledger.crop)
    by_build = _by_build(year, ledger, reckoned, model if way is BareWay.MODEL else None)
    figures = BareFigures(used=way.value, ways=answers)
    whole = _whole(year, reckoned, backup, model if way is BareWay.MODEL else None)
    heat = _figures(year, ledger, house_loss, (reckoned, backup, figures, whole, growth, by_build))
    notices = (*backup.notices, *season_notices(heat, year, ledger, reckoned))
    return SeasonWork(year, way, reckoned, every, model, backup, growth, by_build, heat, notices)


def _answers(every: Mapping[BareWay, Reckoned], model: ModelSeason | None) -> dict[str, BareAnswer | None]:
    answers: dict[str, BareAnswer | None] = {
        way.value: every[way].answer if way in every else None
        for way in (BareWay.TWIN, BareWay.FAN_OFF, BareWay.MODEL, BareWay.LIFT)
    }
    answers[BareWay.MODEL.value] = model.valid if model else None
    return answers


def _by_build(year: YearHours, ledger: Ledger, reckoned: Reckoned, model: ModelSeason | None) -> BuildGrowth:
    if model is None:
        return growth_by_build(year, ledger.crop, reckoned.bare_c)
    built, bare = on_grid(model.built_free_c, year), on_grid(model.bare_free_c, year)
    return growth_by_build_modelled(year, ledger.crop, built, bare)


def _whole(year: YearHours, reckoned: Reckoned, backup: Backup, model: ModelSeason | None) -> WholeSeason | None:
    if model is None:
        return whole_season(year, reckoned, backup)
    if model.whole is None:
        return None
    return WholeSeason(model.whole.need_kwh, model.whole.avoided_kwh, Band(model.whole.p10, model.whole.p90))


def _figures(
    year: YearHours,
    ledger: Ledger,
    house_loss: Envelope,
    parts: tuple[Reckoned, Backup, BareFigures, WholeSeason | None, Growth, BuildGrowth],
) -> SeasonHeat:
    reckoned, backup, figures, whole, growth, by_build = parts
    valid = year.in_season & year.valid
    indoor = year.indoor_c[valid]
    answer = reckoned.answer
    energy, hold_c, step_h = build_energy_kwh(year, ledger), ledger.hold.temperature_c, year.step_h
    clock_hours, hours_valid = np.count_nonzero(year.in_season) * step_h, np.count_nonzero(valid) * step_h
    return SeasonHeat(
        season=year.span.name,
        hours=round(clock_hours),
        hours_valid=round(hours_valid),
        hours_counted=round(np.count_nonzero(year.counted_valid) * step_h),
        coverage=float(hours_valid / clock_hours),
        dark_degree_hours_k_h=heating_degree_hours_k_h(
            year.outdoor_c[year.counted_valid], base_c=hold_c, step_h=step_h
        ),
        rungs=_rungs(year, house_loss, reckoned, answer),
        bare_doubt_kwh=bare_doubt_kwh(reckoned.heat.added_kwh),
        need_kwh=answer.need_kwh,
        avoided_kwh=answer.avoided_kwh,
        avoided_range_kwh=Band(answer.p10, answer.p90),
        need_whole_season_kwh=whole.need_kwh if whole else None,
        avoided_whole_season_kwh=whole.avoided_kwh if whole else None,
        avoided_whole_season_range_kwh=whole.range_kwh if whole else None,
        passive_fraction=answer.avoided_kwh / answer.need_kwh if answer.need_kwh > 0.0 else None,
        shortfall_kwh=float(np.sum(reckoned.heat.shortfall_kwh)),
        backup_delivered_kwh=backup.delivered_kwh,
        bare=figures,
        indoor_min_c=float(np.min(indoor)) if len(indoor) else None,
        hours_below_hold=round(np.count_nonzero(indoor < hold_c - BELOW_HOLD_TOLERANCE_K) * step_h),
        hours_below_freezing=round(np.count_nonzero(indoor < -BELOW_HOLD_TOLERANCE_K) * step_h),
        gdd_indoor_k_d=_sum_if(growth.indoor_k_d, growth.known),
        gdd_outdoor_k_d=_sum_if(growth.outdoor_k_d, growth.known),
        gdd_over_outdoors_k_d=_sum_if(growth.indoor_k_d - growth.outdoor_k_d, growth.known),
        gdd_by_build_k_d=_sum_if(by_build.k_d, bool(np.any(by_build.hours_known))),
        build_energy_kwh=energy,
        avoided_per_kwh_used=answer.avoided_kwh / energy if energy else None,
    )


def _rungs(year: YearHours, house_loss: Envelope, reckoned: Reckoned, answer: BareAnswer) -> Rungs:
    valid = year.in_season & year.valid
    loss = np.where(year.dark[valid], house_loss.night.total_w_per_k, house_loss.day.total_w_per_k)
    return Rungs(
        gross_kwh=gross_kwh(year.indoor_c[valid], year.outdoor_c[valid], loss, step_h=year.step_h),
        load_kwh=float(np.sum(reckoned.heat.load_kwh)),
        held_kwh=float(np.sum(reckoned.heat.held_kwh)),
        added_kwh=float(np.sum(reckoned.heat.added_kwh)),
        credited_kwh=answer.avoided_kwh,
    )


def _sum_if(values: Floats, known: bool) -> float | None:
    return float(np.sum(values)) if known else None
