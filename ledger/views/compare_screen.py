"""The screen of `compare`: what decides in a few lines, then every way to heat side by side."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.appraisal import Appraisal
from ledger.plans.results import Plan
from ledger.views.answer import HEATER_CAUTION
from ledger.views.around import cut_glance, no_heater_lines, power_cut_lines, power_lines, tie_lines
from ledger.views.cheaper import cheaper_lines, measure_lines, sure_lines
from ledger.views.closing import warning_lines
from ledger.views.figures import Measure, Style, show_figure
from ledger.views.fuels import cop_lines, fuel_words, rocket_lines
from ledger.views.grid import grid_lines
from ledger.views.row import is_placeholder, nothing_to_compare, style_of
from ledger.views.screen import Screen
from ledger.views.tables import PLAN_COLUMNS, Cell, Column, Table, plan_table, plans_in_order

PLACEHOLDER = (
    "The bare house is only assumed here, so what the build saves is a placeholder: appraise shows its span and the "
    "cheapest way to find out."
)
EXPECTED = "No month is logged here, so what a build saves is the share of the need that the ledger expects of it."

_PLAN = {column.key: column for column in PLAN_COLUMNS}
_COST_KEYS = (
    "rank",
    "name",
    "capital",
    "first_year_cost",
    "annual_cost",
    "life_cycle_cost",
    "life_cycle_cost_without_work",
)
_FUEL_COLUMNS = (
    _PLAN["name"],
    Column("fuel", "Fuel a year", Measure.WORDS),
    Column("fuel_cost", "Fuel costs", Measure.MONEY, "none"),
    Column("fuel_cost_per_delivered_kwh", "A kWh of heat", Measure.PRICE_PER_KWH, "-"),
    Column("labour_hours", "Own work", Measure.HOURS),
    _PLAN["nights_to_tend"],
)
_COPING_COLUMNS = (
    _PLAN["name"],
    _PLAN["heat_to_buy_kwh"],
    Column("peak_need_kw", "Coldest night asks", Measure.POWER),
    _PLAN["output_kw"],
    _PLAN["unmet_kwh"],
    _PLAN["holds_design_night"],
    _PLAN["works_in_power_cut"],
)


def compare_lines(appraisal: Appraisal, *, screen: Screen) -> list[str]:
    """Every way to heat side by side: what decides, money, fuel and work, whether it copes, where it ties."""
    title = screen.title(appraisal.identity.title)
    if not appraisal.plans:
        return title + screen.prose(nothing_to_compare(appraisal))
    return [
        *title,
        *_glance(appraisal, screen),
        *_cost(appraisal, screen),
        *_fuel(appraisal, screen),
        *_coping(appraisal, screen),
        *tie_lines(appraisal, screen),
        *sure_lines(appraisal, screen),
        *cheaper_lines(appraisal, screen),
        *measure_lines(appraisal, screen),
        *power_lines(appraisal, screen),
        "",
        *screen.prose(HEATER_CAUTION),
        *warning_lines(appraisal, screen=screen),
    ]


def _glance(a: Appraisal, screen: Screen) -> list[str]:
    """Which is cheapest, which works in a power cut, which costs evenings."""
    style, years = style_of(a), a.source.terms.study_years
    ranked = sorted((p for p in a.plans if p.rank is not None), key=lambda p: p.rank or 0)
    chosen = (
        (f"Cheapest over {years} years", ranked),
        ("Cheapest that works in a power cut", [p for p in ranked if p.works_in_power_cut]),
        ("Cheapest that takes no evenings", [p for p in ranked if not _evenings(p)]),
    )
    lines = screen.heading("What decides?")
    for words, plans in chosen:
        if plans:
            cost = show_figure(plans[0].life_cycle_cost, Measure.MONEY, style)
            lines += screen.bullet(f"{words}: {plans[0].name}, {cost}.")
        else:
            lines += screen.bullet(f"{words}: none of those that cope.")
    lines += screen.bullet(_evening_words(a, style))
    cut = cut_glance(a)
    lines += [] if cut is None else screen.bullet(cut)
    if is_placeholder(a):
        lines += screen.prose(PLACEHOLDER, indent=2)
    elif a.typical_heat is not None and a.typical_heat.basis == "expected":
        lines += screen.prose(EXPECTED, indent=2)
    return lines


def _evenings(plan: Plan) -> bool:
    """Whether a plan takes someone's time; unknown work counts as such."""
    return plan.labour_hours is None or plan.labour_hours > 0.0 or bool(plan.nights_to_tend)


def _evening_words(a: Appraisal, style: Style) -> str:
    """Which heaters cost evenings, with nothing built and with all of it."""
    every = tuple(build.name for build in a.source.builds)
    said = []
    for source in a.source.sources:
        alone = next((p for p in a.plans if p.source == source.name and not p.builds), None)
        built = next((p for p in a.plans if p.source == source.name and p.builds == every and every), None)
        if alone is None or not _evenings(alone):
            continue
        words = f"{source.name} ({_evening_part(alone, style)}"
        said.append(f"{words}; with the build {_evening_part(built, style)})" if built is not None else f"{words})")
    if not said:
        return "Costs evenings: none of them."
    return f"Costs evenings: {', '.join(said)}."


def _evening_part(plan: Plan, style: Style) -> str:
    hours = show_figure(plan.labour_hours, Measure.HOURS, style)
    work = f"{hours} of work a year" if plan.labour_hours is not None else "work not known"
    if plan.nights_to_tend is None:
        return f"{work}, nights not known: burn_hours is not typed"
    return f"{work}, {plan.nights_to_tend} nights to get up"


def _cost(a: Appraisal, screen: Screen) -> list[str]:
    years, rate = a.source.terms.study_years, a.source.labour_rate_per_h
    lines = screen.heading("What does each way to heat cost?")
    lines += grid_lines(plan_table(a).only(_COST_KEYS), style=style_of(a), screen=screen)
    work = (
        "has no price here"
        if rate is None
        else f"counts {show_figure(rate.likely, Measure.MONEY, style_of(a))} an hour"
    )
    text = f"All years: life-cycle cost over {years} years, in today's money. Own work {work}."
    no_rank = "Ways that cannot hold it, or leave some heat missing, have no rank."
    return lines + screen.prose(f"{text} {no_rank}", indent=2)


def _fuel(a: Appraisal, screen: Screen) -> list[str]:
    rows: Sequence[tuple[Cell, ...]] = [
        (
            p.name,
            fuel_words(p, a.source),
            p.fuel_cost,
            p.fuel_cost_per_delivered_kwh,
            p.labour_hours,
            p.nights_to_tend,
        )
        for p in plans_in_order(a)
        if p.source is not None
    ]
    lines = screen.heading("What does it burn, and who feeds it?")
    lines += grid_lines(Table("Fuel", _FUEL_COLUMNS, tuple(rows)), style=style_of(a), screen=screen)
    lines += screen.prose("A kWh of heat: what its fuel costs, without work and without the heater.", indent=2)
    return lines + cop_lines(a.source, screen, style_of(a)) + rocket_lines(a.source, screen)


def _coping(a: Appraisal, screen: Screen) -> list[str]:
    rows: Sequence[tuple[Cell, ...]] = [
        (
            p.name,
            p.heat_to_buy_kwh,
            p.peak_need_kw,
            p.output_kw if p.source is not None else 0.0,
            p.unmet_kwh,
            p.holds_design_night,
            p.works_in_power_cut if p.source is not None else "no heater",
        )
        for p in plans_in_order(a)
    ]
    lines = screen.heading("Does it cope?")
    lines += grid_lines(Table("Coping", _COPING_COLUMNS, tuple(rows)), style=style_of(a), screen=screen)
    return lines + screen.prose(_nights_only(a), indent=2) + no_heater_lines(a, screen) + power_cut_lines(a, screen)


def _nights_only(a: Appraisal) -> str:
    """What the coldest night is, and that only nights are in the heat, where no model is believed."""
    stated = a.source.site.design_temperature_c
    night = "the coldest hour of the log" if stated is None else show_figure(stated, Measure.TEMPERATURE, style_of(a))
    text = f"Coldest night: {night}, stores empty as on a third cold night."
    if a.typical_heat is None or a.typical_heat.bare == "model":
        return text
    return f"{text} The heat is that of the nights; sunless days come on top."
