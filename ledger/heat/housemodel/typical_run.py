"""The typical year by a believed model: it runs over every season of a climate, averaged."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.heat.bare import Ways
from ledger.heat.climate import CLIMATE_FILE
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.other_weather import winter_of
from ledger.heat.housemodel.other_years import (
    FittedHouse,
    WinterRange,
    WinterRun,
    fitted_house,
    range_of_winter,
    run_winters,
)
from ledger.heat.housemodel.spread import LEAST_SHARE_OF_NEED
from ledger.heat.prepared import Prepared
from ledger.heat.results import Band, TypicalHeat
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger

PERCENT = 100.0


def over_climate(ways: Ways, model: HouseModelAnswer | None, prepared: Prepared, ledger: Ledger) -> Ways:
    """The same ways with the typical year as the model's own runs over every season of the climate give it.

        need, avoided = mean over the seasons of the held runs' heater energy
        range         = that of the season with the middle saving, in proportion

    Differs from a passive fraction times the need, which takes a store to cover the same share of a hard winter as of a
    mild one. The outdoor record is taken to be the site's; sun as measured there, else drawn from like days of the log.

    Parameters
    ----------
    ways : what is known of the bare house.
    model : as fitted; None: none.
    prepared : whole seasons of a long record, or of normals.
    ledger : hold temperature.

    Returns
    -------
    Ways : unchanged without a believed fit or without a climate.
    """
    house = fitted_house(model, prepared, ledger) if prepared.climate else None
    return ways if house is None else with_typical(ways, house, prepared, ledger)


def with_typical(ways: Ways, house: FittedHouse, prepared: Prepared, ledger: Ledger) -> Ways:
    """The same with a fitted house at hand; `prepared` holds a climate."""
    hold_c = ledger.hold.temperature_c
    winters = [winter_of(year) for year in prepared.climate]
    runs = run_winters(house, winters, hold_c=hold_c)
    middle = int(np.argsort([r.avoided_kwh for r in runs])[len(runs) // 2])
    spread = range_of_winter(house, winters[middle], hold_c=hold_c)
    basis = prepared.climate_basis or CLIMATE_FILE
    notices = (*prepared.climate_notices, *_of_sun(runs, spread))
    heat = _heat(basis, runs, runs[middle], spread)
    return replace(ways, typical=heat, typical_hold_c=hold_c, typical_notices=notices)


def _heat(basis: str, runs: Sequence[WinterRun], middle: WinterRun, spread: WinterRange) -> TypicalHeat:
    need, avoided = (float(np.mean([getattr(r, name) for r in runs])) for name in ("need_kwh", "avoided_kwh"))
    scale = _scale(need, avoided) / max(_scale(middle.need_kwh, middle.avoided_kwh), 1e-9)
    below, above = middle.avoided_kwh - spread.avoided_kwh.p10, spread.avoided_kwh.p90 - middle.avoided_kwh
    profile = pd.concat([r.hours for r in runs]).drop(columns="fan_w").assign(weight=1.0 / len(runs))
    index = pd.DatetimeIndex(runs[0].hours.index)
    return TypicalHeat(
        basis=basis,
        months_not_logged=(),
        need_kwh=need,
        avoided_kwh=avoided,
        avoided_range_kwh=Band(avoided - scale * below, avoided + scale * above),
        to_buy_kwh=need - avoided,
        at_least=False,
        gdd_indoor_k_d=None,
        gdd_over_outdoors_k_d=None,
        gdd_by_build_k_d=None,
        gdd_months=(),
        profile=profile,
        bare=BareWay.MODEL.value,
        seasons_averaged=len(runs),
        highest_need_kwh=max(r.need_kwh for r in runs),
        lowest_need_kwh=min(r.need_kwh for r in runs),
        step_h=float((index[1] - index[0]) / pd.Timedelta(hours=1)),
    )


def _scale(need_kwh: float, avoided_kwh: float) -> float:
    return max(abs(avoided_kwh), LEAST_SHARE_OF_NEED * need_kwh)


def _of_sun(runs: Sequence[WinterRun], spread: WinterRange) -> tuple[Notice, ...]:
    least = min(runs, key=lambda r: r.avoided_kwh)
    most = max(runs, key=lambda r: r.avoided_kwh)
    said = []
    if len(runs) > 1:
        text = (
            f"The house model ran through {len(runs)} seasons of the outdoor record: of the need the build spared "
            f"{least.avoided_kwh:,.0f} kWh in the worst ({least.season}) and {most.avoided_kwh:,.0f} kWh in the best "
            f"({most.season})."
        )
        said.append(Notice("model-over-climate", text, "typical_year"))
    drawn = sum(r.sun_drawn for r in runs)
    if drawn:
        text = (
            f"No sun is known in {drawn} of {len(runs)} seasons of the climate: the clouds of each day are drawn from "
            "days of the log, of the same time of year and with a like swing of the temperature outdoors (assumed). "
            f"Done so in the logged winter it moves the saving by {spread.cloud_share * PERCENT:.0f} %, which is part "
            "of the range."
        )
        said.append(Notice("clouds-drawn", text, "typical_year"))
    return tuple(said)
