"""The clean hourly record, and how it was come by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from ledger.series.readings import WIDE, FileRead


@dataclass(frozen=True, slots=True)
class HoursByReason:
    """Hours on the indoor or outdoor channel, each counted once under the first of these."""

    excluded: int = 0
    clock: int = 0
    range: int = 0
    stuck: int = 0
    spike: int = 0
    gap: int = 0
    bridged: int = 0


@dataclass(frozen=True, slots=True)
class ChannelFigures:
    """One channel's hourly record over the whole log."""

    hours_valid: int
    mean_c: float | None
    min_c: float | None
    max_c: float | None


@dataclass(frozen=True, slots=True)
class FileFigures:
    """What one log file held and how it was read. rows = used + flagged + duplicate + refused."""

    file: str
    rows: int
    used: int
    flagged: int
    duplicate: int
    refused: int
    separator: str
    decimal: str
    encoding: str
    time_format: str
    clock: str
    sha256: str
    layout: str = WIDE


@dataclass(frozen=True, slots=True)
class LogFigures:
    """Cover and faults of the whole log. `first` and `last` are ISO local times with offset."""

    first: str | None
    last: str | None
    hours_span: int
    hours_valid: int
    coverage: float | None
    flagged_hours: HoursByReason
    lost_hours: HoursByReason
    channels: Mapping[str, ChannelFigures]
    files: tuple[FileFigures, ...]


@dataclass(frozen=True, slots=True, eq=False)
class HourlyRecord:
    """Hourly means in UTC, one row an hour from first to last, NaN where not valid.

    Attributes
    ----------
    hours : index UTC, hour beginning; columns those of the channels that were logged: indoor, outdoor, water, soil,
        unheated, tube_in, tube_out [°C], humidity [%], wind [m/s], sun [W/m2], fan_on, heater_on [share of the hour],
        fan_w, heater_w [W] (only where watts are known).
    reason : index as `hours`; categorical or object, for each hour the reason it is missing or was touched, "" if none.
    fine : readings after flags, UTC index, same columns, at the log's own step; for the house model.
    step_minutes : usual interval between readings.
    figures : what is reported.
    reads : how each file was read, in full: header line, units, order of rows, refusals by reason.
    """

    hours: pd.DataFrame
    reason: pd.Series
    fine: pd.DataFrame
    step_minutes: float
    timezone: str
    figures: LogFigures
    reads: tuple[FileRead, ...] = ()
