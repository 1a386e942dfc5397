"""What the plans room answers. Field names are result keys of the JSON contract."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.errors import Notice
from ledger.heat.results import Band


@dataclass(frozen=True, slots=True)
class Plan:
    """One way to hold the house. None: unknown or not defined.

    `fuel_units` are of `source`, `second_fuel_units` of `second`, which gives the heat above the output of `source`;
    `fuel_cost` is that of both. `nights_short` and `frost_hours` [h] belong to the plans without a source.
    `money_before_work`: the hours of work are unknown though work has a price, so all money is before it.
    `…_without_work`: had an hour of own work cost nothing.
    """

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
    second: str | None = None
    second_fuel_units: float | None = None
    nights_short: int | None = None
    frost_hours: int | None = None
    money_before_work: bool = False
    first_year_cost_without_work: float | None = None
    life_cycle_cost_without_work: float | None = None


@dataclass(frozen=True, slots=True)
class Comparison:
    """All plans of a ledger, and what they were judged on. `design_basis`: where the design temperature comes from."""

    plans: tuple[Plan, ...]
    design_temperature_c: float | None
    design_basis: str
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True)
class StressSource:
    """What a source has to give in a colder winter, with the builds. None: unknown. Names as in `Plan`."""

    name: str
    fuel_units: float
    fuel_cost: float
    labour_hours: float | None
    unmet_kwh: float | None
    output_kw: float | None
    holds_design_night: bool | None
    second: str | None = None
    second_fuel_units: float | None = None


@dataclass(frozen=True, slots=True)
class Stress:
    """A hard winter. Sums over its hours that count; by the model over all hours of the season.

    `by`: the house model, or the limit that the log has shown. `to_buy_range_kwh`: of the model's run;
    `to_buy_most_kwh`: without a model, had the builds given in no night more than the log shows.
    `nights_short`, `longest_run_short` [nights], `frost_hours` [h]: with the builds and no heater at all.
    `cap_kwh`: most that the builds are taken to give in a night; None where a model says it hour by hour.
    `battery_hours`: how long the battery carries heater, fan and the rest from nightfall of the worst night;
    `battery_nights`: on how many of `nights_counted` it lasts.
    """

    season: str
    colder_k: float
    need_kwh: float
    avoided_kwh: float
    to_buy_kwh: float
    nights_short: int
    longest_run_short: int
    frost_hours: int
    cap_kwh: float | None
    peak_need_kw: float | None
    battery_hours: float | None
    battery_nights: int | None
    sources: tuple[StressSource, ...]
    notices: tuple[Notice, ...] = ()
    nights_counted: int | None = None
    by: str = "limit seen in the log"
    to_buy_range_kwh: Band | None = None
    to_buy_most_kwh: float | None = None


@dataclass(frozen=True, slots=True)
class CutPlan:
    """A plan in a power cut on the design night.

    `heater_goes_on`: its heater works without mains, so that the house stays as warm as fuel and hands keep it; None:
    not known. With nothing on the house starts at `start_c` and stays above hold and above freezing for so many hours,
    None: it never gets so cold in the time looked at; `known` false: nothing in the log says. [°C, h]
    """

    name: str
    heater_goes_on: bool | None
    known: bool
    start_c: float | None
    hours_above_hold: float | None
    hours_above_freezing: float | None


@dataclass(frozen=True, slots=True)
class PowerCut:
    """How long the house stays warm with nothing on, on the design night. None: it never gets so cold, or unknown.

    `by`: the house model, or the fastest cooling seen. `cooling_per_h` [1/h] of the latter, None by the model;
    `start_c` [°C] and hours [h] of the house as built; the bare house starts from the hold temperature.
    `hours_looked_at`: how long the model's cut lasts. `plans`: every plan.
    """

    cooling_per_h: float | None
    start_c: float
    hours_above_hold: float | None
    hours_above_freezing: float | None
    bare_hours_above_freezing: float | None
    by: str = "fastest cooling seen"
    hours_looked_at: float | None = None
    plans: tuple[CutPlan, ...] = ()
