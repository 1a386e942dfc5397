"""What was doubtful about a file, in words, with lines."""

from __future__ import annotations

from ledger.errors import Notice
from ledger.intake.log_file import RawFile
from ledger.intake.log_instants import Dated
from ledger.intake.log_refused import NO_READING, NO_STAMP, TOO_WIDE
from ledger.intake.log_stamps import DAY_MS
from ledger.intake.log_time import Way
from ledger.intake.log_units import other_unit
from ledger.model.logs import Stamp
from ledger.series.readings import Kind


def _named_clock(raw: RawFile, path: str) -> list[Notice]:
    named = raw.columns.time.clock
    if named is None or raw.stamps.way is Way.COUNT:
        return []
    if raw.spec.clock == "local":
        text = (
            f"{raw.name}: the header of its time column names {named}, and so it is read; the ledger's clock would rule"
        )
        return [Notice("log-clock", text, f"{path}.clock")]
    if raw.spec.clock.upper().replace(" ", "") == named:
        return []
    text = f"{raw.name}: the header of its time column names {named}; the ledger's clock {raw.spec.clock} is taken"
    return [Notice("log-clock", text, f"{path}.clock")]


def _hours_to_24(raw: RawFile, path: str) -> list[Notice]:
    """Hours counted from 1 to 24 most often name the hour that ends then."""
    if raw.columns.time.parts is None or raw.spec.stamp is not Stamp.INSTANT:
        return []
    if not (raw.clock_ms == DAY_MS).any() or (raw.clock_ms == 0).any():
        return []
    text = f'{raw.name}: its hours run from 1 to 24; if each names the hour that ends then, write stamp = "end"'
    return [Notice("log-stamp", text, f"{path}.stamp")]


def _by_the_minute(raw: RawFile, path: str) -> list[Notice]:
    if raw.stands_for is None:
        return []
    rows, minutes = int(raw.stands_for.sum()), len(raw.stands_for)
    text = (
        f"{raw.name}: its readings stand closer than a minute and are too many to be held one by one; they were taken "
        f"minute by minute, temperatures by the middle reading, {rows:,} rows as {minutes:,}"
    )
    return [Notice("log-by-the-minute", text, path)]


def file_notices(raw: RawFile, made: Dated, *, path: str) -> list[Notice]:
    """Notices about one file: doubtful hours of its clock, lines not read, units set against the header's."""
    found = _named_clock(raw, path)
    found += [Notice("log-clock", f"{raw.name}: {doubt}", f"{path}.clock") for doubt in made.doubts]
    found += _hours_to_24(raw, path)
    found += _by_the_minute(raw, path)
    refused = {reason: raw.refusals.count[reason] for reason in (NO_STAMP, TOO_WIDE, NO_READING)}
    for reason, count in refused.items():
        if count:
            line = raw.refusals.first.get(reason)
            text = raw.refusals.text.get(reason, "")[:60]
            found.append(
                Notice(
                    "log-refused",
                    f'{raw.name}: {count} lines not read ({reason}), first line {line}: "{text}"',
                    path,
                    line,
                )
            )
    for measure in raw.measures:
        column = measure.column
        taken = measure.unit
        named = [unit for unit in column.units if taken is not None and unit.kind is taken.kind]
        if measure.settled_by == "ledger" and taken is not None and named and taken not in named:
            text = f'{raw.name}: "{column.header}" names {named[0].name}; the ledger\'s {taken.name} is taken'
            found.append(Notice("log-unit", text, f"{path}.{column.spec.channel}.unit", raw.shape.first_data_line))
        foreign = other_unit(column.header) if measure.kind is Kind.TEMPERATURE else None
        if foreign:
            text = (
                f'{raw.name}: "{column.header}" names {foreign}, but is read as the {column.spec.channel} temperature'
            )
            found.append(Notice("log-unit", text, f"{path}.{column.spec.channel}", raw.shape.first_data_line))
        if measure.strange:
            count = sum(measure.strange.values())
            text = f'{raw.name}: {count} cells of "{column.header}" carry something that is no unit of it'
            found.append(Notice("log-cells", text, f"{path}.{column.spec.channel}"))
    return found
