"""Rows that are not read, each with its reason; and whether a file was understood at all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt
import polars as pl

from ledger.errors import LogError
from ledger.intake.log_cells import NumberReader
from ledger.intake.log_columns import Columns
from ledger.intake.log_shape import Shape
from ledger.intake.log_trouble import log_error
from ledger.intake.log_units import folded, units_in, without_unit

NO_STAMP = "no time stamp"
HEADER_AGAIN = "header repeated"
TOO_WIDE = "more cells than the header"
NO_READING = "no reading"
OTHER_SENSOR = "another sensor"
_MOST_KEPT = 200
_ODD_SHARE = 0.2

Line = npt.NDArray[np.int64]
Mask = npt.NDArray[np.bool_]


class Refusals:
    """Counts refused rows by reason, with the first line of each."""

    def __init__(self, file: str, shape: Shape, columns: Columns) -> None:
        """Start with nothing refused."""
        self.file = file
        self.shape = shape
        self.columns = columns
        self.count: Counter[str] = Counter()
        self.first: dict[str, int] = {}
        self.text: dict[str, str] = {}

    def _add(self, reason: str, line: int, text: str, count: int = 1) -> None:
        self.count[reason] += count
        self.first.setdefault(reason, line)
        self.text.setdefault(reason, text)

    def _many(self, reason: str, frame: pl.DataFrame, line: Line, mask: Mask) -> None:
        rows = np.flatnonzero(mask)
        if len(rows):
            self._add(reason, int(line[rows[0]]), _text(frame.row(int(rows[0]))), len(rows))

    def too_wide(self, frame: pl.DataFrame, line: Line, mask: Mask) -> None:
        """Rows with something behind their last column."""
        self._many(TOO_WIDE, frame, line, mask)

    def no_reading(self, frame: pl.DataFrame, line: Line, mask: Mask) -> None:
        """Rows with a stamp and nothing else that is read."""
        self._many(NO_READING, frame, line, mask)

    def other_sensor(self, frame: pl.DataFrame, line: Line, mask: Mask) -> None:
        """Rows of sensors that the ledger does not name, in a file with one reading a line."""
        self._many(OTHER_SENSOR, frame, line, mask)

    def no_stamp(self, frame: pl.DataFrame, line: Line, mask: Mask) -> None:
        """Rows without a stamp: notes, totals, torn lines, and the header come again.

        Raises
        ------
        LogError : a header that comes again with its columns in another order or another unit.
        """
        rows = np.flatnonzero(mask)
        seen = 0
        for row in rows[:_MOST_KEPT].tolist():
            cells = tuple(cell or "" for cell in frame.row(row))
            again = self._is_header(cells, int(line[row]))
            self._add(HEADER_AGAIN if again else NO_STAMP, int(line[row]), _text(cells))
            seen += 1
        if len(rows) > seen:
            self._add(NO_STAMP, int(line[rows[seen]]), _text(frame.row(int(rows[seen]))), len(rows) - seen)

    def _is_header(self, cells: Sequence[str], line: int) -> bool:
        """Whether a line is a header again; one that says something else than the first is an error."""
        named = {c.place: c for c in self.columns.channels}
        bare = [folded(without_unit(cell)) for cell in cells]
        ours = {place: folded(without_unit(column.header)) for place, column in named.items()}
        if not any(ours.values()) or not all(name in bare for name in ours.values()):
            return False
        moved = [named[place].header for place, name in ours.items() if place >= len(bare) or bare[place] != name]
        changed = [
            cells[place] for place, column in named.items()
            if place < len(cells) and set(units_in(cells[place])) != set(units_in(column.header))
        ]  # fmt: skip
        if moved or changed:
            which = "columns stand in another order" if moved else f'"{changed[0]}" names another unit'
            raise log_error(
                f"the header comes again and its {which}" if moved else f"the header comes again and {which}",
                file=self.file, line=line, excerpt=_text(cells)[:120],
                mend="cut the file in two above this line and give each part its own [[log]] section",
            )  # fmt: skip
        return True

    def judge(self, rows: int, numbers: Sequence[NumberReader], lines: Sequence[int] | None) -> None:
        """See whether the file was understood.

        Parameters
        ----------
        rows : lines of data.
        numbers : the reader of each channel.
        lines : how many lines each channel has, where lines name their sensors.

        Raises
        ------
        LogError : no row is left, most rows have no stamp, or many cells are no numbers.
        """
        lost = self.count[NO_STAMP] + self.count[TOO_WIDE]
        reason = NO_STAMP if self.count[NO_STAMP] >= self.count[TOO_WIDE] else TOO_WIDE
        if rows and lost > 0.2 * rows and lost > 3:
            mend = 'give time_format = "%d/%m/%Y %H:%M" or the time column with time = "..."'
            if reason == TOO_WIDE:
                mend = "export the file again with a semicolon between cells, or with a decimal point"
            raise log_error(
                f"{lost} of {rows} lines cannot be read ({reason})", file=self.file, line=self.first.get(reason),
                excerpt=self.text.get(reason, "")[:120], mend=mend,
            )  # fmt: skip
        for reader, column, own in zip(numbers, self.columns.channels, lines or [rows] * len(numbers), strict=True):
            odd = sum(reader.odd.values())
            if odd > max(3, _ODD_SHARE * own):
                example = max(reader.odd, key=lambda text: reader.odd[text])
                raise log_error(
                    f'{odd} of {own} cells of "{column.header}" are no numbers, for instance "{example}"',
                    file=self.file, line=self.shape.first_data_line,
                    mend=f'check decimal = "{self.shape.decimal}" and the column of {column.spec.channel}',
                )  # fmt: skip
        if rows and sum(self.count.values()) >= rows:
            raise log_error(
                f"none of its {rows} lines holds a reading", file=self.file, line=self.shape.first_data_line,
                excerpt=next(iter(self.text.values()), "")[:120], mend="check the columns named in the ledger",
            )  # fmt: skip


def _text(cells: Sequence[str | None]) -> str:
    return " ".join(cell for cell in cells if cell)


__all__ = ["HEADER_AGAIN", "NO_READING", "NO_STAMP", "OTHER_SENSOR", "TOO_WIDE", "LogError", "Refusals"]
