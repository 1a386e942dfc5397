"""How a figure looks to a person: its unit by the ledger's `show`, and no more digits than it deserves."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

from ledger.model.ledger import Show
from ledger.units import Dimension, from_held


class Measure(Enum):
    """What kind of figure a number is; the SI unit that it comes in stands behind it."""

    MONEY = "currency"
    COIN = "currency, to the smallest coin"
    PRICE = "currency per unit of fuel"
    PRICE_PER_KWH = "currency per kWh"
    COST_PER_DEGREE_DAY = "currency per K·d"
    HEAT = "kWh"
    POWER = "kW"
    TEMPERATURE = "°C"
    DIFFERENCE = "K"
    DEGREE_HOURS = "K·h"
    DEGREE_DAYS = "K·d"
    HEAT_LOSS = "W/K"
    AREA = "m²"
    VOLUME = "m³"
    DENSITY = "kg/m³"
    YEARS = "years"
    HOURS = "hours"
    NIGHTS = "nights"
    RATE = "rate"
    SHARE = "share"
    CHANCE = "chance"
    RATIO = "ratio"
    COUNT = "count"
    YEAR_NUMBER = "year"
    WORDS = "words"


@dataclass(frozen=True, slots=True)
class Style:
    """How the figures of one ledger are shown: unit system, currency, digits of its smallest coin."""

    show: Show
    currency: str
    coin_digits: int


@dataclass(frozen=True, slots=True)
class Shown:
    """A figure as text, with its unit."""

    text: str
    unit: str

    def __str__(self) -> str:
        """Figure and unit, a blank between."""
        return f"{self.text} {self.unit}".strip()


NOT_KNOWN = "not known"
PARTS_OF_ONE = (Measure.RATE, Measure.SHARE, Measure.CHANCE)
_NEARLY_SURE = 99.0
"""No draw makes a thing certain: beyond this many in a hundred the number would claim too much."""

_US: dict[Measure, tuple[str, str, Dimension]] = {
    # measure: unit as shown, unit as `units` knows it, dimension
    Measure.TEMPERATURE: ("°F", "degF", Dimension.TEMPERATURE),
    Measure.DIFFERENCE: ("°F", "delta_degF", Dimension.DIFFERENCE),
    Measure.DEGREE_HOURS: ("°F·h", "delta_degF", Dimension.DIFFERENCE),
    Measure.DEGREE_DAYS: ("°F·d", "delta_degF", Dimension.DIFFERENCE),
    Measure.HEAT_LOSS: ("Btu/h/°F", "Btu/h/degF", Dimension.HEAT_LOSS),
    Measure.POWER: ("Btu/h", "Btu/h", Dimension.POWER),
    Measure.AREA: ("ft²", "ft2", Dimension.AREA),
    Measure.VOLUME: ("ft³", "ft3", Dimension.VOLUME),
}
_WATTS_PER_KW = 1000.0


def unit_of(measure: Measure, style: Style) -> str:
    """The unit that figures of this kind are shown in."""
    us = _US.get(measure) if style.show is Show.US else None
    match measure:
        case Measure.MONEY | Measure.COIN | Measure.PRICE:
            return style.currency
        case Measure.PRICE_PER_KWH:
            return f"{style.currency}/kWh"
        case Measure.COST_PER_DEGREE_DAY:
            return f"{style.currency} per {'°F·d' if style.show is Show.US else 'K·d'}"
        case Measure.RATE | Measure.SHARE | Measure.CHANCE:
            return "%"
        case Measure.RATIO | Measure.COUNT | Measure.WORDS | Measure.YEAR_NUMBER:
            return ""
        case _:
            return us[0] if us else measure.value


def in_unit(value: float, measure: Measure, style: Style) -> float:
    """A figure in SI, turned into the unit of `unit_of`."""
    if measure in PARTS_OF_ONE:
        return value * 100
    if style.show is Show.US:
        if measure is Measure.COST_PER_DEGREE_DAY:
            return value / from_held(1.0, "delta_degF", Dimension.DIFFERENCE)
        if measure in _US:
            _, unit, dimension = _US[measure]
            held = value * _WATTS_PER_KW if measure is Measure.POWER else value
            return from_held(held, unit, dimension)
    return value


def show_figure(value: float | None, measure: Measure, style: Style) -> Shown:
    """A figure for prose and screens, rounded to what it deserves; None says so in words."""
    if value is None or not math.isfinite(value):
        return Shown(NOT_KNOWN, "")
    turned = in_unit(float(value), measure, style)
    return Shown(_rounded(turned, measure, style), unit_of(measure, style))


def show_span(low: float | None, high: float | None, measure: Measure, style: Style) -> Shown:
    """A span from one end to the other, in the order given; an unknown end says so."""
    if low is None and high is None:
        return Shown(NOT_KNOWN, "")
    ends = [show_figure(end, measure, style) for end in (low, high)]
    unit = next(end.unit for end in ends if end.text != NOT_KNOWN)
    return Shown(f"{ends[0].text} to {ends[1].text}", unit)


def _rounded(value: float, measure: Measure, style: Style) -> str:
    match measure:
        case Measure.COIN:
            return f"{_no_minus_nought(round(value, style.coin_digits)):,.{style.coin_digits}f}"
        case Measure.MONEY:
            return _money(value, style)
        case Measure.PRICE | Measure.PRICE_PER_KWH | Measure.COST_PER_DEGREE_DAY | Measure.RATIO | Measure.DENSITY:
            return _significant(value, 3)
        case Measure.HEAT | Measure.DEGREE_HOURS:
            return _to_step(value, _heat_step(value))
        case Measure.DEGREE_DAYS | Measure.HEAT_LOSS | Measure.AREA | Measure.VOLUME:
            return _significant(value, 3) if abs(value) < 100 else f"{value:,.0f}"
        case Measure.POWER:
            return _to_step(value, 100) if style.show is Show.US else f"{value:,.1f}"
        case Measure.TEMPERATURE | Measure.DIFFERENCE | Measure.RATE:
            return f"{_no_minus_nought(round(value, 1)):.1f}"
        case Measure.YEARS:
            return f"{_no_minus_nought(round(value, 1)):.1f}" if abs(value) < 20 else f"{value:,.0f}"
        case Measure.HOURS if abs(value) < 10 and round(value, 1) != round(value):
            return f"{value:.1f}"
        case Measure.YEAR_NUMBER:
            return f"{value:.0f}"
        case Measure.CHANCE:
            return "over 99" if value > _NEARLY_SURE else "under 1" if value < 100 - _NEARLY_SURE else f"{value:.0f}"
        case _:
            return f"{_no_minus_nought(round(value)):,.0f}"


def _money(value: float, style: Style) -> str:
    """Money that was reckoned, not paid: coins under ten, tens from a thousand on, hundreds from ten thousand on."""
    if abs(value) >= 1000:
        return _to_step(value, 10 if abs(value) < 10_000 else 100)
    digits = style.coin_digits if 0 < abs(value) < 10 else 0
    return f"{_no_minus_nought(round(value, digits)):,.{digits}f}"


def _heat_step(value: float) -> float:
    """Heat is never known to the kilowatt-hour: tens from a hundred on, hundreds from ten thousand on."""
    if abs(value) < 100:
        return 1
    return 10 if abs(value) < 10_000 else 100


def _to_step(value: float, step: float) -> str:
    return f"{_no_minus_nought(round(value / step) * step):,.0f}"


def _significant(value: float, digits: int) -> str:
    if value == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    return f"{_no_minus_nought(round(value, places)):,.{max(0, places)}f}"


def _no_minus_nought(value: float) -> float:
    return value if value else 0.0
