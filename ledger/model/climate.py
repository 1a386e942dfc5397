"""The typical winter."""

from __future__ import annotations

from dataclasses import dataclass

from ledger.model.logs import LogSpec


@dataclass(frozen=True, slots=True)
class MonthNormal:
    """Mean daily low and high of a calendar month."""

    month: int
    mean_low_c: float
    mean_high_c: float


@dataclass(frozen=True, slots=True)
class Climate:
    """Either a long outdoor record or twelve normals; both may be absent."""

    record: LogSpec | None = None
    normals: tuple[MonthNormal, ...] = ()
