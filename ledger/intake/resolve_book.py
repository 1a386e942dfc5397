"""From `[[running]]` to the season book: what each line stands for, and which days it covers."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from ledger.intake.book_meters import say_meter
from ledger.intake.desk import Desk
from ledger.intake.schema_builds import MeterTable, RunningRow
from ledger.intake.toml_places import Path
from ledger.model.book import HOUSE, RunningLine
from ledger.model.values import MonthDay, Window

Numbered = Sequence[tuple[int, RunningRow]]
_DAY = timedelta(days=1)


def resolve_running(
    desk: Desk, rows: Numbered, season: Window, builds: frozenset[str], electric: dict[str, bool]
) -> tuple[RunningLine, ...]:
    """The lines in the order of their dates, each with the days it covers.

    A line covers the days from the one after the last like line (same `for` and `what`) to its own date. The first one
    covers the days since the season's first day, or, outside a season, since the first of its month. A line for an
    unknown name is left out: that fault is noted elsewhere.

    Parameters
    ----------
    rows : lines with their place in the file. [-]
    season : the hold season. [-]
    builds : names of builds. [-]
    electric : for each source's name, whether it burns kilowatt-hours. [-]
    """
    lines: list[RunningLine] = []
    last_of: dict[tuple[str, str], RunningLine] = {}
    metered: dict[tuple[str, str], RunningRow] = {}
    for number, row in sorted(rows, key=lambda one: (one[1].date, one[0])):
        path = ("running", number)
        if row.target not in builds and row.target not in electric and row.target != HOUSE:
            continue
        first = _first_day(row, season, last_of.get(_like(row)))
        line = _line(desk, row, path, first, electric.get(row.target))
        if line is not None:
            lines.append(line)
            last_of[_like(row)] = line
            say_meter(desk, row, metered.get(_like(row)), path)
            if row.meter is not None:
                metered[_like(row)] = row
    return tuple(lines)


def _like(row: RunningRow) -> tuple[str, str]:
    return row.target, " ".join(row.what.casefold().split())


def _line(desk: Desk, row: RunningRow, path: Path, first: date, electric: bool | None) -> RunningLine | None:
    """One line; None when it says nothing, or two things at once. `electric` is None for a build or the house."""
    takes_kwh = electric is not False
    used = [key for key in ("energy", "meter", "quantity") if getattr(row, key) is not None]
    if len(used) > 1:
        desk.fault(
            path, f"the line says twice what was used: {' and '.join(used)}", "keep one of energy, meter, quantity"
        )
        return None
    if not used and row.amount is None and row.hours is None:
        desk.fault(
            path,
            "the line says neither what was used nor what was paid",
            "add energy, meter, quantity, amount or hours",
        )
        return None
    reading = _metered(desk, row.meter, path) if row.meter is not None else None
    if row.meter is not None and reading is None:
        return None
    if row.quantity is not None and electric is None:
        desk.fault(
            (*path, "quantity"),
            f'a quantity stands at "{row.target}", which is no source',
            'write energy = "... kWh" in its place',
        )
        return None
    last = row.last or row.date
    if first > last:
        desk.fault((*path, "from"), f"the days covered end ({last}) before they begin ({first})", "check from and to")
        return None
    energy = row.energy if row.energy is not None else reading if takes_kwh else None
    return RunningLine(
        date=row.date,
        target=row.target,
        what=row.what,
        energy_kwh=energy,
        quantity=row.quantity if row.quantity is not None else None if takes_kwh else reading,
        amount=row.amount,
        hours=row.hours or 0.0,
        first_day=first,
        last_day=last,
        line=desk.line(*path),
    )


def _metered(desk: Desk, meter: MeterTable, path: Path) -> float | None:
    """The difference of two readings; a meter that began again at 0 says at which count."""
    if meter.rolls_over_at is not None and meter.rolls_over_at <= max(meter.first, meter.last):
        desk.fault(
            (*path, "meter", "rolls_over_at"),
            "the meter begins again below its own readings",
            "write the count after its last digit turns, such as 100000",
        )
        return None
    if meter.last >= meter.first:
        return meter.last - meter.first
    if meter.rolls_over_at is None:
        desk.fault(
            (*path, "meter", "to"),
            f"the meter runs backwards, from {meter.first:g} to {meter.last:g}",
            "check the readings; a meter that began again at 0 takes rolls_over_at = 100000, a new meter two lines",
        )
        return None
    return meter.last + meter.rolls_over_at - meter.first


def _first_day(row: RunningRow, season: Window, before: RunningLine | None) -> date:
    """The first day that a line covers."""
    if row.first is not None:
        return row.first
    last = row.last or row.date
    if before is not None:
        after = before.last_day + _DAY
        return after if after <= last else min(before.first_day, last)
    begins = season_begin(season, row.date)
    return min(begins if begins is not None else row.date.replace(day=1), last)


def season_begin(season: Window, day: date) -> date | None:
    """The first day of the season that a day lies in; None outside any."""
    begins, ends, here = season.begins, season.ends, MonthDay(day.month, day.day)
    over_new_year = _order(begins) > _order(ends)
    if over_new_year:
        inside = _order(here) >= _order(begins) or _order(here) <= _order(ends)
    else:
        inside = _order(begins) <= _order(here) <= _order(ends)
    if not inside:
        return None
    year = day.year - 1 if over_new_year and _order(here) < _order(begins) else day.year
    return date(year, begins.month, begins.day)


def _order(day: MonthDay) -> tuple[int, int]:
    return day.month, day.day
