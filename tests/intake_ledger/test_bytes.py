"""Files as editors leave them: marks, encodings, line ends, and things that are no ledger at all."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

import pytest

from ledger.errors import Complaint, LedgerError
from ledger.intake import ledger_bytes, ledger_file
from ledger.intake.ledger_file import read_ledger
from tests.intake_ledger.test_least_ledger import LEAST


def complaint(path: Path) -> Complaint:
    with pytest.raises(LedgerError) as caught:
        read_ledger(path)
    assert len(caught.value.complaints) == 1
    assert str(path.parent) not in str(caught.value)
    return caught.value.complaints[0]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_a_ledger_reads_in_every_unicode_encoding_with_or_without_a_mark(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "farm.toml"
    path.write_bytes((LEAST + "# Bärlauch\n").encode(encoding))
    reading = read_ledger(path)
    assert reading.ledger.site.elevation_m == 1450.0
    assert reading.text.endswith("# Bärlauch\n")
    assert reading.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_line_ends_of_all_systems_give_the_same_ledger(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_bytes(LEAST.encode())
    unix = read_ledger(path).ledger
    path.write_bytes(LEAST.replace("\n", "\r\n").encode())
    assert read_ledger(path).ledger == unix


def test_lines_are_counted_alike_under_all_line_ends(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_bytes(LEAST.replace("price = 0.30", "price = 0,30").replace("\n", "\r\n").encode())
    found = complaint(path)
    assert found.place.line == 24
    assert "\r" not in found.excerpt


def test_a_file_in_an_old_code_page_names_the_line_and_the_encoding_to_save_it_in(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_bytes((LEAST + "# B").encode() + b"\xe4rlauch\n")
    found = complaint(path)
    assert found.place.line == len(LEAST.splitlines()) + 1
    assert "UTF-8" in found.mend
    assert found.excerpt == "# B\n   ^"


def test_a_nul_sign_names_its_line(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_bytes(LEAST.encode() + b"# a\0b\n")
    found = complaint(path)
    assert found.place.line == len(LEAST.splitlines()) + 1
    assert "NUL" in found.what


def test_a_picture_is_no_ledger(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20)
    assert "not UTF-8" in complaint(path).what


def test_a_folder_is_answered_with_the_file_to_name(tmp_path: Path) -> None:
    folder = tmp_path / "farm"
    folder.mkdir()
    found = complaint(folder)
    assert "folder" in found.what
    assert "ledger.toml" in found.mend


def test_a_missing_file_is_answered_with_the_one_that_is_there(tmp_path: Path) -> None:
    (tmp_path / "terrace.toml").write_text(LEAST, encoding="utf-8")
    found = complaint(tmp_path / "terace.toml")
    assert "no such file" in found.what
    assert "terrace.toml" in found.mend


def test_a_missing_file_in_an_empty_folder_is_answered_with_the_command_that_writes_one(tmp_path: Path) -> None:
    assert "start" in complaint(tmp_path / "farm.toml").mend


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "farm.toml"
    path.write_text("# " + "x" * 2000, encoding="utf-8")
    monkeypatch.setattr(ledger_file, "LARGEST_BYTES", 1000)
    assert "at most" in complaint(path).what


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="named pipes are not on every system")
def test_a_pipe_is_refused_instead_of_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "farm.toml")
    assert "no plain file" in complaint(tmp_path / "farm.toml").what


def test_a_name_with_a_nul_sign_is_answered_with_words(tmp_path: Path) -> None:
    with pytest.raises(LedgerError):
        read_ledger(tmp_path / "farm\0.toml")


def test_half_a_file_ends_in_words(tmp_path: Path) -> None:
    path = tmp_path / "farm.toml"
    for cut in range(1, len(LEAST), 7):
        path.write_text(LEAST[:cut], encoding="utf-8")
        with pytest.raises(LedgerError):
            read_ledger(path)


def test_no_mark_at_all_is_taken_as_utf_8() -> None:
    assert ledger_bytes.text_of(b"", "farm.toml") == ""
    assert ledger_bytes.text_of("# °".encode(), "farm.toml") == "# °"
