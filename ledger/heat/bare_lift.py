"""How much warmer than outdoors the bare house was on its worst nights, for the peak need."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ledger.heat.bare import on_grid
from ledger.heat.rungs import Floats
from ledger.heat.season_answer import SeasonWork
from ledger.model.house import BareWay


def bare_lift_p10_k(seasons: Sequence[SeasonWork]) -> float | None:
    """Tenth percentile of T_b − T_o over the counted hours of the log, at least 0.

    Differs from the likely lift, which a typical night has: a heater is sized for a night on which the ground gives
    little.

    Parameters
    ----------
    seasons : as reckoned, each by its own way.

    Returns
    -------
    float : [K]; None where the bare house of every season is by lift, which has its own low end.
    """
    lifts = [lift_over_outdoors_k(s) for s in seasons if s.way is not BareWay.LIFT]
    every = np.concatenate(lifts) if lifts else np.empty(0)
    return max(0.0, float(np.percentile(every, 10.0))) if every.size else None


def lift_over_outdoors_k(work: SeasonWork) -> Floats:
    """How much warmer than outdoors the bare house was in a season's counted hours, by the way that is used.

    Parameters
    ----------
    work : the season as reckoned.

    Returns
    -------
    array : hours whose bare temperature is known. [K]
    """
    year = work.year
    modelled = work.way is BareWay.MODEL and work.model is not None
    bare_c = on_grid(work.model.bare_free_c, year) if modelled and work.model else work.reckoned.bare_c
    lift = (bare_c - year.outdoor_c)[year.counted]
    return np.asarray(lift[np.isfinite(lift)])
