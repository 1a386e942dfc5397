"""`check --since`: what changed between two appraisals, and what each change alone did to the answer."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from ledger.errors import LedgerError
from ledger.intake.since import changed_entries, changed_files, put_back, read_earlier
from ledger.model.changes import Change, FileChange
from tests.fuzz.runs import run
from tests.since.farm import LEDGER, farm


@pytest.fixture(scope="module")
def results(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Results of the farm as it was."""
    folder = tmp_path_factory.mktemp("was")
    done = run(["appraise", str(farm(folder)), "--json", str(folder / "was.json"), "--quiet"])
    assert done.code == 0, done.err + done.crash
    return folder / "was.json"


def compared(folder: Path, results: Path) -> dict[str, Any]:
    done = run(["check", str(folder / "ledger.toml"), "--since", str(results), "--json", "-"])
    assert done.code == 0, done.err + done.crash
    found: dict[str, Any] = json.loads(done.out)["since"]
    return found


def test_nothing_changed_is_said_and_leaves_no_rest(tmp_path: Path, results: Path) -> None:
    farm(tmp_path, LEDGER + "# a remark\n")
    since = compared(tmp_path, results)
    assert since["inputs"] == since["files"] == []
    assert since["ledger_changed"] is True
    assert since["was"] == since["now"]
    assert (since["rest_npv"], since["rest_avoided_kwh"]) == pytest.approx((0, 0), abs=1e-5)


def test_one_changed_price_explains_the_whole_change_of_worth(tmp_path: Path, results: Path) -> None:
    farm(tmp_path, LEDGER.replace("price = 0.2", "price = 0.3"))
    since = compared(tmp_path, results)
    (change,) = since["inputs"]
    assert (change["path"], change["was"], change["now"]) == ("source[electric heater].price", "0.2", "0.3")
    assert change["npv_effect"] == pytest.approx(since["now"]["npv"] - since["was"]["npv"])
    assert change["npv_effect"] > 0
    assert change["avoided_kwh_effect"] == 0
    assert since["rest_npv"] == pytest.approx(0, abs=1e-6)


def test_a_new_item_moves_the_worth_by_its_price_less_what_is_left_of_it(tmp_path: Path, results: Path) -> None:
    """500 spent at the base date; after 20 of the build's 30 years a third is left, at prices of then, discounted.

    −500 + 500 · 10/30 · (1.02/1.05)^20 = −500 + 93.34 = −406.66
    """
    item = '[[build.item]]\ndate = 2025-07-01\nwhat = "fan"\namount = 500\nresidual = 0\n'
    farm(tmp_path, LEDGER.replace("[[build.before]]", f"{item}[[build.before]]"))
    (change,) = compared(tmp_path, results)["inputs"]
    assert change["path"] == "build[air tubes].item[2025-07-01 fan]"
    assert change["change"] == "added"
    assert change["npv_effect"] == pytest.approx(-500 + 500 / 3 * (1.02 / 1.05) ** 20)


def test_a_house_that_changed_moves_heat_and_worth_and_two_changes_leave_a_rest_together(
    tmp_path: Path, results: Path
) -> None:
    changed = LEDGER.replace("air_changes = 2", "air_changes = 3").replace("price = 0.2", "price = 0.3")
    farm(tmp_path, changed)
    since = compared(tmp_path, results)
    heat = {one["path"].split(".")[-1]: one["avoided_kwh_effect"] for one in since["inputs"]}
    assert heat["price"] == 0
    assert heat["air_changes"] == pytest.approx(since["now"]["avoided_kwh"] - since["was"]["avoided_kwh"])
    total = since["now"]["npv"] - since["was"]["npv"]
    parts = sum(one["npv_effect"] for one in since["inputs"])
    assert since["rest_npv"] == pytest.approx(total - parts)
    assert abs(since["rest_npv"]) > 1


def test_other_rows_in_the_log_are_named_by_the_hash_of_the_file(tmp_path: Path, results: Path) -> None:
    farm(tmp_path, indoor=5.0)
    since = compared(tmp_path, results)
    assert since["files"] == [{"file": "log.csv", "change": "changed"}]
    assert since["inputs"] == []
    done = run(["check", str(tmp_path / "ledger.toml"), "--since", str(results)])
    assert "log.csv: holds other rows" in done.out.decode()
    assert "The rest, from other log files" in done.out.decode()


def test_a_change_that_cannot_be_put_back_alone_says_so(tmp_path: Path, results: Path) -> None:
    """A source of another name: the old one put back beside it is no ledger's doubt, the new one taken out is."""
    farm(tmp_path, LEDGER.replace('name = "electric heater"', 'name = "stove"'))
    since = compared(tmp_path, results)
    assert {one["change"] for one in since["inputs"]} == {"added", "removed"}
    assert any(one["npv_effect"] is None for one in since["inputs"])


@pytest.mark.parametrize("text", ["", "{", "[]", "{}", '{"schema": 1, "program": {"name": "x", "version": "1"}}', "\0"])
def test_what_is_no_result_of_an_appraisal_is_refused(tmp_path: Path, text: str) -> None:
    (tmp_path / "r.json").write_text(text, encoding="utf-8")
    with pytest.raises(LedgerError) as caught:
        read_earlier(tmp_path / "r.json")
    assert "appraise --json" in caught.value.complaints[0].mend


def test_results_that_are_not_there_are_refused_before_the_log_is_read(tmp_path: Path) -> None:
    done = run(["check", str(farm(tmp_path)), "--since", str(tmp_path / "none.json")])
    assert done.code == 2
    assert "none.json" in done.err


def test_results_of_the_check_are_no_answer(tmp_path: Path) -> None:
    run(["check", str(farm(tmp_path)), "--json", str(tmp_path / "c.json")])
    assert run(["check", str(tmp_path / "ledger.toml"), "--since", str(tmp_path / "c.json")]).code == 2


def test_a_row_wholly_new_is_one_change() -> None:
    was = {"a.x": "1", "build[t].name": '"t"'}
    now = {"a.x": "2", "build[t].name": '"t"', "build[t].item[i].what": '"i"', "build[t].item[i].amount": "5"}
    assert changed_entries(was, now) == [("a.x", Change.CHANGED), ("build[t].item[i]", Change.ADDED)]
    assert changed_entries(now, was) == [("a.x", Change.CHANGED), ("build[t].item[i]", Change.REMOVED)]
    assert put_back("build[t].item[i]", was, now) == {"a.x": "2", "build[t].name": '"t"'}
    assert put_back("a.x", was, now) == {**now, "a.x": "1"}


def test_files_are_told_apart_by_name_and_hash() -> None:
    assert changed_files({"a": "1", "b": "2"}, {"b": "3", "c": "4"}) == [
        FileChange("c", Change.ADDED), FileChange("a", Change.REMOVED), FileChange("b", Change.CHANGED),
    ]  # fmt: skip
