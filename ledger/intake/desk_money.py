"""Money typed in a ledger, held to the coin of the ledger that lies on the desk."""

from __future__ import annotations

from ledger.intake.desk import Desk
from ledger.intake.money_values import MoneyTyped, money_range
from ledger.model.values import Basis, MoneyRange


def money(desk: Desk, typed: MoneyTyped, basis: Basis) -> MoneyRange:
    """An amount with its range. [currency]"""
    return money_range(typed, basis, desk.coin.digits)


def money_or_none(desk: Desk, typed: MoneyTyped | None) -> MoneyRange | None:
    """An amount that may be left out; estimated where it stands. [currency]"""
    return None if typed is None else money(desk, typed, Basis.ESTIMATED)
