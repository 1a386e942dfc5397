"""The whole ledger file: which sections there are, and every key with its words."""

from __future__ import annotations

from dataclasses import dataclass
from types import NoneType
from typing import Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from ledger.intake.schema_builds import BuildRow, RunningRow, SpentRow, StoreRow
from ledger.intake.schema_house import CropSection, HoldSection, HouseSection, LedgerSection, SiteSection
from ledger.intake.schema_kinds import Section
from ledger.intake.schema_logs import ClimateSection, LogRow
from ledger.intake.schema_money import (
    BenefitRow,
    ElectricitySection,
    LabourSection,
    MoneySection,
    NextRow,
    PowerSection,
)
from ledger.intake.schema_sources import SourceRow
from ledger.intake.values import Says
from ledger.model.logs import CHANNELS

TABLES: dict[str, type[Section]] = {
    "ledger": LedgerSection,
    "site": SiteSection,
    "house": HouseSection,
    "hold": HoldSection,
    "crop": CropSection,
    "money": MoneySection,
    "electricity": ElectricitySection,
    "labour": LabourSection,
    "power": PowerSection,
    "climate": ClimateSection,
}
ROWS: dict[str, type[Section]] = {
    "build": BuildRow,
    "spent": SpentRow,
    "running": RunningRow,
    "source": SourceRow,
    "benefit": BenefitRow,
    "log": LogRow,
    "store": StoreRow,
    "next": NextRow,
}
SECTIONS: tuple[str, ...] = (*TABLES, *ROWS)


@dataclass(frozen=True, slots=True)
class KeyWords:
    """One key of the ledger: its section as typed, the key, the kind of value, what it is, whether it must stand."""

    section: str
    key: str
    kind: str
    description: str
    required: bool


def documented_keys() -> list[KeyWords]:
    """Every key a ledger may hold, section by section, for the README and its test."""
    found: list[KeyWords] = []
    for name, model in TABLES.items():
        found.extend(_keys(f"[{name}]", name, model))
    for name, model in ROWS.items():
        found.extend(_keys(f"[[{name}]]", name, model))
    return found


def _keys(section: str, path: str, model: type[Section]) -> list[KeyWords]:
    own: list[KeyWords] = []
    below: list[KeyWords] = []
    for name, field in model.model_fields.items():
        key = field.alias or name
        inner, many = _inner(field.annotation)
        if inner is None:
            own.append(KeyWords(section, key, kind_words(field), field.description or "", field.is_required()))
            continue
        if key in CHANNELS and issubclass(model, LogRow | ClimateSection):
            own.append(KeyWords(section, key, "column", field.description or "", field.is_required()))
            continue
        nested = f"[[{path}.{key}]]" if many else f"{section} {key}"
        kind = f"sections {nested}" if many else "table"
        own.append(KeyWords(section, key, kind, field.description or "", field.is_required()))
        below.extend(_keys(nested, f"{path}.{key}", inner))
    if issubclass(model, LogRow):
        below = [*_keys("a channel of [[log]]", "log", _CHANNEL), *below]
    return [*own, *below]


def _inner(annotation: Any) -> tuple[type[Section] | None, bool]:
    """The section below a field, and whether it may stand many times."""
    if isinstance(annotation, type) and issubclass(annotation, Section):
        return annotation, False
    many = get_origin(annotation) is list
    for part in get_args(annotation):
        inner, _ = (None, False) if part is NoneType else _inner(part)
        if inner is not None:
            return inner, many
    return None, False


def below(model: type[BaseModel], key: str) -> type[Section] | None:
    """The section that a key of a section holds; None for a plain value."""
    for name, field in model.model_fields.items():
        if key in (name, field.alias):
            return _inner(field.annotation)[0]
    return None


def kind_words(field: FieldInfo) -> str:
    """What kind of value a key takes, in words."""
    for mark in field.metadata:
        if isinstance(mark, Says):
            return mark.words
    for part in get_args(field.annotation):
        for mark in getattr(part, "__metadata__", ()):
            if isinstance(mark, Says):
                return mark.words
    return ""


_CHANNEL = next(m for m in [LogRow.model_fields["indoor"].annotation] for m in [_inner(m)[0]] if m is not None)
