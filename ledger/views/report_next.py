"""What to measure next: what is missing first, then the input whose narrowing shrinks the range of the gain most."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.measure import step_words, steps_of
from ledger.views.phrases import month_words
from ledger.views.report_parts import Bullets, Section
from ledger.views.row import is_placeholder

MOST_STEPS = 3
_METERED_NIGHTS = (
    "A heater with a meter, holding the house at a steady temperature for three calm and cold nights: shows what "
    "heat the house loses."
)


def next_section(a: Appraisal) -> Section:
    """Steps in the order of what they would settle."""
    steps = dict.fromkeys([*_what_is_missing(a), *_against_doubts(a)])
    lines = tuple(steps)[:MOST_STEPS] or ("Another winter's log, and its season book, to see whether this one holds.",)
    return Section("What will be measured next", (Bullets(lines),))


def _what_is_missing(a: Appraisal) -> list[str]:
    found = []
    if a.log is None:
        found.append("A winter's log, indoors and outdoors, before anything is built: without one there is no proof.")
    if is_placeholder(a):
        found.append("The fan left off for blocks of three nights or more, in weather like that of nights with it on.")
        found.append(_METERED_NIGHTS)
    if a.typical_money is not None and a.typical_money.running_cost is None:
        found.append("The fan's meter read at the beginning and the end of the season.")
    if a.typical_heat is not None and a.typical_heat.months_not_logged:
        months = month_words(a.typical_heat.months_not_logged, first=a.source.hold.season.begins.month)
        found.append(f"{months} logged; until then twelve monthly normals in the ledger.")
    return found


def _against_doubts(a: Appraisal) -> list[str]:
    """By a placeholder the ways to find out stand among what is missing."""
    return [] if is_placeholder(a) else [step_words(one, a) for one in steps_of(a, most=MOST_STEPS)]
