"""Every command on a real chain, from the ledger's text to the screen, JSON and workbook."""

from __future__ import annotations

import io
import json
import math
import os
import subprocess
import sys
from pathlib import Path

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from ledger.cli.commands import app
from ledger.views.row import HEADLINES
from tests.small_house import GABLE, SITE
from tests.views.test_json_view import CONTRACT

LEAST = f"""
[ledger]
title = "Stony ledge house"
currency = "EUR"
{SITE}{GABLE}cover = "twin-wall polycarbonate 10 mm"
[hold]
temperature = "4 degC"
[[build]]
name = "water tank"
[[build.item]]
date = 2025-08-01
what = "tank"
amount = 900
[[source]]
name = "electric heater"
kind = "electric resistance"
unit = "kWh"
price = 0.2
[[log]]
file = "station.csv"
indoor = {{ column = "Inside", unit = "degC" }}
outdoor = {{ column = "Outside", unit = "degC" }}
"""


def station(days: int) -> str:
    """Readings every 30 minutes from 2025-12-01 local: 3 ± 4 °C indoors, 7 K colder and wider outdoors; made up."""
    lines = ["Time,Inside,Outside"]
    for step in range(days * 48):
        day, half = divmod(step, 48)
        wave = math.cos((half - 28) / 48 * 2 * math.pi)
        inside, outside = 3 + 4 * wave + 0.013 * (step % 7), -4 + 6 * wave + 0.017 * (step % 5)
        lines.append(f"2025-12-{day + 1:02d} {half // 2:02d}:{half % 2 * 30:02d},{inside:.2f},{outside:.2f}")
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("farm")
    (folder / "ledger.toml").write_text(LEAST, encoding="utf-8")
    (folder / "station.csv").write_text(station(20), encoding="utf-8")
    return folder


def call(*words: str) -> tuple[int, str, str]:
    answer = CliRunner().invoke(app, list(words), env={"COLUMNS": "80"})
    return answer.exit_code, answer.stdout, answer.stderr


def test_the_least_ledger_is_answered_with_not_yet_known(farm: Path) -> None:
    """Under 30 lines of ledger and one log: an answer, and since only a lift is assumed, no verdict."""
    code, said, _ = call("appraise", str(farm))
    assert code == 0
    assert "Whether it pays is not yet known." in said
    for words in HEADLINES.values():
        assert words in said


@pytest.mark.parametrize("command", ["check", "appraise", "compare", "seasons"])
def test_json_on_standard_output_is_only_json(command: str, farm: Path) -> None:
    code, said, complained = call(command, str(farm), "--json", "-")
    assert (code, complained) == (0, "")
    document = json.loads(said)
    assert document["schema"] == 1
    assert str(farm) not in said
    assert "NaN" not in said


def test_every_key_of_the_contract_comes_out_of_the_real_chain(farm: Path) -> None:
    document = json.loads(call("appraise", str(farm), "--json", "-")[1])
    for path in ("", "house", "log", "seasons", "seasons.rungs", "typical_year", "capital", "worth", "plans"):
        node = document
        for part in path.split(".") if path else []:
            node = node[part]
            node = node[0] if isinstance(node, list) else node
        assert set(CONTRACT[path].split()) <= set(node), path


def test_two_folders_give_the_same_bytes(farm: Path, tmp_path: Path) -> None:
    for name in ("ledger.toml", "station.csv"):
        (tmp_path / name).write_bytes((farm / name).read_bytes())
    call("appraise", str(farm), "--json", str(tmp_path / "one.json"))
    call("appraise", str(tmp_path / "ledger.toml"), "--json", str(tmp_path / "two.json"))
    assert (tmp_path / "one.json").read_bytes() == (tmp_path / "two.json").read_bytes()


def test_a_json_file_is_replaced_and_the_answer_is_still_shown(farm: Path, tmp_path: Path) -> None:
    target = tmp_path / "result.json"
    target.write_text("{}")
    code, said, _ = call("appraise", str(farm), "--json", str(target))
    assert code == 0
    assert "What did it cost?" in said
    assert json.loads(target.read_text(encoding="utf-8"))["schema"] == 1


def test_a_workbook_holds_what_the_json_says_and_is_replaced_only_by_force(farm: Path, tmp_path: Path) -> None:
    target = tmp_path / "farm.xlsx"
    code, said, _ = call("appraise", str(farm), "--workbook", str(target), "--json", "-")
    assert code == 0
    document = json.loads(said)
    page = load_workbook(io.BytesIO(target.read_bytes()))["worth"]
    filed = {row[5].value: row[2].value for row in page.iter_rows() if row[5].value}
    assert filed["capital.net"] == document["capital"]["net"]
    assert filed["worth.npv"] == pytest.approx(document["worth"]["npv"])
    assert filed["typical_year.avoided_kwh"] == pytest.approx(document["typical_year"]["avoided_kwh"])
    before = target.read_bytes()
    code, _, complained = call("appraise", str(farm), "--workbook", str(target))
    assert code == 2
    assert "--force" in complained
    assert target.read_bytes() == before
    assert call("appraise", str(farm), "--workbook", str(target), "--force")[0] == 0
    assert target.read_bytes() == before, "the same answer makes the same bytes"


@pytest.mark.parametrize("option", ["--json", "--workbook"])
def test_a_place_that_cannot_be_written_is_refused_before_any_work(option: str, farm: Path, tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "none" / "x.xlsx"):
        code, said, complained = call("appraise", str(farm), option, str(place))
        assert (code, said) == (2, "")
        assert "To mend it:" in complained


def test_neither_the_ledger_nor_a_log_is_ever_replaced_by_a_result(farm: Path) -> None:
    before = {name: (farm / name).read_bytes() for name in ("ledger.toml", "station.csv")}
    for name in before:
        code, _, complained = call("check", str(farm), "--json", str(farm / name))
        assert code == 2
        assert "give another name" in complained
        assert call("appraise", str(farm), "--workbook", str(farm / name), "--force")[0] == 2
    assert {name: (farm / name).read_bytes() for name in before} == before


@pytest.mark.parametrize("template", ["layers-and-screen", "planned-build", "tubes-and-tank"])
def test_right_after_start_every_command_answers(template: str, tmp_path: Path) -> None:
    assert call("start", str(tmp_path), "--template", template)[0] == 0
    for command in ("check", "appraise", "compare", "seasons"):
        code, said, complained = call(command, str(tmp_path))
        assert (code, complained) == (0, ""), command
        assert said.strip()
    document = json.loads(call("appraise", str(tmp_path), "--json", "-")[1])
    assert document["typical_year"]["basis"] == "expected"
    assert document["worth"]["verdict"] == "not yet known"
    assert any(plan["rank"] is not None for plan in document["plans"])


def test_all_faults_of_a_ledger_come_in_one_go_with_lines_and_mends(farm: Path, tmp_path: Path) -> None:
    text = (
        LEAST.replace('"4 degC"', "4").replace("price = 0.2", "prise = 0.2").replace("latitude = 46", "latitude = 146")
    )
    (tmp_path / "ledger.toml").write_text(text, encoding="utf-8")
    code, said, complained = call("check", str(tmp_path))
    assert (code, said) == (2, "")
    assert complained.count("To mend it:") >= 3
    assert "ledger.toml, line" in complained
    assert str(farm) not in complained


def test_a_fault_of_syntax_is_told_alone_with_a_caret(tmp_path: Path) -> None:
    (tmp_path / "ledger.toml").write_text(LEAST.replace("latitude = 46", "latitude = 46,5"), encoding="utf-8")
    code, _, complained = call("appraise", str(tmp_path))
    assert code == 2
    lines = complained.splitlines()
    caret = next(i for i, line in enumerate(lines) if line.strip() == "^")
    assert lines[caret - 1].strip() == "latitude = 46,5"
    assert lines[caret - 1][lines[caret].index("^")] in ",4"


def test_a_missing_log_is_told_with_the_mend(tmp_path: Path) -> None:
    (tmp_path / "ledger.toml").write_text(LEAST, encoding="utf-8")
    code, _, complained = call("check", str(tmp_path))
    assert code == 2
    assert "station.csv" in complained


def test_the_ledger_of_the_folder_is_taken_when_none_is_named(farm: Path) -> None:
    answer = subprocess.run(
        [sys.executable, "-m", "ledger", "check"], cwd=farm, capture_output=True, text=True,
        env={**os.environ, "COLUMNS": "40", "PYTHONIOENCODING": "ascii"},
    )  # fmt: skip
    assert answer.returncode == 0, answer.stderr
    assert answer.stdout.isascii()
    assert max(len(line) for line in answer.stdout.splitlines()) <= 40


@pytest.mark.parametrize("title", ["\\u001b[2J\\u001b]0;x\\u0007House", "House\\u202eesuoh", "=HYPERLINK(1) <script>"])
def test_text_of_the_ledger_reaches_the_screen_harmless_or_is_refused(title: str, farm: Path, tmp_path: Path) -> None:
    (tmp_path / "ledger.toml").write_text(LEAST.replace("Stony ledge house", title), encoding="utf-8")
    (tmp_path / "station.csv").write_bytes((farm / "station.csv").read_bytes())
    for command in ("check", "compare"):
        code, said, complained = call(command, str(tmp_path))
        assert code in (0, 2)
        assert all(c.isprintable() or c == "\n" for c in said + complained)
