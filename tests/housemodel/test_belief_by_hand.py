"""Whether a fit may be believed, by hand: nights it has not seen, figures far from what was known, a contrast."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from ledger.heat.housemodel.answer import _why_not
from ledger.heat.housemodel.belief import HeldOut, contrasts, far_figures, foretell, held_out_steps
from ledger.heat.housemodel.grid import Grid
from ledger.heat.housemodel.priors import Figure, fitted_centres, fitted_sds, priors
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from tests.housemodel.plain import HOUSE, plain_grid

A_DAY = 48
TABLE = priors(HOUSE, Structure(Floor.LADDER, Bed.NONE, tank=False), annual_outdoor_c=8.0, windy=False)


def half_hours(days: int) -> Grid:
    """Days of half-hours of which the first ten hours are dark; 10 °C indoors, 0 °C outdoors."""
    grid = plain_grid(days * A_DAY, indoor_c=10.0)
    row = np.arange(grid.steps)
    return replace(grid, sun_day=row // A_DAY, elevation_deg=np.where(row % A_DAY < 20, -10.0, 30.0))


def fit_of(grid: Grid, air_c: NDArray[np.float64]) -> Any:
    """As much of a fit as is asked here."""
    return SimpleNamespace(problem=SimpleNamespace(grid=grid), marched=SimpleNamespace(air_c=air_c))


def fit_at(*off: tuple[Figure, float]) -> Any:
    """A fit that lies where its priors do, but for some figures so many standard deviations away."""
    away = np.array([dict(off).get(p.figure, 0.0) for p in TABLE])
    fitted = fitted_centres(TABLE) + away * fitted_sds(TABLE)
    return SimpleNamespace(problem=SimpleNamespace(table=TABLE), fitted=fitted)


def test_the_third_night_of_five_is_kept_out_of_the_fit() -> None:
    rows = np.flatnonzero(held_out_steps(half_hours(10)))
    assert rows.tolist() == [*range(2 * A_DAY, 2 * A_DAY + 20), *range(7 * A_DAY, 7 * A_DAY + 20)]


def test_nights_kept_out_are_foretold_from_the_dusk_before() -> None:
    """A model that is 1 K too warm throughout is put right at dusk and forgets it by 0.81 a half-hour: off by
    1 − 0.81^k in the k-th step of the night. Two nights of 20 steps on a rise of 10 K; one degree of freedom."""
    grid = half_hours(10)
    off = 1.0 - 0.81 ** np.arange(1, 21)
    held = foretell(fit_of(grid, np.full(grid.steps, 11.0)))
    assert held.nights == 2
    assert held.nmbe == pytest.approx(2 * off.sum() / 39 / 10.0)
    assert held.cv_rmse == pytest.approx(np.sqrt(2 * (off**2).sum() / 39) / 10.0)


def test_where_dusk_was_not_read_the_model_stands_by_itself() -> None:
    """1 K in each of 20 steps of one night, the other has hardly any reading: 20/19 K and √(20/19) K on 10 K."""
    grid = half_hours(10)
    indoor = grid.indoor_c.copy()
    indoor[2 * A_DAY - 1] = np.nan
    indoor[7 * A_DAY : 7 * A_DAY + 13] = np.nan
    held = foretell(fit_of(replace(grid, indoor_c=indoor), np.full(grid.steps, 11.0)))
    assert held.nights == 1
    assert (held.nmbe, held.cv_rmse) == pytest.approx((20 / 19 / 10.0, np.sqrt(20 / 19) / 10.0))


def test_without_a_night_or_a_rise_nothing_is_said_of_it() -> None:
    short = half_hours(2)
    assert foretell(fit_of(short, short.indoor_c)) == HeldOut(0, None, None)
    flat = replace(half_hours(5), outdoor_c=np.full(5 * A_DAY, 10.0))
    assert foretell(fit_of(flat, flat.indoor_c)) == HeldOut(1, None, None)


@pytest.mark.parametrize(
    ("cv_rmse", "nmbe", "within"),
    [
        (0.30, 0.10, True),
        (0.31, 0.0, False),
        (0.1, -0.11, False),
        (0.1, -0.10, True),
        (None, 0.0, False),
        (0.1, None, False),
    ],
)
def test_the_hourly_limits_are_those_of_the_guideline(cv_rmse: float | None, nmbe: float | None, within: bool) -> None:
    """ASHRAE Guideline 14-2014: CV(RMSE) 30 %, NMBE 10 % either way."""
    assert HeldOut(5, cv_rmse, nmbe).within_limits is within


def test_figures_far_from_what_was_known_are_named_with_how_far() -> None:
    fit = fit_at((Figure.SOIL_CAPACITY, 3.5), (Figure.SUN_AREA, -4.0), (Figure.LIGHT_LINK, 2.9))
    assert {f: round(d, 9) for f, d in far_figures(fit)} == {Figure.SOIL_CAPACITY: 3.5, Figure.SUN_AREA: -4.0}
    assert [f for f, _ in far_figures(fit, beyond=3.9)] == [Figure.SUN_AREA]


def test_each_contrast_that_fixes_kilowatt_hours_is_named() -> None:
    """Nothing; a sun channel; 20 h of a heater and not 19.5; a tank of known mass."""
    grid = replace(half_hours(2), sun_w_m2=None)
    assert contrasts(grid, tank_known=False) == ()
    assert contrasts(half_hours(2), tank_known=False) == ("measured sun",)
    assert contrasts(grid, tank_known=True) == ("a logged store of known mass",)
    for steps, found in ((40, ("a metered heater",)), (39, ())):
        heated = replace(grid, heater_w=np.where(np.arange(grid.steps) < steps, 500.0, 0.0))
        assert contrasts(heated, tank_known=False) == found


@pytest.mark.parametrize(("days", "found"), [(16, ("the fan on and off in like hours",)), (15, ())])
def test_a_fan_tells_something_where_it_ran_and_rested_in_eight_nights_each(days: int, found: tuple[str, ...]) -> None:
    """Every other night on; of fifteen nights it rested in seven only."""
    grid = replace(half_hours(days), sun_w_m2=None)
    share = np.where(grid.sun_day % 2 == 0, 1.0, 0.0)
    fanned = replace(grid, fan_share=share, fan_level=np.where(share > 0.5, 2, 0))
    assert contrasts(fanned, tank_known=False) == found
    by_day = replace(fanned, fan_share=np.where(grid.elevation_deg > 0.0, share, np.nan))
    assert contrasts(by_day, tank_known=False) == ()


def test_all_that_speaks_against_a_fit_is_said() -> None:
    good, bad = HeldOut(6, 0.1, 0.02), HeldOut(6, 0.4, -0.2)
    assert _why_not(fit_at(), good, ("measured sun",), None) == ()
    (few,) = _why_not(fit_at(), HeldOut(0, None, None), ("measured sun",), None)
    assert "too few whole nights" in few
    unmetered, nights, nothing, away = _why_not(fit_at((Figure.SKY, 5.0)), bad, (), "a heater without a meter")
    assert unmetered == "a heater without a meter"
    assert nights.startswith("6 nights")
    assert "40%" in nights
    assert "-20%" in nights
    assert nothing.startswith("nothing in the log")
    assert away.startswith(Figure.SKY.value)
