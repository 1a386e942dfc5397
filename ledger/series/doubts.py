"""What a person should hear about the record: what was set aside, what cannot well be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import UTC, datetime

import numpy as np
import pandas as pd

from ledger.errors import Notice
from ledger.series.accounts import Account
from ledger.series.levels import level_notices
from ledger.series.record import HourlyRecord
from ledger.series.rows import Rows

TANK_NIGHT_K = 3.0
"""A tank of several cubic metres gives up one or two °F overnight and gains up to three on a sunny day (common
practice, no source); three kelvin is well above both."""
LONG_AGO = 2001
_TWINS = 0.999


def record_notices(
    record: HourlyRecord, tables: Sequence[Rows], notes: Mapping[str, str], account: Account
) -> tuple[Notice, ...]:
    """Notices about the record as a whole."""
    found = [Notice(code, text, "log") for code, text in notes.items()]
    if account.conflicts:
        when = datetime.fromtimestamp(account.conflict_ms / 1000, UTC)
        first = f"first at {when:%Y-%m-%d %H:%M} UTC"
        text = f"{account.conflicts} stamps bear different readings ({first}); they are averaged"
        found.append(Notice("log-conflict", text, "log"))
    found.extend(_tank(record))
    found.extend(_twins(record))
    found.extend(_set_aside(record, account))
    found.extend(level_notices(record))
    found.extend(_long_ago(record))
    for name in ("indoor", "outdoor"):
        if (
            any(t.channel == name for rows in tables for t in rows.traces)
            and not record.figures.channels[name].hours_valid
        ):
            found.append(Notice("log-empty", f"no hour of the {name} channel is valid", f"log.channels.{name}"))
    return tuple(found)


def _tank(record: HourlyRecord) -> list[Notice]:
    """Doubt a tank that swings more than water in such mass can."""
    if "water" not in record.hours:
        return []
    water = record.hours["water"].dropna()
    if len(water) < 48:
        return []
    days = water.groupby(pd.DatetimeIndex(water.index).tz_convert(record.timezone).date)
    swing = (days.max() - days.min())[days.count() >= 20]
    if len(swing) < 2 or float(swing.median()) <= TANK_NIGHT_K:
        return []
    text = (
        f"the water moves {float(swing.median()):.1f} K on a usual day; a tank of several cubic metres gives up about "
        "1 K overnight and gains under 2 K on a sunny day (common practice, no source): is the probe in the water?"
    )
    return [Notice("tank-swing", text, "log.channels.water")]


def _twins(record: HourlyRecord) -> list[Notice]:
    hours = record.hours
    if "indoor" not in hours or "outdoor" not in hours:
        return []
    both = hours[["indoor", "outdoor"]].dropna()
    if len(both) < 24 or float(np.mean(np.abs(both["indoor"] - both["outdoor"]) < 1e-9)) < _TWINS:
        return []
    return [
        Notice(
            "log-twins", "the indoor and the outdoor channel hold the same numbers: is one column named twice?", "log"
        )
    ]


def _long_ago(record: HourlyRecord) -> list[Notice]:
    """Doubt a log that ends before stations of this kind were made."""
    if record.figures.last is None or int(record.figures.last[:4]) > LONG_AGO:
        return []
    return [Notice("log-clock", f"the log ends in {record.figures.last[:4]}: had the clock lost the date?", "log.last")]


def _set_aside(record: HourlyRecord, account: Account) -> list[Notice]:
    """One line for each kind of fault, with its first hour."""
    found = []
    if account.reset:
        text = f"{account.reset} rows bear the date of a clock that had lost it; they are set aside"
        found.append(Notice("log-clock", text, "log.flagged_hours.clock"))
    local = pd.DatetimeIndex(record.hours.index).tz_convert(record.timezone)
    for reason, text in (
        ("range", "out of any believable range"), ("stuck", "that stand still"),
        ("spike", "that leap away and back"),
    ):  # fmt: skip
        rows = np.flatnonzero((record.reason == reason).to_numpy())
        if len(rows):
            count = account.readings.get(reason, 0)
            of = f"{count} readings " if count else "rows "
            first = local[rows[0]]
            words = f"{of}{text} were set aside, in {len(rows)} hours, the first on {first:%Y-%m-%d %H:%M}"
            found.append(Notice(f"log-{reason}", words, f"log.flagged_hours.{reason}"))
    return found
