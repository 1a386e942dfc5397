"""Doubts about a ledger that is in order: each is said once, with its reason, and changes no figure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import Any, Final

from ledger.errors import Doubt
from ledger.intake.desk import Desk
from ledger.intake.schema_builds import BuildRow, SpentRow
from ledger.intake.schema_house import HouseSection
from ledger.intake.toml_places import Path
from ledger.model.build import Build
from ledger.model.house import House, Site
from ledger.model.values import Basis, Window
from ledger.sources import NO_SOURCE, folded

FORM_OFF: Final = 0.3
HARDLY_MORE: Final = 1.05
U_LOW, U_HIGH = 0.1, 8.0
U_OF_NO_GLAZING: Final = 1.0
WINTER_SHARE: Final = 1.0 / 3.0
TROPICS_DEG: Final = 15.0
WORD: Final = 4
"""Words this long tell one build from another; shorter ones ("air", "for") do not."""

U_VALUE: Final = Doubt(
    "u-value-unit",
    f"a U-value is outside {U_LOW:g} to {U_HIGH:g} W/m2/K (still air inside and a breeze outside pass no more through "
    f"nothing at all), or all surfaces of the house are under {U_OF_NO_GLAZING:g} and none can be what lets the sun in",
    "type the value with the unit of its paper: 1 Btu/h/ft2/degF is 5.68 W/m2/K; an R-value is one over a U-value",
    "surface resistances 0.13 and 0.04 m2K/W of ISO 6946 make 5.9 W/m2/K, wind more; lower end: no cover of the table "
    "below lets light through under 1.7",
)
FLOOR_FOR_COVER: Final = Doubt(
    "floor-for-cover",
    f"the surfaces together are smaller than {HARDLY_MORE:g} times the floor",
    "type the area of roof and walls that loses heat, or form and measures",
    "geometry: a roof over a floor is no smaller than it",
)
FLOOR_OFF: Final = Doubt(
    "floor-and-measures",
    f"floor_area is {FORM_OFF:.0%} and more off length times width",
    "leave floor_area out, or mend the measure that is wrong",
    NO_SOURCE,
)
WRONG_BUILD: Final = Doubt(
    "wrong-build",
    "an item bears the name of another build and no word of its own",
    "move it to the build that it belongs to, or reword it",
    NO_SOURCE,
)
LIFE: Final = Doubt(
    "life-beyond-study",
    "an item is said to outlast the years of the study",
    "read the gain without the value left at the end beside it (npv_without_residual), or lengthen study_years",
    "residual value: NIST Handbook 135",
)
SUMMER: Final = Doubt(
    "season-in-summer",
    f"beyond {TROPICS_DEG:g}° of latitude less than a third of the season's days lie in the winter half of the year, "
    "October to March in the north, April to September in the south",
    "look at the sign of the latitude (south is negative), or at begins and ends of hold.season",
    NO_SOURCE,
)
DOUBTS: Final = (U_VALUE, FLOOR_FOR_COVER, FLOOR_OFF, WRONG_BUILD, LIFE, SUMMER)


def doubt_items(desk: Desk, rows: Sequence[tuple[int, BuildRow]], spent: Sequence[tuple[int, SpentRow]]) -> None:
    """An item that bears another build's name may stand under the wrong one."""
    names = [row.name for _, row in rows]
    typed: list[tuple[str, str, Path]] = []
    for number, row in rows:
        typed += [(row.name, item.what, ("build", number, "item", n)) for n, item in enumerate(row.item)]
    typed += [(row.build, row.what, ("spent", number)) for number, row in spent]
    for own, what, path in typed:
        other = _named_by(what, own, names)
        if other is not None:
            desk.notice(
                WRONG_BUILD.code,
                path,
                f'"{what}" stands under "{own}", and a build "{other}" stands too: is it in its place? If not, '
                f"{WRONG_BUILD.mend}",
            )


def _named_by(what: str, own: str, names: Sequence[str]) -> str | None:
    """The other build whose whole name an item bears, if it bears no word of its own build's."""
    words, mine = set(folded(what).split()), set(folded(own).split())
    for other in names:
        theirs = set(folded(other).split())
        if other != own and theirs <= words and not any(len(w) >= WORD for w in words & (mine - theirs)):
            return other if not mine <= words else None
    return None


def doubt_lives(desk: Desk, builds: Sequence[Build], study_years: int) -> None:
    """Items said to outlast the study leave a value behind that nobody can sell."""
    stated = [item for build in builds for item in build.items if item.life_years.basis is not Basis.ASSUMED]
    longer = [item for item in stated if item.life_years.likely > study_years]
    if longer:
        count = "1 item lasts" if len(longer) == 1 else f"{len(longer)} items last"
        desk.notice(
            LIFE.code,
            ("money", "study_years"),
            f'{count} longer than the study of {study_years} years ("{longer[0].what}", '
            f"{longer[0].life_years.likely:g} years): "
            "a part of NPV is the value left at the end",
        )


def doubt_house(desk: Desk, section: HouseSection, house: House) -> None:
    """Areas that do not go together, U-values that no cover has."""
    _doubt_floor(desk, section, house)
    envelope = sum(surface.area_m2.likely for surface in house.surfaces)
    if envelope < HARDLY_MORE * house.floor_area_m2.likely:
        desk.notice(
            FLOOR_FOR_COVER.code,
            ("house",),
            f"the surfaces ({envelope:.4g} m2) are hardly larger than the floor ({house.floor_area_m2.likely:.4g} m2); "
            "the envelope of a growing house is 2.5 to 4 times its floor: was the floor taken for the cover? If so, "
            f"{FLOOR_FOR_COVER.mend}",
        )
    for path, name, u in _typed_u_values(section, house):
        if not U_LOW <= u <= U_HIGH:
            desk.notice(
                U_VALUE.code,
                path,
                f'a U-value of {u:.3g} W/m2/K for "{name}" is outside {U_LOW:g} to {U_HIGH:g}. To mend it '
                f"{U_VALUE.mend}",
            )
    tightest = [u for _, _, u in _typed_u_values(section, house)]
    if (
        tightest
        and min(tightest) >= U_LOW
        and all(s.u_value_w_per_m2_k.likely < U_OF_NO_GLAZING for s in house.surfaces)
    ):
        path, name, u = max(_typed_u_values(section, house), key=lambda one: one[2])
        desk.notice(
            U_VALUE.code,
            path,
            f"no surface of the house has a U-value over {U_OF_NO_GLAZING:g} W/m2/K, and none can be what lets the sun "
            f'in: is the {u:.3g} of "{name}" in Btu/h/ft2/degF ({u * 5.678:.3g} W/m2/K)? To mend it {U_VALUE.mend}',
        )


def _typed_u_values(section: HouseSection, house: House) -> Iterator[tuple[Path, str, float]]:
    """Every surface's U-value with where it was typed; those of the built-in table point at the house."""
    for surface in house.surfaces:
        number = next((n for n, row in enumerate(section.surface) if row.name == surface.name), None)
        path: Path = ("house", "u_value") if number is None else ("house", "surface", number, "u_value")
        yield path, surface.name, surface.u_value_w_per_m2_k.likely


def doubt_before(desk: Desk, rows: Sequence[tuple[int, BuildRow]]) -> None:
    """U-values of what stood there before that nothing has."""
    for number, row in rows:
        for n, before in enumerate(row.before):
            u = None if before.u_value is None else before.u_value.likely
            if u is not None and not U_LOW <= u <= U_HIGH:
                desk.notice(
                    U_VALUE.code,
                    ("build", number, "before", n, "u_value"),
                    f"a U-value of {u:.3g} W/m2/K before the build is outside {U_LOW:g} to {U_HIGH:g}. To mend it "
                    f"{U_VALUE.mend}",
                )


def _doubt_floor(desk: Desk, section: HouseSection, house: House) -> None:
    """A floor area that is far from length times width."""
    if section.floor_area is None or section.length is None or section.width is None:
        return
    reckoned = section.length.likely * section.width.likely
    if abs(house.floor_area_m2.likely / reckoned - 1.0) > FORM_OFF:
        desk.notice(
            FLOOR_OFF.code,
            ("house", "floor_area"),
            f"the floor area ({house.floor_area_m2.likely:.4g} m2) is far from length times width "
            f"({reckoned:.4g} m2): {FLOOR_OFF.mend}",
        )


def doubt_season(desk: Desk, site: Site, season: Window) -> None:
    """A hold season that lies in the summer of its half of the globe."""
    if abs(site.latitude_deg) < TROPICS_DEG:
        return
    months = [day.month for day in _days(season)]
    cold = (10, 11, 12, 1, 2, 3) if site.latitude_deg > 0.0 else (4, 5, 6, 7, 8, 9)
    if sum(month in cold for month in months) >= WINTER_SHARE * len(months):
        return
    half = "north" if site.latitude_deg > 0.0 else "south"
    desk.notice(
        SUMMER.code,
        ("hold", "season"),
        f"the season from {season.begins.month:02d}-{season.begins.day:02d} to {season.ends.month:02d}-"
        f"{season.ends.day:02d} lies in the summer {half} of the equator (latitude {site.latitude_deg:g}): "
        f"{SUMMER.mend}",
    )


def _days(window: Window) -> list[date]:
    """The days of a window in a common year."""
    year = [date(2025, 1, 1) + timedelta(days=n) for n in range(365)]
    first, last = (window.begins.month, window.begins.day), (window.ends.month, window.ends.day)
    if first <= last:
        return [day for day in year if first <= (day.month, day.day) <= last]
    return [day for day in year if (day.month, day.day) >= first or (day.month, day.day) <= last]


def doubt_ranges(desk: Desk) -> None:
    """A range typed where only its likely figure is used."""
    for path in _likely_only(desk.document):
        raw: Any = desk.document
        for part in path:
            raw = raw[part]
        if isinstance(raw, dict) and "low" in raw:
            desk.notice("range-unused", path, "only the likely figure is used here; the range is not carried through")


def _likely_only(document: dict[str, Any]) -> list[Path]:
    """The entries that stand and take a range without using it."""
    site: Path = ("site",)
    found: list[Path] = [(*site, key) for key in ("elevation", "design_temperature") if key in document["site"]]
    for number, log in enumerate(document.get("log", [])):
        for channel in ("fan", "heater"):
            if isinstance(log.get(channel), dict) and "power" in log[channel]:
                found.append(("log", number, channel, "power"))
    for number, month in enumerate(document.get("climate", {}).get("normals", [])):
        found.extend(("climate", "normals", number, key) for key in ("mean_low", "mean_high") if key in month)
    return found
