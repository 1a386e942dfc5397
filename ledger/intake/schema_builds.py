"""The keys of the sections on builds, their receipts, stores and the season book."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, PlainValidator

from ledger.intake import schema_kinds as k
from ledger.intake.scalars import choice
from ledger.intake.values import Says
from ledger.model import build as model
from ledger.model.values import Basis


class ItemRow(k.Section):
    """`[[build.item]]`: a receipt, quotation or plan."""

    date: k.Day = Field(description="date of the paper")
    what: k.Text = Field(description="what was paid for")
    amount: k.SignedMoney = Field(description="money paid or to be paid")
    share: k.Share | None = Field(None, description="the part that is there only for the heat; else 1")
    why_share: k.FreeText = Field("", description="why that share")
    basis: Annotated[Basis, PlainValidator(choice(Basis)), Says("basis")] | None = Field(
        None, description="how the amount is known; else receipt, quoted or estimated by status"
    )
    paper: k.FreeText = Field("", description="the paper that shows it")
    status: Annotated[model.Status, PlainValidator(choice(model.Status)), Says('"paid", "quoted" or "planned"')] = (
        Field(model.Status.PAID, description="how far it has come")
    )
    hours: k.Hours | None = Field(None, description="own work put in")
    life_years: k.Years | None = Field(None, description="how long it lasts; else the build's, else by kind of item")
    residual: k.Money | None = Field(None, description="today's money left at its end; else 0")


class SpentRow(ItemRow):
    """`[[spent]]`: a build's item, typed anywhere."""

    build: k.Text = Field(alias="for", description="the build it belongs to")


class UpkeepRow(k.Section):
    """`[[build.upkeep]]`: upkeep expected."""

    what: k.Text = Field(description="what it is")
    amount: k.Money = Field(description="per year, today's money")


class BeforeRow(k.Section):
    """`[[build.before]]`: what stood there without the build."""

    surface: k.Text | None = Field(None, description='a surface by name, "cover" for the form\'s; with u_value')
    u_value: k.UValue | None = Field(None, description="its U-value without the build")
    air_changes: k.AirChanges | None = Field(None, description="air changes per hour without the build")
    edge: k.Text | None = Field(None, description="an edge by name; with loss")
    loss: k.LinearLoss | None = Field(None, description="its heat loss per length without the build")
    hours: Annotated[model.Hours, PlainValidator(choice(model.Hours)), Says('"always" or "night"')] = Field(
        model.Hours.ALWAYS, description="night: a screen that is closed only at night"
    )


class BuildRow(k.Section):
    """`[[build]]`: a passive measure."""

    name: k.Text = Field(description="what it is called")
    life_years: k.Years | None = Field(None, description="for items that state none")
    expected_fraction: k.Share | None = Field(None, description="share of the need, for a build not yet logged")
    expected_running: k.Money | None = Field(None, description="running cost a year, where nothing is noted yet")
    share_of_saving: k.PlainShare | None = Field(None, description="its part of the saving, when several builds stand")
    item: list[ItemRow] = Field(default_factory=list, description="receipts, quotations, plans")
    upkeep: list[UpkeepRow] = Field(default_factory=list, description="upkeep expected a year")
    before: list[BeforeRow] = Field(default_factory=list, description="what stood there without it")


class MeterTable(k.Section):
    """`meter`: two readings."""

    first: k.MeterReading = Field(alias="from", description="reading at the beginning")
    last: k.MeterReading = Field(alias="to", description="reading at the end")
    rolls_over_at: k.MeterReading | None = Field(None, description="the count at which the meter begins again at 0")


class RunningRow(k.Section):
    """`[[running]]`: a line of the season book."""

    date: k.Day = Field(description="date of the line")
    target: k.Text = Field(alias="for", description='a build, a source, or "house"')
    what: k.Text = Field("", description="what was used or mended")
    energy: k.PlainEnergy | None = Field(None, description="energy used")
    meter: MeterTable | None = Field(None, description="two meter readings (kWh for electric things)")
    quantity: k.Quantity | None = Field(None, description="units of the source used")
    amount: k.PlainSignedMoney | None = Field(None, description="money paid")
    hours: k.PlainHours | None = Field(None, description="own work")
    first: k.Day | None = Field(None, alias="from", description="first day covered; else since the last like line")
    last: k.Day | None = Field(None, alias="to", description="last day covered; else the line's date")


class StoreRow(k.Section):
    """`[[store]]`: a heat store with a logged temperature."""

    name: k.Text = Field(description="what it is called")
    build: k.Text | None = Field(None, description="the build it belongs to")
    channel: k.Text = Field(description="the logged channel of its temperature")
    volume: k.Volume | None = Field(None, description="its volume (of water, unless heat_capacity is given)")
    mass: k.Mass | None = Field(None, description="its mass; with specific_heat")
    specific_heat: k.SpecificHeat | None = Field(None, description="specific heat of its material")
    heat_capacity: k.HeatPerVolume | None = Field(None, description="heat capacity per volume of its material")
