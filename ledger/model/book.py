"""The season book: dated lines of what was used."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

HOUSE = "house"


@dataclass(frozen=True, slots=True)
class RunningLine:
    """One line. `target` is a build's name, a source's name or `HOUSE`.

    `energy_kwh` (a meter's difference in kWh is energy too) or `quantity` in the source's own unit make it running
    cost; a line with an amount only is upkeep of the year it falls in. `first_day` to `last_day`: days covered.
    """

    date: datetime.date
    target: str
    what: str
    energy_kwh: float | None
    quantity: float | None
    amount: Decimal | None
    hours: float
    first_day: datetime.date
    last_day: datetime.date
    line: int | None = None
