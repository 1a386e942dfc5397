"""Every unit a grower may type, in one table, with its conversion to the unit in which the program holds the figure.

A unit is a product of symbols: `Btu/h/ft2/degF`, `Btu/h·ft²·°F`, `W/(m2 K)` are one symbol above the stroke and the
rest below it. Each symbol has a factor to SI and the powers of mass, length, time and temperature it stands for, so a
unit of the wrong dimension is known as such. Btu is the International Table Btu; the gallon is the US gallon.

Sources: NIST Special Publication 811 (2008), Appendix B (factors; foot, pound, gallon and International Table Btu are
exact by definition); the therm is 100 000 International Table Btu.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from enum import Enum, StrEnum
from functools import lru_cache

KELVIN_AT_0_C = 273.15
BTU_J = 1055.05585262
POUND_KG = 0.45359237
FOOT_M = 0.3048
GALLON_M3 = 0.003785411784
IMPERIAL_GALLON_M3 = 0.00454609
LARGEST_NUMBER = Decimal("1e15")
LONGEST_QUANTITY = 120


class UnitError(ValueError):
    """A quantity that cannot be read: `what` is wrong and how to `mend` it, in words for the grower."""

    def __init__(self, what: str, mend: str) -> None:
        """Say what is wrong and how to mend it."""
        super().__init__(what)
        self.what = what
        self.mend = mend


class System(StrEnum):
    """Units of screens and papers."""

    METRIC = "metric"
    US = "us"


@dataclass(frozen=True, slots=True)
class _Kind:
    """What a dimension is called, its powers (kg, m, s, K), the unit it is held in, and units to offer."""

    words: str
    powers: tuple[int, int, int, int]
    held: str
    metric: str
    us: str
    offered: tuple[str, ...]


class Dimension(Enum):
    """What a quantity measures. The value names the unit in which the program holds it."""

    LENGTH = _Kind("length", (0, 1, 0, 0), "m", "m", "ft", ("m", "cm", "mm", "ft", "in", "yd"))
    AREA = _Kind("area", (0, 2, 0, 0), "m2", "m2", "ft2", ("m2", "ft2", "yd2"))
    VOLUME = _Kind("volume", (0, 3, 0, 0), "m3", "m3", "ft3", ("m3", "L", "ft3", "gal", "imp_gal"))
    TEMPERATURE = _Kind("temperature", (0, 0, 0, 1), "degC", "degC", "degF", ("degC", "degF", "K"))
    DIFFERENCE = _Kind("temperature difference", (0, 0, 0, 1), "K", "K", "delta_degF", ("K", "delta_degF", "degF"))
    U_VALUE = _Kind("U-value", (1, 0, -3, -1), "W/m2/K", "W/m2/K", "Btu/h/ft2/degF", ("W/m2/K", "Btu/h/ft2/degF"))
    LINEAR_LOSS = _Kind(
        "heat loss per length", (1, 1, -3, -1), "W/m/K", "W/m/K", "Btu/h/ft/degF", ("W/m/K", "Btu/h/ft/degF")
    )
    HEAT_LOSS = _Kind("heat loss", (1, 2, -3, -1), "W/K", "W/K", "Btu/h/degF", ("W/K", "Btu/h/degF"))
    ENERGY = _Kind("energy", (1, 2, -2, 0), "kWh", "kWh", "kWh", ("kWh", "MWh", "MJ", "GJ", "Btu", "MMBtu", "therm"))
    POWER = _Kind("power", (1, 2, -3, 0), "W", "kW", "Btu/h", ("W", "kW", "Btu/h"))
    MASS = _Kind("mass", (1, 0, 0, 0), "kg", "kg", "lb", ("kg", "tonne", "lb", "short_ton"))
    HEAT_CAPACITY = _Kind(
        "heat capacity", (1, 2, -2, -1), "kWh/K", "kWh/K", "Btu/degF", ("kWh/K", "MJ/K", "kJ/K", "Btu/degF")
    )
    VOLUMETRIC_HEAT_CAPACITY = _Kind(
        "heat capacity per volume",
        (1, -1, -2, -1),
        "MJ/m3/K",
        "MJ/m3/K",
        "Btu/ft3/degF",
        ("MJ/m3/K", "kWh/m3/K", "kJ/m3/K", "Btu/ft3/degF"),
    )
    SPECIFIC_HEAT = _Kind(
        "specific heat", (0, 2, -2, -1), "kJ/kg/K", "kJ/kg/K", "Btu/lb/degF", ("kJ/kg/K", "J/kg/K", "Btu/lb/degF")
    )
    HEAT_FLUX = _Kind("heat per area", (1, 0, -3, 0), "W/m2", "W/m2", "Btu/h/ft2", ("W/m2", "Btu/h/ft2"))
    TIME = _Kind("time", (0, 0, 1, 0), "h", "h", "h", ("h", "min", "day"))
    SPEED = _Kind("speed", (0, 1, -1, 0), "m/s", "m/s", "mph", ("m/s", "km/h", "mph"))

    @property
    def words(self) -> str:
        """How the dimension is called in a sentence."""
        return self.value.words

    @property
    def held_in(self) -> str:
        """The unit in which the program holds it."""
        return self.value.held


@dataclass(frozen=True, slots=True)
class _Symbol:
    """A symbol's factor to SI, and its powers of kg, m, s, K. `at_0_c`: what a temperature scale shows at 0 °C."""

    factor: float
    powers: tuple[int, int, int, int]
    at_0_c: float | None = None
    difference_only: bool = False


_LENGTH, _VOLUME, _TIME, _MASS, _TEMP = (0, 1, 0, 0), (0, 3, 0, 0), (0, 0, 1, 0), (1, 0, 0, 0), (0, 0, 0, 1)
_ENERGY, _POWER, _SPEED = (1, 2, -2, 0), (1, 2, -3, 0), (0, 1, -1, 0)

_K = _Symbol(1.0, _TEMP, KELVIN_AT_0_C)
_CELSIUS = _Symbol(1.0, _TEMP, 0.0)
_FAHRENHEIT = _Symbol(5.0 / 9.0, _TEMP, 32.0)
_DELTA_C = _Symbol(1.0, _TEMP, None, difference_only=True)
_DELTA_F = _Symbol(5.0 / 9.0, _TEMP, None, difference_only=True)


def _named(symbol: _Symbol, *names: str) -> dict[str, _Symbol]:
    return dict.fromkeys(names, symbol)


_SYMBOLS: dict[str, _Symbol] = {
    **_named(_Symbol(1.0, _LENGTH), "m", "meter", "meters", "metre", "metres"),
    **_named(_Symbol(0.01, _LENGTH), "cm"),
    **_named(_Symbol(0.001, _LENGTH), "mm"),
    **_named(_Symbol(1000.0, _LENGTH), "km"),
    **_named(_Symbol(FOOT_M, _LENGTH), "ft", "foot", "feet", "'"),
    **_named(_Symbol(0.0254, _LENGTH), "in", "inch", "inches", '"'),
    **_named(_Symbol(0.9144, _LENGTH), "yd", "yard", "yards"),
    **_named(_Symbol(0.001, _VOLUME), "L", "l", "liter", "liters", "litre", "litres"),
    **_named(_Symbol(0.1, _VOLUME), "hL"),
    **_named(_Symbol(GALLON_M3, _VOLUME), "gal", "gallon", "gallons", "us_gal", "US_gal"),
    **_named(_Symbol(IMPERIAL_GALLON_M3, _VOLUME), "imp_gal", "imp.gal", "uk_gal"),
    **_named(_Symbol(1.0, _TIME), "s", "sec", "second", "seconds"),
    **_named(_Symbol(60.0, _TIME), "min", "minute", "minutes"),
    **_named(_Symbol(3600.0, _TIME), "h", "hr", "hour", "hours"),
    **_named(_Symbol(86400.0, _TIME), "day", "days", "d"),
    **_named(_Symbol(1.0, _MASS), "kg"),
    **_named(_Symbol(0.001, _MASS), "g"),
    **_named(_Symbol(1000.0, _MASS), "tonne", "tonnes", "t", "metric_ton"),
    **_named(_Symbol(POUND_KG, _MASS), "lb", "lbs", "pound", "pounds"),
    **_named(_Symbol(2000.0 * POUND_KG, _MASS), "short_ton", "short_tons"),
    **_named(_K, "K", "kelvin"),
    **_named(_CELSIUS, "degC", "C", "celsius"),
    **_named(_FAHRENHEIT, "degF", "F", "fahrenheit"),
    **_named(_DELTA_C, "delta_degC", "delta_C"),
    **_named(_DELTA_F, "delta_degF", "delta_F"),
    **_named(_Symbol(1.0, _ENERGY), "J"),
    **_named(_Symbol(1e3, _ENERGY), "kJ"),
    **_named(_Symbol(1e6, _ENERGY), "MJ"),
    **_named(_Symbol(1e9, _ENERGY), "GJ"),
    **_named(_Symbol(3600.0, _ENERGY), "Wh"),
    **_named(_Symbol(3.6e6, _ENERGY), "kWh"),
    **_named(_Symbol(3.6e9, _ENERGY), "MWh"),
    **_named(_Symbol(4186.8, _ENERGY), "kcal"),
    **_named(_Symbol(BTU_J, _ENERGY), "Btu", "Btus"),
    **_named(_Symbol(1e3 * BTU_J, _ENERGY), "kBtu"),
    **_named(_Symbol(1e6 * BTU_J, _ENERGY), "MMBtu", "MMBtus"),
    **_named(_Symbol(1e5 * BTU_J, _ENERGY), "therm", "therms"),
    **_named(_Symbol(1.0, _POWER), "W", "watt", "watts"),
    **_named(_Symbol(1e3, _POWER), "kW"),
    **_named(_Symbol(BTU_J / 3600.0, _POWER), "Btuh"),
    **_named(_Symbol(0.44704, _SPEED), "mph"),
    **_named(_Symbol(1.0 / 3.6, _SPEED), "kph"),
    **_named(_Symbol(1852.0 / 3600.0, _SPEED), "kn", "knot", "knots"),
}

_TON = ("`ton` means three different weights", 'write "short_ton" (2000 lb) or "tonne" (1000 kg)')
_MBTU = (
    "`MBtu` means a thousand Btu to some and a million to others",
    'write "kBtu" for a thousand or "MMBtu" for a million',
)
_REFUSED: dict[str, tuple[str, str]] = {
    "ton": _TON,
    "tons": _TON,
    "mbtu": _MBTU,
    "mbtus": _MBTU,
    "mbh": ("`MBH` is read in two ways", 'write "kW" or "Btu/h"'),
}


def _folded_symbols() -> dict[str, str]:
    """Spellings in any case that can mean one symbol only."""
    by_folded: dict[str, set[str]] = {}
    for name in _SYMBOLS:
        by_folded.setdefault(name.casefold(), set()).add(name)
    return {
        folded: min(names) for folded, names in by_folded.items() if len({id(_SYMBOLS[name]) for name in names}) == 1
    }


_FOLDED = _folded_symbols()
_NUMBER = re.compile(r"\s*([+-]?(?:\d+(?:_\d+)*\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)\s*", re.DOTALL)
_COMMA_NUMBER = re.compile(r"\s*[+-]?\d[\d.']*,[\d.,]*")
_SPELLED = (
    (re.compile(r"\b(?:sq\.?|square)\s*(ft|feet|foot|m|meters?|metres?|yd|yards?|in)\b\.?", re.IGNORECASE), r"\g<1>2"),
    (re.compile(r"\b(?:cu\.?|cubic)\s*(ft|feet|foot|m|meters?|metres?|yd|yards?|in)\b\.?", re.IGNORECASE), r"\g<1>3"),
    (re.compile(r"\b(?:imp\.?|imperial|uk)\s+(?:gal(?:lons?)?)\b\.?", re.IGNORECASE), "imp_gal"),
    (re.compile(r"\bus\s+(?:gal(?:lons?)?)\b\.?", re.IGNORECASE), "gal"),
    (re.compile(r"\b(short|metric)\s+tons?\b", re.IGNORECASE), r"\g<1>_ton"),
    (re.compile(r"\bdeg(?:ree)?s?\.?\s+(?=[cfk]\b|celsius|fahrenheit)", re.IGNORECASE), "deg"),
    (re.compile(r"\bdelta[\s_]*(?:deg)?[\s_]*([CFcf])\b"), r"delta_deg\g<1>"),
    (re.compile(r"\bdegrees?\b\s*", re.IGNORECASE), "deg"),
    (re.compile(r"\bper\b", re.IGNORECASE), "/"),
)
_RUN_TOGETHER = {
    "m2K": ("m2", "K"),
    "m3K": ("m3", "K"),
    "mK": ("m", "K"),
    "kgK": ("kg", "K"),
    "ft2F": ("ft2", "degF"),
    "ft2degF": ("ft2", "degF"),
    "ftF": ("ft", "degF"),
    "ftdegF": ("ft", "degF"),
    "hft2F": ("h", "ft2", "degF"),
    "hft2degF": ("h", "ft2", "degF"),
    "hftF": ("h", "ft", "degF"),
    "hftdegF": ("h", "ft", "degF"),
    "lbF": ("lb", "degF"),
    "lbdegF": ("lb", "degF"),
    "m2degC": ("m2", "degC"),
    "m2C": ("m2", "degC"),
    "mdegC": ("m", "degC"),
    "hdegF": ("h", "degF"),
    "hF": ("h", "degF"),
}
_POWERED = re.compile(r"^([^\d^-]+)\^?(-?[1-4])?$")


def units_of(dimension: Dimension) -> tuple[str, ...]:
    """The spellings to offer for a dimension, the one it is held in first."""
    return dimension.value.offered


def split_quantity(text: str) -> tuple[Decimal, str]:
    """Part a typed quantity into its number and its unit.

    Raises
    ------
    UnitError : no number in front, a comma in the number, a number that no float can hold.
    """
    shown = text.strip()
    if len(shown) > LONGEST_QUANTITY:
        raise UnitError(f'"{shown[:40]}..." is too long for a quantity', "write a number and its unit")
    plain = unicodedata.normalize("NFKC", text).replace("−", "-").replace("\u2013", "-")
    with_comma = _COMMA_NUMBER.match(plain)
    if with_comma is not None:
        number, rest = with_comma.group().strip(), plain[with_comma.end() :].strip()
        point, none = number.replace(",", "."), number.replace(",", "")
        raise UnitError(
            f'"{shown}" has a comma in its number, which may be a decimal or a thousands sign',
            f'write "{f"{none} {rest}".strip()}" or "{f"{point} {rest}".strip()}"',
        )
    match = _NUMBER.fullmatch(plain)
    if match is None:
        raise UnitError(f'"{shown}" does not begin with a number', "write a number and its unit in quotes")
    try:
        number_value = Decimal(match.group(1).replace("_", ""))
    except InvalidOperation:
        raise UnitError(f'"{shown}" holds a number too large to reckon with', "check the number") from None
    if not number_value.is_finite() or abs(number_value) > LARGEST_NUMBER:
        raise UnitError(f'"{shown}" holds a number too large to reckon with', "check the number")
    return number_value, match.group(2).strip()


def parse_quantity(text: str, dimension: Dimension) -> float:
    """Read a typed quantity, such as `"48 m2"` or `"0.7 Btu/h/ft2/degF"`.

    >>> parse_quantity("40 degF", Dimension.TEMPERATURE)  # (40 - 32) / 1.8
    4.444444444444445

    Parameters
    ----------
    text : number and unit as typed. [-]
    dimension : what it must measure. [-]

    Returns
    -------
    float : the figure in the unit the dimension is held in (`dimension.held_in`).

    Raises
    ------
    UnitError : no number, no unit, an unknown or refused unit, a unit of another dimension.
    """
    number, unit = split_quantity(text)
    if not unit:
        offered = ", ".join(units_of(dimension))
        raise UnitError(
            f'"{text.strip()}" has no unit', f'add one of: {offered}; for example "{number} {units_of(dimension)[0]}"'
        )
    return to_held(float(number), unit, dimension)


def to_held(value: float, unit: str, dimension: Dimension) -> float:
    """Bring a number in a typed unit to the unit in which the dimension is held.

    Raises
    ------
    UnitError : an unknown or refused unit, or a unit of another dimension.
    """
    symbol = _symbol_for(unit, dimension)
    held = _symbol_for(dimension.held_in, dimension)
    if symbol.at_0_c is not None and dimension is Dimension.TEMPERATURE:
        return (value - symbol.at_0_c) * symbol.factor
    return value * symbol.factor / held.factor


def from_held(value: float, unit: str, dimension: Dimension) -> float:
    """Bring a held figure to another unit of its dimension, for showing; the inverse of `to_held`.

    Raises
    ------
    UnitError : an unknown or refused unit, or a unit of another dimension.
    """
    symbol = _symbol_for(unit, dimension)
    held = _symbol_for(dimension.held_in, dimension)
    if symbol.at_0_c is not None and dimension is Dimension.TEMPERATURE:
        return value / symbol.factor + symbol.at_0_c
    return value * held.factor / symbol.factor


def shown(value: float, dimension: Dimension, system: System) -> tuple[float, str]:
    """A held figure in the units of a screen: the number and the unit to print behind it."""
    unit = dimension.value.metric if system is System.METRIC else dimension.value.us
    return from_held(value, unit, dimension), unit


def same_unit(unit: str, other: str) -> bool:
    """Whether two spellings mean one unit (`m²` and `m2`, `litres` and `L`); False where either is unknown.

    >>> same_unit("sq ft", "ft2")
    True
    """
    try:
        return _unit(unit) == _unit(other)
    except UnitError:
        return False


def is_fahrenheit(text: str) -> bool:
    """Whether a typed temperature is in degrees Fahrenheit; False where it cannot be read."""
    try:
        return _unit(split_quantity(text)[1]) in (_FAHRENHEIT, _DELTA_F)
    except UnitError:
        return False


def _symbol_for(unit: str, dimension: Dimension) -> _Symbol:
    """The unit as one symbol, held to the dimension."""
    symbol = _unit(unit, dimension)
    if symbol.powers != dimension.value.powers:
        offered = ", ".join(units_of(dimension))
        raise UnitError(f'"{unit}" is not a unit of {dimension.words}', f"use one of: {offered}")
    if dimension is Dimension.TEMPERATURE and symbol.at_0_c is None:
        raise UnitError(f'"{unit}" is a difference, and a temperature is due', "use one of: degC, degF, K")
    return symbol


@lru_cache(maxsize=1024)
def _unit(unit: str, dimension: Dimension | None = None) -> _Symbol:
    """Multiply the symbols of a typed unit together."""
    above, below = _stroke(unit)
    if len(above) == 1 and not below:
        return _symbol(above[0], unit, dimension)
    factor, powers = 1.0, (0, 0, 0, 0)
    for tokens, sign in ((above, 1), (below, -1)):
        for token in tokens:
            symbol = _symbol(token, unit, dimension)
            factor *= symbol.factor**sign
            powers = _added(powers, symbol.powers, sign)
    return _Symbol(factor, powers)


def _stroke(unit: str) -> tuple[list[str], list[str]]:
    """Part a unit into the symbols above and below the stroke."""
    plain = unicodedata.normalize("NFKC", unit).replace("⋅", "·").replace("∙", "·").replace("×", "·")
    plain = plain.replace("°", "deg").replace("º", "deg").replace("**", "^")
    for pattern, replacement in _SPELLED:
        plain = pattern.sub(replacement, plain)
    first, stroke, rest = plain.strip().partition("/")
    above = [t for t in re.split(r"[·*\s()]+", first) if t]
    below: list[str] = []
    for token in re.split(r"[/·*\s().]+", rest):
        if token:
            below.extend(_RUN_TOGETHER.get(token.replace("^", ""), (token,)))
    if not above or (stroke and not below):
        raise UnitError(f'"{unit}" is not a unit', "write it like W/m2/K or Btu/h/ft2/degF")
    return above, below


def _symbol(token: str, unit: str, dimension: Dimension | None) -> _Symbol:
    """Look one symbol up, with its power."""
    refused = _REFUSED.get(token.casefold().strip("."))
    if refused is not None:
        raise UnitError(*refused)
    match = _POWERED.match(token)
    name = match.group(1).rstrip(".") if match else token
    symbol = _SYMBOLS.get(name) or _SYMBOLS.get(_FOLDED.get(name.casefold(), ""))
    if match is None or symbol is None:
        offered = ", ".join(units_of(dimension)) if dimension else "a unit of the README's list"
        raise UnitError(f'unknown unit "{unit}"', f"use one of: {offered}")
    power = int(match.group(2) or 1)
    if power == 1:
        return symbol
    kg, m, s, k = (p * power for p in symbol.powers)
    return _Symbol(symbol.factor**power, (kg, m, s, k))


def _added(powers: tuple[int, int, int, int], more: tuple[int, int, int, int], sign: int) -> tuple[int, int, int, int]:
    kg, m, s, k = (p + sign * q for p, q in zip(powers, more, strict=True))
    return kg, m, s, k
