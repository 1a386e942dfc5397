"""The regular step of the fine record."""

from __future__ import annotations

STEPS_MIN = (10, 15, 20, 30, 60)


def fine_step_ms(usual_ms: float) -> int:
    """The step of the fine record: the least of 10, 15, 20, 30 and 60 minutes that holds a usual interval. [ms]"""
    for minutes in STEPS_MIN:
        if usual_ms <= minutes * 60_000 * 1.05:
            return minutes * 60_000
    return 3_600_000
