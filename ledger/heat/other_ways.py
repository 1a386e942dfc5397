"""The bare house as the nights with the fan off and the house model answer it, in the form that the seasons take."""

from __future__ import annotations

from ledger.heat.bare import Ways
from ledger.heat.fan_off import FanOffAnswer
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.whatif import BESIDE_K


def other_ways(off_nights: FanOffAnswer, model: HouseModelAnswer | None) -> Ways:
    """Put both answers together.

    Parameters
    ----------
    off_nights : nights with the fan off.
    model : the fitted house; None where nothing is logged.

    Returns
    -------
    Ways
    """
    return Ways(
        fan_off={name: one.bare for name, one in off_nights.seasons.items()},
        model={} if model is None else model.model_seasons,
        model_believed=model is not None and model.believed,
        model_at={} if model is None else model.seasons_at,
        warmest_hold_c=None if model is None else _warmest_hold_c(model),
    )


def _warmest_hold_c(model: HouseModelAnswer) -> float | None:
    """A degree below the lowest cold setting of the fan that any season's log shows; no belief in the fit is needed."""
    fans = [season.answer.told.fan for season in model.seasons.values()]
    return min((fan.cold_c - BESIDE_K for fan in fans if fan is not None and fan.cold_c is not None), default=None)
