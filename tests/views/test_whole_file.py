"""A file is written whole or not at all, and none is replaced unasked."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from ledger.errors import OutputError
from ledger.views.whole_file import Existing, write_whole


def test_a_new_file_holds_the_bytes_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    write_whole(tmp_path / "a.json", b"one", existing=Existing.KEEP)
    assert (tmp_path / "a.json").read_bytes() == b"one"
    assert os.listdir(tmp_path) == ["a.json"]


def test_an_existing_file_stays_unless_it_may_be_replaced(tmp_path: Path) -> None:
    target = tmp_path / "a.xlsx"
    target.write_bytes(b"old")
    with pytest.raises(OutputError, match="there already"):
        write_whole(target, b"new", existing=Existing.KEEP)
    assert target.read_bytes() == b"old"
    write_whole(target, b"new", existing=Existing.REPLACE)
    assert target.read_bytes() == b"new"
    assert os.listdir(tmp_path) == ["a.xlsx"]


def test_a_folder_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="folder"):
        write_whole(tmp_path, b"", existing=Existing.REPLACE)


def test_a_missing_folder_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match="folder is not there"):
        write_whole(tmp_path / "no" / "a.json", b"", existing=Existing.REPLACE)


def test_a_name_no_system_takes_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(OutputError):
        write_whole(tmp_path / ("x" * 400), b"", existing=Existing.REPLACE)


@pytest.mark.skipif(os.name != "posix", reason="links are made so on POSIX systems")
def test_a_link_is_followed_so_that_the_file_behind_it_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "real.json").write_bytes(b"old")
    (tmp_path / "link.json").symlink_to(tmp_path / "real.json")
    write_whole(tmp_path / "link.json", b"new", existing=Existing.REPLACE)
    assert (tmp_path / "real.json").read_bytes() == b"new"
    assert (tmp_path / "link.json").is_symlink()


@pytest.mark.parametrize("call", ["open", "fsync", "replace", "fdopen"])
@pytest.mark.parametrize(("code", "words"), [(errno.ENOSPC, "disk is full"), (errno.EACCES, "may not be written")])
def test_when_any_step_fails_the_old_file_is_there_whole(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, call: str, code: int, words: str
) -> None:
    target = tmp_path / "a.json"
    target.write_bytes(b"old")

    def fail(*_args: object, **_named: object) -> None:
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patched:
        patched.setattr(f"ledger.views.whole_file.os.{call}", fail)
        with pytest.raises(OutputError, match=words):
            write_whole(target, b"new", existing=Existing.REPLACE)
    assert target.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["a.json"]
