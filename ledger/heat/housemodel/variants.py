"""Runs of a fitted house with something changed: what stands, its hold, a store's size, the fan's thermostat."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.grid import Flags
from ledger.heat.housemodel.left_out import Part
from ledger.heat.housemodel.network import Build
from ledger.heat.housemodel.priors import Figure, Prior
from ledger.heat.housemodel.runs import Case, run_all
from ledger.heat.housemodel.thermostat import Branch, FanRule

Floats = NDArray[np.float64]

MOST_COLUMNS = 72
"""So many runs march side by side at most, for the sake of memory."""

GROWS_WITH_SIZE: Mapping[Part, tuple[Figure, ...]] = {
    Part.TANK: (Figure.TANK_MASS, Figure.TANK_LINK),
    Part.BED: (
        Figure.BED_FLOW,
        Figure.BED_NEAR_MASS,
        Figure.BED_FAR_MASS,
        Figure.BED_INSIDE,
        Figure.BED_DOWN,
        Figure.FAN_HEAT,
    ),
}
"""Twice the size is the same once more: twice the mass, every link and the fan. The floor above a bed stays."""


@dataclass(frozen=True, slots=True)
class Voice:
    """One structure with its say in the answer."""

    fit: Fit
    weight: float
    rule: FanRule


@dataclass(frozen=True, slots=True)
class Variant:
    """A house that may be run.

    Attributes
    ----------
    stands : which parts of the builds.
    hold_c : what its heater holds. [°C]
    grown : a store and how many times its size.
    cold_k, warm_k : how far the fan's settings for giving back and for storing are moved. [K]
    """

    stands: Build
    hold_c: float
    grown: tuple[Part, float] | None = None
    cold_k: float = 0.0
    warm_k: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Tally:
    """What a run used: over the season by draw [kWh], at the found figures by step [kWh], the fan's hours [h]."""

    season_kwh: Floats
    step_kwh: Floats
    fan_h: float


def run_variants(
    voice: Voice, variants: Sequence[Variant], figures: Floats, *, season: Flags
) -> Mapping[Variant, Tally]:
    """Run them over the log's weather.

    Parameters
    ----------
    voice : the fitted structure.
    variants : what is run; each once.
    figures : on the fitting scale, the found ones first, then a draw a row.
    season : steps that are added up.

    Returns
    -------
    mapping of Tally
    """
    problem, found = voice.fit.problem, {}
    for some in _chunks(tuple(dict.fromkeys(variants)), MOST_COLUMNS // len(figures)):
        cases = [Case(v.stands, v.hold_c, resized(problem.table, figures, v.grown)) for v in some]
        moved = [np.repeat([getattr(v, k) for v in some], len(figures)) for k in ("cold_k", "warm_k")]
        rule = shifted(voice.rule, cold_k=moved[0], warm_k=moved[1])
        outcomes = run_all(problem, cases, sun_w_m2=voice.fit.marched.sun_w_m2, rule=rule)
        for variant, outcome in zip(some, outcomes, strict=True):
            fan_h = float(outcome.fan_on[season, 0].sum() * problem.grid.step_s / 3600.0)
            kwh = outcome.heater_kwh
            found[variant] = Tally(kwh[season].sum(axis=0), kwh[:, 0].copy(), fan_h)
    return found


def resized(table: Sequence[Prior], fitted: Floats, grown: tuple[Part, float] | None) -> Floats:
    """The figures of a house with a store of another size.

        masses, links, fan: times the factor;   share of the sun that a tank takes: 1 − (1 − share)^factor

    Half the tank is half as many like tanks in like places; twice the bed is a like bed with a like fan beside it.

    Parameters
    ----------
    table : what the columns are.
    fitted : on the fitting scale, a row a set.
    grown : the store and how many times its size, above 0; None: as it stands.

    Returns
    -------
    array : a copy.

    Raises
    ------
    ValueError : a factor that is not above 0 (our bug).
    """
    answer = fitted.copy()
    if grown is None:
        return answer
    part, factor = grown
    if factor <= 0.0:
        raise ValueError("a store of no size is left out, not made small")
    for column, prior in enumerate(table):
        if prior.figure in GROWS_WITH_SIZE[part]:
            answer[:, column] += np.log(factor)
        elif prior.figure is Figure.TANK_SUN and part is Part.TANK:
            left = -factor * np.log1p(np.exp(answer[:, column]))
            answer[:, column] = np.log(-np.expm1(left)) - left
    return answer


def shifted(rule: FanRule, *, cold_k: Floats, warm_k: Floats) -> FanRule:
    """The thermostat with its settings moved, an entry a run; logged hours that stand in its place stay as they are.

    Parameters
    ----------
    rule : as the log shows it.
    cold_k, warm_k : how far. [K]

    Returns
    -------
    FanRule
    """
    return FanRule(_moved(rule.cold, cold_k), _moved(rule.warm, warm_k), rule.hours)


def _moved(branch: Branch | None, by_k: Floats) -> Branch | None:
    if branch is None:
        return None
    return replace(branch, on_c=branch.on_c + branch.sign * by_k, off_c=branch.off_c + branch.sign * by_k)


def _chunks(variants: Sequence[Variant], most: int) -> Iterator[Sequence[Variant]]:
    size = max(1, most)
    return (variants[k : k + size] for k in range(0, len(variants), size))
