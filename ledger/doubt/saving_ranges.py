"""How sure the yearly saving is: what the builds leave over in a first year, against each way to buy the same heat."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ledger.doubt.chain import Chain, Draws
from ledger.doubt.draws import SEED, percentiles, span_draws
from ledger.heat.draws import drawn
from ledger.model.house import BareWay
from ledger.money.project import FloatArray
from ledger.money.results import Percentiles
from ledger.money.worth import known_saving

DRAWS_FOR_SAVINGS = 5_000


@dataclass(frozen=True, slots=True)
class SavingRange:
    """First year's net saving against one source, at base-date prices. [currency]

    By the lift p10 and p90 are the ends of the span. `likely` is reckoned from the likely values, as `net_saving` of
    the typical year is; it is not the middle of the draws.
    """

    source: str
    likely: float
    range: Percentiles


def saving_ranges(chain: Chain) -> tuple[SavingRange, ...]:
    """Carry every range through to the first year's net saving, against each source of the ledger.

        avoided heat at the delivered price of the source, work included − running − upkeep

    Differs from the worth, which looks at all years and at the capital.

    Parameters
    ----------
    chain : the whole chain.

    Returns
    -------
    tuple of SavingRange : in the order of the ledger's sources.
    """
    return tuple(_range(_against(chain, source.name)) for source in chain.ledger.sources)


def _against(chain: Chain, source: str) -> Chain:
    terms = replace(chain.ledger.terms, against=source)
    return replace(chain, ledger=replace(chain.ledger, terms=terms))


def _range(chain: Chain) -> SavingRange:
    likely = float(_savings(chain, {})[0])
    source = chain.ledger.terms.against
    if chain.response.way is BareWay.LIFT:
        ends = _savings(chain, span_draws(chain))
        return SavingRange(source, likely, Percentiles(float(ends.min()), likely, float(ends.max())))
    drawn_values = drawn(chain.inputs(), draws=DRAWS_FOR_SAVINGS, seed=SEED)
    return SavingRange(source, likely, percentiles(_savings(chain, drawn_values)))


def _savings(chain: Chain, draws: Draws) -> FloatArray:
    return np.atleast_1d(np.asarray(known_saving(chain.project(draws).year), dtype=np.float64))
