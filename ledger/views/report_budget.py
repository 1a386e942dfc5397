"""A year's running cost in the words of a farm's cash budget."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.plans.results import Plan
from ledger.views.figures import NOT_KNOWN, Measure, show_figure
from ledger.views.report_parts import Grid, Part, Prose, Section, name_of
from ledger.views.row import is_placeholder, style_of

_HEADING = "A year's cash, in the words of a farm budget"


def budget_section(a: Appraisal) -> Section:
    """Fuel, utilities, repairs, supplies and own work of a first year, without the build and with it."""
    style, money = style_of(a), a.typical_money
    alone, built = plans_against(a)
    if alone is None or built is None or money is None:
        return Section(_HEADING, (Prose("Not known: there is no typical year to reckon from."),))
    lines = budget_lines(a, alone, built)
    rows = tuple(
        (words, *(_shown(value, a) for value in values)) for words, values in lines if any(v != 0.0 for v in values)
    )
    head = (f"{style.currency}, heat from {name_of(a.worth.against, most=26)}", "without", "with build")
    parts: list[Part] = [Grid("First-year costs at base-date prices", head, rows), Prose(_note(a))]
    return Section(_HEADING, tuple(parts))


def plans_against(a: Appraisal) -> tuple[Plan | None, Plan | None]:
    """The headline's heater alone, and with all builds."""
    every = {build.name for build in a.source.builds}
    own = [plan for plan in a.plans if plan.source == a.worth.against]
    alone = next((plan for plan in own if not plan.builds), None)
    return alone, next((plan for plan in own if plan.builds and set(plan.builds) == every), None)


def budget_lines(a: Appraisal, alone: Plan, built: Plan) -> tuple[tuple[str, tuple[float | None, float | None]], ...]:
    """Each line's money without the build and with it; they add up to the plans' first-year cost. None: not known."""
    money = a.typical_money
    running = None if money is None else money.running_cost
    electric = a.source.source(a.worth.against).kind.electric
    nothing = (0.0, 0.0)
    fuel = (alone.fuel_cost, built.fuel_cost)
    work = (alone.labour_cost, built.labour_cost)
    repairs = (_rest(alone, 0.0), _rest(built, running or 0.0))
    return (
        ("Fuel (heat to buy)", nothing if electric else fuel),
        ("Utilities (heat to buy)", fuel if electric else nothing),
        ("Utilities (running the build)", (0.0, running)),
        ("Repairs (upkeep of build and heater)", repairs),
        ("Own work with the heater", work),
        ("In all", (alone.first_year_cost, built.first_year_cost)),
    )


def _rest(plan: Plan, running: float) -> float | None:
    """What is left of a first year's cost once heat, work and running are taken off: the upkeep."""
    if plan.first_year_cost is None or plan.fuel_cost is None:
        return None
    rest = plan.first_year_cost - plan.fuel_cost - (plan.labour_cost or 0.0) - running
    return 0.0 if abs(rest) < 1e-6 else rest


def _shown(value: float | None, a: Appraisal) -> str:
    return NOT_KNOWN if value is None else show_figure(value, Measure.MONEY, style_of(a)).text


def _note(a: Appraisal) -> str:
    words = ["Supplies: none are noted apart from these."]
    if is_placeholder(a):
        words.append("What is still to be bought with the build is a placeholder, at the likeliest lift.")
    return " ".join(words)
