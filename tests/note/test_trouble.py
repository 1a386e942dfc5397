"""A folder that may not be written, a full disk, links, killed runs, another system's ways: the ledger stays whole."""

from __future__ import annotations

import errno
import os
import resource
import signal
import stat
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path, PureWindowsPath

import pytest

from ledger.errors import LedgerError, OutputError, WarmledgerError
from ledger.intake import note as noting
from ledger.intake.ledger_file import read_ledger
from tests.note.farm import LEDGER, farm, line, note

POSIX = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are made by fork")
NOBODY = 65534


def _in_a_process(act: Callable[[], None]) -> int:
    """The exit code of a process of its own that does something: 0 where it passed, 1 where it failed."""
    child = os.fork()
    if child == 0:
        code = 1
        try:
            act()
            code = 0
        except BaseException as problem:  # told by the exit code; nothing may run on in the child
            os.write(2, f"{problem!r}\n".encode())
        finally:
            os._exit(code)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _left(folder: Path) -> list[str]:
    return sorted(one.name for one in folder.iterdir())


@POSIX
def test_a_read_only_folder_is_told_in_words_and_nothing_is_changed() -> None:
    """As a user who is not root, whom no mode stops."""
    note_before = LEDGER
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = farm(folder)
        path.chmod(0o644)
        folder.chmod(0o555)

        def act() -> None:
            if os.geteuid() == 0:
                os.setuid(NOBODY)
            with pytest.raises(OutputError) as told:
                note(path, line(energy="1 kWh"))
            assert "may not be written" in told.value.complaints[0].what
            assert "nothing was changed" in told.value.complaints[0].mend

        assert _in_a_process(act) == 0
        folder.chmod(0o755)
        assert path.read_text(encoding="utf-8") == note_before
        assert _left(folder) == ["ledger.toml"]


@POSIX
def test_a_lock_that_another_user_left_behind_does_not_block() -> None:
    """Two growers keep one book: whoever may write the ledger may take its lock."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = farm(folder)
        folder.chmod(0o777)
        path.chmod(0o666)
        note(path, line(what="the first grower's", energy="1 kWh"))

        def act() -> None:
            if os.geteuid() == 0:
                os.setuid(NOBODY)
            note(path, line(what="the second grower's", energy="1 kWh"))

        assert _in_a_process(act) == 0
        assert len(read_ledger(path).ledger.running) == 3


@POSIX
def test_a_protected_ledger_in_an_open_folder_is_not_replaced() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        note(farm(folder), line(energy="1 kWh"))  # so that all that is read for it is read before the user changes
        for name in ("ledger.toml.before", ".ledger.toml.lock"):
            (folder / name).unlink(missing_ok=True)
        path = farm(folder)
        path.chmod(0o444)
        folder.chmod(0o777)

        def act() -> None:
            if os.geteuid() == 0:
                os.setuid(NOBODY)
            with pytest.raises(OutputError, match="protected"):
                note(path, line(energy="1 kWh"))

        assert _in_a_process(act) == 0
        assert path.read_text(encoding="utf-8") == LEDGER


def _fails_at(number: int, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Let the n-th call that touches the disk under the ledger's folder fail for want of room; the calls so far."""
    made: list[str] = []

    def failing(name: str) -> Callable[..., object]:
        real = getattr(os, name)

        def call(*given: object, **more: object) -> object:
            if name != "open" or (isinstance(given[1], int) and given[1] & (os.O_CREAT | os.O_WRONLY)):
                made.append(name)
                if len(made) == number:
                    raise OSError(errno.ENOSPC, "no room")
            return real(*given, **more)

        return call

    for name in ("open", "fsync", "replace", "link"):
        monkeypatch.setattr(os, name, failing(name))
    return made


@pytest.mark.parametrize("number", range(1, 12))
def test_whichever_call_finds_the_disk_full_the_ledger_is_the_old_or_the_new_one(
    number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A note opens its lock, then twice a file beside, flushes and renames it, and flushes the folder."""
    path = farm(tmp_path)
    with monkeypatch.context() as patched:
        made = _fails_at(number, patched)
        try:
            note(path, line(what="the line", energy="1 kWh"))
            noted = True
        except OutputError:
            noted = False
    names = [one.what for one in read_ledger(path).ledger.running]
    assert names == (["pump", "the line"] if noted else ["pump"]), made
    assert noted or path.read_text(encoding="utf-8") == LEDGER
    assert [name for name in _left(tmp_path) if name.endswith(".part")] == []
    note(path, line(what="after it", energy="1 kWh"))
    assert read_ledger(path).ledger.running[-1].what == "after it"


def test_a_full_disk_is_told_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = farm(tmp_path)
    with monkeypatch.context() as patched:
        _fails_at(3, patched)
        with pytest.raises(OutputError, match="disk is full") as told:
            note(path, line(energy="1 kWh"))
    assert "nothing was changed" in told.value.complaints[0].mend


@POSIX
@pytest.mark.parametrize("room", [0, 100, len(LEDGER.encode()) - 1, len(LEDGER.encode()) + 10])
def test_a_write_that_breaks_off_in_the_middle_leaves_the_old_ledger(room: int, tmp_path: Path) -> None:
    """The system itself stops the file at so many bytes: in the backup, or in the new ledger behind it."""
    path = farm(tmp_path)

    def act() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
        with pytest.raises(OutputError):
            note(path, line(what="a line that has no room" * 10, energy="1 kWh"))

    assert _in_a_process(act) == 0
    assert path.read_text(encoding="utf-8") == LEDGER
    assert [name for name in _left(tmp_path) if name.endswith(".part")] == []


def test_a_chain_of_links_in_other_folders_is_followed_to_the_real_file(tmp_path: Path) -> None:
    for name in ("real", "one", "two"):
        (tmp_path / name).mkdir()
    real = farm(tmp_path / "real")
    try:
        (tmp_path / "one" / "farm.toml").symlink_to("../real/ledger.toml")
        (tmp_path / "two" / "ours.toml").symlink_to("../one/farm.toml")
    except OSError:
        pytest.skip("links may not be made here")
    note(tmp_path / "two" / "ours.toml", line(energy="1 kWh"))
    assert len(read_ledger(real).ledger.running) == 2
    assert _left(tmp_path / "one") == ["farm.toml"]
    assert _left(tmp_path / "two") == ["ours.toml"]
    assert (tmp_path / "two" / "ours.toml").is_symlink()
    assert (tmp_path / "real" / "ledger.toml.before").read_text(encoding="utf-8") == LEDGER


@pytest.mark.parametrize("target", ["nowhere.toml", "farm.toml"])
def test_a_link_to_nowhere_or_to_itself_is_told_in_words(target: str, tmp_path: Path) -> None:
    link = tmp_path / "farm.toml"
    try:
        link.symlink_to(target)
    except OSError:
        pytest.skip("links may not be made here")
    with pytest.raises(WarmledgerError) as told:
        note(link, line(energy="1 kWh"))
    assert told.value.complaints[0].mend
    assert link.is_symlink()


def test_a_backup_that_is_a_link_is_not_written_through(tmp_path: Path) -> None:
    """Somebody's other file stands behind the backup's name: only the link is taken away."""
    path, other = farm(tmp_path), tmp_path / "letter.txt"
    other.write_text("dear bank", encoding="utf-8")
    try:
        (tmp_path / "ledger.toml.before").symlink_to(other)
    except OSError:
        pytest.skip("links may not be made here")
    note(path, line(energy="1 kWh"))
    assert other.read_text(encoding="utf-8") == "dear bank"
    assert (tmp_path / "ledger.toml.before").read_text(encoding="utf-8") == LEDGER


@pytest.mark.parametrize("ended", [True, False])
def test_carriage_returns_a_mark_and_no_last_line_end_stay(ended: bool, tmp_path: Path) -> None:
    text = LEDGER if ended else LEDGER.rstrip("\n")
    before = b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode()
    path = farm(tmp_path, before)
    note(path, line(energy="1 kWh"))
    after = path.read_bytes()
    assert after.startswith(b"\xef\xbb\xbf# Sill Barn")
    assert after.count(b"\xef\xbb\xbf") == 1
    assert after.count(b"\n") == after.count(b"\r\n")
    assert after.endswith(b"\r\n") is ended
    kept = iter(after.split(b"\r\n"))
    assert all(any(old == now for now in kept) for old in before.split(b"\r\n"))


def test_a_book_at_the_very_end_without_a_last_line_end_takes_its_line_behind_it(tmp_path: Path) -> None:
    bare = LEDGER[: LEDGER.index("# a last word")].rstrip("\n")
    path = farm(tmp_path, b"\xef\xbb\xbf" + bare.replace("\n", "\r\n").encode())
    note(path, line(what="pump 2", energy="1 kWh"))
    text = path.read_bytes().decode("utf-8-sig")
    assert text.startswith(bare.replace("\n", "\r\n") + "\r\n\r\n[[running]]\r\n")
    assert [one.what for one in read_ledger(path).ledger.running] == ["pump", "pump 2"]


def test_the_lock_that_an_earlier_run_left_behind_does_not_block(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = farm(tmp_path)
    (tmp_path / ".ledger.toml.lock").write_bytes(b"4711\n")
    monkeypatch.setattr(noting, "WAIT_S", 0.0)  # whoever finds it held gives up at once
    note(path, line(energy="1 kWh"))
    assert len(read_ledger(path).ledger.running) == 2


@POSIX
def test_the_lock_of_a_run_that_was_killed_while_it_held_it_does_not_block(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = farm(tmp_path)
    ready, tell = os.pipe()
    child = os.fork()
    if child == 0:
        with noting.locked(path):
            os.write(tell, b"held")
            time.sleep(600)
        os._exit(0)
    assert os.read(ready, 4) == b"held"
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    monkeypatch.setattr(noting, "WAIT_S", 0.0)  # whoever finds it held gives up at once
    note(path, line(energy="1 kWh"))
    assert len(read_ledger(path).ledger.running) == 2


def test_names_beside_the_ledger_are_ones_that_windows_takes_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The lock, the backup and the file beside: no sign that a path there cannot hold, no last dot, no device."""
    opened: list[str] = []
    real = os.open

    def watched(path: str | os.PathLike[str], *given: int, **more: int) -> int:
        opened.append(os.fsdecode(path))
        return real(path, *given, **more)

    monkeypatch.setattr(os, "open", watched)
    note(farm(tmp_path), line(energy="1 kWh"))
    names = {Path(one).name for one in opened if Path(one).parent == tmp_path} | set(_left(tmp_path))
    assert {"ledger.toml", "ledger.toml.before"} < names
    assert any(name.endswith(".part") for name in names)
    for name in names:
        assert not set(name) & set('<>:"/\\|?*')
        assert not name.endswith((".", " "))
        assert PureWindowsPath(name).name == name


@pytest.mark.parametrize("at", [1, 2])
def test_a_file_that_another_program_holds_open_is_told_and_the_old_ledger_stands(
    at: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows does not replace a file that is open elsewhere: the backup (1) or the ledger (2)."""
    path, calls, real = farm(tmp_path), [], os.replace

    def refusing(source: Path, target: Path) -> None:
        calls.append(target)
        if len(calls) == at:
            raise PermissionError(errno.EACCES, "The process cannot access the file", str(source), 32, str(target))
        real(source, target)

    with monkeypatch.context() as patched:
        patched.setattr(os, "replace", refusing)
        with pytest.raises(OutputError) as told:
            note(path, line(energy="1 kWh"))
    assert "open in another program" in told.value.complaints[0].mend
    assert path.read_text(encoding="utf-8") == LEDGER
    assert [name for name in _left(tmp_path) if name.endswith(".part")] == []


def test_where_a_folder_cannot_be_opened_to_be_flushed_the_line_is_noted_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows opens no folder: there is no O_DIRECTORY there."""
    monkeypatch.delattr(os, "O_DIRECTORY", raising=False)
    path = farm(tmp_path)
    note(path, line(energy="1 kWh"))
    assert len(read_ledger(path).ledger.running) == 2


def test_a_ledger_that_is_a_folder_or_is_not_there_is_told_in_words(tmp_path: Path) -> None:
    (tmp_path / "folder.toml").mkdir()
    for name in ("folder.toml", "nothing.toml"):
        with pytest.raises((LedgerError, OutputError)) as told:
            note(tmp_path / name, line(energy="1 kWh"))
        assert told.value.complaints[0].mend


@pytest.mark.skipif(sys.platform == "win32", reason="modes as on POSIX systems")
def test_the_mode_of_the_ledger_and_of_its_backup_is_the_ledgers(tmp_path: Path) -> None:
    """A ledger that only its owner may read has a backup that only its owner may read."""
    path = farm(tmp_path)
    path.chmod(0o600)
    note(path, line(energy="1 kWh"))
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "ledger.toml.before").stat().st_mode) == 0o600
