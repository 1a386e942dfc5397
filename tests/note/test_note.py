"""One line is added, everything else stays as it was, byte for byte; a line that cannot stand changes nothing."""

from __future__ import annotations

import difflib
import os
import stat
import tomllib
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ledger.errors import LedgerError, OutputError
from ledger.intake import note as noting
from ledger.intake.find import find_ledger
from ledger.intake.ledger_file import read_ledger
from ledger.intake.note_line import quoted
from tests.note.farm import LEDGER, farm, line, note, spent

POSIX = pytest.mark.skipif(os.name != "posix", reason="modes and links as on POSIX systems")


def _put_in(before: str, after: str) -> list[str]:
    """The lines that were put in; fails where any was taken out or changed."""
    steps = list(difflib.ndiff(before.split("\n"), after.split("\n")))
    assert [step for step in steps if step.startswith("- ")] == []
    return [step[2:] for step in steps if step.startswith("+ ")]


def test_a_line_goes_behind_the_last_of_its_kind_and_nothing_else_moves(tmp_path: Path) -> None:
    path = farm(tmp_path)
    noted = note(path, line(what="pump", energy="14 kWh", hours="0.5"))
    after = path.read_text(encoding="utf-8")
    assert [x for x in _put_in(LEDGER, after) if x] == [
        "[[running]]", "date = 2025-12-31", 'for = "tank"', 'what = "pump"', 'energy = "14 kWh"', "hours = 0.5",
    ]  # fmt: skip
    assert after.split("\n")[noted.starts[0] - 1] == "[[running]]"
    assert after.index('"14 kWh"') < after.index("# --- steps ---")
    assert [x.energy_kwh for x in read_ledger(path).ledger.running] == [12.0, 14.0]


def test_a_line_of_the_capital_goes_to_the_end_of_the_file(tmp_path: Path) -> None:
    path = farm(tmp_path)
    note(path, spent(amount="1,250.00"))
    after = path.read_text(encoding="utf-8")
    assert after.startswith(LEDGER)
    assert after.endswith('[[spent]]\ndate = 2025-12-31\nfor = "tank"\nwhat = "pump"\namount = "1,250.00"\n')
    assert [float(i.amount.likely) for b in read_ledger(path).ledger.builds for i in b.items] == [900.0, 1250.0]


def test_the_first_line_of_a_season_book_goes_to_the_end(tmp_path: Path) -> None:
    bare = LEDGER[: LEDGER.index("# --- the season book")] + LEDGER[LEDGER.index("# --- steps") :]
    path = farm(tmp_path, bare.rstrip("\n"))  # and no line feed stands behind the last line
    note(path, line(energy="14 kWh"))
    assert path.read_text(encoding="utf-8").startswith(bare.rstrip("\n") + "\n\n[[running]]\n")


@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16-le", "utf-16-be", "utf-16"])
def test_encoding_mark_and_line_ends_stay_as_they_were(encoding: str, line_end: str, tmp_path: Path) -> None:
    before = LEDGER.replace("Sill Barn", "Sill Bärn °").replace("\n", line_end).encode(encoding)
    path = farm(tmp_path, before)
    note(path, line(what="Pümpe", energy="14 kWh"))
    after = path.read_bytes()
    text = after.decode(encoding)
    assert text.count("\n") == text.count(line_end)
    added = text.index("[[running]]", text.index("[[running]]") + 1)
    size = len(after) - len(before)
    whole = '[[running]]\ndate = 2025-12-31\nfor = "tank"\nwhat = "Pümpe"\nenergy = "14 kWh"\n'
    assert text[added:].startswith(whole.replace("\n", line_end))
    cut = next(i for i in range(len(before)) if before[:i] + after[i : i + size] + before[i:] == after)
    assert cut > 0, "the old bytes stand, in one piece before and one behind"
    assert after[:4] == before[:4]
    assert [x.what for x in read_ledger(path).ledger.running] == ["pump", "Pümpe"]


def test_what_looks_like_a_section_inside_a_long_text_is_not_taken_for_one(tmp_path: Path) -> None:
    tricky = LEDGER.replace('what = "pump"\nenergy = "12 kWh"   # new meter', 'energy = "12 kWh"\nwhat = """pump"""')
    tricky = tricky.replace("# a last word on the pump\n", "")
    path = farm(tmp_path, tricky)
    note(path, line(energy="14 kWh"))
    assert [x.what for x in read_ledger(path).ledger.running] == ["pump", ""]


def test_a_meter_is_written_as_a_table_and_may_begin_again(tmp_path: Path) -> None:
    """99 990 to 20 on a meter of five digits is 30 kWh."""
    path = farm(tmp_path)
    note(path, line(what="meter", meter_from="99990", meter_to="20", meter_rolls_over_at="100000"))
    assert "meter = { from = 99990, to = 20, rolls_over_at = 100000 }" in path.read_text(encoding="utf-8")
    assert read_ledger(path).ledger.running[-1].energy_kwh == pytest.approx(30.0)


def test_a_replaced_meter_is_two_lines_that_share_the_days(tmp_path: Path) -> None:
    """Old meter 500 to 540 by 10 December, new one 0 to 25.5 by 31 December: 40 + 25.5 kWh on 10 + 21 days."""
    path = farm(tmp_path)
    note(path, line(date="2025-12-10", what="PUMP", meter_from="500", meter_to="540"))
    note(path, line(date="2025-12-31", what="pump", meter_from="0", meter_to="25.5"))
    *_, old, new = read_ledger(path).ledger.running
    assert (old.energy_kwh, new.energy_kwh) == (40.0, 25.5)
    assert [(one.last_day - one.first_day).days + 1 for one in (old, new)] == [10, 21]


def test_a_meter_that_runs_backwards_is_told_of_the_option_for_a_rollover(tmp_path: Path) -> None:
    with pytest.raises(LedgerError) as told:
        note(farm(tmp_path), line(meter_from="99990", meter_to="20"))
    assert "--meter-rolls-over-at 100000" in told.value.complaints[0].mend


def test_days_covered_are_kept(tmp_path: Path) -> None:
    path = farm(tmp_path)
    note(path, line(energy="9 kWh", first="2025-12-05", last="2025-12-30"))
    last = read_ledger(path).ledger.running[-1]
    assert (last.first_day.isoformat(), last.last_day.isoformat()) == ("2025-12-05", "2025-12-30")


@settings(max_examples=150, deadline=None)
@given(st.text())
def test_any_text_comes_back_as_it_was_given(text: str) -> None:
    assert tomllib.loads(f"x = {quoted(text, '--what')}\ny = 1") == {"x": text, "y": 1}


@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
@given(st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=40))
def test_text_is_data_whatever_it_holds(tmp_path: Path, text: str) -> None:
    path = farm(tmp_path)
    note(path, line(what=text, energy="1 kWh"))
    assert read_ledger(path).ledger.running[-1].what == text


@pytest.mark.parametrize(
    ("given", "place"),
    [
        ({"target": "tonk", "energy": "1 kWh"}, "--for"),
        ({"energy": "1"}, "--energy"),
        ({"energy": "1 kWh", "quantity": "2"}, "the new line"),
        ({"amount": "7,38"}, "--amount"),
        ({"amount": "7.385"}, "--amount"),
        ({"date": "31.12.2025", "amount": "1"}, "--date"),
        ({"date": "2025-02-30", "amount": "1"}, "--date"),
        ({"meter_from": "20", "meter_to": "10"}, "--meter-to"),
        ({"meter_from": "20"}, "--meter-to"),
        ({"what": "pump"}, "the new line"),
        ({"hours": "-1"}, "--hours"),
        ({"what": 'x"\n[[build]]\nname = "y"', "amount": "1"}, "--what"),
        ({"amount": "1\nhours = 3"}, "--amount"),
        ({"quantity": "1 } # "}, "--quantity"),
    ],
)
def test_a_line_that_cannot_stand_is_told_of_its_option_and_changes_nothing(
    given: dict[str, str], place: str, tmp_path: Path
) -> None:
    path = farm(tmp_path)
    with pytest.raises(LedgerError) as told:
        note(path, line(**given))
    assert place in [c.place.file for c in told.value.complaints]
    assert all(c.mend for c in told.value.complaints)
    assert path.read_text(encoding="utf-8") == LEDGER
    assert not (tmp_path / "ledger.toml.before").exists()


def test_a_ledger_with_a_fault_takes_no_line(tmp_path: Path) -> None:
    faulty = LEDGER.replace('"4 degC"', "4")
    path = farm(tmp_path, faulty)
    with pytest.raises(LedgerError) as told:
        note(path, line(energy="1 kWh"))
    assert told.value.complaints[0].place.file == "ledger.toml"
    assert path.read_text(encoding="utf-8") == faulty


def test_a_book_written_as_one_list_is_refused_with_the_mend(tmp_path: Path) -> None:
    listed = 'running = [{ date = 2025-11-30, for = "tank", energy = "12 kWh" }]\n'
    a, b = LEDGER.index("[[running]]"), LEDGER.index("# --- steps")
    path = farm(tmp_path, listed + LEDGER[:a] + LEDGER[b:])
    with pytest.raises(LedgerError, match="one list"):
        note(path, line(energy="1 kWh"))


def test_one_backup_holds_the_file_as_it_was_and_is_never_taken_for_a_ledger(tmp_path: Path) -> None:
    path = farm(tmp_path)
    note(path, line(energy="1 kWh"))
    first = path.read_bytes()
    note(path, line(energy="2 kWh"))
    assert (tmp_path / "ledger.toml.before").read_bytes() == first
    assert sorted(x.name for x in tmp_path.iterdir() if not x.name.startswith(".")) == [
        "ledger.toml",
        "ledger.toml.before",
    ]
    assert find_ledger(tmp_path, folder=tmp_path) == path


def test_the_same_line_again_is_noted_and_said(tmp_path: Path) -> None:
    path = farm(tmp_path)
    assert note(path, line(what="pump", energy="14 kWh")).like == ()
    first = note(path, line(what=" PUMP", energy="14.0 kWh"))
    assert [one.stands_at for one in first.like] == [read_ledger(path).ledger.running[1].line]
    assert len(read_ledger(path).ledger.running) == 3


@POSIX
def test_mode_and_link_stay(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "here").mkdir()
    real = farm(tmp_path / "real")
    real.chmod(0o640)
    link = tmp_path / "here" / "farm.toml"
    link.symlink_to(real)
    note(link, line(energy="1 kWh"))
    assert link.is_symlink()
    assert stat.S_IMODE(real.stat().st_mode) == 0o640
    assert len(read_ledger(real).ledger.running) == 2
    assert (tmp_path / "real" / "ledger.toml.before").exists()
    assert [x.name for x in (tmp_path / "here").iterdir()] == ["farm.toml"]


def test_what_a_killed_note_left_behind_is_swept_away_and_nothing_else(tmp_path: Path) -> None:
    path = farm(tmp_path)
    left = [".ledger.toml.0a1b2c3d.part", ".ledger.toml.before.0a1b2c3d.part"]
    other = [".ledger.toml.mine.part", ".ledger2.toml.0a1b2c3d.part", "ledger.toml.0a1b2c3d.part"]
    for name in left + other:
        (tmp_path / name).write_text("x", encoding="utf-8")
    note(path, line(energy="1 kWh"))
    assert [name for name in left if (tmp_path / name).exists()] == []
    assert [name for name in other if not (tmp_path / name).exists()] == []


def test_a_ledger_that_another_one_holds_is_waited_for_and_then_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = farm(tmp_path)
    monkeypatch.setattr(noting, "WAIT_S", 0.2)
    with noting.locked(path), pytest.raises(OutputError, match="another note"):
        note(path, line(energy="1 kWh"))
    assert path.read_text(encoding="utf-8") == LEDGER
    note(path, line(energy="1 kWh"))


@pytest.mark.parametrize("fails_at", [1, 2])
def test_a_disk_that_fails_leaves_the_old_ledger(fails_at: int, tmp_path: Path) -> None:
    """The first write is the backup's, the second the ledger's."""
    path = farm(tmp_path)
    calls = []

    def write(where: Path, content: bytes) -> None:
        calls.append(where)
        if len(calls) == fails_at:
            raise OSError(28, "no room")
        where.write_bytes(content)

    with pytest.raises(OSError, match="no room"):
        noting.note_line(path, line(energy="1 kWh"), write=write)
    assert path.read_text(encoding="utf-8") == LEDGER


def test_what_an_editor_saved_meanwhile_is_not_written_over(tmp_path: Path) -> None:
    """An editor knows nothing of the lock: here it saves while the backup is being written."""
    path = farm(tmp_path)

    def write(where: Path, content: bytes) -> None:
        where.write_bytes(content)
        path.write_text(LEDGER + "# from the editor\n", encoding="utf-8")

    with pytest.raises(OutputError, match="changed by another program"):
        noting.note_line(path, line(energy="1 kWh"), write=write)
    assert path.read_text(encoding="utf-8") == LEDGER + "# from the editor\n"
