"""Which column is which: names of the ledger against headers of the file, the time column, the units."""

from __future__ import annotations

import difflib
import re
from collections import Counter
from dataclasses import dataclass, replace

from ledger.errors import Complaint, LogError
from ledger.intake.log_shape import Shape, is_unit_row
from ledger.intake.log_sightings import Sight, is_serial
from ledger.intake.log_trouble import listed, log_error, trouble
from ledger.intake.log_units import LogUnit, folded, unit_named, units_in, without_unit
from ledger.intake.log_words import TIME_WORDS, plain
from ledger.model.logs import ChannelSpec, LogSpec


@dataclass(frozen=True, slots=True)
class TimeColumns:
    """Where time stands: one column, or date and clock apart; `seen` is what the (first) column's cells look like;
    `clock` is what their header says of the zone ("UTC", "UTC-07:00"), None where it says nothing."""

    first: int
    second: int | None
    seen: Sight
    clock: str | None = None


@dataclass(frozen=True, slots=True)
class Column:
    """One channel's column: its place, its header, the units its headers name."""

    spec: ChannelSpec
    place: int
    header: str
    units: tuple[LogUnit, ...]


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns that are read."""

    time: TimeColumns
    channels: tuple[Column, ...]


class Headers:
    """The labels of each column: every header line's cell, and the cells joined from top to bottom."""

    def __init__(self, shape: Shape) -> None:
        """Gather the labels of a file of that shape."""
        self.count = max([shape.columns, *(len(cells) for cells in shape.headers)])
        self.named = [cells for cells in shape.headers if not is_unit_row(cells)]
        self._all = shape.headers
        self.bare = not self.named

    def labels(self, place: int) -> list[str]:
        """Labels of a column, likeliest first."""
        cells = [line[place] for line in self.named if place < len(line) and line[place]]
        joined = " ".join(cells)
        return list(dict.fromkeys([*reversed(cells), joined])) if cells else []

    def main(self, place: int) -> str:
        """The label shown for a column."""
        return next(iter(self.labels(place)), str(place + 1))

    def units(self, place: int) -> tuple[LogUnit, ...]:
        """Units that the header lines name for a column: a line of units first, then the headers."""
        for line in reversed(self._all):
            if place < len(line) and (unit := unit_named(line[place])):
                return (unit,)
        found: list[LogUnit] = []
        for label in self.labels(place):
            found.extend(unit for unit in units_in(label) if unit not in found)
        return tuple(found)

    def all_main(self) -> list[str]:
        """The shown label of every column."""
        return [self.main(place) for place in range(self.count)]

    def matches(self, wanted: str) -> list[int]:
        """Places of the columns that a name of the ledger means, by the strictest comparison that finds any."""
        numbered = re.fullmatch(r"(.*?)\s*#\s*(\d+)", wanted.strip())
        if numbered and numbered[1]:
            like = self.matches(numbered[1])
            nth = int(numbered[2])
            return [like[nth - 1]] if 1 <= nth <= len(like) else []
        bare = without_unit(wanted)
        tests = (
            lambda label: label == wanted.strip(),
            lambda label: folded(label) == folded(wanted),
            lambda label: folded(without_unit(label)) == folded(bare) and _units_agree(label, wanted),
        )
        for test in tests:
            found = [p for p in range(self.count) if any(test(label) for label in self.labels(p))]
            if found and folded(wanted):
                return found
        place = re.fullmatch(r"#?\s*(\d+)", wanted.strip())
        return [int(place[1]) - 1] if place and 1 <= int(place[1]) <= self.count else []


def _units_agree(label: str, wanted: str) -> bool:
    ours, theirs = units_in(wanted), units_in(label)
    return not ours or not theirs or bool(set(ours) & set(theirs))


def settle_columns(spec: LogSpec, shape: Shape, *, file: str) -> Columns:
    """Find the time column and the column of every channel.

    Raises
    ------
    LogError : a column that is not there, or a name that several columns bear; all of them in one go.
    """
    headers = Headers(shape)
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
            complaints.append(_unmatched(channel.column, found, headers, file=file, line=line, entry=entry))
    time: TimeColumns | None = None
    try:
        time = _time_columns(spec, shape, headers, file=file)
    except LogError as error:
        complaints.extend(error.complaints)
    if complaints or time is None:
        raise LogError(complaints)
    labels = headers.labels(time.first) + ([] if time.second is None else headers.labels(time.second))
    return Columns(replace(time, clock=clock_in(" ".join(labels))), tuple(channels))


def clock_in(header: str) -> str | None:
    """The clock that a time column's header names: "Time (UTC)", "Date Time, GMT+01:00"; None: none."""
    found = re.search(
        r"(?<![^\W_])(?:UTC|GMT)\s*(?:([+\-−])\s*(\d{1,2})(?::?(\d{2}))?)?(?![^\W_])", header, re.IGNORECASE
    )
    if not found:
        return None
    if not found[1]:
        return "UTC"
    return f"UTC{'+' if found[1] == '+' else '-'}{int(found[2]):02d}:{found[3] or '00'}"


def _unmatched(
    wanted: str, found: list[int], headers: Headers, *, file: str, line: int | None, entry: str
) -> Complaint:
    close = " }" if entry.endswith("column = ") else ""
    if found:
        names = [headers.main(place) for place in found]
        if len(set(names)) < len(names):
            names = [f"{wanted}#{n}" for n in range(1, len(found) + 1)]
        options = " or ".join(f'{entry}"{name}"{close}' for name in names[:4])
        return trouble(
            f'{len(found)} columns are headed "{wanted}" (from the left: {", ".join(str(p + 1) for p in found)})',
            file=file, line=line, mend=f"say which one: {options}",
        )  # fmt: skip
    names = [name for name in headers.all_main() if name]
    if headers.bare:
        return trouble(
            f'the file has no header line, so no column is called "{wanted}"',
            file=file, line=line, mend=f'give the column\'s number from the left: {entry}"2"{close}',
        )  # fmt: skip
    near = difflib.get_close_matches(folded(wanted), [folded(name) for name in names], n=1, cutoff=0.5)
    best = next((name for name in names if near and folded(name) == near[0]), None)
    hint = f'write {entry}"{best}"{close}; ' if best else ""
    return trouble(
        f'no column is called "{wanted}"', file=file, line=line, mend=f"{hint}the columns are {listed(names)}"
    )


def _seen(shape: Shape) -> list[Counter[Sight]]:
    """For each column, how often its sample cells look like what; cells that hold nothing are left out."""
    counts: list[Counter[Sight]] = [Counter() for _ in range(max(len(row) for row in shape.sample))]
    for row in shape.sample:
        for place, cell in enumerate(row):
            looks = shape.look(cell)
            if looks is not Sight.NOTHING:
                counts[place][looks] += 1
    return counts


def _mostly(counts: Counter[Sight]) -> Sight | None:
    """What at least four fifths of a column's cells look like."""
    total = sum(counts.values())
    looks, most = counts.most_common(1)[0] if counts else (None, 0)
    return looks if total and most >= 0.8 * total else None


def _time_columns(spec: LogSpec, shape: Shape, headers: Headers, *, file: str) -> TimeColumns:
    mostly = [_mostly(counts) for counts in _seen(shape)]
    line = shape.header_lines[-1] if shape.header_lines else None
    if spec.time is None:
        taken = {p for c in spec.channels for p in headers.matches(c.column)}
        return _obvious_time(mostly, shape, headers, taken=taken, file=file)
    names = [spec.time]
    if not headers.matches(spec.time) and re.search(r"\s*[+&]\s*|\s*,\s*", spec.time):
        names = [part for part in re.split(r"\s*[+&]\s*|\s*,\s*", spec.time) if part]
    places: list[int] = []
    for name in names[:2]:
        found = headers.matches(name)
        if len(found) != 1:
            raise LogError([_unmatched(name, found, headers, file=file, line=line, entry="time = ")])
        places.append(found[0])
    if len(places) == 2:
        return TimeColumns(places[0], places[1], Sight.DATE)
    return _named_time(places[0], mostly, shape, headers, file=file, custom=spec.time_format is not None)


def _named_time(
    place: int, mostly: list[Sight | None], shape: Shape, headers: Headers, *, file: str, custom: bool
) -> TimeColumns:
    looks = mostly[place] if place < len(mostly) else None
    clocks = [p for p, s in enumerate(mostly) if s is Sight.CLOCK]
    dates = [p for p, s in enumerate(mostly) if s is Sight.DATE]
    if looks is Sight.DATE and len(clocks) == 1:
        return TimeColumns(place, clocks[0], Sight.DATE)
    if looks is Sight.CLOCK and len(dates) == 1:
        return TimeColumns(dates[0], place, Sight.DATE)
    if looks is Sight.DATE and len(clocks) > 1:
        names = [headers.main(p) for p in clocks]
        raise log_error(
            f'"{headers.main(place)}" holds dates only, and {len(clocks)} columns hold clocks: {listed(names)}',
            file=file, line=shape.first_data_line, mend=f'name both: time = "{headers.main(place)} + {names[0]}"',
        )  # fmt: skip
    if looks in (Sight.STAMP, Sight.DATE, Sight.COUNT) or custom:
        return TimeColumns(place, None, looks or Sight.STAMP)
    cells = [row[place] for row in shape.sample if place < len(row) and row[place]]
    if looks in (Sight.NUMBER, Sight.DAYS) and sum(map(is_serial, cells)) >= 0.8 * len(cells):
        return TimeColumns(place, None, Sight.DAYS)
    raise log_error(
        f'the time column "{headers.main(place)}" holds no time stamps, but for instance "{cells[0] if cells else ""}"',
        file=file, line=shape.first_data_line,
        mend='name another column with time = "...", or give the stamps\' form with time_format = "%d/%m/%Y %H:%M"',
    )  # fmt: skip


def _obvious_time(
    mostly: list[Sight | None], shape: Shape, headers: Headers, *, taken: set[int], file: str
) -> TimeColumns:
    """The one column of stamps, else date and clock, else counts, else dates, else day numbers under a time header."""

    def of(looks: Sight) -> list[int]:
        return [p for p, s in enumerate(mostly) if s is looks and p not in taken]

    stamps, dates, clocks, counts = of(Sight.STAMP), of(Sight.DATE), of(Sight.CLOCK), of(Sight.COUNT)
    if len(dates) == 1 and len(clocks) == 1 and not stamps:
        return TimeColumns(dates[0], clocks[0], Sight.DATE)
    for found, looks in ((stamps, Sight.STAMP), (counts, Sight.COUNT), (dates, Sight.DATE)):
        if len(found) == 1 and not (looks is Sight.DATE and clocks):
            return TimeColumns(found[0], None, looks)
        if found:
            names = [headers.main(p) for p in [*found, *(clocks if looks is Sight.DATE else [])]]
            raise log_error(
                f"several columns hold time: {listed(names)}", file=file, line=shape.first_data_line,
                mend=f'say which one is meant: time = "{names[0]}"',
            )  # fmt: skip
    for place in [*of(Sight.DAYS), *of(Sight.NUMBER)]:
        cells = [row[place] for row in shape.sample if place < len(row) and row[place]]
        words = set(re.split(r"\W+|_", plain(headers.main(place))))
        if words & TIME_WORDS and cells and all(map(is_serial, cells)):
            return TimeColumns(place, None, Sight.DAYS)
    raise log_error(
        "no column holds time stamps that can be read", file=file, line=shape.first_data_line,
        mend='name the column with time = "...", and the stamps\' form with time_format = "%d/%m/%Y %H:%M"',
    )  # fmt: skip
