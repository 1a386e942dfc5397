"""Dates that no record has: a few rows here and there, over half a lifetime."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

import numpy as np

from ledger.errors import Complaint
from ledger.intake.log_trouble import trouble
from ledger.series.lost_clock import far_groups
from ledger.series.readings import FileRead, Table

_LONG_YEARS = 30.0  # common practice, no source
_FILLED_LEAST = 0.02  # common practice, no source
_HOUR_MS = 3_600_000
_YEAR_MS = 365.25 * 24 * _HOUR_MS
_BLOCK_ROWS = 1 << 20


def strewn_dates(tables: Sequence[Table], files: Sequence[FileRead]) -> Complaint | None:
    """The complaint about rows strewn over more than thirty years that fill less than a fiftieth of the hours between.

    Rows of a clock that had lost the date are left out: they are set aside later, and do not stretch the record.

    Parameters
    ----------
    tables : rows of all files.
    files : how each file was read.
    """
    if _years([table.stamps_ms for table in tables]) <= _LONG_YEARS:
        return None
    stamps = [table.stamps_ms for table in tables]
    pairs = zip(stamps, far_groups(stamps), strict=True)
    kept = [instants[~far] if far.any() else instants for instants, far in pairs]
    if _years(kept) <= _LONG_YEARS:
        return None
    parts = [part for instants in kept for part in np.array_split(instants, 1 + len(instants) // _BLOCK_ROWS)]
    hours = np.unique(np.concatenate([np.unique(part // _HOUR_MS) for part in parts]))
    if len(hours) >= _FILLED_LEAST * int(hours[-1] - hours[0]):
        return None
    first, last = (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(hours=int(hour)) for hour in (hours[0], hours[-1]))
    what = f"its rows are strewn over the years {first:%Y} to {last:%Y} and fill next to nothing of them"
    mend = 'check the dates in the file, and how they are read: time_format = "%d/%m/%Y %H:%M"'
    return trouble(what, file=files[0].file if files else "log", mend=mend)


def _years(stamps: Sequence[np.typing.NDArray[np.int64]]) -> float:
    filled = [instants for instants in stamps if len(instants)]
    if not filled:
        return 0.0
    return (max(int(s.max()) for s in filled) - min(int(s.min()) for s in filled)) / _YEAR_MS
