"""Rows whose clock had lost the date, judged over all tables together: a file of few rows may be one of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ledger.series import thresholds as th
from ledger.series.faults import YEAR_MS, starts_anew
from ledger.series.readings import Instants, Mask


@dataclass(slots=True)
class Group:
    """Rows, of whatever table, with no hole of years between them. [ms UTC]"""

    first_ms: int
    last_ms: int
    size: int


def far_groups(tables: Sequence[Instants]) -> list[Mask]:
    """Rows of small groups, years away from the rest, and stamps before or after any record of hours.

    A group other than the largest is set aside when it begins on 1 January (a clock that starts anew), is less than a
    hundredth of all rows, holds five at most, or lies behind a hole that no record has.

    Parameters
    ----------
    tables : instants of each table's rows, in any order. [ms UTC]
    """
    masks = [_beyond_all_records(stamps) for stamps in tables]
    groups = _groups([stamps[~mask] if mask.any() else stamps for stamps, mask in zip(tables, masks, strict=True)])
    for group in _lost(groups):
        for stamps, mask in zip(tables, masks, strict=True):
            mask |= (stamps >= group.first_ms) & (stamps <= group.last_ms)
    return masks


def _beyond_all_records(stamps_ms: Instants) -> Mask:
    first, last = (
        int(np.datetime64(f"{year}-01-01", "ms").astype(np.int64)) for year in (th.CLOCK_FIRST_YEAR, th.CLOCK_LAST_YEAR)
    )
    mask: Mask = (stamps_ms < first) | (stamps_ms >= last)
    return mask


def _groups(tables: Sequence[Instants]) -> list[Group]:
    """Groups over all tables, in order of time."""
    longest = th.CLOCK_GAP_YEARS * YEAR_MS
    found: list[Group] = []
    for stamps in tables:
        if not len(stamps):
            continue
        if int(stamps.max()) - int(stamps.min()) <= longest:
            found.append(Group(int(stamps.min()), int(stamps.max()), len(stamps)))
            continue
        rising = stamps if (np.diff(stamps) >= 0).all() else np.sort(stamps)
        cuts = np.flatnonzero(np.diff(rising) > longest)
        firsts, lasts = [0, *(cuts + 1).tolist()], [*cuts.tolist(), len(rising) - 1]
        found += [Group(int(rising[a]), int(rising[b]), b - a + 1) for a, b in zip(firsts, lasts, strict=True)]
    found.sort(key=lambda group: group.first_ms)
    whole: list[Group] = []
    for group in found:
        if whole and group.first_ms - whole[-1].last_ms <= longest:
            whole[-1].last_ms = max(whole[-1].last_ms, group.last_ms)
            whole[-1].size += group.size
        else:
            whole.append(group)
    return whole


def _lost(groups: Sequence[Group]) -> list[Group]:
    if len(groups) < 2:
        return []
    total = sum(group.size for group in groups)
    main = max(range(len(groups)), key=lambda i: groups[i].size)
    early, late = _reach(groups, main)
    lost = []
    for i, group in enumerate(groups):
        anew = starts_anew(group.first_ms) and group.size < 0.5 * groups[main].size
        few = group.size < th.CLOCK_FEW_SHARE * total or group.size <= th.CLOCK_FEW_ROWS
        if i != main and (anew or few or not early <= i <= late):
            lost.append(group)
    return lost


def _reach(groups: Sequence[Group], main: int) -> tuple[int, int]:
    """The first and the last group that no hole of too many years parts from the largest."""
    longest = th.CLOCK_HOLE_YEARS * YEAR_MS
    early = late = main
    while early > 0 and groups[early].first_ms - groups[early - 1].last_ms <= longest:
        early -= 1
    while late + 1 < len(groups) and groups[late + 1].first_ms - groups[late].last_ms <= longest:
        late += 1
    return early, late
