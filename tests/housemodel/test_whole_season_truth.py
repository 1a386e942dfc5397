"""A season whose log begins late, ends early or lacks weeks, on simulated houses whose whole answer is known."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from ledger.heat.housemodel.open_days import FilledBy
from ledger.heat.housemodel.season_runs import SeasonAnswer
from tests.housemodel.calibrate import answer_of
from tests.housemodel.cut import DAY
from tests.housemodel.farms import Farms, Truth, draw_farms, log_of, simulate, write_farm
from tests.housemodel.simulator import Ran

SEED = 23
FIRST_DAY, LAST_DAY = 30, 100
TUBES_WITH_SUN, TANK_WITH_SUN = 0, 2


@pytest.fixture(scope="module")
def winter() -> tuple[Farms, Ran, tuple[Truth, ...]]:
    """Ten weeks of four farms."""
    farms = draw_farms(4, SEED, days=(FIRST_DAY, LAST_DAY))
    return farms, *simulate(farms, SEED)


def ends_lost(table: pd.DataFrame) -> pd.DataFrame:
    """Twelve days before the log, twelve after it."""
    return table.iloc[12 * DAY : -12 * DAY]


def the_middle_lost(table: pd.DataFrame) -> pd.DataFrame:
    """Two weeks."""
    return table.drop(table.index[30 * DAY : 44 * DAY])


def answered(
    winter: tuple[Farms, Ran, tuple[Truth, ...]],
    house: int,
    folder: Path,
    lose: Callable[[pd.DataFrame], pd.DataFrame] = lambda table: table,
) -> SeasonAnswer:
    farms, logged, _ = winter
    write_farm(folder, farms, logged, house, SEED)
    table = lose(log_of(farms, logged, house, SEED)).tz_localize(None)
    table.to_csv(folder / "log.csv", date_format="%Y-%m-%d %H:%M")
    (season,) = answer_of(folder).seasons.values()
    return season.answer


@pytest.mark.parametrize("house", [TUBES_WITH_SUN, TANK_WITH_SUN])
@pytest.mark.parametrize("lose", [ends_lost, the_middle_lost])
def test_the_whole_season_s_truth_lies_in_its_range_where_a_third_or_a_fifth_is_lost(
    winter: tuple[Farms, Ran, tuple[Truth, ...]],
    house: int,
    lose: Callable[[pd.DataFrame], pd.DataFrame],
    tmp_path: Path,
) -> None:
    truth = winter[2][house]
    answer = answered(winter, house, tmp_path, lose)
    whole, valid = answer.model.whole, answer.model.valid
    assert whole is not None
    assert answer.filled is not None
    assert answer.filled.by == (FilledBy.NEARBY,)
    assert whole.p10 <= truth.avoided_kwh <= whole.p90
    assert whole.need_kwh > valid.need_kwh
    assert abs(whole.need_kwh - truth.bare_kwh) < 0.35 * truth.bare_kwh
    assert whole.p90 - whole.p10 > valid.p90 - valid.p10, "open days make it less sure"


def test_a_log_that_covers_its_season_has_one_answer_for_both(
    winter: tuple[Farms, Ran, tuple[Truth, ...]], tmp_path: Path
) -> None:
    farms, logged, truths = winter
    whole_log = (replace(farms, holes=np.zeros(4, dtype=np.int64)), logged, truths)
    answer = answered(whole_log, TANK_WITH_SUN, tmp_path)
    assert answer.filled is None
    assert answer.model.whole == answer.model.valid
