"""Degree-days of the typical year, for logged months only."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ledger.heat.rungs import Flags, Floats
from ledger.heat.season_answer import SeasonWork
from ledger.heat.typical_hours import logged_enough


@dataclass(frozen=True, slots=True)
class TypicalGrowth:
    """Degree-days of the logged months of the crop window [K·d]; None where no month was logged enough."""

    indoor_k_d: float | None
    over_outdoors_k_d: float | None
    by_build_k_d: float | None
    months: tuple[int, ...]


NO_GROWTH = TypicalGrowth(None, None, None, ())


def typical_growth(works: Sequence[SeasonWork]) -> TypicalGrowth:
    """Mean over the seasons that logged a month enough of degree-days · days / valid days, summed over the months.

    Parameters
    ----------
    works : the seasons of the log.

    Returns
    -------
    TypicalGrowth : unknown months are left out and not named in `months`, never 0.
    """
    if not works:
        return NO_GROWTH
    enough = np.array(
        [logged_enough(w.growth.dark_hours_valid, w.growth.dark_hours) & (w.growth.days_valid > 0) for w in works]
    )
    months = np.flatnonzero(enough.any(axis=0))
    if len(months) == 0:
        return NO_GROWTH
    days = [_ratio(w.growth.days.astype(float), w.growth.days_valid.astype(float)) for w in works]
    indoor = _mean(enough, [w.growth.indoor_k_d * r for w, r in zip(works, days, strict=True)])
    outdoor = _mean(enough, [w.growth.outdoor_k_d * r for w, r in zip(works, days, strict=True)])
    known = enough & np.array([w.by_build.hours_known > 0.0 for w in works])
    by_build = _mean(known, [w.by_build.k_d * _ratio(w.by_build.hours, w.by_build.hours_known) for w in works])
    return TypicalGrowth(
        indoor_k_d=indoor,
        over_outdoors_k_d=indoor - outdoor,
        by_build_k_d=by_build if np.any(known) else None,
        months=tuple(int(m) + 1 for m in months),
    )


def _ratio(whole: Floats, known: Floats) -> Floats:
    return np.where(known > 0.0, whole / np.where(known > 0.0, known, 1.0), 0.0)


def _mean(enough: Flags, by_season: Sequence[Floats]) -> float:
    counted = np.maximum(1, enough.sum(axis=0))
    return float(np.sum(np.where(enough, np.array(by_season), 0.0) / counted))
