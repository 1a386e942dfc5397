"""Does it add up, season by season: stores beside losses, fitted heat loss beside the table's, heat per kWh used."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ledger.errors import Notice
from ledger.heat.balance import StoreBalance, most_doubtful, store_balances
from ledger.heat.draws import drawn
from ledger.heat.envelope import Envelope, doubts, envelope
from ledger.heat.housemodel.answer import FittedFigure, HouseModelAnswer
from ledger.heat.housemodel.priors import Figure
from ledger.heat.results import Band
from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger


@dataclass(frozen=True, slots=True)
class HeatLossPair:
    """Heat loss by the ledger's measures and as the log wants it, each with its range. [W/K]

    `doubted`: the ledger's figure that moves the first one most, where the second lies outside the first one's range;
    else None. The fitted one leaves the loss to a clear sky apart.
    """

    ledger_w_per_k: float
    ledger_range: Band
    fitted_w_per_k: float
    fitted_range: Band
    believed: bool
    doubted: str | None


@dataclass(frozen=True, slots=True)
class AddsUp:
    """One season.

    Attributes
    ----------
    season : name.
    stores : what each logged store gave back, beside what the house lost in the same nights.
    held_kwh : what house, floor and stores held together in the hours that count.
    heat_loss : None where no model was fitted.
    heat_per_kwh_used : heat not bought for each kilowatt-hour that the build used; None where none is known.
    """

    season: str
    stores: tuple[StoreBalance, ...]
    held_kwh: float
    heat_loss: HeatLossPair | None
    heat_per_kwh_used: float | None


def adds_up(
    seasons: Sequence[SeasonWork], ledger: Ledger, model: HouseModelAnswer | None, *, loss: Envelope
) -> tuple[AddsUp, ...]:
    """Set beside one another what must agree.

    Parameters
    ----------
    seasons : as reckoned.
    ledger : house, builds, stores.
    model : the house model's answer.
    loss : coefficients at likely values. [W/K]

    Returns
    -------
    tuple of AddsUp : one a season.
    """
    return tuple(
        AddsUp(
            season=one.heat.season,
            stores=store_balances(one.year, ledger, loss),
            held_kwh=one.heat.rungs.held_kwh,
            heat_loss=_pair(one.heat.season, ledger, model),
            heat_per_kwh_used=one.heat.avoided_per_kwh_used,
        )
        for one in seasons
    )


def heat_loss_notices(
    seasons: Sequence[SeasonWork], ledger: Ledger, model: HouseModelAnswer | None
) -> tuple[Notice, ...]:
    """Say where a believed model wants another heat loss than the ledger's figures give, and which of them is doubted.

    Parameters
    ----------
    seasons, ledger, model : as for `adds_up`.

    Returns
    -------
    tuple of Notice
    """
    found = []
    for one in seasons:
        pair = _pair(one.heat.season, ledger, model)
        if pair is None or not pair.believed or pair.doubted is None:
            continue
        low, high = pair.ledger_range.p10, pair.ledger_range.p90
        text = (
            f"Season {one.heat.season}: the log wants a heat loss of {pair.fitted_w_per_k:.0f} W/K; the ledger's "
            f"figures give {pair.ledger_w_per_k:.0f} ({low:.0f} to {high:.0f}). Most doubtful in them: {pair.doubted}."
        )
        found.append(Notice("heat-loss-not-as-fitted", text, "house.heat_loss_w_per_k"))
    return tuple(found)


def _pair(season: str, ledger: Ledger, model: HouseModelAnswer | None) -> HeatLossPair | None:
    fitted = _fitted(season, model)
    if fitted is None or model is None:
        return None
    band = _ledger_band(ledger)
    likely = envelope(ledger.house, ledger.builds, elevation_m=ledger.site.elevation_m)
    outside = not band.p10 <= fitted.value <= band.p90
    return HeatLossPair(
        ledger_w_per_k=float(likely.night.total_w_per_k),
        ledger_range=band,
        fitted_w_per_k=fitted.value,
        fitted_range=Band(fitted.low, fitted.high),
        believed=model.seasons[season].believed,
        doubted=most_doubtful(ledger) if outside else None,
    )


def _fitted(season: str, model: HouseModelAnswer | None) -> FittedFigure | None:
    if model is None or season not in model.seasons:
        return None
    return next((f for f in model.seasons[season].figures if f.figure == Figure.HEAT_LOSS), None)


def _ledger_band(ledger: Ledger) -> Band:
    house, builds = ledger.house, ledger.builds
    draws = drawn(doubts(house, builds))
    loss = envelope(house, builds, elevation_m=ledger.site.elevation_m, draws=draws).night.total_w_per_k
    low, high = np.quantile(np.atleast_1d(loss), [0.1, 0.9])
    return Band(float(low), float(high))
