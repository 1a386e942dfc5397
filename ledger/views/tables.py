"""Results that come as many: seasons, years, items and plans, each as columns with their words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from ledger.appraisal import Appraisal
from ledger.plans.results import Plan
from ledger.views.figures import NOT_KNOWN, Measure

Cell = float | str | bool | None


@dataclass(frozen=True, slots=True)
class Column:
    """One column: result key, words for its head (and shorter ones), kind of figure, words for a value that is None."""

    key: str
    label: str
    measure: Measure
    if_none: str = NOT_KNOWN
    short: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """Columns, and rows of values in SI in the same order."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def only(self, keys: Sequence[str]) -> Table:
        """The same table with the named columns, in the order named."""
        places = [next(i for i, column in enumerate(self.columns) if column.key == key) for key in keys]
        return Table(
            self.name,
            tuple(self.columns[i] for i in places),
            tuple(tuple(row[i] for i in places) for row in self.rows),
        )


def _read(record: Any, columns: Sequence[Column]) -> tuple[Cell, ...]:
    return tuple(_reach(record, column.key) for column in columns)


def _reach(record: Any, key: str) -> Cell:
    """The value under a dotted result key."""
    for part in key.split("."):
        record = getattr(record, part)
    if isinstance(record, tuple):
        return ", ".join(str(one) for one in record)
    if record is None or isinstance(record, str | bool):
        return record
    return float(record)


PLAN_COLUMNS = (
    Column("rank", "Rank", Measure.COUNT, "-"),
    Column("name", "Way to heat", Measure.WORDS),
    Column("capital", "To put in", Measure.MONEY),
    Column("first_year_cost", "First year", Measure.MONEY),
    Column("annual_cost", "Level cost a year", Measure.MONEY),
    Column("life_cycle_cost", "All years (life-cycle cost)", Measure.MONEY, short="All years"),
    Column("life_cycle_cost_without_work", "All years, work free", Measure.MONEY),
    Column("heat_to_buy_kwh", "Heat to buy", Measure.HEAT),
    Column("fuel_units", "Fuel units", Measure.COUNT, "none"),
    Column("fuel_cost", "Fuel", Measure.MONEY, "none"),
    Column("labour_hours", "Work", Measure.HOURS),
    Column("labour_cost", "Work, priced", Measure.MONEY),
    Column("fuel_cost_per_delivered_kwh", "Fuel for a kWh", Measure.PRICE_PER_KWH, "-"),
    Column("peak_need_kw", "Coldest night needs", Measure.POWER),
    Column("output_kw", "Gives at most", Measure.POWER),
    Column("unmet_kwh", "Heat it cannot give", Measure.HEAT),
    Column("holds_design_night", "Copes on the coldest night", Measure.WORDS, short="Copes in the cold"),
    Column("works_in_power_cut", "Works in a power cut", Measure.WORDS),
    Column("nights_to_tend", "Nights to get up", Measure.NIGHTS),
)

SEASON_HEAT_COLUMNS = (
    Column("season", "Season", Measure.WORDS),
    Column("hours", "Hours", Measure.HOURS),
    Column("hours_valid", "Read well", Measure.HOURS),
    Column("hours_counted", "Counted", Measure.HOURS),
    Column("coverage", "Share read well", Measure.SHARE),
    Column("dark_degree_hours_k_h", "Cold in the dark (degree-hours)", Measure.DEGREE_HOURS),
    Column("rungs.gross_kwh", "All the warmth", Measure.HEAT),
    Column("rungs.load_kwh", "With no memory at all", Measure.HEAT),
    Column("rungs.held_kwh", "Held in the dark", Measure.HEAT),
    Column("rungs.added_kwh", "Added by the build", Measure.HEAT),
    Column("rungs.credited_kwh", "Counted as money", Measure.HEAT),
    Column("need_kwh", "Heat needed without the build", Measure.HEAT),
    Column("avoided_kwh", "Heat not bought", Measure.HEAT),
    Column("avoided_range_kwh.p10", "Not bought, low end", Measure.HEAT),
    Column("avoided_range_kwh.p90", "Not bought, high end", Measure.HEAT),
    Column("avoided_whole_season_kwh", "Not bought, holes filled", Measure.HEAT),
    Column("passive_fraction", "Share covered (passive fraction)", Measure.SHARE),
    Column("shortfall_kwh", "Heat missing below hold", Measure.HEAT),
    Column("backup_delivered_kwh", "Backup heat", Measure.HEAT),
    Column("bare.used", "Bare house by", Measure.WORDS),
    Column("indoor_min_c", "Coldest hour indoors", Measure.TEMPERATURE),
    Column("hours_below_hold", "Hours below hold", Measure.HOURS),
    Column("hours_below_freezing", "Hours of frost", Measure.HOURS),
    Column("gdd_indoor_k_d", "Degree-days indoors", Measure.DEGREE_DAYS),
    Column("gdd_over_outdoors_k_d", "Degree-days above outdoors", Measure.DEGREE_DAYS),
    Column("gdd_by_build_k_d", "Degree-days by the build", Measure.DEGREE_DAYS),
    Column("build_energy_kwh", "Energy the build used", Measure.HEAT),
    Column("avoided_per_kwh_used", "Heat for each kWh used", Measure.RATIO),
)

SEASON_MONEY_COLUMNS = (
    Column("running_cost", "Running", Measure.MONEY),
    Column("upkeep_cost", "Upkeep", Measure.MONEY),
    Column("backup_cost", "Backup heat, paid", Measure.MONEY),
    Column("house_cost", "House", Measure.MONEY),
    Column("labour_hours", "Own work", Measure.HOURS),
    Column("avoided_cost", "Not spent on heat", Measure.MONEY),
    Column("net_saving", "Left over (net saving)", Measure.MONEY),
    Column("recovered_to_date", "Recovered so far", Measure.MONEY),
    Column("still_to_recover", "Still to recover", Measure.MONEY),
)

CASH_COLUMNS = (
    Column("year", "Year", Measure.YEAR_NUMBER),
    Column("capital", "Capital", Measure.COIN),
    Column("saving", "Saving", Measure.COIN),
    Column("running", "Running", Measure.COIN),
    Column("upkeep", "Upkeep", Measure.COIN),
    Column("replacement", "Replacement", Measure.COIN),
    Column("residual", "Left at the end", Measure.COIN),
    Column("net", "Net", Measure.COIN),
    Column("discounted", "Net, in today's money", Measure.COIN),
    Column("cumulative", "Running sum", Measure.COIN),
    Column("cumulative_discounted", "Running sum, today's money", Measure.COIN),
)

ITEM_COLUMNS = (
    Column("build", "Build", Measure.WORDS),
    Column("date", "Date", Measure.WORDS),
    Column("what", "What", Measure.WORDS),
    Column("amount", "Amount", Measure.COIN),
    Column("share", "Share for heat", Measure.SHARE),
    Column("why_share", "Why this share", Measure.WORDS),
    Column("own_hours", "Own work", Measure.HOURS),
    Column("counted", "Counts (with own work)", Measure.COIN),
    Column("year", "In year", Measure.YEAR_NUMBER),
    Column("life_years", "Life", Measure.YEARS),
    Column("residual", "Left at its end", Measure.COIN),
    Column("status", "Status", Measure.WORDS),
    Column("basis", "Known by", Measure.WORDS),
    Column("paper", "Paper", Measure.WORDS),
)

BUILD_COLUMNS = (
    Column("name", "Build", Measure.WORDS),
    Column("avoided_kwh", "Heat not bought", Measure.HEAT),
    Column("net_capital", "Own money in it", Measure.MONEY),
    Column("simple_payback_years", "Years to pay back", Measure.YEARS),
    Column("npv", "Gain (NPV)", Measure.MONEY),
)


def plans_in_order(appraisal: Appraisal) -> list[Plan]:
    """The ranked plans by rank, then the others as they come."""
    return sorted(appraisal.plans, key=lambda plan: (plan.rank is None, plan.rank or 0))


def plan_table(appraisal: Appraisal) -> Table:
    """Every plan, in order."""
    return Table("Ways to heat", PLAN_COLUMNS, tuple(_read(plan, PLAN_COLUMNS) for plan in plans_in_order(appraisal)))


def season_table(appraisal: Appraisal) -> Table:
    """Every season, heat and money in one row."""
    rows = tuple(
        _read(one.heat, SEASON_HEAT_COLUMNS) + _read(one.account, SEASON_MONEY_COLUMNS) for one in appraisal.seasons
    )
    return Table("Seasons", SEASON_HEAT_COLUMNS + SEASON_MONEY_COLUMNS, rows)


def cash_table(appraisal: Appraisal) -> Table:
    """The cash flow year by year, costs negative."""
    return Table("Cash flow", CASH_COLUMNS, tuple(_read(year, CASH_COLUMNS) for year in appraisal.cash_flow))


def item_table(appraisal: Appraisal) -> Table:
    """Receipts, quotations and plans as they count."""
    return Table("Items", ITEM_COLUMNS, tuple(_read(item, ITEM_COLUMNS) for item in appraisal.capital.items))


def build_table(appraisal: Appraisal) -> Table:
    """Each build's part."""
    return Table("Builds", BUILD_COLUMNS, tuple(_read(build, BUILD_COLUMNS) for build in appraisal.builds))
