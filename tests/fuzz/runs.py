"""A command run inside this process, with what a person would see of it and what it cost."""

from __future__ import annotations

import contextlib
import io
import os
import signal
import sys
import time
import traceback
import warnings
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from ledger.cli import main

LONGEST_S = 120
"""Of processor time, for a loop without end; what waits for ever is broken off after `LONGEST_WAIT_S` by the clock."""
LONGEST_WAIT_S = 1800
_STATUS = Path("/proc/self/status")
_CLEAR = Path("/proc/self/clear_refs")


class Hangs(BaseException):
    """No answer within the longest time; no handler of the program's own catches it."""


@dataclass(frozen=True)
class Run:
    """Exit code, both outputs, processor time [s], memory taken at most [bytes, None where the system does not say]."""

    code: int
    out: bytes
    err: str
    cpu_s: float
    grown: int | None
    crash: str

    @property
    def fault(self) -> str:
        """What the contract of every command forbids; "" where it held."""
        if self.crash:
            return self.crash
        if self.code not in (0, 1, 2):
            return f"exit {self.code}"
        if "Traceback" in self.err or b"Traceback (most" in self.out or "fault of warmledger" in self.err:
            return f"a fault of the program shown: {self.err[:300]}"
        if self.code and not self.err.strip():
            return f"exit {self.code} without a word"
        return ""


def run(arguments: Sequence[str]) -> Run:
    """Run a command; a crash comes back as its traceback."""
    out = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    err = io.TextIOWrapper(io.BytesIO(), encoding="utf-8")
    code, crash = 0, ""
    environment = {**os.environ, "WARMLEDGER_TRACEBACK": "1", "COLUMNS": "80"}
    before = _memory("VmRSS") if _forget_peak() else None
    began = time.process_time()
    interrupt = signal.getsignal(signal.SIGINT)  # the program ends deaf to it; the run of many goes on
    with (
        mock.patch.dict(os.environ, environment), mock.patch.object(sys, "argv", ["warmledger", *arguments]),
        contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), at_most(LONGEST_S, LONGEST_WAIT_S),
        warnings.catch_warnings(),
    ):  # fmt: skip
        warnings.simplefilter("error")  # a library's warning would stand on the person's screen
        try:
            main()
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else int(end.code is not None)
        except Hangs:
            crash = f"no answer in {LONGEST_S} s of processor, or {LONGEST_WAIT_S} s in all"
        except BaseException:
            crash = traceback.format_exc()
    signal.signal(signal.SIGINT, interrupt)
    spent = time.process_time() - began
    peak = _memory("VmHWM")
    grown = None if before is None or peak is None else max(0, peak - before)
    out.flush()
    err.flush()
    shown, said = out.buffer, err.buffer
    assert isinstance(shown, io.BytesIO)
    assert isinstance(said, io.BytesIO)
    return Run(code, shown.getvalue(), said.getvalue().decode("utf-8", "replace"), spent, grown, crash)


@contextlib.contextmanager
def at_most(cpu_s: float, wait_s: float) -> Iterator[None]:
    """Break off what takes more processor time, or waits longer; where the system has no timers, nothing is."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def ring(*_: object) -> None:
        raise Hangs

    limits = ((signal.ITIMER_PROF, signal.SIGPROF, cpu_s), (signal.ITIMER_REAL, signal.SIGALRM, wait_s))
    old = [signal.signal(number, ring) for _, number, _ in limits]
    for timer, _, seconds in limits:
        signal.setitimer(timer, seconds)
    try:
        yield
    finally:
        for (timer, number, _), handler in zip(limits, old, strict=True):
            signal.setitimer(timer, 0.0)
            signal.signal(number, handler)


def _memory(name: str) -> int | None:
    try:
        text = _STATUS.read_text(encoding="ascii")
    except OSError:
        return None
    found = [line for line in text.splitlines() if line.startswith(name + ":")]
    return int(found[0].split()[1]) * 1024 if found else None


def _forget_peak() -> bool:
    """Begin the system's count of the most memory afresh; whether it could be."""
    try:
        _CLEAR.write_text("5", encoding="ascii")
    except OSError:
        return False
    return True
