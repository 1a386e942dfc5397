"""Which masses the model has: the candidates that the evidence of the log decides between."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

AIR = 0


class Floor(StrEnum):
    """How the ground under the house is cut into masses."""

    TWO_LAYERS = "floor in two layers"
    LADDER = "floor as a column of even soil"


class Bed(StrEnum):
    """How the ground around buried tubes hangs together with the rest."""

    NONE = "no tube bed"
    LINKED = "tube bed under the floor"


LADDER_M = (0.04, 0.10, 0.25, 0.50)
"""Thickness of the ladder's layers, from the top: thin where the day's swing lives. [m]"""
BELOW_LADDER_M = 0.6
"""From the bottom of the ladder to the depth whose temperature hardly moves in a season. [m]"""


@dataclass(frozen=True, slots=True)
class Structure:
    """One choice of masses. Nodes in order: air, floor layers from the top, tank, near bed, far bed, light things."""

    floor: Floor
    bed: Bed
    tank: bool

    @property
    def floor_layers(self) -> int:
        """How many layers the floor has."""
        return len(LADDER_M) if self.floor is Floor.LADDER else 2

    @property
    def tank_node(self) -> int | None:
        """Index of the tank, None without one."""
        return 1 + self.floor_layers if self.tank else None

    @property
    def near_node(self) -> int | None:
        """Index of the bed near the tubes, None without a bed."""
        return None if self.bed is Bed.NONE else 1 + self.floor_layers + int(self.tank)

    @property
    def far_node(self) -> int | None:
        """Index of the bed farther off, None without a bed."""
        return None if self.bed is Bed.NONE else 2 + self.floor_layers + int(self.tank)

    @property
    def nodes(self) -> int:
        """How many masses."""
        return 2 + self.floor_layers + int(self.tank) + (0 if self.bed is Bed.NONE else 2)

    @property
    def light_node(self) -> int:
        """Index of plants, pots and other light things, the last."""
        return self.nodes - 1

    @property
    def under_bed_layer(self) -> int:
        """The floor layer that a linked bed exchanges heat with."""
        return self.floor_layers - 1 if self.floor is Floor.LADDER else self.floor_layers

    @property
    def words(self) -> str:
        """The masses in words."""
        parts = [self.floor.value]
        if self.bed is not Bed.NONE:
            parts.append(self.bed.value)
        if self.tank:
            parts.append("tank")
        return ", ".join(parts)


def candidates(*, bed: bool, tank: bool) -> tuple[Structure, ...]:
    """The structures that are tried, simplest first.

    Parameters
    ----------
    bed : a fan that blows air through the ground is logged.
    tank : a tank of known heat capacity is logged.

    Returns
    -------
    tuple of Structure
    """
    way = Bed.LINKED if bed else Bed.NONE
    return tuple(Structure(floor, way, tank) for floor in (Floor.TWO_LAYERS, Floor.LADDER))
