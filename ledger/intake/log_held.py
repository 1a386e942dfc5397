"""How many rows of the logs are held at once: beyond one limit minute by minute, beyond another none."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from ledger.errors import LogError
from ledger.intake.log_dense import Folding
from ledger.intake.log_rows import Lines, Part, joined
from ledger.intake.log_trouble import log_error

MOST_HELD = 6_000_000
"""Rows held as they stand in the files; over ten years of minutes. Our choice, no source."""
MOST_ROWS = 25_000_000
"""Rows held at all, over every file of a ledger's logs; 47 years of minutes. Our choice, no source."""


@dataclass(slots=True)
class Room:
    """How many rows the logs of one ledger may hold.

    Attributes
    ----------
    taken : rows held of the files read before.
    most_held : beyond it rows closer than a minute are taken minute by minute.
    most_rows : beyond it no more are read.
    full : whether that has come to pass.
    """

    taken: int = 0
    most_held: int = field(default_factory=lambda: MOST_HELD)
    most_rows: int = field(default_factory=lambda: MOST_ROWS)
    full: bool = False


class Held:
    """The kept rows of one file while it is read."""

    def __init__(self, folding: Folding, room: Room, *, file: str) -> None:
        """Start with none."""
        self.folding = folding
        self.room = room
        self.file = file
        self.parts: list[Part] = []
        self._rows = 0
        self._judged = 0  # parts by which it was judged whether the rows stand closer than a minute
        self._next = 0  # rows at which to judge again

    def add(self, part: Part) -> None:
        """Take a block's kept rows.

        Raises
        ------
        LogError : more rows than the room has.
        """
        line = part.line[-1:]
        self._append(self.folding.add(part) if self.folding.begun else part)
        if not self.folding.begun and self.room.taken + self._rows > self.room.most_held and self._rows >= self._next:
            self._judge()
        if self.room.taken + self._rows + self.folding.open_rows > self.room.most_rows:
            self.room.full = True
            raise self._too_many(int(line[0]) if len(line) else None)

    def close(self) -> tuple[Part, list[tuple[int, Lines]]]:
        """All rows, without their lines; and by block how many it gave and their lines."""
        if self.folding.begun:
            self._append(self.folding.close())
        lines = [(len(part), part.lines) for part in self.parts]
        for part in self.parts:
            part.lines = np.empty(0, np.int64)
        whole, self.parts = joined(self.parts), []
        if whole.stands_for is not None and (whole.stands_for == 1).all():
            whole.stands_for = None
        return whole, lines

    def by_the_minute(self) -> None:
        """Take the rows minute by minute if they stand closer, however few they are."""
        if not self.folding.begun:
            self._judge()

    def _append(self, part: Part) -> None:
        self.parts.append(part)
        self._rows += len(part)

    def _judge(self) -> None:
        if not self.folding.begin(self.parts[self._judged :]):
            self._judged, self._next = len(self.parts), self._rows + self.room.most_held // 4
            return
        self._rows = 0
        for place, part in enumerate(self.parts):
            self.parts[place] = self.folding.add(part)
            self._rows += len(self.parts[place])

    def _too_many(self, line: int | None) -> LogError:
        most = self.room.most_rows
        return log_error(
            f"the logs hold more than {most:,} readings up to here, more than are taken at once", file=self.file,
            line=line, mend="name fewer files, or cut this one by years and leave out those that are not needed; "
            "a reading a minute is enough",
        )  # fmt: skip
