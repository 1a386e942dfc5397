"""The typical year from the logged seasons, by month."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ledger.heat.curve import EnergyCurve
from ledger.heat.envelope import Envelope
from ledger.heat.results import Band, SeasonHeat, TypicalHeat
from ledger.heat.typical_curves import (
    Found,
    TypicalWork,
    band_of,
    curve_of,
    logged_part,
    loosest,
    model_curve,
    typical_heat,
)
from ledger.heat.typical_growth import TypicalGrowth
from ledger.heat.typical_hours import LoggedYear, logged_profile
from ledger.heat.typical_notices import missing_months
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger

LOGGED = "logged seasons"


def from_log(ledger: Ledger, loss: Envelope, logged: LoggedYear, growth: TypicalGrowth) -> TypicalWork:
    """Month by month from the logged seasons; a month that none logged enough stands with its need and no saving.

    Parameters
    ----------
    ledger : house and hold.
    loss : coefficients at likely values. [W/K]
    logged : logged hours and their weights.
    growth : degree-days of the logged months. [K·d]

    Returns
    -------
    TypicalWork
    """
    heat, curve = _by_log(ledger, loss, logged, growth)
    return TypicalWork(heat, curve, missing_months(logged))


def _by_log(
    ledger: Ledger, loss: Envelope, logged: LoggedYear, growth: TypicalGrowth
) -> tuple[TypicalHeat, EnergyCurve]:
    way = loosest([s.work.way for s in logged.stretches])
    curve = curve_of(ledger, loss, way, logged=logged_part(ledger, loss, logged), climate=None)
    need = logged.need_kwh * (1.0 + logged.missing_share)
    avoided = min(need, logged.added_kwh - logged.backup_kwh)
    band = band_of(curve, logged.missing_share, logged.backup_kwh)
    found = Found(need, avoided, band, way, tuple(float(np.sum(s.need_kwh)) for s in logged.stretches))
    profile = logged_profile(logged, need_kwh=need, to_buy_kwh=need - avoided)
    heat = typical_heat(LOGGED, found, growth, logged=logged, profile=profile)
    return replace(heat, at_least=bool(logged.months_missing)), curve


def from_model(ledger: Ledger, loss: Envelope, logged: LoggedYear, growth: TypicalGrowth) -> TypicalWork:
    """The same by the model's hours; the range is the mean of the seasons' own.

    Where a month was never logged the typical year leaves it out, and so does the range: not the whole season's, which
    fills it in.

    Parameters
    ----------
    ledger, loss, logged, growth : as for `from_log`.

    Returns
    -------
    TypicalWork
    """
    heat, _ = _by_log(ledger, loss, logged, growth)
    seasons = [s.work.heat for s in logged.stretches]
    found = [_whole_or_logged(s, whole=not logged.months_missing) for s in seasons]
    below = float(np.mean([centre - band.p10 for centre, band in found]))
    above = float(np.mean([band.p90 - centre for centre, band in found]))
    more = logged.missing_share * max(0.0, heat.avoided_kwh)
    heat = replace(
        heat,
        avoided_range_kwh=Band(heat.avoided_kwh - max(0.0, below), heat.avoided_kwh + max(0.0, above) + more),
        bare=BareWay.MODEL.value,
    )
    return TypicalWork(heat, model_curve(ledger, loss, heat), missing_months(logged))


def _whole_or_logged(season: SeasonHeat, *, whole: bool) -> tuple[float, Band]:
    """Avoided heat and its range, of the whole season where it is known and wanted, else of the hours logged. [kWh]"""
    kwh, band = season.avoided_whole_season_kwh, season.avoided_whole_season_range_kwh
    if not whole or kwh is None or band is None:
        return season.avoided_kwh, season.avoided_range_kwh
    return kwh, band
