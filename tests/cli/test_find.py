"""When no ledger is named, the only one of the folder is meant; anything else is asked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.errors import LedgerError
from ledger.intake.find import find_ledger

LEDGER = "[site]\nlatitude = 46\n[house]\n[hold]\n"


def write(folder: Path, name: str, text: str = LEDGER) -> Path:
    path = folder / name
    path.write_bytes(text.encode("utf-8") if isinstance(text, str) else text)
    return path


def test_the_only_ledger_of_the_folder_is_found_among_other_files(tmp_path: Path) -> None:
    mine = write(tmp_path, "farm.toml")
    write(tmp_path, "settings.toml", "[tool.other]\nx = 1\n")
    write(tmp_path, "notes.txt", LEDGER)
    assert find_ledger(None, folder=tmp_path) == mine


def test_a_ledger_with_a_fault_of_syntax_is_still_the_ledger(tmp_path: Path) -> None:
    mine = write(tmp_path, "farm.toml", LEDGER + "length = 12,5\n")
    assert find_ledger(None, folder=tmp_path) == mine


def test_a_folder_may_be_named_in_its_ledgers_stead(tmp_path: Path) -> None:
    mine = write(tmp_path, "farm.toml")
    assert find_ledger(tmp_path, folder=Path("nowhere")) == mine


def test_two_ledgers_are_named_and_one_is_asked_for(tmp_path: Path) -> None:
    write(tmp_path, "a.toml")
    write(tmp_path, "b.toml")
    with pytest.raises(LedgerError) as refusal:
        find_ledger(None, folder=tmp_path)
    assert "a.toml, b.toml" in refusal.value.complaints[0].what


def test_an_empty_folder_is_answered_with_how_to_begin(tmp_path: Path) -> None:
    with pytest.raises(LedgerError) as refusal:
        find_ledger(None, folder=tmp_path)
    assert "warmledger start" in refusal.value.complaints[0].mend


def test_a_slip_in_the_name_is_answered_with_what_is_there(tmp_path: Path) -> None:
    write(tmp_path, "farm.toml")
    with pytest.raises(LedgerError) as refusal:
        find_ledger(tmp_path / "frm.toml", folder=tmp_path)
    assert "farm.toml" in refusal.value.complaints[0].mend


def test_a_ledger_in_two_byte_text_is_found(tmp_path: Path) -> None:
    (tmp_path / "farm.toml").write_bytes(b"\xff\xfe" + LEDGER.encode("utf-16-le"))
    assert find_ledger(None, folder=tmp_path).name == "farm.toml"


def test_a_folder_that_ends_like_a_ledger_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "old.toml").mkdir()
    mine = write(tmp_path, "farm.toml")
    assert find_ledger(None, folder=tmp_path) == mine
