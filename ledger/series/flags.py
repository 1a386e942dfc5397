"""All masks over one table's rows, in the order in which a fault is named."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from ledger.series import faults, spikes
from ledger.series import thresholds as th
from ledger.series.readings import Instants, Kind, Mask, Values
from ledger.series.rows import Rows, usual_step_ms
from ledger.series.zone import HOUR_MS

Judge = Callable[[Instants, Values, float], Mask]
AIR = ("indoor", "outdoor", "unheated", "tube_in", "tube_out")
REASONS = ("excluded", "clock", "range", "stuck", "spike")


@dataclass(frozen=True, slots=True, eq=False)
class Flagged:
    """Masks of one channel over the rows of its table, by reason (excluded, range, stuck, spike)."""

    masks: dict[str, Mask]

    @property
    def bad(self) -> Mask:
        """Readings with any fault."""
        result: Mask = np.logical_or.reduce(list(self.masks.values()))
        return result


def flag(
    rows: Rows, *, spans: Sequence[faults.Span], still: Sequence[faults.Span], latitude_deg: float
) -> tuple[Flagged, ...]:
    """Judge every reading of a table.

    Parameters
    ----------
    rows : in order.
    spans : spans that the ledger sets aside. [ms UTC]
    still : spans in which this logger and another stood still together (`still_together`). [ms UTC]
    latitude_deg : of the site. [°]

    Returns
    -------
    one `Flagged` for each trace; a reading may bear several faults.
    """
    aside = faults.excluded(rows.stamps_ms, spans)
    step_ms = rows.step_ms
    zeros = _zeros(rows)
    ranged = [
        _within(rows.stamps_ms, trace.channel, values, latitude_deg)
        | (zeros if trace.kind is Kind.TEMPERATURE else False)
        for trace, values in zip(rows.traces, rows.columns, strict=True)
    ]
    digits = [faults.resolution(_live(values, bad)) for values, bad in zip(rows.columns, ranged, strict=True)]
    frozen = _frozen(rows, digits, step_ms) | faults.excluded(rows.stamps_ms, still)
    result: list[Flagged] = []
    for trace, values, bad, fine in zip(rows.traces, rows.columns, ranged, digits, strict=True):
        stuck = frozen & ~np.isnan(values)
        spike = np.zeros(len(values), bool)
        if trace.kind is Kind.TEMPERATURE:
            stuck = stuck | _stuck(rows.stamps_ms, trace.channel, values, bad, fine)
            if fine < th.FINE_RESOLUTION_K:
                none = np.zeros(len(values), bool)
                lost = _on_kept(
                    none, rows.stamps_ms, values, bad | stuck, lambda t, v, s: spikes.plateaus(t, v, step_ms=s)
                )
                stuck = stuck | lost
            spike = _spike(rows.stamps_ms, trace.channel, values, bad | stuck, step_ms)
        result.append(Flagged({"excluded": aside & ~np.isnan(values), "range": bad, "stuck": stuck, "spike": spike}))
    return tuple(result)


def _live(values: Values, bad: Mask) -> Values:
    keep = ~(bad | np.isnan(values))
    return values if keep.all() else values[keep]


def _within(stamps_ms: Instants, channel: str, values: Values, latitude_deg: float) -> Mask:
    limits = faults.range_limits(channel, latitude_deg)
    if limits is None:
        return np.zeros(len(values), bool)
    return faults.out_of_range(stamps_ms, values, limits, south=latitude_deg < 0)


def _zeros(rows: Rows) -> Mask:
    pairs = [(v, t.zero) for t, v in zip(rows.traces, rows.columns, strict=True) if t.kind is Kind.TEMPERATURE]
    if len(pairs) < 2:
        return np.zeros(len(rows.stamps_ms), bool)
    return faults.zero_on_all([v for v, _ in pairs], [z for _, z in pairs])


def _frozen(rows: Rows, digits: Sequence[float], step_ms: float) -> Mask:
    """Rows of a frozen station: lively channels of fine digits for some hours, all air channels for most of a day."""
    named = list(zip(rows.traces, rows.columns, digits, strict=True))
    fine = [v for t, v, step in named if faults.lively_kind(t.channel, t.kind, step)]
    air = [v for t, v, _ in named if t.channel in AIR or t.channel == "humidity"]
    mask = _frozen_over(rows.stamps_ms, fine, step_ms, th.FREEZE_THREE_H)
    return mask | _frozen_over(rows.stamps_ms, air, step_ms, th.FREEZE_COARSE_H)


def _frozen_over(stamps_ms: Instants, lively: Sequence[Values], step_ms: float, least_h: float) -> Mask:
    """The same over the rows in which every one of some channels was read."""
    mask = np.zeros(len(stamps_ms), bool)
    if len(lively) < 2:
        return mask
    read = ~np.isnan(lively).any(axis=0)
    if read.all():
        return faults.stuck_together(stamps_ms, lively, step_ms=step_ms, least_h=least_h)
    kept = [v[read] for v in lively]
    mask[read] = faults.stuck_together(stamps_ms[read], kept, step_ms=step_ms, least_h=least_h)
    return mask


@dataclass(frozen=True, slots=True)
class StillRun:
    """A run of like digits of one lively channel: its rows after the first, and whether it ends in a jump. [ms UTC]"""

    span: faults.Span
    jumps: bool
    step_ms: float


def still_runs_of(rows: Rows, *, latitude_deg: float) -> list[StillRun]:
    """Runs of three hours and more of each lively channel of a table."""
    found: list[StillRun] = []
    for trace, values in zip(rows.traces, rows.columns, strict=True):
        keep = ~(_within(rows.stamps_ms, trace.channel, values, latitude_deg) | np.isnan(values))
        stamps, kept = rows.stamps_ms[keep], values[keep]
        if len(kept) < th.FREEZE_READINGS or not faults.lively_kind(trace.channel, trace.kind, faults.resolution(kept)):
            continue
        step_ms = usual_step_ms(stamps)
        first, last = faults.still_runs(stamps, np.diff(kept) == 0.0, step_ms=step_ms)
        long = (stamps[last] - stamps[first] >= th.FREEZE_THREE_H * HOUR_MS) & (last - first + 1 >= th.FREEZE_READINGS)
        for a, b in zip(first[long].tolist(), last[long].tolist(), strict=True):
            jumps = b + 1 < len(kept) and abs(kept[b + 1] - kept[b]) >= th.FREEZE_JUMP_K
            found.append(StillRun(faults.Span(int(stamps[a + 1]), int(stamps[b])), bool(jumps), step_ms))
    return found


def still_together(tables: Sequence[Sequence[StillRun]]) -> list[list[faults.Span]]:
    """Spans in which loggers of different tables stood still from the same moment to the same moment.

    Parameters
    ----------
    tables : the runs of each table.

    Returns
    -------
    for each table the spans to set aside. [ms UTC]
    """
    result: list[list[faults.Span]] = [[] for _ in tables]
    for i, ours in enumerate(tables):
        for run in ours:
            others = [other for j, theirs in enumerate(tables) if j != i for other in theirs if _same_time(run, other)]
            hours = (run.span.last_ms - run.span.first_ms + run.step_ms) / HOUR_MS
            if others and (hours >= th.FREEZE_H or run.jumps or any(other.jumps for other in others)):
                result[i].append(run.span)
    return result


def _same_time(run: StillRun, other: StillRun) -> bool:
    slack = 2.0 * max(run.step_ms, other.step_ms)
    begins = abs(run.span.first_ms - other.span.first_ms)
    return begins <= slack and abs(run.span.last_ms - other.span.last_ms) <= slack


def _stuck(stamps_ms: Instants, channel: str, values: Values, bad: Mask, fine: float) -> Mask:
    least_h = faults.stuck_least_h(channel, fine)
    mask = np.zeros(len(values), bool)
    if least_h is None:
        return mask
    return _on_kept(mask, stamps_ms, values, bad, lambda t, v, s: faults.stuck_alone(t, v, least_h=least_h, step_ms=s))


def _spike(stamps_ms: Instants, channel: str, values: Values, bad: Mask, step_ms: float) -> Mask:
    limit_k = spikes.spike_limit_k(channel, step_ms)
    mask = np.zeros(len(values), bool)
    if limit_k is None:
        return mask
    found = _on_kept(mask, stamps_ms, values, bad, lambda t, v, s: spikes.spikes(t, v, limit_k=limit_k, step_ms=s))
    if channel in ("indoor", "outdoor", "unheated"):
        rest = np.zeros(len(values), bool)
        found = found | _on_kept(rest, stamps_ms, values, bad | found, lambda t, v, _: spikes.handled(t, v))
    return found


def _on_kept(mask: Mask, stamps_ms: Instants, values: Values, bad: Mask, judge: Judge) -> Mask:
    """Judge the readings that are there and have no fault yet, put back in their rows."""
    keep = ~(bad | np.isnan(values))
    if keep.all():
        return judge(stamps_ms, values, usual_step_ms(stamps_ms))
    if keep.any():
        kept = stamps_ms[keep]
        mask[keep] = judge(kept, values[keep], usual_step_ms(kept))
    return mask
