"""How the grower's log files are to be read. Everything None is for the reader to settle from the file, or to ask."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum


class Stamp(StrEnum):
    """What a reading's time stamp means."""

    INSTANT = "instant"
    START = "start"
    END = "end"


CHANNELS = (
    "indoor",
    "outdoor",
    "water",
    "soil",
    "humidity",
    "wind",
    "sun",
    "fan",
    "heater",
    "unheated",
    "tube_in",
    "tube_out",
)
TEMPERATURE_CHANNELS = ("indoor", "outdoor", "water", "soil", "unheated", "tube_in", "tube_out")


@dataclass(frozen=True, slots=True)
class ChannelSpec:
    """One column of a log. `offset_k` is added to every reading; `power_w`: what a 0/1 channel draws when on."""

    channel: str
    column: str
    unit: str | None = None
    offset_k: float = 0.0
    accuracy_k: float | None = None
    power_w: float | None = None
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Exclusion:
    """A span of local clock time whose readings the grower sets aside."""

    first: datetime
    last: datetime
    why: str


@dataclass(frozen=True, slots=True)
class LogSpec:
    """One `[[log]]` section: a file pattern relative to the ledger file, and what is known of its columns."""

    file: str
    channels: tuple[ChannelSpec, ...]
    time: str | None = None
    time_format: str | None = None
    clock: str = "local"
    stamp: Stamp = Stamp.INSTANT
    exclude: tuple[Exclusion, ...] = field(default=())
    encoding: str | None = None
    separator: str | None = None
    decimal: str | None = None
    header: int | None = None
    line: int | None = None
    sensor: str | None = None
    value: str | None = None
