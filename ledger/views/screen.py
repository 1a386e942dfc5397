"""What a terminal can show: its width, its signs, whether it knows bold. No colour carries meaning here."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import Enum
from typing import TextIO

from ledger.views.text import cell_width, clean, pad_left, pad_right, plain_ascii, wrap

WIDEST_CELLS = 96
NARROWEST_CELLS = 24
USUAL_CELLS = 80


class Signs(Enum):
    """Which signs a stream can write."""

    ALL = "all"
    ASCII = "ascii"


class Weight(Enum):
    """Whether headings may stand out by bold type."""

    BOLD = "bold"
    EVEN = "even"


@dataclass(frozen=True, slots=True)
class Screen:
    """How to lay out a text for one stream."""

    width: int = USUAL_CELLS
    signs: Signs = Signs.ALL
    weight: Weight = Weight.EVEN

    def say(self, text: str) -> str:
        """The text without anything that steers a terminal, in signs that the stream can write."""
        safe = clean(text)
        return safe if self.signs is Signs.ALL else plain_ascii(safe)

    def strong(self, text: str) -> str:
        """The text in bold where that is wanted."""
        return f"\x1b[1m{text}\x1b[0m" if self.weight is Weight.BOLD else text

    def title(self, text: str) -> list[str]:
        """A paragraph that stands out."""
        return [self.strong(line) for line in self.prose(text)]

    def heading(self, text: str) -> list[str]:
        """A blank line, then the heading."""
        return ["", *(self.strong(line) for line in wrap(self.say(text), self.width))]

    def prose(self, text: str, *, indent: int = 0) -> list[str]:
        """A paragraph broken to the width."""
        return [" " * indent + line for line in wrap(self.say(text), max(10, self.width - indent))]

    def bullet(self, text: str) -> list[str]:
        """A paragraph behind a dash."""
        first, *rest = self.prose(text, indent=4)
        return ["  - " + first[4:], *rest]

    def figures(self, lines: Iterable[tuple[str, str, str]]) -> list[str]:
        """Label, value and unit, values under one another; a label too long for the line stands above its value."""
        cells = [(self.say(label), self.say(value), self.say(unit)) for label, value, unit in lines]
        if not cells:
            return []
        value_width = max(cell_width(value) for _, value, _ in cells)
        unit_width = max(cell_width(unit) for _, _, unit in cells)
        label_width = self.width - 2 - 2 - value_width - (1 + unit_width if unit_width else 0)
        laid: list[str] = []
        for label, value, unit in cells:
            figure = f"{pad_left(value, value_width)} {unit}".rstrip()
            if label_width < 16:
                laid += [f"  {line}" for line in wrap(label, self.width - 2)]
                laid += [f"      {line}" for line in wrap(f"{value} {unit}".strip(), self.width - 6)]
                continue
            *above, last = wrap(label, label_width)
            laid += [f"  {line}" for line in above]
            laid.append(f"  {pad_right(last, label_width)}  {figure}")
        return laid

    def inner_figures(self, lines: Iterable[tuple[str, str, str]]) -> list[str]:
        """The same, one step in."""
        return [f"  {line}" for line in Screen(self.width - 2, self.signs, self.weight).figures(lines)]

    def bar(self, share: float, *, width: int) -> str:
        """A bar of text, as long as the share of the width; a share above nothing is never without a mark."""
        cells = round(max(0.0, min(1.0, share)) * width)
        return ("█" if self.signs is Signs.ALL else "#") * max(cells, 1 if share > 0 else 0)


def screen_of(stream: TextIO, environment: Mapping[str, str] | None = None) -> Screen:
    """Find out what a stream can show.

    Parameters
    ----------
    stream : where the text will go.
    environment : NO_COLOR (any value) and TERM=dumb turn bold off; COLUMNS sets the width. None: that of the process.
    """
    known = os.environ if environment is None else environment
    columns = shutil.get_terminal_size((USUAL_CELLS, 24)).columns
    is_terminal = stream.isatty()
    bold = is_terminal and not known.get("NO_COLOR") and known.get("TERM", "") not in ("", "dumb")
    return Screen(
        width=max(NARROWEST_CELLS, min(WIDEST_CELLS, columns)),
        signs=Signs.ALL if _writes_all(stream) else Signs.ASCII,
        weight=Weight.BOLD if bold else Weight.EVEN,
    )


def _writes_all(stream: TextIO) -> bool:
    try:
        "█▒°²·−…é".encode(stream.encoding or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
