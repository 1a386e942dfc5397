"""The screen of `stress`: a hard winter, what the build still gives in it, what must be bought, who copes."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.plans.results import Stress
from ledger.views.answer import HEATER_CAUTION
from ledger.views.around import power_cut_lines, power_lines
from ledger.views.figures import Measure, Style, show_figure
from ledger.views.fuels import hard_fuel_words, rocket_lines
from ledger.views.grid import grid_lines
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen
from ledger.views.tables import Column, Table
from ledger.views.text import sentence

NOTHING = "There is no hard winter to look at: no season is logged in which the house's need can be reckoned."

_COLUMNS = (
    Column("name", "Heat from", Measure.WORDS),
    Column("fuel", "Fuel", Measure.WORDS),
    Column("fuel_cost", "Fuel costs", Measure.MONEY),
    Column("labour_hours", "Own work", Measure.HOURS),
    Column("output_kw", "Gives at most", Measure.POWER),
    Column("unmet_kwh", "Heat it cannot give", Measure.HEAT),
    Column("copes", "Copes in the cold", Measure.WORDS),
)


def stress_lines(appraisal: Appraisal, *, screen: Screen, record: str | None = None) -> list[str]:
    """The hard winter. `record`: bare name of another outdoor record that it was taken from."""
    title = [screen.strong(line) for line in screen.prose(appraisal.identity.title)]
    hard = appraisal.around.stress
    if hard is None:
        return title + screen.prose(NOTHING)
    return [
        *title,
        *_winter(appraisal, hard, screen, record),
        *_no_heater(appraisal, hard, screen),
        *_sources(appraisal, hard, screen),
        *power_lines(appraisal, screen),
        *_how(appraisal, hard, screen),
        "",
        *screen.prose(HEATER_CAUTION),
    ]


def winter_words(hard: Stress, style: Style, record: str | None) -> str:
    """Which winter it is."""
    whose = f"The hardest winter of {record}, {hard.season}" if record is not None else f"The winter {hard.season}"
    if abs(hard.colder_k) < 1e-9:
        return f"{whose}, as it was"
    by = show_figure(abs(hard.colder_k), Measure.DIFFERENCE, style)
    return f"{whose}, {by} {'colder' if hard.colder_k > 0 else 'milder'}"


def _winter(a: Appraisal, hard: Stress, screen: Screen, record: str | None) -> list[str]:
    style = style_of(a)
    figures = [
        ("Heat needed without the build", hard.need_kwh, Measure.HEAT),
        ("Given by the build, at most", hard.avoided_kwh, Measure.HEAT),
        ("Has to be bought", hard.to_buy_kwh, Measure.HEAT),
        ("Coldest night asks for", hard.peak_need_kw, Measure.POWER),
    ]
    shown = [(label, show_figure(value, measure, style)) for label, value, measure in figures]
    lines = screen.heading(f"{winter_words(hard, style, record)}: what would it ask?")
    lines += screen.figures((label, figure.text, figure.unit) for label, figure in shown)
    logged = next((s.heat for s in a.seasons if s.heat.season == hard.season and record is None), None)
    text = "Sums over the hours logged that count." if record is None else "Sums over the hours that count."
    if logged is not None and hard.colder_k:
        text += (
            f" As it was, {show_figure(logged.need_kwh - logged.avoided_kwh, Measure.HEAT, style)} had to be bought."
        )
    return lines + screen.prose(text, indent=2)


def _no_heater(a: Appraisal, hard: Stress, screen: Screen) -> list[str]:
    nights = "" if hard.nights_counted is None else f" of {hard.nights_counted}"
    text = (
        f"{hard.nights_short}{nights} nights would fall below hold, {hard.longest_run_short} of them in one run; "
        f"{hard.frost_hours:,} hours of frost indoors."
    )
    return screen.heading("With the build and no heater?") + screen.prose(text, indent=2) + power_cut_lines(a, screen)


def _sources(a: Appraisal, hard: Stress, screen: Screen) -> list[str]:
    rows = tuple(
        (
            one.name,
            hard_fuel_words(one, a.source),
            one.fuel_cost,
            one.labour_hours,
            one.output_kw,
            one.unmet_kwh,
            "not known" if one.holds_design_night is None else "yes" if one.holds_design_night else "no",
        )
        for one in hard.sources
    )
    lines = screen.heading("What would each heater beside the build cost, and does it cope?")
    lines += grid_lines(Table("Heaters", _COLUMNS, rows), style=style_of(a), screen=screen)
    return lines + rocket_lines(a.source, screen)


def _how(a: Appraisal, hard: Stress, screen: Screen) -> list[str]:
    """What stands behind it: a limit seen in the log, no run of the model."""
    lines = screen.heading("How is this reckoned?")
    if hard.cap_kwh is not None:
        cap = show_figure(hard.cap_kwh, Measure.HEAT, style_of(a))
        lines += screen.prose(f"The build is taken to give at most {cap} in a night.", indent=2)
    for notice in hard.notices:
        lines += screen.prose(sentence(notice.text), indent=2)
    if is_placeholder(a):
        text = "The bare house is only assumed here, so need and what the build gives are placeholders."
        lines += screen.prose(text, indent=2)
    return lines
