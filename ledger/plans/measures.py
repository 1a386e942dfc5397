"""Cheaper builds that nobody has typed: what each would spare on this house, and the most that it may cost."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from math import isnan

import numpy as np
import pandas as pd
from numpy.typing import NDArray

from ledger.heat.envelope import SPECIFIC_HEAT_OF_AIR_J_PER_KG_K, air_density_kg_per_m3
from ledger.heat.results import TypicalHeat
from ledger.heat.sun import dark, sun_elevation_deg
from ledger.model.build import Hours
from ledger.model.house import Surface
from ledger.model.ledger import Ledger
from ledger.money.avoided import to_year_money
from ledger.money.project import FloatArray, ProjectItem, YearMoney, project_from
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import known_saving, npv, simple_payback
from ledger.plans.costs import NO_RUNNING, NO_UPKEEP
from ledger.sources import NIGHT_SCREEN_RESISTANCE, SEALED_AIR_CHANGES, SECOND_LAYER_RESISTANCE, Row, life_of

# Below this a surface without a named cover is taken for a wall, at and above it for glazing. [W/m2/K]
GLAZED_U = 1.8
WALLS = frozenset({"insulated wall", "plain masonry wall", "wooden wall"})
SCREEN = "night screen"


class Measure(StrEnum):
    """The builds that are tried."""

    SECOND_LAYER = "second layer"
    NIGHT_SCREEN = "night screen"
    SEALING = "sealing"


@dataclass(frozen=True, slots=True)
class Side:
    """A measure beside the build, or instead of it. [kWh/a, currency]

    `avoided_low_kwh`, `avoided_high_kwh`: at the ends of its effect. `yearly_saving`: first year, at base-date prices.
    `pays_sooner_below`: price under which its simple payback is shorter than the build's, None where the build's is not
    known or never comes; `gains_below`: price at which its net present value is 0.
    """

    avoided_kwh: float
    avoided_low_kwh: float
    avoided_high_kwh: float
    yearly_saving: float
    pays_sooner_below: float | None
    gains_below: float


@dataclass(frozen=True, slots=True)
class CheaperBuild:
    """A measure with what is taken of it and where that comes from. `effect` in `effect_unit`, `life_years` [a].

    `area_m2` of the cover that it lies on, None for sealing; `build_payback_years` of what is built, None: never.
    """

    measure: Measure
    effect: float
    effect_unit: str
    effect_source: str
    life_years: float
    life_source: str
    area_m2: float | None
    build_payback_years: float | None
    beside: Side
    instead: Side


def cheaper_builds(ledger: Ledger, heat: TypicalHeat, *, fan_kwh: float | None) -> tuple[CheaperBuild, ...]:
    """What a second layer, a night screen and sealing would each spare in the typical year, and may cost at most.

        spared beside the build  = Σ weight · min(to buy, ΔH · max(0, T_h − T_o))
        spared instead of it     = Σ weight · min(need,   ΔH_bare · max(0, T_h − T_o))
        ΔH of a layer            = Σ A · (U − 1/(1/U + R)),   of sealing ρ·c_p·V·(n − n_sealed)/3600

    What the floor and the stores give in an hour stays as it was, so that heat loss spared is heat not bought, as far
    as any was to be bought in that hour. Money by the same chain as the build's: source, growth, terms, replacements
    and what is left at the end. A price is never ours: only the highest at which it would still do is reckoned. The
    light that a layer takes, and the heat that it keeps out by day, are left out.

    Parameters
    ----------
    ledger : house, builds, sources, terms.
    heat : the typical year.
    fan_kwh : energy of the logged fan in a season, for the build's own payback. [kWh]

    Returns
    -------
    tuple of CheaperBuild : without those that stand already.
    """
    if heat.profile.empty:
        return ()
    years = _build_payback_years(ledger, heat, fan_kwh)
    found = []
    for measure, change in _CHANGES.items():
        row, life = change.row, _life(change.like)
        if _stands(ledger, measure):
            continue
        sides = [
            _side(ledger, heat, life.likely, years, _Spared(measure, change.loss_w_per_k, row, bare=bare))
            for bare in (False, True)
        ]
        area = None if measure is Measure.SEALING else sum(s.area_m2.likely for s in _glazed(ledger, bare=False))
        found.append(
            CheaperBuild(
                measure, row.likely, row.unit, row.source, life.likely, life.source, area, years, sides[0], sides[1]
            )
        )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Change:
    """What a measure changes: its effect's row, the words by which its life is known, W/K spared for an effect."""

    row: Row
    like: str
    loss_w_per_k: Callable[[Ledger, float, bool], float]


def _layer_w_per_k(ledger: Ledger, resistance: float, bare: bool) -> float:
    """W/K that a layer of so much resistance spares on the glazing, as it stands or as it was before all builds."""

    def spared(surface: Surface) -> float:
        u = surface.u_value_w_per_m2_k.likely
        return surface.area_m2.likely * (u - 1.0 / (1.0 / u + resistance))

    return sum(spared(s) for s in _glazed(ledger, bare=bare))


def _sealed_w_per_k(ledger: Ledger, changes_per_h: float, bare: bool) -> float:
    """W/K that sealing down to so many air changes spares; 0 in a house as tight as that."""
    now = ledger.house.air_changes_per_h.likely
    before = [b.air_changes_per_h.likely for x in ledger.builds for b in x.before if b.air_changes_per_h is not None]
    leaks = max([now, *before]) if bare else now
    air = air_density_kg_per_m3(ledger.site.elevation_m) * SPECIFIC_HEAT_OF_AIR_J_PER_KG_K
    return air * ledger.house.volume_m3.likely * max(0.0, leaks - changes_per_h) / 3600.0


_CHANGES: Mapping[Measure, _Change] = {
    Measure.SECOND_LAYER: _Change(SECOND_LAYER_RESISTANCE, "film", _layer_w_per_k),
    Measure.NIGHT_SCREEN: _Change(NIGHT_SCREEN_RESISTANCE, "screen", _layer_w_per_k),
    Measure.SEALING: _Change(SEALED_AIR_CHANGES, "sealing", _sealed_w_per_k),
}


def _life(like: str) -> Row:
    return life_of(like)[1]


def _stands(ledger: Ledger, measure: Measure) -> bool:
    """Whether the house has it already, or is as tight as sealing would make it."""
    if measure is Measure.SEALING:
        return ledger.house.air_changes_per_h.likely <= SEALED_AIR_CHANGES.likely
    if measure is Measure.NIGHT_SCREEN:
        built = any(b.hours is Hours.NIGHT and b.surface is not None for x in ledger.builds for b in x.before)
        return built or any(SCREEN in (s.cover or "") for s in ledger.house.surfaces)
    return False


def _glazed(ledger: Ledger, *, bare: bool) -> list[Surface]:
    """Surfaces that let light in, with what stood there before the builds where `bare`."""
    found = []
    for surface in ledger.house.surfaces:
        cover = surface.cover
        wall = cover in WALLS if cover else surface.u_value_w_per_m2_k.likely < GLAZED_U
        if not wall:
            found.append(_before(ledger, surface) if bare else surface)
    return found


def _before(ledger: Ledger, surface: Surface) -> Surface:
    names = {surface.name} | ({"cover"} if surface.cover is not None else set())
    told = [b.u_value_w_per_m2_k for x in ledger.builds for b in x.before if b.surface in names]
    return replace(
        surface,
        u_value_w_per_m2_k=max(
            [surface.u_value_w_per_m2_k, *(u for u in told if u is not None)], key=lambda u: u.likely
        ),
    )


@dataclass(frozen=True, slots=True)
class _Spared:
    """A measure at the ends of its effect, on the bare house or beside the builds."""

    measure: Measure
    loss_w_per_k: Callable[[Ledger, float, bool], float]
    row: Row
    bare: bool

    def w_per_k(self, ledger: Ledger, effect: float) -> float:
        return self.loss_w_per_k(ledger, effect, self.bare)

    def heat(self, ledger: Ledger, heat: TypicalHeat, effect: float) -> TypicalHeat:
        """The typical year with what was to be bought as its need, and what is left of it by the measure."""
        profile = heat.profile
        now = profile["need_kwh" if self.bare else "to_buy_kwh"].to_numpy(dtype=np.float64)
        weight = profile["weight"].to_numpy(dtype=np.float64)
        below = np.maximum(0.0, ledger.hold.temperature_c - profile["outdoor_c"].to_numpy(dtype=np.float64))
        spared = np.minimum(now, self.w_per_k(ledger, effect) * below * heat.step_h / 1000.0)
        if self.measure is Measure.NIGHT_SCREEN:
            spared = np.where(_dark(ledger, profile, heat.step_h), spared, 0.0)
        whole, avoided = float(weight @ now), float(weight @ spared)
        changed = profile.assign(need_kwh=now, to_buy_kwh=now - spared)
        return replace(heat, profile=changed, need_kwh=whole, avoided_kwh=avoided, to_buy_kwh=whole - avoided)


def _dark(ledger: Ledger, profile: pd.DataFrame, step_h: float) -> NDArray[np.bool_]:
    """Hours in which a screen is closed."""
    return dark(sun_elevation_deg(pd.DatetimeIndex(profile.index), ledger.site, step_h=step_h))


def _side(ledger: Ledger, heat: TypicalHeat, life_years: float, build_years: float | None, spared: _Spared) -> Side:
    row = spared.row
    likely, one, other = (spared.heat(ledger, heat, effect) for effect in (row.likely, row.low, row.high))
    source = ledger.source(ledger.terms.against)
    year, _ = to_year_money(ledger, likely, source, running=NO_RUNNING, upkeep=NO_UPKEEP)
    first_year = float(known_saving(year))
    ends = sorted((one.avoided_kwh, other.avoided_kwh))
    return Side(
        avoided_kwh=likely.avoided_kwh,
        avoided_low_kwh=ends[0],
        avoided_high_kwh=ends[1],
        yearly_saving=first_year,
        pays_sooner_below=None if build_years is None else max(0.0, first_year) * build_years,
        gains_below=max(0.0, _price_at_no_gain(ledger, year, life_years)),
    )


def _price_at_no_gain(ledger: Ledger, year: YearMoney, life_years: float) -> float:
    """Where the net present value, a straight line in the price, is 0: the unit, its replacements, what is left."""

    def worth(price: float) -> float:
        unit = ProjectItem("measure", 0, counted=price, own_work=0.0, residual_counted=0.0, life_years=life_years)
        return float(npv(replace(project_from(ledger, year), items=(unit,), grants=0.0)))

    free = worth(0.0)
    return free / (free - worth(1.0))


def _build_payback_years(ledger: Ledger, heat: TypicalHeat, fan_kwh: float | None) -> float | None:
    """Simple payback of what is built, as in the headline; None where nothing is built or it never comes back."""
    if not ledger.builds:
        return None
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=fan_kwh)
    upkeep = typical_upkeep(ledger, ledger.builds)
    year, _ = to_year_money(ledger, heat, ledger.source(ledger.terms.against), running=running, upkeep=upkeep)
    years: FloatArray = simple_payback(project_from(ledger, year))
    return None if isnan(float(years)) else float(years)
