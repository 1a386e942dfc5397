"""On which line each entry of a ledger stands.

The text is known to be valid TOML 1.0 when it comes here, so the scan only has to find keys and to step over values,
once, from front to back.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)*")
_KEY = re.compile(r'[ \t]*(?:"((?:[^"\\]|\\.)*)"|\'([^\']*)\'|([A-Za-z0-9_-]+))[ \t]*')
_BASIC = re.compile(r'"(?:[^"\\]|\\.)*"')
_LITERAL = re.compile(r"'[^']*'")
_LONG_BASIC = re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''.*?'{3,5}", re.DOTALL)
_SCALAR = re.compile(r"[^,\]}#\r\n]*")


class Places:
    """The line of every entry; an entry that does not stand takes the line of what it would stand in."""

    def __init__(self, lines: dict[Path, int]) -> None:
        """Keep what was found."""
        self._lines = lines

    def line(self, path: Path) -> int | None:
        """The line of an entry, else that of the nearest entry above it; None for nothing."""
        for length in range(len(path), 0, -1):
            found = self._lines.get(path[:length])
            if found is not None:
                return found
        return None

    def last_line_of_rows(self, name: str) -> int | None:
        """The line on which the last entry of the last section `[[name]]` begins; None where there is none."""
        rows = [path[1] for path in self._lines if len(path) > 1 and path[0] == name and isinstance(path[1], int)]
        if not rows:
            return None
        last = max(rows)
        return max(line for path, line in self._lines.items() if path[:2] == (name, last))


def places_of(text: str) -> Places:
    """Find the line of every key and header of a valid TOML text."""
    scan = _Scan(text)
    scan.run()
    return Places(scan.lines)


def _unescaped(key: str) -> str:
    """A quoted key as the reader knows it."""
    return str(tomllib.loads(f'key = "{key}"')["key"]) if "\\" in key else key


class _Scan:
    """One pass over the text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self._rows: dict[Path, int] = {}
        self._breaks = [match.start() for match in re.finditer("\n", text)]

    def run(self) -> None:
        """Walk all statements."""
        here: Path = ()
        while True:
            self._skip_blank()
            if self.at >= len(self.text):
                return
            if self.text[self.at] == "[":
                here = self._header()
            else:
                self._pair(here)

    def _skip_blank(self) -> None:
        match = _BLANK.match(self.text, self.at)
        self.at = match.end() if match else self.at

    def _line(self, position: int) -> int:
        return bisect_right(self._breaks, position - 1) + 1

    def _keys(self) -> list[str]:
        """A key with its dotted parts."""
        keys: list[str] = []
        while True:
            match = _KEY.match(self.text, self.at)
            if match is None:
                raise ValueError("a key was due")
            basic, literal, plain = match.groups()
            keys.append(_unescaped(basic) if basic else (literal or plain or ""))
            self.at = match.end()
            if self.text[self.at : self.at + 1] != ".":
                return keys
            self.at += 1

    def _header(self) -> Path:
        start = self.at
        rows = self.text.startswith("[[", self.at)
        self.at += 2 if rows else 1
        keys = self._keys()
        self.at += 2 if rows else 1
        path: Path = ()
        for number, key in enumerate(keys):
            path = (*path, key)
            self.lines.setdefault(path, self._line(start))
            if rows and number == len(keys) - 1:
                self._rows[path] = self._rows.get(path, 0) + 1
            if path in self._rows:
                path = (*path, self._rows[path] - 1)
            self.lines.setdefault(path, self._line(start))
        return path

    def _pair(self, here: Path) -> None:
        self._skip_blank()
        line = self._line(self.at)
        path = here
        for key in self._keys():
            path = (*path, key)
            self.lines.setdefault(path, line)
        self.at += 1
        self._value(path)

    def _value(self, path: Path) -> None:
        self._skip_blank()
        sign = self.text[self.at]
        if sign == "[":
            self._array(path)
        elif sign == "{":
            self._table(path)
        else:
            self._scalar(sign)

    def _scalar(self, sign: str) -> None:
        if sign == '"':
            pattern = _LONG_BASIC if self.text.startswith('"""', self.at) else _BASIC
        elif sign == "'":
            pattern = _LONG_LITERAL if self.text.startswith("'''", self.at) else _LITERAL
        else:
            pattern = _SCALAR
        match = pattern.match(self.text, self.at)
        if match is None:
            raise ValueError("a value was due")
        self.at = match.end()

    def _array(self, path: Path) -> None:
        self.at += 1
        number = 0
        while True:
            self._skip_blank()
            sign = self.text[self.at]
            if sign in "],":
                self.at += 1
                if sign == "]":
                    return
                continue
            self.lines.setdefault((*path, number), self._line(self.at))
            self._value((*path, number))
            number += 1

    def _table(self, path: Path) -> None:
        self.at += 1
        while True:
            self._skip_blank()
            sign = self.text[self.at]
            if sign in "},":
                self.at += 1
                if sign == "}":
                    return
                continue
            self._pair(path)
