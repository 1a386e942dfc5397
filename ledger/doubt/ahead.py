"""What may be said beyond the headline: from today on, other money, other hold temperatures, other facts."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.doubt.breakeven import BreakEven
from ledger.doubt.chain import Chain
from ledger.doubt.forward import Forward, forward
from ledger.doubt.hold_steps import HoldStep, hold_steps
from ledger.doubt.measure_next import MeasureNext, measure_next
from ledger.doubt.plan_ranges import PlanRange, plan_ranges
from ledger.doubt.verdict import facts_that_would_change_it
from ledger.errors import Notice
from ledger.heat.bare import Ways
from ledger.heat.prepared import Prepared
from ledger.money.benefits import BenefitLine, benefit_line
from ledger.money.project import Project


@dataclass(frozen=True, slots=True)
class Ahead:
    """Beyond the headline. Empty or None: there is nothing to reckon from, or the ledger says nothing of it."""

    forward: Forward | None = None
    benefit: BenefitLine | None = None
    hold_steps: tuple[HoldStep, ...] = ()
    plan_ranges: tuple[PlanRange, ...] = ()
    facts: tuple[str, ...] = ()
    measure: tuple[MeasureNext, ...] = ()

    @property
    def said(self) -> tuple[Notice, ...]:
        """What has to be said of it among the warnings."""
        return () if self.benefit is None else self.benefit.notices


def look_ahead(
    chain: Chain, project: Project, *, prepared: Prepared, ways: Ways, break_evens: tuple[BreakEven, ...]
) -> Ahead:
    """Reckon what stands beyond the headline.

    Parameters
    ----------
    chain : the whole chain.
    project : the headline's, without draws.
    prepared, ways : the record laid out, and the bare house as other rooms answer it.
    break_evens : as solved.

    Returns
    -------
    Ahead
    """
    return Ahead(
        forward=forward(chain),
        benefit=benefit_line(chain.ledger, project),
        hold_steps=hold_steps(prepared, chain.ledger, ways=ways, fan_kwh=chain.fan_kwh),
        plan_ranges=plan_ranges(chain),
        facts=facts_that_would_change_it(break_evens),
        measure=measure_next(chain),
    )
