"""What the heat rooms answer. Field names are result keys of the JSON contract."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pandas as pd

from ledger.errors import Notice


@dataclass(frozen=True, slots=True)
class HouseFigures:
    """Heat-loss coefficient and its parts."""

    conduction_w_per_k: float
    air_leakage_w_per_k: float
    edge_w_per_k: float
    heat_loss_w_per_k: float
    bare_heat_loss_w_per_k: float
    air_density_kg_per_m3: float
    floor_area_m2: float
    volume_m3: float
    cover_area_m2: float


@dataclass(frozen=True, slots=True)
class Rungs:
    """From warmth to money, kWh over the valid hours of a season; only the last is paid."""

    gross_kwh: float
    load_kwh: float
    held_kwh: float
    added_kwh: float
    credited_kwh: float


@dataclass(frozen=True, slots=True)
class Band:
    """A range: one time in ten below p10, one in ten above p90 (for the bare house by lift: its two ends)."""

    p10: float
    p90: float


@dataclass(frozen=True, slots=True)
class BareAnswer:
    """What one way of reckoning the bare house answers."""

    need_kwh: float
    avoided_kwh: float
    p10: float
    p90: float


@dataclass(frozen=True, slots=True)
class BareFigures:
    """The way that was used, and every way that the data allow (None: it could not be reckoned)."""

    used: str
    ways: Mapping[str, BareAnswer | None]


@dataclass(frozen=True, slots=True)
class SeasonHeat:
    """One season's heat. Names as in the JSON contract; sums over valid hours unless `whole_season`."""

    season: str
    hours: int
    hours_valid: int
    hours_counted: int
    coverage: float
    dark_degree_hours_k_h: float
    rungs: Rungs
    bare_doubt_kwh: float
    need_kwh: float
    avoided_kwh: float
    avoided_range_kwh: Band
    need_whole_season_kwh: float | None
    avoided_whole_season_kwh: float | None
    avoided_whole_season_range_kwh: Band | None
    passive_fraction: float | None
    shortfall_kwh: float
    backup_delivered_kwh: float
    bare: BareFigures
    indoor_min_c: float | None
    hours_below_hold: int
    hours_below_freezing: int
    gdd_indoor_k_d: float | None
    gdd_outdoor_k_d: float | None
    gdd_over_outdoors_k_d: float | None
    gdd_by_build_k_d: float | None
    build_energy_kwh: float | None
    avoided_per_kwh_used: float | None


@dataclass(frozen=True, slots=True, eq=False)
class TypicalHeat:
    """The year that payback rests on.

    `profile`: one row per hour that counts, columns outdoor_c [°C], indoor_c, bare_c [°C, NaN where unknown], weight
    [-], need_kwh, to_buy_kwh [kWh in that hour]; Σ weight·need_kwh = need_kwh and Σ weight·to_buy_kwh = to_buy_kwh.
    `at_least` is True when a month that no season logged stands at 0 avoided heat. `bare_lift_p10_k`: tenth percentile
    of how much warmer than outdoors the bare house was in the hours that count, at least 0; None where by lift. [K]
    `bare`: the way that the bare house was reckoned by, the loosest where seasons differ. `highest_need_kwh`,
    `lowest_need_kwh`: the hardest and the mildest of the `seasons_averaged`, each over its valid hours.
    `step_h`: how long a row of the profile is, an hour but for coarser records. [h]
    """

    basis: str
    months_not_logged: tuple[int, ...]
    need_kwh: float
    avoided_kwh: float
    avoided_range_kwh: Band
    to_buy_kwh: float
    at_least: bool
    gdd_indoor_k_d: float | None
    gdd_over_outdoors_k_d: float | None
    gdd_by_build_k_d: float | None
    gdd_months: tuple[int, ...]
    profile: pd.DataFrame
    bare: str | None = None
    seasons_averaged: int = 0
    highest_need_kwh: float | None = None
    lowest_need_kwh: float | None = None
    bare_lift_p10_k: float | None = None
    step_h: float = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class HeatAnswer:
    """Everything that heat has to say."""

    house: HouseFigures
    seasons: tuple[SeasonHeat, ...]
    typical: TypicalHeat | None
    notices: tuple[Notice, ...] = ()
