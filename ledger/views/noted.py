"""The screen and the JSON of `note`: what was added, where it stands, what was left out and why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ledger.model.identity import Identity, Program
from ledger.views.json_view import SCHEMA
from ledger.views.screen import Screen

MOST_SHOWN = 40
_WORDS = {
    "quantity": "{} units",
    "amount": "paid {}",
    "hours": "{} h of own work",
    "meter-from": "meter from {}",
    "meter-to": "to {}",
    "from": "from {}",
    "to": "to {}",
}
_ORDER = ("date", "for", "what", "energy", "quantity", "meter-from", "meter-to", "amount", "hours", "from", "to")


@dataclass(frozen=True, slots=True)
class Line:
    """One line as given, by key; `at`: where it, or its like, stands in the ledger; `origin`: its line in the CSV."""

    given: Mapping[str, str]
    at: int | None = None
    origin: int | None = None


@dataclass(frozen=True, slots=True)
class NoteAnswer:
    """What came of a note: the section, lines added, left out, added although their like stands, refused rows."""

    section: str
    dry_run: bool
    backup: str | None
    added: tuple[Line, ...] = ()
    skipped: tuple[Line, ...] = ()
    like: tuple[Line, ...] = ()
    refused: tuple[tuple[int, str], ...] = ()


def noted_lines(answer: NoteAnswer, identity: Identity, *, screen: Screen) -> list[str]:
    """What was noted, in words."""
    lines: list[str] = []
    if answer.added:
        head = "Would be noted" if answer.dry_run else "Noted"
        lines += screen.prose(f"{head} in {identity.file}, under [[{answer.section}]]:")
        for one in answer.added:
            lines += screen.bullet(_words(one) + (f" (line {one.at})" if one.at is not None else ""))
    else:
        lines += screen.prose("There is nothing new to note.")
    for one in answer.like:
        words = f"Its like stands in line {one.at} already. If that was typed twice, take one out."
        lines += screen.prose(words)
    if answer.skipped:
        lines += ["", *screen.prose("Left out, since they stand in the season book already:")]
        for one in answer.skipped:
            lines += screen.bullet(_words(one) + (f" (line {one.at})" if one.at is not None else ""))
    if answer.refused:
        lines += ["", *screen.prose("Not read:")]
        for number, why in answer.refused[:MOST_SHOWN]:
            lines += screen.bullet(f"line {number} of the file to import: {why}")
        if len(answer.refused) > MOST_SHOWN:
            lines += screen.bullet(f"and {len(answer.refused) - MOST_SHOWN} more")
    if answer.dry_run:
        lines += ["", *screen.prose("Nothing was written: this was a dry run.")]
    elif answer.added and answer.backup:
        lines += screen.prose(f"The file as it was before: {answer.backup}")
    return lines


def noted_document(answer: NoteAnswer, program: Program, identity: Identity) -> dict[str, Any]:
    """The same for scripts."""
    return {
        "schema": SCHEMA,
        "program": program,
        "ledger": identity,
        "note": {
            "section": answer.section,
            "dry_run": answer.dry_run,
            "backup": answer.backup,
            "added": [_document(one) for one in answer.added],
            "skipped": [_document(one) for one in answer.skipped],
            "like": [_document(one) for one in answer.like],
            "refused": [{"import_line": number, "why": why} for number, why in answer.refused],
        },
    }


def _document(line: Line) -> dict[str, Any]:
    entries = {key.replace("-", "_"): text for key, text in line.given.items()}
    return {"line": line.at, "import_line": line.origin, "entries": entries}


def _words(line: Line) -> str:
    parts = [_WORDS.get(key, "{}").format(line.given[key]) for key in _ORDER if line.given.get(key)]
    return ", ".join(parts)
