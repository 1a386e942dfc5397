"""The drawing of what is recovered so far, season by season, against the plan."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.figures import Measure, show_figure
from ledger.views.plots import ACCENT, INK, WIDTH, Drawing, Scale, upward
from ledger.views.report_parts import Picture, Section
from ledger.views.row import style_of
from ledger.views.season_sums import SeasonSums, season_sums

_HEIGHT = 170
_MOST_NAMES = 7
_FAR = 2.5
"""What is to be recovered is drawn only within so many times the sums so far: beyond, it would press them flat."""


def recovered_section(a: Appraisal) -> Section | None:
    """The drawing under its heading; None where there is nothing to hold against a plan."""
    drawn = recovered_plot(a)
    return None if drawn is None else Section("Recovered, season by season", (drawn,))


def recovered_plot(a: Appraisal) -> Picture | None:
    """Three lines, told apart by dash and mark: recovered, the plan, what is to be recovered."""
    sums = season_sums(a)
    if sums is None:
        return None
    drawing = Drawing(name="recovered", height=_HEIGHT)
    across = Scale(0.0, float(len(sums.seasons)), 58.0, WIDTH - 16.0)
    up = _axes(drawing, a, sums, across)
    if _in_sight(sums):
        whole = up.at(sums.to_recover)
        drawing.line([(across.first, whole), (across.last, whole)], colour=INK, width=1.2, dash="1 3")
    plan = [(across.at(n), up.at(value)) for n, value in enumerate(sums.plan)]
    drawing.line(plan, colour=ACCENT, width=1.6, dash="6 3")
    done = [(across.at(n), up.at(value)) for n, value in enumerate(sums.recovered)]
    drawing.line(done, colour=ACCENT, width=2.2)
    for at in done[1:]:
        drawing.diamond(at)
    _legend(drawing, a, sums)
    title = "Recovered so far, against the plan"
    words = _words(a, sums)
    drawing.say(title, words)
    return Picture("recovered", title, words, drawing.svg())


def _in_sight(sums: SeasonSums) -> bool:
    return 0.0 <= sums.to_recover <= _FAR * max(*sums.recovered, *sums.plan)


def _axes(drawing: Drawing, a: Appraisal, sums: SeasonSums, across: Scale) -> Scale:
    values = (*sums.recovered, *sums.plan, *((sums.to_recover,) if _in_sight(sums) else ()))
    up = upward(drawing, values, across, ends=(_HEIGHT - 22.0, 56.0), most=4)
    drawing.text((across.first - 4, 46), style_of(a).currency, anchor="end", size=10)
    step = -(-len(sums.seasons) // _MOST_NAMES)
    for n, name in enumerate(sums.seasons, start=1):
        if (len(sums.seasons) - n) % step == 0:
            drawing.text((across.at(float(n)), _HEIGHT - 7.0), name, anchor="end", size=10)
    return up


def _legend(drawing: Drawing, a: Appraisal, sums: SeasonSums) -> None:
    """Which line is which, by dash and mark."""
    whole = f"to be recovered: {show_figure(sums.to_recover, Measure.MONEY, style_of(a))}"
    lines = (
        ("recovered, in each season's own weather", "", 2.2),
        ("the plan: a typical year as first known", "6 3", 1.6),
        (whole if _in_sight(sums) else f"{whole}, far above", "1 3", 1.2),
    )
    for place, (words, dash, width) in enumerate(lines):
        y = 12.0 + 13.0 * place
        if place < 2 or _in_sight(sums):
            drawing.line([(62, y - 4), (90, y - 4)], colour=INK if place == 2 else ACCENT, width=width, dash=dash)
        if place == 0:
            drawing.diamond((76, y - 4))
        drawing.text((95, y), words)


def _words(a: Appraisal, sums: SeasonSums) -> str:
    """The same for those who do not see it."""
    style = style_of(a)
    steps = ", ".join(
        f"{show_figure(value, Measure.MONEY, style)} after {name}"
        for name, value in zip(sums.seasons, sums.recovered[1:], strict=True)
    )
    plan, whole = show_figure(sums.plan[-1], Measure.MONEY, style), show_figure(sums.to_recover, Measure.MONEY, style)
    each = show_figure(sums.plan_a_season, Measure.MONEY, style)
    return f"Recovered: {steps}; the plan by then was {plan}, {each} a season; {whole} are to be recovered in all."
