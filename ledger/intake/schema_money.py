"""The keys of the sections on terms, electricity, labour, benefits, power and next steps."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field, PlainValidator

from ledger.intake import schema_kinds as k
from ledger.intake.scalars import choice
from ledger.intake.values import Says
from ledger.model.terms import Posting, Timing


class RatesAre(StrEnum):
    """Whether rates hold inflation."""

    NOMINAL = "nominal"
    REAL = "real"


class LoanRow(k.Section):
    """`[[money.loan]]`: a loan."""

    name: k.Text = Field("loan", description="what it is called")
    principal: k.PlainMoney = Field(description="money lent")
    annual_rate: k.PlainRate = Field(description="nominal rate a year")
    years: k.PlainYears = Field(description="how long it runs")
    payments_per_year: k.PaymentsPerYear | None = Field(None, description="payments a year; else 12")
    start: k.Day | None = Field(None, description="the first payment falls one period later; else the base date")
    posting: Annotated[Posting, PlainValidator(choice(Posting)), Says('"cents" or "exact"')] | None = Field(
        None, description="rows rounded to the coin, or exact; else cents"
    )


class GrantRow(k.Section):
    """`[[money.grant]]`: money given towards the capital."""

    name: k.Text = Field("grant", description="what it is called")
    amount: k.Money = Field(description="money given")
    date: k.Day | None = Field(None, description="when it came; else the base date")
    build: k.Text | None = Field(None, alias="for", description="the build it pays for; else all items by amount")


class MoneySection(k.Section):
    """`[money]`: the terms."""

    base_date: k.Day | None = Field(None, description="prices are of this date; else the day of the last receipt")
    study_years: k.StudyYears | None = Field(None, description="years looked ahead; else 25")
    discount_rate: k.ChosenRate | None = Field(None, description="what money must earn; else the loan's rate, else 6 %")
    rates_are: Annotated[RatesAre, PlainValidator(choice(RatesAre)), Says('"nominal" or "real"')] | None = Field(
        None, description="whether rates hold inflation; else nominal"
    )
    inflation: k.Rate | None = Field(None, description="rise of all prices a year; else 2 %")
    timing: Annotated[Timing, PlainValidator(choice(Timing)), Says('"end of year" or "mid-year"')] | None = Field(
        None, description="when in a year its money falls; else end of year"
    )
    against: k.Text | None = Field(
        None, description="the source whose heat is avoided in the headline; else the backup one, else the first"
    )
    loan: list[LoanRow] = Field(default_factory=list, description="loans; they never change NPV")
    grant: list[GrantRow] = Field(default_factory=list, description="grants")


class ElectricitySection(k.Section):
    """`[electricity]`: the price of a kilowatt-hour."""

    price: k.Price | None = Field(None, description="per kWh; else the electric source's price")
    price_growth: k.Rate | None = Field(None, description="rise a year; else the electric source's, else inflation")


class LabourSection(k.Section):
    """`[labour]`: own work."""

    rate: k.Price = Field(description="money per hour of own work")


class BenefitRow(k.Section):
    """`[[benefit]]`: money other than heat."""

    what: k.Text = Field(description="what it is")
    amount: k.SignedMoney = Field(description="per year, today's money; never in the headline")


class PowerSection(k.Section):
    """`[power]`: life off the grid."""

    battery: k.Energy | None = Field(None, description="what the battery holds")
    usable: k.Share | None = Field(None, description="share of it that may be used")
    inverter_efficiency: k.Share | None = Field(None, description="delivered over drawn")
    other_load: k.Power | None = Field(None, description="what else draws on it")
    array_capital: k.Money | None = Field(None, description="price of the solar array")
    array_life_years: k.Years | None = Field(None, description="its life")
    battery_capital: k.Money | None = Field(None, description="price of the battery")
    battery_life_years: k.Years | None = Field(None, description="its life")
    used_energy: k.Energy | None = Field(None, description="own electricity used in a year")


class AddsTable(k.Section):
    """`adds`: what a next step is expected to add."""

    avoided: k.Energy = Field(description="heat avoided a year")


class NextRow(k.Section):
    """`[[next]]`: a step under consideration."""

    what: k.Text = Field(description="what it is")
    amount: k.Money = Field(description="what it costs")
    adds: AddsTable | None = Field(None, description="what it is expected to add")
