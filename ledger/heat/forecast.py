"""Last year's forecast beside what happened: the typical year as the earlier seasons alone would have told it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ledger.heat.bare import Ways
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import HeatWork
from ledger.heat.results import Band, TypicalHeat
from ledger.heat.typical import typical_year
from ledger.model.ledger import Ledger


@dataclass(frozen=True, slots=True)
class Forecast:
    """What was to be expected of a season before it began, and what it brought.

    `need_kwh`, `avoided_kwh`, `avoided_range_kwh`: the typical year of the earlier seasons. `came_need_kwh`,
    `came_avoided_kwh`: of the season, its open hours filled where that could be done (`holes_filled`). [kWh]
    `inside` : what came lies within the range of what was expected. The range is of the typical year: a season's own
    weather may lie outside it without anything being wrong.
    """

    season: str
    basis: str
    need_kwh: float
    avoided_kwh: float
    avoided_range_kwh: Band
    came_need_kwh: float
    came_avoided_kwh: float
    holes_filled: bool
    inside: bool


def told_after(prepared: Prepared, ledger: Ledger, work: HeatWork, ways: Ways) -> tuple[TypicalHeat | None, ...]:
    """The typical year as the log told it at the end of each season, from that season and the earlier ones alone.

    The bare house of a season is reckoned as it is today.

    Parameters
    ----------
    prepared, ledger, ways : as for `heat_work`.
    work : all seasons as reckoned.

    Returns
    -------
    tuple of TypicalHeat or None : by season, in order; the last is the typical year of the answer. None where none
        came of the log so far.
    """
    blind = replace(ways, typical=None)
    count = len(work.seasons)
    earlier = [typical_year(prepared, ledger, work.loss, work.seasons[:i], blind).heat for i in range(1, count)]
    return (*earlier, work.typical.heat) if count else ()


def forecasts(work: HeatWork, told: Sequence[TypicalHeat | None]) -> tuple[Forecast | None, ...]:
    """Set each season's forecast beside what happened.

    The bare house of the earlier seasons is reckoned as it is today: where a fitted house model answers it, each season
    by a fit of its own, no later season has been seen.

    Parameters
    ----------
    work : all seasons as reckoned.
    told : the typical year at the end of each season (`told_after`).

    Returns
    -------
    tuple of Forecast or None : by season, in order; None for the first one and where no typical year came of the
        earlier ones.
    """
    found: list[Forecast | None] = []
    for i, season in enumerate(work.seasons):
        before = told[i - 1] if i else None
        if before is None:
            found.append(None)
            continue
        heat = season.heat
        need, avoided = heat.need_whole_season_kwh, heat.avoided_whole_season_kwh
        filled = need is not None and avoided is not None
        came = avoided if filled and avoided is not None else heat.avoided_kwh
        band = before.avoided_range_kwh
        found.append(
            Forecast(
                season=heat.season,
                basis=before.basis,
                need_kwh=before.need_kwh,
                avoided_kwh=before.avoided_kwh,
                avoided_range_kwh=band,
                came_need_kwh=need if filled and need is not None else heat.need_kwh,
                came_avoided_kwh=came,
                holes_filled=filled,
                inside=band.p10 <= came <= band.p90,
            )
        )
    return tuple(found)
