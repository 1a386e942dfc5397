"""Whole chain on houses of other physics whose answer is known: six weeks of winter, four farms."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from ledger.heat.housemodel.answer import HouseModelAnswer
from tests.housemodel.calibrate import answer_of
from tests.housemodel.farms import Farms, Truth, draw_farms, simulate, write_farm
from tests.housemodel.simulator import Ran

SEED = 21
TUBES_WITH_SUN, TANK_WITH_SUN = 0, 2


@pytest.fixture(scope="module")
def winter() -> tuple[Farms, Ran, tuple[Truth, ...]]:
    farms = draw_farms(4, SEED, days=(40, 82))
    farms = replace(farms, holes=np.zeros(4, dtype=np.int64), houses=replace(farms.houses, hold_c=np.full(4, 6.0)))
    return farms, *simulate(farms, SEED)


def answered(
    winter: tuple[Farms, Ran, tuple[Truth, ...]], house: int, folder: Path
) -> tuple[HouseModelAnswer, Truth]:
    farms, logged, truths = winter
    write_farm(folder, farms, logged, house, SEED)
    return answer_of(folder), truths[house]


@pytest.mark.parametrize("house", [TUBES_WITH_SUN, TANK_WITH_SUN])
def test_the_avoided_heat_of_a_simulated_house_is_found(
    winter: tuple[Farms, Ran, tuple[Truth, ...]], house: int, tmp_path: Path
) -> None:
    answer, truth = answered(winter, house, tmp_path)
    (season,) = answer.seasons.values()
    whole = season.answer.model.whole
    assert whole is not None
    scale = max(abs(truth.avoided_kwh), 0.1 * truth.bare_kwh)
    assert abs(whole.avoided_kwh - truth.avoided_kwh) < 0.5 * scale
    assert whole.p10 < whole.avoided_kwh < whole.p90
    assert season.held_out.within_limits
    assert season.contrasts
