"""A short seeded run of the fuzz programs; the long ones are run by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.intake import log_files
from tests.fuzz import ledgers
from tests.fuzz.logs import case, session

SEED, CASES = 20, 60
ALL_DAY = 86_400.0  # the number of cases ends a run here, not the clock


def test_logs_made_by_structure_and_damaged_logs_are_read_or_refused_in_words() -> None:
    tally = session(seed=SEED, seconds=ALL_DAY, most=CASES, keep=None)
    assert not tally.faults, tally.faults
    assert tally.cases == CASES
    assert tally.read["by structure"] > CASES / 4  # of thirty such cases at least half come to the hourly record


def test_a_case_can_be_made_again_by_its_number() -> None:
    assert case(SEED, 3) == case(SEED, 3)
    assert case(SEED, 3) != case(SEED, 5)


def test_a_reader_that_breaks_is_found(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    def broken(*_: object, **__: object) -> None:
        raise IndexError("list index out of range")

    monkeypatch.setattr(log_files, "settle_orders", broken)
    tally = session(seed=SEED, seconds=ALL_DAY, most=4, keep=tmp_path)
    assert tally.faults
    assert "IndexError" in tally.faults[0]
    assert any(path.name == "ledger.toml" for path in tmp_path.rglob("*"))


def test_changed_ledgers_and_damaged_logs_are_answered_in_words() -> None:
    tally = ledgers.session(seed=SEED, numbers=range(120), seconds=ALL_DAY)
    assert not tally.faults, tally.faults
    assert tally.cases == 120
    assert tally.exits["check 0"]
    assert tally.exits["check 2"]


def test_a_command_that_breaks_on_a_changed_ledger_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr("ledger.intake.gather.read_ledger", broken)
    tally = ledgers.session(seed=SEED, numbers=range(3), seconds=ALL_DAY)
    assert len(tally.faults) == 3
    assert "ZeroDivisionError" in tally.faults[0]
