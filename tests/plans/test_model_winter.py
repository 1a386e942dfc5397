"""Hard winters and a power cut through the house model: sums that close, the hardest winter found, plan by plan."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from ledger.heat.housemodel.other_years import FittedHouse, run_own_winter
from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger
from ledger.plans.compare import compare
from ledger.plans.model_winter import winter_as_run
from ledger.plans.other_winter import stress_of
from ledger.plans.power_cut import parts_standing, power_cut
from ledger.plans.results import Comparison
from ledger.plans.stress import BY_LIMIT, BY_MODEL, Cold
from ledger.series.record import HourlyRecord
from tests.heat.builders import build, heater, ledger_of, plain_house, record_of, spread
from tests.housemodel.carried import DAYS, WINDOW, known_house, weather
from tests.known import known
from tests.plans.made import stove


@pytest.fixture(scope="module")
def house() -> FittedHouse:
    return known_house()


@pytest.fixture(scope="module")
def farm() -> tuple[Ledger, tuple[SeasonWork, ...], Comparison]:
    """A season of the weather that the known house saw, indoors 8 K above outdoors; a heater and a stove."""
    sources = (heater(output_kw=spread(30.0)), stove(backup=False))
    ledger = ledger_of(plain_house(200.0, lift=spread(2.0)), season=WINDOW, sources=sources)
    outdoor, _ = weather(DAYS)
    record = record_of({"indoor": outdoor + 8.0, "outdoor": outdoor}, first="2026-01-01T00:00+01:00")
    work = heat_work(prepare(record, ledger), ledger)
    assert work.typical.heat is not None
    compared = compare(ledger, work.typical.heat, fan_kwh=0.0, coldest_logged_c=-14.0, shares=None)
    return ledger, work.seasons, compared


def long_record(*means_c: float) -> HourlyRecord:
    """A whole year outdoors for each mean, from 2021 on."""
    parts = [
        record_of({"outdoor": weather(365, mean_c=c)[0]}, first=f"{2021 + i}-01-01T00:00+01:00").hours
        for i, c in enumerate(means_c)
    ]
    return replace(record_of({"outdoor": np.zeros(2)}, first="2021-01-01T00:00+01:00"), hours=pd.concat(parts))


def test_a_models_winter_closes_its_sums_day_and_night(
    house: FittedHouse, farm: tuple[Ledger, tuple[SeasonWork, ...], Comparison]
) -> None:
    ledger, seasons, _ = farm
    hard = stress_of(ledger, seasons, Cold(5.0, -15.0, None), record=None, house=house)
    assert hard is not None
    run = run_own_winter(house, hold_c=ledger.hold.temperature_c, colder_k=5.0)
    assert hard.by == BY_MODEL
    assert hard.cap_kwh is None
    assert hard.need_kwh == pytest.approx(run.need_kwh)
    assert hard.avoided_kwh + hard.to_buy_kwh == pytest.approx(hard.need_kwh)
    assert hard.to_buy_range_kwh is not None
    assert hard.to_buy_range_kwh.p10 < hard.to_buy_kwh < hard.to_buy_range_kwh.p90
    assert hard.nights_counted == DAYS + 1  # noon to noon: the night before the first of January is one of them
    assert hard.notices == ()
    by_rule = stress_of(ledger, seasons, Cold(5.0, -15.0, None), record=None)
    assert by_rule is not None
    assert by_rule.by == BY_LIMIT


def test_nights_short_are_those_of_the_free_run(
    house: FittedHouse, farm: tuple[Ledger, tuple[SeasonWork, ...], Comparison]
) -> None:
    ledger, _, _ = farm
    run = run_own_winter(house, hold_c=5.0, colder_k=0.0)
    winter = winter_as_run(run, ledger)
    assert np.array_equal(winter.below, run.hours["indoor_c"].to_numpy() < 5.0 - 1e-9)
    assert winter.limit is None


def test_of_a_long_record_the_winter_with_the_greatest_need_is_run(
    house: FittedHouse, farm: tuple[Ledger, tuple[SeasonWork, ...], Comparison]
) -> None:
    ledger, seasons, _ = farm
    as_it_was = Cold(0.0, -15.0, None)
    worst = stress_of(ledger, seasons, as_it_was, record=long_record(-2.0, -8.0, 1.0), house=house)
    assert worst is not None
    assert worst.season == "2022"
    milder = stress_of(ledger, seasons, as_it_was, record=long_record(-2.0), house=house)
    assert milder is not None
    assert milder.need_kwh < worst.need_kwh
    by_rule = stress_of(ledger, seasons, as_it_was, record=long_record(-2.0, -8.0, 1.0))
    assert by_rule is not None
    assert by_rule.season == "2022"


def test_a_shifted_record_is_the_same_as_a_colder_one(
    house: FittedHouse, farm: tuple[Ledger, tuple[SeasonWork, ...], Comparison]
) -> None:
    ledger, seasons, _ = farm
    shifted = stress_of(ledger, seasons, Cold(4.0, -15.0, None), record=long_record(-2.0), house=house)
    colder = stress_of(ledger, seasons, Cold(0.0, -15.0, None), record=long_record(-6.0), house=house)
    assert shifted is not None
    assert colder is not None
    assert shifted.need_kwh == pytest.approx(colder.need_kwh, rel=1e-9)
    assert shifted.frost_hours == colder.frost_hours


def test_of_the_logged_winters_the_hardest_is_run_though_another_was_fitted(house: FittedHouse) -> None:
    """The house was fitted to 2026; 2025 was logged too, 6 K colder. Run from its own weather it needs what the same
    weather as another record does."""
    ledger = ledger_of(plain_house(200.0, lift=spread(2.0)), season=WINDOW)
    outdoor = np.concatenate([weather(365, mean_c=-8.0)[0], weather(DAYS)[0]])
    record = record_of({"indoor": outdoor + 8.0, "outdoor": outdoor}, first="2025-01-01T00:00+01:00")
    seasons = heat_work(prepare(record, ledger), ledger).seasons
    assert [s.heat.season for s in seasons] == ["2025", "2026"]
    hard = known(stress_of(ledger, seasons, Cold(5.0, -15.0, None), record=None, house=house))
    only = record_of({"outdoor": weather(365, mean_c=-8.0)[0]}, first="2025-01-01T00:00+01:00")
    same = known(stress_of(ledger, seasons, Cold(5.0, -15.0, None), record=only, house=house))
    assert hard.season == same.season == "2025"
    assert (hard.need_kwh, hard.to_buy_kwh) == pytest.approx((same.need_kwh, same.to_buy_kwh))
    milder = known(stress_of(ledger, seasons[1:], Cold(5.0, -15.0, None), record=None, house=house))
    assert milder.season == "2026"
    assert milder.need_kwh < hard.need_kwh


def test_a_record_of_another_summer_holds_no_winter_for_the_model_either(
    house: FittedHouse, farm: tuple[Ledger, tuple[SeasonWork, ...], Comparison]
) -> None:
    ledger, seasons, _ = farm
    summer = record_of({"outdoor": np.full(24 * 30, 18.0)}, first="2024-07-01T00:00+02:00")
    assert stress_of(ledger, seasons, Cold(0.0, -15.0, None), record=summer, house=house) is None


def test_every_plan_is_told_how_long_it_lasts_in_a_cut(
    house: FittedHouse, farm: tuple[Ledger, tuple[SeasonWork, ...], Comparison]
) -> None:
    """By the model: bare houses share their hours, houses with the build theirs; the stove goes on, the plug stops."""
    ledger, seasons, compared = farm
    cut = power_cut(ledger, seasons, design_temperature_c=-15.0, plans=compared.plans, house=house)
    assert cut is not None
    assert cut.by == BY_MODEL
    assert [c.name for c in cut.plans] == [p.name for p in compared.plans]
    by_name = {c.name: c for c in cut.plans}
    assert by_name["electric heater alone"].heater_goes_on is False
    assert by_name["wood stove alone"].heater_goes_on is True
    assert by_name["build alone"].heater_goes_on is False
    assert by_name["electric heater alone"].hours_above_freezing == by_name["wood stove alone"].hours_above_freezing
    assert by_name["build + wood stove"].hours_above_freezing == cut.hours_above_freezing
    assert by_name["nothing"].start_c is not None
    assert by_name["electric heater alone"].start_c is not None
    assert by_name["nothing"].start_c <= by_name["electric heater alone"].start_c + 1e-9


def test_without_a_model_a_house_that_the_log_does_not_hold_is_not_known(
    farm: tuple[Ledger, tuple[SeasonWork, ...], Comparison],
) -> None:
    """Nothing in the log says how a like house with nothing built cools."""
    ledger, seasons, compared = farm
    cut = power_cut(ledger, seasons, design_temperature_c=-15.0, plans=compared.plans)
    assert cut is not None
    by_name = {c.name: c for c in cut.plans}
    assert not by_name["wood stove alone"].known
    assert by_name["build + wood stove"].known
    assert by_name["build + wood stove"].hours_above_freezing == cut.hours_above_freezing


def test_parts_of_the_model_stand_for_the_builds_of_a_plan() -> None:
    """Without stores every build is a bed."""
    ledger = replace(ledger_of(), builds=(build("tubes"), build("more tubes")))
    assert parts_standing(ledger, ()).bed is False
    assert parts_standing(ledger, ("tubes",)).bed is True
    assert parts_standing(ledger, ("tubes",)).tank is False
