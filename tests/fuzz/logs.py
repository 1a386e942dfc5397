"""Fuzzing of the log reader, from the file to the hourly record and `check`. Not a test: run it by hand.

    python -m tests.fuzz.logs --minutes 30 --seed 1 [--keep FOLDER]

Half of the files are made by structure (`shapes.py`), so that most of them come past the sniffing into the series room;
half are such files, or the demo logs, damaged (`mutations.py`). A case is known by seed and number and can be run again
alone (`--only N`). For every file: exit 0 or 2 with words, no crash, no hang, processor time within ten times that of
the undamaged file of its shape (and, for the small ones, about a second more; by `pace.py`), memory within 64 MB and 40
times the files, and rows = used + flagged + duplicate + refused. `tests/fuzz/test_fuzz.py` runs a few hundred of them.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random

from tests.demo import DEMO
from tests.fuzz.mutations import damaged
from tests.fuzz.pace import TIMES_CLEAN, slow, unit_s
from tests.fuzz.runs import Run, run
from tests.fuzz.shapes import Made, made
from tests.small_house import GABLE

MEMORY_AT_REST = 64 << 20
MEMORY_TIMES = 40
SLACK_UNITS = 20.0
"""About a second on a usual machine, more on a slower one: twenty times `pace.unit_s`."""
_HEAD_LINES = 4  # of the demo logs, with the first rows
HEAD = (
    """[ledger]
currency = "EUR"
[site]
latitude = {latitude}
longitude = 11
elevation = "1200 m"
timezone = "{zone}"
"""
    + GABLE
    + """cover = "single glass"
[hold]
temperature = "4 degC"
[[build]]
name = "air tubes"
[[build.item]]
date = 2025-06-11
what = "digging"
amount = 100
[[source]]
name = "electric heater"
kind = "electric resistance"
price = 0.2
"""
)


@dataclass
class Tally:
    """What a run has seen."""

    cases: int = 0
    read: Counter[str] = field(default_factory=Counter)
    refused: Counter[str] = field(default_factory=Counter)
    kinds_read: Counter[str] = field(default_factory=Counter)
    why: Counter[str] = field(default_factory=Counter)
    slack_s: float = 0.0
    slowest_s: float = 0.0
    slowest: int = 0
    most_times: float = 0.0
    most_grown: int = 0
    most_grown_size: int = 0
    most_memory_times: float = 0.0
    faults: list[str] = field(default_factory=list)

    def lines(self) -> list[str]:
        """The account."""
        total_read, total_refused = sum(self.read.values()), sum(self.refused.values())
        found = [f"{self.cases} cases, {len(self.faults)} faults"]
        for way in sorted({*self.read, *self.refused}):
            read, refused = self.read[way], self.refused[way]
            found.append(
                f"  {way}: {read + refused} files, {read / max(1, read + refused):.0%} read to the hourly record"
            )
        found.append(f"  read {total_read / max(1, self.cases):.1%}, refused {total_refused / max(1, self.cases):.1%}")
        found.append(
            f"  slowest {self.slowest_s:.2f} s of processor (case {self.slowest}); at most {self.most_times:.1f} times "
            "the undamaged"
        )
        found.append(
            f"  memory at most {self.most_grown / 2**20:.0f} MB over rest (files of "
            f"{self.most_grown_size / 2**20:.2f} MB); of files over 1 MB at most {self.most_memory_times:.1f} times "
            "their size"
        )
        found.append("  read with: " + ", ".join(f"{kind} {count}" for kind, count in self.kinds_read.most_common()))
        found.append("  refused since: " + "; ".join(f"{why} ({count})" for why, count in self.why.most_common(12)))
        return found


def case(seed: int, number: int) -> tuple[Made, str, Made | None]:
    """The case of a seed and number: its files, its kind, and the same without damage where it is damaged."""
    chance = Random(f"{seed}/{number}")
    if number % 2 == 0:
        whole = made(chance, rows=60_000) if number % 200 == 0 else made(chance)
        return whole, "by structure", None
    whole = _demo(chance) if chance.random() < 0.2 else made(chance)
    files = dict(whole.files)
    for name in chance.sample(sorted(files), chance.randint(1, len(files))):
        files[name] = damaged(chance, files[name])
    return replace(whole, files=files), "damaged", whole


def _demo(chance: Random) -> Made:
    """A fortnight of a demo log with its own section."""
    folder = DEMO / chance.choice(("torvena", "sorrel"))
    lines = (folder / "station.csv").read_bytes().split(b"\n")
    first = chance.randrange(_HEAD_LINES, max(_HEAD_LINES + 1, len(lines) - 700))
    text = (folder / "ledger.toml").read_text(encoding="utf-8")
    begins = text.index("\n[[log]]") + 1
    ends = re.search(r"^\[(?!\[log)", text[begins:], re.MULTILINE)
    section = text[begins : begins + ends.start()] if ends else text[begins:]
    zone = text.split('timezone = "')[1].split('"')[0]
    return Made(
        {"station.csv": b"\n".join([*lines[:_HEAD_LINES], *lines[first : first + 700]])}, section, zone, 46.0, ("demo",)
    )


def check(folder: Path, wanted: Made) -> Run:
    """Write a case and run `check` on it."""
    for old in folder.iterdir():
        old.unlink()
    for name, data in wanted.files.items():
        (folder / name).write_bytes(data)
    ledger = HEAD.format(latitude=wanted.latitude, zone=wanted.zone) + wanted.sections
    (folder / "ledger.toml").write_text(ledger, encoding="utf-8")
    return run(["check", str(folder / "ledger.toml"), "--json", "-"])


def unsound(done: Run) -> str:
    """What does not add up in the results; "" where all does."""
    log = json.loads(done.out)["log"]
    for file in log["files"]:
        parts = [file[key] for key in ("used", "flagged", "duplicate", "refused")]
        if file["rows"] != sum(parts) or min(parts) < 0:
            return f"rows do not add up: {file}"
    if sum(log["lost_hours"].values()) != log["hours_span"] - log["hours_valid"]:
        return f"lost hours do not add up: {log['lost_hours']}"
    return "" if log["coverage"] is None or 0 <= log["coverage"] <= 1 else f"coverage {log['coverage']}"


def one(folder: Path, seed: int, number: int, tally: Tally) -> str:
    """Run one case; returns its fault, "" where there is none."""
    wanted, way, whole = case(seed, number)
    size = sum(len(data) for data in wanted.files.values())
    done = check(folder, wanted)
    tally.cases += 1
    fault = done.fault or ("exit 1" if done.code == 1 else "")
    if not fault and done.code == 0:
        fault = unsound(done)
    (tally.refused if done.code else tally.read)[way] += 1
    if done.code:
        tally.why[_first_words(done.err)] += 1
    else:
        tally.kinds_read.update(set(wanted.kinds))
    if done.cpu_s > tally.slowest_s:
        tally.slowest_s, tally.slowest = done.cpu_s, number
    if done.grown is not None:
        if done.grown > tally.most_grown:
            tally.most_grown, tally.most_grown_size = done.grown, size
        if size > 1 << 20:
            tally.most_memory_times = max(tally.most_memory_times, done.grown / size)
        if done.grown > MEMORY_AT_REST + MEMORY_TIMES * size:
            fault = fault or f"{done.grown / 2**20:.0f} MB for files of {size / 2**20:.2f} MB"
    if whole is not None and done.cpu_s > tally.slack_s:
        clean = check(folder, whole).cpu_s
        tally.most_times = max(tally.most_times, done.cpu_s / clean)
        if not fault and done.cpu_s > TIMES_CLEAN * clean + tally.slack_s:
            fault = slow(lambda: check(folder, wanted).cpu_s, lambda: check(folder, whole).cpu_s, slack_s=tally.slack_s)
    return fault


def _first_words(err: str) -> str:
    """The beginning of a refusal, figures and names left out."""
    line = next((text for text in err.splitlines() if text.strip()), "")
    words = "".join("#" if c.isdigit() else c for c in line)
    return words[:60]


def session(*, seed: int, seconds: float, most: int, keep: Path | None, first: int = 0) -> Tally:
    """Run cases until the time is over, or so many."""
    tally = Tally(slack_s=SLACK_UNITS * unit_s())
    ends = time.monotonic() + seconds
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        check(folder, case(seed, 0)[0])  # everything loaded: what follows pays for itself only
        for number in range(first, first + most):
            if time.monotonic() > ends:
                break
            fault = one(folder, seed, number, tally)
            if fault:
                tally.faults.append(f"case {number} of seed {seed}: {fault}")
                _kept(keep, seed, number)
    return tally


def _kept(keep: Path | None, seed: int, number: int) -> None:
    if keep is None:
        return
    wanted, _, _ = case(seed, number)
    folder = keep / f"{seed}-{number}"
    folder.mkdir(parents=True, exist_ok=True)
    for name, data in wanted.files.items():
        (folder / name).write_bytes(data)
    text = HEAD.format(latitude=wanted.latitude, zone=wanted.zone) + wanted.sections
    (folder / "ledger.toml").write_text(text, encoding="utf-8")


def told(tally: Tally) -> int:
    """Print the account; exit code of the program."""
    sys.stdout.write("\n".join(tally.lines()) + "\n")
    for fault in tally.faults[:20]:
        sys.stdout.write(f"FAULT {fault}\n")
    return 1 if tally.faults else 0


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=float, default=30.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--most", type=int, default=10**9)
    parser.add_argument("--only", type=int, help="this case alone")
    parser.add_argument("--keep", type=Path, help="where files that show a fault are kept")
    given = parser.parse_args()
    if given.only is None:
        sys.exit(told(session(seed=given.seed, seconds=given.minutes * 60, most=given.most, keep=given.keep)))
    sys.exit(told(session(seed=given.seed, seconds=600, most=1, keep=given.keep, first=given.only)))
