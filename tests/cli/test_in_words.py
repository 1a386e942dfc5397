"""Whatever happens to a command is said in words on standard error, with the exit code of the contract."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from ledger.errors import Complaint, LedgerError, OutputError, Place
from ledger.views.console import Refused, in_words

ONE = Complaint("a fault", Place("ledger.toml", 3, "house.length"), "mend it so")


def outcome(fault: BaseException, capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    @in_words
    def command() -> None:
        raise fault

    with pytest.raises(SystemExit) as stop:
        command()
    assert isinstance(stop.value.code, int)
    return stop.value.code, capsys.readouterr().err


@pytest.mark.parametrize(
    ("fault", "code", "words"),
    [
        (LedgerError([ONE]), 2, "ledger.toml, line 3, house.length: a fault"),
        (Refused([ONE]), 2, "To mend it: mend it so"),
        (OutputError([ONE]), 1, "a fault"),
        (KeyboardInterrupt(), 1, "Stopped."),
        (OSError(errno.ENOSPC, "No space left on device"), 1, "The disk is full"),
        (PermissionError(errno.EACCES, "Permission denied", "/secret/place/log.csv"), 1, "log.csv: permission denied"),
        (MemoryError(), 1, "not enough memory"),
        (ZeroDivisionError("float division"), 1, "This is a fault of warmledger"),
    ],
)
def test_every_fault_has_its_words_and_its_code(
    fault: BaseException, code: int, words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    got, said = outcome(fault, capsys)
    assert got == code
    assert words in said
    assert "Traceback" not in said
    assert "/secret/place" not in said


def test_several_faults_are_told_in_one_go_in_the_order_of_their_lines(capsys: pytest.CaptureFixture[str]) -> None:
    later = Complaint("later", Place("ledger.toml", 9), "mend")
    _, said = outcome(LedgerError([later, ONE]), capsys)
    assert said.index("a fault") < said.index("later")


def test_a_developer_may_see_the_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WARMLEDGER_TRACEBACK", "1")

    @in_words
    def command() -> None:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        command()


SHOW_MUCH = """
from ledger.views.console import in_words, show
@in_words
def command():
    for _ in range(20000):
        show(["x" * 100])
command()
"""


@pytest.mark.skipif(os.name != "posix", reason="pipes close so on POSIX systems")
def test_a_reader_that_closes_the_pipe_is_no_traceback() -> None:
    writer = subprocess.Popen([sys.executable, "-c", SHOW_MUCH], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert writer.stdout is not None
    assert writer.stderr is not None
    writer.stdout.read(10)
    writer.stdout.close()
    said = writer.stderr.read().decode()
    writer.stderr.close()
    assert writer.wait(30) == 1
    assert said == "The rest was not shown: the program that read it has closed.\n"


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="only Linux has a device that is always full")
def test_a_full_disk_under_standard_output_is_said() -> None:
    with open("/dev/full", "w") as full:
        answer = subprocess.run([sys.executable, "-c", SHOW_MUCH], stdout=full, stderr=subprocess.PIPE, text=True)
    assert answer.returncode == 1
    assert answer.stderr == "The disk is full: the output could not be written.\n"


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "utf-8"])
def test_any_encoding_of_the_terminal_can_show_a_message(encoding: str) -> None:
    code = "from ledger.views.console import tell, show; tell('4 °C — 温室'); show(['Gr\\u00fcn \\u2588'])"
    answer = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, env={**os.environ, "PYTHONIOENCODING": encoding}
    )
    assert answer.returncode == 0
    assert answer.stdout.decode(encoding)
