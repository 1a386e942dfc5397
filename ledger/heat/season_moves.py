"""Whether the newest winter's log moves what was said of the earlier ones, and by how much."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ledger.errors import Notice
from ledger.heat.bare import Ways
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.reckoning import HeatWork
from ledger.heat.season_answer import reckon_season
from ledger.heat.season_nights import SeasonNights, fading_notices
from ledger.model.ledger import Ledger


def followed_notices(
    ledger: Ledger,
    work: HeatWork,
    ways: Ways,
    nights: Sequence[SeasonNights | None],
    model: HouseModelAnswer | None,
) -> tuple[Notice, ...]:
    """What following the seasons has to say: a store that fades, an earlier season that the newest one moved.

    Parameters
    ----------
    ledger, work, ways : as for `moved_notices`.
    nights : by season; None: not described.
    model : the fits; None: none.

    Returns
    -------
    tuple of Notice
    """
    fits = {} if model is None else {name: one.believed for name, one in model.seasons.items()}
    fading = fading_notices([one for one in nights if one is not None])
    return (*fading, *moved_notices(ledger, work, ways, believed=fits))


def moved_notices(ledger: Ledger, work: HeatWork, ways: Ways, *, believed: Mapping[str, bool]) -> tuple[Notice, ...]:
    """Say of each earlier season whose figures moved because of the newest one.

    Every season is fitted and reckoned by itself, so nothing moves but where the house model answers: it is believed
    only if every season's fit is, and a new season may bring that belief or end it. Then the earlier seasons are
    reckoned as they were before it, and the difference is said.

    Parameters
    ----------
    ledger, ways : as for `heat_work`.
    work : all seasons as reckoned.
    believed : by season, whether its own fit is believed; seasons without a fit are missing.

    Returns
    -------
    tuple of Notice
    """
    if len(work.seasons) < 2:
        return ()
    newest = work.seasons[-1].heat.season
    earlier = [yes for name, yes in believed.items() if name != newest]
    before = bool(earlier) and all(earlier)
    if before is ways.model_believed:
        return ()
    as_before = replace(ways, model_believed=before)
    said = []
    for season in work.seasons[:-1]:
        was, now = reckon_season(season.year, ledger, work.loss, as_before), season
        if was.heat.avoided_kwh != now.heat.avoided_kwh:
            text = (
                f"Season {now.heat.season}: with the log of {newest} its bare house is reckoned another way "
                f"({now.heat.bare.used}, before {was.heat.bare.used}): the heat not bought moves from "
                f"{was.heat.avoided_kwh:,.0f} to {now.heat.avoided_kwh:,.0f} kWh"
            )
            said.append(Notice("season-moved", text, f"seasons.{now.heat.season}.avoided_kwh"))
    return tuple(said)
