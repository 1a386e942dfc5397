"""How sure the comparison is, and which build or next step pays sooner."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.doubt.forward import StepWorth
from ledger.model.build import Build
from ledger.model.ledger import Show
from ledger.plans.measures import CheaperBuild, Side
from ledger.units import Dimension, to_held
from ledger.views.figures import Measure, Style, show_figure, show_span
from ledger.views.grid import grid_lines
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen
from ledger.views.tables import Cell, Column, Table

ASK_A_PRICE = (
    "No price is ours: a quote below the first limit is paid back sooner than what is built, below the second it gains "
    "money over the study. What a layer takes of the light, and of the sun's heat by day, is left out. Typed as a "
    "planned [[build]] with what stood there before ([[build.before]]) and its price, it is judged like any other."
)
PLACEHOLDER = "The bare house is only assumed here, so only what they would spare beside the build is shown."
SI_OF_A_BTU_U = to_held(1.0, "Btu/h/ft2/degF", Dimension.U_VALUE)
_MEASURE_COLUMNS = (
    Column("measure", "Build", Measure.WORDS),
    Column("where", "Where", Measure.WORDS),
    Column("avoided", "Would spare", Measure.HEAT),
    Column("saving", "Saves a year", Measure.MONEY),
    Column("sooner", "Paid back sooner below", Measure.MONEY, "any price"),
    Column("gains", "Gains money below", Measure.MONEY),
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
    return lines


def measure_lines(a: Appraisal, screen: Screen) -> list[str]:
    """A second layer, a night screen, sealing: what each would spare here, and the most that it may cost."""
    measures, style = a.around.cheaper, style_of(a)
    if not measures:
        return []
    sides = ("beside",) if is_placeholder(a) else ("beside", "instead")
    rows: list[tuple[Cell, ...]] = []
    for side in sides:
        for one in measures:
            what: Side = getattr(one, side)
            where = f"{side} the build" if side == "beside" else "instead of it"
            sooner = None if one.build_payback_years is None else what.pays_sooner_below
            rows.append((one.measure.value, where, what.avoided_kwh, what.yearly_saving, sooner, what.gains_below))
    shown = Table("Measures", _MEASURE_COLUMNS, tuple(rows))
    if is_placeholder(a):
        shown = shown.only([c.key for c in _MEASURE_COLUMNS if c.key != "sooner"])
    lines = screen.heading("What might a second layer, a night screen or sealing cost at most?")
    lines += grid_lines(shown, style=style, screen=screen)
    for one in measures:
        lines += screen.bullet(_taken_words(one, style))
    return lines + screen.prose((f"{PLACEHOLDER} " if is_placeholder(a) else "") + ASK_A_PRICE, indent=2)


def _taken_words(one: CheaperBuild, style: Style) -> str:
    """What is taken of a measure, and where it comes from."""
    span = show_span(one.beside.avoided_low_kwh, one.beside.avoided_high_kwh, Measure.HEAT, style)
    size = "" if one.area_m2 is None else f" on {show_figure(one.area_m2, Measure.AREA, style)}"
    return (
        f"{one.measure.value}{size}: {_effect_words(one, style)}, {span} beside the build; {one.effect_source}. Lasts "
        f"{one.life_years:g} years ({one.life_source})."
    )


def _effect_words(one: CheaperBuild, style: Style) -> str:
    """What is taken of it, a layer's resistance in the units of the ledger."""
    if one.area_m2 is None:
        return f"down to {one.effect:g} {one.effect_unit}"
    if style.show is Show.US:
        return f"{one.effect * SI_OF_A_BTU_U:.2g} h ft2 °F/Btu more"
    return f"{one.effect:.2g} {one.effect_unit} more"


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
