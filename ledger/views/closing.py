"""What stands under every answer: what was logged, assumed and doubted."""

from __future__ import annotations

from collections.abc import Collection

from ledger.appraisal import Appraisal
from ledger.views.assumed import assumed_words
from ledger.views.complaints import notice_lines
from ledger.views.figures import Measure, show_figure
from ledger.views.holes import REASONS
from ledger.views.row import style_of
from ledger.views.screen import Screen


def cover_lines(a: Appraisal, screen: Screen) -> list[str]:
    """How much of each season was logged, and what was lost by which fault."""
    lines = screen.heading("How much of the winter was logged?")
    if a.log is None:
        return lines + screen.prose("Nothing: the ledger names no log.", indent=2)
    style = style_of(a)
    figures = []
    for one in a.seasons:
        share = show_figure(one.heat.coverage, Measure.SHARE, style)
        figures.append((f"Season {one.heat.season}, {one.heat.hours_valid:,} of {one.heat.hours:,} hours",
                        share.text, share.unit))  # fmt: skip
    lost = {name: getattr(a.log.lost_hours, name) for name in a.log.lost_hours.__dataclass_fields__}
    named = [f"{hours:,} {REASONS[name]}" for name, hours in lost.items() if hours and name in REASONS]
    if named:
        lines_lost = screen.prose(f"Hours lost: {', '.join(named)}. A missing hour earns nothing.", indent=2)
    else:
        lines_lost = []
    return lines + screen.figures(figures) + lines_lost


def assumed_lines(appraisal: Appraisal, *, screen: Screen, most: int | None) -> list[str]:
    """What the program had to assume, with the source of each; of many the first, and the count of the rest."""
    if not appraisal.assumed:
        return []
    shown = appraisal.assumed[:most]
    lines = screen.heading("What was assumed?")
    for one in shown:
        lines += screen.bullet(assumed_words(one, appraisal.source.show))
    rest = len(appraisal.assumed) - len(shown)
    if rest:
        lines += screen.prose(f"and {rest} more: warmledger check shows all of them.", indent=4)
    return lines


def warning_lines(appraisal: Appraisal, *, screen: Screen, said: Collection[str] = ()) -> list[str]:
    """What is doubtful, but for the codes in `said`, which stand in words of their own further up."""
    left = [one for one in appraisal.warnings if one.code not in said]
    if not left:
        return []
    return [*screen.heading("Warnings"), *notice_lines(left, file=appraisal.identity.file, screen=screen)]
