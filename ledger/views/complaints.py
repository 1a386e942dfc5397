"""Faults and warnings as a person reads them: what is wrong, where, how to mend it."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.errors import Complaint, Notice, Place
from ledger.views.screen import Screen, Signs
from ledger.views.text import clean, fit_cells, plain_ascii, sentence

MOST_SHOWN = 40


def complaint_lines(complaints: Sequence[Complaint], *, screen: Screen) -> list[str]:
    """All faults, in the order of their places; of a great many the first forty and the count of the rest."""
    ordered = sorted(complaints, key=lambda c: (c.place.file, c.place.line is None, c.place.line or 0))
    lines: list[str] = []
    for complaint in ordered[:MOST_SHOWN]:
        lines += _one(complaint, screen=screen)
    rest = len(ordered) - MOST_SHOWN
    if rest > 0:
        lines.append(f"and {rest} more of this kind; mend these first.")
    return lines


def _one(complaint: Complaint, *, screen: Screen) -> list[str]:
    place = str(complaint.place)
    lines = screen.prose(f"{place}: {complaint.what}" if place else complaint.what)
    lines += [_as_typed(line, screen=screen) for line in complaint.excerpt.split("\n") if line.strip()]
    if complaint.mend:
        lines += screen.prose(f"To mend it: {complaint.mend}", indent=4)
    return lines


def _as_typed(line: str, *, screen: Screen) -> str:
    """A line of the file with its blanks kept, so that the caret below it points at the right sign."""
    lead = len(line) - len(line.lstrip(" "))
    body = "".join(c if c == " " else clean(c) or "?" for c in line[lead:].replace("\t", " "))
    shown = "    " + " " * lead + body
    return fit_cells(shown if screen.signs is Signs.ALL else plain_ascii(shown), screen.width)


def notice_lines(notices: Sequence[Notice], *, file: str, screen: Screen) -> list[str]:
    """Warnings, a dash before each, with their line in the ledger where there is one."""
    lines: list[str] = []
    told: set[tuple[str, int | None]] = set()
    for notice in notices:
        if (notice.text, notice.line) in told:
            continue  # one thing said of several figures is read once
        told.add((notice.text, notice.line))
        place = f" ({Place(file, notice.line)})" if notice.line is not None else ""
        lines += screen.bullet(f"{sentence(notice.text)}{place}")
    return lines
