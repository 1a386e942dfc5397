"""What each channel's numbers measure, and their way into the unit they are held in."""

from __future__ import annotations

import math
import re
from collections import Counter
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt
import polars as pl

from ledger.errors import Complaint, LogError
from ledger.intake.log_cells import Cell, read_cell
from ledger.intake.log_columns import Column, Columns
from ledger.intake.log_shape import Shape
from ledger.intake.log_trouble import trouble
from ledger.intake.log_units import LogUnit, kinds_of, offered, unit_named
from ledger.intake.log_words import plain
from ledger.series.readings import Kind

_ON_OFF = LogUnit("on/off", Kind.SWITCH)
_PERCENT = LogUnit("%", Kind.PERCENT)
_LIGHT = re.compile(r"\b(k?lx|k?lux|ppfd|par|mol|µmol|umol|langley|ly|uvi?)\b", re.IGNORECASE)


@dataclass(slots=True)
class Measure:
    """One channel: the unit of bare numbers (None: every cell carries its own) and the grower's offset.

    `settled_by` says how the unit is known: "ledger", "header", "cells" or "values". `strange` counts cells whose own
    unit is no unit of this channel.
    """

    column: Column
    unit: LogUnit | None
    settled_by: str
    strange: Counter[str] = field(default_factory=Counter)

    @property
    def kind(self) -> Kind:
        """What the channel measures."""
        return self.unit.kind if self.unit is not None else kinds_of(self.column.spec.channel)[0]

    def held_number(self, number: float) -> float:
        """A bare number of the file in the held unit, offset added."""
        unit = self.unit
        return (number if unit is None else (number - unit.zero) * unit.factor) + self.column.spec.offset_k

    def held(self, numbers: npt.NDArray[np.float64], own_units: pl.Series | None) -> npt.NDArray[np.float64]:
        """A block's numbers in the held unit; cells with a unit of their own go by it."""
        offset = self.column.spec.offset_k
        if self.unit is None:
            result = np.full(len(numbers), np.nan)
        elif self.unit.factor == 1.0 and self.unit.zero == 0.0:
            result = numbers.copy() if own_units is not None else numbers
        else:
            result = (numbers - self.unit.zero) * self.unit.factor
        if own_units is not None:
            self._by_own_unit(result, numbers, own_units)
        return result + offset if offset else result

    def _by_own_unit(
        self, result: npt.NDArray[np.float64], numbers: npt.NDArray[np.float64], own_units: pl.Series
    ) -> None:
        for text in own_units.unique().to_list():
            unit = unit_of_cell(text, self.column.spec.channel)
            if not text or unit is _ANY:
                continue
            rows = np.flatnonzero((own_units == text).to_numpy() & ~np.isnan(numbers))
            if unit is None or (self.unit is not None and unit.kind is not self.unit.kind):
                self.strange[text] += len(rows)
                result[rows] = np.nan
            else:
                result[rows] = (numbers[rows] - unit.zero) * unit.factor


_ANY = LogUnit("", Kind.SWITCH)


def unit_of_cell(text: str, channel: str) -> LogUnit | None:
    """The unit behind a number in a cell; a mark without letters says nothing (`_ANY`); None: none of the channel's."""
    if not any(c.isalpha() or c in "%°º˚" for c in text):
        return _ANY
    unit = unit_named(text)
    if unit is not None and unit.kind in kinds_of(channel):
        return unit
    return None


def settle_measures(columns: Columns, shape: Shape, *, file: str) -> tuple[Measure, ...]:
    """Settle what every channel measures.

    Raises
    ------
    LogError : units that neither ledger, header nor cells name; all of them in one go, each with the line to write.
    """
    complaints: list[Complaint] = []
    measures: list[Measure] = []
    letters = _common_letter(columns)
    line = shape.header_lines[-1] if shape.header_lines else shape.first_data_line
    for column in columns.channels:
        cells = _cells(columns, column, shape)
        try:
            measures.append(_measure(column, cells, letters, file=file, line=line))
        except LogError as error:
            complaints.extend(error.complaints)
    if complaints:
        raise LogError(complaints)
    return tuple(measures)


def _cells(columns: Columns, column: Column, shape: Shape) -> list[Cell]:
    """The sample's cells of a channel; a unit in a column of its own stands for the cell's own."""
    if columns.long is None:
        return [read_cell(row[column.place], shape.decimal) for row in shape.sample if column.place < len(row)]
    pairs = columns.long.sample(column, shape)
    cells = [read_cell(text, shape.decimal) for text, _ in pairs]
    return [replace(cell, unit=unit or cell.unit) for cell, (_, unit) in zip(cells, pairs, strict=True)]


def _measure(column: Column, cells: list[Cell], letter: LogUnit | None, *, file: str, line: int) -> Measure:
    channel = column.spec.channel
    kinds = kinds_of(channel)
    if column.spec.unit is not None:
        stated = unit_named(column.spec.unit)
        if stated is None or stated.kind not in kinds:
            raise _asked(column, f'"{column.spec.unit}" is no unit of {channel}', file=file, line=line)
        return Measure(column, stated, "ledger")
    named = [unit for unit in column.units if unit.kind in kinds]
    if len(named) == 1:
        return Measure(column, named[0], "header")
    if len(named) > 1 or (column.units and not named):
        raise _asked(
            column, f'the header "{column.header}" does not settle the unit of {channel}', file=file, line=line
        )
    numbers = [cell for cell in cells if not math.isnan(cell.number)]
    owned = [u for cell in numbers if (u := unit_of_cell(cell.unit, channel)) not in (None, _ANY)]
    if numbers and len(owned) >= 0.8 * len(numbers):
        return Measure(column, replace(owned[0]) if len(set(owned)) == 1 else None, "cells")
    return _without_name(column, numbers, letter, file=file, line=line)


def _without_name(column: Column, numbers: list[Cell], letter: LogUnit | None, *, file: str, line: int) -> Measure:
    """Units that nothing names: a percentage, a switch, a letter that all temperature headers end in; else ask."""
    channel = column.spec.channel
    if channel == "humidity" and not _LIGHT.search(column.header):
        return Measure(column, _PERCENT, "values")
    if channel in ("fan", "heater") and all(cell.number in (0.0, 1.0) for cell in numbers):
        return Measure(column, _ON_OFF, "values")
    if letter is not None and kinds_of(channel) == (Kind.TEMPERATURE,):
        return Measure(column, letter, "header")
    if channel == "sun" and _LIGHT.search(column.header):
        what = f'"{column.header}" counts light, not heat: without its colour it cannot be turned into W/m2'
        raise LogError([trouble(what, file=file, line=line, mend=f"leave {channel} out, or log a pyranometer in W/m2")])
    raise _asked(column, f"nothing says in which unit {channel} is logged", file=file, line=line)


def _common_letter(columns: Columns) -> LogUnit | None:
    """The unit whose bare letter ends every temperature header, where there are two or more and all end in the same."""
    ends = set()
    count = 0
    for column in columns.channels:
        if kinds_of(column.spec.channel) == (Kind.TEMPERATURE,):
            words = plain(column.header).replace("_", " ").split()
            ends.add(words[-1] if len(words) > 1 else "")
            count += 1
    return unit_named(ends.pop()) if count > 1 and len(ends) == 1 and ends <= {"c", "f", "k"} else None


def _asked(column: Column, what: str, *, file: str, line: int) -> LogError:
    channel = column.spec.channel
    example = "degC" if kinds_of(channel) == (Kind.TEMPERATURE,) else offered(channel).split(", ")[0].strip('"')
    entry = f'{channel} = {{ column = "{column.spec.column}", unit = "{example}" }}'
    return LogError(
        [
            trouble(
                f'{what} (column "{column.header}")',
                file=file,
                line=line,
                mend=f"write {entry}; units: {offered(channel)}",
            )
        ]
    )
