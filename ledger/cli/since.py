"""What `check` does with earlier results."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ledger.intake.log_file import Progress
    from ledger.model.changes import Since
    from ledger.views.checked import Checked


def checked_since(path: Path, result: Path | None, progress: Progress | None) -> tuple[Checked, Since | None]:
    """Read everything; where earlier results are named, compare with them. They are read first: that is quick."""
    from ledger.intake.gather import gather
    from ledger.views.checked import Checked

    moved = None
    if result is None:
        g = gather(path, progress=progress)
    else:
        from ledger.intake.ledger_file import read_ledger
        from ledger.intake.since import read_earlier, since

        earlier = read_earlier(result)
        g = gather(path, progress=progress)
        moved = since(path, read_ledger(path).text, g, earlier, progress=progress)
    return Checked(g.program, g.identity, g.ledger, g.record, g.ledger.assumed, g.warnings), moved


def with_changes(
    checked: Checked, moved: Since, document: dict[str, Any], lines: list[str], *, screen: Any
) -> tuple[dict[str, Any], list[str]]:
    """The results of the check with the comparison behind them."""
    from ledger.views.figures import Style
    from ledger.views.since_screen import since_document, since_lines

    style = Style(checked.source.show, checked.identity.currency, checked.source.terms.coin_digits)
    return {**document, **since_document(moved)}, [*lines, *since_lines(moved, style=style, screen=screen)]
