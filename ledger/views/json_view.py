"""The results for scripts: SI, unit in the key, ten significant digits, the same bytes for the same input."""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from enum import Enum
from numbers import Integral, Real
from typing import TYPE_CHECKING, Any

from ledger.errors import Notice
from ledger.model.identity import Identity, Program
from ledger.model.values import Assumption
from ledger.series.record import LogFigures
from ledger.views.model_view import model_document

if TYPE_CHECKING:
    from ledger.appraisal import Appraisal, SeasonAnswer

SCHEMA = 1
SIGNIFICANT_DIGITS = 10


def appraisal_document(appraisal: Appraisal) -> dict[str, Any]:
    """The whole answer as plain numbers and words, keys in the order of the contract."""
    return {
        **_head(appraisal),
        "house": _plain(appraisal.house),
        "log": _log(appraisal.log),
        "seasons": [_season(one) for one in appraisal.seasons],
        "model": model_document(appraisal.model),
        "typical_year": _typical_year(appraisal),
        "capital": _plain(appraisal.capital),
        "worth": _worth(appraisal),
        "builds": _plain(appraisal.builds),
        "builds_split_by": appraisal.split.by.value,
        "adds_up": _plain(appraisal.adds_up),
        "saving_ranges": _plain(appraisal.saving_ranges),
        "cash_flow": _plain(appraisal.cash_flow),
        "loans": _plain(appraisal.loans),
        "plans": _plain(appraisal.plans),
        "ties": _plain(appraisal.around.ties),
        "plan_ranges": _plain(appraisal.ahead.plan_ranges),
        "power": _plain(appraisal.around.power),
        "power_cut": _plain(appraisal.around.power_cut),
        "stress": _plain(appraisal.around.stress),
        "cheaper_builds": _plain(appraisal.around.cheaper),
        "worst_winter": _plain(appraisal.around.worst_winter),
        **_ahead(appraisal),
        "assumed": _plain(appraisal.assumed),
        "warnings": [_notice(one) for one in appraisal.warnings],
    }


def part_document(appraisal: Appraisal, *, keys: tuple[str, ...]) -> dict[str, Any]:
    """The head of the answer and the named parts of it, for commands that show one part."""
    whole = appraisal_document(appraisal)
    kept = ("schema", "program", "ledger", *keys, "assumed", "warnings")
    return {key: value for key, value in whole.items() if key in kept}


def check_document(
    program: Program,
    identity: Identity,
    *,
    log: LogFigures | None,
    assumed: tuple[Assumption, ...],
    warnings: tuple[Notice, ...],
) -> dict[str, Any]:
    """What was read, under the keys of the whole answer."""
    return {
        "schema": SCHEMA,
        "program": _plain(program),
        "ledger": _plain(identity),
        "log": _log(log),
        "assumed": _plain(assumed),
        "warnings": [_notice(one) for one in warnings],
    }


def to_bytes(document: Mapping[str, Any]) -> bytes:
    """The document as UTF-8 JSON, indented, ending in a line feed."""
    text = json.dumps(_plain(document), indent=2, ensure_ascii=False, allow_nan=False)
    return (text + "\n").encode("utf-8", errors="replace")


def _head(appraisal: Appraisal) -> dict[str, Any]:
    return {"schema": SCHEMA, "program": _plain(appraisal.program), "ledger": _plain(appraisal.identity)}


def _log(log: LogFigures | None) -> dict[str, Any] | None:
    if log is None:
        return None
    document: dict[str, Any] = _plain(log)
    for file in document["files"]:
        file.pop("sha256", None)  # stands in `ledger.logs`
    return document


def _season(season: SeasonAnswer) -> dict[str, Any]:
    followed = {
        "track": season.track, "nights": season.nights, "forecast": season.forecast, "typical_year_then": season.worth,
    }  # fmt: skip
    return {**_plain(season.heat), **_plain(season.account), **{key: _without_name(x) for key, x in followed.items()}}


def _without_name(part: Any) -> Any:
    """A part of a season, whose name stands above it already."""
    return None if part is None else _fields(part, leave=("season",))


def _typical_year(appraisal: Appraisal) -> dict[str, Any] | None:
    heat, money = appraisal.typical_heat, appraisal.typical_money
    if heat is None:
        return None
    document = _fields(heat, leave=("profile", "step_h"))
    return {**document, **(_plain(money) if money is not None else {})}


def _worth(appraisal: Appraisal) -> dict[str, Any]:
    return {
        "verdict": appraisal.verdict,
        "why": appraisal.why,
        **_plain(appraisal.worth),
        "range": _plain(appraisal.worth_range),
        "drivers": _plain(appraisal.drivers),
        "break_evens": _plain(appraisal.break_evens),
        "facts": list(appraisal.ahead.facts),
    }


def _ahead(appraisal: Appraisal) -> dict[str, Any]:
    """What lies beyond the headline: other hold temperatures, other money, from today on."""
    ahead = appraisal.ahead
    return {
        "hold_steps": _plain(ahead.hold_steps),
        "benefit": None if ahead.benefit is None else _fields(ahead.benefit, leave=("notices",)),
        "going_on_npv": None if ahead.forward is None else _plain(ahead.forward.going_on_npv),
        "next_steps": [] if ahead.forward is None else _plain(ahead.forward.steps),
        "measure_next": _plain(ahead.measure),
    }


def _notice(notice: Notice) -> dict[str, Any]:
    return {"code": notice.code, "text": notice.text, "path": notice.path, "line": notice.line}


def _fields(record: Any, *, leave: tuple[str, ...] = ()) -> dict[str, Any]:
    return {f.name: _plain(getattr(record, f.name)) for f in dataclasses.fields(record) if f.name not in leave}


def _plain(value: Any) -> Any:
    """Anything that a result holds, as JSON knows it. Not a number and infinite become null."""
    match value:
        case None | bool() | str() if not isinstance(value, Enum):
            return value
        case Enum():
            return value.value
        case Decimal() | Real() if not isinstance(value, Integral):
            return _number(float(value))
        case Integral():
            return int(value)
        case datetime() | date():
            return value.isoformat()
        case Mapping():
            return {str(key): _plain(one) for key, one in value.items()}
        case tuple() | list() | frozenset():
            return [_plain(one) for one in value]
    if dataclasses.is_dataclass(value):
        return _fields(value)
    if type(value).__name__ == "bool_" or type(value).__name__ == "bool":
        return bool(value)
    raise TypeError(f"no result holds a {type(value).__name__}")


def _number(value: float) -> float | None:
    if not math.isfinite(value):
        return None
    rounded = float(f"{value:.{SIGNIFICANT_DIGITS}g}") + 0.0
    return rounded if math.isfinite(rounded) else value
