"""The reader of a file's stamps, from its time columns and what the ledger says of them."""

from __future__ import annotations

import re

from ledger.intake.log_order import order_of_format
from ledger.intake.log_parts import sample_stamp
from ledger.intake.log_shape import Shape
from ledger.intake.log_sightings import Sight, sight, split_stamp
from ledger.intake.log_time import StampReader, Way, count_way, stamp_way
from ledger.intake.log_when import TimeColumns
from ledger.model.logs import LogSpec


def stamp_reader(time: TimeColumns, shape: Shape, spec: LogSpec) -> StampReader:
    """Choose how stamps are read.

    Parameters
    ----------
    time : where they stand.
    shape : of the file.
    spec : its section; a `time_format` that the usual ways do not read is followed to the letter.
    """
    if time.parts is not None:
        row = next((row for row in shape.sample if max(time.parts.places) < len(row)), None)
        return StampReader(Way.PAIR, example="" if row is None else sample_stamp(row, time.parts))
    cells = [row[time.first] for row in shape.sample if time.first < len(row) and row[time.first]]
    if time.second is not None:
        clocks = [row[time.second] for row in shape.sample if time.second < len(row)]
        return StampReader(Way.PAIR, example=f"{cells[0]} {clocks[0]}" if cells and clocks else "")
    if spec.time_format is not None and not _usual(spec.time_format, cells):
        return StampReader(Way.FORMAT, strptime=spec.time_format, example=cells[0] if cells else "")
    if time.seen is Sight.COUNT:
        return count_way(cells)
    if time.seen is Sight.DAYS:
        return StampReader(Way.SERIAL, example=cells[0] if cells else "")
    if time.seen is Sight.DATE:
        return StampReader(Way.DATE_ONLY, example=cells[0] if cells else "")
    return stamp_way([cell for cell in cells if sight(cell) is Sight.STAMP][:: max(1, len(cells) // 60)])


def _usual(time_format: str, cells: list[str]) -> bool:
    """Whether a format only settles the order of dates that are read anyway."""
    if order_of_format(time_format) is None or re.search(r"%[jUWVGusC]", time_format):
        return False
    return bool(cells) and sum(
        split_stamp(cell) is not None or sight(cell) is Sight.DATE for cell in cells
    ) >= 0.8 * len(cells)
