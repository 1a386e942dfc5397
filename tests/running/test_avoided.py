"""What the heat that was not bought would have cost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any, Unpack

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.model.heaters import CopPoint, Kind, Source, Tariff
from ledger.model.values import Spread
from ledger.money.avoided import (
    avoided_units,
    buy_heat,
    heat_hours,
    split,
    to_year_money,
    typical_money,
)
from ledger.money.flows import flows
from ledger.money.project import project_from
from ledger.money.running import RunningBasis, RunningYear, UpkeepBasis, UpkeepYear
from tests.changes import SourceTraits
from tests.money.made import build, heater, item, sure
from tests.running.made import ledger_with, typical

TUBES = build("tubes", item("3850"))
RUNNING = RunningYear(RunningBasis.BOOK, 30.0, 6.0, 4.0, 150.0, 0.4)
UPKEEP = UpkeepYear(UpkeepBasis.EXPECTED, 25.0, 15.0, 1.0, 0)


def stove(price: float = 200.0, **changed: Unpack[SourceTraits]) -> Source:
    plain = heater(
        "stove",
        price,
        kind=Kind.WOOD_STOVE,
        unit="cord",
        heat_per_unit_kwh=sure(5000.0),
        efficiency=sure(0.5),
        price_growth=sure(0.0),
        hours_per_unit=sure(8.0),
    )
    return replace(plain, **changed)


def test_avoided_heat_is_priced_on_the_base_date_with_the_work_that_it_spares() -> None:
    """2500 kWh avoided = 1 cord (5000 · 0.5): fuel 200, work 8 h · 15 = 120; the year: 320 − 40 − 40 = 240."""
    ledger = ledger_with(TUBES, sources=(stove(),), labour_rate=15.0, against="stove")
    heat = typical([2.0, 2.0], [1.0, 0.5], weight=1000.0)
    year, notices = to_year_money(ledger, heat, ledger.sources[0], running=RUNNING, upkeep=UPKEEP)
    assert year.avoided_fuel_cost == pytest.approx(200.0)
    assert year.avoided_labour_cost == pytest.approx(120.0)
    assert year.fuel_price_path is None
    assert notices == ()
    money = typical_money(year, running=RUNNING, upkeep=UPKEEP)
    assert (money.running_cost, money.upkeep_cost) == (40.0, 40.0)
    assert money.avoided_cost == pytest.approx(320.0)
    assert money.net_saving == pytest.approx(240.0)


def test_work_of_unknown_hours_is_left_out_and_said() -> None:
    ledger = ledger_with(TUBES, sources=(stove(hours_per_unit=None),), labour_rate=15.0)
    heat = typical([2.0], [1.0])
    year, notices = to_year_money(ledger, heat, ledger.sources[0], running=RUNNING, upkeep=UPKEEP)
    assert year.avoided_labour_cost == 0.0
    assert [n.code for n in notices] == ["work-unknown"]


def test_unknown_running_cost_leaves_the_saving_before_it() -> None:
    ledger = ledger_with(TUBES)
    unknown = RunningYear(RunningBasis.UNKNOWN, None, 0.0, 0.0, 0.0, 0.0)
    year, _ = to_year_money(ledger, typical([2.0], [1.0]), ledger.sources[0], running=unknown, upkeep=UPKEEP)
    money = typical_money(year, running=unknown, upkeep=UPKEEP)
    assert money.running_cost is None
    assert money.net_saving == pytest.approx(0.2 - 40.0)


CURVE = (CopPoint(-15.0, 1.5), CopPoint(0.0, 3.0))


def test_a_heat_pump_avoids_the_units_of_the_need_less_those_of_the_heat_to_buy_hour_by_hour() -> None:
    """Need 6 kWh at −15 °C (COP 1.5) and 6 at 0 °C (COP 3): 4 + 2 = 6 kWh in. Left to buy: 6 at −15 °C: 4 in.
    Avoided 2 kWh in for 6 kWh of heat: the build saved the cheap hours. At the mean of the need it would be 3."""
    pump = heater(kind=Kind.HEAT_PUMP, cop=CURVE, price=0.5)
    ledger = ledger_with(TUBES, sources=(pump,))
    heat = typical([6.0, 6.0], [6.0, 0.0], outdoor=[-15.0, 0.0])
    year, _ = to_year_money(ledger, heat, pump, running=RUNNING, upkeep=UPKEEP)
    assert year.avoided_fuel_cost == pytest.approx(1.0)
    assert avoided_units(pump, 6.0, typical=heat) == pytest.approx(3.0)


def test_the_second_source_gives_what_is_above_the_output_of_the_first() -> None:
    """Stove of 4 kW, need 10 and 3 kW, to buy 5 and 0 kW. First: 4 + 3, then 4 + 0: 3 kWh avoided; second: 6 then 1:
    5 kWh avoided. Fuel: 3 ÷ 2500 · 200 + 5 · 0.20 = 1.24."""
    first = stove(output_kw=sure(4.0), then="plug heater")
    ledger = ledger_with(TUBES, sources=(first, heater()), labour_rate=0.0)
    heat = typical([10.0, 3.0], [5.0, 0.0])
    year, _ = to_year_money(ledger, heat, first, running=RUNNING, upkeep=UPKEEP)
    assert year.avoided_fuel_cost == pytest.approx(1.24)


def test_two_fuels_of_unlike_growth_follow_each_their_own_price() -> None:
    """Avoided 3 kWh of wood without growth (0.24) and 5 kWh of electricity at 10 % (1.00): years 1.34 and 1.45."""
    first = stove(output_kw=sure(4.0), then="plug heater")
    second = heater(price_growth=sure(0.10))
    ledger = ledger_with(TUBES, sources=(first, second), labour_rate=0.0, study_years=2)
    year, _ = to_year_money(ledger, typical([10.0, 3.0], [5.0, 0.0]), first, running=RUNNING, upkeep=UPKEEP)
    assert flows(project_from(ledger, year)).saving == pytest.approx([0.0, 0.24 + 1.1, 0.24 + 1.21])


def test_units_of_two_add_up_to_those_of_all_the_heat() -> None:
    first, second = split(np.array([10.0, 3.0, 0.0]), stove(output_kw=sure(2.0), units=2, then="x"), heater())
    assert first.tolist() == [4.0, 3.0, 0.0]
    assert second.tolist() == [6.0, 0.0, 0.0]


def test_a_tariff_after_the_base_date_moves_the_saving_from_its_year_on() -> None:
    """1000 kWh at 0.20 with 10 %: 220 in year 1; from the tariff 0.30 in year 2: 300, then 330."""
    source = heater(price_growth=sure(0.10), tariffs=(Tariff(date(2026, 10, 1), sure(0.30)),))
    ledger = ledger_with(TUBES, sources=(source,), study_years=3)
    year, _ = to_year_money(ledger, typical([1000.0], [0.0]), source, running=RUNNING, upkeep=UPKEEP)
    assert flows(project_from(ledger, year)).saving == pytest.approx([0.0, 220.0, 300.0, 330.0])


def test_wood_that_is_free_today_and_bought_from_a_tariff_on_is_charged_from_then() -> None:
    """2500 kWh = 1 cord: 0 on the base date and in year 1, 250 from year 2 on."""
    source = stove(price=0.0, tariffs=(Tariff(date(2026, 10, 1), sure(250.0)),), hours_per_unit=sure(0.0))
    ledger = ledger_with(TUBES, sources=(source,), study_years=3)
    year, _ = to_year_money(ledger, typical([2500.0], [0.0]), source, running=RUNNING, upkeep=UPKEEP)
    assert year.avoided_fuel_cost == 0.0
    assert flows(project_from(ledger, year)).saving == pytest.approx([0.0, 0.0, 250.0, 250.0])


def test_the_fan_follows_the_tariff_of_the_electric_source_whose_price_it_takes() -> None:
    """150 kWh at 0.20 = 30 a year, 0.30 from year 2 on: 30, 45, 45. With a price of its own it keeps to it: 2 % growth
    of [electricity]."""
    source = heater(price_growth=sure(0.0), tariffs=(Tariff(date(2026, 10, 1), sure(0.30)),))
    heat = typical([1000.0], [0.0])
    fan = replace(RUNNING, labour_cost=0.0, other_cost=0.0)
    follows = ledger_with(TUBES, sources=(source,), study_years=3)
    year, _ = to_year_money(follows, heat, source, running=fan, upkeep=UPKEEP)
    assert flows(project_from(follows, year)).running == pytest.approx([0.0, -30.0, -45.0, -45.0])
    own = ledger_with(TUBES, sources=(source,), price=0.2, study_years=3)
    year, _ = to_year_money(own, heat, source, running=fan, upkeep=UPKEEP)
    assert flows(project_from(own, year)).running == pytest.approx(
        [0.0, -30.0 * 1.02, -30.0 * 1.02**2, -30.0 * 1.02**3]
    )


def test_electricity_that_is_free_today_is_charged_from_its_tariff_on() -> None:
    """150 kWh: nothing on the base date and in year 1, 0.30 from year 2 on: 45."""
    source = heater(price=0.0, price_growth=sure(0.0), tariffs=(Tariff(date(2026, 10, 1), sure(0.30)),))
    ledger = ledger_with(TUBES, sources=(source,), study_years=3)
    fan = RunningYear(RunningBasis.BOOK, 0.0, 0.0, 0.0, 150.0, 0.0)
    year, _ = to_year_money(ledger, typical([1.0], [0.0]), source, running=fan, upkeep=UPKEEP)
    assert flows(project_from(ledger, year)).running == pytest.approx([0.0, 0.0, -45.0, -45.0])


def test_a_price_of_next_to_nothing_before_a_tariff_breaks_nothing() -> None:
    source = stove(price=5e-324, tariffs=(Tariff(date(2026, 10, 1), sure(250.0)),), hours_per_unit=sure(0.0))
    ledger = ledger_with(TUBES, sources=(source,), study_years=2)
    year, _ = to_year_money(ledger, typical([2500.0], [0.0]), source, running=RUNNING, upkeep=UPKEEP)
    assert flows(project_from(ledger, year)).saving == pytest.approx([0.0, 0.0, 250.0])


def drawn(*values: float) -> Spread:
    """Draws in the place of a likely value, as the reckoning puts them there."""
    likely: Any = np.array(values)
    return replace(sure(values[0]), likely=likely)


def test_draws_pass_through_prices_efficiencies_and_heat() -> None:
    source = replace(heater(), price=drawn(0.1, 0.2, 0.4), efficiency=drawn(1.0, 1.0, 0.5))
    ledger = ledger_with(TUBES, sources=(source,))
    avoided: Any = np.array([50.0, 100.0, 200.0])
    heat = replace(typical([100.0], [0.0]), avoided_kwh=avoided)
    year, _ = to_year_money(ledger, heat, source, running=RUNNING, upkeep=UPKEEP)
    assert np.asarray(year.avoided_fuel_cost).tolist() == pytest.approx([5.0, 20.0, 160.0])


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 20), st.floats(0, 1)), min_size=1, max_size=12),
    st.floats(0.5, 12),
    st.floats(0.01, 3),
)
def test_heat_bought_is_whole_whatever_the_output(
    rows: list[tuple[float, float]], output: float, weight: float
) -> None:
    need = [n for n, _ in rows]
    first = stove(output_kw=sure(output), then="plug heater")
    ledger = ledger_with(TUBES, sources=(first, heater()))
    heat = typical(need, [n * s for n, s in rows], weight=weight)
    hours = heat_hours(heat)
    parts = buy_heat(ledger, first, hours.need_kwh, hours=hours, total_kwh=heat.need_kwh)
    assert sum(p.heat_kwh for p in parts) == pytest.approx(heat.need_kwh, rel=1e-9, abs=1e-9)
