"""Adding sections to a ledger's bytes so that every byte that stood there stays as it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from typing import Any

from ledger.errors import Complaint, LedgerError, Place
from ledger.intake.ledger_bytes import encoding_of, text_of
from ledger.intake.note_line import Book, NewLine, typed
from ledger.intake.syntax import parse
from ledger.intake.toml_places import places_of


@dataclass(frozen=True, slots=True)
class Added:
    """The new bytes and their text; `starts`: the line of each new header, `last`: the last new line, from 1."""

    raw: bytes
    text: str
    starts: tuple[int, ...]
    last: int

    @property
    def first(self) -> int:
        """The line of the first new header."""
        return self.starts[0]


def with_lines(raw: bytes, lines: Sequence[NewLine], file: str) -> Added:
    """Add sections behind the last one of their kind, or at the end of the file.

    Only bytes are put in; none is taken out or changed, so comments, order, blank lines, line ends, byte-order mark and
    encoding stand. What comes out is read again and must be the old content and the new lines, nothing else.

    Parameters
    ----------
    raw : the file's bytes, a ledger without a fault of syntax. [-]
    lines : all for one book; at least one. [-]
    file : bare name, for complaints. [-]

    Raises
    ------
    LedgerError : a line cannot be typed; or the book is written as one list, behind which no section can stand.
    """
    text = text_of(raw, file)
    before = parse(_line_feeds(text), file)
    book = lines[0].book
    line_end = "\r\n" if 2 * text.count("\r\n") > text.count("\n") else "\n"
    sections = [typed(line, line_end) for line in lines]
    wanted = _with_rows(before, book, "".join(sections), file)
    for at in _places(text, book):
        block = _block(text, at, sections, line_end)
        new = text[:at] + block + text[at:]
        if _reads_as(new, wanted, file):
            first = new.count("\n", 0, at) + 1 + _blank_lines(block)
            starts = accumulate((s.count("\n") + 1 for s in sections), initial=first)
            *heads, after = starts
            return Added(_put_in(raw, text, at, block), new, tuple(heads), after - 2)
    what = f"the lines of {book} are written as one list, so that none can be added behind it"
    raise LedgerError([Complaint(what, Place(file), f"write each as a section [[{book}]]")])


def _with_rows(before: dict[str, Any], book: Book, sections: str, file: str) -> dict[str, Any]:
    rows = parse(_line_feeds(sections), file)[book]
    old = before.get(book, [])
    return {**before, book: [*(old if isinstance(old, list) else [old]), *rows]}


def _places(text: str, book: Book) -> list[int]:
    """Where the sections may go, best first: behind the last of their kind, at the end of the file."""
    places = [len(text)]
    last = places_of(_line_feeds(text)).last_line_of_rows(book) if book is Book.RUNNING else None
    if last is not None:
        at = 0
        for _ in range(last):
            at = text.find("\n", at) + 1 or len(text)
        places.insert(0, at)
    return places


def _block(text: str, at: int, sections: Sequence[str], line_end: str) -> str:
    """The sections with a blank line before each, and one behind where the next thing stands close."""
    broken = "" if at == 0 or text[:at].endswith("\n") else line_end
    spaced = "" if at == 0 else line_end
    behind = "" if at == len(text) or text.startswith(("\n", "\r\n"), at) else line_end
    return broken + spaced + line_end.join(sections) + behind


def _blank_lines(block: str) -> int:
    return block[: block.index("[")].count("\n")


def _reads_as(text: str, wanted: dict[str, Any], file: str) -> bool:
    try:
        return parse(_line_feeds(text), file) == wanted
    except LedgerError:
        return False


def _put_in(raw: bytes, text: str, at: int, block: str) -> bytes:
    mark, encoding = encoding_of(raw)
    cut = len(mark) + len(text[:at].encode(encoding))
    return raw[:cut] + block.encode(encoding) + raw[cut:]


def _line_feeds(text: str) -> str:
    return text.replace("\r\n", "\n")
