"""Quiet: nothing on the screen, files written, faults said."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest


def run(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "ledger", *words], capture_output=True, text=True, cwd=folder)


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("quiet")
    assert run("start", "farm", folder=folder).returncode == 0
    return folder


@pytest.mark.parametrize("command", ["check", "appraise", "compare", "seasons", "stress"])
def test_a_quiet_command_shows_nothing_and_writes_what_was_asked_for(command: str, farm: Path) -> None:
    answer = run(command, "farm", "-q", "--json", f"{command}.json", folder=farm)
    assert (answer.returncode, answer.stdout, answer.stderr) == (0, "", "")
    assert json.loads((farm / f"{command}.json").read_text(encoding="utf-8"))["schema"] == 1


def test_quiet_still_gives_a_script_its_results_on_standard_output(farm: Path) -> None:
    loud = run("check", "farm", "--json", "-", folder=farm)
    quiet = run("check", "farm", "--json", "-", "--quiet", folder=farm)
    assert quiet.stdout == loud.stdout != ""


def test_quiet_still_says_what_needs_mending(tmp_path: Path) -> None:
    (tmp_path / "ledger.toml").write_text("[hold]\n[site]\nlatitude = 46,5\n", encoding="utf-8")
    answer = run("appraise", "-q", folder=tmp_path)
    assert answer.returncode == 2
    assert "line 3" in answer.stderr
    assert answer.stdout == ""


def test_a_quiet_note_is_noted(farm: Path) -> None:
    ledger = farm / "farm" / "ledger.toml"
    before = ledger.read_text(encoding="utf-8")
    build = before.split("[[build]]")[1].split('name = "')[1].split('"')[0]
    words = ("--date", "2026-11-30", "--for", build, "--what", "fan electricity", "--amount", "4.20")
    answer = run("note", "farm", "-q", *words, folder=farm)
    assert (answer.returncode, answer.stdout, answer.stderr) == (0, "", "")
    assert "4.20" in ledger.read_text(encoding="utf-8")
