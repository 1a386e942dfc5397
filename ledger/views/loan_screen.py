"""Whether the saving carries the loan, on a screen: the same rows as in the report."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.report_loans import loans_section
from ledger.views.report_parts import Facts, Prose, Strong
from ledger.views.screen import Screen


def loan_lines(a: Appraisal, screen: Screen) -> list[str]:
    """Payments and their cover; nothing where no loan is noted."""
    if not a.loans:
        return []
    section = loans_section(a)
    lines = screen.heading(section.heading)
    for part in section.parts:
        match part:
            case Facts():
                lines += screen.figures([(label, value, "") for label, value in part.rows])
                lines += screen.prose(f"{part.caption}.", indent=2)
            case Strong() | Prose():
                lines += screen.prose(part.text, indent=2)
    return lines
