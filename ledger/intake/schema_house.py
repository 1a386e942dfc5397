"""The keys of the sections on the place, the house, the hold temperature and the crop."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field, PlainValidator

from ledger.intake import schema_kinds as k
from ledger.intake.scalars import choice
from ledger.intake.values import Says
from ledger.model.house import BareWay, CountRule, GddMethod
from ledger.model.ledger import Show


class Form(StrEnum):
    """Shapes whose areas follow from their measures."""

    GABLE = "gable"
    LEAN_TO = "lean-to"
    ROUND = "round"


class BackupUsed(StrEnum):
    """The one word that `backup_used` takes."""

    NONE = "none"


class LedgerSection(k.Section):
    """`[ledger]`: what the ledger is called and how it is shown."""

    title: k.Text | None = Field(None, description="what the ledger is called; else the file's name")
    currency: k.Text | None = Field(
        None, description="three letters of ISO 4217; absent: amounts stand without currency"
    )
    show: Annotated[Show, PlainValidator(choice(Show)), Says('"metric" or "us"')] | None = Field(
        None, description="units of screens and papers; else by the unit of hold.temperature"
    )
    prepared_for: k.FreeText = Field("", description="for whom the report is made")
    prepared_by: k.FreeText = Field("", description="who made it")
    purpose: k.FreeText = Field("", description="what it is for")


class SiteSection(k.Section):
    """`[site]`: where the house stands."""

    latitude: k.Degrees90 = Field(description="degrees, north positive")
    longitude: k.Degrees180 = Field(description="degrees, east positive")
    elevation: k.Elevation = Field(description="height above the sea")
    timezone: k.Text = Field(description='IANA name, such as "Europe/Rome"')
    design_temperature: k.LikelyTemperature | None = Field(
        None, description="cold design outdoor temperature (99 % or 99.6 %)"
    )


class SurfaceRow(k.Section):
    """`[[house.surface]]`: a part of the envelope."""

    name: k.Text = Field(description="what it is called")
    area: k.Area = Field(description="its area")
    u_value: k.UValue | None = Field(None, description="its U-value; or cover")
    cover: k.Text | None = Field(None, description="a cover of the built-in table; or u_value")
    beyond_form: k.Flag = Field(
        False,
        description="true: it is no part of the form's own skin (the back wall of a lean-to); nothing is taken off",
    )


class EdgeRow(k.Section):
    """`[[house.edge]]`: heat lost along the footing."""

    name: k.Text = Field("footing", description="what it is called")
    length: k.Length = Field(description="its length")
    loss: k.LinearLoss | None = Field(None, description="heat lost per length; else the uninsulated value")


class HouseSection(k.Section):
    """`[house]`: the structure that is kept warm, as it stands now."""

    form: Annotated[Form, PlainValidator(choice(Form)), Says('"gable", "lean-to" or "round"')] | None = Field(
        None, description="shape: floor, volume, cover and footing follow from the measures"
    )
    length: k.Length | None = Field(None, description="length along the ridge")
    width: k.Length | None = Field(None, description="width across the ridge")
    side_height: k.Height | None = Field(None, description="height of the side walls (lean-to: of the low wall)")
    ridge_height: k.Length | None = Field(None, description="height of the ridge (lean-to: of the high wall)")
    floor_area: k.Area | None = Field(None, description="floor area, in place of the form's")
    volume: k.Volume | None = Field(None, description="air volume, in place of the form's")
    cover: k.Text | None = Field(None, description="cover of the form, by its name in the built-in table")
    u_value: k.UValue | None = Field(None, description="U-value of the form's cover, in place of the table's")
    air_changes: k.AirChanges | None = Field(None, description="air changes per hour, vents shut; else by cover")
    unheated_lift: k.Lift | None = Field(
        None,
        description="how much warmer than outdoors the bare house is in the dark; else from the floor's night heat",
    )
    bare: Annotated[BareWay, PlainValidator(choice(BareWay)), Says('"auto", "twin", "fan-off", "model" or "lift"')] = (
        Field(BareWay.AUTO, description="how the bare house is reckoned")
    )
    sun_gain: k.Share | None = Field(None, description="share of the sun that ends as heat indoors; else 0.5")
    surface: list[SurfaceRow] = Field(
        default_factory=list, description="surfaces, in place of form or for walls that differ"
    )
    edge: list[EdgeRow] = Field(
        default_factory=list, description="heat lost along the footing; else the floor's perimeter"
    )


class SeasonTable(k.Section):
    """`season`: a part of the year."""

    begins: k.DayOfYear = Field(description="first day")
    ends: k.DayOfYear = Field(description="last day, included; may lie in the new year")


class HoldSection(k.Section):
    """`[hold]`: what one would pay to hold."""

    temperature: k.Temperature = Field(description="the temperature one would pay to hold")
    season: SeasonTable | None = Field(None, description="the part of the year; else the cold half by latitude")
    count: Annotated[CountRule, PlainValidator(choice(CountRule)), Says('"dark" or "balance"')] = Field(
        CountRule.DARK, description="which hours count: dark ones, or day hours too by a heat balance"
    )
    backup_used: Annotated[BackupUsed, PlainValidator(choice(BackupUsed)), Says('"none"')] | None = Field(
        None, description="says that no backup heat was used although none is noted"
    )


class CropSection(k.Section):
    """`[crop]`: growing degree-days."""

    base: k.Temperature | None = Field(None, description="temperature above which degree-days count; else 10 degC")
    ceiling: k.Temperature | None = Field(None, description="temperature above which more heat adds nothing")
    method: Annotated[GddMethod, PlainValidator(choice(GddMethod)), Says('"hourly", "average", "capped" or "sine"')] = (
        Field(GddMethod.HOURLY, description="how degree-days are reckoned")
    )
    begins: k.DayOfYear | None = Field(None, description="first day of the crop; else of the hold season")
    ends: k.DayOfYear | None = Field(None, description="last day of the crop; else of the hold season")
