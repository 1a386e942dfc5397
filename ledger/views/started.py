"""The screens of `start`: the templates, and what was begun with what is left to do."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ledger.views.screen import Screen

ALL_INVENTED = "Everything in it is invented: put your own in its stead, in any text editor."
REST_INVENTED = "Receipts, sources and prices in it are invented: put your own in their stead, in any text editor."
UNTAKEN = (
    "If one is in the tank, in the ground, in a like house without heat or in a tube: its line stands in the ledger "
    "under [[log]], and wants its # taken away."
)
LOG_WAITS = (
    "The log stands in the ledger commented out: until the build is there, what the house does by itself would be "
    "credited to it."
)


def template_lines(named: Sequence[tuple[str, str]], *, screen: Screen) -> list[str]:
    """Each template's name and what it is for."""
    lines = screen.prose("Templates, for --template:")
    for name, purpose in named:
        lines += ["", f"  {name}", *screen.prose(purpose, indent=4)]
    return lines


def started_lines(
    path: Path,
    *,
    found: Sequence[tuple[str, str]],
    open_questions: Sequence[str],
    untaken: Sequence[str],
    notes: Sequence[str],
    screen: Screen,
) -> list[str]:
    """Where the ledger is, what the log gave and what of it nobody knew, what to settle and know, what to do next."""
    lines = screen.prose(f"Written: {path}")
    if found:
        columns = ", ".join(f"{channel} is {name}" for channel, name in found)
        lines += screen.prose(f"Columns of the log: {columns}.")
    if open_questions:
        lines += ["", *screen.prose("The file does not say, so please settle in the ledger, under [[log]]:")]
        for one in open_questions:
            lines += screen.bullet(one)
    if untaken:
        lines += screen.prose(f"Not known: {', '.join(untaken)}. {UNTAKEN}")
    for note in notes:
        lines += ["", *screen.prose(note)]
    place = screen.say(str(path.parent))
    return [*lines, "", "Then:", f"    warmledger check {place}", f"    warmledger appraise {place}"]
