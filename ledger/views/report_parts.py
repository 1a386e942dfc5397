"""What a paper is made of: pages of sections of parts. Page and print draw the same parts."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, field

from ledger.views.text import clean, fit_cells

ISOLATE, END_ISOLATE = "\u2068", "\u2069"
NAME_CELLS, LINE_CELLS = 44, 150
"""How long a name and a line of the grower's may be on a paper that has two pages; longer ones are cut, with dots."""
_LINE_WIDE, _LINES_OF_A_PICTURE = 34.0, 14
_PAGE_WITH_LEAD, _PAGE_OF_COLUMNS = 86.0, 136.0
"""Lines that a printed page takes as it stands (tried in a browser)."""
_TAKES = ((1.0, ""), (1.18, "fit-87"), (1.3, "fit-80"), (1.34, "fit-72"))
"""How many times as many lines a page takes, printed so small, in hundredths of its size."""
_TAKES_WITH_LEAD = _TAKES[:2]
_SMALLEST = "fit-58"


@dataclass(frozen=True, slots=True)
class Prose:
    """A paragraph."""

    text: str
    kind: str = field(default="prose", init=False)


@dataclass(frozen=True, slots=True)
class Strong:
    """A sentence that stands out."""

    text: str
    kind: str = field(default="strong", init=False)


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list of sentences."""

    items: tuple[str, ...]
    kind: str = field(default="bullets", init=False)


@dataclass(frozen=True, slots=True)
class Facts:
    """Words with a figure each, as a table without a head row. `caption` says what they are."""

    caption: str
    rows: tuple[tuple[str, str], ...]
    kind: str = field(default="facts", init=False)


@dataclass(frozen=True, slots=True)
class Grid:
    """A table. `words`: so many of its first columns hold words and stand to the left; figures stand to the right."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: int = 1
    kind: str = field(default="grid", init=False)


@dataclass(frozen=True, slots=True)
class Code:
    """Names with a string that is to be compared sign by sign."""

    caption: str
    rows: tuple[tuple[str, str], ...]
    kind: str = field(default="code", init=False)


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing of ours, and what it shows in words for those who do not see it."""

    name: str
    title: str
    description: str
    svg: str
    kind: str = field(default="picture", init=False)


Part = Prose | Strong | Bullets | Facts | Grid | Code | Picture


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and what stands under it."""

    heading: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One printed page. `lead` runs over its whole width, `sections` in two columns under it.

    `in_first_column`: so many sections stand in the first column of a print.
    """

    heading: str
    lead: tuple[Section, ...]
    sections: tuple[Section, ...]
    foot: str
    in_first_column: int

    @property
    def crowding(self) -> str:
        """The class of a page that a browser has to print smaller, so that it stays one page; mostly none."""
        over_its_width, in_columns = lines_of(self.lead), lines_of(self.sections)
        full = (over_its_width + in_columns) / _PAGE_WITH_LEAD if self.lead else in_columns / _PAGE_OF_COLUMNS
        tried = _TAKES_WITH_LEAD if self.lead else _TAKES
        return next((looks for takes, looks in tried if full <= takes), _SMALLEST)


@dataclass(frozen=True, slots=True)
class Paper:
    """The whole report. `date`: of its prices, year month day; the clock is never asked."""

    title: str
    subtitle: str
    date: tuple[int, int, int]
    us_letter: bool
    pages: tuple[Page, ...]


def letters_wide(text: str) -> float:
    """About how wide a text is, in parts of the size of its letters; rather too much than too little."""
    return sum(_width(c) for c in text)


def _width(character: str) -> float:
    if character in "WM@%" or unicodedata.east_asian_width(character) in ("W", "F"):
        return 1.05
    return 0.75 if character.isupper() else 0.53


def lines_of(sections: Sequence[Section]) -> float:
    """About how many lines of a half page the sections take."""
    return sum(2.0 + sum(_lines(part) for part in section.parts) for section in sections)


def half_of(sections: Sequence[Section]) -> int:
    """How many sections make the first of two columns about as long as the second, by the lines that they take."""
    lines = [lines_of((section,)) for section in sections]
    return min(range(1, len(lines)), key=lambda k: max(sum(lines[:k]), sum(lines[k:])), default=0)


def _lines(part: Part) -> float:
    match part:
        case Prose() | Strong():
            return _wrapped(part.text, _LINE_WIDE)
        case Bullets():
            return sum(_wrapped(item, _LINE_WIDE) for item in part.items)
        case Facts():
            return 1 + sum(0.2 + _wrapped(words, _LINE_WIDE * 0.7) for words, _ in part.rows)
        case Code():
            return 1 + sum(1.6 + _wrapped(words, _LINE_WIDE) for words, _ in part.rows)
        case Grid():
            room = _LINE_WIDE * (1 - 0.14 * (len(part.head) - 1))
            return 2 + sum(0.2 + _wrapped(row[0], room) for row in part.rows)
        case Picture():
            return _LINES_OF_A_PICTURE


def _wrapped(text: str, room: float) -> int:
    return 1 + int(letters_wide(text) // room)


def name_of(text: str, *, most: int = NAME_CELLS) -> str:
    """A name as the grower typed it, made safe, cut where it is too long, set apart where it runs from the right."""
    short = fit_cells(clean(text), most)
    return f"{ISOLATE}{short}{END_ISOLATE}" if _runs_from_the_right(short) else short


def line_of(text: str) -> str:
    """A line of the grower's, likewise."""
    return name_of(text, most=LINE_CELLS)


def _runs_from_the_right(text: str) -> bool:
    return any(unicodedata.bidirectional(c) in ("R", "AL", "AN") for c in text)
