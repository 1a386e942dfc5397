"""What the plans room answers. Field names are result keys of the JSON contract."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Plan:
    """One way to hold the house. None: unknown or not defined."""

    name: str
    builds: tuple[str, ...]
    source: str | None
    capital: float | None
    heat_to_buy_kwh: float
    unmet_kwh: float | None
    fuel_units: float | None
    fuel_cost: float | None
    labour_hours: float | None
    labour_cost: float | None
    first_year_cost: float | None
    life_cycle_cost: float | None
    annual_cost: float | None
    fuel_cost_per_delivered_kwh: float | None
    peak_need_kw: float | None
    output_kw: float | None
    holds_design_night: bool | None
    works_in_power_cut: bool | None
    nights_to_tend: int | None
    rank: int | None
