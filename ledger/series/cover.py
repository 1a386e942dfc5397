"""How well each day is covered, for a calendar of holes."""

from __future__ import annotations

import numpy as np
import pandas as pd

from ledger.series.accounts import ORDER, read_well
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
    valid = read_well(hours)
    local = pd.DatetimeIndex(hours.index).tz_convert(record.timezone).tz_localize(None)
    number = local.to_numpy().astype("datetime64[D]").astype(np.int64)
    days, place = np.unique(number, return_inverse=True)
    reason = record.reason.astype(object).to_numpy()
    lost = np.array([np.bincount(place[~valid & (reason == name)], minlength=len(days)) for name in ORDER])
    frame = pd.DataFrame(
        {"hours": np.bincount(place, minlength=len(days)), "valid": np.bincount(place[valid], minlength=len(days))},
        index=days.astype("datetime64[D]").astype(object),
    )
    frame["share"] = frame["valid"] / frame["hours"]
    frame["lost"] = frame["hours"] - frame["valid"]
    worst = np.array([*ORDER, ""], dtype=object)
    frame["reason"] = worst[np.where(lost.any(axis=0), lost.argmax(axis=0), len(ORDER))]
    frame["bridged"] = np.bincount(place[reason == "bridged"], minlength=len(days))
    return frame
