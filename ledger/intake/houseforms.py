"""Floor, volume, cover and footing from the few measures that a grower takes of a house."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shape:
    """What follows from the measures. Areas [m2], volume [m3], footing [m]."""

    floor_area_m2: float
    volume_m3: float
    cover_area_m2: float
    footing_m: float


def gable(length_m: float, width_m: float, side_height_m: float, ridge_height_m: float) -> Shape:
    """A house with two like roof slopes over straight side walls.

        rise = ridge − side; slope = √((width/2)² + rise²)
        floor = length · width; volume = floor · (side + ridge)/2
        cover = 2 · length · (side + slope) + 2 · (width · side + width · rise/2); footing = 2 · (length + width)

    Differs from a floor-area rule of thumb: the cover is 2.5 to 4 times the floor.

    Parameters
    ----------
    length_m : along the ridge. [m]
    width_m : across the ridge. [m]
    side_height_m : of the side walls. [m]
    ridge_height_m : of the ridge. [m]

    Returns
    -------
    Shape : roof, side walls and both ends are cover. [m2, m3, m]
    """
    rise = ridge_height_m - side_height_m
    slope = math.hypot(width_m / 2.0, rise)
    floor = length_m * width_m
    ends = 2.0 * (width_m * side_height_m + width_m * rise / 2.0)
    return Shape(
        floor_area_m2=floor,
        volume_m3=floor * (side_height_m + ridge_height_m) / 2.0,
        cover_area_m2=2.0 * length_m * (side_height_m + slope) + ends,
        footing_m=2.0 * (length_m + width_m),
    )


def lean_to(length_m: float, width_m: float, side_height_m: float, ridge_height_m: float) -> Shape:
    """A house with one roof slope, leaning with its high side against another building.

        slope = √(width² + (ridge − side)²); floor = length · width; volume = floor · (side + ridge)/2
        cover = length · (side + slope) + 2 · width · (side + ridge)/2; footing = length + 2 · width

    The wall it leans against is no cover and has no footing of this house; where it loses heat it is a surface of its
    own beyond the form.

    Parameters
    ----------
    length_m : along the wall. [m]
    width_m : from the wall outward. [m]
    side_height_m : of the low front wall. [m]
    ridge_height_m : at the wall. [m]

    Returns
    -------
    Shape : roof, front and both ends are cover. [m2, m3, m]
    """
    slope = math.hypot(width_m, ridge_height_m - side_height_m)
    floor = length_m * width_m
    end = width_m * (side_height_m + ridge_height_m) / 2.0
    return Shape(
        floor_area_m2=floor,
        volume_m3=floor * (side_height_m + ridge_height_m) / 2.0,
        cover_area_m2=length_m * (side_height_m + slope) + 2.0 * end,
        footing_m=length_m + 2.0 * width_m,
    )


def round_house(length_m: float, width_m: float, side_height_m: float, ridge_height_m: float) -> Shape:
    """A hoop house: a circular arc over straight side walls (of height 0 where the hoop springs from the ground).

        rise = ridge − side; radius = (width²/4 + rise²) / (2 · rise); half angle θ = 2 · atan(2 · rise / width)
        arc = 2 · radius · θ; segment = radius² · (θ − sin θ · cos θ)
        floor = length · width; end = width · side + segment; volume = length · end
        cover = length · (2 · side + arc) + 2 · end; footing = 2 · (length + width)

    With rise = width/2 the arc is a half circle: arc = π · width/2, segment = π · width²/8. A house that rises higher
    than that is taken as a half circle over straight walls of ridge − width/2: no hoop bulges beyond its footing.

    Parameters
    ----------
    length_m : along the ridge. [m]
    width_m : across the ridge, at the springing of the arc. [m]
    side_height_m : of the straight side walls, 0 or more. [m]
    ridge_height_m : of the highest point. [m]

    Returns
    -------
    Shape : arc, side walls and both ends are cover. [m2, m3, m]
    """
    rise = min(ridge_height_m - side_height_m, width_m / 2.0)
    side_height_m = ridge_height_m - rise
    theta = 2.0 * math.atan2(2.0 * rise, width_m)
    radius = (width_m**2 / 4.0 + rise**2) / (2.0 * rise)
    arc = 2.0 * radius * theta
    end = width_m * side_height_m + radius**2 * (theta - math.sin(theta) * math.cos(theta))
    return Shape(
        floor_area_m2=length_m * width_m,
        volume_m3=length_m * end,
        cover_area_m2=length_m * (2.0 * side_height_m + arc) + 2.0 * end,
        footing_m=2.0 * (length_m + width_m),
    )
