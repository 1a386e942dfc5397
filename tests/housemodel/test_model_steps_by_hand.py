"""Small steps of the house model by hand: what a fit tells of its figures, readings laid on steps, what is held
against them, where the year is coldest in January, a thermostat replayed."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel import season_runs as runs_room
from ledger.heat.housemodel.answer import _figures
from ledger.heat.housemodel.belief import foretell
from ledger.heat.housemodel.grid import filled, lay_out_grid
from ledger.heat.housemodel.misfit import Misfit, Noise, misfit
from ledger.heat.housemodel.outdoors import yearly_wave
from ledger.heat.housemodel.priors import Figure, Prior, Scale
from ledger.heat.housemodel.season_runs import _hourly_sum
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from ledger.heat.housemodel.thermostat import NO_FAN, Branch, FanRule, _replay
from ledger.heat.housemodel.variants import _chunks
from ledger.heat.sun import sun_elevation_deg
from tests.heat.builders import SITE
from tests.housemodel.carried import DAYS, known_house
from tests.housemodel.plain import plain_grid
from tests.known import known

Floats = NDArray[np.float64]
HOLE = np.nan


def test_a_figure_is_told_with_its_tenths_and_how_far_it_lies_from_what_was_known() -> None:
    """Deep ground 14 ± 2 °C, known as 10 ± 5: 11.437 to 16.563, 0.8 of its spread off. A heat loss of 100 W/K known as
    200 ± a factor of e, found to a tenth: 100 · e^∓0.12816, −ln 2 off."""
    table = (
        Prior(Figure.DEEP, Scale.PLAIN, 10.0, 5.0, "°C", ""),
        Prior(Figure.HEAT_LOSS, Scale.LOG, 200.0, 1.0, "W/K", ""),
    )
    fit: Any = SimpleNamespace(
        problem=SimpleNamespace(table=table),
        fitted=np.array([14.0, np.log(100.0)]),
        covariance=np.array([[4.0, 0.3], [0.3, 0.01]]),
    )
    deep, loss = _figures(fit)
    assert (deep.figure, deep.unit, deep.value, deep.prior) == ("deep ground", "°C", 14.0, 10.0)
    assert (deep.low, deep.high, deep.deviations) == pytest.approx((14.0 - 2.5632, 14.0 + 2.5632, 0.8))
    assert (loss.value, loss.prior) == pytest.approx((100.0, 200.0))
    assert (loss.low, loss.high) == pytest.approx((100.0 * np.exp(-0.12816), 100.0 * np.exp(0.12816)))
    assert loss.deviations == pytest.approx(-np.log(2.0))


def frame(gap: str, count: int = 96, **columns: Floats) -> pd.DataFrame:
    index = pd.date_range("2026-01-10", periods=count, freq=gap, tz="UTC")
    plain = {"indoor": np.full(count, 5.0), "outdoor": np.zeros(count)}
    return pd.DataFrame({**plain, **columns}, index=index)


@pytest.mark.parametrize(
    ("gap", "step", "later"),
    [("10min", "30min", "10min"), ("30min", "30min", "0min"), ("40min", "60min", "10min"), ("60min", "60min", "0min")],
)
def test_the_sun_of_a_step_stands_in_the_middle_of_its_readings(gap: str, step: str, later: str) -> None:
    """Readings at 0:00, 0:10 and 0:20 have their middle at 0:10."""
    grid = known(lay_out_grid(frame(gap), SITE))
    assert pd.Timedelta(seconds=grid.step_s) == pd.Timedelta(step)
    expected = sun_elevation_deg(grid.stamps_utc + pd.Timedelta(later), SITE, step_h=0.0)
    assert grid.elevation_deg == pytest.approx(expected, abs=1e-9)


def test_a_log_with_holes_is_laid_out_all_the_same() -> None:
    """Indoors stays unread where it was; outdoors is bridged and known to have been a hole; sun is never below 0."""
    holed = np.arange(96.0)
    holed[[10, 40]] = HOLE
    grid = known(lay_out_grid(frame("30min", indoor=holed, outdoor=holed, sun=np.full(96, -3.0)), SITE))
    assert np.flatnonzero(np.isnan(grid.indoor_c)).tolist() == [10, 40]
    assert grid.outdoor_c.tolist() == pytest.approx(np.arange(96.0).tolist())
    assert np.flatnonzero(~grid.outdoor_known).tolist() == [10, 40]
    assert known(grid.sun_w_m2).tolist() == [0.0] * 96


def test_every_short_hole_is_bridged_not_only_the_first() -> None:
    values = np.arange(72.0)
    values[[10, 30, 31, 50]] = HOLE
    assert filled(values, 3600.0).tolist() == np.arange(72.0).tolist()


def test_a_cost_is_the_sum_of_squares_of_what_readings_and_figures_lie_off() -> None:
    """1 + 4 + 9 and 0 + 16 + 0."""
    nothing: Any = None
    found = Misfit(np.array([[1.0, -2.0], [0.0, 4.0]]), np.array([[3.0], [0.0]]), nothing)
    assert found.cost.tolist() == [14.0, 16.0]
    assert found.all.tolist() == [[1.0, -2.0, 3.0], [0.0, 4.0, 0.0]]


def test_air_and_water_are_held_against_every_pair_of_their_readings() -> None:
    """Forty days of hours: 959 pairs of each; without a logged tank those of the air alone."""
    fit = known_house().voices[0].fit
    problem = replace(fit.problem, learnt=np.ones(fit.problem.grid.steps, dtype=bool))
    fitted = fit.fitted[None]
    steps = problem.grid.steps
    both = misfit(problem, fitted, Noise(np.full(steps, 50.0), 50.0), ())
    assert both.data.shape == (1, 2 * (24 * DAYS - 1))
    dry = replace(problem, grid=replace(problem.grid, water_c=None))
    alone = misfit(dry, fitted, Noise(np.full(steps, 50.0), 50.0), ())
    assert alone.data.shape == (1, 24 * DAYS - 1)
    assert both.prior[0, -len(problem.table) :] == pytest.approx(0.0), "every figure lies at its centre"


@pytest.mark.parametrize(("read", "nights"), [(8, 1), (7, 0)])
def test_a_night_kept_out_of_the_fit_counts_from_four_hours_of_readings(read: int, nights: int) -> None:
    """Half-hours, the first ten of each day dark; the third day's night is kept out."""
    row = np.arange(5 * 48)
    dark = row % 48 < 10
    indoor = np.where(dark & (row % 48 >= read), HOLE, 10.0)
    grid = replace(plain_grid(5 * 48), sun_day=row // 48, elevation_deg=np.where(dark, -10.0, 30.0), indoor_c=indoor)
    fit: Any = SimpleNamespace(problem=SimpleNamespace(grid=grid), marched=SimpleNamespace(air_c=np.full(5 * 48, 10.0)))
    assert foretell(fit).nights == nights


def short_log(*, noon_rises: bool, outdoor_c: float) -> Any:
    """Sixty days from 20 January on, at one temperature outdoors, the noon sun day by day higher or lower."""
    days = 60
    noon = 20.0 + np.arange(days) * (0.3 if noon_rises else -0.3)
    hour = np.arange(24 * days)
    grid = plain_grid(24 * days, step_s=3600.0, outdoor_c=outdoor_c)
    return replace(
        grid,
        stamps_utc=pd.date_range("2026-01-20", periods=24 * days, freq="h", tz="UTC"),
        sun_day=hour // 24,
        elevation_deg=np.where(hour % 24 == 12, noon[hour // 24], -20.0),
    )


def test_where_the_noon_sun_rises_in_february_a_cold_winter_log_is_the_year_s_cold_end() -> None:
    """A flat 0 °C is less than the year's mean; where it sinks, a flat 20 °C is more."""
    north = yearly_wave(short_log(noon_rises=True, outdoor_c=0.0))
    assert north.half_swing_k < 0.0 < north.mean_c
    south = yearly_wave(short_log(noon_rises=False, outdoor_c=20.0))
    assert south.half_swing_k > 0.0
    assert south.mean_c < 20.0
    assert south.half_swing_k == pytest.approx(-north.half_swing_k)
    assert 20.0 - south.mean_c == pytest.approx(north.mean_c)


def test_a_replayed_thermostat_goes_by_the_step_before_and_keeps_on_through_a_hole() -> None:
    """On below 10 °C, off above 12, while the bed is warmer: at 9 it goes on in the next step, at 11 it stays on,
    unread it stays on, at 13 it goes off; from the first step nothing is known."""
    rule = FanRule(Branch(1.0, 10.0, 12.0, 0.0, 0.0), None, None)
    air = np.array([9.0, 11.0, HOLE, 11.0, 13.0, 11.0, 9.0, 9.0])
    assert _replay(rule, air, np.full(8, 20.0)).tolist() == [0.0, 1.0, 1.0, 1.0, 1.0, 0.0, 0.0, 1.0]
    assert _replay(rule, air, np.full(8, 5.0)).tolist() == [0.0] * 8, "the bed is colder"


@pytest.mark.parametrize(("most", "sizes"), [(2, [2, 2, 1]), (5, [5]), (9, [5]), (1, [1] * 5), (0, [1] * 5)])
def test_variants_are_run_so_many_at_once_and_one_where_none_fits(most: int, sizes: list[int]) -> None:
    variants: Any = list("abcde")
    found: Any = list(_chunks(variants, most))
    assert [len(some) for some in found] == sizes
    assert [one for some in found for one in some] == variants


def test_heat_of_steps_beyond_an_hour_ends_with_the_last_step_that_is_asked_for() -> None:
    grid = plain_grid(4, step_s=7200.0)
    found = _hourly_sum(grid, np.array([6.0, 10.0, 2.0, 4.0]), np.array([False, True, True, False]))
    assert found.tolist() == pytest.approx([5.0, 5.0, 1.0, 1.0])
    assert found.index[0] == grid.stamps_utc[1]


def test_the_free_runs_have_the_found_figures_and_the_fan_s_settings_as_they_were_found(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Bare and built held, three sets of figures each, then bare and built free: the first set, number 0."""
    asked: list[list[int]] = []
    runs: list[int] = []

    def repeated(rule: Any, columns: NDArray[np.int64]) -> Any:
        asked.append(columns.tolist())
        return rule

    def run_all(_problem: Any, cases: Any, **_: Any) -> tuple[Any, ...]:
        runs.extend(int(one) for case in cases for one in case.fitted[:, 0])
        return tuple(cases)

    figures = np.array([[0.0], [1.0], [2.0]])
    plain: dict[str, Any] = {
        "drawn_figures": lambda _fit: figures, "fan_rule": lambda *_: NO_FAN, "cloud_rule": lambda *_: None,
        "march": lambda *_: SimpleNamespace(near_c=np.zeros((2, 3))), "rule_of_each": lambda rule, *_, **__: rule,
        "repeated": repeated, "run_all": run_all,
    }  # fmt: skip
    for name, stand_in in plain.items():
        monkeypatch.setattr(runs_room, name, stand_in)
    structure = Structure(Floor.TWO_LAYERS, Bed.LINKED, tank=False)
    fit: Any = SimpleNamespace(
        problem=SimpleNamespace(structure=structure, grid=None), noise=None,
        marched=SimpleNamespace(near_c=np.zeros(2), sun_w_m2=None),
    )  # fmt: skip
    runs_room._run(fit, 1.0, 5.0)
    assert asked == [[0, 1, 2, 0, 1, 2, 0, 0]]
    assert runs == asked[0], "each run has the settings of its own figures"
