"""The order of day and month in the dates of a file: proved by the dates themselves, or asked for; never guessed."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.errors import Complaint, LedgerError, Place
from ledger.intake.log_order import possible_orders
from ledger.intake.log_stamps import DateParts, Order

_SAID = {"day first": Order.DMY, "month first": Order.MDY, "year first": Order.YMD}


def settled_order(dates: Sequence[DateParts], said: str | None, *, file: str, line: int) -> Order:
    """The order that a person said, else the only one that all dates can have.

    Raises
    ------
    LedgerError : several can be, or none, or what was said is none of the three.
    """
    if said is not None:
        word = " ".join(said.casefold().split())
        if word not in _SAID:
            mend = 'write "day first", "month first" or "year first"'
            raise LedgerError([Complaint(f'"{said[:40]}" is no order of dates', Place("--dates"), mend)])
        return _SAID[word]
    orders = possible_orders(dates)
    if len(orders) == 1:
        return orders[0]
    written = "/".join(str(part) for part in dates[0].parts)
    what = "no date proves whether the day or the month stands first" if orders else "the dates are in several orders"
    mend = 'say --dates "day first" or --dates "month first"'
    raise LedgerError([Complaint(f"{what} (such as {written})", Place(file, line), mend)])
