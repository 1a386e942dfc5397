"""How sure the comparison is, and which build or next step pays sooner."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.doubt.forward import StepWorth
from ledger.model.build import Build
from ledger.views.figures import Measure, Style, show_figure, show_span
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen

NO_CHEAPER = (
    "A second layer, a night screen or sealing may cost less than it all: type it as a planned [[build]] with what "
    "stood there before ([[build.before]]), and it is judged by the same reckoning."
)


def sure_lines(a: Appraisal, screen: Screen) -> list[str]:
    """How often the build with a heater costs less than the heater alone, with everything uncertain drawn."""
    known = [r for r in a.ahead.plan_ranges if r.chance_build_beats is not None]
    if not known:
        return []
    style = style_of(a)
    lines = screen.heading("How sure is it that the build with a heater beats the heater alone?")
    figures = []
    for one in known:
        chance = show_figure(one.chance_build_beats, Measure.CHANCE, style)
        figures.append((one.source, chance.text, chance.unit))
    return lines + screen.figures(figures)


def cheaper_lines(a: Appraisal, screen: Screen) -> list[str]:
    """Each build's and each next step's payback, by the same reckoning."""
    if is_placeholder(a):
        return []
    style = style_of(a)
    forward = a.ahead.forward
    said = [_build_words(one.name, one.simple_payback_years, one.npv, a, style) for one in a.builds]
    said += [step_words(step, a) for step in (() if forward is None else forward.steps)]
    if not said:
        return []
    lines = screen.heading("Which build or next step pays sooner?")
    for words in said:
        lines += screen.bullet(words)
    changed = any(build.before for build in a.source.builds)
    return lines + ([] if changed else screen.prose(NO_CHEAPER, indent=2))


def _build_words(name: str, years: float | None, gain: float | None, a: Appraisal, style: Style) -> str:
    build = next((b for b in a.source.builds if b.name == name), None)
    planned = " (planned)" if build is not None and is_planned(build) else ""
    back = "is not paid back by its heat" if years is None else f"is back in {_years(years, style)}"
    worth = "" if gain is None else f", gain {show_figure(gain, Measure.MONEY, style)}"
    if years is None and gain is None:
        return f"{name}{planned}: what it saves alone is not known."
    return f"{name}{planned}: {back}{worth}."


def is_planned(build: Build) -> bool:
    """Whether nothing of a build is paid yet."""
    return all(item.status.value != "paid" for item in build.items)


def _years(years: float, style: Style) -> str:
    return str(show_figure(years, Measure.YEARS, style))


def step_words(step: StepWorth, a: Appraisal) -> str:
    """A next step: its cost, what it is said to add, what that is worth."""
    style = style_of(a)
    costs = show_figure(step.amount, Measure.MONEY, style)
    needs = (
        ""
        if step.break_even_kwh is None
        else f"; it pays if it adds {show_figure(step.break_even_kwh, Measure.HEAT, style)} a year"
    )
    if step.adds_kwh is None:
        return f"next: {step.what}, {costs}: what it adds is not stated{needs}."
    adds = show_figure(step.adds_kwh, Measure.HEAT, style)
    back = "never back" if step.simple_payback_years is None else f"back in {_years(step.simple_payback_years, style)}"
    span = show_span(step.npv.p10, step.npv.p90, Measure.MONEY, style)
    return f"next: {step.what}, {costs}, adds {adds} as the ledger expects: {back}, gain {span}{needs}."
