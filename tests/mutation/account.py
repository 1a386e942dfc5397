"""What a run of mutants comes to."""

from __future__ import annotations

import json
from collections import Counter, defaultdict
from pathlib import Path

KILLED = ("killed", "slow")


def summary(out: Path) -> str:
    """Counts by module, and the rate with its range where the sites are a sample (Wilson, 95 %)."""
    by: dict[str, Counter[str]] = defaultdict(Counter)
    for line in out.read_text(encoding="utf-8").splitlines():
        one = json.loads(line)
        for place in (one["path"], "all"):
            by[place][one["outcome"]] += 1
    rows = []
    for place, counts in sorted(by.items()):
        n, killed = counts.total(), sum(counts[x] for x in KILLED)
        rows.append(f"{place:48} {killed:5} of {n:5} {100 * killed / n:6.1f} %   {dict(counts)}")
    low, high = _wilson(killed=sum(by["all"][x] for x in KILLED), n=by["all"].total())
    return "\n".join([*rows, f"95 % range of the rate: {100 * low:.1f} to {100 * high:.1f} %"])


def _wilson(*, killed: int, n: int) -> tuple[float, float]:
    z, p = 1.96, killed / n
    middle, half = p + z * z / (2 * n), z * ((p * (1 - p) + z * z / (4 * n)) / n) ** 0.5
    return (middle - half) / (1 + z * z / n), (middle + half) / (1 + z * z / n)
