"""What to measure next, on a screen and in the report."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.doubt.measure_next import MeasureNext
from ledger.doubt.measure_ways import NO_SOURCE
from ledger.doubt.words import in_words
from ledger.views.figures import Measure, show_figure
from ledger.views.report_parts import name_of
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen
from ledger.views.text import sentence

MOST_STEPS = 2
_NAME_CELLS = 76


def steps_of(a: Appraisal, *, most: int) -> tuple[MeasureNext, ...]:
    """The inputs that can be measured, the one first whose narrowing shrinks the range most; each way once."""
    by_way: dict[str, MeasureNext] = {}
    for one in a.ahead.measure:
        if one.way is not None:
            by_way.setdefault(one.way, one)
    return tuple(by_way.values())[:most]


def step_words(one: MeasureNext, a: Appraisal) -> str:
    """An input, what knowing it twice as well would do, the cheapest way, and where the way comes from."""
    what = sentence(name_of(in_words(one.input, a.source), most=_NAME_CELLS)).rstrip(".")
    shrink = show_figure(one.shrink, Measure.SHARE, style_of(a))
    of = "the span of the gain" if is_placeholder(a) else "the range of the gain"
    source = "" if one.source in (None, NO_SOURCE) else f" ({one.source})"
    return f"{what}: known twice as well, it narrows {of} by {shrink}. {one.way}{source}"


def measure_lines(a: Appraisal, screen: Screen) -> list[str]:
    """The first steps under their own heading; nothing where no range is known or nothing can be measured."""
    steps = steps_of(a, most=MOST_STEPS)
    if not steps:
        return []
    lines = screen.heading("What to measure next?")
    for one in steps:
        lines += screen.bullet(step_words(one, a))
    return lines
