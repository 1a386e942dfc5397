"""Whether the log shows the house with its builds or before them."""

from __future__ import annotations

import pandas as pd

from ledger.errors import Doubt, Notice
from ledger.model.build import Build, Item, Status
from ledger.model.ledger import Ledger
from ledger.series.record import HourlyRecord

BEFORE = Doubt(
    "log-before-build",
    "the log ends before the first paid receipt of any build",
    "log a winter with the build; a receipt's date may be wrong",
    "the receipts' own dates",
)


def builds_before_log_ends(record: HourlyRecord | None, ledger: Ledger) -> bool:
    """Whether any build stood before the last reading.

    A build stands from its first paid receipt on; one that is only planned or quoted does not stand. Without a log
    there is nothing to contradict.

    Parameters
    ----------
    record : the hourly record; None where nothing is logged.
    ledger : builds.

    Returns
    -------
    bool
    """
    if record is None or not len(record.hours) or not ledger.builds:
        return True
    last = pd.DatetimeIndex(record.hours.index)[-1].tz_convert(ledger.site.timezone).date()
    return any(item.date <= last for build in ledger.builds for item in _paid(build))


def presence_notices(record: HourlyRecord | None, ledger: Ledger) -> tuple[Notice, ...]:
    """Say so where the log was taken before anything was built."""
    if builds_before_log_ends(record, ledger):
        return ()
    text = (
        "The log ends before any build was there (its items are planned, quoted, or dated later): it shows the house "
        "without it, and what is printed as saved is not the build's doing. Log a winter with the build."
    )
    return (Notice(BEFORE.code, text, "build", ledger.builds[0].line),)


def _paid(build: Build) -> tuple[Item, ...]:
    return tuple(item for item in build.items if item.status is Status.PAID)
