"""A record of our own with a known answer, written in as many ways as loggers have."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TypedDict, Unpack
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.intake.log_files import read_logs
from ledger.model.logs import ChannelSpec, Exclusion, LogSpec, Stamp
from ledger.series.hourly import hourly_record
from ledger.series.record import HourlyRecord

ROME = "Europe/Rome"
LATITUDE = 46.0
INDOOR = ChannelSpec("indoor", "Inside (°C)")
OUTDOOR = ChannelSpec("outdoor", "Outside (°C)")


@dataclass(frozen=True)
class Truth:
    """Instants and readings to a tenth of a degree; hourly means by plain arithmetic over whole hours."""

    utc: tuple[datetime, ...]
    indoor: np.ndarray
    outdoor: np.ndarray

    def means(self) -> pd.DataFrame:
        frame = pd.DataFrame({"indoor": self.indoor, "outdoor": self.outdoor}, index=pd.DatetimeIndex(self.utc))
        return frame.groupby(pd.DatetimeIndex(frame.index).floor("h")).mean()

    def wall(self, zone: str = ROME) -> list[datetime]:
        return [moment.astimezone(ZoneInfo(zone)).replace(tzinfo=None) for moment in self.utc]


def truth(
    *, first: str = "2026-01-05 00:00", days: float = 14, minutes: float = 10, seed: int = 4, digits: int = 1
) -> Truth:
    """A cold fortnight: a daily swing with weather and sensor noise on it."""
    start = datetime.fromisoformat(first).replace(tzinfo=ZoneInfo(ROME)).astimezone(UTC)
    count = round(days * 1440 / minutes)
    utc = pd.date_range(start, periods=count, freq=pd.Timedelta(minutes=minutes))
    rng = np.random.default_rng(seed)
    hours = np.arange(count) * minutes / 60.0
    slow = np.interp(hours, np.arange(0, days * 24 + 12, 6.0), rng.normal(0, 1.2, int(days * 4 + 2)))
    outdoor = -3.0 - 5.0 * np.cos(2 * np.pi * (hours - 3) / 24) + slow + rng.normal(0, 0.12, count)
    indoor = 8.0 - 4.0 * np.cos(2 * np.pi * (hours - 4) / 24) + 0.5 * slow + rng.normal(0, 0.12, count)
    return Truth(tuple(utc.to_pydatetime()), indoor.round(digits), outdoor.round(digits))


Cell = Callable[[float], str]


def plain_cell(value: float) -> str:
    return f"{value:.1f}"


def rows_of(
    known: Truth, *, stamp: str = "%Y-%m-%d %H:%M", cell: Cell = plain_cell, separator: str = ",", zone: str = ROME
) -> list[str]:
    """Lines of data."""
    return [
        separator.join((moment.strftime(stamp), cell(a), cell(b)))
        for moment, a, b in zip(known.wall(zone), known.indoor, known.outdoor, strict=True)
    ]


HEADER = "Time,Inside (°C),Outside (°C)"


def write(folder: Path, lines: Sequence[str], *, name: str = "station.csv", encoding: str = "utf-8") -> Path:
    path = folder / name
    path.write_bytes(("\n".join(lines) + "\n").encode(encoding))
    return path


class LogTraits(TypedDict, total=False):
    """Of a log section, beside its files and its channels."""

    time: str
    time_format: str
    clock: str
    stamp: Stamp
    exclude: tuple[Exclusion, ...]
    encoding: str
    separator: str
    decimal: str
    header: int
    line: int
    sensor: str
    value: str


def spec(
    file: str = "*.csv", channels: tuple[ChannelSpec, ...] = (INDOOR, OUTDOOR), **given: Unpack[LogTraits]
) -> LogSpec:
    return LogSpec(file, channels, **given)


def record(folder: Path, *specs: LogSpec) -> tuple[HourlyRecord, tuple[Notice, ...]]:
    """Read and make hourly, in Rome."""
    readings = read_logs(specs or (spec(),), folder=folder, site_timezone=ROME)
    made, notices = hourly_record(readings, timezone=ROME, latitude_deg=LATITUDE)
    for file in made.figures.files:
        assert file.rows == file.used + file.flagged + file.duplicate + file.refused
        assert min(file.used, file.flagged, file.duplicate, file.refused) >= 0
    lost = made.figures.lost_hours
    total = sum(getattr(lost, name) for name in type(lost).__dataclass_fields__)
    assert total == made.figures.hours_span - made.figures.hours_valid
    return made, (*readings.notices, *notices)


def agrees(made: HourlyRecord, known: Truth, *, tolerance: float = 1e-9, but: int = 0) -> None:
    """All hours of the truth are there with the same means, a few excepted."""
    means = known.means()
    for channel in ("indoor", "outdoor"):
        got = made.hours[channel].reindex(means.index)
        off = (got - means[channel]).abs() > tolerance
        assert int((off | got.isna()).sum()) <= but, (
            channel,
            (got - means[channel]).abs().max(),
            int(got.isna().sum()),
        )
    assert len(made.hours) == len(means)
