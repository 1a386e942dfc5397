"""Files in which each line holds one reading and names its sensor: "2026-01-05 00:10, inside, 3.4"."""

from __future__ import annotations

import difflib
from collections.abc import Sequence
from dataclasses import dataclass, field

import polars as pl

from ledger.errors import Complaint, LogError
from ledger.intake.log_labels import Column, Headers, unmatched
from ledger.intake.log_shape import Shape
from ledger.intake.log_sightings import Sight
from ledger.intake.log_trouble import listed, log_error, trouble
from ledger.intake.log_units import folded, other_unit, unit_named, units_in
from ledger.intake.log_words import is_missing
from ledger.model.logs import LogSpec

_MOST = 0.8
_MOST_NAMES = 60


@dataclass(frozen=True, slots=True)
class Long:
    """Places of the sensor's name, of the value and (None: there is none) of its unit, and the first two's headers."""

    sensor: int
    value: int
    unit: int | None
    sensor_header: str
    value_header: str

    @property
    def places(self) -> tuple[int, ...]:
        """All of them."""
        return (self.sensor, self.value, *(() if self.unit is None else (self.unit,)))

    @property
    def words(self) -> str:
        """How it is reported."""
        return f'one reading a line: sensor in "{self.sensor_header}", value in "{self.value_header}"'

    def channels(self, spec: LogSpec, headers: Headers) -> tuple[Column, ...]:
        """The channels, all in the column of the values; units by the sensor's name, else by that column's header."""
        of_value = headers.units(self.value)
        return tuple(Column(c, self.value, c.column, units_in(c.column) or of_value) for c in spec.channels)

    def sample(self, column: Column, shape: Shape) -> list[tuple[str, str]]:
        """Values with their units ("" where the file has no such column) of one sensor's lines in the sample."""
        wanted = folded(column.spec.column)
        rows = [row for row in shape.sample if max(self.places) < len(row) and folded(row[self.sensor]) == wanted]
        return [(row[self.value], "" if self.unit is None else row[self.unit]) for row in rows]


@dataclass(slots=True)
class Sensors:
    """Which lines of a block are whose, by the sensor's name; case, blanks and punctuation do not matter."""

    names: tuple[str, ...]
    lines: list[int]
    seen: dict[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, channels: Sequence[Column]) -> Sensors:
        """The sensors of some channels, none seen yet."""
        return cls(tuple(folded(c.spec.column) for c in channels), [0] * len(channels))

    def of_block(self, texts: pl.Series) -> list[pl.Series]:
        """For each channel which lines are its own."""
        different = [text for text in texts.unique().to_list() if text is not None]
        fold = {text: self.seen.get(text) or folded(text) for text in different}
        if len(self.seen) < _MOST_NAMES:
            self.seen.update(fold)
        masks = []
        for number, name in enumerate(self.names):
            like = [text for text, bare in fold.items() if bare == name]
            mask = texts.is_in(like).fill_null(value=False) if like else pl.repeat(False, len(texts), eager=True)
            self.lines[number] += int(mask.sum())
            masks.append(mask)
        return masks

    def missing(self, channels: Sequence[Column], *, file: str, line: int) -> list[Complaint]:
        """Complaints about sensors that no line names."""
        names = sorted(self.seen)
        found = []
        for column, lines in zip(channels, self.lines, strict=True):
            if not lines:
                near = difflib.get_close_matches(column.spec.column, names, n=1, cutoff=0.5)
                hint = f'write {column.spec.channel} = {{ column = "{near[0]}" }}; ' if near else ""
                what = f'no line names the sensor "{column.spec.column}"'
                found.append(trouble(what, file=file, line=line, mend=f"{hint}the sensors are {listed(names)}"))
        return found


def settle_long(spec: LogSpec, shape: Shape, headers: Headers, *, file: str) -> Long | None:
    """Find out whether each line holds one reading: the ledger says so, or a column holds the names it seeks.

    Raises
    ------
    LogError : a stated column is not there, no column of values can be told, or one sensor is named twice.
    """
    line = shape.header_lines[-1] if shape.header_lines else shape.first_data_line
    sensor = _stated(spec.sensor, "sensor = ", headers, file=file, line=line)
    if sensor is None:
        sensor = _obvious_sensor(spec, shape, headers)
    if sensor is None:
        if spec.value is not None:
            what = "value names a column, but nothing says which column names the sensor"
            raise log_error(
                what, file=file, line=line, mend='write sensor = "...", the header of that column, or drop value'
            )
        return None
    value = _stated(spec.value, "value = ", headers, file=file, line=line)
    wanted = [folded(c.column) for c in spec.channels]
    twice = next((c.column for c in spec.channels if wanted.count(folded(c.column)) > 1), None)
    if twice is not None:
        mend = "give each channel a sensor of its own"
        raise log_error(f'two channels are to be read from the sensor "{twice}"', file=file, line=line, mend=mend)
    if value is None:
        value = _value(sensor, set(wanted), shape, headers, file=file, line=line)
    unit = _unit(sensor, value, shape)
    return Long(sensor, value, unit, headers.main(sensor), headers.main(value))


def _stated(name: str | None, entry: str, headers: Headers, *, file: str, line: int) -> int | None:
    if name is None:
        return None
    found = headers.matches(name)
    if len(found) != 1:
        raise LogError([unmatched(name, found, headers, file=file, line=line, entry=entry)])
    return found[0]


def _obvious_sensor(spec: LogSpec, shape: Shape, headers: Headers) -> int | None:
    """The one column of words that holds names of channels, where no header bears any of them."""
    if not spec.channels or any(headers.matches(c.column) for c in spec.channels):
        return None
    wanted = {folded(c.column) for c in spec.channels} - {""}
    found = []
    for place in range(shape.columns):
        cells = [row[place] for row in shape.sample if place < len(row) and row[place]]
        if any(folded(cell) in wanted for cell in cells):
            found.append(place)
    return found[0] if len(found) == 1 else None


def _value(sensor: int, wanted: set[str], shape: Shape, headers: Headers, *, file: str, line: int) -> int:
    """The one column of numbers in the lines of the sensors that are sought."""
    ours = [row for row in shape.sample if sensor < len(row) and folded(row[sensor]) in wanted] or list(shape.sample)
    found = []
    for place in range(shape.columns):
        cells = [row[place] for row in ours if place < len(row) and not is_missing(row[place])]
        numbers = sum(shape.look(cell) is Sight.NUMBER for cell in cells)
        if place != sensor and cells and numbers >= _MOST * len(cells):
            found.append(place)
    if len(found) == 1:
        return found[0]
    names = [headers.main(place) for place in found]
    what = "each line names its sensor, but " + (
        f"{len(found)} columns hold numbers: {listed(names)}" if found else "no column holds numbers"
    )
    example = names[0] if names else "..."
    raise log_error(what, file=file, line=line, mend=f'say which one holds the reading: value = "{example}"')


def _unit(sensor: int, value: int, shape: Shape) -> int | None:
    """The one column that holds units."""
    found = []
    for place in range(shape.columns):
        cells = [row[place] for row in shape.sample if place < len(row) and row[place]]
        units = sum(unit_named(cell) is not None or other_unit(f"({cell})") is not None for cell in cells)
        if place not in (sensor, value) and cells and units >= _MOST * len(cells):
            found.append(place)
    return found[0] if len(found) == 1 else None
