"""`stress` and `compare` on a real chain: their options, their keys, what their screens say, what they refuse."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from tests.cli.test_commands import LEAST, call, station

STRESS_KEYS = "colder_k need_kwh avoided_kwh to_buy_kwh nights_short frost_hours peak_need_kw battery_hours sources"
"""Copied from the contract of the results."""

MORE = """
[[source]]
name = "wood stove"
kind = "wood stove"
unit = "cord"
price = 200
heat_per_unit = "18 MMBtu"
heat_basis = "gross"
efficiency = 0.7
capital = 2000
output = "9 kW"
hours_per_unit = 8
burn_hours = 5
needs_mains = false
[[source]]
name = "rocket mass heater"
kind = "rocket mass heater"
unit = "cord"
price = 200
heat_per_unit = "18 MMBtu"
heat_basis = "gross"
capital = 900
output = "9 kW"
hours_per_unit = 12
burn_hours = 3
[[source]]
name = "heat pump"
kind = "heat pump"
price = 0.2
capital = 3000
output = "8 kW"
cop = [[-15, 1.8], [0, 2.7]]
[labour]
rate = 12
[power]
battery = "9.6 kWh"
usable = 0.8
inverter_efficiency = 0.9
array_capital = 5000
array_life_years = 25
battery_capital = 3000
battery_life_years = 10
used_energy = "1900 kWh"
[[next]]
what = "a night screen"
amount = 300
adds = { avoided = "150 kWh" }
[[benefit]]
what = "winter greens"
amount = 400
"""


def outdoors(days: int, *, mean_c: float) -> str:
    """Readings outdoors alone, hourly from 1 December 2020, from 4 K below to 4 K above a mean; made up."""
    rows = [f"2020-12-{d + 1:02d} {h:02d}:00,{mean_c + 4 * math.cos((h - 14) / 24 * 2 * math.pi):.2f}"
            for d in range(days) for h in range(24)]  # fmt: skip
    return "\n".join(["Time,Outside", *rows]) + "\n"


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("farm")
    text = LEAST.replace('unit = "kWh"\n', 'unit = "kWh"\ncapital = 200\noutput = "6 kW"\n') + MORE
    (folder / "ledger.toml").write_text(text, encoding="utf-8")
    (folder / "station.csv").write_text(station(20), encoding="utf-8")
    (folder / "cold.csv").write_text(outdoors(20, mean_c=-15.0), encoding="utf-8")
    return folder


def document(*words: str) -> dict[str, Any]:
    code, said, complained = call(*words, "--json", "-")
    assert (code, complained) == (0, "")
    found: dict[str, Any] = json.loads(said)
    return found


def test_stress_has_the_keys_of_the_contract_and_is_5_k_colder_unless_told(farm: Path) -> None:
    hard = document("stress", str(farm))["stress"]
    assert set(STRESS_KEYS.split()) <= set(hard)
    assert hard["colder_k"] == 5.0
    assert [s["name"] for s in hard["sources"]] == [
        "electric heater", "wood stove", "rocket mass heater", "heat pump",
    ]  # fmt: skip


def test_degrees_fahrenheit_and_kelvins_say_the_same(farm: Path) -> None:
    """9 °F is 5 K."""
    assert document("stress", str(farm), "--colder", "9 degF") == document("stress", str(farm), "--colder", "5 K")


def test_what_is_bought_and_what_is_given_make_up_the_need_and_colder_needs_more(farm: Path) -> None:
    mild = document("stress", str(farm), "--colder", "0 K")["stress"]
    hard = document("stress", str(farm), "--colder", "8 K")["stress"]
    for one in (mild, hard):
        assert one["avoided_kwh"] + one["to_buy_kwh"] == pytest.approx(one["need_kwh"])
    assert hard["need_kwh"] > mild["need_kwh"]
    assert hard["to_buy_kwh"] > mild["to_buy_kwh"]
    assert hard["peak_need_kw"] > mild["peak_need_kw"]


def test_another_record_is_taken_as_it_was_and_its_columns_are_found(farm: Path) -> None:
    """Its file has no indoor column; that of outdoors is named as in the ledger's log."""
    code, said, _ = call("stress", str(farm), "--record", str(farm / "cold.csv"))
    assert code == 0
    assert "The hardest winter of cold.csv, 2020-21, as it was" in said
    hard = document("stress", str(farm), "--record", str(farm / "cold.csv"))["stress"]
    assert (hard["colder_k"], hard["season"]) == (0.0, "2020-21")
    assert hard["need_kwh"] > document("stress", str(farm), "--colder", "0 K")["stress"]["need_kwh"]


def test_a_record_with_other_headers_is_read_by_what_its_header_says(farm: Path, tmp_path: Path) -> None:
    """The ledger's log calls the column Outside; this file calls it Outdoor temperature (°C): the same answer."""
    other = tmp_path / "other.csv"
    other.write_text(outdoors(20, mean_c=-15.0).replace("Time,Outside", "Time,Outdoor temperature (°C)"), "utf-8")
    one = document("stress", str(farm), "--record", str(other))["stress"]
    assert one == document("stress", str(farm), "--record", str(farm / "cold.csv"))["stress"]


def test_a_record_in_which_no_column_is_outdoors_is_refused(farm: Path, tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.csv"
    wrong.write_text(outdoors(20, mean_c=-15.0).replace("Time,Outside", "Time,Rain"), "utf-8")
    code, said, complained = call("stress", str(farm), "--record", str(wrong))
    assert (code, said) == (2, "")
    assert "wrong.csv" in complained


@pytest.mark.parametrize(
    ("option", "value", "words"),
    [
        ("--colder", "5", "no unit"),
        ("--colder", "five K", "five"),
        ("--colder", "90 K", "not a winter that can be"),
        ("--record", "none.csv", "there is no such file"),
    ],
)
def test_what_cannot_be_is_refused_with_the_mend(farm: Path, option: str, value: str, words: str) -> None:
    code, said, complained = call("stress", str(farm), option, value)
    assert (code, said) == (2, "")
    assert words in complained
    assert "for example" in complained or "check the name" in complained


def test_the_screen_of_stress_says_what_stands_behind_it_and_cautions(farm: Path) -> None:
    said = " ".join(call("stress", str(farm))[1].split())
    for words in (
        "5.0 K colder: what would it ask?",
        "nights would fall below hold",
        "What would each heater beside the build cost, and does it cope?",
        "A full battery gives 6.9 kWh at the socket.",
        "No run of the house model stands behind this",
        "carbon-monoxide alarm",
        "licensed electrician",
    ):
        assert words in said


def test_the_screen_of_compare_opens_with_what_decides(farm: Path) -> None:
    """In ten seconds: the cheapest, the one for a power cut, the ones that cost evenings."""
    lines = call("compare", str(farm))[1].splitlines()
    begin = lines.index("What decides?")
    assert begin < 4
    head = " ".join(" ".join(lines[begin : begin + 14]).split())
    for words in (
        "Cheapest over 25 years:",
        "Cheapest that works in a power cut:",
        "Cheapest that takes no evenings:",
        "Costs evenings: wood stove (",
    ):
        assert words in head


def test_the_screen_of_compare_names_fuel_caps_points_and_own_power(farm: Path) -> None:
    """9.6 · 0.8 · 0.9 = 6.912 kWh. The cap of rocket heaters and the points of the heat pump stand by the fuels."""
    said = " ".join(call("compare", str(farm))[1].split())
    for words in (
        "cord",
        "no accredited measurement of the heat delivered was found",
        "never above 85 %",
        "1.8 at -15.0 °C, 2.7 at 0.0 °C",
        "When does free wood stop being cheap?",
        "A full battery gives 6.9 kWh at the socket.",
        "A kWh of the own array truly costs",
        "carbon-monoxide alarm",
    ):
        assert words in said


def test_compare_gives_scripts_what_its_screen_shows(farm: Path) -> None:
    found = document("compare", str(farm))
    assert {"plans", "ties", "plan_ranges", "cheaper_builds", "next_steps", "power", "power_cut"} <= set(found)
    assert [m["measure"] for m in found["cheaper_builds"]] == ["second layer", "night screen", "sealing"]
    assert all(m["effect_source"] and m["life_source"] for m in found["cheaper_builds"])
    assert [c["name"] for c in found["power_cut"]["plans"]] == [p["name"] for p in found["plans"]]
    assert found["power"]["battery_kwh"] == pytest.approx(6.912)
    assert {t["plan"] for t in found["ties"]} <= {p["name"] for p in found["plans"]}
    assert [r["source"] for r in found["plan_ranges"]] == [
        "electric heater", "wood stove", "rocket mass heater", "heat pump",
    ]  # fmt: skip


def test_without_a_log_a_warning_says_why_there_is_no_hard_winter(farm: Path, tmp_path: Path) -> None:
    """The same ledger, nothing logged, its saving expected of it over twelve normals."""
    text = (farm / "ledger.toml").read_text(encoding="utf-8")
    before, after = text.split("[[log]]", 1)
    rest = after[after.index("\n[") + 1 :] if "\n[" in after else ""
    normals = ", ".join(f'{{ month = {m}, mean_low = "-4 degC", mean_high = "4 degC" }}' for m in range(1, 13))
    built = before.replace("[[build]]\n", "[[build]]\nexpected_fraction = 0.3\n", 1)
    (tmp_path / "ledger.toml").write_text(f"{built}{rest}\n[climate]\nnormals = [ {normals} ]\n", encoding="utf-8")
    found = document("stress", str(tmp_path))
    assert found["stress"] is None
    assert "stress-unknown" in {w["code"] for w in found["warnings"]}


def test_appraise_gives_scripts_what_lies_ahead(farm: Path) -> None:
    found = document("appraise", str(farm))
    assert [s["what"] for s in found["next_steps"]] == ["a night screen"]
    assert found["benefit"]["per_year"] == 400
    assert len(found["hold_steps"]) == 7
    assert found["stress"]["colder_k"] == 5.0
    assert isinstance(found["worth"]["facts"], list)
