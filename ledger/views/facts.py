"""The facts that would change the answer, in words that can be read aloud."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.doubt.breakeven import BreakEven
from ledger.doubt.verdict import nearest
from ledger.views.figures import Measure, Style, show_figure
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen

# Nearer than half a hundredth (half a point, of a rate) the two figures read the same.
_NOTHING = 0.005


def fact_lines(a: Appraisal, screen: Screen) -> list[str]:
    """The three facts nearest to today that would turn the likely gain round, each alone."""
    found = nearest(a.break_evens)
    if not found or is_placeholder(a) or a.worth.npv is None:
        return []
    if abs(found[0].distance or 0.0) < _NOTHING:
        return screen.prose("It neither gains nor loses: the least change of any of these turns it.", indent=2)
    turned = "It would no longer gain" if a.worth.npv > 0 else "It would gain"
    lines = screen.prose(f"{turned} if one of these alone were so, the nearest first:", indent=2)
    for one in found:
        lines += screen.bullet(fact_words(one, style_of(a)))
    return lines


def fact_words(solved: BreakEven, style: Style) -> str:
    """One fact: what would have to be, and what is now."""
    distance = solved.distance or 0.0
    if solved.unit == "a year":
        at, today = (show_figure(v, Measure.RATE, style) for v in (solved.at, solved.today))
        return f"{solved.what}: {at} a year, now {today}"
    measure = {"": Measure.MONEY, "kWh": Measure.HEAT, "years": Measure.YEARS}.get(solved.unit, Measure.PRICE)
    at, today = (show_figure(v, measure, style) for v in (solved.at, solved.today))
    per = f" {solved.unit}" if measure is Measure.PRICE else ""
    if measure is Measure.YEARS:
        return f"{solved.what}: {solved.at:.0f}, now {solved.today:.0f}"
    way = "more" if distance > 0 else "less"
    return f"{solved.what}: {at}{per}, now {today}: {abs(distance) * 100:.0f} % {way}"
