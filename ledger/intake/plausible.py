"""Doubts about a ledger that is in order: each is said once, with its reason, and changes no figure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ledger.intake.desk import Desk
from ledger.intake.schema_builds import BuildRow
from ledger.intake.schema_house import HouseSection
from ledger.intake.toml_places import Path
from ledger.model.build import Build
from ledger.model.heaters import Source
from ledger.model.house import House
from ledger.model.values import Basis
from ledger.sources import folded

_LIKE_MONEY = ("EUR", "USD", "GBP", "CHF", "CAD", "AUD", "NZD")
_DEAREST_PER_KWH, _CHEAPEST_PER_KWH = 1.5, 0.004
_FORM_OFF = 0.3


def doubt_prices(desk: Desk, sources: Sequence[Source]) -> None:
    """A price that makes a kilowatt-hour absurd was likely typed for another unit."""
    if desk.coin.currency not in _LIKE_MONEY:
        return
    for source in sources:
        per_kwh = source.price.likely / source.heat_per_unit_kwh.likely
        if source.price.likely > 0 and not _CHEAPEST_PER_KWH < per_kwh < _DEAREST_PER_KWH:
            number = _number(desk, "source", source.name)
            desk.notice(
                "price-unit",
                ("source", number, "price"),
                f'a {source.unit} of "{source.name}" at {source.price.likely:g} makes {per_kwh:.4g} '
                f"{desk.coin.currency} for a kWh of gross heat: is the price for that unit?",
            )


def doubt_items(desk: Desk, rows: Sequence[tuple[int, BuildRow]]) -> None:
    """An item that bears another build's name may stand under the wrong one."""
    names = {folded(row.name): row.name for _, row in rows}
    for number, row in rows:
        for n, item in enumerate(row.item):
            what = folded(item.what)
            if what in names and names[what] != row.name:
                desk.notice(
                    "wrong-build",
                    ("build", number, "item", n),
                    f'"{item.what}" stands under "{row.name}", and a build of that name stands too: '
                    "is it in its place?",
                )


def doubt_lives(desk: Desk, builds: Sequence[Build], study_years: int) -> None:
    """Items said to outlast the study leave a value behind that nobody can sell."""
    stated = [item for build in builds for item in build.items if item.life_years.basis is not Basis.ASSUMED]
    longer = [item for item in stated if item.life_years.likely > study_years]
    if longer:
        count = "1 item lasts" if len(longer) == 1 else f"{len(longer)} items last"
        desk.notice(
            "life-beyond-study",
            ("money", "study_years"),
            f'{count} longer than the study of {study_years} years ("{longer[0].what}", '
            f"{longer[0].life_years.likely:g} years): "
            "a part of NPV is the value left at the end",
        )


def doubt_floor(desk: Desk, section: HouseSection, house: House) -> None:
    """A floor area that is far from length times width."""
    if section.floor_area is None or section.length is None or section.width is None:
        return
    reckoned = section.length.likely * section.width.likely
    if abs(house.floor_area_m2.likely / reckoned - 1.0) > _FORM_OFF:
        desk.notice(
            "floor-and-measures",
            ("house", "floor_area"),
            f"the floor area ({house.floor_area_m2.likely:.4g} m2) is far from length times width ({reckoned:.4g} m2)",
        )


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


def _number(desk: Desk, section: str, name: str) -> int:
    rows = desk.document.get(section, [])
    return next(n for n, row in enumerate(rows) if str(row.get("name", "")).strip() == name)
