"""From the bytes of a ledger file to its text."""

from __future__ import annotations

from ledger.errors import Complaint, LedgerError, Place
from ledger.intake.byte_marks import MARKS

LARGEST_BYTES = 64_000_000


def text_of(raw: bytes, file: str) -> str:
    """Decode a ledger: UTF-8 with or without a byte-order mark, or UTF-16 (also without its mark).

    Raises
    ------
    LedgerError : neither, or signs that no text holds.
    """
    mark, encoding = encoding_of(raw)
    raw = raw[len(mark) :]
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1 if encoding.startswith("utf-8") else None
        raise _fault(
            file,
            line,
            "the file is not UTF-8 text",
            "save it in the editor with the encoding UTF-8",
            raw[: error.start],
        ) from None
    at = text.find("\0")
    if at >= 0:
        line = text.count("\n", 0, at) + 1
        raise _fault(
            file, line, "the file holds a NUL sign, which no text has", "delete the line and type it again", b""
        )
    return text


def encoding_of(raw: bytes) -> tuple[bytes, str]:
    """The byte-order mark that a file begins with (none: empty), and the encoding of all that follows it."""
    for mark, name in MARKS:
        if raw.startswith(mark):
            return mark, name
    return b"", _unmarked(raw)


def _unmarked(raw: bytes) -> str:
    """UTF-16 without its mark shows in NULs at every other place of the plain signs it begins with."""
    head = raw[:400]
    if len(head) >= 8 and len(head) % 2 == 0:
        even, odd = head[0::2].count(0), head[1::2].count(0)
        half = len(head) // 2
        if odd > 0.7 * half and even < 0.1 * half:
            return "utf-16-le"
        if even > 0.7 * half and odd < 0.1 * half:
            return "utf-16-be"
    return "utf-8"


def _fault(file: str, line: int | None, what: str, mend: str, before: bytes) -> LedgerError:
    excerpt = ""
    if before:
        typed = before.rsplit(b"\n", 1)[-1].decode("utf-8", "replace")
        excerpt = f"{typed}\n{' ' * len(typed)}^"
    return LedgerError([Complaint(what, Place(file, line), mend, excerpt)])
