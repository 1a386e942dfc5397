"""A log taken before the build was there shows the house without it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pytest

from ledger.heat.presence import builds_before_log_ends, presence_notices
from ledger.model.build import Item, Status
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange, Spread
from tests.heat.builders import build, ledger_of, plain_house, record_of


def with_item(day: date, status: Status) -> Ledger:
    """One build with one item, and a log of 10 to 12 January 2026."""
    money = MoneyRange.sure(Decimal(100))
    item = Item(day, "digging", money, Spread.sure(1.0), Spread.sure(30.0), MoneyRange.sure(Decimal(0)), status)
    return ledger_of(plain_house(100.0), builds=(replace(build(), items=(item,)),))


@pytest.mark.parametrize(
    ("day", "status", "stood"),
    [
        (date(2025, 6, 1), Status.PAID, True),
        (date(2026, 1, 12), Status.PAID, True),
        (date(2026, 2, 1), Status.PAID, False),
        (date(2025, 6, 1), Status.PLANNED, False),
        (date(2025, 6, 1), Status.QUOTED, False),
    ],
)
def test_a_build_stands_from_its_first_paid_receipt(day: date, status: Status, stood: bool) -> None:
    hours = np.full(72, 3.0)
    record = record_of({"indoor": hours, "outdoor": hours}, first="2026-01-10T00:00+01:00")
    ledger = with_item(day, status)
    assert builds_before_log_ends(record, ledger) is stood
    assert [n.code for n in presence_notices(record, ledger)] == ([] if stood else ["log-before-build"])


def test_without_a_log_there_is_nothing_to_contradict() -> None:
    assert builds_before_log_ends(None, with_item(date(2026, 2, 1), Status.PLANNED))
