"""The JSON holds every key of the contract, only numbers that JSON knows, and the same bytes each time."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.views.json_view import appraisal_document, part_document, to_bytes
from tests.report.made import report_example
from tests.views.example import example

CONTRACT = {
    "": "schema program ledger house log seasons model typical_year capital worth builds cash_flow loans plans stress "
    "assumed warnings",
    "program": "name version",
    "ledger": "title currency file sha256 logs",
    "ledger.logs": "file sha256",
    "house": "conduction_w_per_k air_leakage_w_per_k edge_w_per_k heat_loss_w_per_k bare_heat_loss_w_per_k "
    "air_density_kg_per_m3 floor_area_m2 volume_m3 cover_area_m2",
    "log": "first last hours_span hours_valid coverage flagged_hours lost_hours channels files",
    "log.flagged_hours": "excluded clock range stuck spike gap bridged",
    "log.lost_hours": "excluded clock range stuck spike gap bridged",
    "log.channels.indoor": "hours_valid mean_c min_c max_c",
    "log.files": "file rows used flagged duplicate refused separator decimal encoding time_format clock",
    "seasons": "season hours hours_valid hours_counted coverage dark_degree_hours_k_h rungs bare_doubt_kwh need_kwh "
    "avoided_kwh avoided_range_kwh need_whole_season_kwh avoided_whole_season_kwh avoided_whole_season_range_kwh "
    "passive_fraction shortfall_kwh backup_delivered_kwh bare indoor_min_c hours_below_hold hours_below_freezing "
    "gdd_indoor_k_d gdd_outdoor_k_d gdd_over_outdoors_k_d gdd_by_build_k_d build_energy_kwh avoided_per_kwh_used "
    "running_cost upkeep_cost backup_cost house_cost labour_hours avoided_cost net_saving recovered_to_date "
    "still_to_recover",
    "seasons.rungs": "gross_kwh load_kwh held_kwh added_kwh credited_kwh",
    "seasons.avoided_range_kwh": "p10 p90",
    "seasons.bare": "used ways",
    "seasons.bare.ways": "twin fan-off model lift",
    "seasons.bare.ways.lift": "need_kwh avoided_kwh p10 p90",
    "typical_year": "basis months_not_logged need_kwh avoided_kwh to_buy_kwh running_cost upkeep_cost avoided_cost "
    "net_saving gdd_indoor_k_d gdd_over_outdoors_k_d gdd_by_build_k_d",
    "capital": "gross share_for_heat grants net own_hours items",
    "worth": "verdict why against simple_payback_years simple_payback_gross_years simple_payback_cash_years "
    "payback_with_growth_years discounted_payback_years npv npv_without_residual npv_against irr mirr "
    "savings_to_investment_ratio adjusted_irr build_life_cycle_cost build_annual_cost heat_cost_per_kwh "
    "avoided_price_per_kwh cost_per_gdd_indoor cost_per_gdd_over_outdoors cost_per_gdd_by_build range drivers",
    "worth.range": "npv simple_payback_years chance_npv_positive draws seed",
    "worth.range.npv": "p10 p50 p90",
    "worth.drivers": "input npv_low npv_high",
    "builds": "name avoided_kwh net_capital simple_payback_years npv",
    "cash_flow": "year capital saving running upkeep replacement residual net discounted cumulative "
    "cumulative_discounted",
    "loans": "name payment rows debt_service saving_cover lowest owner_cash",
    "loans.rows": "number date payment interest principal balance",
    "loans.lowest": "year saving_cover",
    "plans": "name builds source capital heat_to_buy_kwh unmet_kwh fuel_units fuel_cost labour_hours labour_cost "
    "first_year_cost life_cycle_cost annual_cost fuel_cost_per_delivered_kwh peak_need_kw output_kw "
    "holds_design_night works_in_power_cut nights_to_tend rank",
    "assumed": "path value source",
    "warnings": "code text path line",
}
"""Copied from the contract of the results (the section on `--json`), not from what the program prints."""


@pytest.mark.parametrize("path", CONTRACT)
def test_every_key_of_the_contract_is_there(path: str) -> None:
    node = json.loads(to_bytes(appraisal_document(example())))
    for part in path.split(".") if path else []:
        node = node[part]
        node = node[0] if isinstance(node, list) else node
    assert set(CONTRACT[path].split()) <= set(node)


def test_numbers_have_ten_significant_digits() -> None:
    season = json.loads(to_bytes(appraisal_document(example())))["seasons"][0]
    assert season["avoided_kwh"] == 2345.678901


def test_the_yearly_saving_against_each_source_stands_with_its_range() -> None:
    """As made: against the electric heater 284.71, in eight cases of ten 210 to 360."""
    written = json.loads(to_bytes(appraisal_document(report_example())))["saving_ranges"]
    assert [one["source"] for one in written] == ["electric heater", "propane heater"]
    assert written[0]["likely"] == 284.71
    assert written[0]["range"] == {"p10": 210.0, "p50": 280.0, "p90": 360.0}


def test_not_a_number_and_infinite_become_null() -> None:
    whole = example()
    worth = replace(whole.worth, irr=math.nan, npv=math.inf)
    written = to_bytes(appraisal_document(replace(whole, worth=worth)))
    assert json.loads(written)["worth"]["irr"] is None
    assert json.loads(written)["worth"]["npv"] is None
    assert b"NaN" not in written
    assert b"Infinity" not in written


def test_the_same_answer_gives_the_same_bytes() -> None:
    assert to_bytes(appraisal_document(example())) == to_bytes(appraisal_document(example()))


def test_money_of_receipts_is_a_number() -> None:
    assert json.loads(to_bytes(appraisal_document(example())))["capital"]["gross"] == 3850


def test_a_part_keeps_the_head_and_the_warnings() -> None:
    part = part_document(example(), keys=("plans",))
    assert list(part) == ["schema", "program", "ledger", "plans", "assumed", "warnings"]


def test_a_file_name_that_is_no_text_does_not_stop_the_writing() -> None:
    whole = example()
    hostile = replace(whole, identity=replace(whole.identity, file="led\udcffger.toml"))
    assert json.loads(to_bytes(appraisal_document(hostile)))["ledger"]["file"] == "led?ger.toml"


@given(st.floats(allow_nan=False, allow_infinity=False))
@settings(max_examples=100)
def test_any_number_comes_back_to_ten_significant_digits(value: float) -> None:
    (back,) = json.loads(to_bytes({"value": value})).values()
    assert math.isclose(back, value, rel_tol=6e-10, abs_tol=0.0)
    assert math.copysign(1.0, back) == 1.0 or back != 0.0, "there is no minus nought"


@given(st.text(max_size=60))
@settings(max_examples=100)
def test_any_text_comes_back_as_it_was(text: str) -> None:
    whole = example()
    written = to_bytes(appraisal_document(replace(whole, why=text)))
    assert json.loads(written)["worth"]["why"] == text
