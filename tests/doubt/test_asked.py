"""What a what-if of the fitted house is worth in a year, and the hold temperatures that a model answers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ledger.doubt.asked import asked
from ledger.doubt.hold_steps import hold_steps
from ledger.heat.bare import NO_WAYS, ModelSeason, Ways
from ledger.heat.fan_off import FanOffAnswer
from ledger.heat.housemodel.left_out import Part
from ledger.heat.housemodel.whatif import Change
from ledger.heat.other_ways import other_ways
from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.results import BareAnswer
from ledger.model.house import BareWay
from ledger.model.values import MonthDay, Window
from ledger.plans.results import Plan
from tests.heat.builders import JANUARY_HOURS, ledger_of, plain_house, record_of, spread, through_january
from tests.housemodel.fitted import model_of, season_of, told_of
from tests.known import known
from tests.views.example import example_plans

JANUARY = ledger_of(
    plain_house(100.0, lift=spread(2.0, 1.0, 3.0)), season=Window(MonthDay(1, 1), MonthDay(1, 31)), hold_c=5.0
)
FLAT = record_of(
    {"indoor": np.full(JANUARY_HOURS, 3.0), "outdoor": np.full(JANUARY_HOURS, -3.0)}, first="2026-01-01T00:00+01:00"
)


def plans() -> tuple[Plan, ...]:
    """Electric heat at 0.16 for a delivered kWh."""
    return example_plans()


def test_a_change_is_worth_the_heat_that_it_spares_less_what_its_fan_draws() -> None:
    """Twice the bed: 500 kWh · 0.16 − (230 − 130) kWh · 0.16 = 80 − 16 = 64 a year."""
    found = {(one.what_if.change, one.what_if.part): one for one in asked(told_of(), ledger_of(), plans())}
    twice = found[Change.SIZE, Part.BED]
    assert twice.fan_kwh_more == pytest.approx(100.0)
    assert twice.worth_a_year == pytest.approx(64.0)


def test_a_change_for_the_worse_is_worth_less_than_nothing() -> None:
    """400 kWh less and 50 kWh of fan spared: −64 + 8 = −56."""
    (cold,) = (one for one in asked(told_of(), ledger_of(), plans()) if one.what_if.change is Change.FAN_COLD)
    assert cold.worth_a_year == pytest.approx(-56.0)


def test_other_hold_temperatures_are_left_to_the_whole_chain() -> None:
    assert all(one.what_if.change is not Change.HOLD for one in asked(told_of(), ledger_of(), plans()))


def test_what_has_no_price_is_worth_an_unknown_and_not_nothing() -> None:
    assert all(one.worth_a_year is None for one in asked(told_of(), ledger_of(), ()))


def season(need: float, to_buy: float) -> ModelSeason:
    answer = BareAnswer(JANUARY_HOURS * need, JANUARY_HOURS * (need - to_buy), 0.0, JANUARY_HOURS * need)
    return ModelSeason(
        answer, answer, through_january(1.0), through_january(2.0), through_january(need), through_january(to_buy)
    )


def first_days(one: ModelSeason, days: int) -> ModelSeason:
    """The same of a log that ends after so many days of the season."""
    hours = 24 * days
    return replace(
        one,
        bare_free_c=one.bare_free_c[:hours],
        built_free_c=one.built_free_c[:hours],
        need_by_hour_kwh=one.need_by_hour_kwh[:hours],
        to_buy_by_hour_kwh=one.to_buy_by_hour_kwh[:hours],
    )


def by_model() -> Ways:
    """An hour: 1 kWh needed and 0.75 bought at 5 °C, 0.5 and 0.25 at 2 °C, 1.5 and 1.5 at 8 °C."""
    at = {2.0: {"2026": season(0.5, 0.25)}, 8.0: {"2026": season(1.5, 1.5)}}
    return Ways(model={"2026": season(1.0, 0.75)}, model_believed=True, model_at=at)


def test_where_the_model_answers_its_own_runs_answer_other_hold_temperatures() -> None:
    steps = hold_steps(prepare(FLAT, JANUARY), JANUARY, ways=by_model(), fan_kwh=None)
    assert [one.hold_c for one in steps] == [2.0, 5.0, 8.0]
    assert [one.need_kwh for one in steps] == pytest.approx(
        [JANUARY_HOURS * 0.5, JANUARY_HOURS * 1.0, JANUARY_HOURS * 1.5]
    )
    assert [one.to_buy_kwh for one in steps] == pytest.approx(
        [JANUARY_HOURS * 0.25, JANUARY_HOURS * 0.75, JANUARY_HOURS * 1.5], abs=1e-9
    )
    assert steps[2].npv < steps[1].npv


def test_the_model_s_step_at_the_ledger_s_hold_is_the_headline_itself() -> None:
    ways = by_model()
    heat = heat_work(prepare(FLAT, JANUARY), JANUARY, ways=ways).typical.heat
    now = next(s for s in hold_steps(prepare(FLAT, JANUARY), JANUARY, ways=ways, fan_kwh=None) if s.hold_c == 5.0)
    assert heat is not None
    assert (now.need_kwh, now.avoided_kwh) == (heat.need_kwh, heat.avoided_kwh)


def test_a_model_without_runs_at_other_temperatures_answers_none() -> None:
    ways = replace(by_model(), model_at={})
    assert hold_steps(prepare(FLAT, JANUARY), JANUARY, ways=ways, fan_kwh=None) == ()


def test_without_a_typical_year_there_is_nothing_to_hold_warmer() -> None:
    """Six days in January hold 6 · 15 = 90 dark hours, and 120 make a month."""
    six_days = record_of({"indoor": [3.0] * 144, "outdoor": [-3.0] * 144}, first="2026-01-10T00:00+01:00")
    for record in (None, six_days):
        prepared = prepare(record, JANUARY)
        assert heat_work(prepared, JANUARY).typical.heat is None
        assert hold_steps(prepared, JANUARY, ways=NO_WAYS, fan_kwh=None) == ()


def test_a_model_that_knows_the_typical_year_at_one_hold_alone_shows_no_other() -> None:
    """A log that ends four days into the season: 96 hours are no month. What the model ran over a long record at 5 °C
    stands, and at 2 and 8 °C nothing does."""
    four_days = record_of({"indoor": [3.0] * 96, "outdoor": [-3.0] * 96}, first="2026-01-01T00:00+01:00")
    whole = heat_work(prepare(FLAT, JANUARY), JANUARY, ways=by_model()).typical.heat
    known_at = {hold_c: {"2026": first_days(one["2026"], 4)} for hold_c, one in by_model().model_at.items()}
    now = {"2026": first_days(by_model().model["2026"], 4)}
    ways = replace(by_model(), model=now, model_at=known_at, typical=whole, typical_hold_c=5.0)
    prepared = prepare(four_days, JANUARY)
    assert known(heat_work(prepared, JANUARY, ways=ways).typical.heat).need_kwh == known(whole).need_kwh
    assert hold_steps(prepared, JANUARY, ways=ways, fan_kwh=None) == ()


def test_without_a_model_no_hold_is_shown_above_the_setting_at_which_the_fan_gives_back() -> None:
    """Cold setting 7 °C: 6 °C is the last that the log of this house can speak of."""
    ways = other_ways(FanOffAnswer(), model_of(season_of(told_of(cold_c=7.0), believed=False)))
    assert ways.warmest_hold_c == 6.0
    at_all = replace(JANUARY, house=replace(JANUARY.house, bare=BareWay.LIFT))
    steps = hold_steps(prepare(FLAT, at_all), at_all, ways=replace(ways, model={}, model_at={}), fan_kwh=None)
    assert [one.hold_c for one in steps] == [2.0, 3.0, 4.0, 5.0, 6.0]
    no_fan = other_ways(FanOffAnswer(), model_of(season_of(told_of(cold_c=None), believed=False)))
    assert no_fan.warmest_hold_c is None
