"""Doubts that need the answer: a fan that takes more than it gives, a source dearer than another that holds."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from ledger.heat.reckoning import prepare, reckon
from ledger.heat.season_notices import LITTLE_HEAT
from ledger.intake.gather import gather_and_appraise
from ledger.model.book import RunningLine
from ledger.plans.dearer import DEARER, dearer_doubts
from ledger.plans.results import Plan
from tests.heat.builders import ledger_of, plain_house, record_of, spread
from tests.plausible.made import ledger
from tests.since.farm import LEDGER, farm


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


def dearer(other: Plan, *, npv: float | None = 500.0, against_other: float | None = 200.0, rate: str = "") -> list[str]:
    """What is said of `heater`, against which the worth is `npv`, beside another source."""
    worths: dict[str, float | None] = {"heater": npv, "stove": against_other}
    book = ledger(more=rate)
    return [n.text for n in dearer_doubts(book, [PLAN, other], npv_against=worths) if n.code == DEARER.code]


def stove(cost: float | None, *, holds: bool | None = True, rank: int | None = 1) -> Plan:
    """A source that feeds itself."""
    return replace(
        PLAN, name="stove alone", source="stove", life_cycle_cost=cost, holds_design_night=holds, rank=rank,
        nights_to_tend=0,
    )  # fmt: skip


def test_a_source_dearer_than_another_that_holds_is_doubted_once_and_by_how_much() -> None:
    """3000 is a quarter less than 4000."""
    (text,) = dearer(stove(3000.0))
    assert '"stove" would hold this house too, for 25% less over the study' in text


@pytest.mark.parametrize(("npv", "against_other"), [(-100.0, -900.0), (None, None), (500.0, None)])
def test_that_is_so_whatever_the_worth_against_either(npv: float | None, against_other: float | None) -> None:
    assert len(dearer(stove(3000.0), npv=npv, against_other=against_other)) == 1


def test_where_the_cheaper_one_turns_the_answer_that_is_what_is_said() -> None:
    (text,) = dearer(stove(3000.0), against_other=-300.0)
    assert 'gain against "heater" and lose against "stove"' in text


@pytest.mark.parametrize(
    "other",
    [
        stove(3601.0),  # within a tenth of 4000
        stove(3000.0, holds=None),  # nobody knows whether it copes
        stove(3000.0, holds=False, rank=None),
        stove(None, rank=None),
        stove(3000.0, rank=None),  # before its work, or some heat is missing
        stove(9000.0, rank=3),
        replace(stove(3000.0), builds=("buried air tubes",)),  # not alone
    ],
)
def test_a_source_that_is_not_known_to_hold_for_less_raises_no_doubt(other: Plan) -> None:
    assert dearer(other) == []
    assert dearer(other, against_other=-300.0) == []


def test_a_fire_whose_work_nobody_priced_is_not_called_cheaper_unless_it_turns_the_answer() -> None:
    """Ninety nights to get up for nothing make any wood cheap; with a wage they are in its cost."""
    fire = replace(stove(3000.0), nights_to_tend=90)
    assert dearer(fire) == []
    assert len(dearer(fire, rate="[labour]\nrate = 12\n")) == 1
    assert len(dearer(fire, against_other=-300.0)) == 1


def test_one_that_feeds_itself_is_named_where_the_cheapest_is_a_fire_without_a_wage() -> None:
    worths: dict[str, float | None] = {"heater": 500.0}
    fire = replace(stove(2000.0), nights_to_tend=90)
    gas = replace(stove(3000.0, rank=2), name="gas alone", source="gas")
    (notice,) = dearer_doubts(ledger(), [PLAN, fire, gas], npv_against=worths)
    assert '"gas" would hold this house too' in notice.text
    assert notice.line == ledger().source("heater").line


TWO_HEATERS = (
    LEDGER.replace("{ ", "{{ ")
    .replace(" }", " }}")
    .replace(
        """price = 0.2
backup = true
""",
        """price = {price}
capital = 300
output = "60 kW"
backup = true
[[source]]
name = "other heater"
kind = "electric resistance"
price = 0.2
capital = 300
output = "60 kW"
""",
    )
)


@pytest.mark.parametrize(("price", "said"), [("0.40", 1), ("0.20", 0)])
def test_a_ledger_whose_heater_pays_twice_for_what_another_gives_is_doubted(
    tmp_path: Path, price: str, said: int
) -> None:
    """The same heater at twice the price and at the same: only the first is beaten."""
    assert TWO_HEATERS != LEDGER
    answer = gather_and_appraise(farm(tmp_path, TWO_HEATERS.format(price=price)))
    assert sum(n.code == DEARER.code for n in answer.warnings) == said
