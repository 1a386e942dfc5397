"""Held runs over the days of a season that its log lacks, one draw of the figures with one guess of the weather."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.fit import Fit
from ledger.heat.housemodel.other_weather import figures_at_the_start
from ledger.heat.housemodel.runs import bare_and_built, run_all
from ledger.heat.housemodel.spread import DRAWS
from ledger.heat.housemodel.thermostat import FanRule, repeated
from ledger.heat.housemodel.whole_winter import WholeWinter, problems_of, rule_over
from ledger.heat.spans import Span

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class OpenDays:
    """Heater energy of the open days, a draw each: the bare house's, and that less the built one's. [kWh]"""

    need_kwh: Floats
    avoided_kwh: Floats


def run_open_days(
    fit: Fit, figures: Floats, rule: FanRule, *, winter: WholeWinter, span: Span, hold_c: float
) -> OpenDays:
    """Run a structure over the whole season and add up the days that the log lacks.

    A draw and its mirror image take the same guess of the weather, so that figures and weather stay apart.

    Parameters
    ----------
    fit : the structure.
    figures : draws, the found ones first.
    rule : the fan's rule, its settings one a draw.
    winter : the season's steps.
    span : the season.
    hold_c : hold temperature. [°C]

    Returns
    -------
    OpenDays : in the order of the draws, the found figures left out.
    """
    begun = figures_at_the_start(fit, figures, span)
    problems = problems_of(fit, winter)
    draws = np.arange(1, DRAWS + 1)
    taken = (draws - 1) % (DRAWS // 2) % len(problems)
    groups = [draws[taken == g] for g in range(len(problems))]
    cases = []
    for group, (problem, sun) in zip(groups, problems, strict=True):
        bare, built = bare_and_built(hold_c, begun[group])
        cases += [bare.through(problem, sun), built.through(problem, sun)]
    columns = np.concatenate([np.concatenate([group, group]) for group in groups])
    each = repeated(rule_over(rule, winter), columns)
    first, sun = problems[0]
    outcomes = run_all(first, cases, sun_w_m2=sun, rule=each)
    need, built_kwh = np.empty(DRAWS), np.empty(DRAWS)
    for g, group in enumerate(groups):
        need[group - 1], built_kwh[group - 1] = (
            one.heater_kwh[winter.wanted].sum(axis=0) for one in outcomes[2 * g : 2 * g + 2]
        )
    return OpenDays(need, need - built_kwh)
