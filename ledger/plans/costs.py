"""What a plan costs over the study: every plan is laid out by the same flows as the worth of the build."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from ledger.errors import Notice
from ledger.model.build import Build
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange
from ledger.money.avoided import Bought, work_money
from ledger.money.priced import price_energy, price_fuel
from ledger.money.project import (
    Number,
    Project,
    ProjectItem,
    YearMoney,
    anniversary,
    build_project,
    number,
    project_from,
)
from ledger.money.running import RunningBasis, RunningYear, UpkeepBasis, UpkeepYear
from ledger.money.worth import counted, npv

NO_RUNNING = RunningYear(RunningBasis.EXPECTED, 0.0, 0.0, 0.0, 0.0, 0.0)
NO_UPKEEP = UpkeepYear(UpkeepBasis.EXPECTED, 0.0, 0.0, 0.0, 0)


@dataclass(frozen=True, slots=True, eq=False)
class BuildYear:
    """The builds of a plan with what they cost to run and keep up in a typical year."""

    builds: tuple[Build, ...]
    running: RunningYear
    upkeep: UpkeepYear


NOTHING_BUILT = BuildYear((), NO_RUNNING, NO_UPKEEP)


@dataclass(frozen=True, slots=True, eq=False)
class PlanMoney:
    """A plan's money. All costs positive; Numbers may be arrays over draws.

    Attributes
    ----------
    project : its dated cash, all of it as costs.
    capital : what is paid for it by this study: net capital of the builds, sources not yet owned. None: unknown.
    fuel_cost, labour_cost : first year at base-date prices; labour_cost None where its hours are unknown.
    labour_hours : a year; None where unknown. [h]
    first_year_cost : fuel, own work, upkeep, running of the builds.
    life_cycle_cost : present value of all costs less what is left; None where a capital is unknown.
    before_work : work has a price but its hours are not known: all money is before it.
    """

    project: Project
    capital: Number | None
    fuel_cost: Number
    labour_hours: Number | None
    labour_cost: Number | None
    first_year_cost: Number
    life_cycle_cost: Number | None
    before_work: bool


def plan_money(ledger: Ledger, built: BuildYear, bought: Sequence[Bought]) -> PlanMoney:
    """Lay out a plan over the study.

        life-cycle cost = capital + replacements − residual + fuel + own work + upkeep, each discounted as in the worth
                          of the build, + the build's own costs

    Differs from a first-year cost, and from costs of plans with unequal lives: all run over the same study, worn-out
    units are bought again, and what is left of the last is taken off.

    Parameters
    ----------
    ledger : terms, prices, capital.
    built : none, one, or all builds.
    bought : heat of a year by source, from `buy_heat`.

    Returns
    -------
    PlanMoney

    Source
    ------
    10 CFR 436.19 (life-cycle cost); NIST Handbook 135.
    """
    units = [(b.source, b.units) for b in bought]
    fuel, energy = price_fuel(ledger, units), price_energy(ledger, built.running)
    work, unknown_work = work_money(ledger, units)
    hours = _own_hours(bought)
    kept_up = sum((number(b.source.upkeep_per_year) * b.source.units for b in bought), 0.0)
    year = YearMoney(
        avoided_kwh=None,
        avoided_fuel_cost=-fuel.base_cost,
        fuel_growth=number(bought[0].source.price_growth) if bought else 0.0,
        avoided_labour_cost=-work,
        running_energy_cost=built.running.energy_cost,
        energy_growth=number(ledger.electricity.price_growth),
        running_labour_cost=built.running.labour_cost,
        running_other_cost=built.running.other_cost,
        upkeep_cost=built.upkeep.cost + kept_up,
        upkeep_labour_cost=built.upkeep.labour_cost,
        fuel_price_path=fuel.path,
        energy_price_path=None if energy is None else energy.path,
        later_fuel_cost=None if fuel.later is None else -fuel.later,
        later_energy_cost=None if energy is None else energy.later,
    )
    builds_only = _project_of(ledger, built.builds, year)
    project, paid = _with_sources(ledger, builds_only, [b.source for b in bought])
    running = built.running.total
    own_costs = (0.0 if running is None else running) + built.upkeep.total
    return PlanMoney(
        project=project,
        capital=None if paid is None else counted(builds_only) - builds_only.grants + paid,
        fuel_cost=fuel.base_cost,
        labour_hours=hours,
        labour_cost=None if unknown_work else work,
        first_year_cost=fuel.base_cost + work + kept_up + own_costs,
        life_cycle_cost=None if paid is None else 0.0 - npv(project),
        before_work=bool(unknown_work),
    )


def _own_hours(bought: Sequence[Bought]) -> Number | None:
    hours: Number = 0.0
    for part in bought:
        if part.own_hours is None:
            return None
        hours = hours + part.own_hours
    return hours


def _project_of(ledger: Ledger, builds: tuple[Build, ...], year: YearMoney) -> Project:
    if not builds:
        return replace(project_from(ledger, year), items=(), grants=0.0)
    if len(builds) == len(ledger.builds):
        return project_from(ledger, year)
    if len(builds) == 1:
        return build_project(ledger, builds[0].name, year)
    raise ValueError("a plan holds no build, one, or all of them")


def _with_sources(ledger: Ledger, project: Project, sources: Sequence[Source]) -> tuple[Project, Number | None]:
    """Add the sources' units to a project; also what has to be paid for them, None where a capital is unknown.

    A unit that is owned costs nothing in year 0: bought within the year up to the base date, its capital is handed
    back there; bought earlier, its year lies before the study.
    """
    items = list(project.items)
    grants = project.grants
    paid: Number = 0.0
    for source in sources:
        if source.capital is None:
            if not _outlives(source, ledger):
                return project, None
            continue
        item = source_item(source, source.capital, base_date=ledger.terms.base_date)
        items.append(item)
        if source.bought is None or item.year > 0:
            paid = paid + item.counted
        elif item.year == 0:
            grants = grants + item.counted
    return replace(project, items=tuple(items), grants=grants), paid


def source_item(source: Source, capital: MoneyRange, *, base_date: date) -> ProjectItem:
    """All units of a source as an item of a project: bought in year 0, or in the year that holds `bought`.

    A unit that is owned and past its life still serves: it is taken to be replaced in year 1.

    Parameters
    ----------
    source : with its units and life.
    capital : of one unit. [currency]
    base_date : year 0 ends on it.

    Returns
    -------
    ProjectItem : year may be below 0.
    """
    money = number(capital) * source.units
    life = number(source.life_years)
    year = 0 if source.bought is None else _year_bought(source.bought, base_date)
    if source.bought is not None:
        year = max(year, math.floor(1.0 - float(np.mean(life))))
    return ProjectItem(
        build=source.name, year=year, counted=money, own_work=0.0, residual_counted=0.0 * money, life_years=life
    )


def _year_bought(day: date, base_date: date) -> int:
    """The year of a day by the rule of the study, carried on below 0."""
    years = day.year - base_date.year
    return years if day <= anniversary(base_date, years) else years + 1


def _outlives(source: Source, ledger: Ledger) -> bool:
    """Whether an owned source of unknown capital needs no replacement inside the study."""
    if source.bought is None:
        return False
    age_at_end = ledger.terms.study_years - _year_bought(source.bought, ledger.terms.base_date)
    return age_at_end <= float(np.mean(number(source.life_years)))


def capital_unknown(name: str) -> Notice:
    """Say that a plan has no life-cycle cost because what its heater costs is not known."""
    text = f"what '{name}' costs to buy is not known (capital): its plans have no life-cycle cost and no rank"
    return Notice("source-capital-unknown", text, "source")
