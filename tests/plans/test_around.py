"""What stands around the plans where a believed model and a long outdoor record have their say, and where not."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.season_answer import SeasonWork
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.plans.around import AroundPlans, Outdoors, around_plans, look_outdoors, with_winter
from ledger.plans.compare import compare
from ledger.plans.other_winter import HardWinter
from ledger.plans.results import Comparison
from ledger.plans.stress import BY_LIMIT, BY_MODEL
from ledger.plans.ties import Judged
from ledger.series.record import HourlyRecord
from tests.heat.builders import heater, ledger_of, plain_house, record_of, spread
from tests.housemodel.carried import DAYS, WINDOW, known_house, weather
from tests.housemodel.fitted import season_of, told_of
from tests.known import known


class Farm:
    """A season of the weather that the known house saw, indoors 8 K above outdoors, at least −14 °C; 30 kW of heat."""

    def __init__(self) -> None:
        self.ledger: Ledger = ledger_of(
            plain_house(200.0, lift=spread(2.0)), season=WINDOW, sources=(heater(output_kw=spread(30.0)),)
        )
        outdoor, _ = weather(DAYS)
        record = record_of({"indoor": outdoor + 8.0, "outdoor": outdoor}, first="2026-01-01T00:00+01:00")
        self.prepared: Prepared = prepare(record, self.ledger)
        work = heat_work(self.prepared, self.ledger)
        heat = known(work.typical.heat)
        self.compared: Comparison = compare(self.ledger, heat, fan_kwh=0.0, coldest_logged_c=-14.0, shares=None)
        self.seasons: tuple[SeasonWork, ...] = tuple(replace(s, way=BareWay.MODEL) for s in work.seasons)
        judged = Judged(heat, 0.0, -14.0, None)
        self.around: AroundPlans = around_plans(self.ledger, self.seasons, self.compared, judged=judged)

    def look(self, around: AroundPlans, seasons: tuple[SeasonWork, ...], climate: HourlyRecord | None) -> AroundPlans:
        outdoors = Outdoors(believed_model(), self.prepared, climate)
        return look_outdoors(around, self.ledger, seasons, self.compared.plans, outdoors)


def believed_model() -> HouseModelAnswer:
    """The known house as the answer of a fit."""
    voice = known_house().voices[0]
    season = replace(season_of(told_of(), name="2026"), fits=(voice.fit,), weights=(1.0,))
    return HouseModelAnswer({"2026": season}, believed=True)


def long_record(mean_c: float) -> HourlyRecord:
    """The year 2021 outdoors."""
    return record_of({"outdoor": weather(365, mean_c=mean_c)[0]}, first="2021-01-01T00:00+01:00")


@pytest.fixture(scope="module")
def farm() -> Farm:
    return Farm()


def test_a_believed_model_answers_the_hard_winter_and_the_power_cut(farm: Farm) -> None:
    """Before it the log's limit did; without a long record there is no worst winter."""
    assert known(farm.around.stress).by == BY_LIMIT
    found = farm.look(farm.around, farm.seasons, None)
    assert known(found.stress).by == BY_MODEL
    assert known(found.power_cut).by == BY_MODEL
    assert [c.name for c in known(found.power_cut).plans] == [p.name for p in farm.compared.plans]
    assert found.worst_winter is None
    assert found.house is not None
    assert found.ties == farm.around.ties


def test_where_a_twin_contradicts_the_model_nothing_is_run_through_it(farm: Farm) -> None:
    contradicted = tuple(replace(s, way=BareWay.TWIN) for s in farm.seasons)
    assert farm.look(farm.around, contradicted, None) is farm.around


def test_of_a_long_record_the_worst_winter_stands_as_it_was(farm: Farm) -> None:
    """With the model by a run, without it by the limit of the log; a record 6 K colder needs more."""
    worst = known(farm.look(farm.around, farm.seasons, long_record(-8.0)).worst_winter)
    assert (worst.season, worst.by) == ("2021", BY_MODEL)
    assert worst.colder_k == 0.0
    mild = known(farm.look(farm.around, farm.seasons, long_record(-2.0)).worst_winter)
    assert mild.need_kwh < worst.need_kwh
    contradicted = tuple(replace(s, way=BareWay.TWIN) for s in farm.seasons)
    by_limit = known(farm.look(farm.around, contradicted, long_record(-8.0)).worst_winter)
    assert (by_limit.season, by_limit.by) == ("2021", BY_LIMIT)


def test_without_a_coldest_night_no_power_cut_is_judged(farm: Farm) -> None:
    unknown = replace(farm.around, design_temperature_c=None, power_cut=None)
    found = farm.look(unknown, farm.seasons, None)
    assert found.power_cut is None
    stress = known(found.stress)
    assert (stress.by, stress.peak_need_kw) == (BY_MODEL, None)


def test_a_record_of_a_summer_is_told_apart_from_a_log_that_is_missing(farm: Farm) -> None:
    summer = record_of({"outdoor": np.full(240, 18.0)}, first="2024-07-01T00:00+02:00")
    asked = with_winter(farm.around, farm.ledger, farm.seasons, hard=HardWinter(0.0, summer))
    assert asked.stress is None
    (said,) = asked.notices
    assert (said.code, said.path) == ("stress-unknown", "stress.record")
    assert "holds no hour of the season" in said.text
    (unlogged,) = with_winter(farm.around, farm.ledger, (), hard=HardWinter(5.0)).notices
    assert unlogged.path == "stress"
    assert "no season is logged" in unlogged.text
