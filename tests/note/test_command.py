"""The command: what it says, its JSON, its exit codes, the questions at a terminal."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

from typer.testing import CliRunner

from ledger.cli.commands import app
from ledger.intake.ledger_file import read_ledger
from ledger.intake.note_line import Book
from ledger.intake.note_questions import ask_line
from tests.note.farm import LEDGER, farm, note


def _call(*words: str) -> tuple[int, str, str]:
    answer = CliRunner().invoke(app, ["note", *words], env={"COLUMNS": "80"})
    return answer.exit_code, answer.stdout, answer.stderr


def test_a_line_is_noted_and_said(tmp_path: Path) -> None:
    path = farm(tmp_path)
    code, said, complained = _call(str(tmp_path), "--date", "2025-12-31", "--for", "tank", "--energy", "9 kWh")
    assert (code, complained) == (0, "")
    at = read_ledger(path).ledger.running[-1].line
    assert f"2025-12-31, tank, 9 kWh (line {at})" in said
    assert "ledger.toml.before" in said


def test_json_alone_goes_to_standard_output_and_names_no_folder(tmp_path: Path) -> None:
    farm(tmp_path)
    one = ("--date", "2025-12-31", "--for", "stove", "--quantity", "0.25")
    code, said, complained = _call(str(tmp_path), *one, "--json", "-")
    assert (code, complained) == (0, "")
    document = json.loads(said)
    assert document["schema"] == 1
    assert document["note"]["section"] == "running"
    assert document["note"]["added"][0]["entries"] == {"date": "2025-12-31", "for": "stove", "quantity": "0.25"}
    assert str(tmp_path) not in said


def test_a_dry_run_of_one_line_writes_nothing(tmp_path: Path) -> None:
    path = farm(tmp_path)
    code, said, _ = _call(str(tmp_path), "--date", "2025-12-31", "--for", "tank", "--amount", "9", "--dry-run")
    assert code == 0
    assert "Nothing was written" in said
    assert path.read_text(encoding="utf-8") == LEDGER


def test_slips_exit_with_2_name_the_option_and_change_nothing(tmp_path: Path) -> None:
    path = farm(tmp_path)
    bank = tmp_path / "bank.csv"
    bank.write_text("Day,Paid\nTotal,3\n2025-12-17,x\n2025-12-18,y\n", encoding="utf-8")
    for words, place in (
        ((), "--date and --for"),
        (("--for", "tank"), "--date must be given"),
        (("--date", "2025-12-31", "--for", "tank", "--energy", "9"), "--energy"),
        (("--date", "2025-12-31", "--for", "tank", "--only", "x", "--amount", "1"), "--import"),
        (("--import", str(bank), "--for", "tank"), "--columns must be given"),
        (("--import", str(bank), "--columns", "date=Day,amount=Paid"), "--for must be given"),
        (("--import", str(bank), "--columns", "date=Day,amount=Paid", "--for", "tank", "--spent"), "single line"),
        (("--import", str(tmp_path / "none.csv"), "--columns", "date=Day,amount=Paid", "--for", "tank"), "none.csv"),
    ):
        code, said, complained = _call(str(tmp_path), *words)
        assert (code, said) == (2, ""), words
        assert place in " ".join(complained.split())
        assert "To mend it:" in complained
    assert path.read_text(encoding="utf-8") == LEDGER


def test_an_export_is_noted_once(tmp_path: Path) -> None:
    farm(tmp_path)
    bank = tmp_path / "bank.csv"
    bank.write_text("Day,Paid\n2025-12-17,3.50\n2025-12-18,4.25\n", encoding="utf-8")
    words = (
        str(tmp_path),
        "--import",
        str(bank),
        "--columns",
        "date=Day,amount=Paid",
        "--for",
        "tank",
        "--what",
        "belt",
    )
    assert _call(*words)[1].count("tank, belt, paid") == 2
    code, said, _ = _call(*words)
    assert code == 0
    assert "nothing new to note" in said
    assert said.count("(line ") == 2


def test_the_questions_make_a_line_and_a_wrong_name_is_asked_again(tmp_path: Path) -> None:
    """The stove burns cords, so its question is for a quantity; an empty answer leaves an entry out."""
    path = farm(tmp_path)
    answers = iter(["", "stoev", "Stove", "cold spell", "0.25", "", "3"])
    asked: list[str] = []

    def ask(question: str, usual: str) -> str:
        asked.append(question)
        return next(answers) or usual

    line = ask_line(read_ledger(path).ledger, Book.RUNNING, ask, today=date(2026, 1, 31))
    assert 'did you mean "stove"' in asked[2]
    assert "cord" in asked[4]
    note(path, line)
    last = read_ledger(path).ledger.running[-1]
    assert (last.date, last.target, last.quantity, last.hours) == (date(2026, 1, 31), "stove", 0.25, 3.0)
    assert (last.what, last.amount) == ("cold spell", None)
