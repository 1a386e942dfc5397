"""Every figure that the grower gave or that was assumed, as rows: entry, value, unit, low, high, how it is known."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from typing import Any

from ledger.model.ledger import Ledger, Show
from ledger.model.values import MoneyRange, MonthDay, Spread, Window
from ledger.units import Dimension, System, shown

_DIMENSIONS: tuple[tuple[str, Dimension], ...] = (
    ("_w_per_m2_k", Dimension.U_VALUE),
    ("_w_per_m_k", Dimension.LINEAR_LOSS),
    ("_kwh_per_k", Dimension.HEAT_CAPACITY),
    ("_w_per_m2", Dimension.HEAT_FLUX),
    ("_m2", Dimension.AREA),
    ("_m3", Dimension.VOLUME),
    ("_m", Dimension.LENGTH),
    ("_kwh", Dimension.ENERGY),
    ("_c", Dimension.TEMPERATURE),
    ("_k", Dimension.DIFFERENCE),
    ("_w", Dimension.POWER),
)
_UNITS = (("_kw", "kW"), ("_years", "years"), ("_per_year", "per year"), ("_per_h", "per hour"), ("_deg", "°"),
          ("_hours", "hours"), ("_minutes", "minutes"))  # fmt: skip
_AS_TYPED = {
    "builds": "build",
    "items": "item",
    "sources": "source",
    "surfaces": "surface",
    "edges": "edge",
    "logs": "log",
    "loans": "loan",
    "grants": "grant",
    "stores": "store",
    "benefits": "benefit",
    "tariffs": "tariff",
    "terms": "money",
    "next_steps": "next",
    "target": "for",
}
_PER = {"price": " per unit", "labour_rate_per_h": " per hour", "upkeep_per_year": " per year"}
_LEFT_OUT = frozenset({"assumed", "notices", "line", "note", "stated", "coin_digits"})
_MONEY_FIELDS = frozenset({"amount", "principal", "price", "capital", "residual", "upkeep_per_year", "expected_running",
                           "labour_rate_per_h", "array_capital", "battery_capital"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class InputRow:
    """One entry of the ledger: its path, its value in the ledger's units, its range and how it is known."""

    path: str
    value: float | str
    unit: str
    low: float | None = None
    high: float | None = None
    basis: str = ""
    note: str = ""


def input_rows(ledger: Ledger) -> tuple[InputRow, ...]:
    """All entries, in the order of the model."""
    system = System.US if ledger.show is Show.US else System.METRIC
    return tuple(_walk("", "", ledger, system=system, currency=ledger.terms.currency))


def _walk(path: str, name: str, value: Any, *, system: System, currency: str) -> Iterator[InputRow]:
    match value:
        case None | "":
            return
        case Spread():
            yield _spread(path, name, value, system, currency)
        case MoneyRange():
            ranged = value.low != value.high
            low, high = (float(value.low), float(value.high)) if ranged else (None, None)
            yield InputRow(
                path, float(value.likely), f"{currency}{_PER.get(name, '')}", low, high, value.basis.value, value.note
            )
        case Window():
            yield InputRow(path, f"{_day(value.begins)} to {_day(value.ends)}", "")
        case bool():
            yield InputRow(path, "yes" if value else "no", "")
        case Enum():
            yield InputRow(path, str(value.value), "")
        case int() | float() | Decimal():
            number, unit = _in_units(float(value), name, system, currency)
            yield InputRow(path, number, unit)
        case str():
            yield InputRow(path, value, "")
        case datetime() | date():
            yield InputRow(path, value.isoformat(), "")
        case tuple():
            for number_from_1, one in enumerate(value, start=1):
                yield from _walk(f"{path}[{number_from_1}]", name, one, system=system, currency=currency)
        case _ if dataclasses.is_dataclass(value):
            yield from _fields(path, value, system=system, currency=currency)


def _fields(path: str, record: Any, *, system: System, currency: str) -> Iterator[InputRow]:
    for field in dataclasses.fields(record):
        if field.name in _LEFT_OUT:
            continue
        said = _AS_TYPED.get(field.name, _bare(field.name))
        below = f"{path}.{said}" if path else said
        yield from _walk(below, field.name, getattr(record, field.name), system=system, currency=currency)


def _spread(path: str, name: str, value: Spread, system: System, currency: str) -> InputRow:
    likely, unit = _in_units(value.likely, name, system, currency)
    if value.exact or value.low == value.high:
        return InputRow(path, likely, unit, None, None, value.basis.value, value.note)
    low, _ = _in_units(value.low, name, system, currency)
    high, _ = _in_units(value.high, name, system, currency)
    return InputRow(path, likely, unit, low, high, value.basis.value, value.note)


def _in_units(value: float, name: str, system: System, currency: str) -> tuple[float, str]:
    if name in _MONEY_FIELDS:
        return value, f"{currency}{_PER.get(name, '')}"
    for suffix, unit in _UNITS:
        if name.endswith(suffix):
            return value, unit
    for suffix, dimension in _DIMENSIONS:
        if name.endswith(suffix):
            return shown(value, dimension, system)
    return value, ""


def _bare(name: str) -> str:
    """A field's name without the unit that it wears."""
    suffixes = [suffix for suffix, _ in (*_UNITS, *_DIMENSIONS) if suffix not in ("_years", "_hours", "_per_year")]
    for suffix in suffixes:
        if name.endswith(suffix):
            return name.removesuffix(suffix)
    return name


def _day(day: MonthDay) -> str:
    return f"{day.month:02d}-{day.day:02d}"
