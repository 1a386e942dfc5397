"""The keys of the sections on logs and climate."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, PlainValidator

from ledger.intake import schema_kinds as k
from ledger.intake.scalars import choice
from ledger.intake.values import Says
from ledger.model.logs import Stamp


class ChannelTable(k.Section):
    """A column of a log."""

    column: k.Text = Field(description="its header; case, blanks and degree signs do not matter")
    unit: k.Text | None = Field(None, description="its unit, unless it stands in the header")
    offset: k.Difference | None = Field(None, description="added to every reading")
    accuracy: k.Accuracy | None = Field(
        None, description="how far a reading may be off: one thermometer in ten is off by more, to either side"
    )
    power: k.PlainPower | None = Field(None, description="what a 0/1 channel draws when on (heater: delivers)")


def _column_alone(raw: Any) -> Any:
    """A channel given by its header alone."""
    return {"column": raw} if isinstance(raw, str) else raw


Channel = Annotated[ChannelTable, BeforeValidator(_column_alone)]


class ExcludeRow(k.Section):
    """`[[log.exclude]]`: a span that does not count."""

    first: k.Moment = Field(alias="from", description="first moment")
    last: k.Moment = Field(alias="to", description="last moment; a bare date is taken whole")
    why: k.FreeText = Field("", description="why")


class MappedFile(k.Section):
    """What a log and a climate file have in common."""

    time: k.Text | None = Field(
        None,
        description="header of the time column, where not obvious; or of several with + between them: date and clock, "
        "or year, month, day, hour and minute",
    )
    time_format: k.Text | None = Field(None, description="only where the file cannot settle it")
    clock: k.Text | None = Field(
        None, description='"local", "standard", "UTC", "UTC-07:00" or an IANA name; else local'
    )
    stamp: Annotated[Stamp, PlainValidator(choice(Stamp)), Says('"instant", "start" or "end"')] | None = Field(
        None, description="what a time stamp means; else instant"
    )
    indoor: Channel | None = Field(None, description="air temperature indoors")
    outdoor: Channel | None = Field(None, description="air temperature outdoors")
    water: Channel | None = Field(None, description="water temperature of a tank")
    soil: Channel | None = Field(None, description="soil temperature")
    humidity: Channel | None = Field(None, description="relative humidity, %")
    wind: Channel | None = Field(None, description="wind speed")
    sun: Channel | None = Field(None, description="sun on the level, W/m2")
    fan: Channel | None = Field(None, description="fan: 0/1 or W")
    heater: Channel | None = Field(None, description="backup heater: 0/1, W or kWh")
    unheated: Channel | None = Field(None, description="air temperature in a like house without heat or build")
    tube_in: Channel | None = Field(None, description="air temperature where the tubes begin")
    tube_out: Channel | None = Field(None, description="air temperature where the tubes end")
    sensor: k.Text | None = Field(
        None, description="header of the column that names the sensor, in a file with one reading a line; a channel's "
        "column is then a sensor's name"
    )  # fmt: skip
    value: k.Text | None = Field(None, description="header of the column with the readings, in such a file")
    encoding: k.Text | None = Field(None, description="only where the file cannot settle it")
    separator: k.FreeText | None = Field(None, description="only where the file cannot settle it")
    decimal: k.FreeText | None = Field(None, description="only where the file cannot settle it")
    header: k.HeaderLine | None = Field(None, description="line of the header, from 1")
    exclude: list[ExcludeRow] = Field(default_factory=list, description="spans that do not count")


class LogRow(MappedFile):
    """`[[log]]`: a log file or several alike."""

    file: k.Pattern = Field(description="file or pattern, relative to the ledger")


class NormalTable(k.Section):
    """`normals`: one month."""

    month: k.Month = Field(description="the month")
    mean_low: k.LikelyTemperature = Field(description="mean of the daily lows")
    mean_high: k.LikelyTemperature = Field(description="mean of the daily highs")


class ClimateSection(MappedFile):
    """`[climate]`: the typical winter."""

    file: k.Pattern | None = Field(
        None,
        description="several years outdoors, or normals; where its days are those of the log, the fitted house takes "
        "its air, shifted to the own station's, for hours outdoors that the log lacks",
    )
    normals: list[NormalTable] = Field(default_factory=list, description="twelve months")
