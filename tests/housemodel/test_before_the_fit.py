"""What the model is told before it is fitted: what stands in its way, the ledger's figures, holes filled."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pandas as pd
import pytest

from ledger.heat.housemodel.grid import filled, lay_out_grid
from ledger.heat.housemodel.house import house_numbers, refusal, season_refusal, unmetered_heat
from ledger.model.book import RunningLine
from ledger.model.build import Before, Store
from ledger.series.record import HourlyRecord
from tests.heat.builders import SITE, build, ledger_of, plain_house, record_of, spread
from tests.housemodel.plain import plain_grid
from tests.known import known

TUBES, TANK = build("tubes"), build("tank")
WATER = Store("water", "tank", "water", spread(4.0))


def record(*channels: str) -> HourlyRecord:
    return record_of({name: np.full(48, 5.0) for name in channels}, first="2026-01-10T00:00+01:00")


def test_a_model_needs_both_temperatures_and_something_built() -> None:
    ledger = ledger_of(builds=(TUBES,))
    assert known(refusal(record("indoor", "fan_on"), ledger)).why.startswith("The house model needs indoor and outdoor")
    assert known(refusal(record("indoor", "outdoor"), replace(ledger, builds=()))).why == "Nothing was built."
    assert refusal(record("indoor", "outdoor", "fan_on"), ledger) is None


def test_a_fan_shows_one_store_a_tank_its_own_and_a_layer_needs_no_channel() -> None:
    """Tubes by their fan, the tank by its water; a second layer is in the heat loss."""
    layer = build("layer", before=(Before("cover", spread(4.0)),))
    ledger = ledger_of(builds=(TUBES, TANK, layer), stores=(WATER,))
    assert refusal(record("indoor", "outdoor", "fan_on", "water"), ledger) is None
    assert "what tubes and tank did" in known(refusal(record("indoor", "outdoor", "fan_on"), ledger)).why
    assert "what tubes did" in known(refusal(record("indoor", "outdoor", "water"), ledger)).why
    assert refusal(record("indoor", "outdoor"), replace(ledger, builds=(layer,))) is None


def test_a_season_needs_four_weeks_and_readings_within_two_hours() -> None:
    ledger = ledger_of(builds=(TUBES,))
    grid = replace(plain_grid(28 * 48), fan_level=np.zeros(28 * 48, dtype=np.int64))
    assert season_refusal(grid, ledger) is None
    assert "28 days" in known(season_refusal(None, ledger)).why
    short = grid.indoor_c.copy()
    short[0] = np.nan
    assert "28 days" in known(season_refusal(replace(grid, indoor_c=short), ledger)).why
    assert "two hours" in known(season_refusal(replace(grid, step_s=7201.0), ledger)).why
    assert "what tubes did" in known(season_refusal(replace(grid, fan_level=None), ledger)).why


def burnt(first: date, last: date, **what: float) -> RunningLine:
    return RunningLine(
        last, "electric heater", "heat", what.get("energy"), what.get("quantity"), None, 0.0, first, last
    )


@pytest.mark.parametrize(
    ("line", "said"),
    [
        (burnt(date(2024, 12, 20), date(2025, 1, 1), energy=5.0), True),
        (burnt(date(2025, 1, 2), date(2025, 1, 9), quantity=0.5), True),
        (burnt(date(2024, 12, 20), date(2024, 12, 31), energy=5.0), False),
        (burnt(date(2025, 1, 3), date(2025, 1, 9), energy=5.0), False),
        (burnt(date(2025, 1, 1), date(2025, 1, 1), energy=0.0), False),
        (replace(burnt(date(2025, 1, 1), date(2025, 1, 1), energy=5.0), target="tubes"), False),
    ],
)
def test_backup_heat_in_the_book_of_the_logged_days_is_the_model_s_blind_spot(line: RunningLine, said: bool) -> None:
    """The log runs over 1 and 2 January 2025."""
    ledger = ledger_of(builds=(TUBES,), running=(line,))
    found = unmetered_heat(plain_grid(96), record("indoor", "outdoor"), ledger)
    assert (found is not None and found.startswith("backup heat stands in the season book")) is said
    assert unmetered_heat(plain_grid(96), record("indoor", "outdoor", "heater_w"), ledger) is None
    assert "without its power" in known(unmetered_heat(plain_grid(96), record("indoor", "heater_on"), ledger))


def test_the_ledger_s_figures_are_taken_as_the_model_needs_them() -> None:
    """Cover 50 m2 of 2 W/m2/K; water of 4 kWh/K (2 to 8), in joules; a fan of 120 W in the middle of what it drew."""
    fan = np.array([0.0, 100.0, 120.0, 140.0] * 12)
    channels = {"indoor": np.full(48, 5.0), "outdoor": np.zeros(48), "water": np.full(48, 9.0), "fan_w": fan}
    store = replace(WATER, heat_capacity_kwh_per_k=spread(4.0, 2.0, 8.0))
    ledger = ledger_of(plain_house(100.0, lift=spread(2.0)), builds=(TUBES, TANK), stores=(store,))
    logged = record_of(channels, first="2026-01-10T00:00+01:00")
    numbers = house_numbers(logged, ledger)
    assert (numbers.floor_area_m2, numbers.cover_area_m2, numbers.fan_power_w) == (20.0, 50.0, 120.0)
    assert numbers.heat_loss_w_per_k == pytest.approx(100.0)
    assert (numbers.day_factor, numbers.bare_factor_night, numbers.bare_factor_day) == pytest.approx((1.0, 1.0, 1.0))
    assert numbers.tank_j_per_k == pytest.approx(4.0 * 3.6e6)
    assert numbers.tank_log_sd == pytest.approx(np.log(8.0 / 2.0) / 2.0 / 2.45)
    sure = house_numbers(logged, replace(ledger, stores=(WATER,)))
    assert sure.tank_log_sd == 0.0
    dry = house_numbers(record("indoor", "outdoor", "fan_on"), ledger)
    assert (dry.tank_j_per_k, dry.fan_power_w) == (None, 0.0)


def test_a_hole_that_neither_side_can_fill_takes_the_mean_of_the_same_hour_and_else_of_all() -> None:
    """Steps of six hours, four a day: of the third step of the day only 7 and 9 were read, far away: 8."""
    values = np.full(10 * 4, np.nan)
    values[2], values[4 * 9 + 2] = 7.0, 9.0
    whole = filled(values, 21600.0)
    assert whole[4 * 4 + 2] == pytest.approx(8.0)
    assert np.isfinite(whole).all()
    assert whole[4 * 4 + 1] == pytest.approx(8.0)


def test_readings_that_never_were_indoors_or_outdoors_make_no_grid() -> None:
    index = pd.date_range("2026-01-10", periods=4, freq="h", tz="UTC")
    both = pd.DataFrame({"indoor": [5.0] * 4, "outdoor": [0.0] * 4}, index=index)
    assert lay_out_grid(both, SITE) is not None
    assert lay_out_grid(both[["indoor"]], SITE) is None
    assert lay_out_grid(both.iloc[:1], SITE) is None
    assert lay_out_grid(both.assign(outdoor=np.nan), SITE) is None


@pytest.mark.parametrize(("gap", "step_s"), [("10min", 1800.0), ("30min", 1800.0), ("45min", 3600.0), ("90min", 7200.0),
                                             ("3h", 10800.0), ("4h", 14400.0)])  # fmt: skip
def test_steps_are_as_long_as_readings_are_apart_rounded_up(gap: str, step_s: float) -> None:
    index = pd.date_range("2026-01-10", periods=60, freq=gap, tz="UTC")
    frame = pd.DataFrame({"indoor": [5.0] * 60, "outdoor": [0.0] * 60}, index=index)
    assert known(lay_out_grid(frame, SITE)).step_s == step_s
