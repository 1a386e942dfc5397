"""Whether a run is slow: beside a yardstick in the same process, by processor time, and in every try.

A busy or a slower machine makes both slower; a moment in which it was busy is over in one of the tries. What is slow by
itself (a loop without end, work that grows with the square of the input) is so each time.
"""

from __future__ import annotations

import time
from collections.abc import Callable

TIMES_CLEAN = 10.0
TRIES = 4
_UNIT_TURNS = 1_000_000


def slow(run_s: Callable[[], float], yardstick_s: Callable[[], float], *, slack_s: float = 0.0) -> str:
    """Words where a run takes over ten times its yardstick, and some slack, in each of four tries; "" otherwise.

    Parameters
    ----------
    run_s, yardstick_s : run once and tell the processor time. [s]
    slack_s : for runs so short that ten times say nothing. [s]
    """
    took = allowed = usual = 0.0
    for _ in range(TRIES):
        usual, took = yardstick_s(), run_s()
        allowed = TIMES_CLEAN * usual + slack_s
        if took <= allowed:
            return ""
    words = f"{took:.2f} s of processor where {allowed:.2f} s are allowed (its yardstick takes {usual:.2f} s)"
    return f"{words}, {TRIES} times"


def unit_s() -> float:
    """Processor time of a fixed piece of work, the least of three: a measure of the machine. [s]"""
    return min(_spun() for _ in range(3))


def _spun() -> float:
    began = time.process_time()
    total = 0
    for turn in range(_UNIT_TURNS):
        total += turn & 3
    return time.process_time() - began
