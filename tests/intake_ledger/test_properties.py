"""What must hold of every ledger, whatever its units, its order, or the harm done to its text."""

# ruff: noqa: E501  (tables read best with one row to a line)
from __future__ import annotations

import dataclasses
import random
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.errors import LedgerError
from ledger.intake.ledger_file import ledger_of
from tests.intake_ledger.test_least_ledger import LEAST

FULL = """\
[ledger]
title = "Upper terrace"
currency = "EUR"
show = "metric"
[site]
latitude = 46.2
longitude = 11.3
elevation = "{elevation}"
timezone = "Europe/Rome"
design_temperature = "{design}"
[house]
form = "gable"
length = "{length}"
width = "{width}"
side_height = "{side}"
ridge_height = "{ridge}"
cover = "double PE film"
air_changes = {{ low = 0.5, likely = 0.8, high = 1.5, basis = "published" }}
unheated_lift = "{lift}"
[[house.surface]]
name = "north wall"
area = "{wall}"
u_value = "{u_value}"
[[house.edge]]
name = "footing"
length = "{edge}"
loss = "{loss}"
[hold]
temperature = "{hold}"
[crop]
base = "{base}"
[electricity]
price = 0.2
[[build]]
name = "tubes"
[[build.item]]
date = 2025-06-11
what = "excavation"
amount = 3850
[[build.item]]
date = 2025-06-12
what = "fan"
amount = "1,180.50"
[[build]]
name = "tank"
share_of_saving = 0.4
[[build.item]]
date = 2025-07-11
what = "tank"
amount = 900
[[running]]
date = 2026-01-31
for = "tubes"
what = "fan"
energy = "{energy}"
[[source]]
name = "stove"
kind = "wood stove"
price = 260
heat_per_unit = "{heat}"
output = "{output}"
[[store]]
name = "water"
build = "tank"
channel = "water"
volume = "{store}"
[[log]]
file = "logs/*.csv"
indoor = {{ column = "In", offset = "{offset}" }}
outdoor = {{ column = "Out" }}
water = {{ column = "Tank" }}
"""

# key: (metric unit, US unit, metric figure to US figure)
UNITS: dict[str, tuple[str, str, float, float]] = {
    "elevation": ("m", "ft", 1 / 0.3048, 0.0),
    "design": ("degC", "degF", 1.8, 32.0),
    "length": ("m", "ft", 1 / 0.3048, 0.0),
    "width": ("m", "ft", 1 / 0.3048, 0.0),
    "side": ("m", "ft", 1 / 0.3048, 0.0),
    "ridge": ("m", "in", 1 / 0.0254, 0.0),
    "lift": ("K", "delta_degF", 1.8, 0.0),
    "wall": ("m2", "ft2", 1 / 0.09290304, 0.0),
    "u_value": ("W/m2/K", "Btu/h/ft2/degF", 1 / 5.678263341113488, 0.0),
    "edge": ("m", "ft", 1 / 0.3048, 0.0),
    "loss": ("W/m/K", "Btu/h/ft/degF", 1 / 1.7307346663713911, 0.0),
    "hold": ("degC", "degF", 1.8, 32.0),
    "base": ("degC", "degF", 1.8, 32.0),
    "energy": ("kWh", "Btu", 3600000 / 1055.05585262, 0.0),
    "heat": ("kWh", "MMBtu", 3.6 / 1055.05585262, 0.0),
    "output": ("kW", "Btu/h", 3600000 / 1055.05585262, 0.0),
    "store": ("m3", "gal", 1 / 0.003785411784, 0.0),
    "offset": ("K", "degF", 1.8, 0.0),
}
PLAIN = {
    "elevation": 1450.0, "design": -14.0, "length": 12.0, "width": 5.0, "side": 2.0, "ridge": 3.4, "lift": 5.0, "wall": 20.0,
    "u_value": 0.45, "edge": 34.0, "loss": 0.7, "hold": 4.0, "base": 10.0, "energy": 41.0, "heat": 5800.0, "output": 9.0,
    "store": 4.2, "offset": -0.4,
}  # fmt: skip


def metric(figures: dict[str, float]) -> str:
    return FULL.format(**{key: f"{figures[key]!r} {unit[0]}" for key, unit in UNITS.items()})


def us(figures: dict[str, float]) -> str:
    return FULL.format(**{key: f"{figures[key] * u[2] + u[3]!r} {u[1]}" for key, u in UNITS.items()})


def flat(value: Any, path: str = "") -> dict[str, Any]:
    """Every leaf of a frozen ledger by its path; lines, lists of assumptions and notices left out."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        found: dict[str, Any] = {}
        for field in dataclasses.fields(value):
            if field.name not in ("line", "assumed", "notices"):
                found |= flat(getattr(value, field.name), f"{path}.{field.name}")
        return found
    if isinstance(value, tuple):
        found = {f"{path}#": len(value)}
        for number, one in enumerate(value):
            found |= flat(one, f"{path}[{number}]")
        return found
    return {path: value}


def same(one: dict[str, Any], other: dict[str, Any]) -> None:
    assert one.keys() == other.keys()
    for path, value in one.items():
        if isinstance(value, float):
            assert value == pytest.approx(other[path], rel=1e-9, abs=1e-9), path
        else:
            assert value == other[path], path


@settings(max_examples=25, deadline=None)
@given(st.fixed_dictionaries({key: st.floats(0.8, 1.2) for key in PLAIN}))
def test_metric_or_us_units_give_the_same_ledger_to_1e_9(factors: dict[str, float]) -> None:
    figures = {key: value * factors[key] for key, value in PLAIN.items()}
    same(flat(ledger_of(metric(figures), "f")), flat(ledger_of(us(figures), "f")))


def sections(text: str) -> list[str]:
    """The text cut before each section of the first rank, with what belongs to it."""
    cut: list[str] = []
    for line in text.splitlines(keepends=True):
        if line.startswith("[") and "." not in line.split("]")[0]:
            cut.append(line)
        else:
            cut[-1] += line
    return cut


@settings(max_examples=25, deadline=None)
@given(st.randoms(use_true_random=False))
def test_the_order_of_sections_changes_nothing(rng: random.Random) -> None:
    plain = ledger_of(metric(PLAIN), "f")
    parts = sections(metric(PLAIN))
    mixed = list(range(len(parts)))
    rng.shuffle(mixed)
    heads = [part.split("\n")[0] for part in parts]
    in_turn = {head: iter([part for part in parts if part.startswith(head + "\n")]) for head in set(heads)}
    shuffled = "".join(next(in_turn[heads[number]]) for number in mixed)
    same(flat(ledger_of(shuffled, "f")), flat(plain))
    assert ledger_of(shuffled, "f").assumed == plain.assumed


@settings(max_examples=25, deadline=None)
@given(st.decimals("0.01", "99999.99", places=2))
def test_an_item_typed_as_spent_is_the_same_as_one_under_its_build(amount: Decimal) -> None:
    own = LEAST.replace("amount = 3850.00", f"amount = {amount}")
    item = f'date = 2025-06-11\nwhat = "excavation"\namount = {amount}\n'
    spent = LEAST.replace('[[build.item]]\ndate = 2025-06-11\nwhat = "excavation"\namount = 3850.00\n', "")
    same(
        flat(ledger_of(own, "f")),
        flat(ledger_of(f'{spent}[[spent]]\nfor = "buried air tubes"\n{item}', "f")),
    )


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**8), st.booleans())
def test_money_with_sign_and_commas_is_the_same_money(cents: int, sign: bool) -> None:
    amount = Decimal(cents) / 100
    pretty = f'"{"$" if sign else ""}{amount:,.2f}"'
    plain = ledger_of(LEAST.replace("3850.00", f"{amount:.2f}"), "f").builds[0].items[0].amount
    typed = ledger_of(LEAST.replace("3850.00", pretty), "f").builds[0].items[0].amount
    assert plain == typed
    assert plain.likely == amount


ODD = ['"', "'", "[", "]", "{", "}", "=", ",", ".", "#", "\n", "\\", "0", "-", "é", "“", "\x00", "1e999", "true", "nan", "[[", '"""', "[a]\n", " = ", "\t", "9" * 40]  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_harmed_ledgers_end_in_a_ledger_or_in_words(seed: int) -> None:
    """Cuts, swaps, doublings and odd signs at random: never anything but a ledger or a LedgerError with words."""
    rng = random.Random(seed)
    whole = metric(PLAIN)
    for _ in range(40):
        text = whole
        for _ in range(rng.randint(1, 4)):
            at = rng.randrange(len(text) + 1)
            to = min(len(text), at + rng.randint(0, 30))
            what = rng.randrange(4)
            if what == 0:
                text = text[:at] + text[to:]
            elif what == 1:
                text = text[:at] + rng.choice(ODD) + text[at:]
            elif what == 2:
                text = text[:at] + rng.choice(ODD) + text[to:]
            else:
                text = text[:to] + text[at:]
        try:
            ledger_of(text, "f")
        except LedgerError as error:
            words = [complaint.what and complaint.mend for complaint in error.complaints]
        else:
            words = ["read"]
        assert words
        assert all(words)


@pytest.mark.parametrize(
    "value",
    ["inf", "-inf", "nan", "1e400", "1e-400", "-1", "0", "true", '""', '" "', "[]", "{}", "[[1]]", "2025-01-01", "12:00:00",
     "9999999999999999999999", '"1e400 m"', '"-5 m"', "{ likely = {} }", "{ likely = [], low = 1, high = 2 }", '"\\u0000"',
     '{ likely = "5 m", basis = 3 }', "1e99999999999999999999"],
)  # fmt: skip
def test_any_value_at_any_key_ends_in_a_ledger_or_in_words(value: str) -> None:
    whole = metric(PLAIN).splitlines()
    for number, line in enumerate(whole):
        if " = " not in line:
            continue
        key = line.split(" = ")[0]
        text = "\n".join([*whole[:number], f"{key} = {value}", *whole[number + 1 :]]) + "\n"
        try:
            ledger_of(text, "f")
        except LedgerError as error:
            assert all(complaint.what and complaint.mend for complaint in error.complaints)  # noqa: PT017
