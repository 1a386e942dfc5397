"""Dated cash: every stream of a project year by year, and the table that people read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ledger.money.discounting import growth_factor, present_value_factor, stream_times_years
from ledger.money.project import FloatArray, Number, Project, ProjectItem
from ledger.money.results import CashYear

# A life that ends within this part of a life of a year's end, by rounding of floats, ends at it.
_ROUNDING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Flows:
    """Streams of years 0..N on the last axis (draws before it), costs negative; `times_years` is when they fall.

    `residual` stands in year N and always falls at N; all other streams fall at `times_years`.
    """

    capital: FloatArray
    saving: FloatArray
    running: FloatArray
    upkeep: FloatArray
    replacement: FloatArray
    residual: FloatArray
    times_years: FloatArray

    @property
    def net(self) -> FloatArray:
        """All streams of a year. [currency]"""
        return np.asarray(self.without_residual + self.residual)

    @property
    def without_residual(self) -> FloatArray:
        """All streams of a year but what is left at the end. [currency]"""
        return np.asarray(self.capital + self.saving + self.running + self.upkeep + self.replacement)


def flows(project: Project) -> Flows:
    """Lay out a project's cash by year.

        stream of year k = base-date amount · (1 + its growth)^k,  k = 1..N

    Year 0 holds the capital up to the base date, less the grants. Later items enter in their year at face value; a
    replacement costs share · amount · (1 + inflation)^k, own work apart. An unknown saving or running cost is laid out
    as 0: the caller says which figures that leaves open.

    Parameters
    ----------
    project : numbers, or arrays over draws.

    Returns
    -------
    Flows : [currency], each draws × (N + 1).

    Source
    ------
    10 CFR 436.16 to 436.19; NIST Handbook 135 for replacements and the straight-line residual.
    """
    n = project.study_years
    inflation = growth_factor(project.inflation, n)
    year = project.year
    fuel = _path(year.fuel_growth, year.fuel_price_path, n)
    energy = _path(year.energy_growth, year.energy_price_path, n)
    return Flows(
        capital=_capital(project),
        saving=_stream(year.avoided_fuel_cost, fuel)
        + _stream(year.avoided_labour_cost, inflation)
        + _from_year_1(year.later_fuel_cost, n),
        running=0.0
        - _stream(year.running_energy_cost, energy)
        - _from_year_1(year.later_energy_cost, n)
        - _stream(year.running_labour_cost + year.running_other_cost, inflation),
        upkeep=0.0 - _stream(year.upkeep_cost + year.upkeep_labour_cost, inflation),
        replacement=0.0 - _summed([_replacements(i, n) for i in project.items], n) * inflation,
        residual=_residual(project) * inflation,
        times_years=stream_times_years(n, project.timing),
    )


def discounted(streams: Flows, discount_rate: Number) -> FloatArray:
    """Each year's net flow at the base date; the residual from the end of year N. [currency]"""
    n = streams.times_years.shape[-1] - 1
    factor = present_value_factor(discount_rate, streams.times_years)
    at_end = present_value_factor(discount_rate, np.array([float(n)]))
    worth_today = np.asarray(streams.without_residual * factor + np.zeros_like(streams.residual))
    worth_today[..., n:] += streams.residual[..., n:] * at_end
    return worth_today


def cash_flow(project: Project) -> tuple[CashYear, ...]:
    """The table of the cash flow of a project without draws, year 0 to N, costs negative. [currency]"""
    streams = flows(project)
    worth_today = discounted(streams, project.discount_rate)
    running_sum, running_worth = np.cumsum(streams.net), np.cumsum(worth_today)
    return tuple(
        CashYear(
            year=k,
            capital=float(streams.capital[k]),
            saving=float(streams.saving[k]),
            running=float(streams.running[k]),
            upkeep=float(streams.upkeep[k]),
            replacement=float(streams.replacement[k]),
            residual=float(streams.residual[k]),
            net=float(streams.net[k]),
            discounted=float(worth_today[k]),
            cumulative=float(running_sum[k]),
            cumulative_discounted=float(running_worth[k]),
        )
        for k in range(project.study_years + 1)
    )


def replacements(item: ProjectItem, study_years: int) -> FloatArray:
    """How often an item is bought anew in each year 0..N.

    A unit's life ends at year + m · life; it is replaced in the year that holds that moment, but not in year N.
    """
    life = np.asarray(item.life_years, dtype=np.float64)[..., None]
    years = np.arange(study_years + 1, dtype=np.float64)
    ended = np.floor(np.maximum(years - item.year, 0.0) / life + _ROUNDING)
    before = np.floor(np.maximum(years - 1.0 - item.year, 0.0) / life + _ROUNDING)
    counts = np.where((years > item.year) & (years < study_years), ended - before, 0.0)
    return np.asarray(counts)


def part_left(item: ProjectItem, study_years: int) -> FloatArray:
    """The part of its life that the unit last installed has left at the end of year N, 0 to 1. [-]"""
    life = np.asarray(item.life_years, dtype=np.float64)
    age_of_first = study_years - item.year
    units = np.floor(max(age_of_first - 1, 0) / life + _ROUNDING)
    return np.asarray(np.clip(1.0 - (age_of_first - units * life) / life, 0.0, 1.0))


def _replacements(item: ProjectItem, study_years: int) -> FloatArray:
    return np.asarray(item.paid, dtype=np.float64)[..., None] * replacements(item, study_years)


def _residual(project: Project) -> FloatArray:
    """Before inflation: share · [residual + (amount − residual) · part of the life left], in year N."""
    n = project.study_years
    left: Number = 0.0
    for item in project.items:
        if item.year <= n:
            spent = item.paid - item.residual_counted
            left = left + item.residual_counted + spent * part_left(item, n)
    return np.asarray(left, dtype=np.float64)[..., None] * _unit(n, n)


def _capital(project: Project) -> FloatArray:
    n = project.study_years
    paid = [np.asarray(i.counted, dtype=np.float64)[..., None] * _unit(i.year, n) for i in project.items]
    grants = np.asarray(project.grants, dtype=np.float64)[..., None] * _unit(0, n)
    return np.asarray(grants - _summed(paid, n))


def _unit(year: int, study_years: int) -> FloatArray:
    """1 in one year, 0 in the others (all 0 for a year after the study)."""
    return np.asarray(np.arange(study_years + 1) == year, dtype=np.float64)


def _summed(parts: list[FloatArray], study_years: int) -> FloatArray:
    total = np.zeros(study_years + 1)
    for part in parts:
        total = total + part
    return total


def _path(growth: Number, price_path: FloatArray | None, study_years: int) -> FloatArray:
    """Price of year k ÷ base-date price for k = 0..N."""
    if price_path is None:
        return growth_factor(growth, study_years)
    start = np.ones((*price_path.shape[:-1], 1))
    return np.asarray(np.concatenate([start, price_path], axis=-1))


def _from_year_1(amounts: FloatArray | None, study_years: int) -> FloatArray:
    """Money of years 1..N laid out over years 0..N; 0 where there is none."""
    if amounts is None:
        return np.zeros(study_years + 1)
    return np.concatenate([np.zeros((*amounts.shape[:-1], 1)), amounts], axis=-1)


def _stream(amount: Number | None, factors: FloatArray) -> FloatArray:
    """Base-date amount · factor in years 1..N, 0 in year 0."""
    base = np.asarray(0.0 if amount is None else amount, dtype=np.float64)
    yearly: FloatArray = np.asarray(base[..., None] * factors)
    yearly[..., 0] = 0.0
    return np.asarray(yearly)
