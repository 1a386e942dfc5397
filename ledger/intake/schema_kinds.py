"""The kinds of value a ledger key may take, as annotated types, each with its words for the README."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, PlainValidator

from ledger.intake import money_values, scalars, values
from ledger.intake.money_values import MoneyTyped
from ledger.intake.values import Rule, Says, Uncertain
from ledger.model.values import MonthDay, Spread
from ledger.sources import AIR_CHANGES_LEAST, LIFT_HALF_WIDTH, U_VALUE_LEAST
from ledger.units import Dimension


class Section(BaseModel):
    """The one strict base: unknown keys are faults, nothing is changed after reading."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


def _spread(read: Callable[[object], float], rule: Rule) -> Callable[[object], Spread]:
    typed = values.uncertain(read)

    def reader(raw: object) -> Spread:
        return values.held(typed(raw), rule)

    return reader


def _of(dimension: Dimension, rule: Rule) -> PlainValidator:
    return PlainValidator(_spread(values.quantity(dimension), rule))


def _plain_of(dimension: Dimension, rule: Rule) -> PlainValidator:
    return PlainValidator(values.plain(values.quantity(dimension), rule))


def _likely_of(dimension: Dimension, rule: Rule) -> PlainValidator:
    return PlainValidator(values.likely_of(values.quantity(dimension), rule))


_ABOVE_0 = Rule(above=0.0)
_FROM_0 = Rule(least=0.0)
_COLD, _HOT = -90.0, 70.0

Text = Annotated[str, PlainValidator(scalars.text), Says("text")]
FreeText = Annotated[str, PlainValidator(scalars.free_text), Says("free text")]
Flag = Annotated[bool, PlainValidator(scalars.flag), Says("true or false")]
Day = Annotated[date, PlainValidator(scalars.day), Says("date")]
Moment = Annotated[datetime, PlainValidator(scalars.moment), Says("local time or date")]
DayOfYear = Annotated[MonthDay, PlainValidator(scalars.month_day), Says('"MM-DD"')]
Pattern = Annotated[str, PlainValidator(scalars.file_pattern), Says("path, * allowed")]
Anything = Annotated[Any, PlainValidator(lambda raw: raw), Says("see text")]

Length = Annotated[Spread, _of(Dimension.LENGTH, _ABOVE_0), Says('length, "12 m"')]
Height = Annotated[Spread, _of(Dimension.LENGTH, _FROM_0), Says('length, "2 m"')]
Elevation = Annotated[float, _likely_of(Dimension.LENGTH, Rule(least=-450.0, most=6000.0)), Says('height, "1450 m"')]
Area = Annotated[Spread, _of(Dimension.AREA, _ABOVE_0), Says('area, "38 m2"')]
Volume = Annotated[Spread, _of(Dimension.VOLUME, _ABOVE_0), Says('volume, "150 m3"')]
Mass = Annotated[Spread, _of(Dimension.MASS, _ABOVE_0), Says('mass, "2000 kg"')]
UValue = Annotated[
    Spread,
    _of(Dimension.U_VALUE, Rule(above=0.0, narrowest=(U_VALUE_LEAST, U_VALUE_LEAST))),
    Says('U-value, "2.8 W/m2/K"'),
]
LinearLoss = Annotated[Spread, _of(Dimension.LINEAR_LOSS, _FROM_0), Says('loss per length, "0.7 W/m/K"')]
AirChanges = Annotated[
    Spread,
    PlainValidator(_spread(scalars.bare, Rule(least=0.0, most=100.0, narrowest=AIR_CHANGES_LEAST))),
    Says("number per hour"),
]
Lift = Annotated[
    Spread, _of(Dimension.DIFFERENCE, Rule(least=-20.0, most=40.0, plain=LIFT_HALF_WIDTH)), Says('difference, "5 K"')
]
Difference = Annotated[
    float, _plain_of(Dimension.DIFFERENCE, Rule(least=-50.0, most=50.0)), Says('difference, "0.4 K"')
]
Accuracy = Annotated[float, _plain_of(Dimension.DIFFERENCE, Rule(least=0.0, most=50.0)), Says('difference, "0.5 K"')]
Temperature = Annotated[
    float, _plain_of(Dimension.TEMPERATURE, Rule(least=_COLD, most=_HOT)), Says('temperature, "4 degC"')
]
LikelyTemperature = Annotated[
    float, _likely_of(Dimension.TEMPERATURE, Rule(least=_COLD, most=_HOT)), Says('temperature, "-14 degC"')
]
Energy = Annotated[Spread, _of(Dimension.ENERGY, _FROM_0), Says('energy, "20 MMBtu"')]
PlainEnergy = Annotated[float, _plain_of(Dimension.ENERGY, _FROM_0), Says('energy, "41 kWh"')]
Power = Annotated[Spread, _of(Dimension.POWER, _FROM_0), Says('power, "9 kW"')]
PlainPower = Annotated[float, _likely_of(Dimension.POWER, _FROM_0), Says('power, "90 W"')]
HeatPerVolume = Annotated[
    Spread, _of(Dimension.VOLUMETRIC_HEAT_CAPACITY, _ABOVE_0), Says('heat per volume, "2.0 MJ/m3/K"')
]
SpecificHeat = Annotated[Spread, _of(Dimension.SPECIFIC_HEAT, _ABOVE_0), Says('specific heat, "0.9 kJ/kg/K"')]

Money = Annotated[MoneyTyped, PlainValidator(money_values.amount_from_zero), Says("money")]
SignedMoney = Annotated[MoneyTyped, PlainValidator(money_values.amount), Says("money; a refund is negative")]
PlainMoney = Annotated[Decimal, PlainValidator(money_values.plain_amount), Says("money")]
PlainSignedMoney = Annotated[Decimal, PlainValidator(money_values.signed_amount), Says("money; a refund is negative")]
Price = Annotated[Spread, PlainValidator(money_values.price), Says("price per unit")]

Share = Annotated[
    Spread,
    PlainValidator(_spread(values.fraction, Rule(least=0.0, most=1.0, ends_are_sure=True))),
    Says('share, 0.3 or "30 %"'),
]
PlainShare = Annotated[
    float, PlainValidator(values.plain(values.fraction, Rule(least=0.0, most=1.0))), Says('share, 0.7 or "70 %"')
]
Efficiency = Annotated[
    Uncertain,
    PlainValidator(values.uncertain(values.efficiency)),
    Says('share, 0.68 or "68 %"'),
]
Rate = Annotated[Spread, PlainValidator(_spread(values.rate, Rule(least=-0.9, most=1.0))), Says('rate, 0.06 or "6 %"')]
ChosenRate = Annotated[
    Uncertain,
    PlainValidator(values.uncertain(values.rate)),
    Says('rate, 0.06 or "6 %"'),
]
PlainRate = Annotated[
    float, PlainValidator(values.plain(values.rate, Rule(least=0.0, most=1.0))), Says('rate, 0.065 or "6.5 %"')
]
Years = Annotated[Spread, PlainValidator(_spread(scalars.bare, Rule(above=0.0, most=500.0))), Says("years")]
PlainYears = Annotated[float, PlainValidator(values.plain(scalars.bare, Rule(above=0.0, most=100.0))), Says("years")]
Hours = Annotated[Spread, PlainValidator(_spread(scalars.bare, Rule(least=0.0, most=1e6))), Says("hours")]
PlainHours = Annotated[float, PlainValidator(values.plain(scalars.bare, Rule(least=0.0, most=1e6))), Says("hours")]
PositiveHours = Annotated[Spread, PlainValidator(_spread(scalars.bare, Rule(above=0.0, most=1000.0))), Says("hours")]
Quantity = Annotated[
    float, PlainValidator(values.plain(scalars.bare, Rule(least=0.0, most=1e9))), Says("number, in the source's unit")
]
MeterReading = Annotated[
    float, PlainValidator(values.plain(scalars.bare, Rule(least=0.0, most=1e12))), Says("meter reading")
]
Degrees90 = Annotated[float, PlainValidator(values.plain(scalars.bare, Rule(least=-90.0, most=90.0))), Says("degrees")]
Degrees180 = Annotated[
    float, PlainValidator(values.plain(scalars.bare, Rule(least=-180.0, most=180.0))), Says("degrees")
]
StudyYears = Annotated[int, PlainValidator(scalars.whole(1, 100)), Says("whole number of years")]
PaymentsPerYear = Annotated[int, PlainValidator(scalars.whole(1, 365)), Says("whole number")]
Count = Annotated[int, PlainValidator(scalars.whole(1, 1000)), Says("whole number")]
HeaderLine = Annotated[int, PlainValidator(scalars.whole(1, 1000)), Says("line number, from 1")]
Month = Annotated[int, PlainValidator(scalars.whole(1, 12)), Says("1 to 12")]
