"""What is bought every year, priced over the study: fuel of one or two sources, the energy that a build runs on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.money.prices import electric_source, has_later_tariff, price_in_force, source_price_path
from ledger.money.project import FloatArray, Number, number
from ledger.money.running import RunningYear

# A base-date cost below this part of the later ones has no ratio worth the name.
_NEXT_TO_NOTHING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class PricedYears:
    """What is bought every year, over the study.

    base_cost : at base-date prices. [currency/a]
    path : cost of year k ÷ base_cost, k = 1..N; None where that is one plain growth. [-]
    later : cost of years 1..N that base_cost · path leaves out, where base_cost is 0 and a later year's is not; else
        None. [currency/a]
    """

    base_cost: Number
    path: FloatArray | None
    later: FloatArray | None


def price_fuel(ledger: Ledger, units: Sequence[tuple[Source, Number]]) -> PricedYears:
    """Price so many units a year of one or two sources, along each one's own price path."""
    terms = ledger.terms
    base: Number = sum((u * number(price_in_force(s, terms.base_date)) for s, u in units), 0.0)
    if len(units) < 2 and not any(has_later_tariff(s, base_date=terms.base_date) for s, _ in units):
        return PricedYears(base, None, None)
    yearly = np.zeros(terms.study_years)
    for source, count in units:
        path = source_price_path(source, base_date=terms.base_date, study_years=terms.study_years)
        yearly = yearly + np.asarray(count, dtype=np.float64)[..., np.newaxis] * path
    return _against_base(base, yearly)


def price_energy(ledger: Ledger, running: RunningYear) -> PricedYears | None:
    """Price the running energy where electricity has its price from a source with later tariffs; else None.

    None leaves it at its base-date cost and plain growth.
    """
    source = electric_source(ledger)
    terms = ledger.terms
    if ledger.electricity.price is not None or source is None or running.energy_cost is None:
        return None
    if not has_later_tariff(source, base_date=terms.base_date):
        return None
    path = source_price_path(source, base_date=terms.base_date, study_years=terms.study_years)
    kwh = np.asarray(running.energy_kwh / number(source.heat_per_unit_kwh), dtype=np.float64)
    return _against_base(running.energy_cost, kwh[..., np.newaxis] * path)


def _against_base(base: Number, yearly: FloatArray) -> PricedYears:
    below = np.broadcast_to(np.asarray(base, dtype=np.float64)[..., np.newaxis], yearly.shape)
    some = np.abs(below) > _NEXT_TO_NOTHING * np.max(np.abs(yearly), axis=-1, keepdims=True)
    ratio = np.divide(yearly, below, out=np.ones_like(yearly), where=some)
    later = np.where(some, 0.0, yearly - below)
    return PricedYears(base, ratio, later if bool(np.any(later != 0.0)) else None)
