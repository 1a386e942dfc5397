"""The screen of `stress`: a hard winter, what the build still gives in it, what must be bought, who copes."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.plans.model_winter import WHOLE
from ledger.plans.results import Stress
from ledger.plans.stress import BY_MODEL
from ledger.views.answer import HEATER_CAUTION
from ledger.views.around import power_cut_lines, power_lines
from ledger.views.figures import Measure, Style, show_figure, show_span
from ledger.views.fuels import hard_fuel_words, rocket_lines
from ledger.views.grid import grid_lines
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen
from ledger.views.tables import Column, Table
from ledger.views.text import sentence

NOTHING = (
    "There is no hard winter to look at yet: only a logged winter shows what the build still gives in the cold, and "
    "no season is logged in which the house's need can be reckoned. What the coldest night asks of a heater, compare "
    "says."
)

MODEL_HOW = (
    "The house as the model found it in the log is run through this winter, bare and built, free and held at the hold "
    "temperature. The deep ground stays as warm as in the logged winter."
)

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
    title = screen.title(appraisal.identity.title)
    hard = appraisal.around.stress
    if hard is None:
        return [*title, "", *screen.prose(NOTHING)]
    return [
        *title,
        *_worst(appraisal, screen, record),
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
    lines = screen.heading(f"{winter_words(hard, style, record)}: what would it ask?")
    shown = [(label, show_figure(value, measure, style)) for label, value, measure in _asked(hard)]
    lines += screen.figures((label, figure.text, figure.unit) for label, figure in shown)
    return lines + screen.prose(_sums(a, hard, style, record), indent=2)


def _asked(hard: Stress) -> list[tuple[str, float | None, Measure]]:
    """Need, given, bought: a limit seen in the log gives two ends, a run of the model a likely value."""
    model = hard.by == BY_MODEL
    rows: list[tuple[str, float | None, Measure]] = [
        ("Heat needed without the build", hard.need_kwh, Measure.HEAT),
        ("Given by the build" if model else "Given by the build, at most", hard.avoided_kwh, Measure.HEAT),
        ("Has to be bought" if model else "Has to be bought, at least", hard.to_buy_kwh, Measure.HEAT),
    ]
    if hard.to_buy_most_kwh is not None:
        rows.append(("Has to be bought, at the most", hard.to_buy_most_kwh, Measure.HEAT))
    return [*rows, ("Coldest night asks for", hard.peak_need_kw, Measure.POWER)]


def _sums(a: Appraisal, hard: Stress, style: Style, record: str | None) -> str:
    if hard.by == BY_MODEL:
        text = "The house model run through the whole season, day and night."
        if hard.to_buy_range_kwh is not None:
            band = hard.to_buy_range_kwh
            text += f" To buy, eight times in ten: {show_span(band.p10, band.p90, Measure.HEAT, style)}."
    else:
        text = "Sums over the hours logged that count." if record is None else "Sums over the hours that count."
    logged = next((s.heat for s in a.seasons if s.heat.season == hard.season and record is None), None)
    if logged is None or not hard.colder_k:
        return text
    whole = hard.by == BY_MODEL and logged.need_whole_season_kwh is not None and logged.coverage >= WHOLE
    need, avoided = (
        (logged.need_whole_season_kwh, logged.avoided_whole_season_kwh)
        if whole
        else (logged.need_kwh, logged.avoided_kwh)
    )
    bought = show_figure((need or 0.0) - (avoided or 0.0), Measure.HEAT, style)
    return f"{text} As it was, {bought} had to be bought."


def _worst(a: Appraisal, screen: Screen, record: str | None) -> list[str]:
    """The hardest winter of the ledger's own long record, as it was."""
    worst = a.around.worst_winter
    if worst is None or record is not None:
        return []
    style = style_of(a)
    shown = [(label, show_figure(value, measure, style)) for label, value, measure in _asked(worst)]
    lines = screen.heading(f"The hardest winter of the long outdoor record, {worst.season}, as it was?")
    lines += screen.figures((label, figure.text, figure.unit) for label, figure in shown)
    return lines + screen.prose(_cold_nights(worst, "With the build and no heater"), indent=2)


def _cold_nights(hard: Stress, who: str) -> str:
    nights = "" if hard.nights_counted is None else f" of {hard.nights_counted}"
    least = "" if hard.by == BY_MODEL else "at least "
    return (
        f"{who} {least}{hard.nights_short}{nights} nights would fall below hold, {hard.longest_run_short} of them in "
        f"one run; {hard.frost_hours:,} hours of frost indoors."
    )


def _no_heater(a: Appraisal, hard: Stress, screen: Screen) -> list[str]:
    nights = screen.prose(_cold_nights(hard, "Without a heater"), indent=2)
    return screen.heading("With the build and no heater?") + nights + power_cut_lines(a, screen)


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
    if hard.by == BY_MODEL:
        lines += screen.prose(MODEL_HOW, indent=2)
    if hard.cap_kwh is not None:
        cap = show_figure(hard.cap_kwh, Measure.HEAT, style_of(a))
        lines += screen.prose(f"The build is taken to give at most {cap} in a night.", indent=2)
    for notice in hard.notices:
        lines += screen.prose(sentence(notice.text), indent=2)
    if is_placeholder(a):
        text = "The bare house is only assumed here, so need and what the build gives are placeholders."
        lines += screen.prose(text, indent=2)
    return lines
