"""What thousands of drawn projects are worth, in blocks that stay in a processor's cache."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Any, TypeVar

import numpy as np

from ledger.model.terms import Timing
from ledger.money.flows import Flows, discounted, flows
from ledger.money.many_rates import blocks, internal_rates
from ledger.money.project import FloatArray, Project, ProjectItem, YearMoney
from ledger.money.worth import simple_payback

Part = TypeVar("Part", Project, ProjectItem, YearMoney)

_OVER_YEARS = frozenset({"fuel_price_path", "energy_price_path", "later_fuel_cost", "later_energy_cost"})


@dataclass(frozen=True, slots=True, eq=False)
class ManyWorths:
    """One entry a draw. `simple_payback_years` NaN: never. `irr` ±∞: beyond all rates; NaN: several rates.

    [currency, a, 1/a]
    """

    npv: FloatArray
    simple_payback_years: FloatArray
    irr: FloatArray


def many_worths(project: Project, draws: int) -> ManyWorths:
    """Net present value, simple payback and internal rate of every draw of a project.

    The same figures as `npv`, `simple_payback` and `internal_rate`, several times faster than all draws at once.

    Parameters
    ----------
    project : numbers, or arrays over draws.
    draws : how many. [-]

    Returns
    -------
    ManyWorths
    """
    gains, years, rates = (np.empty(draws) for _ in range(3))
    for rows in blocks(draws):
        part = _some(project, rows)
        streams, wanted = flows(part), len(gains[rows])
        amounts, times_years = _dated(streams, part.timing)
        amounts = np.broadcast_to(amounts, (wanted, len(times_years)))
        gains[rows] = discounted(streams, part.discount_rate).sum(axis=-1)
        years[rows] = simple_payback(part)
        rates[rows] = internal_rates(amounts, times_years)
    return ManyWorths(gains, years, rates)


def _dated(streams: Flows, timing: Timing) -> tuple[FloatArray, FloatArray]:
    """Amounts and times of all flows, the residual at the end of year N."""
    match timing:
        case Timing.END_OF_YEAR:
            return streams.net, streams.times_years
        case Timing.MID_YEAR:  # pragma: no branch; the last of a closed choice, as mypy holds
            n = streams.times_years.shape[-1] - 1
            running = streams.without_residual
            left = np.broadcast_to(streams.residual[..., n:], (*running.shape[:-1], 1))
            return np.concatenate([running, left], axis=-1), np.append(streams.times_years, float(n))


def _some(project: Project, rows: slice) -> Project:
    """The project of some of its draws."""
    items = tuple(_cut(item, rows) for item in project.items)
    return replace(_cut(project, rows), items=items, year=_cut(project.year, rows))


def _cut(part: Part, rows: slice) -> Part:
    """Every array over draws cut to some of them; an array over years alone stays."""
    found: dict[str, Any] = {}
    for field in fields(part):
        value = getattr(part, field.name)
        if isinstance(value, np.ndarray) and value.ndim == 1 + (field.name in _OVER_YEARS) and len(value) > 1:
            found[field.name] = value[rows]
    return replace(part, **found)
