"""The fine record: readings on a regular step."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pandas as pd

from ledger.series.readings import Instants, Values
from ledger.series.zone import DAY_MS

STEPS_MIN = (10, 15, 20, 30, 60)
_LONGEST_HOLE_D = 400  # common practice, no source: longer than any season with its run-up


def fine_step_ms(usual_ms: float) -> int:
    """The step of the fine record: the least of 10, 15, 20, 30 and 60 minutes that holds a usual interval. [ms]"""
    for minutes in STEPS_MIN:
        if usual_ms <= minutes * 60_000 * 1.05:
            return minutes * 60_000
    return 3_600_000


def fine_record(parts: Sequence[tuple[str, Instants, Values]], step_ms: int) -> pd.DataFrame:
    """Means of the readings of each step, one row a step; a hole of more than 400 days has no rows.

    Parameters
    ----------
    parts : name of a channel, its instants [ms UTC] and readings; several parts of one channel are joined.
    step_ms : length of a step. [ms]

    Returns
    -------
    DataFrame : UTC index, the channels, NaN where a step has no reading.
    """
    numbers = [stamps // step_ms for _, stamps, _ in parts]
    used = np.unique(np.concatenate([np.unique(n) for n in numbers])) if numbers else np.empty(0, np.int64)
    if not len(used):
        return pd.DataFrame(index=pd.DatetimeIndex([], tz="UTC"))
    steps = _without_long_holes(used, _LONGEST_HOLE_D * DAY_MS // step_ms)
    size = len(steps)
    totals: dict[str, Values] = {}
    counts: dict[str, Values] = {}
    for (name, _, values), number in zip(parts, numbers, strict=True):
        place = np.searchsorted(steps, number) if size <= int(steps[-1] - steps[0]) else number - int(steps[0])
        totals[name] = totals.get(name, np.zeros(size)) + np.bincount(place, values, size)
        counts[name] = counts.get(name, np.zeros(size)) + np.bincount(place, minlength=size)
    with np.errstate(invalid="ignore"):
        columns = {name: total / counts[name] for name, total in totals.items()}
    return pd.DataFrame(columns, index=pd.to_datetime(steps * step_ms, unit="ms", utc=True))


def _without_long_holes(used: Instants, longest: int) -> Instants:
    """Numbers of all steps from the first to the last used one, but those in long holes."""
    cuts = np.flatnonzero(np.diff(used) > longest)
    firsts, lasts = [0, *(cuts + 1).tolist()], [*cuts.tolist(), len(used) - 1]
    spans = [np.arange(int(used[a]), int(used[b]) + 1, dtype=np.int64) for a, b in zip(firsts, lasts, strict=True)]
    return spans[0] if len(spans) == 1 else np.concatenate(spans)
