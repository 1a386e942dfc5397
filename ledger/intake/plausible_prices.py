"""Doubts about a price: a kilowatt-hour that costs what no fuel of its kind costs was likely priced by another unit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from ledger.errors import Doubt
from ledger.intake.desk import Desk
from ledger.model.heaters import Kind, Source
from ledger.sources import NO_SOURCE

LIKE_MONEY: Final = ("EUR", "USD", "GBP", "CHF", "CAD", "AUD", "NZD")


@dataclass(frozen=True, slots=True)
class PriceSpan:
    """What a kWh of gross heat may cost; outside of it the unit is doubted. `source`: the prices that made it."""

    low: float
    high: float
    source: str


_EUROSTAT_GAS = (
    "Eurostat, household gas, second half of 2024: 0.032 (Hungary) to 0.189 EUR/kWh (Sweden); halved and doubled"
)
_EUROSTAT_POWER = (
    "Eurostat, household electricity, first half of 2022: 0.060 (Netherlands) to 0.456 EUR/kWh (Denmark) (secondary "
    "source); a third of the one, three times the other, since an own kilowatt-hour off the grid may be dear"
)
_DOE_2002 = "US Department of Energy, representative costs of 2002 (secondary source)"
_WOOD = PriceSpan(0.004, 0.5, NO_SOURCE)
SPANS: Final[Mapping[Kind, PriceSpan]] = {
    Kind.ELECTRIC: PriceSpan(0.02, 1.5, _EUROSTAT_POWER),
    Kind.HEAT_PUMP: PriceSpan(0.02, 1.5, _EUROSTAT_POWER),
    Kind.NATURAL_GAS: PriceSpan(0.016, 0.4, _EUROSTAT_GAS),
    Kind.PROPANE: PriceSpan(
        0.016, 0.6, f"low end: half of 0.033 USD/kWh, {_DOE_2002}; high end: small bottles, {NO_SOURCE}"
    ),
    Kind.HEATING_OIL: PriceSpan(0.013, 0.4, f"low end: half of 0.027 USD/kWh, {_DOE_2002}; high end: {NO_SOURCE}"),
    Kind.PELLETS: PriceSpan(0.015, 0.4, NO_SOURCE),
    Kind.WOOD_STOVE: _WOOD,
    Kind.ROCKET_STOVE: _WOOD,
    Kind.ROCKET_MASS: _WOOD,
    Kind.OTHER: PriceSpan(0.004, 1.5, NO_SOURCE),
}

PRICE: Final = Doubt(
    "price-unit",
    "a price makes a kilowatt-hour of gross heat cheaper or dearer than its kind ever is, in money worth about a euro: "
    + "; ".join(f"{kind} {span.low:g} to {span.high:g}" for kind, span in SPANS.items()),
    "let price be that of one `unit` (a therm is 29.3 kWh, a gallon of propane 26.8 kWh, an MMBtu 293 kWh)",
    "; ".join(f"{kind}: {span.source}" for kind, span in SPANS.items() if span.source != NO_SOURCE)
    + f"; the others: {NO_SOURCE}",
)
DOUBTS: Final = (PRICE,)


def doubt_prices(desk: Desk, sources: Sequence[Source]) -> None:
    """A price that makes a kilowatt-hour absurd was likely typed for another unit. A price of 0 is free fuel."""
    if desk.coin.currency not in LIKE_MONEY:
        return
    for source in sources:
        per_kwh, span = source.price.likely / source.heat_per_unit_kwh.likely, SPANS[source.kind]
        if source.price.likely > 0 and not span.low <= per_kwh <= span.high:
            desk.notice(
                PRICE.code,
                ("source", _number(desk, source.name), "price"),
                f'a {source.unit} of "{source.name}" at {source.price.likely:g} makes {per_kwh:.4g} '
                f"{desk.coin.currency} for a kWh of gross heat, and a kWh of {source.kind} costs {span.low:g} to "
                f"{span.high:g}: is the price for that unit? {PRICE.mend[0].upper()}{PRICE.mend[1:]}",
            )


def _number(desk: Desk, name: str) -> int:
    rows = desk.document.get("source", [])
    return next(n for n, row in enumerate(rows) if str(row.get("name", "")).strip() == name)
