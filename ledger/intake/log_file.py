"""One log file: its shape settled from a sample, then its rows read block by block."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import chain
from pathlib import Path

import numpy as np
import numpy.typing as npt
import polars as pl

from ledger.errors import LogError
from ledger.intake.log_bytes import Source, unquoted
from ledger.intake.log_cells import NumberReader
from ledger.intake.log_columns import Columns, settle_columns
from ledger.intake.log_dense import Channel, Folding
from ledger.intake.log_held import Held, Room
from ledger.intake.log_long import Sensors
from ledger.intake.log_measure import Measure, settle_measures
from ledger.intake.log_parts import joined
from ledger.intake.log_refused import Refusals
from ledger.intake.log_rows import Part
from ledger.intake.log_settle import settle_shape
from ledger.intake.log_shape import Shape, cut_line
from ledger.intake.log_stampstyle import stamp_reader
from ledger.intake.log_time import NO_CODE, StampReader
from ledger.intake.log_trouble import log_error
from ledger.model.logs import LogSpec, Stamp

Progress = Callable[[str], None]
_SAMPLE_BYTES = 2 << 20


@dataclass(slots=True)
class RawFile:
    """A file's rows before their dates are put in order.

    Attributes
    ----------
    spec : the section it was read for.
    shape, columns, stamps : how it was read.
    date, clock_ms, offset_ms : stamps of the kept rows, by code, [ms], [ms] or None.
    values : for each channel, in the unit its kind is held in.
    rows : lines below the header that are not blank.
    lines : for each block how many rows it gave and their line numbers (the first only, where none is left out).
    stands_for : how many rows of the file each kept row stands for; None: for itself.
    intervals_ms : by channel the usual distance of the rows that were taken minute by minute; empty: none were. [ms]
    """

    name: str
    spec: LogSpec
    source: Source
    shape: Shape
    columns: Columns
    stamps: StampReader
    measures: tuple[Measure, ...]
    refusals: Refusals
    rows: int = 0
    date: npt.NDArray[np.int32] = field(default_factory=lambda: np.empty(0, np.int32))
    clock_ms: npt.NDArray[np.int32] = field(default_factory=lambda: np.empty(0, np.int32))
    offset_ms: npt.NDArray[np.int32] | None = None
    values: tuple[npt.NDArray[np.float64], ...] = ()
    lines: list[tuple[int, npt.NDArray[np.int64]]] = field(default_factory=list)
    stands_for: npt.NDArray[np.int32] | None = None
    intervals_ms: tuple[float, ...] = ()

    def line_of(self, row: int) -> int | None:
        """Line number of a kept row, from 1."""
        for count, lines in self.lines:
            if row < count:
                return int(lines[0]) + row if len(lines) == 1 else int(lines[row])
            row -= count
        return None

    @property
    def width(self) -> int:
        """Columns to cut a line into: two more than are known, so that long lines show."""
        time, long = self.columns.time, self.columns.long
        places = [time.first, time.second or 0, *(() if time.parts is None else time.parts.places)]
        places += [c.place for c in self.columns.channels] + list(() if long is None else long.places)
        used = [place + 1 for place in places]
        return max([self.shape.columns, *(len(cells) for cells in self.shape.headers), *used]) + 2

    @property
    def key(self) -> tuple[object, ...]:
        """What files must share to be held for files of one make: headers, separator, form of the stamps."""
        places = tuple((c.place, c.header) for c in self.columns.channels)
        return (self.shape.separator, self.shape.columns, places, self.columns.time, self.columns.long, self.stamps.way)


def read_file(path: Path, spec: LogSpec, *, room: Room, progress: Progress | None = None) -> RawFile:
    """Read one file.

    Parameters
    ----------
    path, spec : the file and its section.
    room : for how many rows there is room; what the file takes is added.
    progress : told after each block how many rows are read.

    Raises
    ------
    LogError : what the file cannot prove, or what cannot be read, with line and mend.
    """
    no_workbook(path)
    source = Source(path, encoding=spec.encoding)
    blocks = _guarded(source.blocks(), source)
    first = next(blocks, b"")
    lines = first[:_SAMPLE_BYTES].decode("utf-8", "replace").split("\n")
    shape = settle_shape(lines, spec, file=path.name)
    columns = settle_columns(spec, shape, file=path.name)
    measures = settle_measures(columns, shape, file=path.name)
    stamps = stamp_reader(columns.time, shape, spec)
    raw = RawFile(path.name, spec, source, shape, columns, stamps, measures, Refusals(path.name, shape, columns))
    parts = _Parts(raw, room)
    line = 0
    for block in chain([first], blocks):
        line += parts.add(block, line)
        if progress is not None:
            progress(f"{path.name}: {raw.rows} rows")
    parts.close()
    room.taken += len(raw.date)
    return raw


def take_by_the_minute(raw: RawFile, *, room: Room) -> None:
    """Take the rows of a file that was read before minute by minute, if they stand closer: its sisters' are so."""
    held = Held(_folding(raw), room, file=raw.name)
    line = np.concatenate([Part.numbered(count, lines) for count, lines in raw.lines])
    held.parts.append(Part(raw.date, raw.clock_ms, raw.offset_ms, list(raw.values), line))
    room.taken -= len(raw.date)
    held.by_the_minute()
    _keep_all(raw, held)
    room.taken += len(raw.date)


def _folding(raw: RawFile) -> Folding:
    channels = tuple(Channel(m.column.spec.channel, m.kind) for m in raw.measures)
    return Folding(channels, raw.columns.long is not None, raw.spec.stamp is Stamp.END)


def _keep_all(raw: RawFile, held: Held) -> None:
    whole, raw.lines = held.close()
    raw.date, raw.clock_ms, raw.offset_ms, raw.values = whole.date, whole.clock_ms, whole.offset_ms, tuple(whole.values)
    raw.stands_for = whole.stands_for
    raw.intervals_ms = held.folding.intervals_ms if whole.stands_for is not None else ()


def no_workbook(path: Path) -> None:
    """Refuse spreadsheets and archives by their first bytes: they hold no lines of text.

    Raises
    ------
    LogError : the file is one.
    """
    try:
        with path.open("rb") as handle:
            head = handle.read(4)
    except OSError:
        return
    if head in (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"%PDF") or head.startswith(b"\x1f\x8b"):
        raise log_error(
            "this is a spreadsheet or packed file, not text", file=path.name,
            mend="save the sheet as CSV, or unpack the file, and name that in the ledger",
        )  # fmt: skip


def _guarded(blocks: Iterator[bytes], source: Source) -> Iterator[bytes]:
    """Blocks, with the troubles of the disk and of a wrong encoding turned into complaints."""
    name = source.path.name
    try:
        yield from blocks
    except (LookupError, UnicodeError):
        raise log_error(
            f'the file cannot be read as encoding "{source.encoding}"',
            file=name,
            mend='write encoding = "utf-8" or "cp1252"',
        ) from None
    except OSError as error:
        raise log_error(
            f"the file cannot be read: {error.strerror or error}", file=name, mend="check its rights"
        ) from None


class _Parts:
    """Gathers the kept rows of a file's blocks."""

    def __init__(self, raw: RawFile, room: Room) -> None:
        self.raw = raw
        self.held = Held(_folding(raw), room, file=raw.name)
        self.numbers = [NumberReader(raw.shape.decimal) for _ in raw.columns.channels]
        self.sensors = Sensors.of(raw.columns.channels)

    def add(self, block: bytes, lines_before: int) -> int:
        """Read a block of lines; returns how many lines it held."""
        raw = self.raw
        count = block.count(b"\n") + (not block.endswith(b"\n") and bool(block))
        frame = _frame(block, raw.shape, raw.width)
        skip = max(0, raw.shape.first_data_line - 1 - lines_before)
        line = np.arange(lines_before + 1, lines_before + 1 + len(frame))
        frame, line = frame[skip:], line[skip:]
        filled = ~frame.select(pl.all_horizontal(pl.all().is_null())).to_series().to_numpy()
        if not filled.all():
            frame, line = frame.filter(pl.Series(filled)), line[filled]
        raw.rows += len(frame)
        if len(frame):
            self._keep(frame, line)
        return count

    def _keep(self, frame: pl.DataFrame, line: npt.NDArray[np.int64]) -> None:
        raw = self.raw
        time = raw.columns.time
        if time.parts is not None:
            stamps = raw.stamps.read(*joined(frame, time.parts))
        else:
            second = None if time.second is None else frame.to_series(time.second)
            stamps = raw.stamps.read(frame.to_series(time.first), second)
        good = stamps.date != NO_CODE
        raw.refusals.no_stamp(frame, line, ~good)
        wide = _too_wide(frame, raw.shape.columns) & good
        raw.refusals.too_wide(frame, line, wide)
        good &= ~wide
        values, ours = self._values(frame)
        read = ~np.isnan(values).all(axis=0)
        raw.refusals.other_sensor(frame, line, good & ~ours)
        raw.refusals.no_reading(frame, line, good & ~read & ours)
        keep = good & read
        kept = line[keep]
        whole = len(kept) and kept[-1] - kept[0] == len(kept) - 1
        offset = None if stamps.offset_ms is None else stamps.offset_ms[keep]
        lines = kept[:1] if whole else kept
        self.held.add(Part(stamps.date[keep], stamps.clock_ms[keep], offset, [v[keep] for v in values], lines))

    def _values(self, frame: pl.DataFrame) -> tuple[list[npt.NDArray[np.float64]], npt.NDArray[np.bool_]]:
        """Each channel's values over a block's rows, and which rows are of any: all, unless rows name sensors."""
        raw, long = self.raw, self.raw.columns.long
        columns = list(zip(self.numbers, raw.columns.channels, raw.measures, strict=True))
        if long is None:
            wide = [m.held(*reader.read(frame.to_series(c.place))) for reader, c, m in columns]
            return wide, np.ones(len(frame), bool)
        masks = self.sensors.of_block(frame.to_series(long.sensor))
        values = [np.full(len(frame), np.nan) for _ in columns]
        for (reader, _, measure), mask, held in zip(columns, masks, values, strict=True):
            rows = frame.filter(mask)
            numbers, own = reader.read(rows.to_series(long.value))
            if long.unit is not None:
                own = rows.to_series(long.unit).fill_null("")
            held[mask.to_numpy()] = measure.held(numbers, own)
        return values, np.logical_or.reduce([mask.to_numpy() for mask in masks])

    def close(self) -> None:
        """Join the blocks and see whether the file was understood at all."""
        raw = self.raw
        _keep_all(raw, self.held)
        if raw.columns.long is not None:
            missing = self.sensors.missing(raw.columns.channels, file=raw.name, line=raw.shape.first_data_line)
            if missing:
                raise LogError(missing)
        raw.refusals.judge(raw.rows, self.numbers, self.sensors.lines if raw.columns.long is not None else None)


def _frame(block: bytes, shape: Shape, width: int) -> pl.DataFrame:
    """Lines to columns of text: one line one row."""
    separator = shape.separator
    if shape.cuts:
        text = block.decode("utf-8", "replace").split("\n")
        block = "\n".join(
            "\t".join(part.strip() for part in cut_line(t, shape.cuts)) if t else t for t in text
        ).encode()
    elif separator == " ":
        block = b"\n".join(b" ".join(t.split()) for t in block.split(b"\n"))
    elif b'"' in block:
        block = unquoted(block, separator)
    guide = separator.join(["x"] * width).encode() + b"\n"
    frame = pl.read_csv(
        guide + block, has_header=False, infer_schema=False, separator=separator, quote_char=None,
        truncate_ragged_lines=True, encoding="utf8-lossy",
    )[1:]  # fmt: skip
    padded = b" " in block[:4000] and (
        separator.encode() + b" " in block[:4000] or b" " + separator.encode() in block[:4000]
    )
    if padded or block.startswith(b" "):
        frame = frame.with_columns(pl.all().str.strip_chars())
    return frame


def _too_wide(frame: pl.DataFrame, columns: int) -> npt.NDArray[np.bool_]:
    """Rows with a number behind their last column; a note there ("battery low") is none of the cells."""
    extra = frame.select(
        pl.any_horizontal(pl.nth(range(columns, frame.width)).str.contains(r"\d").fill_null(value=False))
    )
    result: npt.NDArray[np.bool_] = extra.to_series().to_numpy()
    return result
