"""The screen of `seasons`: the heat, the cash of each season, the worth in the typical year, a table each."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.closing import warning_lines
from ledger.views.compare_screen import PLACEHOLDER
from ledger.views.figures import Measure
from ledger.views.grid import grid_lines
from ledger.views.measure import measure_lines
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen
from ledger.views.season_story import pace_lines, story_lines
from ledger.views.tables import Column, Table, season_table

_HEAT_KEYS = ("season", "coverage", "need_kwh", "avoided_kwh", "avoided_range_kwh.p10", "avoided_range_kwh.p90",
              "passive_fraction", "hours_below_hold", "indoor_min_c")  # fmt: skip
_HEAT_SPAN_KEYS = ("season", "coverage", "rungs.load_kwh", "rungs.held_kwh", "avoided_range_kwh.p10",
                   "avoided_range_kwh.p90", "hours_below_hold", "indoor_min_c")  # fmt: skip
_ACCOUNT_KEYS = ("season", "running_cost", "upkeep_cost", "backup_cost", "avoided_cost", "net_saving",
                 "recovered_to_date", "still_to_recover")  # fmt: skip
_ACCOUNT_SPAN_KEYS = ("season", "running_cost", "upkeep_cost", "backup_cost", "house_cost", "labour_hours")

_WORTH_COLUMNS = (
    Column("season", "Known after", Measure.WORDS),
    Column("avoided_kwh", "Heat not bought", Measure.HEAT),
    Column("net_saving", "Left over (net saving)", Measure.MONEY),
    Column("simple_payback_years", "Years to pay back", Measure.YEARS, "never"),
    Column("npv", "Gain (NPV)", Measure.MONEY),
)


def season_lines(appraisal: Appraisal, *, screen: Screen) -> list[str]:
    """Season by season: the heat, then the money."""
    style = style_of(appraisal)
    title = screen.title(appraisal.identity.title)
    if not appraisal.seasons:
        return title + screen.prose("There is no season yet: the ledger names no log that reaches into one.")
    table = season_table(appraisal)
    lines = [*title, *screen.heading("What the house did, hours logged")]
    only_span = is_placeholder(appraisal)
    lines += grid_lines(table.only(_HEAT_SPAN_KEYS if only_span else _HEAT_KEYS), style=style, screen=screen)
    lines += screen.heading("What it cost" + ("" if only_span else " and spared") + ": cash, each in its own weather")
    lines += grid_lines(table.only(_ACCOUNT_SPAN_KEYS if only_span else _ACCOUNT_KEYS), style=style, screen=screen)
    if only_span:
        lines += screen.prose(PLACEHOLDER, indent=2)
    lines += pace_lines(appraisal.seasons[-1], appraisal, screen=screen)
    lines += _worth_lines(appraisal, screen=screen)
    for season in reversed(appraisal.seasons):
        lines += story_lines(season, appraisal, screen=screen)
    return lines + measure_lines(appraisal, screen) + warning_lines(appraisal, screen=screen)


def _worth_lines(appraisal: Appraisal, *, screen: Screen) -> list[str]:
    """The builds in the typical year, as it was known after each season: how the payback moves."""
    worths = [one.worth for one in appraisal.seasons if one.worth is not None]
    if not worths or is_placeholder(appraisal):
        return []
    rows = tuple((w.season, w.avoided_kwh, w.net_saving, w.simple_payback_years, w.npv) for w in worths)
    table = Table("Known after each season", _WORTH_COLUMNS, rows)
    lines = screen.heading("What it is worth: a typical year, at prices of the base date")
    lines += grid_lines(table, style=style_of(appraisal), screen=screen)
    words = "Each winter teaches what a typical year is; what was put in is taken as it stands today."
    return lines + screen.prose(words, indent=2)
