"""The same ledger gives the same bytes, whatever order the machine keeps its sets in."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from ledger.intake.start import begin


def test_json_workbook_and_screen_do_not_hang_on_the_seed_of_hashes(tmp_path: Path) -> None:
    begun = begin(tmp_path, template="tubes-and-tank", log=None, ask=None)
    begun.path.write_text(begun.text, encoding="utf-8")
    answers = []
    for seed in ("1", "2"):
        book, results = tmp_path / f"{seed}.xlsx", tmp_path / f"{seed}.json"
        call = [
            sys.executable,
            "-m",
            "ledger",
            "appraise",
            str(begun.path),
            "--json",
            str(results),
            "--workbook",
            str(book),
        ]
        done = subprocess.run(call, capture_output=True, env={**os.environ, "PYTHONHASHSEED": seed}, check=True)
        answers.append((done.stdout, results.read_bytes(), book.read_bytes()))
    assert answers[0] == answers[1]
