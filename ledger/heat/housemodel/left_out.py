"""The saving build by build: each left out of all, each alone, and what belongs to several of them together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from math import factorial

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.network import Build
from ledger.heat.housemodel.priors import HouseNumbers
from ledger.heat.housemodel.spread import DRAWS_COUNT, LEAST_SHARE_OF_NEED, NORMAL_P90, WrongPhysics
from ledger.heat.housemodel.structure import Structure

Floats = NDArray[np.float64]


class Part(StrEnum):
    """What of the builds the model can take out of a run."""

    TANK = "tank"
    BED = "tube bed"
    ENVELOPE = "envelope"


Parts = frozenset[Part]
NONE: Parts = frozenset()


@dataclass(frozen=True, slots=True)
class Ranged:
    """Heat with its range: one time in ten below `p10`, one in ten above `p90`. [kWh]"""

    kwh: float
    p10: float
    p90: float


@dataclass(frozen=True, slots=True)
class Doubt:
    """What the draws and what no draw shows make of an answer.

    `need_kwh`: of the bare house [kWh]; `count`: what the draws' own distance counts for.
    """

    wrong: WrongPhysics
    need_kwh: float
    count: float = DRAWS_COUNT

    def of(self, values: Floats) -> Ranged:
        """The first value with the range that the others and wrong physics give it.

            half-width = 1.28 · √((count · σ of the draws)² + σ² of wrong physics)

        Parameters
        ----------
        values : the central one, then a draw each; draws may be missing. [kWh]

        Returns
        -------
        Ranged
        """
        return self._about(values, self.wrong.kwh(float(values[0]), self.need_kwh))

    def of_a_change(self, values: Floats, before: Floats) -> Ranged:
        """The same of a difference between two runs of one draw each; what both get wrong alike falls out of it.

        Wrong physics is a share of the change; a change near 0 is doubted as if it were a tenth of what it changes.

        Parameters
        ----------
        values, before : as for `of`, draw by draw. [kWh]

        Returns
        -------
        Ranged
        """
        change, least = values - before, LEAST_SHARE_OF_NEED * abs(float(before[0]))
        return self._about(change, self.wrong.of_change * max(abs(float(change[0])), least))

    def _about(self, values: Floats, allowance_kwh: float) -> Ranged:
        central, draws = float(values[0]), values[1:]
        drawn = float(np.std(draws, ddof=1)) if len(draws) > 1 else 0.0
        half = NORMAL_P90 * float(np.hypot(self.count * drawn, allowance_kwh))
        return Ranged(central, central - half, central + half)


@dataclass(frozen=True, slots=True)
class PartOfSaving:
    """One part of the builds.

    Attributes
    ----------
    part : which.
    alone : what it would save if it alone had been built.
    left_out : what would be lost if it alone were taken away.
    own_kwh : its part of the whole, the shared heat divided (see `split`). [kWh]
    """

    part: Part
    alone: Ranged
    left_out: Ranged
    own_kwh: float


@dataclass(frozen=True, slots=True)
class Split:
    """The whole saving and its parts. [kWh]"""

    together: Ranged
    parts: tuple[PartOfSaving, ...]

    @property
    def shared_kwh(self) -> float:
        """What only several of them together give, or (below 0) save each for the other.

        Above 0: they do the same work twice, and any one of them alone would have done it. Below 0: each works better
        with the others there.
        """
        return self.together.kwh - sum(one.left_out.kwh for one in self.parts)


def parts_of(structure: Structure, house: HouseNumbers) -> tuple[Part, ...]:
    """Which parts stand in a house.

    Parameters
    ----------
    structure : its masses.
    house : its envelope now and before.

    Returns
    -------
    tuple of Part
    """
    changed = house.bare_factor_night != 1.0 or house.bare_factor_day != house.day_factor
    there = {
        Part.TANK: structure.tank_node is not None,
        Part.BED: structure.near_node is not None,
        Part.ENVELOPE: changed,
    }
    return tuple(part for part, stands in there.items() if stands)


def stands(parts: Parts) -> Build:
    """The house with these parts and no others."""
    return Build(tank=Part.TANK in parts, bed=Part.BED in parts, envelope=Part.ENVELOPE in parts)


def subsets(parts: tuple[Part, ...]) -> tuple[Parts, ...]:
    """Every choice of the parts, from none to all."""
    return tuple(frozenset(chosen) for size in range(len(parts) + 1) for chosen in combinations(parts, size))


def split(saved: Mapping[Parts, Floats], parts: tuple[Part, ...], doubt: Doubt, *, together: Ranged) -> Split:
    """Split the whole saving between its parts.

        alone = saved {part};   left out = saved all − saved all without the part
        own = Σ over choices S of the others  |S|! (n − |S| − 1)! / n! · (saved S with the part − saved S)

    A part's own is the mean of what it adds over every order in which the builds might have been built, so that the
    owns add up to the whole; of two builds the shared heat is halved. Differs from leaving each out alone, whose losses
    add up to the whole only where builds do not touch one another.

    Parameters
    ----------
    saved : heat not bought with each choice of parts, the central value first, then a draw each. [kWh]
    parts : those that stand.
    doubt : for the ranges of the parts.
    together : the whole saving as it is answered elsewhere.

    Returns
    -------
    Split

    Source
    ------
    Shapley 1953, A value for n-person games (from memory).
    """
    whole, everything = frozenset(parts), len(parts)
    found = []
    for part in parts:
        others = whole - {part}
        own = sum(
            factorial(len(s)) * factorial(everything - len(s) - 1) * float(saved[s | {part}][0] - saved[s][0])
            for s in saved
            if s <= others
        ) / factorial(everything)
        alone = doubt.of(saved[frozenset({part})])
        found.append(PartOfSaving(part, alone, doubt.of_a_change(saved[whole], saved[others]), own))
    return Split(together, tuple(found))
