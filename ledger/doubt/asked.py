"""What a change that only the fitted house can answer would be worth in a year."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ledger.heat.housemodel.whatif import Change, Told, WhatIf
from ledger.model.ledger import Ledger
from ledger.money.prices import electricity_price
from ledger.plans.results import Plan


@dataclass(frozen=True, slots=True)
class Asked:
    """A what-if beside what stands now.

    `fan_kwh_more`: what the fan draws more in the season, None where that is not known; `worth_a_year`: at base-date
    prices, None where a price is not known.
    """

    what_if: WhatIf
    fan_kwh_more: float | None
    worth_a_year: float | None


def asked(told: Told, ledger: Ledger, plans: Sequence[Plan]) -> tuple[Asked, ...]:
    """Price what a season was asked, but for other hold temperatures, whose money is reckoned in full elsewhere.

        worth = heat not bought more · fuel for a delivered kWh − energy of the fan more · its price

    What a bigger store costs to build is not in it, nor is work saved.

    Parameters
    ----------
    told : one season's answers.
    ledger : prices.
    plans : for the price of delivered heat from the source that is avoided.

    Returns
    -------
    tuple of Asked
    """
    against = ledger.terms.against
    per_kwh = next((p.fuel_cost_per_delivered_kwh for p in plans if p.source == against and not p.builds), None)
    power = electricity_price(ledger, ledger.terms.base_date)
    price = None if power is None else power.likely
    return tuple(_priced(one, told, per_kwh, price) for one in told.what_ifs if one.change is not Change.HOLD)


def _priced(one: WhatIf, told: Told, per_kwh: float | None, price: float | None) -> Asked:
    now = None if told.fan is None else told.fan.kwh
    more = None if now is None or one.fan_kwh is None else one.fan_kwh - now
    costs = 0.0 if one.fan_h is None else None if more is None or price is None else more * price
    worth = None if per_kwh is None or costs is None else one.gain.kwh * per_kwh - costs
    return Asked(one, more, worth)
