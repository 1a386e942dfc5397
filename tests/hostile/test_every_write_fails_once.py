"""Every call that writes fails once, at every place: the old file or the new one is there, whole, and it is said."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from ledger.appraisal import Appraisal
from ledger.cli import commands
from ledger.intake.gather import gather_and_appraise
from ledger.views import pdf, report, workbook
from tests.fuzz.runs import run
from tests.since.farm import farm

CALLS = ("open", "write", "fsync", "replace", "link", "rename", "chmod")
CODES = (errno.ENOSPC, errno.EACCES, errno.EIO)


class Failing:
    """Counts the calls of each kind; the nth of the wanted kind fails."""

    def __init__(self, kind: str = "", nth: int = -1, code: int = 0) -> None:
        self.kind, self.nth, self.code = kind, nth, code
        self.seen: dict[str, int] = dict.fromkeys(CALLS, 0)
        self.failed = False

    def passes(self, kind: str) -> None:
        number = self.seen[kind]
        self.seen[kind] += 1
        if kind == self.kind and number == self.nth:
            self.failed = True
            raise OSError(self.code, os.strerror(self.code))

    def wrapped(self, kind: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **named: Any) -> Any:
            if kind != "open" or args[1] & (os.O_WRONLY | os.O_RDWR | os.O_CREAT):
                self.passes(kind)
            return real(*args, **named)

        return call

    def opened(self, real: Callable[..., Any]) -> Callable[..., Any]:
        """`os.fdopen` whose file fails in the midst of its bytes."""

        def call(*args: Any, **named: Any) -> Any:
            file = real(*args, **named)
            write = file.write

            def half(content: Any) -> Any:
                try:
                    self.passes("write")
                except OSError:
                    write(content[: len(content) // 2])
                    raise
                return write(content)

            return _Half(file, half)

        return call


class _Half:
    """A file whose writing is watched."""

    def __init__(self, file: Any, write: Callable[[Any], Any]) -> None:
        self.file, self.write = file, write

    def __enter__(self) -> _Half:
        self.file.__enter__()
        return self

    def __exit__(self, *what: Any) -> Any:
        return self.file.__exit__(*what)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.file, name)


@pytest.fixture(scope="module")
def appraisal(tmp_path_factory: pytest.TempPathFactory) -> Appraisal:
    return gather_and_appraise(farm(tmp_path_factory.mktemp("answer")))


@pytest.fixture
def quick(appraisal: Appraisal, monkeypatch: pytest.MonkeyPatch) -> None:
    """The answer and its papers are made once: what is tried here is how they are written."""
    monkeypatch.setattr(commands, "_appraised", lambda *_, **__: appraisal)
    monkeypatch.setattr(workbook, "workbook_bytes", lambda _: b"PK\x03\x04 new" * 3000)
    monkeypatch.setattr(report, "report_bytes", lambda _: b"<!DOCTYPE html> new" * 3000)
    monkeypatch.setattr(pdf, "pdf_bytes", lambda _: b"%PDF new" * 3000)


def old_papers(folder: Path) -> None:
    """Papers of last year, to be replaced."""
    farm(folder)
    for name, begins in (("r.json", b"{"), ("r.xlsx", b"PK"), ("r.html", b"<!DOCTYPE html>"), ("r.pdf", b"%PDF")):
        (folder / name).write_bytes(begins + b" old" * 1000)


def farm_only(folder: Path) -> None:
    farm(folder)


RUNS: dict[str, tuple[Callable[[Path], None], Callable[[Path], list[str]]]] = {
    "note": (
        farm_only,
        lambda f: ["note", str(f / "ledger.toml"), "--date", "2026-01-31", "--for", "air tubes", "--what", "fan",
                   "--energy", "41 kWh", "--json", str(f / "n.json")],
    ),
    "appraise": (
        old_papers,
        lambda f: ["appraise", str(f / "ledger.toml"), "--json", str(f / "r.json"), "--workbook", str(f / "r.xlsx"),
                   "--report", str(f / "r.html"), "--pdf", str(f / "r.pdf"), "--force"],
    ),
    "appraise, nothing there": (
        farm_only,
        lambda f: ["appraise", str(f / "ledger.toml"), "--json", str(f / "r.json"), "--workbook", str(f / "r.xlsx"),
                   "--report", str(f / "r.html"), "--pdf", str(f / "r.pdf")],
    ),
    "start": (lambda _: None, lambda f: ["start", str(f)]),
}  # fmt: skip


def contents(folder: Path) -> dict[str, bytes]:
    return {one.name: one.read_bytes() for one in folder.iterdir() if one.is_file()}


def tried(folder: Path, name: str, failing: Failing) -> tuple[int, str, dict[str, bytes], dict[str, bytes]]:
    """A run in a fresh folder: exit code, words, files before and after."""
    prepare, call = RUNS[name]
    folder.mkdir()
    prepare(folder)
    before = contents(folder)
    with pytest.MonkeyPatch.context() as patch:
        for kind in ("open", "fsync", "replace", "link", "rename", "chmod"):
            patch.setattr(os, kind, failing.wrapped(kind, getattr(os, kind)))
        patch.setattr(os, "fdopen", failing.opened(os.fdopen))
        done = run(call(folder))
    assert not done.fault, done.fault
    return done.code, done.err, before, contents(folder)


def faults(seen: dict[str, int]) -> Iterator[tuple[str, int]]:
    for kind, count in seen.items():
        for nth in range(count):
            yield kind, nth


@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize("code", CODES, ids=lambda code: errno.errorcode[code])
@pytest.mark.parametrize("name", RUNS)
def test_the_old_file_or_the_new_one_is_there_whole(tmp_path: Path, name: str, code: int) -> None:
    counting = Failing()
    exit_code, words, _, wanted = tried(tmp_path / "clean", name, counting)
    assert exit_code == 0, words
    places = list(faults(counting.seen))
    assert len(places) >= 3
    for number, (kind, nth) in enumerate(places):
        failing = Failing(kind, nth, code)
        exit_code, words, before, after = tried(tmp_path / str(number), name, failing)
        where = f"{name}: {kind} {nth} of {counting.seen[kind]}"
        assert failing.failed, where
        assert exit_code in (0, 1, 2), where
        assert exit_code == 0 or words.strip(), where
        for file, content in after.items():
            if file.endswith(".lock"):
                continue
            assert content in (before.get(file), wanted.get(file)), f"{where}: {file} is torn"
        assert set(before) <= set(after), f"{where}: a file is gone"
        if exit_code == 0:
            assert {k: v for k, v in after.items() if k in wanted} == wanted, f"{where}: exit 0, but not all is written"


def test_a_workbook_that_is_there_stays_without_force_and_it_is_said(tmp_path: Path) -> None:
    old_papers(tmp_path)
    done = run(["appraise", str(tmp_path / "ledger.toml"), "--workbook", str(tmp_path / "r.xlsx")])
    assert done.code == 2
    assert "--force" in done.err
    assert (tmp_path / "r.xlsx").read_bytes() == b"PK" + b" old" * 1000


@pytest.mark.usefixtures("quick")
def test_a_file_that_another_program_holds_open_is_said_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What some systems answer where a spreadsheet has the workbook open."""
    old_papers(tmp_path)

    def refusing(*_: Any) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(os, "replace", refusing)
    done = run(["appraise", str(tmp_path / "ledger.toml"), "--workbook", str(tmp_path / "r.xlsx"), "--force"])
    assert done.code == 1
    assert "close it if it is open in another program" in " ".join(done.err.split())
    assert (tmp_path / "r.xlsx").read_bytes() == b"PK" + b" old" * 1000
    assert not list(tmp_path.glob(".*.part"))
