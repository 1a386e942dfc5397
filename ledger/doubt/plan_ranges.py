"""How sure the comparison is: life-cycle cost of each plan over the draws, and how often the build beats it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ledger.doubt.chain import Chain, Draws
from ledger.doubt.draws import SEED, percentiles, span_draws
from ledger.heat.draws import drawn
from ledger.heat.results import TypicalHeat
from ledger.model.heaters import Source
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.money.avoided import buy_heat, heat_hours
from ledger.money.project import FloatArray, Number
from ledger.money.results import Percentiles
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import npv
from ledger.plans.costs import NOTHING_BUILT, BuildYear, plan_money

DRAWS_FOR_PLANS = 5_000
NOTHING_KNOWN = Percentiles(None, None, None)


@dataclass(frozen=True, slots=True)
class PlanRange:
    """A source alone and with all builds. [currency]

    Life-cycle costs None: a capital is not known. `chance_build_beats`: how often the build with the source costs less
    than the source alone; None by the lift, where p10 and p90 are the ends of the span.
    """

    source: str
    alone: Percentiles | None
    with_build: Percentiles | None
    npv_against: Percentiles
    chance_build_beats: float | None


def plan_ranges(chain: Chain) -> tuple[PlanRange, ...]:
    """Carry every range through the life-cycle cost of each plan.

    The difference of the two costs is the build's present value against that source, so the build beats the source
    where that is above 0, whatever the source costs to buy.

    Parameters
    ----------
    chain : the whole chain.

    Returns
    -------
    tuple of PlanRange : in the order of the ledger's sources.
    """
    return tuple(_range(_against(chain, source), source) for source in chain.ledger.sources)


def _against(chain: Chain, source: Source) -> Chain:
    terms = replace(chain.ledger.terms, against=source.name)
    return replace(chain, ledger=replace(chain.ledger, terms=terms))


def _range(chain: Chain, source: Source) -> PlanRange:
    by_lift = chain.response.way is BareWay.LIFT
    draws = span_draws(chain) if by_lift else drawn(chain.inputs(), draws=DRAWS_FOR_PLANS, seed=SEED)
    worths = np.atleast_1d(npv(chain.project(draws)))
    (alone, with_build), likely = _costs(chain, source.name, draws), _costs(chain, source.name, {})
    summary = _ends if by_lift else _percentiles
    return PlanRange(
        source=source.name,
        alone=summary(alone, likely[0]),
        with_build=summary(with_build, likely[1]),
        npv_against=summary(worths, npv(chain.project({}))) or NOTHING_KNOWN,
        chance_build_beats=None if by_lift else float(np.mean(worths > 0.0)),
    )


def _costs(chain: Chain, name: str, draws: Draws) -> tuple[FloatArray | None, FloatArray | None]:
    """Life-cycle cost of the source alone and of the builds with it, in each draw."""
    ledger, heat = chain.drawn_ledger(draws), chain.drawn_heat(draws)
    source = ledger.source(name)
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=chain.fan_kwh)
    built = BuildYear(ledger.builds, running, typical_upkeep(ledger, ledger.builds))
    alone = _cost(ledger, heat, source, NOTHING_BUILT, heat.need_kwh)
    return alone, _cost(ledger, heat, source, built, heat.need_kwh - heat.avoided_kwh)


def _cost(ledger: Ledger, heat: TypicalHeat, source: Source, built: BuildYear, total_kwh: Number) -> FloatArray | None:
    hours = heat_hours(heat)
    hourly = hours.to_buy_kwh if built.builds else hours.need_kwh
    cost = plan_money(ledger, built, buy_heat(ledger, source, hourly, hours=hours, total_kwh=total_kwh)).life_cycle_cost
    return None if cost is None else np.atleast_1d(np.asarray(cost, dtype=np.float64))


def _percentiles(values: FloatArray | None, _likely: FloatArray | None) -> Percentiles | None:
    return None if values is None else percentiles(values)


def _ends(values: FloatArray | None, likely: FloatArray | None) -> Percentiles | None:
    """The two ends of a span, and the likely value between them."""
    if values is None or likely is None:
        return None
    return Percentiles(float(values.min()), float(np.ravel(likely)[0]), float(values.max()))
