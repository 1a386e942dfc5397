"""Mutation fuzzing of ledgers and logs together, through the commands: run it by hand; `.ci/run` runs 10,000 cases.

    python -m tests.fuzz.ledgers --most 10000 --seed 1 [--minutes 5] [--workers 2] [--keep FOLDER]

A case takes a demo, a template or a small farm with a fortnight of log, changes the ledger (values, units, lines,
sections, keys, bytes) and often the log, and runs `check`, now and then `note` or `appraise`. Every run ends with 0, 1
or 2 and words, never with a traceback or a library's warning, and takes at most ten times the processor time of the
unchanged case (and, for the small ones, about half a second more); one that took more is run again beside the unchanged
case, and is a fault where it is slow each time (`pace.py`). A case is known by seed and number (`--only N` runs it
alone).
"""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from multiprocessing import get_context
from pathlib import Path
from random import Random

from tests.demo import DEMO
from tests.fuzz.entries import changed
from tests.fuzz.mutations import damaged
from tests.fuzz.pace import TIMES_CLEAN, slow, unit_s
from tests.fuzz.runs import Run, run
from tests.since.farm import LEDGER, log_rows

SLACK_UNITS = 10.0
"""About half a second on a usual machine, more on a slower one: ten times `pace.unit_s`."""
GENTLY = {"check": 0.4, "note": 0.4, "appraise": 0.8}
"""How many ledgers are changed as a grower might mean it: a refused one never comes to the arithmetic of `appraise`."""
TEMPLATES = Path(__file__).parents[2] / "templates"
_ROWS = 500
_NOTE = ("--date", "2026-01-31", "--for", "house", "--what", "pump", "--amount", "4.20", "--dry-run")


@dataclass
class Tally:
    """What a run has seen."""

    cases: int = 0
    exits: Counter[str] = field(default_factory=Counter)
    slowest_s: float = 0.0
    most_times: float = 0.0
    faults: list[str] = field(default_factory=list)

    def add(self, other: Tally) -> None:
        """Take in another worker's."""
        self.cases += other.cases
        self.exits.update(other.exits)
        self.slowest_s = max(self.slowest_s, other.slowest_s)
        self.most_times = max(self.most_times, other.most_times)
        self.faults += other.faults


def bases() -> list[tuple[str, dict[str, bytes]]]:
    """Farms to begin from: a name, and the files of its folder."""
    found = [("small farm", {"ledger.toml": LEDGER.encode(), "log.csv": "\n".join(log_rows()).encode()})]
    for key in ("torvena", "sorrel"):
        lines = (DEMO / key / "station.csv").read_bytes().split(b"\n")[: _ROWS + 1]
        files = {"ledger.toml": (DEMO / key / "ledger.toml").read_bytes(), "station.csv": b"\n".join(lines)}
        found.append((key, files))
    for path in sorted(TEMPLATES.glob("*.toml")):
        found.append((path.stem, {"ledger.toml": path.read_bytes()}))
    return found


def command_of(number: int) -> str:
    """Mostly `check`, the quickest that reads everything."""
    return "appraise" if number % 100 == 50 else "note" if number % 20 == 10 else "check"


def call(folder: Path, files: dict[str, bytes], command: str) -> Run:
    """Write the files and run a command on them."""
    for old in folder.iterdir():
        old.unlink()
    for name, data in files.items():
        (folder / name).write_bytes(data)
    return run([command, str(folder / "ledger.toml"), *(_NOTE if command == "note" else ("--json", "-"))])


def case(seed: int, number: int) -> tuple[str, dict[str, bytes]]:
    """The farm and the changed files of a seed and number."""
    chance = Random(f"ledger {seed}/{number}")
    name, files = chance.choice(bases()[:1] if command_of(number) == "appraise" else bases())
    files = dict(files)
    whole = files["ledger.toml"]
    torn = chance.random() < 0.2 and command_of(number) != "appraise"
    files["ledger.toml"] = damaged(chance, whole) if torn else changed(chance, whole, gently=GENTLY[command_of(number)])
    for log in [one for one in sorted(files) if one.endswith(".csv")]:
        if chance.random() < 0.4:
            files[log] = damaged(chance, files[log])
    return name, files


def clean_times(folder: Path) -> dict[tuple[str, str], float]:
    """Processor time of every unchanged farm and command, the lesser of two runs. [s]"""
    found = {}
    for name, files in bases():
        for command in ("check", "note", "appraise"):
            if command == "appraise" and name != "small farm":
                continue
            found[name, command] = min(call(folder, files, command).cpu_s for _ in range(2))
    return found


def session(*, seed: int, numbers: range, seconds: float, keep: Path | None = None) -> Tally:
    """Run cases until the time is over, or all."""
    tally = Tally()
    ends = time.monotonic() + seconds
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        clean, slack_s = clean_times(folder), SLACK_UNITS * unit_s()
        for number in numbers:
            if time.monotonic() > ends:
                break
            name, files = case(seed, number)
            command = command_of(number)
            done = call(folder, files, command)
            tally.cases += 1
            tally.exits[f"{command} {done.code}"] += 1
            tally.slowest_s = max(tally.slowest_s, done.cpu_s)
            usual = clean[name, command]
            if done.cpu_s > slack_s:
                tally.most_times = max(tally.most_times, done.cpu_s / usual)
            fault = done.fault
            if not fault and done.cpu_s > TIMES_CLEAN * usual + slack_s:
                fault = _slow_again(folder, name, files, command, slack_s)
            if fault:
                tally.faults.append(f"case {number} of seed {seed} ({command}, {name}): {fault}")
                _kept(keep, f"{seed}-{number}-{command}", files)
    return tally


def _slow_again(folder: Path, name: str, files: dict[str, bytes], command: str, slack_s: float) -> str:
    """A case that took long, tried again beside the unchanged one; words where it is slow each time."""
    whole = dict(bases())[name]
    return slow(lambda: call(folder, files, command).cpu_s, lambda: call(folder, whole, command).cpu_s, slack_s=slack_s)


def _kept(keep: Path | None, name: str, files: dict[str, bytes]) -> None:
    if keep is None:
        return
    (keep / name).mkdir(parents=True, exist_ok=True)
    for file, data in files.items():
        (keep / name / file).write_bytes(data)


def _slice(seed: int, numbers: range, seconds: float, keep: Path | None) -> Tally:
    return session(seed=seed, numbers=numbers, seconds=seconds, keep=keep)


def told(tally: Tally) -> int:
    """Print the account; exit code of the program."""
    exits = ", ".join(f"{name}: {count}" for name, count in sorted(tally.exits.items()))
    sys.stdout.write(f"{tally.cases} cases, {len(tally.faults)} faults\n  exits of {exits}\n")
    most = f"at most {tally.most_times:.1f} times unchanged"
    sys.stdout.write(f"  slowest {tally.slowest_s:.2f} s of processor; {most}\n")
    for fault in tally.faults[:20]:
        sys.stdout.write(f"FAULT {fault}\n")
    return 1 if tally.faults else 0


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--most", type=int, default=10_000)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--only", type=int, help="this case alone")
    parser.add_argument("--keep", type=Path, help="where cases that show a fault are kept")
    given = parser.parse_args()
    whole = Tally()
    if given.only is not None:
        sys.exit(told(session(seed=given.seed, numbers=range(given.only, given.only + 1), seconds=600)))
    with ProcessPoolExecutor(given.workers, mp_context=get_context("spawn")) as pool:
        cuts = [range(first, given.most, given.workers) for first in range(given.workers)]
        parts = [pool.submit(_slice, given.seed, cut, given.minutes * 60, given.keep) for cut in cuts]
        for part in parts:
            whole.add(part.result())
    sys.exit(told(whole))
