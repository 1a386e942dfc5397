"""`start` writes a commented ledger that is read as it is, fills in a log's columns, and overwrites nothing."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from typer.testing import CliRunner

from ledger.cli.commands import app
from ledger.errors import LedgerError, LogError
from ledger.intake.ledger_file import read_ledger
from ledger.intake.start import Ask, begin, templates

NAMES = [one.name for one in templates()]
STATION = "Date and time,In (°F),Out (°F),Tank probe (°F),Fan\n2026-01-05 00:00,41.0,20.1,55.0,0\n" + "".join(
    f"2026-01-05 0{hour}:{minute:02d},41.{hour},20.{hour},55.0,1\n" for hour in range(1, 6) for minute in (0, 30)
)


def call(*words: str) -> tuple[int, str]:
    answer = CliRunner().invoke(app, list(words), env={"COLUMNS": "80"})
    return answer.exit_code, answer.output


def station(folder: Path, text: str = STATION) -> Path:
    log = folder / "station.csv"
    log.write_text(text, encoding="utf-8")
    return log


def test_there_are_three_templates_each_with_its_purpose() -> None:
    assert NAMES == ["layers-and-screen", "planned-build", "tubes-and-tank"]
    code, said = call("start", "--list")
    assert code == 0
    for one in templates():
        assert one.name in said
        assert one.purpose.split(",")[0] in said


@pytest.mark.parametrize("name", NAMES)
def test_a_template_is_read_without_a_fault_or_a_doubt(name: str, tmp_path: Path) -> None:
    code, said = call("start", str(tmp_path / "farm"), "--template", name)
    assert code == 0
    assert "warmledger appraise" in said
    ledger = read_ledger(tmp_path / "farm" / "ledger.toml").ledger
    assert {notice.code for notice in ledger.notices} <= {"life-beyond-study"}
    assert ledger.logs == ()


@pytest.mark.parametrize("name", NAMES)
def test_every_template_shows_how_a_log_is_named(name: str) -> None:
    text = next(one.text for one in templates() if one.name == name)
    assert "\n# [[log]]\n" in text


def test_a_second_start_leaves_the_first_ledger_alone(tmp_path: Path) -> None:
    call("start", str(tmp_path))
    mine = (tmp_path / "ledger.toml").read_text() + "# mine\n"
    (tmp_path / "ledger.toml").write_text(mine)
    code, said = call("start", str(tmp_path))
    assert code == 2
    assert "there already" in said
    assert (tmp_path / "ledger.toml").read_text() == mine


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "farm").write_text("")
    code, said = call("start", str(tmp_path / "farm"))
    assert code == 2
    assert "not a folder" in said


def test_an_unknown_template_is_answered_with_the_known_ones(tmp_path: Path) -> None:
    with pytest.raises(LedgerError) as refusal:
        begin(tmp_path, template="igloo", log=None, ask=None)
    assert "tubes-and-tank" in refusal.value.complaints[0].mend


STANDING = [name for name in NAMES if name != "planned-build"]


def test_a_log_is_not_credited_to_a_build_that_is_not_there_yet(tmp_path: Path) -> None:
    """The columns are filled in, commented out; expectation and climate still carry the answer."""
    log = station(tmp_path)
    begun = begin(tmp_path / "farm", template="planned-build", log=log, ask=None)
    typed = tomllib.loads(begun.text)
    assert begun.log_waits
    assert "log" not in typed
    assert "climate" in typed
    assert all("expected_fraction" in build for build in typed["build"])
    assert '# indoor = { column = "In (°F)", unit = "degF" }' in begun.text
    code, said = call("start", str(tmp_path / "farm"), "--template", "planned-build", "--log", str(log))
    assert code == 0
    assert "commented out" in said


@pytest.mark.parametrize("name", STANDING)
def test_the_columns_and_units_of_a_log_are_filled_in_relative_to_the_ledger(name: str, tmp_path: Path) -> None:
    station(tmp_path)
    code, said = call("start", str(tmp_path / "farm"), "--template", name, "--log", str(tmp_path / "station.csv"))
    assert code == 0
    assert "indoor is In (°F)" in said
    typed = tomllib.loads((tmp_path / "farm" / "ledger.toml").read_text(encoding="utf-8"))
    (log,) = typed["log"]
    assert log["file"] == "../station.csv"
    assert log["time"] == "Date and time"
    assert log["indoor"] == {"column": "In (°F)", "unit": "degF"}
    assert log["outdoor"] == {"column": "Out (°F)", "unit": "degF"}
    assert log["water"] == {"column": "Tank probe (°F)", "unit": "degF"}
    assert log["fan"] == {"column": "Fan"}
    assert "climate" not in typed, "the invented climate of the template must not stand beside the grower's own log"
    assert not any("expected_fraction" in build for build in typed["build"])


def test_what_the_header_does_not_say_is_asked_for_and_never_guessed(tmp_path: Path) -> None:
    """No unit for either temperature, and two columns that may be the outdoor one."""
    text = "Time,Inside,Outside north,Outside south\n2026-01-05 00:00,5.3,-7.6,-7.0\n2026-01-05 00:10,5.2,-7.7,-7.1\n"
    begun = begin(tmp_path / "farm", template="tubes-and-tank", log=station(tmp_path, text), ask=None)
    assert begun.log is not None
    assert any("outdoor is" in doubt and "Outside south" in doubt for doubt in begun.log.open_questions)
    assert any('unit of "Inside"' in doubt for doubt in begun.log.open_questions)
    assert "outdoor" not in tomllib.loads(begun.text)["log"][0]


def test_a_relative_humidity_indoors_is_not_taken_for_the_temperature(tmp_path: Path) -> None:
    text = "Time,Indoor humidity (%),Indoor temp (°C),Outdoor temp (°C)\n2026-01-05 00:00,80,5.3,-7.6\n" * 3
    begun = begin(tmp_path / "farm", template="tubes-and-tank", log=station(tmp_path, text), ask=None)
    assert begun.log is not None
    assert dict(begun.log.found)["indoor"] == "Indoor temp (°C)"
    assert dict(begun.log.found)["humidity"] == "Indoor humidity (%)"


def test_a_temperature_that_no_word_explains_is_told_and_waits_in_the_ledger(tmp_path: Path) -> None:
    """A second probe may hang in the tank: the person says so by taking the # away. A dew point is none."""
    text = "Time,Indoor (°C),Outdoor (°C),CH2 Temperature (°C),Dew Point (°C),Rain (mm)\n" + "".join(
        f"2026-01-05 0{hour}:00,5.3,-7.6,12.1,-8.0,0\n" for hour in range(6)
    )
    log = station(tmp_path, text)
    code, said = call("start", str(tmp_path / "farm"), "--log", str(log))
    assert code == 0
    assert "Not known: CH2 Temperature (°C)." in said
    assert "Dew Point" not in said
    written = (tmp_path / "farm" / "ledger.toml").read_text(encoding="utf-8")
    assert "water" not in tomllib.loads(written)["log"][0]
    taken = written.replace("# water = {", "water = {")
    assert tomllib.loads(taken)["log"][0]["water"] == {"column": "CH2 Temperature (°C)", "unit": "degC"}


def test_hostile_headers_still_give_a_file_that_is_toml(tmp_path: Path) -> None:
    text = 'Time,Inside "]=\x7f\\ (°C),Outside\x1b[31m (°C)\n2026-01-05 00:00,5.3,-7.6\n2026-01-05 00:10,5.2,-7.7\n'
    begun = begin(tmp_path / "farm", template="tubes-and-tank", log=station(tmp_path, text), ask=None)
    assert "file" in tomllib.loads(begun.text)["log"][0]
    assert "\x1b" not in begun.text


def test_a_log_that_is_not_there_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    with pytest.raises(LogError):
        begin(tmp_path / "farm", template="tubes-and-tank", log=tmp_path / "none.csv", ask=None)
    code, _ = call("start", str(tmp_path / "farm"), "--log", str(tmp_path / "none.csv"))
    assert code == 2
    assert not (tmp_path / "farm").exists()


def answering(answers: dict[str, str], asked: list[str]) -> Ask:
    def ask(question: str, usual: str) -> str:
        asked.append(question)
        return next((answer for key, answer in answers.items() if key in question), usual)

    return ask


@pytest.mark.parametrize("name", NAMES)
def test_eight_questions_make_it_ones_own_and_keep_every_comment(name: str, tmp_path: Path) -> None:
    asked: list[str] = []
    answers = {
        "called": 'The "Lee" house',
        "currency": "chf",
        "latitude": "46.8, 9.8",
        "above the sea": "1560 m",
        "time zone": "Europe/Zurich",
        "hold": "5 degC",
        "electricity": "0.27",
    }
    begun = begin(tmp_path / "farm", template=name, log=station(tmp_path), ask=answering(answers, asked))
    assert len(asked) == 8
    typed = tomllib.loads(begun.text)
    assert typed["ledger"]["title"] == 'The "Lee" house'
    assert typed["ledger"]["currency"] == "CHF"
    assert (typed["site"]["latitude"], typed["site"]["longitude"]) == (46.8, 9.8)
    assert typed["site"]["timezone"] == "Europe/Zurich"
    assert typed["hold"]["temperature"] == "5 degC"
    electric = next(one for one in typed["source"] if one["kind"] == "electric resistance")
    assert electric["price"] == 0.27
    plain = begin(tmp_path / "farm", template=name, log=tmp_path / "station.csv", ask=None).text
    comments = [line.split("#", 1)[1].strip() for line in plain.splitlines() if "#" in line]
    assert all(comment in begun.text for comment in comments if "{" not in comment)


def test_a_wrong_answer_is_asked_again_with_what_is_wrong(tmp_path: Path) -> None:
    asked: list[str] = []
    given = iter(["four degrees", "4 °C"])

    def ask(question: str, usual: str) -> str:
        asked.append(question)
        return next(given) if "hold" in question else usual

    begun = begin(tmp_path / "farm", template="tubes-and-tank", log=station(tmp_path), ask=ask)
    assert sum("hold" in question for question in asked) == 2
    assert tomllib.loads(begun.text)["hold"]["temperature"] == "4 °C"


def test_questions_left_as_they_stand_change_nothing(tmp_path: Path) -> None:
    log = station(tmp_path)
    kept = begin(tmp_path / "farm", template="tubes-and-tank", log=log, ask=lambda _question, usual: usual)
    assert kept.text == begin(tmp_path / "farm", template="tubes-and-tank", log=log, ask=None).text
