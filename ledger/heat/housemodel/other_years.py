"""Other winters through a fitted house: bare and built, free and held, over weather that its log never saw."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.network import BARE, BUILT
from ledger.heat.housemodel.other_weather import (
    Place,
    Winter,
    figures_at_the_start,
    own_place,
    place_winter,
    rule_elsewhere,
    steps_for,
)
from ledger.heat.housemodel.runs import Case, Outcome, run_all
from ledger.heat.housemodel.seen_days import SeenDays, seen_days, sun_of_like_days_w_per_m2
from ledger.heat.housemodel.sky import clearness
from ledger.heat.housemodel.spread import (
    ANOTHER_WINTER_SHARE,
    DRAWS,
    LEAST_SHARE_OF_NEED,
    banded,
    drawn_figures,
    draws_count,
    wrong_physics,
)
from ledger.heat.housemodel.structure import Bed
from ledger.heat.housemodel.thermostat import NO_FAN, FanRule, cold_setting_c, fan_rule
from ledger.heat.prepared import Prepared
from ledger.heat.results import Band
from ledger.heat.spans import Span
from ledger.model.house import Site
from ledger.model.ledger import Ledger

Floats = NDArray[np.float64]

LEAST_WEIGHT = 0.02
"""A structure with a smaller share in the answer is not run."""
WINTERS_AT_ONCE = 12
"""So many winters march side by side, for the sake of memory."""
CLOUD_TRIALS = 3
LEAST_CLOUD_SHARE = 0.03
"""Drawn clouds are doubted by this share of the answer at least. Common practice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class Voice:
    """A fitted structure with its share in the answer, its fan's rule and the days that it saw."""

    fit: Fit
    weight: float
    rule: FanRule
    seen: SeenDays


@dataclass(frozen=True, slots=True, eq=False)
class FittedHouse:
    """A believed fit that other winters are run through.

    Attributes
    ----------
    voices : structures, the one with the largest share first.
    span : the season whose log was fitted.
    site : where.
    """

    voices: tuple[Voice, ...]
    span: Span
    site: Site


@dataclass(frozen=True, slots=True, eq=False)
class WinterRun:
    """A winter as run.

    Attributes
    ----------
    season : its name.
    need_kwh, avoided_kwh : heater energy of the bare run; that less the built run's.
    hours : by UTC hour of the season: outdoor_c, bare_c and indoor_c of the free runs [°C], need_kwh and to_buy_kwh of
        the held runs, fan_w of the built one.
    sun_drawn : no sun was measured, days were drawn.
    """

    season: str
    need_kwh: float
    avoided_kwh: float
    hours: pd.DataFrame
    sun_drawn: bool


@dataclass(frozen=True, slots=True)
class WinterRange:
    """Tenth and ninetieth percentile of what a winter's run gave. [kWh]

    `cloud_share`: standard deviation for clouds that were drawn, as a share of the avoided heat; 0 with measured sun.
    """

    avoided_kwh: Band
    to_buy_kwh: Band
    cloud_share: float


def fitted_house(model: HouseModelAnswer | None, prepared: Prepared, ledger: Ledger) -> FittedHouse | None:
    """The season with the most readings of a believed model, ready for other winters; None without one.

    Parameters
    ----------
    model : as fitted.
    prepared : the seasons' spans.
    ledger : site.

    Returns
    -------
    FittedHouse
    """
    if model is None or not model.believed:
        return None
    seasons = [s for s in model.seasons.values() if s.fits]
    if not seasons:
        return None
    best = max(seasons, key=lambda s: (int(s.fits[0].problem.grid.read.sum()), s.season))
    span = next(y.span for y in prepared.years if y.span.name == best.season)
    pairs = [(f, w) for f, w in zip(best.fits, best.weights, strict=True) if w >= LEAST_WEIGHT]
    whole = sum(w for _, w in pairs)
    voices = sorted((_voice(f, w / whole) for f, w in pairs), key=lambda v: -v.weight)
    return FittedHouse(tuple(voices), span, ledger.site)


def run_winters(house: FittedHouse, winters: Sequence[Winter], *, hold_c: float) -> tuple[WinterRun, ...]:
    """Run winters that the log never saw.

    Parameters
    ----------
    house : as fitted.
    winters : their weather.
    hold_c : hold temperature. [°C]

    Returns
    -------
    tuple of WinterRun : one a winter, structures blended by their share.
    """
    found: list[WinterRun] = []
    for first in range(0, len(winters), WINTERS_AT_ONCE):
        some = winters[first : first + WINTERS_AT_ONCE]
        places = [_places(v, some, house.site) for v in house.voices]
        frames = [_frames(v, p, hold_c=hold_c, span=house.span) for v, p in zip(house.voices, places, strict=True)]
        for i, winter in enumerate(some):
            found.append(_run_of(winter.span.name, house, [f[i] for f in frames], sun_drawn=places[0][i].sun_drawn))
    return tuple(found)


def run_own_winter(house: FittedHouse, *, hold_c: float, colder_k: float) -> WinterRun:
    """The log's own winter, so much colder (milder below 0), holes filled from like days. [°C, K]"""
    frames = [
        _frames(v, [own_place(v.fit, house.span, colder_k=colder_k)], hold_c=hold_c, span=house.span)[0]
        for v in house.voices
    ]
    return _run_of(house.span.name, house, frames, sun_drawn=False)


def range_of_winter(house: FittedHouse, winter: Winter | None, *, hold_c: float, colder_k: float = 0.0) -> WinterRange:
    """How sure a winter's run is: spread of the figures, structures, wrong physics, another winter.

    Parameters
    ----------
    house : as fitted.
    winter : its weather; None: the log's own winter.
    hold_c : hold temperature. [°C]
    colder_k : for the log's own winter. [K]

    Returns
    -------
    WinterRange
    """
    needs, buys, drawn = [], [], False
    for voice in house.voices:
        place = (
            own_place(voice.fit, house.span, colder_k=colder_k)
            if winter is None
            else _places(voice, [winter], house.site)[0]
        )
        figures = drawn_figures(voice.fit)
        if winter is not None:
            figures = figures_at_the_start(voice.fit, figures, house.span)
        cases = [Case(stands, hold_c, figures) for stands in (BARE, BUILT)]
        bare, built = _marched(voice, place, cases)
        needs.append(bare.heater_kwh[place.inside].sum(axis=0))
        buys.append(built.heater_kwh[place.inside].sum(axis=0))
        drawn = place.sun_drawn
    share = _cloud_share(house.voices[0], house.span, hold_c=hold_c) if drawn else 0.0
    elsewhere = 0.0 if winter is None else ANOTHER_WINTER_SHARE
    return _range(house, needs, buys, clouds=share, elsewhere=elsewhere, hold_c=hold_c)


def _range(
    house: FittedHouse,
    needs: Sequence[Floats],
    buys: Sequence[Floats],
    *,
    clouds: float,
    elsewhere: float,
    hold_c: float,
) -> WinterRange:
    weights = [v.weight for v in house.voices]
    need = float(sum(w * n[0] for w, n in zip(weights, needs, strict=True)))
    buy = float(sum(w * b[0] for w, b in zip(weights, buys, strict=True)))
    shares = np.concatenate([np.full(DRAWS, w / DRAWS) for w in weights])
    scale = max(abs(need - buy), LEAST_SHARE_OF_NEED * need)
    wrong_kwh = wrong_physics(house.voices[0].fit).kwh(need - buy, need)
    doubt = float(np.linalg.norm([wrong_kwh, clouds * scale, elsewhere * scale]))
    avoided = np.concatenate([n[1:] - b[1:] for n, b in zip(needs, buys, strict=True)])
    bought = np.concatenate([b[1:] for b in buys])
    count = draws_count(hold_c, cold_setting_c(house.voices[0].rule))
    band = banded(buy, bought, shares, allowance_kwh=doubt, count=count)
    return WinterRange(
        avoided_kwh=banded(need - buy, avoided, shares, allowance_kwh=doubt, count=count),
        to_buy_kwh=Band(max(0.0, band.p10), band.p90),
        cloud_share=clouds,
    )


def _voice(fit: Fit, weight: float) -> Voice:
    rule = NO_FAN
    if fit.problem.structure.bed is not Bed.NONE and fit.marched.near_c is not None:
        rule = fan_rule(fit.problem.grid, fit.marched.near_c)
    return Voice(fit, weight, rule, seen_days(fit))


def _cloud_share(voice: Voice, span: Span, *, hold_c: float) -> float:
    """The log's own winter with its own clouds and with drawn ones: mean change of the avoided heat, as a share."""
    fit, grid = voice.fit, voice.fit.problem.grid
    own = own_place(fit, span, colder_k=0.0)
    places = [own]
    for draw in range(CLOUD_TRIALS):
        sun = sun_of_like_days_w_per_m2(grid, voice.seen, draw=draw)
        problem = replace(fit.problem, clearness=clearness(sun, grid.clear_w_m2, grid.sun_day))
        places.append(replace(own, problem=problem, sun_w_m2=sun))
    cases = [Case(stands, hold_c, fit.fitted[None], p.problem, p.sun_w_m2) for p in places for stands in (BARE, BUILT)]
    kwh = [float(o.heater_kwh[own.inside, 0].sum()) for o in _marched(voice, own, cases)]
    avoided = np.array(kwh[0::2]) - np.array(kwh[1::2])
    scale = max(abs(avoided[0]), LEAST_SHARE_OF_NEED * kwh[0])
    moved = float(np.sqrt(np.mean((avoided[1:] - avoided[0]) ** 2))) / scale if scale > 0.0 else 0.0
    return max(LEAST_CLOUD_SHARE, moved)


def _places(voice: Voice, winters: Sequence[Winter], site: Site) -> list[Place]:
    steps = steps_for(voice.fit, winters)
    return [place_winter(voice.fit, w, site, seen=voice.seen, steps=steps) for w in winters]


def _marched(voice: Voice, place: Place, cases: Sequence[Case]) -> tuple[Outcome, ...]:
    rule = rule_elsewhere(voice.rule, voice.fit.problem.grid, place.problem.grid)
    return run_all(place.problem, cases, sun_w_m2=place.sun_w_m2, rule=rule)


def _frames(voice: Voice, places: Sequence[Place], *, hold_c: float, span: Span) -> list[pd.DataFrame]:
    """Each winter's hours by one structure."""
    own = places[0].problem.grid is voice.fit.problem.grid
    figures = voice.fit.fitted[None] if own else figures_at_the_start(voice.fit, voice.fit.fitted[None], span)
    cases = [
        Case(stands, held, figures, p.problem, p.sun_w_m2)
        for p in places
        for held in (hold_c, None)
        for stands in (BARE, BUILT)
    ]
    outcomes = _marched(voice, places[0], cases)
    fan_w = voice.fit.problem.house.fan_power_w
    return [_hours(p, outcomes[4 * i : 4 * i + 4], fan_w) for i, p in enumerate(places)]


def _hours(place: Place, outcomes: Sequence[Outcome], fan_w: float) -> pd.DataFrame:
    bare, built, bare_free, built_free = outcomes
    grid = place.problem.grid
    means: Mapping[str, Floats] = {
        "outdoor_c": grid.outdoor_c,
        "bare_c": bare_free.air_c[:, 0],
        "indoor_c": built_free.air_c[:, 0],
        "fan_w": built.fan_on[:, 0] * fan_w,
    }
    sums: Mapping[str, Floats] = {"need_kwh": bare.heater_kwh[:, 0], "to_buy_kwh": built.heater_kwh[:, 0]}
    stamps = grid.stamps_utc[place.inside]
    steps = pd.DataFrame({k: v[place.inside] for k, v in {**means, **sums}.items()}, index=stamps)
    by_hour = steps.resample(pd.Timedelta(hours=max(1.0, grid.step_s / 3600.0)))
    return pd.concat([by_hour[list(means)].mean(), by_hour[list(sums)].sum()], axis=1)


def _run_of(season: str, house: FittedHouse, frames: Sequence[pd.DataFrame], *, sun_drawn: bool) -> WinterRun:
    hours = frames[0] * house.voices[0].weight
    for frame, voice in zip(frames[1:], house.voices[1:], strict=True):
        hours = hours + frame * voice.weight
    need, buy = float(hours["need_kwh"].sum()), float(hours["to_buy_kwh"].sum())
    return WinterRun(season, need, need - buy, hours, sun_drawn)
