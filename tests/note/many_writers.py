"""Notes killed at random moments, and many writers at once: no line reported done is lost, the file is always whole.

Run by hand: `python -m tests.note.many_writers [kills] [writers] [seconds] [seed]`; without figures 500 kills, then 4
writers for a minute. A shorter run is a test. Each note is a process of its own, made by fork, that is killed by
SIGKILL (nothing in it can tidy up) at a moment drawn over three times what a note takes alone.
"""

from __future__ import annotations

import os
import random
import signal
import statistics
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from ledger.intake.ledger_file import read_ledger
from tests.note.farm import LEDGER, farm, line, note


@dataclass(frozen=True)
class Figures:
    """What a run came to: notes begun, killed before they were done, done; lines of theirs that stand; times that the
    file was read meanwhile; lines by writer."""

    begun: int
    killed: int
    done: int
    standing: int
    reads: int
    by_writer: tuple[int, ...] = ()


def kills(count: int, folder: Path, seed: int) -> Figures:
    """Kill notes one after another at random moments.

    Raises
    ------
    AssertionError : a line is lost or stands twice, the file does not read, or a byte of the old file is gone.
    """
    draw = random.Random(seed)
    path = farm(folder)
    usual = statistics.median(_timed(path, f"first {i}") for i in range(5))
    done = {f"first {i}" for i in range(5)}
    tried = set(done)
    for number in range(count):
        name = f"kill {number}"
        tried.add(name)
        child, ready = _begin(path, [name])
        time.sleep(draw.uniform(0.0, 3.0 * usual))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        done |= _told(ready)
        _judge(path, done, tried)
    return Figures(len(tried), len(tried) - len(done), len(done), len(_names(path)), count)


def at_once(writers: int, seconds: float, folder: Path) -> Figures:
    """Let several writers note line after line in one ledger while it is read over and over.

    Raises
    ------
    AssertionError : as `kills`.
    """
    path = farm(folder)
    until = time.monotonic() + seconds
    begun = [_begin(path, (f"writer {w} line {i}" for i in range(10**6)), until=until) for w in range(writers)]
    reads = 0
    while time.monotonic() < until:
        read_ledger(path)
        reads += 1
    done: set[str] = set()
    for child, ready in begun:
        done |= _told(ready)
        assert os.waitpid(child, 0)[1] == 0, "a writer failed"
    _judge(path, done, done)
    by_writer = tuple(sum(name.startswith(f"writer {w} ") for name in done) for w in range(writers))
    return Figures(len(done), 0, len(done), len(_names(path)), reads, by_writer)


def _begin(path: Path, names: Iterable[str], *, until: float = float("inf")) -> tuple[int, int]:
    """A process that notes a line for each name and tells of each once it is done; its number, and where it tells."""
    ready, tell = os.pipe()
    child = os.fork()
    if child:
        os.close(tell)
        return child, ready
    code = 1
    try:
        for name in names:
            if time.monotonic() > until:
                break
            note(path, line(what=name, energy="1 kWh"))
            os.write(tell, f"{name}\n".encode())
        code = 0
    except Exception as problem:
        sys.stderr.write(f"a note failed: {problem!r}\n")
        sys.stderr.flush()
    finally:
        os._exit(code)
    return 0, 0


def _told(ready: int) -> set[str]:
    with os.fdopen(ready, "rb") as told:
        return set(told.read().decode().split("\n")) - {""}


def _timed(path: Path, name: str) -> float:
    start = time.monotonic()
    child, ready = _begin(path, [name])
    os.waitpid(child, 0)
    assert _told(ready) == {name}
    return time.monotonic() - start


def _names(path: Path) -> Counter[str]:
    return Counter(one.what for one in read_ledger(path).ledger.running if one.what != "pump")


def _judge(path: Path, done: set[str], tried: set[str]) -> None:
    names = _names(path)
    assert done <= set(names) <= tried, f"lost: {sorted(done - set(names))}"
    assert set(names.values()) <= {1}, "a line stands twice"
    rest = iter(path.read_text(encoding="utf-8").split("\n"))
    assert all(any(old == now for now in rest) for old in LEDGER.split("\n")), "an old line is gone or out of order"
    backup = path.with_name("ledger.toml.before")
    if backup.exists():
        assert set(_names(backup)) <= tried


def main() -> None:
    """The long run."""
    given = [float(x) for x in sys.argv[1:]]
    usual = (500.0, 4.0, 60.0, 20260131.0)
    count, writers, seconds, seed = [*given, *usual[len(given) :]]
    with tempfile.TemporaryDirectory() as folder:
        one, two = Path(folder, "kills"), Path(folder, "writers")
        one.mkdir()
        two.mkdir()
        sys.stdout.write(f"kills: {kills(int(count), one, int(seed))}\n")
        sys.stdout.flush()
        sys.stdout.write(f"{int(writers)} writers for {seconds:g} s: {at_once(int(writers), seconds, two)}\n")
        left = sorted(x.name for x in [*one.iterdir(), *two.iterdir()])
        sys.stdout.write(f"files left: {left}\n")


if __name__ == "__main__":
    main()
