"""A hard winter through the house model: what the builds would give in it, hour by hour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pandas as pd

from ledger.heat.housemodel.other_weather import Winter, winter_of
from ledger.heat.housemodel.other_years import (
    FittedHouse,
    WinterRange,
    WinterRun,
    range_of_winter,
    run_own_winter,
    run_winters,
)
from ledger.heat.prepared import YearHours
from ledger.heat.rungs import BELOW_HOLD_TOLERANCE_K
from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger
from ledger.plans.colder import ColdWinter, nights_between_noons
from ledger.plans.results import Stress
from ledger.plans.stress import Cold, stress_in

# A logged winter other than the one that was fitted is run with so much of it logged; common practice, no source.
WHOLE = 0.9


def model_stress(
    ledger: Ledger,
    seasons: Sequence[SeasonWork],
    cold: Cold,
    *,
    winters: Sequence[YearHours],
    other: bool,
    house: FittedHouse,
) -> Stress | None:
    """Run the house bare and built, free and held, through the hardest of the winters.

    Parameters
    ----------
    ledger : sources, battery, hold temperature.
    seasons : of the log.
    cold : how much colder.
    winters : seasons of another record.
    other : whether another record is asked for; else the logged winter with the greatest need stands.
    house : a believed model.

    Returns
    -------
    Stress : None where the other record holds no winter.
    """
    hold_c = ledger.hold.temperature_c
    wanted = [_shifted(winter_of(y), cold.colder_k) for y in winters] if other else []
    if not other:
        known = [s for s in seasons if s.heat.coverage >= WHOLE] or seasons
        hardest = max(known, key=lambda s: s.heat.need_whole_season_kwh or s.heat.need_kwh)
        if hardest.heat.season != house.span.name and hardest.heat.coverage >= WHOLE:
            wanted = [_shifted(winter_of(hardest.year), cold.colder_k)]
    elif not wanted:
        return None
    if not wanted:
        run = run_own_winter(house, hold_c=hold_c, colder_k=cold.colder_k)
        spread = range_of_winter(house, None, hold_c=hold_c, colder_k=cold.colder_k)
        return _stress(ledger, run, cold, spread)
    runs = run_winters(house, wanted, hold_c=hold_c)
    place = max(range(len(runs)), key=lambda i: runs[i].need_kwh)
    return _stress(ledger, runs[place], cold, range_of_winter(house, wanted[place], hold_c=hold_c))


def winter_as_run(run: WinterRun, ledger: Ledger) -> ColdWinter:
    """A model's run in the form that hard winters are looked at in: all hours of the season, day and night."""
    hours = run.hours
    index = pd.DatetimeIndex(hours.index)
    evenings, night = nights_between_noons(index, ledger.site)
    indoor = hours["indoor_c"].to_numpy(dtype=np.float64)
    step_h = float((index[1] - index[0]) / pd.Timedelta(hours=1)) if len(index) > 1 else 1.0
    return ColdWinter(
        begins_utc=index,
        outdoor_c=hours["outdoor_c"].to_numpy(dtype=np.float64),
        need_kwh=hours["need_kwh"].to_numpy(dtype=np.float64),
        to_buy_kwh=hours["to_buy_kwh"].to_numpy(dtype=np.float64),
        indoor_c=indoor,
        below=indoor < ledger.hold.temperature_c - BELOW_HOLD_TOLERANCE_K,
        night=night,
        evenings=evenings,
        fan_w=hours["fan_w"].to_numpy(dtype=np.float64),
        step_h=step_h,
        limit=None,
    )


def _shifted(winter: Winter, colder_k: float) -> Winter:
    return replace(winter, outdoor_c=winter.outdoor_c - colder_k)


def _stress(ledger: Ledger, run: WinterRun, cold: Cold, spread: WinterRange) -> Stress:
    found = stress_in(ledger, run.season, winter_as_run(run, ledger), cold)
    return replace(found, to_buy_range_kwh=spread.to_buy_kwh)
