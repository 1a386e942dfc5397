"""Which column is which: names of the ledger against headers of the file, the time column, the units."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.errors import Complaint, LogError
from ledger.intake.log_labels import Column, Headers, unmatched
from ledger.intake.log_long import Long, settle_long
from ledger.intake.log_shape import Shape
from ledger.intake.log_when import TimeColumns, settle_time
from ledger.model.logs import LogSpec


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns that are read; `long` where each line holds one reading and names its sensor; `unread` the headers
    of the columns that no channel and no time took."""

    time: TimeColumns
    channels: tuple[Column, ...]
    long: Long | None = None
    unread: tuple[str, ...] = ()


def settle_columns(spec: LogSpec, shape: Shape, *, file: str) -> Columns:
    """Find the time column and the column of every channel.

    Raises
    ------
    LogError : a column that is not there, or a name that several columns bear; all of them in one go.
    """
    headers = Headers(shape)
    complaints: list[Complaint] = []
    channels: tuple[Column, ...] = ()
    long: Long | None = None
    time: TimeColumns | None = None
    try:
        long = settle_long(spec, shape, headers, file=file)
        channels = _wide(spec, shape, headers, file=file) if long is None else long.channels(spec, headers)
    except LogError as error:
        complaints.extend(error.complaints)
    try:
        taken = {p for c in spec.channels for p in headers.matches(c.column)} if long is None else set(long.places)
        time = settle_time(spec, shape, headers, taken=taken, file=file)
    except LogError as error:
        complaints.extend(error.complaints)
    if complaints or time is None:
        raise LogError(complaints)
    unread = _unread(headers, {c.place for c in channels}, time) if long is None else ()
    return Columns(time, channels, long, unread)


def _unread(headers: Headers, taken: set[int], time: TimeColumns) -> tuple[str, ...]:
    """Headers of what is left over; none where the file has no header to name it by."""
    if headers.bare:
        return ()
    of_time = {time.first, time.second, *(() if time.parts is None else time.parts.places)}
    left = (place for place in range(headers.count) if place not in taken | of_time)
    return tuple(label for place in left if (label := headers.main(place)))


def _wide(spec: LogSpec, shape: Shape, headers: Headers, *, file: str) -> tuple[Column, ...]:
    """A column for each channel."""
    line = shape.header_lines[-1] if shape.header_lines else None
    complaints: list[Complaint] = []
    channels: list[Column] = []
    for channel in spec.channels:
        found = headers.matches(channel.column)
        if len(found) == 1:
            place = found[0]
            channels.append(Column(channel, place, headers.main(place), headers.units(place)))
        else:
            entry = f"{channel.channel} = {{ column = "
            complaints.append(unmatched(channel.column, found, headers, file=file, line=line, entry=entry))
    if complaints:
        raise LogError(complaints)
    return tuple(channels)


__all__ = ["Column", "Columns", "Headers", "TimeColumns", "settle_columns"]
