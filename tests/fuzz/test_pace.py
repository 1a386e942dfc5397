"""What finds slow runs finds the slow ones, and no run that met a busy moment."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.intake.ledger_file import Reading, read_ledger
from ledger.intake.log_file import Progress, RawFile, read_file
from ledger.intake.log_held import Room
from ledger.model.logs import LogSpec
from tests.fuzz import ledgers, logs, pace, runs
from tests.fuzz.pace import TIMES_CLEAN, TRIES, slow, unit_s
from tests.fuzz.test_fuzz import ALL_DAY, SEED
from tests.since.farm import farm

DAMAGED = 3  # a case of the seed


def told_by(times: list[float]) -> Callable[[], float]:
    left = iter(times)
    return lambda: next(left)


def spin(turns: int) -> float:
    """Processor time of so many turns."""
    began = time.process_time()
    for _ in range(turns):
        pass
    return time.process_time() - began


def test_a_run_that_is_slow_each_time_is_told_with_both_times() -> None:
    words = slow(told_by([21.0] * TRIES), told_by([2.0] * TRIES))
    assert "21.00 s" in words
    assert "20.00 s are allowed" in words


@pytest.mark.parametrize("quick_at", range(TRIES))
def test_one_quick_try_clears_a_run(quick_at: int) -> None:
    times = [21.0] * TRIES
    times[quick_at] = 19.0
    assert slow(told_by(times), told_by([2.0] * TRIES)) == ""


def test_slack_is_added() -> None:
    assert slow(told_by([21.0]), told_by([2.0]), slack_s=1.0) == ""


def test_a_machine_that_is_slower_makes_its_measure_slower() -> None:
    assert unit_s() > 0.0


def test_work_that_grows_with_the_square_is_found_and_work_in_proportion_is_not() -> None:
    """Four times the input: sixteen times the work, and four times, beside limits of ten."""
    size = 1000
    assert 4 < TIMES_CLEAN < 16
    assert slow(lambda: spin((4 * size) ** 2), lambda: spin(size**2))
    assert not slow(lambda: spin(4 * size * 1000), lambda: spin(size * 1000))


def test_a_loop_without_end_is_broken_off_by_processor_time(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def endless(*_: object, **__: object) -> None:
        while True:
            pass

    monkeypatch.setattr("ledger.intake.gather.read_ledger", endless)
    monkeypatch.setattr(runs, "LONGEST_S", 0.2)
    assert "no answer in 0.2 s of processor" in runs.run(["check", str(farm(tmp_path))]).fault


def test_a_run_that_waits_for_ever_is_broken_off_by_the_clock(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr("ledger.intake.gather.read_ledger", lambda *_, **__: time.sleep(3600))
    monkeypatch.setattr(runs, "LONGEST_WAIT_S", 0.2)
    assert "0.2 s in all" in runs.run(["check", str(farm(tmp_path))]).fault


@pytest.fixture
def without_slack(monkeypatch: pytest.MonkeyPatch) -> None:
    """So that small planted slowness shows, in two tries."""
    monkeypatch.setattr(ledgers, "SLACK_UNITS", 0.0)
    monkeypatch.setattr(logs, "SLACK_UNITS", 0.0)
    monkeypatch.setattr(pace, "TRIES", 2)


def dawdle(seconds: float) -> None:
    """Work for so long. [s of processor]"""
    ends = time.process_time() + seconds
    while time.process_time() < ends:
        pass


@pytest.mark.usefixtures("without_slack")
def test_a_changed_ledger_that_takes_far_too_long_is_found(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The unchanged template is read as ever; the changed one takes twenty times as long."""
    wholes = {files["ledger.toml"] for _, files in ledgers.bases()}
    number, (name, files) = next((n, made) for n in range(1, 99) if "log.csv" not in (made := ledgers.case(SEED, n))[1])
    command = ledgers.command_of(number)
    clean_s = min(ledgers.call(tmp_path, dict(ledgers.bases())[name], command).cpu_s for _ in range(2))
    monkeypatch.setattr(ledgers, "clean_times", lambda _: {(name, command): clean_s})

    def dawdling(path: Path) -> Reading:
        if path.read_bytes() not in wholes:
            dawdle(2 * TIMES_CLEAN * clean_s)
        return read_ledger(path)

    monkeypatch.setattr("ledger.intake.gather.read_ledger", dawdling)
    assert files["ledger.toml"] not in wholes
    (fault,) = ledgers.session(seed=SEED, numbers=range(number, number + 1), seconds=ALL_DAY).faults
    assert "of processor where" in fault


@pytest.mark.usefixtures("without_slack")
def test_a_damaged_log_that_takes_far_too_long_is_found(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Damage once seen makes the reader take twenty times as long."""
    wanted, _, whole = logs.case(SEED, DAMAGED)
    assert whole is not None
    changed = {data for name, data in wanted.files.items() if data != whole.files[name]}
    assert changed
    longer_s = 2 * TIMES_CLEAN * min(logs.check(tmp_path, whole).cpu_s for _ in range(2))

    def dawdling(path: Path, spec: LogSpec, *, room: Room, progress: Progress | None = None) -> RawFile:
        if path.read_bytes() in changed:
            dawdle(longer_s)
        return read_file(path, spec, room=room, progress=progress)

    monkeypatch.setattr("ledger.intake.log_files.read_file", dawdling)
    (fault,) = logs.session(seed=SEED, seconds=ALL_DAY, most=1, keep=None, first=DAMAGED).faults
    assert "of processor where" in fault
