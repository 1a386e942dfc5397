"""The house model's answer: season by season what the bare house would have burnt, and whether that may be believed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from types import MappingProxyType

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.bare import ModelSeason
from ledger.heat.housemodel.belief import (
    RUN_AWAY,
    HeldOut,
    contrasts,
    far_figures,
    foretell,
    held_out_steps,
)
from ledger.heat.housemodel.fit import Fit, fit
from ledger.heat.housemodel.grid import Grid, lay_out_grid
from ledger.heat.housemodel.house import (
    Refusal,
    house_numbers,
    refusal,
    season_refusal,
    unmetered_heat,
)
from ledger.heat.housemodel.open_days import Weather
from ledger.heat.housemodel.outdoors import yearly_wave
from ledger.heat.housemodel.priors import HouseNumbers, priors
from ledger.heat.housemodel.problem import Problem, vented
from ledger.heat.housemodel.season_runs import SeasonAnswer, answer_season
from ledger.heat.housemodel.sky import clearness
from ledger.heat.housemodel.spread import LEAST_SHARE_OF_NEED, NORMAL_P90, SETTING_SD_K, structure_weights
from ledger.heat.housemodel.structure import candidates
from ledger.heat.housemodel.whatif import Told
from ledger.heat.prepared import Prepared
from ledger.heat.season_notices import degrees_in_words
from ledger.heat.spans import Span
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord

RUN_UP = pd.Timedelta(days=14)
MOST_OFF_AT_A_TIE = 0.5
"""Held at the fan's own setting: an answer that one side of it contradicts by more, as a share of that side (or of a
tenth of the need), is no answer."""
UNKNOWN_CLEARNESS = 0.6
"""How clear the sky is taken to be before the first round of a fit without measured sun."""


@dataclass(frozen=True, slots=True)
class FittedFigure:
    """A figure as fitted, beside what was known of it. `deviations`: how far it moved, in prior standard deviations."""

    figure: str
    unit: str
    value: float
    prior: float
    low: float
    high: float
    deviations: float


@dataclass(frozen=True, slots=True, eq=False)
class SeasonModel:
    """One season: the fit's quality and what the runs gave.

    Attributes
    ----------
    season : name.
    structures : candidates by name with their share in the answer.
    figures : of the structure with the largest share.
    held_out : nights kept out of the fit.
    contrasts : what fixes kilowatt-hours.
    far : figures far from what was known of them.
    believed : whether the season may be believed; `why_not` says why it may not.
    answer : runs.
    fits, weights : every structure as fitted, with its share in the answer: other winters are run through them.
    """

    season: str
    structures: Mapping[str, float]
    figures: tuple[FittedFigure, ...]
    held_out: HeldOut
    contrasts: tuple[str, ...]
    far: tuple[str, ...]
    believed: bool
    why_not: tuple[str, ...]
    answer: SeasonAnswer
    fits: tuple[Fit, ...] = ()
    weights: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class HouseModelAnswer:
    """What the house model has to say.

    Attributes
    ----------
    seasons : by season's name; a season that could not be run is missing and `why_not` says why.
    believed : every season that was run is believed.
    why_not : sentences, empty where all is well.
    """

    seasons: Mapping[str, SeasonModel] = field(default_factory=lambda: MappingProxyType({}))
    believed: bool = False
    why_not: tuple[str, ...] = ()

    @property
    def model_seasons(self) -> Mapping[str, ModelSeason]:
        """Runs by season in the form that the heat rooms take."""
        return {name: season.answer.model for name, season in self.seasons.items()}

    @property
    def seasons_at(self) -> Mapping[float, Mapping[str, ModelSeason]]:
        """The same held at other temperatures [°C]."""
        at: dict[float, dict[str, ModelSeason]] = {}
        for name, season in self.seasons.items():
            for hold_c, held in season.answer.at_hold.items():
                at.setdefault(hold_c, {})[name] = held
        return at


def fit_house(record: HourlyRecord, prepared: Prepared, ledger: Ledger) -> HouseModelAnswer:
    """Fit the house to the log and run it bare and built, free and held, season by season.

    Parameters
    ----------
    record : the clean record; its readings at the log's own step are what is fitted.
    prepared : the record laid out by season.
    ledger : site, house, hold, builds, stores.

    Returns
    -------
    HouseModelAnswer : pure and the same on every run.

    Source
    ------
    Madsen & Holst 1995, Energy and Buildings 22; Bacher & Madsen 2011, Energy and Buildings 43.
    """
    refused = refusal(record, ledger)
    if isinstance(refused, Refusal):
        return HouseModelAnswer(why_not=(refused.why,))
    found, missing = {}, []
    for year in prepared.years:
        season = _season(record, year.span, ledger, Weather(prepared.outdoor_elsewhere_c, prepared.climate))
        if isinstance(season, Refusal):
            missing.append(f"Season {year.span.name}: {season.why}")
        else:
            found[year.span.name] = season
    reasons = [f"Season {name}: {why}" for name, season in found.items() for why in season.why_not]
    believed = bool(found) and all(s.believed for s in found.values())
    return HouseModelAnswer(found, believed, (*missing, *reasons))


def _season(record: HourlyRecord, span: Span, ledger: Ledger, weather: Weather) -> SeasonModel | Refusal:
    index = pd.DatetimeIndex(record.fine.index)
    fine = record.fine[(index >= span.begins_utc - RUN_UP) & (index < span.ends_utc)]
    grid = lay_out_grid(fine, ledger.site, outdoor_elsewhere_c=weather.outdoor_c)
    refused = season_refusal(grid, ledger)
    if grid is None or refused is not None:
        return refused or Refusal("no readings.")
    house = house_numbers(replace(record, fine=fine), ledger)  # the fan of this season: a later one moves no older fit
    fits = _fits(grid, house)
    weights = structure_weights(fits)
    best = fits[int(weights.argmax())]
    held_out = foretell(best)
    fixed = contrasts(grid, tank_known=house.tank_j_per_k is not None and grid.water_c is not None)
    why_not = _why_not(best, held_out, fixed, unmetered_heat(grid, record, ledger))
    answer, why_not = _answered(fits, weights, span, ledger, weather, why_not)
    return SeasonModel(
        season=span.name,
        structures={f.problem.structure.words: float(w) for f, w in zip(fits, weights, strict=True)},
        figures=_figures(best),
        held_out=held_out,
        contrasts=fixed,
        far=tuple(f"{figure.value} ({off:+.1f} standard deviations)" for figure, off in far_figures(best)),
        believed=not why_not,
        why_not=why_not,
        answer=answer,
        fits=fits,
        weights=tuple(float(w) for w in weights),
    )


def _fits(grid: Grid, house: HouseNumbers) -> tuple[Fit, ...]:
    """One fit a structure; the first judges the noise and the others begin where it ended."""
    learnt = grid.read & ~vented(grid, grid.indoor_c) & ~held_out_steps(grid)
    sky = grid.clear_w_m2 * UNKNOWN_CLEARNESS if grid.sun_w_m2 is None else grid.sun_w_m2
    clear = clearness(sky, grid.clear_w_m2, grid.sun_day)
    annual = yearly_wave(grid).mean_c
    found: list[Fit] = []
    tank = house.tank_j_per_k is not None and grid.water_c is not None
    for structure in candidates(bed=grid.fan_level is not None, tank=tank):
        table = priors(house, structure, annual_outdoor_c=annual, windy=grid.wind_over_mean is not None)
        problem = Problem(grid, house, structure, table, learnt, clear)
        found.append(fit(problem, found[0] if found else None))
    return tuple(found)


def _why_not(best: Fit, held_out: HeldOut, fixed: tuple[str, ...], unmetered: str | None) -> tuple[str, ...]:
    reasons = [] if unmetered is None else [unmetered]
    if held_out.cv_rmse is None or held_out.nmbe is None:
        reasons.append("too few whole nights to hold any out of the fit.")
    elif not held_out.within_limits:
        reasons.append(
            f"{held_out.nights} nights kept out of the fit are foretold with a scatter of {held_out.cv_rmse:.0%} "
            f"(at most 30 %) and a bias of {held_out.nmbe:+.0%} (at most 10 %) of the rise over outdoors."
        )
    if not fixed:
        reasons.append(
            "nothing in the log fixes kilowatt-hours: no fan on and off in like hours, no logged store of known mass, "
            "no metered heater, no measured sun."
        )
    away = far_figures(best, beyond=RUN_AWAY)
    if away:
        reasons.append(f"{', '.join(f.value for f, _ in away)} ran away from anything a house of this kind has.")
    return tuple(reasons)


def _answered(
    fits: Sequence[Fit],
    weights: NDArray[np.float64],
    span: Span,
    ledger: Ledger,
    weather: Weather,
    why_not: tuple[str, ...],
) -> tuple[SeasonAnswer, tuple[str, ...]]:
    """The season's runs, and every reason not to believe them: those known before and a tie that only runs show."""
    answer = answer_season(fits, weights, span, ledger, believed=not why_not, weather=weather)
    tie = _tie(answer.told, ledger)
    if tie is None:
        return answer, why_not
    if not why_not:
        answer = answer_season(fits, weights, span, ledger, believed=False, weather=weather)
    return answer, (*why_not, tie)


def _tie(told: Told, ledger: Ledger) -> str | None:
    """Why a hold at the fan's own setting leaves the answer open; None where it does not.

    Where the setting lies so near the hold that it may be misread to either side, and the answer of one side is off by
    half from what is answered, the log does not tell which holds.
    """
    if told.fan is None or told.fan.cold_c is None or not told.at_the_fan_setting:
        return None
    off = [
        abs(told.now.kwh - side.avoided.kwh) / max(abs(side.avoided.kwh), LEAST_SHARE_OF_NEED * side.need_kwh)
        for side in told.fan.beside
    ]
    if abs(told.fan.cold_c - told.hold_c) > SETTING_SD_K or max(off) <= MOST_OFF_AT_A_TIE:
        return None
    below, above = (f"{one.avoided.kwh:.0f} kWh at {degrees_in_words(one.to, ledger)}" for one in told.fan.beside)
    return (
        f"the house is held where the fan begins to give heat back ({degrees_in_words(told.fan.cold_c, ledger)} by the "
        f"log), and what it saves jumps there, from {below} to {above}: the log cannot tell on which side it stands. "
        "To mend it set the fan at least a degree above the hold."
    )


def _figures(best: Fit) -> tuple[FittedFigure, ...]:
    found = []
    for i, prior in enumerate(best.problem.table):
        at, sd = float(best.fitted[i]), float(best.covariance[i, i]) ** 0.5
        value, low, high = (float(v) for v in prior.natural(_triple(at, sd)))
        off = (at - prior.fitted_centre) / prior.sd
        found.append(FittedFigure(prior.figure.value, prior.unit, value, prior.centre, low, high, off))
    return tuple(found)


def _triple(at: float, sd: float) -> NDArray[np.float64]:
    return np.array([at, at - NORMAL_P90 * sd, at + NORMAL_P90 * sd])
