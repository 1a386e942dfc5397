"""From today on: what is spent is spent, and what each next step under consideration is worth."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import isnan
from typing import Any

import numpy as np

from ledger.doubt.chain import Chain
from ledger.model.terms import NextStep
from ledger.money.payback import simple_payback_years
from ledger.money.project import FloatArray, Number, Project
from ledger.money.results import Percentiles
from ledger.money.worth import known_saving, present_values


@dataclass(frozen=True, slots=True)
class StepWorth:
    """A next step: what it costs, what it adds, what it is worth over the study. [currency, kWh, a]

    `npv` holds the two ends (dear and little, cheap and much) as p10 and p90, the likely value as p50; nothing is left
    of the step at the end. Heat above the need earns nothing. `break_even_kwh`: avoided heat a year that it must add to
    pay, be there so much need left or not. None: not known.
    """

    what: str
    amount: float
    adds_kwh: float | None
    first_year_saving: float | None
    npv: Percentiles
    simple_payback_years: float | None
    break_even_kwh: float | None


@dataclass(frozen=True, slots=True)
class Forward:
    """What going on is worth, and each next step. `going_on_npv` leaves out what is paid already. [currency]"""

    going_on_npv: float
    steps: tuple[StepWorth, ...]


def forward(chain: Chain) -> Forward:
    """Look from today on.

        going on = PV of saving − running − upkeep − replacements + residual

    The capital of years gone by is spent whatever is decided now, so it is left out; the residual stays in, since a
    build that is given up leaves it behind. A step's heat is worth what the last kilowatt-hours of the headline's
    source cost, work included.

    Parameters
    ----------
    chain : the whole chain.

    Returns
    -------
    Forward

    Source
    ------
    Sunk cost is left out of a decision: any text on engineering economics.
    """
    values = present_values(chain.project({}))
    going_on = values.saving + values.running + values.upkeep + values.replacement + values.residual
    return Forward(float(going_on), tuple(_step(chain, s) for s in chain.ledger.next_steps))


def _step(chain: Chain, step: NextStep) -> StepWorth:
    amount = float(step.amount.likely)
    per_kwh = _saving_worth(chain, 1.0)
    needed = amount / float(per_kwh) if float(per_kwh) > 0 else None
    adds = step.adds_avoided_kwh
    if adds is None:
        return StepWorth(step.what, amount, None, None, Percentiles(None, None, None), None, needed)
    kwh = np.array([adds.low, adds.likely, adds.high])
    paid = np.array([float(step.amount.high), amount, float(step.amount.low)])
    worths = _saving_worth(chain, kwh) - paid
    first_year = _first_year(chain, adds.likely)
    years = float(simple_payback_years(amount, first_year))
    return StepWorth(
        what=step.what,
        amount=amount,
        adds_kwh=adds.likely,
        first_year_saving=first_year,
        npv=Percentiles(float(worths[0]), float(worths[1]), float(worths[2])),
        simple_payback_years=None if isnan(years) else years,
        break_even_kwh=needed,
    )


def _more(chain: Chain, adds_kwh: Number) -> Project:
    """The project with more avoided heat, at most the need."""
    most = max(chain.heat.need_kwh, chain.heat.avoided_kwh)
    avoided: Any = np.minimum(chain.heat.avoided_kwh + adds_kwh, most)  # an array stands for draws
    return chain.project_with(chain.ledger, replace(chain.heat, avoided_kwh=avoided))


def _saving_worth(chain: Chain, adds_kwh: Number) -> FloatArray:
    """Present value of so much more avoided heat a year. [currency]"""
    return np.asarray(present_values(_more(chain, adds_kwh)).saving - present_values(chain.project({})).saving)


def _first_year(chain: Chain, adds_kwh: float) -> float:
    return float(known_saving(_more(chain, adds_kwh).year) - known_saving(chain.project({}).year))
