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
    "the worth is above 0 against the source whose heat is avoided and below 0 against another that is known to hold "
    f"the design night and is cheaper, alone and over the study, by {CHEAPER:.0%} or more",
    "name in money.against the source that you would really burn, and show a lender both",
    "common practice, no source",
)
DOUBTS: Final = (DEARER,)


def dearer_doubts(
    ledger: Ledger, plans: Sequence[Plan], *, npv_against: Mapping[str, float | None]
) -> tuple[Notice, ...]:
    """Doubt the source that the worth is reckoned against, where another that holds the house too turns the answer.

    Life-cycle costs of the sources alone are compared, capital and work included. A dearer source whose worth has the
    same sign is no doubt: the worth against the cheapest stands beside the headline anyway.

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
    holding = [p for p in alone.values() if p.rank is not None and p.holds_design_night]
    if mine is None or not holding:
        return ()
    best = min(holding, key=_cost)
    worth, less = npv_against.get(str(mine.source)), npv_against.get(str(best.source))
    if worth is None or less is None or not worth > 0.0 > less or _cost(best) > (1.0 - CHEAPER) * _cost(mine):
        return ()
    text = (
        f'the builds gain against "{mine.source}" and lose against "{best.source}", which would hold this house for '
        f"{1.0 - _cost(best) / _cost(mine):.0%} less over the study: {DEARER.mend}"
    )
    return (Notice(DEARER.code, text, "money.against", ledger.source(ledger.terms.against).line),)


def _cost(plan: Plan) -> float:
    return plan.life_cycle_cost or 0.0
