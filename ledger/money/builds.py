"""Builds one by one: each with its part of the saving, of the capital and of the grants."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import isnan

import numpy as np

from ledger.model.ledger import Ledger
from ledger.money.project import FloatArray, Number, YearMoney, build_project
from ledger.money.results import BuildFigures
from ledger.money.running import RunningYear, UpkeepYear
from ledger.money.worth import counted, npv, simple_payback


def builds(ledger: Ledger, years: Mapping[str, YearMoney | None]) -> tuple[BuildFigures, ...]:
    """Each build's own net capital, simple payback and present value.

    A grant for one build is that build's; a grant for all is split by the builds' money counted for the heat.

    Parameters
    ----------
    ledger : builds and terms.
    years : by build's name, its part of the typical year's money (`part_of_year`); None or absent where the saving
        cannot be split.

    Returns
    -------
    tuple of BuildFigures : in the ledger's order [currency, kWh, a].
    """
    return tuple(_figures(ledger, b.name, years.get(b.name)) for b in ledger.builds)


def part_of_year(year: YearMoney, saving_part: Number, *, running: RunningYear, upkeep: UpkeepYear) -> YearMoney:
    """A build's part of the year: so much of the avoided heat, with that build's own running cost and upkeep.

    Parameters
    ----------
    year : of all builds together.
    saving_part : the build's part of the avoided heat. [-]
    running, upkeep : the build's own, from `typical_running` and `typical_upkeep`.

    Returns
    -------
    YearMoney
    """
    return replace(
        year,
        avoided_kwh=_times(year.avoided_kwh, saving_part),
        avoided_fuel_cost=_times(year.avoided_fuel_cost, saving_part),
        avoided_labour_cost=year.avoided_labour_cost * saving_part,
        running_energy_cost=running.energy_cost,
        running_labour_cost=running.labour_cost,
        running_other_cost=running.other_cost,
        upkeep_cost=upkeep.cost,
        upkeep_labour_cost=upkeep.labour_cost,
        later_fuel_cost=_yearly_times(year.later_fuel_cost, saving_part),
    )


_NOTHING_KNOWN = YearMoney(
    avoided_kwh=None,
    avoided_fuel_cost=None,
    fuel_growth=0.0,
    avoided_labour_cost=0.0,
    running_energy_cost=None,
    energy_growth=0.0,
    running_labour_cost=0.0,
    running_other_cost=0.0,
    upkeep_cost=0.0,
)


def _figures(ledger: Ledger, name: str, year: YearMoney | None) -> BuildFigures:
    project = build_project(ledger, name, year or _NOTHING_KNOWN)
    net_capital = float(counted(project) - project.grants)
    if year is None or year.avoided_fuel_cost is None:
        return BuildFigures(name, None, net_capital, None, None)
    payback = float(simple_payback(project))
    return BuildFigures(
        name=name,
        avoided_kwh=None if year.avoided_kwh is None else float(year.avoided_kwh),
        net_capital=net_capital,
        simple_payback_years=None if isnan(payback) else payback,
        npv=float(npv(project)),
    )


def _yearly_times(amounts: FloatArray | None, factor: Number) -> FloatArray | None:
    return None if amounts is None else np.asarray(np.asarray(factor)[..., None] * amounts)


def _times(amount: Number | None, factor: Number) -> Number | None:
    return None if amount is None else amount * factor
