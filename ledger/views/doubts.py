"""How sure the answer is, on a screen."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.doubt.drivers import SHARE_METHOD
from ledger.doubt.words import in_words
from ledger.views.figures import Measure, show_figure, show_span
from ledger.views.model_rows import unbelieved_words
from ledger.views.phrases import row_shown
from ledger.views.row import is_placeholder, style_of
from ledger.views.rows_money import break_even_rows
from ledger.views.screen import Screen

MOST_DRIVERS = 4

FIND_OUT = (
    "Nothing in the log shows what the house would have done without the build, so the figures are a placeholder. The "
    "cheapest ways to find out: leave the fan off for some blocks of three nights or more, in weather like that of "
    "other nights with it on; or run a heater with a meter for three nights."
)


def doubt_lines(a: Appraisal, screen: Screen) -> list[str]:
    """What if I am wrong: the chance, the drivers, the other ways to reckon, or how to find out."""
    style, r = style_of(a), a.worth_range
    lines = screen.heading("What if I am wrong?")
    if is_placeholder(a):
        lines += screen.prose(FIND_OUT, indent=2)
        return lines + _off_night_lines(a, screen) + way_lines(a, screen) + _model_lines(a, screen)
    if r.chance_npv_positive is not None and r.draws:
        chance = show_figure(r.chance_npv_positive, Measure.CHANCE, style)
        lines += screen.prose(f"The chance that it gains at all is {chance}.", indent=2)
    if a.drivers:
        lines += screen.prose("What moves the gain most, each alone from its low to its high end:", indent=2)
        drawn = [(d, show_span(d.npv_low, d.npv_high, Measure.MONEY, style)) for d in a.drivers[:MOST_DRIVERS]]
        swings = [(in_words(d.input, a.source), span.text, span.unit) for d, span in drawn]
        lines += screen.inner_figures(swings)
        lines += _share_lines(a, screen)
    return lines + _break_even_lines(a, screen) + way_lines(a, screen) + _model_lines(a, screen)


def _share_lines(a: Appraisal, screen: Screen) -> list[str]:
    """What part of the spread each of the shown drivers makes, where draws tell."""
    parts = [d.variance_share for d in a.drivers[:MOST_DRIVERS]]
    if not parts or any(part is None for part in parts):
        return []
    said = ", ".join(show_figure(part, Measure.SHARE, style_of(a)).text for part in parts)
    text = f"Their parts in the spread when all vary at once, in this order: {said} %"
    return screen.prose(f"{text} ({SHARE_METHOD}).", indent=2)


def _off_night_lines(a: Appraisal, screen: Screen) -> list[str]:
    """Which nights to leave the fan off, where such nights could tell."""
    blocks = [f"{one.first_night:%Y-%m-%d} to {one.last_night:%Y-%m-%d}" for one in a.off_nights.calendar]
    if not blocks:
        return []
    text = f"Nights to leave the fan off next season, off from the morning of the first day: {', '.join(blocks)}."
    return screen.prose(text, indent=2)


def _model_lines(a: Appraisal, screen: Screen) -> list[str]:
    """Whether the fitted house model is believed, and the first reason why not."""
    if a.model is None or not (a.model.seasons or a.model.why_not):
        return []
    if a.model.believed:
        return screen.prose("The fitted house model foretold nights that it had not seen, and is believed.", indent=2)
    return screen.prose(unbelieved_words(a), indent=2)


def _break_even_lines(a: Appraisal, screen: Screen) -> list[str]:
    """At which value the build just pays, each alone."""
    pairs = break_even_rows(a)
    if not pairs:
        return []
    figures = []
    for now, then in pairs:
        today, at = row_shown(now, a), row_shown(then, a)
        figures.append((f"{now.label} (now {today.text})", at.text, at.unit))
    lines = screen.prose(f"It would just pay at, each alone and against {a.worth.against}:", indent=2)
    return lines + screen.inner_figures(figures)


def way_lines(a: Appraisal, screen: Screen) -> list[str]:
    """Every way to reckon the bare house that the data allow, side by side."""
    if not a.seasons:
        return []
    bare, style = a.seasons[-1].heat.bare, style_of(a)
    known = [(name, answer) for name, answer in bare.ways.items() if answer is not None]
    if len(known) < 2:
        return []
    lines = screen.prose("Heat not bought, by each way to reckon the house without the build:", indent=2)
    figures = []
    for name, answer in known:
        span = show_span(answer.p10, answer.p90, Measure.HEAT, style)
        figures.append((f"{_way_words(name)}{' (used)' if name == bare.used else ''}", span.text, span.unit))
    return lines + screen.inner_figures(figures)


def _way_words(name: str) -> str:
    return {
        "twin": "a like house, measured",
        "fan-off": "nights with the fan off",
        "model": "the fitted house model",
        "lift": "an assumed lift over outdoors",
    }.get(name, name)
