"""A shorter run of `many_writers`: killed at random moments, and three at once."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are made by fork")
def test_killed_and_crowding_notes_lose_no_line_and_leave_whole_files() -> None:
    """In a process of its own, since that forks."""
    run = [sys.executable, "-m", "tests.note.many_writers", "25", "3", "1.5", "7"]
    answer = subprocess.run(run, cwd=ROOT, capture_output=True, text=True, timeout=3600)
    assert answer.returncode == 0, answer.stderr
    assert "kills: Figures(begun=30," in answer.stdout
    assert "3 writers" in answer.stdout
