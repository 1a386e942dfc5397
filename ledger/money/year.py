"""The typical year's money: with a typical year and without one, of all builds and of each."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ledger.errors import Notice
from ledger.heat.results import TypicalHeat
from ledger.model.build import Build
from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.money.avoided import to_year_money
from ledger.money.builds import part_of_year
from ledger.money.priced import price_energy
from ledger.money.project import YearMoney, number
from ledger.money.running import RunningYear, UpkeepYear, typical_running, typical_upkeep

# A total this near 0 cannot be split in proportion. [kWh]
NO_HEAT_KWH = 1e-9


def year_money(
    ledger: Ledger, heat: TypicalHeat | None, source: Source, *, running: RunningYear, upkeep: UpkeepYear
) -> tuple[YearMoney, tuple[Notice, ...]]:
    """The year's money against a source; without a typical year the saving is unknown, never 0.

    Parameters
    ----------
    ledger : prices and growths.
    heat : the typical year, or None.
    source : the one whose heat is avoided.
    running, upkeep : of the builds.

    Returns
    -------
    YearMoney, notices
    """
    if heat is not None:
        return to_year_money(ledger, heat, source, running=running, upkeep=upkeep)
    unknown = YearMoney(
        avoided_kwh=None,
        avoided_fuel_cost=None,
        fuel_growth=number(source.price_growth),
        avoided_labour_cost=0.0,
        running_energy_cost=running.energy_cost,
        energy_growth=number(ledger.electricity.price_growth),
        running_labour_cost=running.labour_cost,
        running_other_cost=running.other_cost,
        upkeep_cost=upkeep.cost,
        upkeep_labour_cost=upkeep.labour_cost,
    )
    return unknown, ()


def shares_of(parts: Mapping[str, float | None]) -> Mapping[str, float] | None:
    """Each build's share of the avoided heat, from kilowatt-hours; None where one is unknown or there is none to share.

    Parameters
    ----------
    parts : avoided heat by build. [kWh]

    Returns
    -------
    mapping : shares that sum to 1. [-]
    """
    known = {name: kwh for name, kwh in parts.items() if kwh is not None}
    total = sum(known.values())
    if len(known) < len(parts) or abs(total) < NO_HEAT_KWH:
        return None
    return {name: kwh / total for name, kwh in known.items()}


def build_years(
    ledger: Ledger, year: YearMoney, shares: Mapping[str, float] | None, *, fan_kwh: float | None
) -> Mapping[str, YearMoney | None]:
    """The part of the year's money that is each build's; None where the saving cannot be split.

    Parameters
    ----------
    ledger : builds and season book.
    year : of all builds together.
    shares : of the avoided heat, by build.
    fan_kwh : energy of the logged fan in a season; it can be told apart only where one build stands. [kWh]

    Returns
    -------
    mapping : by build's name.
    """
    if shares is None:
        return {b.name: None for b in ledger.builds}
    own_fan = fan_kwh if len(ledger.builds) == 1 else None
    return {b.name: _build_year(ledger, b, year, shares[b.name], fan_kwh=own_fan) for b in ledger.builds}


def _build_year(ledger: Ledger, build: Build, year: YearMoney, share: float, *, fan_kwh: float | None) -> YearMoney:
    running = typical_running(ledger, (build,), fan_kwh=fan_kwh)[0]
    energy = price_energy(ledger, running)
    part = part_of_year(year, share, running=running, upkeep=typical_upkeep(ledger, (build,)))
    return replace(part, later_energy_cost=None if energy is None else energy.later)
