"""Doubts that need the answer: a fan that takes more than it gives, a source dearer than another that holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from ledger.heat.reckoning import prepare, reckon
from ledger.heat.season_notices import LITTLE_HEAT
from ledger.model.book import RunningLine
from ledger.plans.dearer import dearer_doubts
from ledger.plans.results import Plan
from tests.heat.builders import ledger_of, plain_house, record_of, spread
from tests.plausible.made import ledger


def fan_said(used_kwh: float) -> list[str]:
    """What is said of the fan in a January in which the house stays 2 K over a lift of 2 K; the book notes its use.

    Avoided is 100 W/K · 2 K in each of the dark hours, which are between 400 and 500.
    """
    line = RunningLine(
        date(2026, 1, 31), "buried air tubes", "fan", used_kwh, None, None, 0.0, date(2026, 1, 1), date(2026, 1, 31)
    )
    book = ledger_of(plain_house(100.0, lift=spread(2.0, 1.0, 3.0)), running=(line,))
    hours = np.full(31 * 24, 0.0)
    record = record_of({"indoor": hours + 1.0, "outdoor": hours - 3.0}, first="2026-01-01T00:00+01:00")
    notices = reckon(prepare(record, book), book).notices
    return [n.text for n in notices if n.code == LITTLE_HEAT.code]


def test_a_fan_that_uses_more_than_it_gives_is_told_so_once() -> None:
    """80 to 100 kWh are avoided, 200 are used."""
    (text,) = fan_said(200.0)
    assert "used more electricity than the heat" in text


def test_a_fan_that_gives_a_little_more_than_it_uses_is_told_so() -> None:
    """80 to 100 kWh for 60: between 1 and 2."""
    (text,) = fan_said(60.0)
    assert "a heat pump gives more" in text


def test_a_fan_that_gives_thrice_what_it_uses_is_not_doubted() -> None:
    assert fan_said(25.0) == []


PLAN = Plan(
    name="heater alone", builds=(), source="heater", capital=100.0, heat_to_buy_kwh=1000.0, unmet_kwh=0.0,
    fuel_units=1000.0, fuel_cost=200.0, labour_hours=None, labour_cost=None, first_year_cost=200.0,
    life_cycle_cost=4000.0, annual_cost=200.0, fuel_cost_per_delivered_kwh=0.2, peak_need_kw=3.0, output_kw=5.0,
    holds_design_night=True, works_in_power_cut=False, nights_to_tend=None, rank=2,
)  # fmt: skip
"""4000 over the study."""


def dearer(other: Plan, *, npv: float = 500.0, against_other: float = -300.0) -> list[str]:
    """What is said of `heater`, against which the worth is `npv`, beside another source."""
    worths: dict[str, float | None] = {"heater": npv, "stove": against_other}
    return [n.code for n in dearer_doubts(ledger(), [PLAN, other], npv_against=worths)]


def stove(cost: float | None, *, holds: bool | None = True, rank: int | None = 1) -> Plan:
    return replace(PLAN, name="stove alone", source="stove", life_cycle_cost=cost, holds_design_night=holds, rank=rank)


def test_a_source_dearer_than_another_that_holds_and_turns_the_answer_is_doubted() -> None:
    assert dearer(stove(3000.0)) == ["against-is-dearer"]


@pytest.mark.parametrize(
    "other",
    [
        stove(3900.0),  # within a tenth
        stove(3000.0, holds=None),  # nobody knows whether it copes
        stove(3000.0, holds=False, rank=None),
        stove(None, rank=None),
        stove(9000.0, rank=3),
        replace(stove(3000.0), builds=("buried air tubes",)),  # not alone
    ],
)
def test_a_source_that_is_not_known_to_hold_for_less_raises_no_doubt(other: Plan) -> None:
    assert dearer(other) == []


@pytest.mark.parametrize(("npv", "against_other"), [(500.0, 200.0), (-100.0, -900.0)])
def test_an_answer_that_is_the_same_against_both_raises_no_doubt(npv: float, against_other: float) -> None:
    assert dearer(stove(3000.0), npv=npv, against_other=against_other) == []
