"""Ledgers too large, too deep, torn; and a machine without room, rights, a home, a wide screen or a language."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from ledger.intake.ledger_file import Reading, read_ledger
from ledger.views.text import cell_width
from tests.fuzz import pace
from tests.fuzz.pace import slow
from tests.fuzz.runs import run
from tests.since.farm import LEDGER, farm

POSIX = pytest.mark.skipif(os.name != "posix", reason="signals and rights of another kind")
PROGRAM = [sys.executable, "-m", "ledger"]
BEGUN = """
import sys
from ledger.cli import main

class Begun:
    def find_spec(self, name, *_):
        if name == "ledger.cli.commands":
            print("begun", flush=True)

sys.meta_path.insert(0, Begun())
main()
"""
"""Says so once the program has taken its own first step, at which an interrupt is its own to answer."""
PATIENCE_S = 1800  # for a process that hangs; no measure of how quick it is


def many_lines(count: int) -> str:
    """A season book of so many lines, four lines of text each."""
    days = [f"{2006 + i // 1300}-{1 + i // 110 % 12:02d}-{1 + i % 28:02d}" for i in range(count)]
    return LEDGER + "".join(f'[[running]]\ndate = {day}\nfor = "air tubes"\nenergy = "1 kWh"\n' for day in days)


def check_s(folder: Path, text: str) -> float:
    """Processor time of a `check`. [s]"""
    return run(["check", str(farm(folder, text)), "--quiet"]).cpu_s


def test_a_ledger_of_a_hundred_thousand_lines_is_read_in_time_that_grows_with_its_lines(tmp_path: Path) -> None:
    """Four times the lines in less than ten times the time: what grows with the square takes sixteen times."""
    text = many_lines(25_000)
    assert text.count("\n") > 100_000
    done = run(["check", str(farm(tmp_path, text)), "--quiet"])
    assert not done.fault
    assert done.code == 0
    assert not slow(lambda: check_s(tmp_path, text), lambda: check_s(tmp_path, many_lines(6_250)))


BEYOND_SENSE: dict[str, Callable[[int], str]] = {
    "brackets": lambda n: "x = " + "[" * (25_000 * n),
    "braces": lambda n: "x = " + "{ a = " * (12_500 * n),
    "dotted header": lambda n: "[" + "a." * (25_000 * n) + "b]\n",
    "a text without end": lambda n: 'x = "' + "y" * (1_250_000 * n),
    "digits": lambda n: "x = 1" + "0" * (25_000 * n),
    "rows of nothing": lambda n: "[[a]]\n" * (5_000 * n),
    "two marks": lambda _: "\ufeff\ufeff" + LEDGER,
    "other line ends": lambda _: LEDGER.replace("\n", "\x0b"),
    "a control sign": lambda _: "\x7f" + LEDGER,
}
"""Texts in so many quarters of their full size."""


def too_slow(folder: Path, text: Callable[[int], str]) -> str:
    """Beside a quarter of the text and a plain ledger."""
    return slow(lambda: check_s(folder, text(4)), lambda: check_s(folder, text(1)) + check_s(folder, LEDGER))


@pytest.mark.parametrize("name", BEYOND_SENSE)
def test_a_ledger_beyond_sense_is_refused_in_words_and_soon(tmp_path: Path, name: str) -> None:
    done = run(["check", str(farm(tmp_path, BEYOND_SENSE[name](4)))])
    assert not done.fault, done.fault
    assert done.code == 2
    assert len(done.err) < 20_000
    assert not too_slow(tmp_path, BEYOND_SENSE[name])


def test_a_reader_whose_time_grows_with_the_cube_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The whole text takes as long as 80 plain ledgers longer, a quarter of it one and a quarter; one try is enough."""
    plain_s = min(check_s(tmp_path, LEDGER) for _ in range(3))
    whole = len(BEYOND_SENSE["rows of nothing"](4))

    def dawdling(path: Path) -> Reading:
        size = path.stat().st_size
        ends = time.process_time() + 80.0 * plain_s * (size / whole) ** 3
        while time.process_time() < ends:
            pass
        return read_ledger(path)

    monkeypatch.setattr("ledger.intake.gather.read_ledger", dawdling)
    monkeypatch.setattr(pace, "TRIES", 1)
    assert "of processor where" in too_slow(tmp_path, BEYOND_SENSE["rows of nothing"])


@pytest.mark.parametrize("line", range(1, LEDGER.count("\n"), 3))
def test_a_ledger_torn_off_at_any_line_ends_in_words(tmp_path: Path, line: int) -> None:
    text = "\n".join(LEDGER.split("\n")[:line])
    done = run(["check", str(farm(tmp_path, text))])
    assert not done.fault, done.fault
    assert done.code in (0, 2)


def environment(**given: str) -> dict[str, str]:
    kept = {key: value for key, value in os.environ.items() if key in ("PATH", "SYSTEMROOT", "PYTHONPATH")}
    return {**kept, **given}


@pytest.mark.parametrize(
    "given",
    [
        pytest.param({}, id="nothing known"),
        pytest.param({"HOME": "/nonexistent/home"}, id="no home"),
        pytest.param({"LC_ALL": "C"}, id="the C locale"),
        pytest.param({"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8"}, id="a language that is not there"),
        pytest.param({"PYTHONIOENCODING": "ascii"}, id="ASCII only"),
        pytest.param({"PYTHONIOENCODING": "cp1252"}, id="a code page"),
        pytest.param({"NO_COLOR": "1", "TERM": "dumb"}, id="no colour"),
        pytest.param({"COLUMNS": "40"}, id="forty columns"),
        pytest.param({"COLUMNS": "0"}, id="no columns"),
        pytest.param({"COLUMNS": "wide"}, id="columns that are no number"),
        pytest.param({"TZ": "Nowhere/Land"}, id="a zone that is not there"),
    ],
)
def test_every_odd_machine_gets_the_same_answer(tmp_path: Path, given: dict[str, str]) -> None:
    path = farm(tmp_path)
    call = [*PROGRAM, "check", str(path), "--json", str(tmp_path / "r.json")]
    done = subprocess.run(call, capture_output=True, env=environment(**given), timeout=PATIENCE_S)
    assert done.returncode == 0, done.stderr
    assert not done.stderr
    assert b"\x1b" not in done.stdout
    usual = run(["check", str(path), "--json", "-"])
    assert (tmp_path / "r.json").read_bytes() == usual.out
    if given.get("COLUMNS") == "40":
        assert max(cell_width(line) for line in done.stdout.decode().splitlines()) <= 40


@POSIX
def test_a_folder_that_may_not_be_written_is_said_before_and_left_as_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The rights are refused by hand, since the root of a machine may write everywhere."""
    path = farm(tmp_path)
    real = os.open

    def refusing(name: str | os.PathLike[str], flags: int, *more: int) -> int:
        if flags & os.O_CREAT:
            raise OSError(errno.EROFS, "Read-only file system", str(name))
        return real(name, flags, *more)

    monkeypatch.setattr(os, "open", refusing)
    before = sorted(one.name for one in tmp_path.iterdir())
    for arguments in (["check", str(path), "--json", str(tmp_path / "r.json")], ["start", str(tmp_path / "new")]):
        done = run(arguments)
        assert not done.fault, done.fault
        assert done.code in (1, 2)
        assert "may not be written" in done.err
    assert sorted(one.name for one in tmp_path.iterdir() if one.name != "new") == before


def test_an_output_that_is_a_folder_is_refused(tmp_path: Path) -> None:
    path = farm(tmp_path)
    for name in ("r.json", "r.xlsx", "r.html", "r.pdf"):
        (tmp_path / name).mkdir()
    for option in ("json", "workbook", "report", "pdf"):
        ending = {"json": "json", "workbook": "xlsx", "report": "html", "pdf": "pdf"}[option]
        done = run(["appraise", str(path), f"--{option}", str(tmp_path / f"r.{ending}")])
        assert done.code == 2
        assert "folder" in done.err


@POSIX
@pytest.mark.parametrize("delay_s", [0.01, 0.1, 0.2, 0.35, 0.5, 0.7, 0.9, 1.2, 1.6, 2.2, 3.0, 4.0])
def test_ctrl_c_at_any_moment_ends_in_words_and_leaves_whole_files(tmp_path: Path, delay_s: float) -> None:
    """Counted from the program's first step: before that Python itself has no handler that says a word."""
    path = farm(tmp_path)
    before = path.read_bytes()
    results = tmp_path / "r.json"
    results.write_bytes(b"{}\n")
    child = subprocess.Popen(
        [sys.executable, "-c", BEGUN, "appraise", str(path), "--json", str(results)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert child.stdout is not None
    assert child.stdout.readline() == b"begun\n"
    time.sleep(delay_s)
    child.send_signal(signal.SIGINT)
    _, err = child.communicate(timeout=PATIENCE_S)
    assert child.returncode in (0, 1), err
    assert b"Traceback" not in err, err
    text = results.read_bytes()
    assert text == b"{}\n" or text.endswith(b"}\n")
    assert path.read_bytes() == before
    assert not list(tmp_path.glob(".*.part"))
