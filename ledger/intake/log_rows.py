"""Kept rows of a log file, block by block, before their dates are put in order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ledger.intake.log_time import NO_OFFSET

Int32s = npt.NDArray[np.int32]
Lines = npt.NDArray[np.int64]
Values = npt.NDArray[np.float64]


@dataclass(slots=True)
class Part:
    """Some kept rows.

    Attributes
    ----------
    date, clock_ms, offset_ms : their stamps, by code, [ms], [ms] or None.
    values : by channel, in the unit its kind is held in.
    lines : their line numbers; the first only, where none is left out.
    stands_for : how many rows of the file each stands for; None: for itself.
    """

    date: Int32s
    clock_ms: Int32s
    offset_ms: Int32s | None
    values: list[Values]
    lines: Lines
    stands_for: Int32s | None = None

    def __len__(self) -> int:
        """How many rows there are."""
        return len(self.date)

    @property
    def line(self) -> Lines:
        """Line number of each row."""
        return self.numbered(len(self), self.lines)

    @staticmethod
    def numbered(count: int, lines: Lines) -> Lines:
        """All line numbers of some rows, where the first may stand for all."""
        return np.arange(lines[0], lines[0] + count) if len(lines) == 1 else lines

    def taken(self, rows: slice | npt.NDArray[np.bool_] | Lines) -> Part:
        """Some of the rows, or the same in another order."""
        return Part(
            self.date[rows],
            self.clock_ms[rows],
            None if self.offset_ms is None else self.offset_ms[rows],
            [values[rows] for values in self.values],
            self.line[rows],
            None if self.stands_for is None else self.stands_for[rows],
        )


def joined(parts: Sequence[Part]) -> Part:
    """The rows of one or more parts, which are emptied column by column, so that no row lies twice for long."""
    if len(parts) == 1:
        return parts[0]
    offset = stands_for = None
    if any(p.offset_ms is not None for p in parts):
        offset = np.concatenate([np.full(len(p), NO_OFFSET) if p.offset_ms is None else p.offset_ms for p in parts])
    if any(p.stands_for is not None for p in parts):
        ones = (np.ones(len(p), np.int32) if p.stands_for is None else p.stands_for for p in parts)
        stands_for = np.concatenate(list(ones))
    lines = np.concatenate([p.line for p in parts])
    date, clock = np.concatenate([p.date for p in parts]), np.concatenate([p.clock_ms for p in parts])
    for part in parts:
        part.date, part.clock_ms, part.offset_ms = date[:0], clock[:0], None
    values = []
    for place in range(len(parts[0].values)):
        values.append(np.concatenate([p.values[place] for p in parts]))
        for part in parts:
            part.values[place] = values[-1][:0]
    return Part(date, clock, offset, values, lines, stands_for)
