"""How well each day is covered, for a calendar of holes."""

from __future__ import annotations

import pandas as pd

from ledger.series.accounts import JUDGED, ORDER
from ledger.series.record import HourlyRecord


def cover_by_day(record: HourlyRecord) -> pd.DataFrame:
    """Cover of each clock day of the site.

    Parameters
    ----------
    record : the hourly record.

    Returns
    -------
    one row a day (index: the date): `hours` in the record that day (23 or 25 when clocks change), `valid` hours indoors
    and outdoors, `share` = valid ÷ hours, `lost` hours, `reason` that lost most of them ("" where none was), and
    `bridged` hours.
    """
    hours = record.hours
    judged = [name for name in JUDGED if name in hours]
    day = pd.DatetimeIndex(hours.index).tz_convert(record.timezone).date
    valid = hours[judged].notna().all(axis=1) if judged else pd.Series(data=False, index=hours.index)
    frame = pd.DataFrame({"valid": valid.astype(int), "hours": 1, "bridged": (record.reason == "bridged").astype(int)})
    days = frame.groupby(day).sum()
    days["share"] = days["valid"] / days["hours"]
    days["lost"] = days["hours"] - days["valid"]
    lost = record.reason[~valid.to_numpy()]
    counts = pd.crosstab(day[~valid.to_numpy()], lost.to_numpy()) if len(lost) else pd.DataFrame(index=[])
    known = [name for name in ORDER if name in counts.columns]
    worst = counts[known].idxmax(axis=1) if known else pd.Series(dtype=object)
    days["reason"] = worst.reindex(days.index).fillna("") if len(worst) else ""
    return days[["hours", "valid", "share", "lost", "reason", "bridged"]]
