"""What the meters of the season book do from line to line: begun again at 0, replaced, with use between."""

from __future__ import annotations

from ledger.intake.desk import Desk
from ledger.intake.schema_builds import RunningRow
from ledger.intake.toml_places import Path

_SAME = 1e-9
"""Readings nearer than this, relative to their size, are one reading."""


def say_meter(desk: Desk, row: RunningRow, before: RunningRow | None, path: Path) -> None:
    """Say where a meter began again at 0, and where it does not go on from the last like line.

    A reading above the last one of the line before leaves use that stands in no line; one below it is a new meter, or
    a meter that began again between two lines, and nothing is counted for what lies between. No figure is changed.

    Parameters
    ----------
    row : the line. [-]
    before : the last line of the same `for` and what, with a meter; None: the first. [-]
    path : of the line. [-]
    """
    meter = row.meter
    if meter is None:
        return
    at = (*path, "meter")
    name = row.what or row.target
    if meter.last < meter.first and meter.rolls_over_at is not None:
        used = meter.last + meter.rolls_over_at - meter.first
        desk.notice(
            "meter-began-again",
            at,
            f'the meter of "{name}" began again at 0 by {row.date}: from {meter.first:g} over {meter.rolls_over_at:g} '
            f"to {meter.last:g} is {used:.6g}",
        )
    if before is None or before.meter is None:
        return
    ended, gap = before.meter.last, meter.first - before.meter.last
    if abs(gap) <= _SAME * max(1.0, abs(ended)):
        return
    if gap < 0:
        text = f"is taken as a new meter by {row.date}; what was used between the two readings is in no line"
    else:
        text = f"leaves {gap:.6g} out: they stand in no line"
    desk.notice(
        "meter-replaced" if gap < 0 else "meter-gap",
        at,
        f'the meter of "{name}" begins at {meter.first:g} where the last line ended at {ended:g}: that {text}',
    )
