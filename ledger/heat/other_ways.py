"""The bare house as the nights with the fan off and the house model answer it, in the form that the seasons take."""

from __future__ import annotations

from ledger.heat.bare import Ways
from ledger.heat.fan_off import FanOffAnswer
from ledger.heat.housemodel.answer import HouseModelAnswer


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
    )
