"""What a file's columns are called: the labels of its header lines, and the names of the ledger against them."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple

from ledger.errors import Complaint
from ledger.intake.log_shape import Shape, is_unit_row
from ledger.intake.log_trouble import listed, trouble
from ledger.intake.log_units import LogUnit, folded, unit_named, units_in, without_unit
from ledger.model.logs import ChannelSpec


@dataclass(frozen=True, slots=True)
class Column:
    """One channel's column: its place, its header, the units its headers name."""

    spec: ChannelSpec
    place: int
    header: str
    units: tuple[LogUnit, ...]


class _Label(NamedTuple):
    """A label, the same without case and marks, and that without its unit."""

    text: str
    folded: str
    bare: str


class Headers:
    """The labels of each column: every header line's cell, and the cells joined from top to bottom."""

    def __init__(self, shape: Shape) -> None:
        """Gather the labels of a file of that shape."""
        self.count = max([shape.columns, *(len(cells) for cells in shape.headers)])
        self.named = [cells for cells in shape.headers if not is_unit_row(cells)]
        self._all = shape.headers
        self.bare = not self.named
        self._ready: list[list[_Label]] | None = None

    def labels(self, place: int) -> list[str]:
        """Labels of a column, likeliest first."""
        cells = [line[place] for line in self.named if place < len(line) and line[place]]
        joined = " ".join(cells)
        return list(dict.fromkeys([*reversed(cells), joined])) if cells else []

    def _folded(self) -> list[list[_Label]]:
        """Labels of every column, made ready for comparison once."""
        if self._ready is None:
            self._ready = [
                [_Label(text, folded(text), folded(without_unit(text))) for text in self.labels(place)]
                for place in range(self.count)
            ]
        return self._ready

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
        whole, bare, exact = folded(wanted), folded(without_unit(wanted)), wanted.strip()
        tests: tuple[Callable[[_Label], bool], ...] = (
            lambda label: label.text == exact,
            lambda label: label.folded == whole,
            lambda label: label.bare == bare and _units_agree(label.text, wanted),
        )
        for test in tests:
            found = [p for p, labels in enumerate(self._folded()) if any(test(label) for label in labels)]
            if found and whole:
                return found
        place = re.fullmatch(r"#?\s*(\d+)", wanted.strip())
        return [int(place[1]) - 1] if place and 1 <= int(place[1]) <= self.count else []


def _units_agree(label: str, wanted: str) -> bool:
    ours, theirs = units_in(wanted), units_in(label)
    return not ours or not theirs or bool(set(ours) & set(theirs))


def _places(found: list[int]) -> str:
    """Places counted from 1, at most twelve."""
    shown = ", ".join(str(place + 1) for place in found[:12])
    return shown + (f" and {len(found) - 12} more" if len(found) > 12 else "")


def unmatched(wanted: str, found: list[int], headers: Headers, *, file: str, line: int | None, entry: str) -> Complaint:
    """The complaint about a name that no column, or more than one, bears."""
    close = " }" if entry.endswith("column = ") else ""
    if found:
        names = [headers.main(place) for place in found]
        if len(set(names)) < len(names):
            names = [f"{wanted}#{n}" for n in range(1, len(found) + 1)]
        options = " or ".join(f'{entry}"{name}"{close}' for name in names[:4])
        return trouble(
            f'{len(found)} columns are headed "{wanted}" (from the left: {_places(found)})',
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
