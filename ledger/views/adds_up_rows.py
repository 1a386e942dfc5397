"""Heat figures that must agree, side by side, in words that workbook and report share."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ledger.appraisal import Appraisal
from ledger.doubt.words import in_words
from ledger.heat.adds_up import AddsUp, HeatLossPair
from ledger.heat.balance import StoreBalance
from ledger.heat.season_notices import LEAST_HEAT_PER_KWH_OF_FAN
from ledger.views.figures import Measure, show_span
from ledger.views.row import style_of


@dataclass(frozen=True, slots=True)
class Pair:
    """Two figures in SI under one another's measure, what they are, and what is to be said of them."""

    season: str
    words: str
    one: float
    other: float
    measure: Measure
    said: str


def pairs_of_heat(a: Appraisal) -> tuple[Pair, ...]:
    """Every pair of every season; none where nothing is logged."""
    return tuple(pair for season in a.adds_up for pair in _pairs(season, a))


def _pairs(season: AddsUp, a: Appraisal) -> Iterator[Pair]:
    for store in season.stores:
        words = f"{store.store}: given back over {store.nights:,} nights, and what the house lost in them"
        yield Pair(season.season, words, store.release_kwh, store.loss_kwh, Measure.HEAT, _share_words(store))
    loss = season.heat_loss
    if loss is not None:
        words = "Heat loss by the ledger's figures, and as the log wants it"
        yield Pair(
            season.season, words, loss.ledger_w_per_k, loss.fitted_w_per_k, Measure.HEAT_LOSS, _loss_words(loss, a)
        )
    used = season.heat_per_kwh_used
    if used is not None:
        words = "Heat not bought for each kWh used, and the least that is worth the fan"
        said = "enough" if used >= LEAST_HEAT_PER_KWH_OF_FAN else "little: a heat pump gives more"
        yield Pair(season.season, words, used, LEAST_HEAT_PER_KWH_OF_FAN, Measure.RATIO, said)


def _share_words(store: StoreBalance) -> str:
    if store.loss_kwh <= 0.0:
        return "the house lost nothing"
    return f"{100.0 * store.release_kwh / store.loss_kwh:.0f} % of it; the floor and the build's air give the rest"


def _loss_words(loss: HeatLossPair, a: Appraisal) -> str:
    span = show_span(loss.ledger_range.p10, loss.ledger_range.p90, Measure.HEAT_LOSS, style_of(a))
    believed = "" if loss.believed else "; the model is not believed"
    if loss.doubted is None:
        return f"within the ledger's range, {span}{believed}"
    return f"outside the ledger's range, {span}; most doubtful: {in_words(loss.doubted, a.source)}{believed}"
