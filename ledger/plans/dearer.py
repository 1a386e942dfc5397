"""Whether the heat saved is valued at a source's price that a cheaper one, which holds the house too, would beat."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from ledger.errors import Doubt, Notice
from ledger.model.ledger import Ledger
from ledger.plans.results import Plan

CHEAPER: Final = 0.10
"""Closer than this the two cost the same within what anyone knows of prices."""

DEARER: Final = Doubt(
    "against-is-dearer",
    f"another source, known to hold the design night, is cheaper, alone and over the study, by {CHEAPER:.0%} or more "
    "than the one whose heat is avoided; work that nobody priced counts for none of them, so a source that has to be "
    "fed is then left aside, unless the worth is above 0 against the dearer and below 0 against it",
    "name in money.against the source that you would really burn, and show a lender both",
    "common practice, no source",
)
DOUBTS: Final = (DEARER,)


def dearer_doubts(
    ledger: Ledger, plans: Sequence[Plan], *, npv_against: Mapping[str, float | None]
) -> tuple[Notice, ...]:
    """Doubt the source that the worth is reckoned against, where another that holds the house too costs less.

    Life-cycle costs of the sources alone are compared, capital and work included; both are for the whole heat, so that
    a kilowatt-hour delivered costs as much less.

    Parameters
    ----------
    ledger : the source that the heat is avoided of.
    plans : as compared.
    npv_against : worth of the builds against each source. [currency]

    Returns
    -------
    tuple of Notice : one or none.
    """
    alone = {p.source: p for p in plans if not p.builds and p.source is not None and p.life_cycle_cost is not None}
    mine = alone.get(ledger.terms.against)
    if mine is None:
        return ()
    holding = [p for p in alone.values() if p.rank is not None and p.holds_design_night and _cheaper(p, mine)]
    turning = [p for p in holding if _turns(npv_against.get(str(mine.source)), npv_against.get(str(p.source)))]
    others = turning or [p for p in holding if ledger.labour_rate_per_h is not None or p.nights_to_tend == 0]
    if not others:
        return ()
    best = min(others, key=_cost)
    less = f"{1.0 - _cost(best) / _cost(mine):.0%} less over the study"
    text = (
        f'the builds gain against "{mine.source}" and lose against "{best.source}", which would hold this house for '
        f"{less}: {DEARER.mend}"
        if turning
        else f'the heat saved is valued as heat from "{mine.source}", and "{best.source}" would hold this house too, '
        f"for {less}: {DEARER.mend}"
    )
    return (Notice(DEARER.code, text, "money.against", ledger.source(ledger.terms.against).line),)


def _turns(worth: float | None, less: float | None) -> bool:
    return worth is not None and less is not None and worth > 0.0 > less


def _cheaper(plan: Plan, mine: Plan) -> bool:
    return _cost(plan) <= (1.0 - CHEAPER) * _cost(mine)


def _cost(plan: Plan) -> float:
    return plan.life_cycle_cost or 0.0
