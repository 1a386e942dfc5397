"""What lies beyond the headline, on a screen: other money, what could be done next."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.appraisal import Appraisal
from ledger.doubt.hold_steps import HoldStep, first_that_pays
from ledger.views.cheaper import is_planned, step_words
from ledger.views.figures import Measure, show_figure
from ledger.views.model_rows import fan_caution, last_told
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen
from ledger.views.text import sentence


def benefit_lines(a: Appraisal, screen: Screen) -> list[str]:
    """The second line: with money that is not heat. Never in the headline."""
    line = a.ahead.benefit
    if line is None or is_placeholder(a):
        return []
    style = style_of(a)
    per_year, gain = (show_figure(v, Measure.MONEY, style) for v in (line.per_year, line.npv))
    what = " and ".join(b.what for b in a.source.benefits)
    back = (
        "never" if line.simple_payback_years is None else show_figure(line.simple_payback_years, Measure.YEARS, style)
    )
    text = f"Not in these figures, since it is no heat: {what}, {per_year} a year. With it the gain would be {gain}, "
    lines = screen.prose(f"{text}years to pay back: {back}.", indent=2)
    for notice in line.notices:
        lines += screen.prose(sentence(notice.text), indent=2)
    return lines


def beats_lines(a: Appraisal, screen: Screen) -> list[str]:
    """How often the build with a heater costs less than that heater alone."""
    known = [r for r in a.ahead.plan_ranges if r.chance_build_beats is not None]
    if not known:
        return []
    style = style_of(a)
    said = [f"{r.source} {show_figure(r.chance_build_beats, Measure.CHANCE, style)}" for r in known]
    text = f"Chance that the build with a heater costs less than that heater alone: {', '.join(said)}."
    return screen.prose(text, indent=2)


def next_lines(a: Appraisal, screen: Screen) -> list[str]:
    """From today on: going on, next steps, other hold temperatures."""
    if is_placeholder(a):
        return []
    lines = [*_going_on(a, screen), *_hold(a, screen)]
    return [*screen.heading("And from today on?"), *lines] if lines else []


def _going_on(a: Appraisal, screen: Screen) -> list[str]:
    forward = a.ahead.forward
    if forward is None:
        return []
    worth = show_figure(forward.going_on_npv, Measure.MONEY, style_of(a))
    text = f"With what is spent left aside, going on with the build is worth {worth} over the years looked at."
    spent = any(not is_planned(build) for build in a.source.builds)
    lines = screen.prose(text, indent=2) if spent else []
    for step in forward.steps:
        lines += screen.bullet(step_words(step, a))
    return lines


def _hold(a: Appraisal, screen: Screen) -> list[str]:
    """What a warmer and a colder house would ask."""
    steps = a.ahead.hold_steps
    if not steps:
        return []
    said = [_step_words(one, a) for one in (steps[0], steps[-1])]
    now = next((s for s in steps if s.hold_c == a.source.hold.temperature_c), None)
    asked = "" if now is None else f" (now {show_figure(now.to_buy_kwh, Measure.HEAT, style_of(a))} to buy)"
    by = ", by the house model" if a.seasons and a.seasons[-1].heat.bare.used == "model" else ""
    text = f"Held at another temperature{by}{asked}: {'; '.join(said)}.{_first(steps, a)}"
    return screen.prose(f"{text}{'' if by else _fan_caution(a)}", indent=2)


def _fan_caution(a: Appraisal) -> str:
    """Where the fan stops giving back, which only the house model knows."""
    season = last_told(a)
    words = "" if season is None else fan_caution(season.answer.told, a)
    return f" {words}" if words else ""


def _step_words(step: HoldStep, a: Appraisal) -> str:
    style = style_of(a)
    at = show_figure(step.hold_c, Measure.TEMPERATURE, style)
    need, buy = (show_figure(v, Measure.HEAT, style) for v in (step.need_kwh, step.to_buy_kwh))
    gain = show_figure(step.npv, Measure.MONEY, style)
    return f"at {at} it needs {need}, {buy} of it bought, gain {gain}"


def _first(steps: Sequence[HoldStep], a: Appraisal) -> str:
    """From which of the temperatures on the build pays, where it does not at all of them."""
    first = first_that_pays(steps)
    if first is steps[0]:
        return ""
    if first is None:
        return " It pays at none of these."
    return f" It first pays at {show_figure(first.hold_c, Measure.TEMPERATURE, style_of(a))}."
