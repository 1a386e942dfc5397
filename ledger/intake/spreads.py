"""Ranges of figures that follow from other figures."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.model.values import Basis, Spread
from ledger.sources import Row

_FIRM_TO_LOOSE = list(Basis)


def of_row(row: Row) -> Spread:
    """A default of ours as a value with its range."""
    likely, low, high = float(row.likely), float(row.low), float(row.high)
    return Spread(likely, low, high, Basis.ASSUMED, low == high, False, row.source)


def loosest(values: Sequence[Spread]) -> Basis:
    """The loosest basis among values."""
    return max((value.basis for value in values), key=_FIRM_TO_LOOSE.index)


def following(likely: float, values: Sequence[Spread]) -> Spread:
    """A figure that follows from measures: it takes the range of the loosest of them, as a share.

    The shares are not multiplied up: whoever paces a house too long paces all of it too long, but a plain guess of
    ±25 % on each side is meant for the figure, not for its square.
    """
    below = max((1.0 - value.low / value.likely for value in values if value.likely > 0), default=0.0)
    above = max((value.high / value.likely - 1.0 for value in values if value.likely > 0), default=0.0)
    exact = all(value.exact for value in values)
    low, high = likely - abs(likely) * below, likely + abs(likely) * above
    return Spread(likely, max(low, 0.0), high, loosest(values), exact)


def product(first: Spread, second: Spread, factor: float = 1.0) -> Spread:
    """Two positive figures multiplied: the ends multiply too."""
    return Spread(
        first.likely * second.likely * factor,
        first.low * second.low * factor,
        first.high * second.high * factor,
        loosest((first, second)),
        first.exact and second.exact,
    )


def scaled(value: Spread, factor: float) -> Spread:
    """A figure in another unit."""
    return Spread(
        value.likely * factor,
        value.low * factor,
        value.high * factor,
        value.basis,
        value.exact,
        value.stated,
        value.note,
    )


def capped(value: Spread, most: float) -> Spread:
    """A figure with no end above a cap."""
    return Spread(
        min(value.likely, most),
        min(value.low, most),
        min(value.high, most),
        value.basis,
        value.exact,
        value.stated,
        value.note,
    )
