"""What went wrong, where, how to mend it.

    WarmledgerError
    ├── LedgerError     the ledger file needs mending (one or many complaints)
    ├── LogError        a log file cannot be read as the ledger says (one or many complaints)
    └── OutputError     a result cannot be written where it was asked for

Each carries complaints; the program prints them on standard error and exits 2 (1 for an OutputError that no
mending of the input would cure). A `ValueError` from the core is a bug of ours, never the grower's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """Where in the grower's files: bare name, line from 1 (None: unknown), entry such as `build[2].item[1].amount`."""

    file: str
    line: int | None = None
    entry: str = ""

    def __str__(self) -> str:
        """File, line and entry, as far as they are known."""
        parts = [self.file]
        if self.line is not None:
            parts.append(f"line {self.line}")
        if self.entry:
            parts.append(self.entry)
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Complaint:
    """One fault in the input: what is wrong, where, how to mend it; `excerpt` is the line as typed, with a caret."""

    what: str
    place: Place
    mend: str
    excerpt: str = ""


@dataclass(frozen=True, slots=True)
class Notice:
    """A warning that never changes a figure. `path` is the ledger entry or result key that it is about."""

    code: str
    text: str
    path: str = ""
    line: int | None = None


@dataclass(frozen=True, slots=True)
class Doubt:
    """One kind of doubt about input that can be read: its code, when it is said, how to mend it, whence its limits."""

    code: str
    when: str
    mend: str
    source: str


class WarmledgerError(Exception):
    """The root of every error a person may see."""

    def __init__(self, complaints: Sequence[Complaint]) -> None:
        """Carry the complaints; all of them stand in the text too."""
        self.complaints = tuple(complaints)
        super().__init__("; ".join(f"{c.place}: {c.what}" for c in self.complaints))


class LedgerError(WarmledgerError):
    """The ledger file needs mending."""


class LogError(WarmledgerError):
    """A log file cannot be read, or cannot be read as the ledger says."""


class OutputError(WarmledgerError):
    """A result cannot be written where it was asked for."""
