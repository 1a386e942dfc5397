"""The screens of `start`: the templates, and what was begun with what is left to do."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ledger.views.screen import Screen


def template_lines(named: Sequence[tuple[str, str]], *, screen: Screen) -> list[str]:
    """Each template's name and what it is for."""
    lines = screen.prose("Templates, for --template:")
    for name, purpose in named:
        lines += ["", f"  {name}", *screen.prose(purpose, indent=4)]
    return lines


def started_lines(
    path: Path, *, found: Sequence[tuple[str, str]], open_questions: Sequence[str], own_place: bool, screen: Screen
) -> list[str]:
    """Where the ledger is, what the log gave, what to settle, what to do next."""
    lines = screen.prose(f"Written: {path}")
    if found:
        lines += screen.prose(
            "Columns of the log: " + ", ".join(f"{channel} is {name}" for channel, name in found) + "."
        )
    if open_questions:
        lines += ["", *screen.prose("The file does not say, so please settle in the ledger, under [[log]]:")]
        for one in open_questions:
            lines += screen.bullet(one)
    rest = "Receipts, sources of heat and prices in it are invented" if own_place else "Everything in it is invented"
    lines += ["", *screen.prose(f"{rest}: put your own in their stead, in any text editor. Then:")]
    return [
        *lines,
        f"    warmledger check {screen.say(str(path.parent))}",
        f"    warmledger appraise {screen.say(str(path.parent))}",
    ]
