"""What a person meets before any work is done: help, usage errors, completion, version, and how light they are."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

HEAVY = ("numpy", "pandas", "polars", "scipy", "pvlib", "openpyxl", "tomlkit", "numpy_financial")
SLOW = "pydantic"  # newer versions of typer load it to turn options into values; help and slips do without

PROBE = """
import sys
sys.argv = ["warmledger", *sys.argv[1:]]
from ledger.cli import main
try:
    main()
except SystemExit as stop:
    code = stop.code or 0
loaded = sorted({name.split(".")[0] for name in sys.modules} & set(%r))
print("LOADED", code, *loaded)
"""


def run(*words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    call = [sys.executable, "-m", "ledger", *words]
    return subprocess.run(call, capture_output=True, text=True, env={**os.environ, "COLUMNS": "80", **environment})


def loaded(*words: str, of: tuple[str, ...] = HEAVY, **environment: str) -> tuple[int, set[str]]:
    call = [sys.executable, "-c", PROBE % (of,), *words]
    answer = subprocess.run(call, capture_output=True, text=True, env={**os.environ, **environment})
    last = answer.stdout.strip().split("\n")[-1].split(" ")
    assert last[0] == "LOADED", answer.stderr
    return int(last[1]), set(last[2:])


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--help",), 0),
        (("appraise", "--help"), 0),
        (("start", "--help"), 0),
        (("--version",), 0),
        (("appraise", "--no-such-option"), 2),
        (("no-such-command",), 2),
        (("start",), 2),
        (("start", "--list"), 0),
        (("check", "no-such-ledger.toml"), 2),
    ],
)
def test_help_usage_errors_and_first_refusals_load_nothing_heavy(words: tuple[str, ...], code: int) -> None:
    assert loaded(*words) == (code, set())


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("--help",), 0),
        (("appraise", "--help"), 0),
        (("note", "-h"), 0),
        (("--version",), 0),
        (("appraise", "--no-such-option"), 2),
        (("stress", "--colder"), 2),
        (("no-such-command",), 2),
    ],
)
def test_help_and_slips_do_not_wait_for_the_library_that_reads_options(words: tuple[str, ...], code: int) -> None:
    assert loaded(*words, of=(*HEAVY, SLOW)) == (code, set())


def test_what_stands_behind_two_dashes_is_no_option() -> None:
    answer = run("check", "--", "--help")
    assert answer.returncode == 2
    assert "--help: there is no such file" in answer.stderr


def test_the_ledgers_schema_is_not_loaded_for_help() -> None:
    probe = PROBE.replace("& set(%r)", "& {'ledger'} | {name for name in sys.modules if name.startswith('ledger.')}")
    answer = subprocess.run([sys.executable, "-c", probe, "appraise", "--help"], capture_output=True, text=True)
    ours = set(answer.stdout.strip().split("\n")[-1].split(" ")[2:])
    assert ours == {
        "ledger",
        "ledger.cli",
        "ledger.cli.commands",
        "ledger.cli.early",
        "ledger.cli.note",
        "ledger.cli.options",
        "ledger.cli.outputs",
        "ledger.cli.papers",
        "ledger.cli.stress",
        "ledger.errors",
        "ledger.views",
        "ledger.views.console",
    }


def completed(typed: str) -> tuple[str, ...]:
    """What a shell is offered behind the words typed so far; the last one is still open."""
    words = {"_WARMLEDGER_COMPLETE": "complete_bash", "COMP_WORDS": typed, "COMP_CWORD": str(len(typed.split(" ")) - 1)}
    answer = run(**words)
    assert (answer.returncode, answer.stderr) == (0, "")
    return tuple(answer.stdout.split())


@pytest.mark.parametrize("typed", ["warmledger ", "warmledger app", "warmledger appraise --", "warmledger note --d"])
def test_shell_completion_loads_nothing_heavy(typed: str) -> None:
    words = {"_WARMLEDGER_COMPLETE": "complete_bash", "COMP_WORDS": typed, "COMP_CWORD": str(len(typed.split(" ")) - 1)}
    assert loaded(of=(*HEAVY, SLOW), **words) == (0, set())


def test_a_shell_is_offered_commands_then_their_options() -> None:
    assert completed("warmledger ") == ("start", "check", "appraise", "compare", "seasons", "stress", "note")
    assert completed("warmledger st") == ("start", "stress")
    assert completed("warmledger stress --r") == ("--record",)
    assert "--workbook" in completed("warmledger appraise my-farm --")
    assert "--dry-run" in completed("warmledger note my-farm --date 2026-01-31 --d")


def test_behind_an_option_that_takes_a_file_the_shell_offers_files_itself() -> None:
    assert completed("warmledger appraise --json ") == ()


def test_the_program_has_its_seven_commands_and_no_stubs() -> None:
    said = run("--help").stdout
    commands = [line.split()[0] for line in said.split("Commands:")[1].strip().splitlines()]
    assert commands == ["start", "check", "appraise", "compare", "seasons", "stress", "note"]


@pytest.mark.parametrize("command", ["start", "check", "appraise", "compare", "seasons", "stress", "note"])
def test_every_help_opens_with_the_job_and_shows_a_call_that_runs(command: str) -> None:
    said = run(command, "--help").stdout
    assert f"warmledger {command} my-farm" in said
    assert not said.split("\n")[2].startswith("  Example")


def test_the_version_is_one_line() -> None:
    answer = run("--version")
    assert answer.returncode == 0
    assert answer.stdout.startswith("warmledger ")
    assert answer.stdout.count("\n") == 1


def test_without_a_command_the_help_is_shown() -> None:
    answer = run()
    assert "Usage: warmledger" in answer.stdout + answer.stderr


@pytest.mark.skipif(os.name != "posix", reason="signals are sent so on POSIX systems")
@pytest.mark.parametrize("when", ["typer", "ledger.views.console"])
def test_breaking_off_while_the_program_loads_is_said_in_a_word(when: str) -> None:
    """The interrupt comes at the very moment at which a module is asked for."""
    code = f"""
import sys
class Breaker:
    def find_spec(self, name, path=None, target=None):
        if name == {when!r}:
            raise KeyboardInterrupt
sys.meta_path.insert(0, Breaker())
from ledger.cli import main
main()
"""
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert (answer.returncode, answer.stdout, answer.stderr) == (1, "", "Stopped.\n")


@pytest.mark.skipif(os.name != "posix", reason="signals are sent so on POSIX systems")
def test_breaking_off_while_python_shuts_down_changes_nothing() -> None:
    code = """
import atexit, os, signal, sys
from ledger.cli import main
atexit.register(os.kill, os.getpid(), signal.SIGINT)
sys.argv = ["warmledger", "--version"]
main()
"""
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert (answer.returncode, answer.stderr) == (0, "")


def test_no_frames_or_colours_surround_an_error() -> None:
    said = run("appraise", "--no-such-option").stderr
    assert said.isascii()
    assert "No such option" in said
