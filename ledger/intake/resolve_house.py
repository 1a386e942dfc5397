"""From the keys of `[house]` to the house of the model: surfaces, edges, leaks."""

from __future__ import annotations

import math

from ledger.intake.desk import Desk
from ledger.intake.houseforms import Shape, gable, lean_to, round_house
from ledger.intake.schema_house import EdgeRow, Form, HouseSection, SurfaceRow
from ledger.intake.slips import offer
from ledger.intake.spreads import following, of_row
from ledger.model.house import Edge, House, Surface
from ledger.model.values import Basis, Spread
from ledger.sources import (
    AIR_CHANGES_ANY,
    EDGE_UNINSULATED,
    NIGHT_FLOOR_HEAT,
    SUN_GAIN,
    Cover,
    Row,
    cover_named,
    cover_names,
)

COVER = "cover"
_NO_HEIGHT = Spread.sure(0.0, Basis.ASSUMED)


class _Measured:
    """A form's shape with the measures it follows from."""

    def __init__(self, shape: Shape, measures: tuple[Spread, ...]) -> None:
        self.shape = shape
        self.measures = measures


def resolve_house(desk: Desk, section: HouseSection) -> House | None:
    """Turn the section into the house; None when something is missing, which is then noted.

    Rule for `[[house.surface]]` beside a form: with a `cover` or `u_value` of the form, a surface is a part of the
    form's skin that differs, and its area is taken off the cover's (unless `beyond_form`); without one, the surfaces
    are the whole envelope and the form gives floor, volume and footing only.
    """
    measured = _shape(desk, section)
    surfaces = _surfaces(desk, section, measured)
    floor = _from_form(desk, section, measured, "floor_area")
    volume = _from_form(desk, section, measured, "volume")
    if floor is None or volume is None or not surfaces:
        return None
    edges = _edges(desk, section, measured, floor)
    return House(
        floor_area_m2=floor,
        volume_m3=volume,
        surfaces=tuple(surfaces),
        edges=edges,
        air_changes_per_h=_air_changes(desk, section, surfaces),
        unheated_lift_k=section.unheated_lift,
        night_floor_heat_w_per_m2=_night_floor_heat(desk, section),
        bare=section.bare,
        sun_gain=_sun_gain(desk, section),
        form=section.form.value if section.form else None,
    )


def _shape(desk: Desk, section: HouseSection) -> _Measured | None:
    """The form's shape; None without a form, or when a measure is missing."""
    if section.form is None:
        return None
    side = section.side_height
    if side is None and section.form is Form.ROUND:
        desk.assume(("house", "side_height"), "0 m", "a hoop that springs from the ground; common practice, no source")
        side = _NO_HEIGHT
    ridge, length, width = section.ridge_height, section.length, section.width
    named = {"length": length, "width": width, "side_height": side, "ridge_height": ridge}
    missing = [key for key, value in named.items() if value is None]
    for key in missing:
        desk.fault(
            ("house", key),
            f'the form "{section.form.value}" needs the measure "{key}"',
            f'add {key} = "... m" or "... ft"',
        )
    if length is None or width is None or side is None or ridge is None:
        return None
    if ridge.likely < side.likely or (section.form is Form.ROUND and ridge.likely == side.likely):
        desk.fault(
            ("house", "ridge_height"),
            f"the ridge ({ridge.likely:.4g} m) is not higher than the side ({side.likely:.4g} m)",
            "ridge_height is the highest point of the house, side_height the lowest edge of its roof",
        )
        return None
    reckon = {Form.GABLE: gable, Form.LEAN_TO: lean_to, Form.ROUND: round_house}[section.form]
    return _Measured(reckon(length.likely, width.likely, side.likely, ridge.likely), (length, width, side, ridge))


def _from_form(desk: Desk, section: HouseSection, measured: _Measured | None, key: str) -> Spread | None:
    """A floor area or volume as given, else from the form."""
    given = section.floor_area if key == "floor_area" else section.volume
    if given is not None:
        return given
    if measured is not None:
        likely = measured.shape.floor_area_m2 if key == "floor_area" else measured.shape.volume_m3
        return following(likely, measured.measures)
    if section.form is None:
        unit = "m2" if key == "floor_area" else "m3"
        desk.fault(
            ("house", key),
            f"the house has no {key} and no form that it follows from",
            f'add {key} = "... {unit}", or form, length, width, side_height and ridge_height',
        )
    return None


def _cover(desk: Desk, name: str, path: tuple[str | int, ...]) -> Cover | None:
    found = cover_named(name)
    if found is None:
        desk.fault(
            path, f'the cover "{name}" is not in the built-in table', f"{offer(name, cover_names())}; or give u_value"
        )
    return found


def _surfaces(desk: Desk, section: HouseSection, measured: _Measured | None) -> list[Surface] | None:
    """The form's own cover and the surfaces; None when one cannot be read."""
    rows = [_surface(desk, row, number) for number, row in enumerate(section.surface)]
    _names_differ(desk, section)
    listed = [surface for surface in rows if surface is not None]
    own = section.cover is not None or section.u_value is not None
    if section.form is None:
        if not rows:
            desk.fault(
                ("house",),
                "the house has no surface that loses heat",
                "add form with its measures and cover, or [[house.surface]]",
            )
        if own and not section.surface:
            desk.fault(
                ("house", "cover"),
                "a cover without a form has no area",
                "add form and its measures, or [[house.surface]] with area",
            )
        return listed if len(listed) == len(rows) else None
    if not own and not section.surface:
        desk.fault(
            ("house", "cover"),
            "the form has no cover",
            'add cover = "..." from the built-in table, or u_value, or [[house.surface]] for all its parts',
        )
        return None
    if measured is None or len(listed) < len(rows):
        return None
    return [*_form_cover(desk, section, measured), *listed] if own else listed


def _names_differ(desk: Desk, section: HouseSection) -> None:
    seen: set[str] = set()
    own = section.form is not None and (section.cover is not None or section.u_value is not None)
    for number, row in enumerate(section.surface):
        if row.name in seen or (own and row.name == COVER):
            desk.fault(
                ("house", "surface", number, "name"), f'two surfaces are called "{row.name}"', "give each its own name"
            )
        seen.add(row.name)


def _surface(desk: Desk, row: SurfaceRow, number: int) -> Surface | None:
    path = ("house", "surface", number)
    if row.u_value is None and row.cover is None:
        desk.fault(path, f'the surface "{row.name}" has no U-value', 'add u_value = "... W/m2/K", or cover = "..."')
        return None
    cover = _cover(desk, row.cover, (*path, "cover")) if row.cover is not None else None
    if row.u_value is not None:
        return Surface(row.name, row.area, row.u_value, cover.name if cover else row.cover)
    if cover is None:
        return None
    desk.assume_row((*path, "u_value"), cover.u_value)
    return Surface(row.name, row.area, of_row(cover.u_value), cover.name)


def _form_cover(desk: Desk, section: HouseSection, measured: _Measured) -> list[Surface]:
    """What is left of the form's skin when the walls that differ are taken off."""
    cover = _cover(desk, section.cover, ("house", "cover")) if section.cover is not None else None
    whole = measured.shape.cover_area_m2
    taken = sum(row.area.likely for row in section.surface if not row.beyond_form)
    left = whole - taken
    if left < -1e-6 * whole:
        desk.fault(
            ("house", "surface"),
            f"the surfaces ({taken:.4g} m2) are larger than the form's whole skin ({whole:.4g} m2)",
            "check their areas; a surface that is no part of the form takes beyond_form = true",
        )
        return []
    if left <= 1e-6 * whole:
        return []
    u_value = section.u_value
    if u_value is None:
        if cover is None:
            return []
        desk.assume_row(("house", "u_value"), cover.u_value)
        u_value = of_row(cover.u_value)
    return [Surface(COVER, following(left, measured.measures), u_value, cover.name if cover else None)]


def _edges(desk: Desk, section: HouseSection, measured: _Measured | None, floor: Spread) -> tuple[Edge, ...]:
    """The edges as given, else the perimeter at the uninsulated value: never nothing."""
    if section.edge:
        return tuple(_edge(desk, row, number) for number, row in enumerate(section.edge))
    if measured is not None:
        length, why = following(measured.shape.footing_m, measured.measures), "the form's footing"
    elif section.length is not None and section.width is not None:
        around = 2.0 * (section.length.likely + section.width.likely)
        length, why = following(around, (section.length, section.width)), "twice length and width"
    else:
        length = following(4.0 * math.sqrt(floor.likely), (floor,))
        why = "four times the root of the floor: the least perimeter that a rectangle of this floor can have"
    desk.assume(("house", "edge", "length"), f"{length.likely:.4g} m", why)
    desk.assume_row(("house", "edge", "loss"), EDGE_UNINSULATED)
    return (Edge("perimeter", length, of_row(EDGE_UNINSULATED)),)


def _edge(desk: Desk, row: EdgeRow, number: int) -> Edge:
    if row.loss is not None:
        return Edge(row.name, row.length, row.loss)
    desk.assume_row(("house", "edge", number, "loss"), EDGE_UNINSULATED)
    return Edge(row.name, row.length, of_row(EDGE_UNINSULATED))


def _air_changes(desk: Desk, section: HouseSection, surfaces: list[Surface]) -> Spread:
    """Air changes as given, else by the cover, else by that of the largest surface with one."""
    if section.air_changes is not None:
        return section.air_changes
    by_size = sorted(surfaces, key=lambda surface: -surface.area_m2.likely)
    names = [section.cover, *(surface.cover for surface in by_size)]
    covers = [cover_named(name) for name in names if name]
    row: Row = next((cover.air_changes for cover in covers if cover), AIR_CHANGES_ANY)
    desk.assume_row(("house", "air_changes"), row)
    return of_row(row)


def _night_floor_heat(desk: Desk, section: HouseSection) -> Spread:
    if section.unheated_lift is None:
        desk.assume(
            ("house", "unheated_lift"),
            f"{NIGHT_FLOOR_HEAT.words()} of night-time floor heat · floor area / heat loss of the house",
            NIGHT_FLOOR_HEAT.source,
        )
    return of_row(NIGHT_FLOOR_HEAT)


def _sun_gain(desk: Desk, section: HouseSection) -> Spread:
    if section.sun_gain is not None:
        return section.sun_gain
    desk.assume_row(("house", "sun_gain"), SUN_GAIN)
    return of_row(SUN_GAIN)
