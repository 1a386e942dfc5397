"""The place that the house model and the fan-off nights take in the answer."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ledger.heat.bare import ModelSeason, Ways
from ledger.heat.draws import drawn
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import energy_response, prepare, reckon
from ledger.heat.results import BareAnswer
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from tests.heat.builders import JANUARY_HOURS, ledger_of, plain_house, record_of, spread, through_january

JANUARY = Window(MonthDay(1, 1), MonthDay(1, 31))


def january() -> Ledger:
    return ledger_of(plain_house(100.0, lift=spread(2.0, 1.0, 3.0)), season=JANUARY)


@pytest.fixture(scope="module")
def flat() -> Prepared:
    """31 days at 3 °C indoors and −3 °C outdoors."""
    channels = {"indoor": np.full(JANUARY_HOURS, 3.0), "outdoor": np.full(JANUARY_HOURS, -3.0)}
    return prepare(record_of(channels, first="2026-01-01T00:00+01:00"), january())


def believed() -> Ways:
    """Bare run held: 1 kWh an hour, day and night; built run: 0.75; the whole season is the valid one."""
    answer = BareAnswer(JANUARY_HOURS * 1.0, JANUARY_HOURS * 0.25, JANUARY_HOURS * 0.2, JANUARY_HOURS * 0.3)
    season = ModelSeason(
        answer, answer, through_january(1.0), through_january(2.0), through_january(1.0), through_january(0.75)
    )
    return Ways(model={"2026": season}, model_believed=True)


def test_the_rungs_beside_a_model_take_the_bare_house_s_free_run(flat: Prepared) -> None:
    """Bare house 1 °C: need in the dark 0.4 an hour, short 0.2: added 0.2; credited stays the model's."""
    season = reckon(flat, january(), ways=believed()).seasons[0]
    assert season.rungs.added_kwh == pytest.approx(0.2 * season.hours_counted)
    assert season.rungs.credited_kwh == pytest.approx(0.25 * JANUARY_HOURS)
    assert season.need_kwh == pytest.approx(JANUARY_HOURS)


def test_a_believed_model_s_hours_make_the_typical_year_day_and_night(flat: Prepared) -> None:
    year = reckon(flat, january(), ways=believed()).typical
    assert year is not None
    assert (year.bare, year.basis) == ("model", "logged seasons")
    assert year.need_kwh == pytest.approx(JANUARY_HOURS)
    assert year.avoided_kwh == pytest.approx(0.25 * JANUARY_HOURS)
    assert year.avoided_range_kwh.p10 == pytest.approx(0.2 * JANUARY_HOURS)
    assert year.avoided_range_kwh.p90 == pytest.approx(0.3 * JANUARY_HOURS)
    assert len(year.profile) == JANUARY_HOURS
    assert year.profile["to_buy_kwh"].to_numpy() == pytest.approx(np.full(JANUARY_HOURS, 0.75))
    assert year.bare_lift_p10_k == pytest.approx(4.0)


def test_the_model_s_band_is_the_one_input_of_its_curve(flat: Prepared) -> None:
    curve = energy_response(flat, january(), ways=believed())
    assert curve is not None
    assert [d.path for d in curve.inputs] == ["house model"]
    need, avoided = curve.answer(drawn(curve.inputs, draws=4000))
    assert np.quantile(avoided, [0.1, 0.9]) == pytest.approx([0.2 * JANUARY_HOURS, 0.3 * JANUARY_HOURS], rel=0.01)
    assert np.all(need == JANUARY_HOURS)


def test_the_model_s_run_over_a_long_record_is_the_typical_year_where_it_answers(flat: Prepared) -> None:
    plain = reckon(flat, january()).typical
    assert plain is not None
    theirs = replace(plain, basis="climate file", need_kwh=500.0, avoided_kwh=200.0, to_buy_kwh=300.0)
    year = reckon(flat, january(), ways=replace(believed(), typical=theirs)).typical
    assert year is not None
    assert (year.basis, year.need_kwh, year.avoided_kwh, year.bare) == ("climate file", 500.0, 200.0, "model")
    doubted = replace(believed(), typical=theirs, model_believed=False)
    kept = reckon(flat, january(), ways=doubted).typical
    assert kept is not None
    assert kept.need_kwh == pytest.approx(plain.need_kwh)


def test_growth_by_the_build_comes_from_the_free_runs_day_and_night(flat: Prepared) -> None:
    """Built 13 °C, bare 11 °C over a base of 10, all hours of 31 days: 62 K·d."""
    ways = believed()
    warm = replace(ways.model["2026"], built_free_c=through_january(13.0), bare_free_c=through_january(11.0))
    season = reckon(flat, january(), ways=replace(ways, model={"2026": warm})).seasons[0]
    assert season.gdd_by_build_k_d == pytest.approx(62.0)
