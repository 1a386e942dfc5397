"""Complaints about log files, gathered so that all of a file's faults come in one go."""

from __future__ import annotations

from ledger.errors import Complaint, LogError, Place

LEDGER_NAME = "ledger"


def trouble(what: str, *, file: str, line: int | None = None, mend: str, excerpt: str = "") -> Complaint:
    """One complaint about a line of a log file."""
    return Complaint(what=what, place=Place(file=file, line=line), mend=mend, excerpt=excerpt)


def log_error(what: str, *, file: str, line: int | None = None, mend: str, excerpt: str = "") -> LogError:
    """An error with one complaint."""
    return LogError([trouble(what, file=file, line=line, mend=mend, excerpt=excerpt)])


def listed(names: list[str]) -> str:
    """Names in quotes, at most twelve."""
    shown = ", ".join(f'"{name}"' for name in names[:12])
    return shown + (f" and {len(names) - 12} more" if len(names) > 12 else "")
