"""What commands share: finding the ledger, asking, and giving results to people and scripts."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import typer

from ledger.views.console import Refused, progress_on_terminal, show, show_bytes


def screen() -> Any:
    """The screen that standard output is."""
    from ledger.views.screen import screen_of

    return screen_of(sys.stdout)


def found(ledger: Path | None) -> Path:
    """The ledger file that was named, or the one in this folder."""
    from ledger.intake.find import find_ledger

    return find_ledger(ledger, folder=Path())


def ask(question: str, usual: str) -> str:
    """Ask a question at the terminal; Enter gives the usual answer."""
    try:
        return str(typer.prompt(question, default=usual, show_default=bool(usual), err=True))
    except typer.Abort:  # Ctrl-C or the end of the input, at the prompt
        raise KeyboardInterrupt from None


def complaint(where: str, what: str, mend: str) -> Any:
    """A complaint about the call itself."""
    from ledger.errors import Complaint, Place

    return Complaint(what, Place(where), mend)


def writable_json(path: Path | None) -> None:
    """Refuse before the long work what could not be written after it; older results are replaced, nothing else is."""
    if path is None or str(path) == "-":
        return
    from ledger.errors import OutputError
    from ledger.views.whole_file import Existing, refuse_foreign, refuse_unwritable

    try:
        refuse_unwritable(path, existing=Existing.REPLACE)
        refuse_foreign(path, begins=b"{", what="JSON of ours")
    except OutputError as refusal:
        raise Refused(refusal.complaints) from refusal


def replace(path: Path, content: bytes) -> None:
    """Write a file whole, over the one that may be there."""
    from ledger.views.whole_file import Existing, write_whole

    write_whole(path, content, existing=Existing.REPLACE)


def progress(*, quiet: bool) -> contextlib.AbstractContextManager[Callable[[str], None] | None]:
    """One line of progress on a terminal; none where no one looks or none is wanted."""
    return contextlib.nullcontext() if quiet else progress_on_terminal()


def give(json: Path | None, document: dict[str, Any], lines: list[str], *, quiet: bool) -> None:
    """The results: for a script on standard output, or for a person there and for a script in a file."""
    to_screen = [] if quiet else lines
    if json is None:
        show(to_screen)
        return
    from ledger.views.json_view import to_bytes

    if str(json) == "-":
        show_bytes(to_bytes(document))
        return
    replace(json, to_bytes(document))
    show(to_screen)
