"""Outdoor air from another record, brought to the grower's own station, for hours that the log lacks."""

from __future__ import annotations

from typing import Final

import pandas as pd

from ledger.series.record import HourlyRecord

LEAST_SHARED_H: Final = 240
"""Ten days, so that each hour of the day is met ten times. Common practice, no source."""


def outdoors_elsewhere_c(record: HourlyRecord | None, other: HourlyRecord | None) -> pd.Series[float] | None:
    """Outdoor temperature of another place as the grower's own station would have read it.

        T(t) = T_other(t) + mean over the hours known to both, at the same hour of the day, of (T_own − T_other)

    Another station stands lower, or in town: its air as it is would make a hole milder or colder than the days beside
    it. By the hour of the day, since a valley floor and a slope differ by night otherwise than by day.

    Parameters
    ----------
    record : the grower's own record.
    other : another one, such as a long outdoor record, that runs over the same days.

    Returns
    -------
    series or None : [°C] by UTC hour; None where the two do not share ten days, for then nothing ties them together.
    """
    if record is None or other is None or "outdoor" not in record.hours or "outdoor" not in other.hours:
        return None
    own, away = record.hours["outdoor"], other.hours["outdoor"].dropna()
    apart = (own - away).dropna()
    hour = pd.DatetimeIndex(away.index).hour
    by_hour = apart.groupby(pd.DatetimeIndex(apart.index).hour).mean()
    if len(apart) < LEAST_SHARED_H or not set(hour) <= set(by_hour.index):
        return None
    return pd.Series(away.to_numpy() + by_hour.reindex(hour).to_numpy(), index=away.index)
