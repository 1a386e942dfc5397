"""The lines of a ledger that is not valid TOML: where one is, in which section, what stands open."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

_HEADER_SIGNS = 300
_HEADER = re.compile(r"[ \t]*(\[\[?)[ \t]*([^\[\]#]+?)[ \t]*\]\]?[ \t]*(?:#.*)?$")
_KEY = re.compile(r"[ \t]*([^\s=#\[\]{}][^=#\n]*?)[ \t]*=")
_TOKEN = re.compile(
    r'"""(?:[^\\]|\\.)*?"""|\'\'\'.*?\'\'\'|"""|\'\'\''
    r'|"(?:[^"\\\n]|\\[^\n])*"|\'[^\'\n]*\'|["\']|#[^\n]*|[\[\]{}\n]',
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Slip:
    """A fault of syntax as a person would say it. Line from 1, column from 0."""

    line: int
    column: int
    what: str
    mend: str


@dataclass(frozen=True, slots=True)
class Open:
    """A bracket or quote that stands open: its sign and where."""

    sign: str
    offset: int


class Lines:
    """The text by lines."""

    def __init__(self, text: str) -> None:
        """Note where the lines begin."""
        self.text = text
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]

    def __len__(self) -> int:
        """How many lines there are."""
        return len(self._starts)

    def line(self, number: int) -> str:
        """A line as typed, from 1."""
        if not 1 <= number <= len(self._starts):
            return ""
        start = self._starts[number - 1]
        end = self._starts[number] - 1 if number < len(self._starts) else len(self.text)
        return self.text[start:end]

    def offset(self, line: int, column: int) -> int:
        """The place in the text of a line and column, both from 1."""
        line = min(max(line, 1), len(self._starts))
        return min(self._starts[line - 1] + column - 1, len(self.text))

    def place(self, offset: int) -> tuple[int, int]:
        """Line from 1 and column from 0 of a place in the text."""
        line = bisect_right(self._starts, offset)
        return line, offset - self._starts[line - 1]

    def open_at(self, offset: int) -> list[Open]:
        """Brackets and quotes that stand open at a place, the innermost last."""
        stack: list[Open] = []
        at = 0
        while at < offset:
            if not stack and (at == 0 or self.text[at - 1] == "\n") and _HEADER.match(self._rest(at)):
                at = self.text.find("\n", at) + 1 or offset
                continue
            match = _TOKEN.search(self.text, at, len(self.text))
            if match is None or match.start() >= offset:
                break
            sign = match.group()
            at = match.end()
            if sign in "[{":
                stack.append(Open(sign, match.start()))
            elif sign in "]}" and stack:
                stack.pop()
            elif sign in ('"""', "'''"):
                return [*stack, Open(sign, match.start())]
            elif sign in ('"', "'"):
                if not stack and self.text.find("\n", at, offset) >= 0:
                    at = self.text.find("\n", at)
                    continue
                return [*stack, Open(sign, match.start())]
        return stack

    def _rest(self, at: int) -> str:
        end = self.text.find("\n", at)
        end = end if end >= 0 else len(self.text)
        return self.text[at : min(end, at + _HEADER_SIGNS)]

    def headers(self) -> Iterator[tuple[int, bool, str]]:
        """Line, whether it has two brackets, and name of every header."""
        for number in range(1, len(self._starts) + 1):
            match = _HEADER.match(self.line(number)[:_HEADER_SIGNS])
            if match is not None:
                yield number, match.group(1) == "[[", re.sub(r"[ \t]*\.[ \t]*", ".", match.group(2))

    def entry(self, line: int) -> str:
        """The entry on a line, as `build[2].item[1].amount`."""
        counts: dict[str, int] = {}
        here = ""
        for number, rows, name in self.headers():
            if number > line:
                break
            here = _counted(name, rows, counts)
        match = _KEY.match(self.line(line)[:_HEADER_SIGNS])
        key = match.group(1) if match and not _HEADER.match(self.line(line)[:_HEADER_SIGNS]) else ""
        return ".".join(part for part in (here, key.strip("\"' ")) if part)


def _counted(name: str, rows: bool, counts: dict[str, int]) -> str:
    """A header's name with the numbers of its rows."""
    shown = ""
    parts = name.split(".")
    for number, part in enumerate(parts):
        shown = f"{shown}.{part}" if shown else part
        if rows and number == len(parts) - 1:
            counts[shown] = counts.get(shown, 0) + 1
        if shown in counts:
            shown = f"{shown}[{counts[shown]}]"
    return shown
