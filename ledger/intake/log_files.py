"""Log files of any make to readings: each file's shape, stamps and units settled from the file or asked for."""

from __future__ import annotations

import difflib
import glob
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import numpy.typing as npt

from ledger.errors import Complaint, LogError, Notice, Place
from ledger.intake.log_file import Progress, RawFile, read_file, take_by_the_minute
from ledger.intake.log_held import Room
from ledger.intake.log_instants import Dated, dated, settle_orders
from ledger.intake.log_notices import file_notices
from ledger.intake.log_sanity import complaints_about
from ledger.intake.log_strewn import strewn_dates
from ledger.model.logs import LogSpec
from ledger.series.readings import FileRead, Mask, Readings, Table, Trace

Places = npt.NDArray[np.int64]


def read_logs(
    specs: Sequence[LogSpec], *, folder: Path, site_timezone: str, progress: Progress | None = None
) -> Readings:
    """Read all log files of a ledger.

    Parameters
    ----------
    specs : the `[[log]]` sections (or the climate record as one section).
    folder : the ledger file's folder, from which patterns start.
    site_timezone : IANA name of the site's zone.
    progress : told from time to time how many rows are read.

    Returns
    -------
    Readings : rows in held units with instants, how each file was read, what was doubtful.

    Raises
    ------
    LogError : everything that is missing, cannot be read or must be asked for, in one go.
    """
    complaints: list[Complaint] = []
    tables: list[Table] = []
    files: list[FileRead] = []
    notices: list[Notice] = []
    room = Room()
    for section, spec in enumerate(specs):
        try:
            raws = _read_section(spec, folder, room, progress)
            settled = settle_orders(raws, spec)
            dated_files = [dated(raw, order, site_timezone) for raw, order in zip(raws, settled, strict=True)]
            pairs = zip(raws, dated_files, strict=True)
            wrong = [complaint for raw, made in pairs for complaint in complaints_about(raw, made.utc_ms)]
            if wrong:
                raise LogError(wrong)
        except LogError as error:
            complaints.extend(error.complaints)
            if room.full:
                break
            continue
        for raw, made in zip(raws, dated_files, strict=True):
            notices.extend(file_notices(raw, made, path=f"log[{section}]"))
        tables.extend(_tables(section, spec, raws, dated_files, first_file=len(files)))
        files.extend(made.read for made in dated_files)
    strewn = strewn_dates(tables, files)
    if strewn is not None:
        complaints.append(strewn)
    if complaints:
        raise LogError(complaints)
    return Readings(tuple(tables), tuple(files), tuple(notices))


def _read_section(spec: LogSpec, folder: Path, room: Room, progress: Progress | None) -> list[RawFile]:
    """The files of one section; if one was taken minute by minute, so are its sisters, to be judged as one series."""
    raws: list[RawFile] = []
    complaints: list[Complaint] = []
    for path in matching_files(spec, folder):
        try:
            raws.append(read_file(path, spec, room=room, progress=progress))
        except LogError as error:
            complaints.extend(error.complaints)
            if room.full:
                break
    if complaints:
        raise LogError(complaints)
    if any(raw.stands_for is not None for raw in raws):
        for raw in raws:
            if raw.stands_for is None:
                take_by_the_minute(raw, room=room)
    return raws


def matching_files(spec: LogSpec, folder: Path) -> list[Path]:
    """Files that a section's pattern means, by name.

    Raises
    ------
    LogError : none; the pattern and the files that lie near are named.
    """
    plain = folder / spec.file
    pattern = spec.file if Path(spec.file).is_absolute() else str(Path(glob.escape(str(folder))) / spec.file)
    found = [plain] if plain.is_file() else [Path(p) for p in glob.glob(pattern)]
    paths = sorted({p.resolve(): p for p in found if p.is_file()}.values(), key=lambda p: str(p))
    if paths:
        return paths
    near = _near(plain)
    mend = f"files that lie near: {', '.join(near)}" if near else "no data file lies in that folder; check the path"
    place = Place(file="ledger", line=spec.line, entry="log.file")
    raise LogError([Complaint(f'no file fits "{spec.file}"', place, mend)])


def _near(wanted: Path) -> list[str]:
    """Names of data files near a missing one, the likest first."""
    folder = wanted.parent
    while not folder.is_dir() and folder != folder.parent:
        folder = folder.parent
    try:
        names = sorted(
            p.name for p in folder.iterdir() if p.suffix.casefold() in (".csv", ".txt", ".tsv", ".dat", ".log")
        )
    except OSError:
        return []
    likest = difflib.get_close_matches(wanted.name, names, n=3, cutoff=0.4)
    return [*likest, *(name for name in names if name not in likest)][:6]


def _tables(
    section: int, spec: LogSpec, raws: Sequence[RawFile], dated_files: Sequence[Dated], *, first_file: int
) -> list[Table]:
    """Join like files: same channels, measures and units, so that their readings can be judged as one series."""
    groups: dict[tuple[object, ...], list[int]] = {}
    for i, raw in enumerate(raws):
        key = tuple((m.column.spec.channel, m.kind, m.unit, m.column.header) for m in raw.measures)
        groups.setdefault((key, raw.columns.long is None), []).append(i)
    tables: list[Table] = []
    for members in groups.values():
        if raws[members[0]].columns.long is not None:
            tables.extend(_long_tables(section, spec, raws, dated_files, members, first_file=first_file))
            continue
        measures = raws[members[0]].measures
        traces = []
        for place, measure in enumerate(measures):
            parts = [raws[i].values[place][dated_files[i].kept] for i in members]
            values = parts[0] if len(parts) == 1 else np.concatenate(parts)
            spec_channel = measure.column.spec
            zero = measure.held_number(0.0)
            traces.append(Trace(spec_channel.channel, measure.kind, values, zero, spec_channel.power_w))
        stamps = np.concatenate([dated_files[i].utc_ms for i in members])
        numbers = np.concatenate([np.full(len(dated_files[i].utc_ms), first_file + i, np.int32) for i in members])
        for i in members:
            raws[i].values = ()
        table = Table(section, stamps, numbers, tuple(traces), spec.stamp, spec.exclude)
        rows = [dated_files[i].kept for i in members]
        tables.append(_by_the_minute(table, [raws[i] for i in members], rows, place=0))
    return tables


def _long_tables(
    section: int, spec: LogSpec, raws: Sequence[RawFile], dated_files: Sequence[Dated], members: Sequence[int], *,
    first_file: int,
) -> list[Table]:  # fmt: skip
    """Where lines name their sensors: a table for each sensor, with the rows that are its own."""
    tables: list[Table] = []
    for place, measure in enumerate(raws[members[0]].measures):
        channel = measure.column.spec
        columns = [raws[i].values[place][dated_files[i].kept] for i in members]
        own = [np.flatnonzero(~np.isnan(values)) for values in columns]
        values = np.concatenate([v[rows] for v, rows in zip(columns, own, strict=True)])
        stamps = np.concatenate([dated_files[i].utc_ms[rows] for i, rows in zip(members, own, strict=True)])
        numbers = [np.full(len(rows), first_file + i, np.int32) for i, rows in zip(members, own, strict=True)]
        trace = Trace(channel.channel, measure.kind, values, measure.held_number(0.0), channel.power_w)
        table = Table(section, stamps, np.concatenate(numbers), (trace,), spec.stamp, spec.exclude)
        places = [_places(dated_files[i].kept, rows) for i, rows in zip(members, own, strict=True)]
        tables.append(_by_the_minute(table, [raws[i] for i in members], places, place=place))
    for i in members:
        raws[i].values = ()
    return tables


def _places(kept: Mask | slice, rows: Places) -> Places:
    """Places in the file of some of its kept rows."""
    return rows if isinstance(kept, slice) else np.flatnonzero(kept)[rows]


def _by_the_minute(
    table: Table, raws: Sequence[RawFile], rows: Sequence[Places | Mask | slice], *, place: int
) -> Table:
    """The table with how many rows of its files each of its rows stands for, where they were taken minute by minute.

    Parameters
    ----------
    table : as it is else.
    raws : its files.
    rows : which of each file's rows stand in the table.
    place : of a channel of the table among those of the files.
    """
    if all(raw.stands_for is None for raw in raws):
        return table
    counts = []
    for raw, own in zip(raws, rows, strict=True):
        whole = np.ones(len(raw.date), np.int32) if raw.stands_for is None else raw.stands_for
        counts.append(whole[own])
    stands_for = np.concatenate(counts)
    if (stands_for == 1).all():
        return table
    longest = max((raw for raw in raws if raw.intervals_ms), key=lambda raw: raw.rows)
    return replace(table, stands_for=stands_for, interval_ms=longest.intervals_ms[place])
