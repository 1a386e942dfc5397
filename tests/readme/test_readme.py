"""The README says what the program does: every key, unit, default, threshold, command and result, and real screens."""

from __future__ import annotations

import re

import pytest

from ledger.intake.schema import documented_keys
from tests.demo.shared import document
from tests.readme.blocks import BLOCKS, PICTURE, README, ROOT, SCREENS, picture, screen, standing

STALE = "stale: run `python -m tests.readme.update`"
NUMBER = re.compile(r"[-−]?\d[\d,]*\.?\d*")


def _text() -> str:
    return README.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", sorted(BLOCKS))
def test_a_generated_part_of_the_readme_is_what_the_program_says(name: str) -> None:
    assert standing()[name] == BLOCKS[name](), STALE


@pytest.mark.parametrize("name", sorted(SCREENS))
def test_a_screen_in_the_readme_is_what_the_demo_shows(name: str) -> None:
    """Words exactly, figures to 1 %: another platform may differ in a last digit."""
    _alike(standing()[name], screen(name))


def test_the_picture_is_the_one_that_the_report_of_the_demo_draws() -> None:
    assert f"]({PICTURE.relative_to(ROOT).as_posix()})" in _text()
    _alike(PICTURE.read_text(encoding="utf-8"), picture())


def _alike(stands: str, shown: str) -> None:
    blank = str.maketrans({" ": None, "█": None, "▌": None, "·": None, "#": None, "-": None, "─": None})
    assert NUMBER.sub("N", stands).translate(blank) == NUMBER.sub("N", shown).translate(blank), STALE
    pairs = zip(NUMBER.findall(stands), NUMBER.findall(shown), strict=True)
    for was, now in pairs:
        a, b = (float(x.replace(",", "").replace("−", "-").rstrip(".")) for x in (was, now))
        assert a == pytest.approx(b, rel=0.01, abs=1.01), STALE


def test_the_generated_parts_are_all_there() -> None:
    assert set(standing()) == set(BLOCKS) | set(SCREENS)


def test_every_key_is_documented_and_every_documented_key_is_real() -> None:
    table = standing()["keys"]
    assert table.count("\n| `") == len(documented_keys())
    assert all(key.description for key in documented_keys())


def test_every_command_and_option_is_documented() -> None:
    """Asked of the program itself, so that a hidden option would show too."""
    import typer.main
    from typer.core import TyperGroup

    from ledger.cli.commands import app

    text = standing()["commands"]
    program = typer.main.get_command(app)
    assert isinstance(program, TyperGroup)
    for name, command in program.commands.items():
        assert f"`warmledger {name}`" in text
        for parameter in command.params:
            for option in parameter.opts:
                assert option in text or option in {"--help", "-h"} or parameter.param_type_name == "argument"


@pytest.mark.parametrize("demo", ["torvena", "sorrel"])
def test_every_key_of_the_results_is_documented(demo: str) -> None:
    """Every name that stands as a key in the JSON of the demos stands in the README's list of results."""
    section = _text().split("## The results for scripts")[1].split("\n## ")[0]
    documented = set(re.findall(r"[A-Za-z0-9_-]+", section))
    by_name = {"npv_against", "fitted", "structures", "other_holds"}  # keyed by a source, a season or a name

    def names(value: object, *, free: bool = False) -> set[str]:
        if isinstance(value, list):
            return set().union(*(names(v) for v in value), set())
        if not isinstance(value, dict):
            return set()
        own = set() if free else {str(k) for k in value}
        keyed = {k for k, v in value.items() if k in by_name or (k == "seasons" and isinstance(v, dict))}
        return own.union(*(names(v, free=k in keyed) for k, v in value.items()), set())

    assert names(document(demo)) - documented == set()


def test_the_two_commands_at_the_top_are_one_line_each() -> None:
    """`.ci/run` runs both as written here, in a fresh copy of the tree and against the built wheel."""
    first, second = re.findall(r"^```sh\n(.+)\n```$", _text(), re.MULTILINE)[:2]
    assert "warmledger appraise demo/" in first
    assert "--workbook" in first
    assert "pytest" in second


def test_no_file_named_in_the_readme_is_missing() -> None:
    named = set(re.findall(r"\]\((?!https?:)([A-Za-z][\w./-]+)\)", _text()))
    assert [name for name in named if not (ROOT / name).exists()] == []
