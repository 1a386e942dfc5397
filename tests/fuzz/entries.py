"""Changes to a ledger as people and editors make them: values, units, lines, sections, keys."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, timedelta
from random import Random

VALUES = (
    "0", "-1", "1", "1e308", "-1e308", "1e-320", "0.0000001", "99999999999999999999", "inf", "nan", "true", '""', '" "',
    '"4 degC"', '"40 degF"', '"-300 degC"', '"1e308 m"', '"0 m2"', '"12 m"', '"5 kWh"', '"3 K"', '"6 %"', '"900 %"',
    "2025-06-11", "0001-01-01", "9999-12-31", "2026-02-29", '"02-30"', '"12-31"', '"x"', "[]", "{}", "[1, 2]", '"EUR"',
    "{ low = 0, likely = 0, high = 0 }", "{ low = 9, likely = 1, high = 3 }", '"**/*"', '"\\u202e"', "'''\n'''",
    '{ low = "1 m", likely = "2 m", high = "3 m" }', '{ column = "In", unit = "degC" }', '"UTC"', '"../../etc/*"',
    '"Pacific/Kiritimati"',
)  # fmt: skip
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_KEY = re.compile(r"^(\s*[\w-]+\s*=\s*)(.*)$")
Edit = Callable[[Random, list[str]], None]


def changed(chance: Random, ledger: bytes, *, gently: float) -> bytes:
    """A few changes, one after another; with the chance `gently` such as a grower might mean, so that many are read."""
    lines = ledger.decode("utf-8", "replace").split("\n")
    edits = GENTLE if chance.random() < gently else EDITS
    for _ in range(chance.choice((0, 1, 1, 1, 2, 4))):
        if lines:
            chance.choice(edits)(chance, lines)
    return "\n".join(lines).encode("utf-8", "replace")


def _entries(lines: list[str]) -> list[int]:
    return [i for i, line in enumerate(lines) if _KEY.match(line)] or [0]


def _value(chance: Random, lines: list[str]) -> None:
    at = chance.choice(_entries(lines))
    lines[at] = _KEY.sub(lambda found: found[1] + chance.choice(VALUES), lines[at])


def _scaled(chance: Random, lines: list[str]) -> None:
    at = chance.choice(_entries(lines))
    factor = chance.choice((0.5, 0.9, 1.1, 2, 3, 0, -1, 10, 1e-3, 1e6, 1e30))
    lines[at] = re.sub(r"\d+(?:\.\d+)?", lambda found: f"{float(found[0]) * factor:g}", lines[at], count=1)


def _exchanged(chance: Random, lines: list[str]) -> None:
    a, b = chance.choice(_entries(lines)), chance.choice(_entries(lines))
    one, other = _KEY.match(lines[a]), _KEY.match(lines[b])
    if one and other:
        lines[a], lines[b] = one[1] + other[2], other[1] + one[2]


def _without(chance: Random, lines: list[str]) -> None:
    del lines[chance.randrange(len(lines))]


def _doubled(chance: Random, lines: list[str]) -> None:
    at = chance.randrange(len(lines))
    lines[at:at] = lines[at : at + chance.choice((1, 1, 5, 40))]


def _moved(chance: Random, lines: list[str]) -> None:
    at = chance.randrange(len(lines))
    piece = lines[at : at + chance.choice((1, 4, 20))]
    del lines[at : at + len(piece)]
    to = chance.randrange(len(lines) + 1)
    lines[to:to] = piece


def _mistyped(chance: Random, lines: list[str]) -> None:
    at = chance.choice(_entries(lines))
    place = chance.randrange(len(lines[at]) + 1)
    lines[at] = lines[at][:place] + chance.choice("x= .\"'[]{},#\\é€0") + lines[at][place + chance.choice((0, 1)) :]


def _many(chance: Random, lines: list[str]) -> None:
    """A section many times over."""
    heads = [i for i, line in enumerate(lines) if line.startswith("[[")]
    if heads:
        at = chance.choice(heads)
        end = next((i for i in heads if i > at), min(len(lines), at + 8))
        lines[at:at] = lines[at:end] * chance.choice((1, 3, 30))


EDITS: tuple[Edit, ...] = (
    _value, _value, _value, _scaled, _scaled, _scaled, _scaled, _scaled, _exchanged, _without, _without, _doubled,
    _moved, _mistyped, _mistyped, _many,
)  # fmt: skip


def _nudged(chance: Random, lines: list[str]) -> None:
    """A number or a day that stays of its kind."""
    at = chance.choice(_entries(lines))
    if _DATE.search(lines[at]):
        lines[at] = _DATE.sub(lambda found: _moved_day(found[0], chance.randint(-3000, 3000)), lines[at], count=1)
        return
    factor = chance.choice((0.3, 0.7, 0.9, 1.1, 1.3, 2, 3))
    lines[at] = re.sub(r"\d+(?:\.\d+)?", lambda found: _like(found[0], factor), lines[at], count=1)


def _moved_day(day: str, by: int) -> str:
    try:
        return (date.fromisoformat(day) + timedelta(days=by)).isoformat()
    except (ValueError, OverflowError):
        return day


def _like(number: str, factor: float) -> str:
    """The number in proportion; a whole one stays whole."""
    return f"{float(number) * factor:g}" if "." in number else f"{float(number) * factor:.0f}"


def _unit_of_its_kind(chance: Random, lines: list[str]) -> None:
    """The same figure in another unit of the same kind."""
    at = chance.choice(_entries(lines))
    for units in _UNITS:
        for unit in units:
            if f' {unit}"' in lines[at]:
                lines[at] = lines[at].replace(f' {unit}"', f' {chance.choice(units)}"')
                return


def _with_range(chance: Random, lines: list[str]) -> None:
    """A bare number with what it may be at least and at most."""
    at = chance.choice(_entries(lines))
    found = _KEY.match(lines[at])
    value = found[2].split("#")[0].strip() if found else ""
    if found and re.fullmatch(r"\d+(?:\.\d+)?", value):
        spread = chance.choice((1.0, 1.2, 3.0))
        low, high = float(value) / spread, float(value) * spread
        lines[at] = f"{found[1]}{{ low = {low:g}, likely = {value}, high = {high:g} }}"


_UNITS = (("m", "ft"), ("m2", "ft2"), ("degC", "degF"), ("kWh", "MMBtu", "MJ"), ("kW", "Btu/h"), ("K", "degF"))
GENTLE: tuple[Edit, ...] = (_nudged, _nudged, _nudged, _unit_of_its_kind, _with_range, _without)
