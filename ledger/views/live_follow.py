"""Inputs that follow another one where the ledger leaves them open: formulas, until something is typed over them."""

from __future__ import annotations

from ledger.model.heaters import Source
from ledger.model.ledger import Ledger
from ledger.model.values import Basis

INFLATION = "=inflation_in_flows"


def growth_formula(ledger: Ledger, number: int) -> str | None:
    """The growth of a source's price (numbered from 1) follows inflation; with real rates it is 0, as that is."""
    return INFLATION if _left_open(ledger, f"source[{number}].price_growth") else None


def electric_growth_formula(ledger: Ledger) -> str | None:
    """The growth of the price of electricity follows the electric source's, else inflation."""
    if not _left_open(ledger, "electricity.price_growth"):
        return None
    own = ledger.electricity.price_growth.likely
    for number, source in enumerate(ledger.sources, start=1):
        if source.kind.electric and source.price_growth.likely == own:
            return f"=source_{number}_price_growth"
    return INFLATION


def price_formula(ledger: Ledger, source: Source, number: int) -> str | None:
    """The price of an electric source that states none is that of `[electricity]` for the kWh in its unit."""
    electricity = ledger.electricity.price
    if electricity is None or source.tariffs or not _left_open(ledger, f"source[{number}].price"):
        return None
    if electricity.likely == 0.0:
        return "=electricity_price" if source.price.likely == 0.0 else None
    times = source.price.likely / electricity.likely
    return "=electricity_price" if times == 1.0 else f"=electricity_price*{times!r}"


def discount_formula(ledger: Ledger) -> str | None:
    """The discount rate is that of the dearest loan, less inflation where rates are real."""
    terms = ledger.terms
    if not terms.loans or terms.discount_rate.basis is not Basis.ASSUMED:
        return None
    if not _left_open(ledger, "money.discount_rate"):
        return None
    dearest = f"MAX({','.join(f'loan_{k}_annual_rate' for k in range(1, len(terms.loans) + 1))})"
    return f'=IF(rates_are="real",(1+{dearest})/(1+inflation)-1,{dearest})'


def _left_open(ledger: Ledger, path: str) -> bool:
    return any(one.path == path for one in ledger.assumed)
