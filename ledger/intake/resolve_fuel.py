"""What a source burns: its unit, the heat in one unit, and the share of it that is delivered."""

from __future__ import annotations

from ledger.intake.desk import Desk
from ledger.intake.schema_sources import SourceRow
from ledger.intake.slips import listed
from ledger.intake.spreads import capped, of_row
from ledger.intake.toml_places import Path
from ledger.intake.values import Rule, held
from ledger.model.heaters import Kind
from ledger.model.values import Basis, Spread
from ledger.sources import CORDWOOD_WHY, FUELS, NO_TEST, ROCKET_KINDS, WOOD_CAP, WOOD_CAP_SOURCE, WOOD_KINDS, Fuel
from ledger.units import Dimension, UnitError, same_unit, to_held

_ONE = Spread.sure(1.0, Basis.PUBLISHED)


def unit_of(desk: Desk, row: SourceRow, fuel: Fuel, path: Path) -> str | None:
    """The unit it is bought in: as stated, else the usual one of its kind."""
    if row.unit is not None:
        return row.unit
    if fuel.unit is None:
        desk.fault((*path, "unit"), f'the source "{row.name}" has no unit', 'add unit = "..." and heat_per_unit')
        return None
    desk.assume((*path, "unit"), fuel.unit, "the usual unit of its kind; common practice, no source")
    return fuel.unit


def heat_per_unit_of(desk: Desk, row: SourceRow, fuel: Fuel, unit: str | None, path: Path) -> Spread | None:
    """Gross heat in one unit: as stated, else by kind and unit; cordwood's must be stated."""
    if unit is None:
        return None
    if row.heat_per_unit is not None:
        return _stated_heat(desk, row, unit, path)
    for content in fuel.contents:
        if content.unit == unit or same_unit(content.unit, unit):
            desk.assume_row((*path, "heat_per_unit"), content.row)
            return of_row(content.row)
    try:
        kwh = to_held(1.0, unit, Dimension.ENERGY)
    except UnitError:
        pass
    else:
        desk.assume((*path, "heat_per_unit"), f"{kwh:.6g} kWh", "definition of the unit")
        return Spread.sure(kwh, Basis.PUBLISHED)
    known = listed(content.unit for content in fuel.contents)
    if row.kind.value in WOOD_KINDS:
        what = f'nothing says how much heat one {unit} of "{row.name}" holds: {CORDWOOD_WHY}'
        mend = 'add heat_per_unit = "... MMBtu" and heat_basis = "gross, 20 % moisture, 85 ft3 solid"'
    else:
        what = f'no heat content is known for "{row.kind.value}" by the unit "{unit}"'
        mend = f'add heat_per_unit = "... kWh"{f", or use one of the units {known}" if known else ""}'
    desk.fault((*path, "heat_per_unit"), what, mend)
    return None


def _stated_heat(desk: Desk, row: SourceRow, unit: str, path: Path) -> Spread | None:
    heat = row.heat_per_unit
    if heat is None or heat.low <= 0:
        desk.fault((*path, "heat_per_unit"), "one unit holds no heat", 'write it like heat_per_unit = "20 MMBtu"')
        return None
    if (
        row.kind.value in WOOD_KINDS
        and not row.heat_basis
        and not any(same_unit(unit, one.unit) for one in FUELS[row.kind.value].contents)
    ):
        desk.notice(
            "heat-basis",
            (*path, "heat_per_unit"),
            f'nothing says what the heat of one {unit} of "{row.name}" rests on; published tables differ by almost '
            'half: add heat_basis = "gross or net, moisture, solid volume"',
        )
    _compare_heat(desk, row, unit, heat, path)
    return heat


def _compare_heat(desk: Desk, row: SourceRow, unit: str, heat: Spread, path: Path) -> None:
    """Doubt a stated heat content that is far from the published one."""
    for content in FUELS[row.kind.value].contents:
        if same_unit(content.unit, unit) and not 0.6 < heat.likely / content.row.likely < 1.6:
            desk.notice(
                "heat-content",
                (*path, "heat_per_unit"),
                f'{heat.likely:.4g} kWh for one {unit} of "{row.name}" is far from {content.row.likely:.4g} kWh '
                f"({content.row.source}): is it the right unit?",
            )


def efficiency_of(desk: Desk, row: SourceRow, fuel: Fuel, path: Path) -> Spread | None:
    """Delivered over gross: as stated, else by kind; above 1 for a heat pump only, rocket heaters under their cap."""
    at = (*path, "efficiency")
    if row.cop is not None:
        return _with_cop(desk, row, path)
    if row.efficiency is None:
        if fuel.efficiency is None:
            desk.fault(
                at, f'the source "{row.name}" has no efficiency', "add efficiency = 0.7 (delivered over gross heat)"
            )
            return None
        desk.assume_row(at, fuel.efficiency)
        return of_row(fuel.efficiency)
    pump = row.kind is Kind.HEAT_PUMP
    figures = [f for f in (row.efficiency.low, row.efficiency.likely, row.efficiency.high) if f is not None]
    if min(figures) <= 0:
        desk.fault(at, "an efficiency of 0 or less gives no heat", "write a share above 0, such as 0.68")
        return None
    if max(figures) > 1 and not pump:
        worst = max(figures)
        mend = f"write {worst / 100:g}" if worst > 1.5 else "write at most 1: no fuel delivers more than its gross heat"
        desk.fault(at, f"an efficiency of {worst:g} is above 1", mend)
        return None
    value = held(row.efficiency, Rule(above=0.0, most=10.0 if pump else 1.0, ends_are_sure=not pump))
    return _under_the_cap(desk, row, value, at)


def _with_cop(desk: Desk, row: SourceRow, path: Path) -> Spread | None:
    if row.kind is not Kind.HEAT_PUMP:
        desk.fault((*path, "cop"), f'cop stands at a source of kind "{row.kind.value}"', "cop is for a heat pump only")
        return None
    if row.efficiency is not None:
        desk.notice(
            "efficiency-unused", (*path, "efficiency"), f'"{row.name}" has cop points; its efficiency is not used'
        )
    return _ONE


def _under_the_cap(desk: Desk, row: SourceRow, value: Spread, path: Path) -> Spread:
    """Rocket heaters above the cap are brought under it and it is said; a wood stove above it is doubted."""
    if row.kind.value in ROCKET_KINDS and value.high > WOOD_CAP:
        if value.likely > WOOD_CAP:
            desk.notice(
                "rocket-cap",
                path,
                f'the efficiency of "{row.name}" is taken as {WOOD_CAP:.0%}, not {value.likely:.0%}: {NO_TEST}',
            )
        return capped(value, WOOD_CAP)
    if row.kind.value in WOOD_KINDS and value.likely > WOOD_CAP:
        desk.notice(
            "wood-efficiency",
            path,
            f'an efficiency of {value.likely:.0%} for "{row.name}" is doubtful: {WOOD_CAP_SOURCE}',
        )
    return value
