"""The figures of worth as they are reported: each a number, or None with the reason beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isnan

import numpy as np

from ledger.errors import Notice
from ledger.money.flows import Flows, discounted, flows
from ledger.money.payback import last_crossing_years, simple_payback_years
from ledger.money.project import FloatArray, Number, Project, YearMoney
from ledger.money.results import WorthFigures
from ledger.money.returns import (
    InternalRate,
    adjusted_internal_rate,
    internal_rate,
    modified_rate,
    savings_to_investment,
)
from ledger.money.worth import (
    annual_cost,
    build_life_cycle_cost,
    counted,
    level,
    net_saving,
    net_saving_in_cash,
    npv,
    npv_without_residual,
    present_values,
    values_of,
)

# Less than this of a year's kilowatt-hours or degree-days is none: a cost per unit of it says nothing.
LEAST_DIVISOR = 1e-3


@dataclass(frozen=True, slots=True)
class DegreeDays:
    """Growing degree-days of the typical year that costs are set against. None: unknown. [K·d]"""

    indoor_k_d: float | None = None
    over_outdoors_k_d: float | None = None
    by_build_k_d: float | None = None


@dataclass(frozen=True, slots=True)
class Worth:
    """The figures and what must be said beside them."""

    figures: WorthFigures
    notices: tuple[Notice, ...]


def worth(
    project: Project,
    *,
    against: str,
    others: Mapping[str, YearMoney],
    whole_house: Project,
    degree_days: DegreeDays,
) -> Worth:
    """All figures of worth of a project without draws.

    Parameters
    ----------
    project : the builds at their share for the heat, priced against the headline's source.
    against : that source's name.
    others : for each source, the year's money priced against it (`npv_against`).
    whole_house : the builds at share 1 with the grants off in full (`whole_house_project`).
    degree_days : of the typical year. [K·d]

    Returns
    -------
    Worth : figures [currency, a, 1/a, currency/kWh, currency/K/d]; a None has a notice.

    Source
    ------
    10 CFR 436.19 to 436.23; ASTM E917, E964, E1057, E1074, E1121; 7 CFR 4288.21.
    """
    saving, cash = net_saving(project.year), net_saving_in_cash(project.year)
    if saving is None or cash is None:
        money = _unknown(project, against, others)
    else:
        money = _money_figures(project, saving, cash, against=against, others=others)
    unit, unit_notices = _unit_costs(project, whole_house, degree_days)
    figures = replace(
        money.figures,
        build_life_cycle_cost=float(build_life_cycle_cost(project)),
        build_annual_cost=float(annual_cost(project)),
        heat_cost_per_kwh=unit["heat"],
        avoided_price_per_kwh=unit["avoided"],
        cost_per_gdd_indoor=unit["indoor"],
        cost_per_gdd_over_outdoors=unit["over_outdoors"],
        cost_per_gdd_by_build=unit["by_build"],
    )
    return Worth(figures, money.notices + unit_notices + _general_notices(project))


def _money_figures(
    project: Project, saving: Number, cash: Number, *, against: str, others: Mapping[str, YearMoney]
) -> Worth:
    """Present value, rates and paybacks, where the first year's saving is known, with own work and in cash."""
    streams, d, n = flows(project), float(project.discount_rate), project.study_years
    parts = values_of(streams, d)
    net_today = discounted(streams, d)
    gross = counted(project)
    in_cash = gross - sum((i.own_work for i in project.items), 0.0) - project.grants
    rate = project_internal_rate(streams)
    ratio = savings_to_investment(
        float(parts.saving + parts.running + parts.upkeep),
        -float(parts.capital + parts.replacement + parts.residual),
    )
    before_end = streams.without_residual
    figures = replace(
        _empty(against),
        simple_payback_years=_known(simple_payback_years(gross - project.grants, saving)),
        simple_payback_gross_years=_known(simple_payback_years(gross, saving)),
        simple_payback_cash_years=_known(simple_payback_years(in_cash, cash)),
        payback_with_growth_years=_known(last_crossing_years(before_end)),
        discounted_payback_years=_known(last_crossing_years(_before_end_today(streams, d))),
        npv=float(net_today.sum()),
        npv_without_residual=float(npv_without_residual(project)),
        npv_against={name: _npv_or_none(replace(project, year=year)) for name, year in others.items()},
        irr=rate.rate,
        mirr=modified_rate(net_today, d),
        savings_to_investment_ratio=ratio,
        adjusted_irr=adjusted_internal_rate(ratio, d, n),
    )
    return Worth(figures, _money_notices(figures, rate, n))


def project_internal_rate(streams: Flows) -> InternalRate:
    """The internal rate of a project's flows, the residual at the end of year N. [1/a]"""
    n = streams.times_years.shape[-1] - 1
    amounts = np.append(streams.without_residual, streams.residual[n])
    return internal_rate(amounts, np.append(streams.times_years, float(n)))


def _before_end_today(streams: Flows, discount_rate: float) -> FloatArray:
    """Each year's net flow without the residual, at the base date."""
    return discounted(replace(streams, residual=np.zeros_like(streams.residual)), discount_rate)


def _unit_costs(
    project: Project, whole_house: Project, degree_days: DegreeDays
) -> tuple[dict[str, float | None], tuple[Notice, ...]]:
    """Costs per kilowatt-hour and per degree-day; None with a notice where the divisor is unknown or not positive."""
    year = project.year
    own, whole = float(annual_cost(project)), float(annual_cost(whole_house))
    saved = None if year.avoided_fuel_cost is None else float(level(present_values(project).saving, project))
    kwh = None if year.avoided_kwh is None else float(year.avoided_kwh)
    rows = {
        "heat": (own, kwh, "worth.heat_cost_per_kwh", "avoided heat"),
        "avoided": (saved, kwh, "worth.avoided_price_per_kwh", "avoided heat"),
        "indoor": (whole, degree_days.indoor_k_d, "worth.cost_per_gdd_indoor", "the degree-days indoors"),
        "over_outdoors": (
            whole,
            degree_days.over_outdoors_k_d,
            "worth.cost_per_gdd_over_outdoors",
            "the degree-days over outdoors",
        ),
        "by_build": (own, degree_days.by_build_k_d, "worth.cost_per_gdd_by_build", "the build's own degree-days"),
    }
    costs: dict[str, float | None] = {}
    notices: list[Notice] = []
    for name, (cost, divisor, path, what) in rows.items():
        enough = divisor is not None and divisor >= LEAST_DIVISOR
        costs[name] = cost / divisor if cost is not None and divisor is not None and enough else None
        if divisor is None:
            notices.append(Notice("unit-cost-unknown", f"no cost per unit: {what} could not be reckoned", path))
        elif not enough:
            notices.append(Notice("unit-cost-undefined", f"no cost per unit: {what} came out at 0 or below", path))
    return costs, tuple(notices)


def _money_notices(figures: WorthFigures, rate: InternalRate, study_years: int) -> tuple[Notice, ...]:
    """Why each figure that is None is None, and which number needs a word beside it."""
    rates = f"{rate.roots} rates" if rate.roots else "no rate"
    at_end = figures.npv is not None and figures.npv > 0
    through_end = "; the present value is positive only through the value left at the end" if at_end else ""
    no_saving = "the first year's saving does not cover running cost and upkeep: no payback"
    reasons = {
        "simple_payback_years": no_saving,
        "simple_payback_gross_years": no_saving,
        "simple_payback_cash_years": "without own work the first year saves no cash: no payback in cash",
        "payback_with_growth_years": "the running sum is still below 0 at the end of the study",
        "discounted_payback_years": f"the discounted running sum is still below 0 at the end of the study{through_end}",
        "irr": f"no internal rate: {rates} between −99 % and 1000 % at which the present value is 0",
        "mirr": "no modified rate: it needs a year with a gain and a year with a loss",
        "savings_to_investment_ratio": "no ratio of savings to investment: the net investment is not positive",
        "adjusted_irr": "no adjusted internal rate: the ratio of savings to investment is not positive",
    }
    none = [
        Notice(f"no-{k.replace('_', '-')}", t, f"worth.{k}") for k, t in reasons.items() if getattr(figures, k) is None
    ]
    if figures.simple_payback_years is not None and figures.simple_payback_years > study_years:
        text = "the simple payback lies beyond the years of the study"
        none.append(Notice("payback-beyond-study", text, "worth.simple_payback_years"))
    return tuple(none)


def _general_notices(project: Project) -> tuple[Notice, ...]:
    notices: list[Notice] = []
    if project.year.running_energy_cost is None:
        text = "the build's running cost is not known: the money figures are before running cost"
        notices.append(Notice("running-unknown", text, "typical_year.running_cost"))
    late = [i for i in project.items if i.year > project.study_years]
    if late:
        text = f"{len(late)} item(s) are dated after the last year of the study and take no part in the present value"
        notices.append(Notice("item-after-study", text, "capital.items"))
    return tuple(notices)


def _unknown(project: Project, against: str, others: Mapping[str, YearMoney]) -> Worth:
    """No saving is known: every figure that rests on one is None."""
    figures = replace(
        _empty(against), npv_against={n: _npv_or_none(replace(project, year=y)) for n, y in others.items()}
    )
    text = "what the avoided heat would have cost is not known: no present value, payback or rate"
    return Worth(figures, (Notice("saving-unknown", text, "worth.npv"),))


def _empty(against: str) -> WorthFigures:
    return WorthFigures(
        against=against,
        simple_payback_years=None,
        simple_payback_gross_years=None,
        simple_payback_cash_years=None,
        payback_with_growth_years=None,
        discounted_payback_years=None,
        npv=None,
        npv_without_residual=None,
        npv_against={},
        irr=None,
        mirr=None,
        savings_to_investment_ratio=None,
        adjusted_irr=None,
        build_life_cycle_cost=None,
        build_annual_cost=None,
        heat_cost_per_kwh=None,
        avoided_price_per_kwh=None,
        cost_per_gdd_indoor=None,
        cost_per_gdd_over_outdoors=None,
        cost_per_gdd_by_build=None,
    )


def _npv_or_none(project: Project) -> float | None:
    return None if project.year.avoided_fuel_cost is None else float(npv(project))


def _known(value: FloatArray) -> float | None:
    return None if isnan(float(value)) else float(value)
