"""The screen of `seasons`: the heat and the money, a table each."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.closing import warning_lines
from ledger.views.compare_screen import PLACEHOLDER
from ledger.views.grid import grid_lines
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen
from ledger.views.season_story import pace_lines, story_lines
from ledger.views.tables import season_table

_HEAT_KEYS = ("season", "coverage", "need_kwh", "avoided_kwh", "avoided_range_kwh.p10", "avoided_range_kwh.p90",
              "passive_fraction", "hours_below_hold", "indoor_min_c")  # fmt: skip
_HEAT_SPAN_KEYS = ("season", "coverage", "rungs.load_kwh", "rungs.held_kwh", "avoided_range_kwh.p10",
                   "avoided_range_kwh.p90", "hours_below_hold", "indoor_min_c")  # fmt: skip
_ACCOUNT_KEYS = ("season", "running_cost", "upkeep_cost", "backup_cost", "avoided_cost", "net_saving",
                 "recovered_to_date", "still_to_recover")  # fmt: skip
_ACCOUNT_SPAN_KEYS = ("season", "running_cost", "upkeep_cost", "backup_cost", "house_cost", "labour_hours")


def season_lines(appraisal: Appraisal, *, screen: Screen) -> list[str]:
    """Season by season: the heat, then the money."""
    style = style_of(appraisal)
    title = [screen.strong(line) for line in screen.prose(appraisal.identity.title)]
    if not appraisal.seasons:
        return title + screen.prose("There is no season yet: the ledger names no log that reaches into one.")
    table = season_table(appraisal)
    lines = [*title, *screen.heading("What the house did, hours logged")]
    only_span = is_placeholder(appraisal)
    lines += grid_lines(table.only(_HEAT_SPAN_KEYS if only_span else _HEAT_KEYS), style=style, screen=screen)
    lines += screen.heading("What it cost" + ("" if only_span else " and spared") + ", as noted in the season book")
    lines += grid_lines(table.only(_ACCOUNT_SPAN_KEYS if only_span else _ACCOUNT_KEYS), style=style, screen=screen)
    if only_span:
        lines += screen.prose(PLACEHOLDER, indent=2)
    lines += pace_lines(appraisal.seasons[-1], appraisal, screen=screen)
    for season in reversed(appraisal.seasons):
        lines += story_lines(season, appraisal, screen=screen)
    return lines + warning_lines(appraisal, screen=screen)
