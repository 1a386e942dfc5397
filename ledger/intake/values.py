"""Reading one typed value that may carry a range: quantities, rates, shares, and the table of an uncertain value."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeVar

from pydantic_core import PydanticCustomError

from ledger.intake.scalars import choice, flag, free_text, number
from ledger.intake.slips import as_typed, offer, slip
from ledger.model.values import Basis, Spread
from ledger.sources import HALF_WIDTHS, Knowing
from ledger.units import Dimension, UnitError, parse_quantity, units_of

LONGEST_RATE = 60
_TABLE_KEYS = ("low", "likely", "high", "basis", "note", "exact")


@dataclass(frozen=True, slots=True)
class Says:
    """What kind of value a key takes, in words for the README's table."""

    words: str


@dataclass(frozen=True, slots=True)
class Rule:
    """Bounds and default half-widths of an uncertain value.

    `above`/`least`/`most`: exclusive lower, inclusive lower and inclusive upper bound of every figure. `narrowest`: a
    plain value is never surer than these shares below and above it. `plain`: half-width of a plain value, in place of
    that of its basis.
    """

    above: float | None = None
    least: float | None = None
    most: float | None = None
    narrowest: tuple[float, float] = (0.0, 0.0)
    plain: float | None = None
    ends_are_sure: bool = False


@dataclass(frozen=True, slots=True)
class Uncertain:
    """An uncertain value as typed, each figure read but no default range put on yet."""

    likely: float
    low: float | None = None
    high: float | None = None
    basis: Basis | None = None
    exact: bool = False
    note: str = ""


def quantity(dimension: Dimension) -> Callable[[object], float]:
    """A reader of quantities of one dimension, in the unit it is held in."""

    def read(raw: object) -> float:
        if isinstance(raw, int | Decimal) and not isinstance(raw, bool):
            offered = ", ".join(units_of(dimension))
            raise slip(
                f"{as_typed(raw)} is a bare number where a quantity is due",
                f'write it in quotes with its unit, one of: {offered}; for example "{raw} {units_of(dimension)[0]}"',
            )
        if not isinstance(raw, str):
            raise slip(
                f"{as_typed(raw)} is not a quantity",
                f'write {dimension.words} in quotes with its unit, for example "1 {units_of(dimension)[0]}"',
            )
        try:
            return parse_quantity(raw, dimension)
        except UnitError as error:
            raise slip(error.what, error.mend) from None

    return read


def fraction(raw: object) -> float:
    """A share: `0.3`, or `"30 %"`."""
    return _rate(raw, Decimal(1))


def rate(raw: object) -> float:
    """A rate a year: `0.06`, or `"6 %"`; a bare 6 is refused."""
    value = _rate(raw, Decimal("0.9999999"))
    if not -0.9 < value <= 1.0:
        raise slip(f"{as_typed(raw)} is no rate a year", "write a rate between -90 % and 100 %")
    return value


def efficiency(raw: object) -> float:
    """Delivered over gross: `0.68`, or `"68 %"`; a heat pump's may lie above 1."""
    return _rate(raw, Decimal(10))


def _rate(raw: object, largest_bare: Decimal) -> float:
    if isinstance(raw, str):
        return _percent(raw)
    value = number(raw)
    if abs(value) > largest_bare:
        part = (value / 100).normalize()
        raise slip(f"{raw} is a bare number above 1 where a rate or share is due", f'write {part:f} or "{raw} %"')
    return float(value)


def _percent(raw: str) -> float:
    if len(raw) > LONGEST_RATE:
        raise slip(f"{as_typed(raw)} is not a rate or share", 'write it as 0.06 or "6 %"')
    text = raw.strip().replace("\u2212", "-").replace("\u00a0", " ")
    match = re.fullmatch(r"([+-]?\d+(?:\.\d+)?|[+-]?\.\d+)\s*(%|percent|per cent)", text)
    if match is None:
        if re.fullmatch(r"[+-]?\d*\.?\d+", text):
            bare_rate = (Decimal(text) / 100).normalize() if abs(Decimal(text)) > 1 else Decimal(text)
            raise slip(f'"{raw}" is a rate in quotes without a per cent sign', f'write {bare_rate:f} or "{text} %"')
        raise slip(f'"{raw}" is not a rate or share', 'write it as 0.06 or "6 %"')
    value = Decimal(match.group(1))
    if value.adjusted() > 6:
        raise slip(f'"{raw}" is too large', 'write it as 0.06 or "6 %"')
    return float(value / 100)


def uncertain(read: Callable[[object], float]) -> Callable[[object], Uncertain]:
    """A reader of a plain value or a table of low, likely, high."""

    def read_either(raw: object) -> Uncertain:
        return _table(raw, read) if isinstance(raw, dict) else Uncertain(read(raw))

    return read_either


def _table(raw: dict[str, object], read: Callable[[object], float]) -> Uncertain:
    basis, exact, note = table_words(raw)
    figures = {key: _figure(raw[key], key, read) for key in ("low", "likely", "high") if key in raw}
    low, high = figures.get("low"), figures.get("high")
    ordered(low, figures["likely"], high)
    return Uncertain(figures["likely"], low, high, basis, exact, note)


def table_words(raw: dict[str, object]) -> tuple[Basis | None, bool, str]:
    """Check the keys of an uncertain value's table; its basis, whether it is exact, its note."""
    for key in raw:
        if key not in _TABLE_KEYS:
            raise slip(f'unknown key "{key}" in an uncertain value', offer(key, _TABLE_KEYS), key)
    if "likely" not in raw:
        raise slip("an uncertain value has no likely figure", "add likely = ... between low and high")
    if ("low" in raw) != ("high" in raw):
        missing = "high" if "low" in raw else "low"
        raise slip(f"an uncertain value has only one end: no {missing}", f"add {missing} = ...")
    basis = at_key(choice(Basis), raw["basis"], "basis") if "basis" in raw else None
    exact = at_key(flag, raw.get("exact", False), "exact")
    if exact and "low" in raw:
        raise slip("exact = true stands beside low and high", "take out either exact or the range", "exact")
    return basis, exact, at_key(free_text, raw.get("note", ""), "note")


def _figure(raw: object, key: str, read: Callable[[object], float]) -> float:
    return at_key(read, raw, key)


_T = TypeVar("_T")


def at_key(read: Callable[[object], _T], raw: object, key: str) -> _T:
    """Read a value inside a table, so that a complaint names its key."""
    try:
        return read(raw)
    except PydanticCustomError as error:
        context = dict(error.context or {})
        raise slip(str(context.get("what")), str(context.get("mend")), key, *context.get("at", ())) from None


def ordered(low: float | Decimal | None, likely: float | Decimal, high: float | Decimal | None) -> None:
    """Hold low ≤ likely ≤ high."""
    if low is not None and high is not None and not low <= likely <= high:
        raise slip("low, likely and high are not in this order", "let low ≤ likely ≤ high", "likely")


def held(value: Uncertain, rule: Rule, basis: Basis = Basis.ESTIMATED) -> Spread:
    """Put the default range on an uncertain value and hold it to its bounds.

    A plain value takes the half-width of its basis, and not less than the rule's narrowest; a typed range stands as
    typed. `basis` is that of a value which states none.

    Raises
    ------
    PydanticCustomError : a figure outside the rule's bounds.
    """
    for key, figure in (("likely", value.likely), ("low", value.low), ("high", value.high)):
        if figure is not None:
            bounded(figure, rule, key if value.low is not None else "")
    known = value.basis or basis
    if value.exact or (rule.ends_are_sure and value.low is None and value.likely in (rule.least, rule.most)):
        return Spread(value.likely, value.likely, value.likely, known, value.exact, False, value.note)
    if value.low is not None and value.high is not None:
        return Spread(value.likely, value.low, value.high, known, False, True, value.note)
    low, high = plain_range(value.likely, rule, known)
    return Spread(value.likely, low, high, known, False, False, value.note)


def plain_range(likely: float, rule: Rule, basis: Basis) -> tuple[float, float]:
    """The range of a plain value by its basis and the rule."""
    half = HALF_WIDTHS[Knowing(basis.value)] if rule.plain is None else rule.plain
    low = likely - abs(likely) * max(half, rule.narrowest[0])
    high = likely + abs(likely) * max(half, rule.narrowest[1])
    if rule.least is not None:
        low = max(low, rule.least)
    if rule.most is not None:
        high = min(high, rule.most)
    return low, high


def bounded(figure: float, rule: Rule, key: str = "") -> None:
    """Hold one figure to a rule's bounds."""
    at = (key,) if key else ()
    if rule.above is not None and figure <= rule.above:
        raise slip(f"{figure:.6g} is not above {rule.above:g}", f"write a figure above {rule.above:g}", *at)
    if rule.least is not None and figure < rule.least:
        raise slip(f"{figure:.6g} is below {rule.least:g}", f"write a figure of at least {rule.least:g}", *at)
    if rule.most is not None and figure > rule.most:
        raise slip(f"{figure:.6g} is above {rule.most:g}", f"write a figure of at most {rule.most:g}", *at)


def plain(read: Callable[[object], float], rule: Rule) -> Callable[[object], float]:
    """A reader of a value that takes no range."""

    def read_one(raw: object) -> float:
        if isinstance(raw, dict):
            raise slip("a range stands where one plain value is due", "write one value: this entry takes no range")
        value = read(raw)
        bounded(value, rule)
        return value

    return read_one


def likely_of(read: Callable[[object], float], rule: Rule) -> Callable[[object], float]:
    """A reader of a value of which only the likely figure is used, also where a range is typed."""

    def read_one(raw: object) -> float:
        value = uncertain(read)(raw)
        bounded(value.likely, rule)
        return value.likely

    return read_one
