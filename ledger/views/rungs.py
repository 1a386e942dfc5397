"""The five rungs from warmth to money as bars of text, and why only the last is money."""

from __future__ import annotations

from ledger.appraisal import SeasonAnswer
from ledger.heat.results import Rungs
from ledger.model.house import Hold
from ledger.views.figures import Measure, Style, show_figure, show_span
from ledger.views.screen import Screen
from ledger.views.text import cell_width, pad_left, pad_right
from ledger.views.why_less import HEADING as WHY_SO_LITTLE
from ledger.views.why_less import why_rows

RUNG_WORDS = (
    ("gross_kwh", "all the warmth inside"),
    ("load_kwh", "to hold a house with no memory"),
    ("held_kwh", "held in the dark"),
    ("added_kwh", "added by the build"),
    ("credited_kwh", "not bought: this is money"),
)

BELOW_NOTHING = (
    "The last figure is below 0: at this hold temperature the build took more heat out of the house than it gave back "
    "when it counted."
)

ON_A_LIFT = (
    "The last figures stand where the assumed lift is likeliest, and are placeholders: from its one end to the other "
    "the last is"
)


def rung_lines(season: SeasonAnswer, *, hold: Hold, style: Style, screen: Screen) -> list[str]:
    """Five bars on one scale, with their figures, and six lines from the first to the last."""
    rungs = season.heat.rungs
    lines = screen.prose(f"From warmth to money, hours logged in season {season.heat.season}, in kWh:", indent=2)
    lines += _bars(rungs, style=style, screen=screen)
    lines += screen.prose(f"{WHY_SO_LITTLE}:", indent=2)
    lines += screen.inner_figures(why_rows(season.heat, hold, style))
    if rungs.credited_kwh < 0:
        lines += screen.prose(BELOW_NOTHING, indent=2)
    if season.heat.bare.used == "lift":
        span = show_span(season.heat.avoided_range_kwh.p10, season.heat.avoided_range_kwh.p90, Measure.HEAT, style)
        lines += screen.prose(f"{ON_A_LIFT} {span}.", indent=2)
    return lines


def _bars(rungs: Rungs, *, style: Style, screen: Screen) -> list[str]:
    values = [(words, float(getattr(rungs, key))) for key, words in RUNG_WORDS]
    figures = [show_figure(value, Measure.HEAT, style).text for _, value in values]
    longest = max((value for _, value in values), default=0.0)
    figure_width = max(cell_width(text) for text in figures)
    label_width = max(cell_width(words) for words, _ in values)
    beside = screen.width - 4 - label_width - figure_width - 4
    bar_width = beside if beside >= 12 else max(8, screen.width - 6 - figure_width - 2)
    lines = []
    for (words, value), figure in zip(values, figures, strict=True):
        bar = screen.bar(value / longest if longest > 0 else 0.0, width=bar_width)
        drawn = f"{pad_left(figure, figure_width)}  {bar}".rstrip()
        if beside >= 12:
            lines.append(f"    {pad_right(words, label_width)}  {drawn}")
        else:
            lines += [f"    {words}", f"      {drawn}"]
    return lines
