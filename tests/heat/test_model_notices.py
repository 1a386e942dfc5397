"""What is said beside the figures of a season that the house model answers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.open_days import FilledBy
from ledger.heat.housemodel.season_runs import Filled
from ledger.heat.model_notices import model_notices
from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.results import Band
from ledger.heat.season_answer import SeasonWork
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger, Show
from ledger.model.values import MonthDay, Window
from tests.heat.builders import build, ledger_of, plain_house, record_of, spread
from tests.housemodel.fitted import model_of, season_of, told_of

JANUARY = Window(MonthDay(1, 10), MonthDay(1, 21))


@pytest.fixture(scope="module")
def ledger() -> Ledger:
    return ledger_of(plain_house(100.0, lift=spread(2.0)), season=JANUARY, builds=(build("tubes"),))


@pytest.fixture(scope="module")
def season(ledger: Ledger) -> SeasonWork:
    """Twelve days, as if the model answered them; the whole season with a range of 900 to 1,500 kWh."""
    record = record_of({"indoor": np.full(288, 3.0), "outdoor": np.full(288, -3.0)}, first="2026-01-10T00:00+01:00")
    (one,) = heat_work(prepare(record, ledger), ledger).seasons
    heat = replace(one.heat, season="2026", avoided_whole_season_range_kwh=Band(900.0, 1500.0))
    return replace(one, way=BareWay.MODEL, heat=heat)


def set_at(cold_c: float) -> HouseModelAnswer:
    """Held at 4 °C, 1,100 kWh not bought; 1,200 kWh just below the fan's cold setting and 400 just above it."""
    return model_of(season_of(told_of(cold_c=cold_c), name="2026"))


@pytest.mark.parametrize("cold_c", [3.1, 4.0, 4.9])
def test_a_hold_within_a_degree_of_the_fan_s_setting_is_said_with_both_sides(
    season: SeasonWork, ledger: Ledger, cold_c: float
) -> None:
    (notice,) = model_notices([season], ledger, set_at(cold_c))
    assert notice.code == "hold-at-fan-setting"
    assert f"({cold_c:.1f} °C by the log)" in notice.text
    assert "1200 kWh held at 6.0 °C, 400 kWh held at 8.0 °C" in notice.text
    assert "the 1100 kWh are the mean over both" in notice.text


@pytest.mark.parametrize("cold_c", [3.0, 5.0, 7.0])
def test_a_hold_further_from_the_setting_is_not_warned_of(season: SeasonWork, ledger: Ledger, cold_c: float) -> None:
    assert model_notices([season], ledger, set_at(cold_c)) == ()


def test_temperatures_are_said_in_the_ledger_s_units(season: SeasonWork, ledger: Ledger) -> None:
    """4.5 °C are 40.1 °F."""
    (notice,) = model_notices([season], replace(ledger, show=Show.US), set_at(4.5))
    assert "(40 °F by the log)" in notice.text


def test_where_the_model_does_not_answer_nothing_is_said_of_it(season: SeasonWork, ledger: Ledger) -> None:
    assert model_notices([replace(season, way=BareWay.TWIN)], ledger, set_at(4.0)) == ()
    assert model_notices([season], ledger, None) == ()


def test_days_filled_in_are_counted_with_their_source_and_the_wider_range(season: SeasonWork, ledger: Ledger) -> None:
    fitted = season_of(told_of(), name="2026")
    filled = Filled(44.6, (FilledBy.CLIMATE, FilledBy.NEARBY))
    model = model_of(replace(fitted, answer=replace(fitted.answer, filled=filled)))
    (notice,) = model_notices([season], ledger, model)
    assert notice.code == "whole-season-filled"
    assert "45 days have no readings indoors" in notice.text
    assert "the climate that the ledger names and the same hours of nearby days" in notice.text
    assert "(900 to 1500 kWh)" in notice.text
