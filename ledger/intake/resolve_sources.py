"""From `[[source]]` and `[electricity]` to the heat sources of the model."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from ledger.intake.desk import Desk
from ledger.intake.money_values import money_range
from ledger.intake.resolve_fuel import efficiency_of, heat_per_unit_of, unit_of
from ledger.intake.schema_money import ElectricitySection
from ledger.intake.schema_sources import SourceRow
from ledger.intake.spreads import of_row
from ledger.intake.toml_places import Path
from ledger.model.heaters import Source, Tariff
from ledger.model.terms import Electricity
from ledger.model.values import Basis, MoneyRange, Spread
from ledger.sources import FUELS, WOOD_KINDS, Fuel
from ledger.units import Dimension, UnitError, same_unit, to_held

Numbered = Sequence[tuple[int, SourceRow]]


@dataclass(frozen=True, slots=True)
class Growth:
    """How prices rise where nobody says: the value, and the words for the list of assumptions."""

    value: Spread
    words: str
    source: str


def resolve_electricity(desk: Desk, section: ElectricitySection | None, rows: Numbered, growth: Growth) -> Electricity:
    """The price of a kilowatt-hour and its growth: as stated, else the electric source's; None when none is known."""
    price = section.price if section else None
    rise = section.price_growth if section else None
    electric = [row for _, row in rows if row.kind.electric and row.price is not None]
    if price is None and electric:
        price = _per_kwh(electric[0])
        desk.assume(
            ("electricity", "price"), f"{_figure(price)} per kWh", f'the price of the source "{electric[0].name}"'
        )
    if rise is None:
        grown = next((row for _, row in rows if row.kind.electric and row.price_growth is not None), None)
        if grown is not None and grown.price_growth is not None:
            rise = grown.price_growth
            words = f"{rise.likely:.2%} a year"
            desk.assume(("electricity", "price_growth"), words, f'the price growth of the source "{grown.name}"')
        else:
            rise = growth.value
            desk.assume(("electricity", "price_growth"), growth.words, growth.source)
    return Electricity(price, rise)


def _per_kwh(row: SourceRow) -> Spread | None:
    """An electric source's price brought to the kilowatt-hour."""
    kwh = _kwh_in(row.unit) if row.unit is not None else 1.0
    return row.price if row.price is None or kwh is None else _times(row.price, 1.0 / kwh)


def _figure(value: Spread | None) -> str:
    return "unknown" if value is None else f"{value.likely:.6g}"


def resolve_source(desk: Desk, row: SourceRow, number: int, electricity: Electricity, growth: Growth) -> Source | None:
    """One source with its defaults; None when something is missing, which is then noted."""
    path = ("source", number)
    fuel = FUELS[row.kind.value]
    unit = unit_of(desk, row, fuel, path)
    heat = heat_per_unit_of(desk, row, fuel, unit, path)
    efficiency = efficiency_of(desk, row, fuel, path)
    price = _price(desk, row, path, electricity)
    if unit is None or heat is None or efficiency is None or price is None:
        return None
    rise = row.price_growth
    if rise is None:
        rise = growth.value
        desk.assume((*path, "price_growth"), growth.words, growth.source)
    return Source(
        name=row.name,
        kind=row.kind,
        unit=unit,
        price=price,
        heat_per_unit_kwh=heat,
        efficiency=efficiency,
        price_growth=rise,
        capital=_capital(desk, row, path),
        life_years=_life(desk, row, fuel, path),
        upkeep_per_year=_upkeep(desk, row, path),
        cop=row.cop or (),
        bought=row.bought,
        output_kw=_output(desk, row, path),
        units=row.units or 1,
        hours_per_unit=_hours(desk, row, fuel, path),
        burn_hours=row.burn_hours,
        needs_mains=_needs_mains(desk, row, fuel, path),
        backup=row.backup,
        then=row.then,
        tariffs=tuple(sorted((Tariff(t.since, t.price) for t in row.tariff), key=lambda tariff: tariff.since)),
        heat_basis=row.heat_basis,
        line=desk.line(*path),
    )


def _price(desk: Desk, row: SourceRow, path: Path, electricity: Electricity) -> Spread | None:
    """Price per unit: as stated, else by `[electricity]` for an electric source bought by the kWh."""
    if row.price is not None:
        return row.price
    if row.tariff:
        first = min(row.tariff, key=lambda tariff: tariff.since)
        desk.assume((*path, "price"), _figure(first.price), f"the first tariff, since {first.since}")
        return first.price
    if row.kind.electric and electricity.price is not None:
        desk.assume((*path, "price"), f"{_figure(electricity.price)} per kWh", "the price of [electricity]")
        if row.unit is not None and not same_unit(row.unit, "kWh"):
            factor = _kwh_in(row.unit)
            if factor is not None:
                return _times(electricity.price, factor)
        return electricity.price
    where = " or [electricity] price" if row.kind.electric else ""
    desk.fault(
        (*path, "price"), f'the source "{row.name}" has no price', f"add price = ... (per unit){where}; 0 if it is free"
    )
    return None


def _kwh_in(unit: str) -> float | None:
    try:
        return to_held(1.0, unit, Dimension.ENERGY)
    except UnitError:
        return None


def _times(value: Spread, factor: float) -> Spread:
    return replace(value, likely=value.likely * factor, low=value.low * factor, high=value.high * factor)


def _capital(desk: Desk, row: SourceRow, path: Path) -> MoneyRange | None:
    if row.capital is None:
        desk.assume((*path, "capital"), "unknown", "not stated; plans with it cannot show their capital")
        return None
    basis = Basis.RECEIPT if row.bought is not None else Basis.ESTIMATED
    return money_range(row.capital, basis, desk.coin.digits)


def _life(desk: Desk, row: SourceRow, fuel: Fuel, path: Path) -> Spread:
    if row.life_years is not None:
        return row.life_years
    desk.assume_row((*path, "life_years"), fuel.life_years)
    return of_row(fuel.life_years)


def _upkeep(desk: Desk, row: SourceRow, path: Path) -> MoneyRange:
    if row.upkeep is not None:
        return money_range(row.upkeep, Basis.ESTIMATED, desk.coin.digits)
    sweep = " (a chimney must be inspected and cleaned every year)" if row.kind.value in WOOD_KINDS else ""
    desk.assume((*path, "upkeep"), "0 a year", f"no upkeep is stated{sweep}")
    return MoneyRange.sure(Decimal(0))


def _output(desk: Desk, row: SourceRow, path: Path) -> Spread | None:
    if row.output is None:
        desk.assume((*path, "output"), "unknown", "not stated; whether it copes cannot be said")
        return None
    if row.output.low <= 0 and row.output.likely <= 0:
        desk.fault((*path, "output"), "an output of 0 gives no heat", 'write the most that one gives, such as "9 kW"')
        return None
    return _times(row.output, 0.001)


def _hours(desk: Desk, row: SourceRow, fuel: Fuel, path: Path) -> Spread | None:
    if row.hours_per_unit is not None:
        return row.hours_per_unit
    if fuel.hours_per_unit is None:
        desk.assume(
            (*path, "hours_per_unit"), "unknown", "not stated; own work with it is shown as unknown, not as none"
        )
        return None
    desk.assume((*path, "hours_per_unit"), "0 hours", "no work with the fuel itself; common practice, no source")
    return Spread.sure(fuel.hours_per_unit, Basis.ASSUMED)


def _needs_mains(desk: Desk, row: SourceRow, fuel: Fuel, path: Path) -> bool | None:
    if row.needs_mains is not None:
        return row.needs_mains
    words = {True: "true", False: "false", None: "unknown"}[fuel.needs_mains]
    desk.assume((*path, "needs_mains"), words, "by its kind; common practice, no source")
    return fuel.needs_mains


def check_sources(desk: Desk, rows: Numbered) -> None:
    """Hold `then` to leading on without a circle; tariffs to one price a day."""
    after = {row.name: row.then for _, row in rows}
    for number, row in rows:
        path = ("source", number)
        if row.then is not None and _circles(row.name, after):
            desk.fault(
                (*path, "then"), f'"{row.name}" comes after itself', "let then lead to a source that leads no further"
            )
        days: set[date] = set()
        for n, tariff in enumerate(row.tariff):
            if tariff.since in days:
                desk.fault(
                    (*path, "tariff", n, "since"), f"two tariffs begin on {tariff.since}", "give each its own day"
                )
            days.add(tariff.since)


def _circles(name: str, after: dict[str, str | None]) -> bool:
    seen = {name}
    here = after.get(name)
    while here is not None:
        if here in seen:
            return True
        seen.add(here)
        here = after.get(here)
    return False
