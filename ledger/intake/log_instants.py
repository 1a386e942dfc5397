"""Dates of files put in order, then their rows to instants."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ledger.errors import Complaint, LogError
from ledger.intake.log_clock import rules_for, settle
from ledger.intake.log_file import RawFile
from ledger.intake.log_order import format_of, order_of_format, possible_orders
from ledger.intake.log_refused import NO_STAMP
from ledger.intake.log_stamps import DAY_MS, Order, day_number
from ledger.intake.log_time import BARE_DATE, NO_OFFSET, Way
from ledger.intake.log_trouble import trouble
from ledger.model.logs import LogSpec
from ledger.series.readings import WIDE, FileRead

_IMPOSSIBLE = -(2**31)
_UNSEEN = "%d/%m/%Y %H:%M"


@dataclass(slots=True)
class Dated:
    """A file's rows with instants.

    Attributes
    ----------
    utc_ms : instants of the kept rows. [ms since 1970-01-01 UTC]
    kept : which rows of the raw file they are.
    read : how the file was read.
    doubts : what was doubtful about its clock.
    """

    utc_ms: npt.NDArray[np.int64]
    kept: npt.NDArray[np.bool_] | slice
    read: FileRead
    doubts: tuple[str, ...]


def settle_orders(raws: Sequence[RawFile], spec: LogSpec) -> list[Order]:
    """Settle day first or month first for each file, by all files of its section that look alike.

    A day above 12 in one download proves the order of its like sisters: they come from the same station's export.

    Raises
    ------
    LogError : dates that fit both orders, with the two `time_format` lines to choose from.
    """
    given = order_of_format(spec.time_format) if spec.time_format else None
    complaints: list[Complaint] = []
    orders: dict[tuple[object, ...], Order] = {}
    for raw in raws:
        if raw.key in orders:
            continue
        sisters = [other for other in raws if other.key == raw.key]
        dates = [] if raw.stamps.way in (Way.COUNT, Way.SERIAL) else [d for s in sisters for d in s.stamps.dates]
        fits = possible_orders(dates)
        open_dates = any(d.order is None for d in dates)
        if given is not None and open_dates:
            fits = [given] if given in fits else []
        if len(fits) == 1:
            orders[raw.key] = fits[0]
            continue
        complaints.append(_ask(raw, fits, given))
    if complaints:
        raise LogError(complaints)
    return [orders[raw.key] for raw in raws]


def _ask(raw: RawFile, fits: Sequence[Order], given: Order | None) -> Complaint:
    example = raw.stamps.example
    line = raw.shape.first_data_line
    if not fits or given is not None:
        what = "its dates fit no order of day, month and year"
        if given is not None:
            what = f'its dates do not fit time_format = "{raw.spec.time_format}"'
        return trouble(
            what,
            file=raw.name, line=line, excerpt=example, mend='check time_format = "%d/%m/%Y %H:%M" against the file',
        )  # fmt: skip
    choices = " or ".join(f'time_format = "{format_of(example, order)}"' for order in fits)
    names = {Order.DMY: "day first", Order.MDY: "month first", Order.YMD: "year first"}
    return trouble(
        f'"{example}" may be {" or ".join(names[o] for o in fits)}: no date in the file proves which',
        file=raw.name, line=line, mend=f"write {choices}",
    )  # fmt: skip


def dated(raw: RawFile, order: Order, site_timezone: str) -> Dated:
    """Give a file's rows their instants.

    Raises
    ------
    LogError : a clock of no known name, or rows in the hour that clocks skip.
    """
    wall, kept = _wall_ms(raw, order)
    lost = 0 if isinstance(kept, slice) else _rows_of(raw, ~kept)
    if lost:
        raw.refusals.count[NO_STAMP] += lost
        raw.refusals.first.setdefault(NO_STAMP, raw.shape.first_data_line)
    doubts: tuple[str, ...] = ()
    if raw.stamps.way is Way.COUNT:
        utc, clock = wall, "UTC (counted since 1970)"
    elif raw.columns.long is None:
        utc, clock, doubts = _by_clock(raw, wall, kept, slice(None), site_timezone)
    else:
        utc, clock, doubts = _sensor_by_sensor(raw, wall, kept, site_timezone)
    falling = len(utc) > 1 and np.count_nonzero(utc[1:] < utc[:-1]) > len(utc) / 2
    return Dated(utc, kept, _figures(raw, order, clock, "newest first" if falling else "oldest first"), doubts)


def _rows_of(raw: RawFile, mask: npt.NDArray[np.bool_]) -> int:
    """How many rows of the file some kept rows stand for."""
    return int(mask.sum() if raw.stands_for is None else raw.stands_for[mask].sum())


def clock_of(raw: RawFile) -> str:
    """The clock of a file: the ledger's; where that is the custom "local", what the header of the time column names."""
    return raw.columns.time.clock or raw.spec.clock if raw.spec.clock == "local" else raw.spec.clock


def _sensor_by_sensor(
    raw: RawFile, wall: npt.NDArray[np.int64], kept: npt.NDArray[np.bool_] | slice, site_timezone: str
) -> tuple[npt.NDArray[np.int64], str, tuple[str, ...]]:
    """Where lines name their sensors each sensor's rows have an order, and so a doubled hour, of their own."""
    utc, clock, doubts = wall.copy(), clock_of(raw), []
    for values in raw.values:
        rows = np.flatnonzero(~np.isnan(values[kept]))
        utc[rows], clock, found = _by_clock(raw, wall[rows], kept, rows, site_timezone)
        doubts += [doubt for doubt in found if doubt not in doubts]
    return utc, clock, tuple(doubts)


def _by_clock(
    raw: RawFile, wall: npt.NDArray[np.int64], kept: npt.NDArray[np.bool_] | slice,
    rows: npt.NDArray[np.int64] | slice, site_timezone: str,
) -> tuple[npt.NDArray[np.int64], str, tuple[str, ...]]:  # fmt: skip
    clock = f"local ({site_timezone})" if clock_of(raw) == "local" else clock_of(raw)
    if raw.offset_ms is None:
        settled = settle(wall, rules_for(clock_of(raw), site_timezone, wall, file=raw.name), file=raw.name)
        return settled.utc_ms, clock, settled.doubts
    offset = raw.offset_ms[kept][rows]
    bare = offset == NO_OFFSET
    doubts: tuple[str, ...] = ()
    utc = wall.copy()
    if bare.any():
        settled = settle(wall[bare], rules_for(clock_of(raw), site_timezone, wall[bare], file=raw.name), file=raw.name)
        utc[bare], doubts = settled.utc_ms, settled.doubts
    utc[~bare] = wall[~bare] - offset[~bare]
    return utc, f"{clock_of(raw)}, and offsets in the file" if bare.any() else "offsets in the file", doubts


def _wall_ms(raw: RawFile, order: Order) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.bool_] | slice]:
    if raw.stamps.way in (Way.COUNT, Way.SERIAL):
        days = raw.date.astype(np.int64)
        kept: npt.NDArray[np.bool_] | slice = slice(None)
    else:
        numbers = [day_number(d, order) for d in raw.stamps.dates]
        table = np.array([_IMPOSSIBLE if n is None else n for n in numbers] or [_IMPOSSIBLE], np.int64)
        days = table[raw.date]
        possible = (days != _IMPOSSIBLE) & ~_doubled_midnights(days, raw.clock_ms)
        kept = slice(None) if possible.all() else possible
    wall: npt.NDArray[np.int64] = days[kept] * DAY_MS
    wall += np.maximum(raw.clock_ms[kept], 0)
    return wall, kept


def _doubled_midnights(days: npt.NDArray[np.int64], clock_ms: npt.NDArray[np.int32]) -> npt.NDArray[np.bool_]:
    """Rows with a bare date, where that cannot be the export's way to write midnight: midnight stands there already."""
    bare: npt.NDArray[np.bool_] = clock_ms == BARE_DATE
    if not bare.any():
        return bare
    midnights = np.concatenate([days[clock_ms == 0], days[clock_ms == DAY_MS] + 1])
    doubled = len(np.unique(days[bare])) < np.count_nonzero(bare) or np.isin(days[bare], midnights).any()
    result: npt.NDArray[np.bool_] = bare if doubled else np.zeros(len(days), bool)
    return result


def _figures(raw: RawFile, order: Order, clock: str, rows_run: str) -> FileRead:
    way = raw.stamps.way
    forms = {
        Way.COUNT: _count_name(raw.stamps.power),
        Way.SERIAL: "spreadsheet day number",
        Way.FORMAT: raw.stamps.strptime,
    }
    form = forms.get(way) or raw.columns.time.header or format_of(raw.stamps.example, order)
    units = {m.column.spec.channel: (m.unit.name if m.unit else "in each cell") for m in raw.measures}
    return FileRead(
        file=raw.name, sha256=raw.source.sha256, rows=raw.rows, refused=sum(raw.refusals.count.values()),
        encoding=raw.source.encoding_name, separator=raw.shape.separator_name, decimal=raw.shape.decimal,
        header_line=raw.shape.header_lines[-1] if raw.shape.header_lines else None,
        time_format=form, clock=clock, order=rows_run, units=units,
        refusals=dict(raw.refusals.count), first_refused=dict(raw.refusals.first),
        layout=WIDE if raw.columns.long is None else raw.columns.long.words, unread=raw.columns.unread,
    )  # fmt: skip


def _count_name(power: int) -> str:
    return {3: "seconds", 0: "milliseconds", -3: "microseconds", -6: "nanoseconds"}[power] + " since 1970"
