"""What a project is worth at the base date, for likely values or for draws: present value, payback, yearly cost."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ledger.money.discounting import annual_equivalent, present_value_factor
from ledger.money.flows import Flows, discounted, flows
from ledger.money.payback import simple_payback_years
from ledger.money.project import FloatArray, Number, Project, YearMoney


@dataclass(frozen=True, slots=True)
class PresentValues:
    """Streams of a project at the base date, costs negative. [currency]"""

    capital: FloatArray
    saving: FloatArray
    running: FloatArray
    upkeep: FloatArray
    replacement: FloatArray
    residual: FloatArray

    @property
    def costs(self) -> FloatArray:
        """The build's own costs as a positive amount: all streams but the saving."""
        return np.asarray(-(self.capital + self.running + self.upkeep + self.replacement + self.residual))


def net_saving(year: YearMoney) -> Number | None:
    """First year's avoided heat less running and upkeep at base-date prices; None where the saving is unknown.

    An unknown running cost counts as 0 here: the figure is before running cost, and the verdict says so.
    """
    if year.avoided_fuel_cost is None:
        return None
    return (
        year.avoided_fuel_cost + year.avoided_labour_cost - _running(year) - year.upkeep_cost - year.upkeep_labour_cost
    )


def known_saving(year: YearMoney) -> Number:
    """The same for a year that has a typical year behind it. [currency/a]

    Raises
    ------
    ValueError : the saving is unknown (our bug: whoever asks has looked for a typical year).
    """
    saving = net_saving(year)
    if saving is None:
        raise ValueError("without a typical year there is no known saving")
    return saving


def net_saving_in_cash(year: YearMoney) -> Number | None:
    """The same without any own work: neither the saved nor that of running and upkeep."""
    if year.avoided_fuel_cost is None:
        return None
    energy = 0.0 if year.running_energy_cost is None else year.running_energy_cost
    return year.avoided_fuel_cost - energy - year.running_other_cost - year.upkeep_cost


def present_values(project: Project) -> PresentValues:
    """Each stream discounted to the base date. [currency]"""
    return values_of(flows(project), project.discount_rate)


def npv(project: Project) -> FloatArray:
    """Net present value over all flows, the residual included; shape of the draws.

        Σ net flow · (1 + d)^−t

    Source: 10 CFR 436.20 (net savings); ASTM E1074. [currency]
    """
    streams = flows(project)
    return np.asarray(discounted(streams, project.discount_rate).sum(axis=-1))


def npv_without_residual(project: Project) -> FloatArray:
    """The same without what is left at the end: buried work cannot be sold. [currency]"""
    streams = flows(project)
    bare = replace(streams, residual=np.zeros_like(streams.residual))
    return np.asarray(discounted(bare, project.discount_rate).sum(axis=-1))


def simple_payback(project: Project) -> FloatArray:
    """Net capital ÷ first year's net saving; NaN where it never comes back. [a]"""
    return simple_payback_years(counted(project) - project.grants, known_saving(project.year))


def build_life_cycle_cost(project: Project) -> FloatArray:
    """Present value of the build's own costs: net capital, replacements less residual, running, upkeep.

    Source: 10 CFR 436.19. [currency]
    """
    return present_values(project).costs


def annual_cost(project: Project) -> Number:
    """Life-cycle cost as a level amount a year in base-date money; see `annual_equivalent`. [currency/a]"""
    return level(build_life_cycle_cost(project), project)


def level(present_value: Number, project: Project) -> Number:
    """A present value as a level amount a year over the project's study, in base-date money. [currency/a]"""
    return annual_equivalent(
        present_value,
        project.discount_rate,
        project.inflation,
        study_years=project.study_years,
        timing=project.timing,
    )


def counted(project: Project) -> Number:
    """All items at their share for the heat, before grants. [currency]"""
    return sum((i.counted for i in project.items), 0.0)


def values_of(streams: Flows, discount_rate: Number) -> PresentValues:
    """Each stream of a layout discounted to the base date, the residual from the end of year N. [currency]"""
    years = np.arange(streams.times_years.shape[-1], dtype=np.float64)
    factor = present_value_factor(discount_rate, streams.times_years)
    at_end = present_value_factor(discount_rate, years)
    return PresentValues(
        capital=np.asarray((streams.capital * factor).sum(axis=-1)),
        saving=np.asarray((streams.saving * factor).sum(axis=-1)),
        running=np.asarray((streams.running * factor).sum(axis=-1)),
        upkeep=np.asarray((streams.upkeep * factor).sum(axis=-1)),
        replacement=np.asarray((streams.replacement * factor).sum(axis=-1)),
        residual=np.asarray((streams.residual * at_end).sum(axis=-1)),
    )


def _running(year: YearMoney) -> Number:
    energy = 0.0 if year.running_energy_cost is None else year.running_energy_cost
    return energy + year.running_labour_cost + year.running_other_cost
