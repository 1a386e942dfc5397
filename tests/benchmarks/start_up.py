"""How long the program takes to answer before any work, beside a bare interpreter, in one run. Run by hand.

usage: python -m tests.benchmarks.start_up [RUNS]

Prints the median processor time of each call and its ratio to `python -c pass`; the aim is 15 at most.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys

BARE = ("-c", "pass")
CALLS = {
    "--help": ("-m", "ledger", "--help"),
    "appraise --help": ("-m", "ledger", "appraise", "--help"),
    "note --help": ("-m", "ledger", "note", "--help"),
    "an unknown option": ("-m", "ledger", "appraise", "--no-such-option"),
    "an unknown command": ("-m", "ledger", "no-such-command"),
    "shell completion": ("-m", "ledger"),
}
COMPLETION = {"_WARMLEDGER_COMPLETE": "complete_bash", "COMP_WORDS": "warmledger ", "COMP_CWORD": "1"}


def seconds(words: tuple[str, ...], environment: dict[str, str]) -> float:
    """Processor seconds of one call."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, *words], capture_output=True, env={**os.environ, **environment}, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    """Time all calls in turn, so that a change of the machine's speed meets them alike."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    calls = {"bare interpreter": BARE, **CALLS}
    taken: dict[str, list[float]] = {name: [] for name in calls}
    for _ in range(runs):
        for name, words in calls.items():
            taken[name].append(seconds(words, COMPLETION if name == "shell completion" else {}))
    bare = statistics.median(taken["bare interpreter"])
    for name, each in taken.items():
        median = statistics.median(each)
        sys.stdout.write(f"{name:20} {median * 1000:6.0f} ms   {median / bare:5.1f} times a bare interpreter\n")


if __name__ == "__main__":
    main()
