"""What the builds were worth in the typical year, as it was known at the end of each season."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from ledger.heat.results import TypicalHeat
from ledger.model.ledger import Ledger
from ledger.money.book_spans import account_span
from ledger.money.project import project_from
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import known_saving, npv, simple_payback
from ledger.money.year import year_money


@dataclass(frozen=True, slots=True)
class SeasonWorth:
    """The typical year as a season and the earlier ones told it.

    `avoided_kwh` [kWh]; `net_saving` of its first year at base-date prices, `npv` [currency]; `simple_payback_years`
    [a], None: never. The season's own weather is in none of them but as one of the winters that make the typical year.
    """

    season: str
    avoided_kwh: float
    net_saving: float
    simple_payback_years: float | None
    npv: float


def season_worths(
    ledger: Ledger, names: Sequence[str], told: Sequence[TypicalHeat | None], *, fan_kwh: float | None
) -> tuple[SeasonWorth | None, ...]:
    """The worth as it was known at the end of each season: how the payback moved from winter to winter.

    The season book and the tariffs are cut off at the end of the season's account; what was put in is taken as it
    stands today, so that what moves is what the winters taught. The last one is the answer's own worth, except for
    lines and tariffs dated after its account.

    Parameters
    ----------
    ledger : as read.
    names : of the seasons, in order of time.
    told : the typical year at the end of each (`heat.forecast.told_after`).
    fan_kwh : energy of the logged fan in a season; None: not logged. [kWh]

    Returns
    -------
    tuple of SeasonWorth or None : None where there is no typical year.
    """
    found: list[SeasonWorth | None] = []
    for name, heat in zip(names, told, strict=True):
        span = account_span(int(name[:4]), ledger.hold.season, timezone=ledger.site.timezone)
        found.append(None if heat is None else _worth(name, known_by(ledger, span.last), heat, fan_kwh))
    return tuple(found)


def known_by(ledger: Ledger, day: date) -> Ledger:
    """The ledger with the lines of the season book and the tariffs up to a day."""
    sources = tuple(replace(s, tariffs=tuple(t for t in s.tariffs if t.since <= day)) for s in ledger.sources)
    return replace(ledger, running=tuple(x for x in ledger.running if x.date <= day), sources=sources)


def _worth(name: str, ledger: Ledger, heat: TypicalHeat, fan_kwh: float | None) -> SeasonWorth:
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=fan_kwh)
    upkeep = typical_upkeep(ledger, ledger.builds)
    year, _ = year_money(ledger, heat, ledger.source(ledger.terms.against), running=running, upkeep=upkeep)
    project = project_from(ledger, year)
    saved, years = float(known_saving(year)), float(simple_payback(project))
    return SeasonWorth(name, heat.avoided_kwh, saved, None if math.isnan(years) else years, float(npv(project)))
