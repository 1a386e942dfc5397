"""Readings as the files hold them: instants, values in held units, and how each file was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from ledger.errors import Notice
from ledger.model.logs import Exclusion, Stamp

Instants = npt.NDArray[np.int64]
Values = npt.NDArray[np.float64]
Mask = npt.NDArray[np.bool_]
Codes = npt.NDArray[np.int32]


WIDE = "one column a channel"


class Kind(StrEnum):
    """What the numbers of a channel are, in the unit they are held in."""

    TEMPERATURE = "temperature"  # °C
    PERCENT = "percent"  # %
    SPEED = "speed"  # m/s
    IRRADIANCE = "irradiance"  # W/m2
    SWITCH = "switch"  # 0 off to 1 on
    POWER = "power"  # W
    STEP_ENERGY = "energy of each interval"  # kWh
    COUNTER_ENERGY = "energy counter"  # kWh, rising


@dataclass(frozen=True, slots=True, eq=False)
class Trace:
    """One column of a table.

    Attributes
    ----------
    channel : name of the channel (`model.logs.CHANNELS`).
    kind : what the numbers are.
    values : one for each row, NaN where the file holds none. [unit of `kind`]
    zero : what a bare 0 in the file became, offset included; loggers write 0 for a lost sensor. [unit of `kind`]
    power_w : what a 0/1 channel draws when on, where the ledger says so. [W]
    """

    channel: str
    kind: Kind
    values: Values
    zero: float
    power_w: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Table:
    """Rows of the like files of one `[[log]]` section, in the order in which they were read.

    Attributes
    ----------
    section : number of the `[[log]]` section, from 0.
    stamps_ms : instants. [ms since 1970-01-01 UTC]
    file : for each row the place of its file in `Readings.files`.
    traces : the columns.
    stamp : whether stamps mean the instant, the start or the end of the interval.
    exclusions : spans of the site's clock that the ledger sets aside.
    stands_for : how many rows of its file each row stands for; None: for itself.
    interval_ms : usual interval of a file whose rows were taken minute by minute; None: they were not. [ms]
    """

    section: int
    stamps_ms: Instants
    file: Codes
    traces: tuple[Trace, ...]
    stamp: Stamp
    exclusions: tuple[Exclusion, ...] = ()
    stands_for: Codes | None = None
    interval_ms: float | None = None


@dataclass(frozen=True, slots=True)
class FileRead:
    """How one file was read. `rows` counts its lines below the header that are not blank; `refused` those without a
    stamp or without any reading, by reason in `refusals`; `first_refused` the line number of the first by reason;
    `layout` whether each channel has a column or each line one reading; `unread` the columns that nothing took."""

    file: str
    sha256: str
    rows: int
    refused: int
    encoding: str
    separator: str
    decimal: str
    header_line: int | None
    time_format: str
    clock: str
    order: str
    units: Mapping[str, str] = field(default_factory=dict)
    refusals: Mapping[str, int] = field(default_factory=dict)
    first_refused: Mapping[str, int] = field(default_factory=dict)
    layout: str = WIDE
    unread: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """All rows of all files of a ledger's logs, and how they were read."""

    tables: tuple[Table, ...]
    files: tuple[FileRead, ...]
    notices: tuple[Notice, ...] = ()
