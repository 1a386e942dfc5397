"""Records coarser than an hour: an output in kilowatts is set against what an hour asks for, whatever the step."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from ledger.heat.bare import sums_on_grid
from ledger.heat.reckoning import prepare, reckon
from ledger.heat.results import TypicalHeat
from ledger.model.values import Spread
from ledger.money.avoided import heat_hours
from ledger.plans.compare import compare
from ledger.plans.results import Comparison
from ledger.series.record import HourlyRecord
from tests.heat.builders import heater, ledger_of, plain_house, record_of, spread
from tests.known import known
from tests.plans.made import named


def winter_of(step_h: int) -> HourlyRecord:
    """December 2025 at −10 °C outdoors and 3 °C indoors, in rows of so many hours."""
    rows = 31 * 24 // step_h
    record = record_of({"indoor": np.full(rows, 3.0), "outdoor": np.full(rows, -10.0)}, first="2025-12-01T00:00+01:00")
    index = pd.date_range(record.hours.index[0], periods=rows, freq=f"{step_h}h")
    return replace(record, hours=record.hours.set_axis(index), reason=record.reason.set_axis(index))


def compared(step_h: int, output_kw: float) -> tuple[TypicalHeat, Comparison]:
    ledger = replace(ledger_of(plain_house(100.0, lift=spread(2.0))), sources=(heater(output_kw=spread(output_kw)),))
    heat = known(reckon(prepare(winter_of(step_h), ledger), ledger).typical)
    return heat, compare(ledger, heat, fan_kwh=None, coldest_logged_c=-10.0, shares=None)


@pytest.mark.parametrize("step_h", [1, 3])
def test_a_steady_winter_leaves_the_same_share_unmet_at_any_step(step_h: int) -> None:
    """Lift 2: a steady need of 0.1 · (5 + 8) = 1.3 kW; a heater of 1.0 kW leaves 0.3 of 1.3."""
    heat, answer = compared(step_h, 1.0)
    plan = named(answer, "electric heater alone")
    assert heat.step_h == step_h
    assert plan.unmet_kwh == pytest.approx(heat.need_kwh * 0.3 / 1.3)


@pytest.mark.parametrize("step_h", [1, 3])
def test_a_heater_that_is_large_enough_leaves_nothing_at_any_step(step_h: int) -> None:
    _, answer = compared(step_h, 1.5)
    assert named(answer, "electric heater alone").unmet_kwh == pytest.approx(0.0)
    assert named(answer, "electric heater alone").rank is not None


def test_hours_of_the_year_are_the_same_whatever_the_step() -> None:
    """Frost with nothing built: the bare house stands at −8 °C in every counted hour; 3-hour rows stand for 3 each."""
    for step_h in (1, 3):
        heat, answer = compared(step_h, 1.5)
        hours = heat_hours(heat)
        assert named(answer, "nothing").frost_hours == pytest.approx(float(hours.weight.sum()), abs=1)
        assert hours.total_kwh(hours.need_kwh) == pytest.approx(heat.need_kwh)
        assert float(hours.need_kwh[0]) == pytest.approx(1.3)


def test_a_second_source_begins_above_the_first_ones_kilowatts() -> None:
    """1.3 kW asked, the first gives 1.0: it has 10 of 13 parts of the heat, at 3-hour rows too."""
    first = heater(output_kw=spread(1.0), then="gas")
    second = heater(name="gas", output_kw=spread(5.0), price=Spread.sure(0.1), backup=False)
    ledger = replace(ledger_of(plain_house(100.0, lift=spread(2.0))), sources=(first, second))
    heat = known(reckon(prepare(winter_of(3), ledger), ledger).typical)
    plan = named(compare(ledger, heat, fan_kwh=None, coldest_logged_c=-10.0, shares=None), "electric heater alone")
    assert plan.fuel_units == pytest.approx(heat.need_kwh * 10.0 / 13.0)
    assert plan.second_fuel_units == pytest.approx(heat.need_kwh * 3.0 / 13.0)


@pytest.mark.parametrize("step_h", [1, 3])
def test_hourly_runs_of_the_model_come_whole_onto_a_coarser_grid(step_h: int) -> None:
    """One kilowatt-hour in each of so many hours is one in each hour of the rows, whatever their length."""
    (year,) = prepare(winter_of(step_h), ledger_of()).years
    hours = pd.date_range(year.begins_utc[0], periods=len(year.begins_utc) * step_h, freq="h")
    assert float(np.nansum(sums_on_grid(pd.Series(1.0, index=hours), year))) == pytest.approx(len(hours))
    short = pd.Series(1.0, index=hours[:-1])
    assert np.isnan(sums_on_grid(short, year)[-1])
