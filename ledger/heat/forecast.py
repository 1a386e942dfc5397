"""Last year's forecast beside what happened: the typical year as the earlier seasons alone would have told it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ledger.heat.bare import Ways
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import HeatWork
from ledger.heat.results import Band
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


def forecasts(prepared: Prepared, ledger: Ledger, work: HeatWork, ways: Ways) -> tuple[Forecast | None, ...]:
    """Set each season's forecast beside what happened.

    The bare house of the earlier seasons is reckoned as it is today: where a fitted house model answers it, the model
    has seen the later seasons too, and the forecast is only as blind as that leaves it.

    Parameters
    ----------
    prepared, ledger, ways : as for `heat_work`.
    work : all seasons as reckoned.

    Returns
    -------
    tuple of Forecast or None : by season, in order; None for the first one and where no typical year came of the
        earlier ones.
    """
    blind = replace(ways, typical=None)
    found: list[Forecast | None] = []
    for i, season in enumerate(work.seasons):
        before = typical_year(prepared, ledger, work.loss, work.seasons[:i], blind).heat if i else None
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
