"""Whole chain on houses of other physics whose answer is known: six weeks of winter, four farms."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.results import BareAnswer
from tests.housemodel.calibrate import answer_of
from tests.housemodel.farms import Farms, Truth, draw_farms, log_of, simulate, write_farm
from tests.housemodel.simulator import Ran

SEED = 21
TUBES_WITH_SUN, TANK_WITH_SUN = 0, 2


@pytest.fixture(scope="module")
def winter() -> tuple[Farms, Ran, tuple[Truth, ...]]:
    farms = draw_farms(4, SEED, days=(40, 82))
    farms = replace(farms, holes=np.zeros(4, dtype=np.int64), houses=replace(farms.houses, hold_c=np.full(4, 6.0)))
    return farms, *simulate(farms, SEED)


def answered(winter: tuple[Farms, Ran, tuple[Truth, ...]], house: int, folder: Path) -> HouseModelAnswer:
    farms, logged, _ = winter
    write_farm(folder, farms, logged, house, SEED)
    return answer_of(folder)


@pytest.fixture(scope="module")
def answers(
    winter: tuple[Farms, Ran, tuple[Truth, ...]], tmp_path_factory: pytest.TempPathFactory
) -> tuple[HouseModelAnswer, ...]:
    return tuple(answered(winter, house, tmp_path_factory.mktemp("farm")) for house in range(4))


@pytest.mark.parametrize("house", [TUBES_WITH_SUN, TANK_WITH_SUN])
def test_the_avoided_heat_of_a_simulated_house_is_found(
    winter: tuple[Farms, Ran, tuple[Truth, ...]], answers: tuple[HouseModelAnswer, ...], house: int
) -> None:
    truth = winter[2][house]
    (season,) = answers[house].seasons.values()
    whole = season.answer.model.whole
    assert whole is not None
    scale = max(abs(truth.avoided_kwh), 0.1 * truth.bare_kwh)
    assert abs(whole.avoided_kwh - truth.avoided_kwh) < 0.5 * scale
    assert whole.p10 < whole.avoided_kwh < whole.p90
    assert season.held_out.within_limits
    assert season.contrasts


def test_six_weeks_of_four_farms_are_answered_within_the_bar_for_whole_winters(
    winter: tuple[Farms, Ran, tuple[Truth, ...]], answers: tuple[HouseModelAnswer, ...]
) -> None:
    """The calibration in small: median error at most 12 %, none beyond 50 %, three ranges of four hold the truth."""
    errors, holds = [], 0
    for truth, answer in zip(winter[2], answers, strict=True):
        (season,) = answer.seasons.values()
        whole = season.answer.model.whole
        assert whole is not None
        scale = max(abs(truth.avoided_kwh), 0.1 * truth.bare_kwh)
        errors.append(abs(whole.avoided_kwh - truth.avoided_kwh) / scale)
        holds += whole.p10 <= truth.avoided_kwh <= whole.p90
    assert np.median(errors) <= 0.12
    assert max(errors) <= 0.50
    assert holds >= 3


def a_hole_of_five_days(table: pd.DataFrame) -> pd.DataFrame:
    return table.drop(table.index[1500:1980])


def half_a_kelvin_too_warm_indoors(table: pd.DataFrame) -> pd.DataFrame:
    return table.assign(**{"Indoor [°C]": table["Indoor [°C]"] + 0.5})


def a_clock_an_hour_late(table: pd.DataFrame) -> pd.DataFrame:
    return table.set_index(pd.DatetimeIndex(table.index) + pd.Timedelta(hours=1))


def a_station_frozen_for_two_days(table: pd.DataFrame) -> pd.DataFrame:
    frozen = table.copy()
    frozen.iloc[2000:2192] = frozen.iloc[2000].to_numpy()
    return frozen


@pytest.fixture(scope="module")
def untouched(answers: tuple[HouseModelAnswer, ...]) -> BareAnswer:
    return next(iter(answers[TANK_WITH_SUN].model_seasons.values())).valid


@pytest.mark.parametrize(
    "plant",
    [
        a_hole_of_five_days,
        half_a_kelvin_too_warm_indoors,
        a_clock_an_hour_late,
        a_station_frozen_for_two_days,
    ],
)
def test_a_fault_moves_the_avoided_heat_by_no_more_than_its_range(
    winter: tuple[Farms, Ran, tuple[Truth, ...]],
    untouched: BareAnswer,
    plant: Callable[[pd.DataFrame], pd.DataFrame],
    tmp_path: Path,
) -> None:
    farms, logged, _ = winter
    write_farm(tmp_path, farms, logged, TANK_WITH_SUN, SEED)
    table = plant(log_of(farms, logged, TANK_WITH_SUN, SEED)).tz_localize(None)
    table.to_csv(tmp_path / "log.csv", date_format="%Y-%m-%d %H:%M")
    faulty = next(iter(answer_of(tmp_path).model_seasons.values())).valid
    assert faulty.p10 <= untouched.avoided_kwh <= faulty.p90
