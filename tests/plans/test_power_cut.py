"""A house left alone on a cold evening: closed-form cooling, and what a log says of it."""

from __future__ import annotations

from dataclasses import replace
from math import exp, log
from typing import Unpack

import numpy as np
import pytest

from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.season_answer import SeasonWork
from ledger.model.ledger import Ledger
from ledger.plans.power_cut import hours_until, power_cut
from tests.changes import LedgerChanges
from tests.heat.builders import ledger_of, plain_house, record_of, spread
from tests.known import known
from tests.plans.made import compared
from tests.running.made import typical


def cooling_house(
    inside_rate: float, twin_rate: float | None = None, days: int = 10, **changes: Unpack[LedgerChanges]
) -> tuple[Ledger, tuple[SeasonWork, ...]]:
    """Outdoors −10 °C throughout; inside (and a twin) decay from 10 °C at noon, anew every day."""
    hour = np.arange(24 * days) % 24
    channels = {"indoor": -10.0 + 20.0 * np.exp(-inside_rate * hour), "outdoor": np.full(24 * days, -10.0)}
    if twin_rate is not None:
        channels["unheated"] = -10.0 + 20.0 * np.exp(-twin_rate * hour)
    ledger = ledger_of(plain_house(100.0, lift=spread(2.0)), **changes)
    record = record_of(channels, first="2026-01-01T12:00+01:00")
    return ledger, heat_work(prepare(record, ledger), ledger).seasons


def test_free_cooling_has_a_closed_form() -> None:
    """From 5 to 0 °C at −15 °C outdoors and 0.05 an hour: ln(20/15) ÷ 0.05 = 5.754 h."""
    assert hours_until(0.0, start_c=5.0, outdoor_c=-15.0, per_h=0.05) == pytest.approx(log(20 / 15) / 0.05)
    assert hours_until(0.0, start_c=-1.0, outdoor_c=-15.0, per_h=0.05) == 0.0
    assert hours_until(0.0, start_c=5.0, outdoor_c=2.0, per_h=0.05) is None


def test_the_rate_of_a_house_that_cools_by_the_law_is_found() -> None:
    """A decay of 0.02 an hour, sampled hourly: fall ÷ Σ over = 1 − e^−0.02 = 0.0198 an hour exactly."""
    ledger, seasons = cooling_house(0.02)
    cut = known(power_cut(ledger, seasons, design_temperature_c=-15.0))
    per_h = known(cut.cooling_per_h)
    assert per_h == pytest.approx(1 - exp(-0.02), rel=1e-9)
    assert cut.hours_above_freezing == pytest.approx(log((cut.start_c + 15) / 15) / per_h)
    assert cut.hours_above_hold == pytest.approx(log((cut.start_c + 15) / 20) / per_h)
    assert cut.bare_hours_above_freezing is None


def test_a_like_house_without_the_build_freezes_sooner() -> None:
    ledger, seasons = cooling_house(0.01, twin_rate=0.05)
    cut = known(power_cut(ledger, seasons, design_temperature_c=-15.0))
    assert cut.bare_hours_above_freezing == pytest.approx(log(20 / 15) / (1 - exp(-0.05)), rel=1e-6)
    assert known(cut.bare_hours_above_freezing) < known(cut.hours_above_freezing)


def test_a_house_with_nothing_built_cools_as_its_log_shows() -> None:
    """No build: the log is of the bare house itself, and the plans without a build share its hours. From 10 °C at
    nightfall or below to 0 °C at −15 °C outdoors: ln((T + 15) ÷ 15) ÷ k."""
    built, _ = cooling_house(0.02)
    ledger, seasons = cooling_house(0.02, builds=())
    heat = typical([1.0] * 48, [1.0] * 48, outdoor=[-10.0] * 48)
    plans = compared(ledger, heat).plans
    cut = known(power_cut(ledger, seasons, design_temperature_c=-15.0, plans=plans))
    assert {p.name for p in cut.plans} == {"electric heater alone", "nothing"}
    for one in cut.plans:
        assert one.known
        assert one.hours_above_freezing == pytest.approx(log((cut.start_c + 15) / 15) / known(cut.cooling_per_h))
    with_build = known(power_cut(built, seasons, design_temperature_c=-15.0, plans=compared(built, heat).plans))
    assert not next(p for p in with_build.plans if p.name == "nothing").known


def test_a_house_colder_than_hold_in_the_evening_starts_from_hold_since_a_heater_held_it() -> None:
    ledger, seasons = cooling_house(0.10)
    cut = known(power_cut(ledger, seasons, design_temperature_c=-15.0))
    assert cut.start_c == 5.0
    assert cut.hours_above_hold == 0.0


def test_a_log_in_which_nothing_cools_says_nothing() -> None:
    ledger = replace(ledger_of())
    steady = {"indoor": np.full(240, 6.0), "outdoor": np.full(240, -10.0)}
    seasons = heat_work(prepare(record_of(steady, first="2026-01-01T12:00+01:00"), ledger), ledger).seasons
    assert power_cut(ledger, seasons, design_temperature_c=-15.0) is None
    assert power_cut(ledger, (), design_temperature_c=-15.0) is None
