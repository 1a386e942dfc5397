"""Mutation testing: change one small thing in a module, run the tests that run that line, see whether one notices.

    nice python -m pytest -n 2 --cov --cov-config=tests/mutation/coverage.ini --cov-context=test --cov-report= \\
        --junitxml=TESTS.xml
    nice python -m tests.mutation.run --data .coverage --junit TESTS.xml --rooms ledger/money --most 300 --seed 1 \\
        --out FOUND.jsonl

Needs `coverage` and `pytest-cov` beside the project's own test packages (contexts need at least one worker, `-n 1`).
Nothing in the checkout is written: a child of a process that has collected the suite takes the changed code into its
memory and runs, quickest and narrowest first, the tests that touch it, as many as fit in `--budget` seconds (by the
clock of the run under coverage). `--cold` is for what runs at import: its child imports everything anew. A test that
kills must pass without the change, in the same kind of child.

killed: a test failed, or the child died. slow: a test took ten times its time and five seconds. survived: all that
ran within `--cap` seconds passed. untouched: no test runs the line. What stands in an `--out` already is not run again.
"""

from __future__ import annotations

import argparse
import gc
import json
import os
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

import pytest

from tests.mutation.account import summary
from tests.mutation.install import BeforeImport, Functions, functions, into_running
from tests.mutation.sites import Site, all_sites
from tests.mutation.touched import Touched

ROOT = Path(__file__).parents[2]
QUIET = ["-q", "-p", "no:cacheprovider", "-p", "no:xdist", "-o", "addopts=--strict-markers -m 'not outside'"]
PASSED, FAILED, SLOW, ABSENT = 0, 11, 13, 17
SPARE_BYTES = 4 << 30


@dataclass
class Watch:
    """A pytest plugin for the child: stops at the first failure, at a test that takes far too long, at the cap."""

    seconds: dict[str, float]
    told: int
    cap_s: float
    begun: float = field(default_factory=time.monotonic)

    def pytest_configure(self) -> None:
        """Before any test module is imported."""
        _steady()

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_logstart(self, nodeid: str) -> None:
        """Set the clock for one test."""
        left, most = self.begun + self.cap_s - time.monotonic(), 5.0 + 10.0 * self.seconds.get(nodeid, 0.0)
        code = SLOW if most < left else PASSED
        signal.signal(signal.SIGALRM, lambda *_: self._end(code, nodeid))
        signal.setitimer(signal.ITIMER_REAL, max(0.01, min(most, left)))

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """End at a failure."""
        if report.failed:
            self._end(FAILED, report.nodeid)

    def _end(self, code: int, nodeid: str) -> None:
        os.write(self.told, nodeid.encode())
        os._exit(code)


@dataclass
class Mutants:
    """Runs mutants one after another, each in a child."""

    touched: Touched
    budget_s: float
    cap_s: float
    cold: bool
    items: dict[str, pytest.Item] = field(default_factory=dict)
    known: dict[str, None] = field(default_factory=dict)
    alive: Functions = field(default_factory=dict)
    shared: set[str] = field(default_factory=set)
    clean: dict[str, bool] = field(default_factory=dict)

    def collect(self, items: Sequence[pytest.Item]) -> None:
        """Know the suite's tests, and the files whose tests share something costly."""
        for item in items:
            self.items[item.nodeid] = item
            self.known[item.nodeid] = None
            assert isinstance(item, pytest.Function), item.nodeid
            fixtures = item._fixtureinfo.name2fixturedefs.values()
            wide = any(f.scope != "function" and f.baseid.startswith("tests") for group in fixtures for f in group)
            kept = any(hasattr(x, "cache_info") for x in vars(item.module).values())
            if wide or kept:
                self.shared.add(_file(item.nodeid))
        self.alive = functions()
        gc.collect()
        gc.freeze()

    def tests_of(self, site: Site) -> list[str]:
        """Node ids, quickest and narrowest first, as many as fit in the budget; files that share a cost are whole."""
        files, alone = set(), set()
        for test, phase in self.touched.by(site):
            if _file(test) in self.shared or phase != "run":
                files.add(_file(test))
            else:
                alone.add(test)
        groups = [[t] for t in alone if _file(t) not in files and t in self.known]
        groups += [[t for t in self.known if _file(t) == f] for f in sorted(files)]
        cost = {id(g): sum(self.touched.seconds.get(t, 1.0) for t in g) + 0.005 for g in groups if g}
        chosen: list[str] = []
        left = self.budget_s
        for group in sorted((g for g in groups if g), key=lambda g: (cost[id(g)] * self._breadth(g), g[0])):
            tests = [t for t in group if self.clean.get(t, True)]
            if cost[id(group)] <= left or not chosen:
                chosen += tests
                left -= cost[id(group)]
        return chosen

    def _breadth(self, group: Sequence[str]) -> float:
        """A test that runs little else than the site is more likely to notice it than one of the whole program."""
        return 1.0 + max(self.touched.breadth.get(t, 0) for t in group)

    def judge(self, site: Site) -> dict[str, object]:
        """What becomes of one mutant."""
        begun = time.monotonic()
        while True:
            tests = self.tests_of(site)
            if not tests:
                return _account(site, "untouched", "", 0, begun)
            code, killer = self._in_child(tests, site)
            if code in (FAILED, SLOW) and not self._passes_clean(killer):
                continue
            outcome = {PASSED: "survived", SLOW: "slow", ABSENT: "absent"}.get(code, "killed")
            return _account(site, outcome, killer, len(tests), begun)

    def _passes_clean(self, test: str) -> bool:
        if test not in self.clean:
            self.clean[test] = self._in_child([test], None)[0] == PASSED
        return self.clean[test]

    def _in_child(self, tests: Sequence[str], site: Site | None) -> tuple[int, str]:
        heard, told = os.pipe()
        child = os.fork()
        if child == 0:
            os.close(heard)
            try:
                _limit_memory()
                (self._run_cold if self.cold else self._run_warm)(tests, site, told)
            except BaseException as e:
                os.write(told, repr(e).encode())
                os._exit(FAILED + 1)
        os.close(told)
        killer = b""
        while part := os.read(heard, 4096):
            killer += part
        os.close(heard)
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), killer.decode()

    def _run_warm(self, tests: Sequence[str], site: Site | None, told: int) -> None:
        if site and not into_running(ROOT, site, self.alive):
            os._exit(ABSENT)
        chosen = [self.items[t] for t in tests]
        chosen[0].config.pluginmanager.register(Watch(self.touched.seconds, told, self.cap_s))
        for item, following in zip(chosen, [*chosen[1:], None], strict=True):
            item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
        os._exit(PASSED)

    def _run_cold(self, tests: Sequence[str], site: Site | None, told: int) -> None:
        if site:
            BeforeImport(ROOT, site).install()
        silent = os.open(os.devnull, os.O_WRONLY)
        os.dup2(silent, 1)
        os.dup2(silent, 2)
        with tempfile.TemporaryDirectory() as folder:
            code = pytest.main(
                [*QUIET, "--basetemp", folder + "/t", *tests], plugins=[Watch(self.touched.seconds, told, self.cap_s)]
            )
        os._exit(PASSED if code == pytest.ExitCode.OK else FAILED + 1)


class AfterCollecting:
    """A pytest plugin for the parent: once the suite is collected, something else than the tests runs."""

    def __init__(self, mutants: Mutants, then: Sequence[Site], out: Path) -> None:
        self._mutants, self._then, self._out = mutants, then, out

    def pytest_configure(self) -> None:
        """Before any test module is imported."""
        _steady()

    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        """Run the mutants, or only learn the suite's tests where children import anew."""
        self._mutants.collect(session.items)
        if not self._mutants.cold:
            run_all(self._mutants, self._then, self._out)
        return True


def run_all(mutants: Mutants, chosen: Sequence[Site], out: Path) -> None:
    """Judge each and write it down at once."""
    with out.open("a", encoding="utf-8") as file:
        for n, site in enumerate(chosen):
            account = mutants.judge(site)
            file.write(json.dumps(account, ensure_ascii=False) + "\n")
            file.flush()
            if n % 20 == 0:
                os.write(2, f"{n}/{len(chosen)} {account['outcome']} {site.key}\n".encode())


def _account(site: Site, outcome: str, killer: str, tests: int, begun: float) -> dict[str, object]:
    return {
        "key": site.key, "path": site.path, "line": site.first, "function": site.function, "step": site.words,
        "outcome": outcome, "killer": killer, "tests": tests, "seconds": round(time.monotonic() - begun, 2),
    }  # fmt: skip


def _file(nodeid: str) -> str:
    return nodeid.partition("::")[0]


def _limit_memory() -> None:
    used = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (used + SPARE_BYTES, used + SPARE_BYTES))


def _steady() -> None:
    """Hypothesis draws the same examples in every child, and does not spend time on making a failure small."""
    from hypothesis import HealthCheck, Phase, settings

    settings.register_profile(
        "mutation", database=None, derandomize=True, deadline=None,
        phases=[Phase.explicit, Phase.generate], suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    settings.load_profile("mutation")


def main() -> int:
    """Run the mutants that were asked for, and print the account."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--data", type=Path, required=True)
    parser.add_argument("--junit", type=Path, nargs="+", required=True)
    parser.add_argument("--rooms", nargs="+", required=True)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--most", type=int, default=10**9)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--part", default="1/1", help="this part of the sample: 1/2, 2/2")
    parser.add_argument("--budget", type=float, default=15.0)
    parser.add_argument("--cap", type=float, default=60.0, help="seconds for one mutant by the clock on the wall")
    parser.add_argument("--only", nargs="*", help="places, as module.py:line")
    parser.add_argument("--tests", nargs="*", default=[], help="folders of tests to choose from; else all")
    parser.add_argument("--cold", action="store_true")
    asked = parser.parse_args()
    if asked.cold:
        _load_the_heavy_ones()
    found = all_sites(ROOT, asked.rooms)
    Random(asked.seed).shuffle(found)
    first, of = map(int, asked.part.split("/"))
    chosen = [s for s in found[: asked.most][first - 1 :: of] if bool(s.function) != asked.cold]
    if asked.only:
        chosen = [s for s in chosen if f"{s.path}:{s.first}" in asked.only]
    asked.out.touch()
    done = {json.loads(x)["key"] for x in asked.out.read_text(encoding="utf-8").splitlines()}
    chosen = [s for s in chosen if s.key not in done]
    mutants = Mutants(Touched(ROOT, asked.data, asked.junit), asked.budget, asked.cap, asked.cold)
    if asked.cold:
        mutants.known = dict.fromkeys(mutants.touched.seconds)
        run_all(mutants, chosen, asked.out)
    else:
        with tempfile.TemporaryDirectory() as folder:
            pytest.main(
                [*QUIET, "--basetemp", folder + "/t", *asked.tests],
                plugins=[AfterCollecting(mutants, chosen, asked.out)],
            )
    sys.stdout.write(summary(asked.out) + "\n")
    return 0


def _load_the_heavy_ones() -> None:
    """What every child needs, but nothing of the project."""
    import numpy, openpyxl, pandas, pvlib, pydantic, scipy.optimize, scipy.stats, typer  # noqa: E401, F401, I001


if __name__ == "__main__":
    sys.exit(main())
