"""The screens of `compare` and `seasons`: a table each."""

from __future__ import annotations

from ledger.appraisal import Appraisal
from ledger.views.answer import HEATER_CAUTION
from ledger.views.closing import warning_lines
from ledger.views.figures import Measure, show_figure
from ledger.views.grid import grid_lines
from ledger.views.row import is_placeholder, style_of
from ledger.views.screen import Screen
from ledger.views.tables import plan_table, season_table

_MONEY_KEYS = ("rank", "name", "capital", "first_year_cost", "annual_cost", "life_cycle_cost")
_COPING_KEYS = (
    "name", "heat_to_buy_kwh", "labour_hours", "unmet_kwh", "holds_design_night", "works_in_power_cut",
    "nights_to_tend",
)  # fmt: skip
_HEAT_KEYS = ("season", "coverage", "need_kwh", "avoided_kwh", "avoided_range_kwh.p10", "avoided_range_kwh.p90",
              "passive_fraction", "hours_below_hold", "indoor_min_c")  # fmt: skip
_HEAT_SPAN_KEYS = ("season", "coverage", "rungs.load_kwh", "rungs.held_kwh", "avoided_range_kwh.p10",
                   "avoided_range_kwh.p90", "hours_below_hold", "indoor_min_c")  # fmt: skip
_ACCOUNT_KEYS = ("season", "running_cost", "upkeep_cost", "backup_cost", "avoided_cost", "net_saving",
                 "recovered_to_date", "still_to_recover")  # fmt: skip
_ACCOUNT_SPAN_KEYS = ("season", "running_cost", "upkeep_cost", "backup_cost", "house_cost", "labour_hours")
PLACEHOLDER = (
    "The bare house is only assumed here, so what the build saves is a placeholder: appraise shows its span and the "
    "cheapest way to find out."
)


def compare_lines(appraisal: Appraisal, *, screen: Screen) -> list[str]:
    """Every way to heat side by side: the money first, then whether it copes and what it asks of people."""
    style = style_of(appraisal)
    title = [screen.strong(line) for line in screen.prose(appraisal.identity.title)]
    if not appraisal.plans:
        return title + screen.prose("There is nothing to compare: no heat need could be reckoned.")
    table = plan_table(appraisal)
    years = appraisal.source.terms.study_years
    lines = [*title, *screen.heading("What does each way to heat cost?")]
    lines += grid_lines(table.only(_MONEY_KEYS), style=style, screen=screen)
    lines += screen.prose(f"All years: life-cycle cost over {years} years, in today's money.", indent=2)
    lines += screen.heading("Does it cope, and what does it ask?")
    lines += grid_lines(table.only(_COPING_KEYS), style=style, screen=screen)
    no_rank = "Ways that cannot hold it, or leave some heat missing, have no rank."
    lines += screen.prose(f"{_coldest_night(appraisal)} {no_rank}", indent=2)
    if is_placeholder(appraisal):
        lines += screen.prose(PLACEHOLDER, indent=2)
    return [*lines, "", *screen.prose(HEATER_CAUTION), *warning_lines(appraisal, screen=screen)]


def _coldest_night(a: Appraisal) -> str:
    """What the coldest night needs, bare and with all builds, where these differ."""
    style, every = style_of(a), {build.name for build in a.source.builds}
    bare = next((plan.peak_need_kw for plan in a.plans if not plan.builds), None)
    built = next((plan.peak_need_kw for plan in a.plans if set(plan.builds) == every), None)
    if bare is None:
        return "What the coldest night needs is not known."
    words = f"The coldest night needs {show_figure(bare, Measure.POWER, style)}"
    if built is not None and built != bare:
        words += f" without the build, {show_figure(built, Measure.POWER, style)} with it"
    return f"{words}."


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
    return lines + warning_lines(appraisal, screen=screen)
