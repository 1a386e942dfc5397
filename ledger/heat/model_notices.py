"""What has to be said beside the figures of a season that the house model answers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.errors import Notice
from ledger.heat.housemodel.answer import HouseModelAnswer, SeasonModel
from ledger.heat.housemodel.open_days import FilledBy
from ledger.heat.season_answer import SeasonWork
from ledger.heat.season_notices import degrees_in_words
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger

FILLED_WITH = {
    FilledBy.ELSEWHERE: "another record of the same hours",
    FilledBy.CLIMATE: "the climate that the ledger names",
    FilledBy.NEARBY: "the same hours of nearby days",
}


def model_notices(seasons: Sequence[SeasonWork], ledger: Ledger, model: HouseModelAnswer | None) -> tuple[Notice, ...]:
    """Warnings about the seasons that the model answers: a hold at the fan's own setting, days filled in.

    Parameters
    ----------
    seasons : as reckoned.
    ledger : hold temperature, units.
    model : as fitted; None: none.

    Returns
    -------
    tuple of Notice
    """
    fitted = {} if model is None else model.seasons
    answered = [s for s in seasons if s.way is BareWay.MODEL and s.heat.season in fitted]
    return tuple(
        notice
        for one in answered
        for notice in (*_of_the_fan(fitted[one.heat.season], ledger), *_of_open_days(one, fitted[one.heat.season]))
    )


def _of_the_fan(season: SeasonModel, ledger: Ledger) -> Iterator[Notice]:
    told = season.answer.told
    if not told.at_the_fan_setting or told.fan is None or told.fan.cold_c is None:
        return
    below, above = (f"{one.avoided.kwh:.0f} kWh held at {degrees_in_words(one.to, ledger)}" for one in told.fan.beside)
    yield Notice(
        "hold-at-fan-setting",
        f"Season {season.season}: the hold temperature lies at the air at which the fan begins to give heat back "
        f"({degrees_in_words(told.fan.cold_c, ledger)} by the log), and the saving jumps there: {below}, {above}. "
        f"Which side the held house stands on the log cannot tell; the {told.now.kwh:.0f} kWh are the mean over both. "
        "To mend it set the fan at least a degree above the hold.",
        "seasons.avoided_kwh",
    )


def _of_open_days(work: SeasonWork, season: SeasonModel) -> Iterator[Notice]:
    filled, band = season.answer.filled, work.heat.avoided_whole_season_range_kwh
    if filled is None or band is None:
        return
    sources = " and ".join(FILLED_WITH[by] for by in filled.by) or "the log"
    yield Notice(
        "whole-season-filled",
        f"Season {season.season}: {filled.days:.0f} days have no readings indoors. In the figures of the whole season "
        f"the fitted house runs through them, outdoors by {sources}; the range ({band.p10:.0f} to {band.p90:.0f} kWh) "
        "is wider for it.",
        "seasons.avoided_whole_season_kwh",
    )
