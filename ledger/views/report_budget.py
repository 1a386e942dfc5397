"""A year's running cost in the words of a farm's cash budget."""

from __future__ import annotations

import re
from collections.abc import Iterable
from enum import StrEnum

from ledger.appraisal import Appraisal
from ledger.money.book_spans import is_running
from ledger.money.running import UpkeepBasis, typical_running, typical_upkeep
from ledger.plans.results import Plan
from ledger.views.fan import fan_kwh_of
from ledger.views.figures import NOT_KNOWN, Measure, show_figure
from ledger.views.report_parts import Grid, Part, Prose, Section, name_of
from ledger.views.row import is_placeholder, style_of

_HEADING = "A year's cash, in the words of a farm budget"


class BudgetLine(StrEnum):
    """The lines of a farm's cash budget that a house asks for, and own work, which is no cash."""

    FUEL = "Fuel"
    UTILITIES = "Utilities"
    REPAIRS = "Repairs"
    SUPPLIES = "Supplies"
    OWN_WORK = "Own work, priced"


_WORDS = (
    (BudgetLine.FUEL, r"fire ?wood|\bwood\b|propane|\bgas\b|\boil\b|pellet|\bfuel"),
    (BudgetLine.UTILITIES, r"electric|\bpower\b|\bcurrent\b|\bkwh\b|\bwater\b|\bmeter"),
    (BudgetLine.REPAIRS, r"belt|filter|chimney|sweep|repair|mend|bearing|\bfan\b|pump|motor|seal|clean|service|inspect"
                         r"|maint|replac|screen|film|pipe|valve|thermostat|probe|battery"),
)  # fmt: skip
RULE = (
    "Electricity is utilities; upkeep goes by its words: belts, filters, chimney and mending are repairs, the rest "
    "supplies."
)


def budget_line(what: str) -> BudgetLine:
    """Where a line of upkeep belongs by its words; repairs come first, so that a water pump is mended, not drawn."""
    text = what.lower()
    for line in (BudgetLine.REPAIRS, BudgetLine.FUEL, BudgetLine.UTILITIES):
        if re.search(dict(_WORDS)[line], text):
            return line
    return BudgetLine.SUPPLIES


def budget_section(a: Appraisal) -> Section:
    """Fuel, utilities, repairs, supplies and own work of a first year, without the build and with it."""
    style, money = style_of(a), a.typical_money
    alone, built = plans_against(a)
    if alone is None or built is None or money is None:
        return Section(_HEADING, (Prose("Not known: there is no typical year to reckon from."),))
    lines = budget_lines(a, alone, built)
    rows = tuple((words, *(_shown(value, a) for value in values)) for words, values in lines if _cash(words, values))
    head = (f"{style.currency}, heat from {name_of(a.worth.against, most=26)}", "without", "with build")
    parts: list[Part] = [Grid("First-year costs at base-date prices", head, rows), Prose(_note(a))]
    return Section(_HEADING, tuple(parts))


def _cash(words: str, values: tuple[float | None, float | None]) -> bool:
    """The four lines of a cash budget always stand; own work only where it has a price."""
    return words != BudgetLine.OWN_WORK or any(value != 0.0 for value in values)


def plans_against(a: Appraisal) -> tuple[Plan | None, Plan | None]:
    """The headline's heater alone, and with all builds."""
    every = {build.name for build in a.source.builds}
    own = [plan for plan in a.plans if plan.source == a.worth.against]
    alone = next((plan for plan in own if not plan.builds), None)
    return alone, next((plan for plan in own if plan.builds and set(plan.builds) == every), None)


def budget_lines(a: Appraisal, alone: Plan, built: Plan) -> tuple[tuple[str, tuple[float | None, float | None]], ...]:
    """Each line's money without the build and with it; they add up to the plans' first-year cost. None: not known."""
    electric = a.source.source(a.worth.against).kind.electric
    heat = BudgetLine.UTILITIES if electric else BudgetLine.FUEL
    columns: list[dict[BudgetLine, float | None]] = []
    for plan, own in ((alone, {}), (built, _of_the_build(a))):
        column: dict[BudgetLine, float | None] = {line: own.get(line, 0.0) for line in BudgetLine}
        _add(column, heat, plan.fuel_cost)
        _add(column, BudgetLine.OWN_WORK, plan.labour_cost or 0.0)
        _add(column, BudgetLine.REPAIRS, _rest(plan, sum(value or 0.0 for value in own.values())))
        columns.append(column)
    without, built_too = columns
    lines = [(str(line), (without[line], built_too[line])) for line in BudgetLine]
    return (*lines, ("In all", (alone.first_year_cost, built.first_year_cost)))


def _add(column: dict[BudgetLine, float | None], line: BudgetLine, amount: float | None) -> None:
    stands = column[line]
    column[line] = None if stands is None or amount is None else stands + amount


def _of_the_build(a: Appraisal) -> dict[BudgetLine, float]:
    """Running and upkeep of the builds by line: the typical year's sums, split as the season book's words are."""
    money = a.typical_money
    if money is None:
        return {}
    running, _ = typical_running(a.source, a.source.builds, fan_kwh=fan_kwh_of(a))
    upkeep = typical_upkeep(a.source, a.source.builds)
    energy = (money.running_cost or 0.0) - float(running.labour_cost) - float(running.other_cost)
    found = {BudgetLine.UTILITIES: energy}
    found[BudgetLine.OWN_WORK] = float(running.labour_cost) + float(upkeep.labour_cost)
    for line, part in _split(_running_words(a), BudgetLine.UTILITIES).items():
        found[line] = found.get(line, 0.0) + part * float(running.other_cost)
    paid = money.upkeep_cost - float(upkeep.labour_cost)
    for line, part in _split(_upkeep_words(a, upkeep.basis), BudgetLine.REPAIRS).items():
        found[line] = found.get(line, 0.0) + part * paid
    return found


def _running_words(a: Appraisal) -> list[tuple[str, float]]:
    """Lines with a quantity and no energy: what the builds use up that is no electricity."""
    names = {build.name for build in a.source.builds}
    return [(x.what, float(x.amount or 0)) for x in a.source.running
            if x.target in names and x.energy_kwh is None and is_running(x)]  # fmt: skip


def _upkeep_words(a: Appraisal, basis: UpkeepBasis) -> list[tuple[str, float]]:
    if basis is UpkeepBasis.EXPECTED:
        return [(one.what, float(one.amount.likely)) for build in a.source.builds for one in build.upkeep]
    names = {build.name for build in a.source.builds}
    return [(x.what, float(x.amount or 0)) for x in a.source.running if x.target in names and not is_running(x)]


def _split(lines: Iterable[tuple[str, float]], wordless: BudgetLine) -> dict[BudgetLine, float]:
    """Each line's part of the whole; what stands without words goes where said."""
    found: dict[BudgetLine, float] = {}
    for what, amount in lines:
        found[budget_line(what)] = found.get(budget_line(what), 0.0) + amount
    whole = sum(found.values())
    return {line: amount / whole for line, amount in found.items()} if whole > 0 else {wordless: 1.0}


def _rest(plan: Plan, own: float) -> float | None:
    """What is left of a first year's cost once heat, work and the build's own are taken off: the heater's upkeep."""
    if plan.first_year_cost is None or plan.fuel_cost is None:
        return None
    rest = plan.first_year_cost - plan.fuel_cost - (plan.labour_cost or 0.0) - own
    return 0.0 if abs(rest) < 1e-6 else rest


def _shown(value: float | None, a: Appraisal) -> str:
    return NOT_KNOWN if value is None else show_figure(value, Measure.MONEY, style_of(a)).text


def _note(a: Appraisal) -> str:
    if is_placeholder(a):
        return f"{RULE} What is still to be bought with the build is a placeholder, at the likeliest lift."
    return RULE
