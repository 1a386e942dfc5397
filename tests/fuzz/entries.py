"""Changes to a ledger as people and editors make them: values, units, lines, sections, keys."""

from __future__ import annotations

import re
from collections.abc import Callable
from random import Random

VALUES = (
    "0", "-1", "1", "1e308", "-1e308", "1e-320", "0.0000001", "99999999999999999999", "inf", "nan", "true", '""', '" "',
    '"4 degC"', '"40 degF"', '"-300 degC"', '"1e308 m"', '"0 m2"', '"12 m"', '"5 kWh"', '"3 K"', '"6 %"', '"900 %"',
    "2025-06-11", "0001-01-01", "9999-12-31", "2026-02-29", '"02-30"', '"12-31"', '"x"', "[]", "{}", "[1, 2]", '"EUR"',
    "{ low = 0, likely = 0, high = 0 }", "{ low = 9, likely = 1, high = 3 }", '"**/*"', '"\\u202e"', "'''\n'''",
    '{ low = "1 m", likely = "2 m", high = "3 m" }', '{ column = "In", unit = "degC" }', '"UTC"', '"../../etc/*"',
    '"Pacific/Kiritimati"',
)  # fmt: skip
_KEY = re.compile(r"^(\s*[\w-]+\s*=\s*)(.*)$")
Edit = Callable[[Random, list[str]], None]


def changed(chance: Random, ledger: bytes) -> bytes:
    """A few changes, one after another."""
    lines = ledger.decode("utf-8", "replace").split("\n")
    for _ in range(chance.choice((0, 1, 1, 1, 2, 4))):
        if lines:
            chance.choice(EDITS)(chance, lines)
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
