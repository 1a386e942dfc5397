"""From `[[log]]` and `[climate]` to the specifications that the log reader takes."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from ledger.errors import Doubt
from ledger.intake.desk import Desk
from ledger.intake.schema_logs import ChannelTable, ClimateSection, ExcludeRow, LogRow, MappedFile
from ledger.intake.slips import listed
from ledger.intake.toml_places import Path
from ledger.intake.zones import is_clock
from ledger.model.climate import Climate, MonthNormal
from ledger.model.logs import CHANNELS, TEMPERATURE_CHANNELS, ChannelSpec, Exclusion, LogSpec, Stamp
from ledger.units import Dimension, UnitError, to_held

_POWERED = ("fan", "heater")
_SEPARATORS = (",", ";", "\t", "|", " ")
_CUSTOM = "the custom of loggers; common practice, no source"

TWICE = Doubt(
    "log-named-twice",
    "a [[log]] section is the same as an earlier one, line for line",
    "take one of the two out; the file is read once",
    "no limit: the sections are compared",
)


def resolve_logs(desk: Desk, rows: list[tuple[int, LogRow]]) -> tuple[LogSpec, ...]:
    """Every `[[log]]`, each once: a section typed again would only have the same rows read again."""
    found: list[LogSpec] = []
    for number, row in rows:
        spec = resolve_log(desk, row, number)
        if any(_unplaced(spec) == _unplaced(one) for one in found):
            desk.notice(TWICE.code, ("log", number), f"{TWICE.when}: {spec.file} ({TWICE.mend})")
        else:
            found.append(spec)
    return tuple(found)


def _unplaced(spec: LogSpec) -> LogSpec:
    """The same without the lines on which it stands."""
    return replace(spec, line=None, channels=tuple(replace(one, line=None) for one in spec.channels))


def resolve_log(desk: Desk, row: LogRow, number: int) -> LogSpec:
    """One `[[log]]`."""
    path = ("log", number)
    if not any(_channel_of(row, name) is not None for name in CHANNELS):
        desk.fault(path, "the log names no column", 'add indoor = { column = "..." } and outdoor = { column = "..." }')
    return _spec(desk, row, row.file, path)


def check_channels(desk: Desk, rows: list[tuple[int, LogRow]]) -> None:
    """The logs together must have indoor and outdoor temperatures."""
    if not rows:
        return
    for name in ("indoor", "outdoor"):
        if all(_channel_of(row, name) is None for _, row in rows):
            desk.fault(
                ("log", rows[0][0], name),
                f"no log has the column of the {name} temperature",
                f'add {name} = {{ column = "..." }}',
            )


def channels_of(rows: list[tuple[int, LogRow]]) -> list[str]:
    """Every channel that some log has."""
    return [name for name in CHANNELS if any(_channel_of(row, name) is not None for _, row in rows)]


def resolve_climate(desk: Desk, section: ClimateSection) -> Climate:
    """A long outdoor record, or twelve normals."""
    path = ("climate",)
    if section.file is None and not section.normals:
        desk.fault(
            path, "the climate has neither a file nor normals", "add file = ..., or normals for all twelve months"
        )
    if section.file is not None and section.outdoor is None:
        desk.fault((*path, "outdoor"), "the climate file has no outdoor column", 'add outdoor = { column = "..." }')
    record = _spec(desk, section, section.file, path) if section.file is not None else None
    return Climate(record, _normals(desk, section))


def _normals(desk: Desk, section: ClimateSection) -> tuple[MonthNormal, ...]:
    months = [row.month for row in section.normals]
    if section.normals and sorted(months) != list(range(1, 13)):
        missing = [str(month) for month in range(1, 13) if month not in months]
        twice = sorted({str(month) for month in months if months.count(month) > 1})
        words = [f"missing: {', '.join(missing)}"] if missing else []
        words += [f"twice: {', '.join(twice)}"] if twice else []
        desk.fault(
            ("climate", "normals"),
            f"the normals are not one for each month ({'; '.join(words)})",
            "give all twelve months once",
        )
    for number, row in enumerate(section.normals):
        if row.mean_low > row.mean_high:
            desk.fault(
                ("climate", "normals", number),
                f"in month {row.month} the mean low is above the mean high",
                "exchange the two",
            )
    rows = sorted(section.normals, key=lambda row: row.month)
    return tuple(MonthNormal(row.month, row.mean_low, row.mean_high) for row in rows)


def _spec(desk: Desk, section: MappedFile, file: str, path: Path) -> LogSpec:
    if section.clock is None:
        desk.assume((*path, "clock"), "local", _CUSTOM)
    elif not is_clock(section.clock):
        desk.fault(
            (*path, "clock"),
            f'"{section.clock}" is no clock',
            'write "local", "standard", "UTC", an offset such as "UTC-07:00", or an IANA name',
        )
    if section.stamp is None:
        desk.assume((*path, "stamp"), Stamp.INSTANT.value, _CUSTOM)
    _file_words(desk, section, path)
    named = [(name, _channel_of(section, name)) for name in CHANNELS]
    return LogSpec(
        file=file,
        channels=tuple(_channel(desk, name, table, path) for name, table in named if table is not None),
        time=section.time,
        time_format=section.time_format,
        clock=section.clock or "local",
        stamp=section.stamp or Stamp.INSTANT,
        exclude=tuple(_exclusion(desk, row, (*path, "exclude", n)) for n, row in enumerate(section.exclude)),
        encoding=section.encoding,
        separator=section.separator,
        decimal=section.decimal,
        header=section.header,
        line=desk.line(*path),
        sensor=section.sensor,
        value=section.value,
    )


def _file_words(desk: Desk, section: MappedFile, path: Path) -> None:
    """Encoding, separator and decimal sign must be ones that exist."""
    if section.decimal is not None and section.decimal not in (".", ","):
        desk.fault((*path, "decimal"), f'"{section.decimal}" is no decimal sign', 'write "." or ","')
    if section.separator is not None and section.separator == section.decimal:
        desk.fault((*path, "separator"), "separator and decimal sign are the same", "they must differ")
    if section.encoding is not None:
        try:
            "".encode(section.encoding)
        except LookupError:
            desk.fault(
                (*path, "encoding"),
                f'the encoding "{section.encoding}" is not known',
                'write "utf-8", "utf-16" or "cp1252"',
            )


def _channel_of(section: MappedFile, name: str) -> ChannelTable | None:
    found = getattr(section, name)
    return found if isinstance(found, ChannelTable) else None


def _channel(desk: Desk, name: str, table: ChannelTable, path: Path) -> ChannelSpec:
    at = (*path, name)
    temperature = name in TEMPERATURE_CHANNELS
    if table.unit is not None and temperature:
        try:
            to_held(0.0, table.unit, Dimension.TEMPERATURE)
        except UnitError as error:
            desk.fault((*at, "unit"), error.what, error.mend)
    for key, value in (("offset", table.offset), ("accuracy", table.accuracy)):
        if value is not None and not temperature:
            desk.fault((*at, key), f"{key} stands at {name}, which is no temperature", f"take {key} out")
    if table.power is not None and name not in _POWERED:
        desk.fault((*at, "power"), f"power stands at {name}", f"power is for {listed(_POWERED)} only")
    return ChannelSpec(
        channel=name,
        column=table.column,
        unit=table.unit,
        offset_k=table.offset or 0.0,
        accuracy_k=table.accuracy,
        power_w=table.power,
        line=desk.line(*at),
    )


def _exclusion(desk: Desk, row: ExcludeRow, path: Path) -> Exclusion:
    """A span set aside; a bare date as its end is taken whole."""
    last = row.last
    if last == datetime(last.year, last.month, last.day) and desk.is_bare_date((*path, "to")):
        last += timedelta(days=1)
    if last <= row.first:
        desk.fault(path, "the span ends before it begins", "check from and to")
    return Exclusion(row.first, last, row.why)
