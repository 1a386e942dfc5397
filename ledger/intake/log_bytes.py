"""A file's bytes to blocks of whole UTF-8 lines, whatever the code page and the line ends."""

from __future__ import annotations

import codecs
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import BinaryIO, Protocol

import numpy as np

from ledger.intake.byte_marks import MARKS

BLOCK_BYTES = 16 << 20
HIDDEN_SEPARATOR = "\x1f"
ONE_BYTE_PAGE = "cp1252"


class _Decoder(Protocol):
    def decode(self, data: bytes, final: bool = ...) -> str: ...


@dataclass(slots=True)
class Source:
    """A log file as it is read: its encoding once known, its hash once read whole."""

    path: Path
    encoding: str | None = None
    mark: bool = False
    garbled: bool = False
    _hash: hashlib._Hash = field(default_factory=hashlib.sha256)
    _decoder: _Decoder | None = None

    @property
    def sha256(self) -> str:
        """Hash of the bytes read so far."""
        return self._hash.hexdigest()

    @property
    def encoding_name(self) -> str:
        """The encoding as reported; a file of plain ASCII is UTF-8."""
        name = self.encoding or "utf-8"
        return "utf-8-sig" if self.mark and name == "utf-8" else name

    def blocks(self, size: int = BLOCK_BYTES) -> Iterator[bytes]:
        """Blocks of whole lines in UTF-8, line feeds only, no NUL bytes. The last line may lack its line feed."""
        rest = b""
        with self.path.open("rb") as handle:
            raw = self._opened(self._read(handle, size))
            while raw:
                block = rest + self._clean(raw)
                held = b"\r" if block.endswith(b"\r") else b""
                block = one_line_end(block[: len(block) - len(held)])
                cut = block.rfind(b"\n") + 1
                if cut:
                    yield block[:cut]
                rest = block[cut:] + held
                raw = self._read(handle, size)
        rest = one_line_end(rest + self._ended())
        if rest:
            yield rest

    def _read(self, handle: BinaryIO, size: int) -> bytes:
        raw = handle.read(size)
        self._hash.update(raw)
        return raw

    def _opened(self, raw: bytes) -> bytes:
        """Settle what the first bytes can settle: byte-order marks and two-byte text."""
        for mark, name in MARKS:
            if raw.startswith(mark):
                self.mark = True
                self.encoding = name
                raw = raw[len(mark) :]
                break
        if self.encoding is None or plain_name(self.encoding) in ("utf-16", "utf-32"):
            self.encoding = _two_byte_guess(raw[:4096]) or (
                f"{plain_name(self.encoding)}-le" if self.encoding else None
            )
        if self.encoding is not None and plain_name(self.encoding) not in ("utf-8", "ascii"):
            self._decoder = codecs.getincrementaldecoder(self.encoding)(errors="replace")
        return raw

    def _clean(self, raw: bytes) -> bytes:
        if self._decoder is None and self.encoding is None and not raw.isascii():
            if _is_utf8(raw):
                self.encoding = "utf-8"
            else:
                self.encoding = ONE_BYTE_PAGE
                self._decoder = codecs.getincrementaldecoder(ONE_BYTE_PAGE)(errors="replace")
        if self._decoder is not None:
            raw = self._decoder.decode(raw).encode("utf-8", "replace")
        return raw.replace(b"\0", b"") if b"\0" in raw else raw

    def _ended(self) -> bytes:
        return self._decoder.decode(b"", True).encode("utf-8", "replace") if self._decoder is not None else b""


def plain_name(encoding: str) -> str:
    """The usual name of a text encoding.

    Raises
    ------
    LookupError : no text encoding of that name.
    """
    b"".decode(encoding)
    return codecs.lookup(encoding).name


def one_line_end(block: bytes) -> bytes:
    """Make every line end a line feed: CR LF, CR CR LF and lone CR."""
    if b"\r" in block:
        block = block.replace(b"\r\r\n", b"\n").replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    return block


def _is_utf8(raw: bytes) -> bool:
    """Whether bytes are UTF-8, a character cut off at the end aside."""
    try:
        codecs.getincrementaldecoder("utf-8")().decode(raw)
    except UnicodeDecodeError:
        return False
    return True


def _two_byte_guess(head: bytes) -> str | None:
    """UTF-16 without a mark: plain text has a zero in every second byte."""
    if len(head) < 8:
        return None
    even, odd = head[0::2], head[1::2]
    if odd.count(0) > 0.8 * len(odd) and even.count(0) < 0.1 * len(even):
        return "utf-16-le"
    if even.count(0) > 0.8 * len(even) and odd.count(0) < 0.1 * len(odd):
        return "utf-16-be"
    return None


def unquoted(block: bytes, separator: str) -> bytes:
    """Drop quote marks; a separator inside quotes becomes the hidden one. A line with an odd mark is left unquoted."""
    if b'"' not in block:
        return block
    text = np.frombuffer(block, np.uint8)
    marks = text == ord('"')
    seen = np.cumsum(marks, dtype=np.int32)
    ends = np.append(np.flatnonzero(text == ord("\n")), len(text) - 1)
    before = np.concatenate([[0], seen[ends[:-1]]]).astype(np.int32)
    in_line = seen[ends] - before
    length = np.diff(np.concatenate([[-1], ends]))
    even = np.repeat(in_line % 2 == 0, length)
    inside = ((seen - np.repeat(before, length)) % 2 == 1) & even
    changed = text.copy()
    changed[inside & (text == ord(separator))] = ord(HIDDEN_SEPARATOR)
    kept: bytes = changed[~marks].tobytes()
    return kept
