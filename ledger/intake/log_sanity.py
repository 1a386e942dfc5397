"""Whether a column holds what its header says, over the whole file: a unit that changes midway, a header that lies."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import numpy.typing as npt

from ledger.errors import Complaint
from ledger.intake.log_file import RawFile
from ledger.intake.log_measure import Measure
from ledger.intake.log_trouble import trouble
from ledger.intake.log_units import offered
from ledger.series.readings import Kind

Values = npt.NDArray[np.float64]
_AIR_LOW_C, _AIR_HIGH_C = -60.0, 60.0  # values over 60 are not indoor Celsius: common practice, no source
_WATER_HIGH_C = 100.0
_LYING_SHARE = 0.2
_LYING_DIFFERENT = 20
_SWITCH_JUMP = 12.0
_SWITCH_MISS = 3.0
_SWITCH_MISS_TOGETHER = 8.0
_SWITCH_STAYS = 6
_SWITCH_GAP_MS = (
    3_600_000  # over a longer hole the weather itself may go from −16 to +1 °C, which reads like −16 °C in °F
)
_BLOCK_ROWS = 1 << 20  # what is looked for is looked for block by block, so that no copy of a column is made


def complaints_about(raw: RawFile, utc_ms: npt.NDArray[np.int64]) -> list[Complaint]:
    """Everything in a file that contradicts its headers and the ledger's word.

    Parameters
    ----------
    raw : the file's rows, in the order of the file.
    utc_ms : their instants. [ms]
    """
    found = [c for m, v in zip(raw.measures, raw.values, strict=True) if (c := _lies(raw, m, v)) is not None]
    if not found and (complaint := _unit_changes(raw, utc_ms)) is not None:
        found.append(complaint)
    return found


def _blocks(values: Values) -> Iterator[Values]:
    """A column in parts, without a copy."""
    return (values[first : first + _BLOCK_ROWS] for first in range(0, len(values), _BLOCK_ROWS))


def _lies(raw: RawFile, measure: Measure, values: Values) -> Complaint | None:
    if measure.kind is Kind.SWITCH:
        return _no_switch(raw, measure, values)
    known = sum(len(part) - np.count_nonzero(np.isnan(part)) for part in _blocks(values))
    if measure.kind is not Kind.TEMPERATURE or known < 2 * _LYING_DIFFERENT:
        return None
    high = _WATER_HIGH_C if measure.column.spec.channel == "water" else _AIR_HIGH_C
    outside = [part[(part < _AIR_LOW_C) | (part > high)] for part in _blocks(values)]
    if sum(map(len, outside)) < _LYING_SHARE * known or len(np.unique(np.concatenate(outside))) < _LYING_DIFFERENT:
        return None
    column = measure.column
    unit = measure.unit.name if measure.unit else "its cells say"
    entry = f'{column.spec.channel} = {{ column = "{column.spec.column}", unit = "degF" }}'
    return trouble(
        f'"{column.header}" cannot be the {column.spec.channel} temperature: read as '
        f"{unit}, it runs from {np.nanmin(values):.0f} to {np.nanmax(values):.0f} °C",
        file=raw.name, line=raw.shape.first_data_line,
        mend=f"name another column, or its true unit: {entry}",
    )  # fmt: skip


def _no_switch(raw: RawFile, measure: Measure, values: Values) -> Complaint | None:
    strange = [np.unique(p[(p != 0.0) & (p != 1.0) & ~np.isnan(p)]) for p in _blocks(values)]
    odd = np.unique(np.concatenate(strange)) if strange else np.empty(0)
    if raw.stands_for is not None:  # a switch that went on or off within a minute is on for a share of it
        odd = odd[(odd < 0.0) | (odd > 1.0)]
    if not len(odd) or measure.settled_by == "ledger":
        return None
    column = measure.column
    entry = f'{column.spec.channel} = {{ column = "{column.spec.column}", unit = "W" }}'
    return trouble(
        f'nothing says in which unit {column.spec.channel} is logged: "{column.header}" holds also {odd[-1]:g}',
        file=raw.name, line=raw.shape.first_data_line,
        mend=f"write {entry}; units: {offered(column.spec.channel)}",
    )  # fmt: skip


def _unit_changes(raw: RawFile, utc_ms: npt.NDArray[np.int64]) -> Complaint | None:
    """A row from which on all temperature columns read as if turned from °C to °F, or back."""
    pairs = [
        (m, v)
        for m, v in zip(raw.measures, raw.values, strict=True)
        if m.kind is Kind.TEMPERATURE and m.unit is not None and m.unit.name in ("degC", "degF")
    ]
    if not pairs or any(len(values) != len(utc_ms) for _, values in pairs):
        return None
    if raw.columns.long is None:
        return _turned(raw, pairs, None, utc_ms)
    own = ((m, v, np.flatnonzero(~np.isnan(v))) for m, v in pairs)
    apart = (_turned(raw, [(m, v[rows])], rows, utc_ms[rows]) for m, v, rows in own)
    return next((complaint for complaint in apart if complaint is not None), None)


def _turned(
    raw: RawFile, pairs: list[tuple[Measure, Values]], places: npt.NDArray[np.int64] | None,
    utc_ms: npt.NDArray[np.int64],
) -> Complaint | None:  # fmt: skip
    """The same for columns that stand in some of the file's rows, at `places`; None: in all."""
    turned, row = _turned_together(pairs, utc_ms)
    if row is None:
        return None
    place = row + 1 if places is None else int(places[row + 1])
    words = ", ".join(
        f'"{m.column.header}" from {_written(m, v[row]):.1f} to {_written(m, v[row + 1]):.1f}' for m, v in turned
    )
    return trouble(
        f"the unit seems to change here: {words}", file=raw.name, line=raw.line_of(place),
        mend="cut the file in two above this line and give each part its own [[log]] section with its unit",
    )  # fmt: skip


def _turned_together(
    pairs: list[tuple[Measure, Values]], utc_ms: npt.NDArray[np.int64]
) -> tuple[list[tuple[Measure, Values]], int | None]:
    """The columns that turn to the other unit and the row before: all of them at once, else one by itself."""
    together = [_turns(m, v, utc_ms, miss=_miss(len(pairs))) for m, v in pairs]
    rows = together[0]
    for more in together[1:]:
        rows = np.intersect1d(rows, more)
    if len(rows):
        return pairs, max(int(rows[0]), ~int(rows[0]))
    for pair in pairs if len(pairs) > 1 else []:
        alone = _turns(*pair, utc_ms, miss=_SWITCH_MISS)
        if len(alone):
            return [pair], max(int(alone[0]), ~int(alone[0]))
    return [], None


def _written(measure: Measure, held: float) -> float:
    unit = measure.unit
    bare = held - measure.column.spec.offset_k
    return bare if unit is None else bare / unit.factor + unit.zero


def _miss(columns: int) -> float:
    """How far the first number may be off the turned one: several columns that turn at once leave more room."""
    return _SWITCH_MISS if columns == 1 else _SWITCH_MISS_TOGETHER


def _turns(measure: Measure, values: Values, utc_ms: npt.NDArray[np.int64], *, miss: float) -> npt.NDArray[np.int64]:
    """Rows after which a column's numbers are those of the other unit for six rows; `~row` where it turns to °C."""
    unit = measure.unit
    if unit is None or len(values) < 2 * _SWITCH_STAYS:
        return np.empty(0, np.int64)
    least = _SWITCH_JUMP * unit.factor
    jumps = _jumps(values, least)
    found = []
    jumps = jumps[np.abs(utc_ms[jumps + 1] - utc_ms[jumps]) <= _SWITCH_GAP_MS]
    for row in jumps[:2000].tolist():
        before = _written(measure, float(values[row]))
        after = np.array([_written(measure, float(v)) for v in values[row + 1 : row + 1 + _SWITCH_STAYS]])
        back = np.array([_written(measure, float(v)) for v in values[max(0, row + 1 - _SWITCH_STAYS) : row + 1]])
        if len(after) < _SWITCH_STAYS or len(back) < _SWITCH_STAYS or np.isnan(after).any() or np.isnan(back).any():
            continue
        to_f, to_c = abs(after[0] - (1.8 * before + 32.0)), 1.8 * abs(after[0] - (before - 32.0) / 1.8)
        steady = np.abs(after - after[0]).max() < 6.0 and np.abs(back - before).max() < 6.0
        if steady and min(to_f, to_c) < miss:
            found.append(row if to_f < to_c else ~row)
    return np.array(found, np.int64)


def _jumps(values: Values, least: float) -> npt.NDArray[np.int64]:
    """Rows after which the next value is further away than so much."""
    firsts = range(0, len(values) - 1, _BLOCK_ROWS)
    steps = (np.abs(np.diff(values[first : first + _BLOCK_ROWS + 1])) for first in firsts)
    return np.concatenate([first + np.flatnonzero(step > least) for first, step in zip(firsts, steps, strict=True)])
