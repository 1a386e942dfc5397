"""Held where the fan begins to give heat back: when the log leaves the answer open, and what becomes of it then."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from ledger.heat.housemodel import answer as room
from ledger.heat.housemodel.answer import _answered, _tie
from ledger.heat.housemodel.open_days import NO_WEATHER
from ledger.heat.housemodel.whatif import Told
from ledger.model.ledger import Ledger, Show
from tests.heat.builders import ledger_of
from tests.housemodel.carried import SPAN
from tests.housemodel.fitted import about, told_of
from tests.known import known


@pytest.fixture(scope="module")
def ledger() -> Ledger:
    return ledger_of()


def sides(cold_c: float, below_kwh: float, above_kwh: float, now_kwh: float) -> Told:
    """Held at 4 °C with a need of 3,000 kWh: heat not bought on either side of the fan's setting, and as answered."""
    told = told_of(cold_c=cold_c)
    fan = known(told.fan)
    below, above = fan.beside
    beside = (replace(below, avoided=about(below_kwh)), replace(above, avoided=about(above_kwh)))
    return replace(told, now=about(now_kwh), fan=replace(fan, beside=beside))


@pytest.mark.parametrize("cold_c", [3.61, 4.0, 4.39])
def test_a_hold_at_the_setting_with_a_side_that_is_off_by_more_than_half_leaves_the_answer_open(
    ledger: Ledger, cold_c: float
) -> None:
    """1,000 as answered: the upper side's 600 are off by 400, two thirds of them; the lower side's 1,200 by a sixth."""
    why = known(_tie(sides(cold_c, 1200.0, 600.0, 1000.0), ledger))
    assert f"({cold_c:.1f} °C by the log)" in why
    assert "from 1200 kWh at 6.0 °C to 600 kWh at 8.0 °C" in why
    assert "set the fan at least a degree above the hold" in why


def test_what_is_said_of_it_is_in_the_ledger_s_units(ledger: Ledger) -> None:
    """6 and 8 °C are 42.8 and 46.4 °F."""
    why = known(_tie(sides(4.0, 1200.0, 600.0, 1000.0), replace(ledger, show=Show.US)))
    assert "1200 kWh at 43 °F to 600 kWh at 46 °F" in why


@pytest.mark.parametrize("cold_c", [3.59, 4.41, 7.0])
def test_a_setting_further_off_than_it_may_be_misread_leaves_nothing_open(ledger: Ledger, cold_c: float) -> None:
    assert _tie(sides(cold_c, 1200.0, 600.0, 1000.0), ledger) is None


@pytest.mark.parametrize(
    ("below_kwh", "above_kwh", "now_kwh", "off"),
    [
        (1200.0, 670.0, 1000.0, "330 of 670: under half"),
        (700.0, 560.0, 690.0, "130 of 560"),
        (140.0, -5.0, 120.0, "125 of a tenth of the need, 300"),
    ],
)
def test_sides_that_hardly_differ_are_no_tie(
    ledger: Ledger, below_kwh: float, above_kwh: float, now_kwh: float, off: str
) -> None:
    assert _tie(sides(4.0, below_kwh, above_kwh, now_kwh), ledger) is None, off


def test_the_lower_side_counts_as_the_upper_one_does(ledger: Ledger) -> None:
    """500 as answered: the lower side's 1,200 are off by 700, more than half of them."""
    assert _tie(sides(4.0, 1200.0, 450.0, 500.0), ledger) is not None


def test_a_house_without_a_fan_or_with_one_that_gives_nothing_back_has_no_tie(ledger: Ledger) -> None:
    told = sides(4.0, 1200.0, 600.0, 1000.0)
    assert _tie(replace(told, fan=None), ledger) is None
    assert _tie(told_of(cold_c=None), ledger) is None


@pytest.mark.parametrize(
    ("cold_c", "known_before", "runs", "reasons"),
    [(4.0, (), [True, False], 1), (4.0, ("too few nights.",), [False], 2), (7.0, (), [True], 0)],
)
def test_an_open_answer_is_run_again_with_the_range_of_one_that_is_not_believed(
    monkeypatch: pytest.MonkeyPatch,
    ledger: Ledger,
    cold_c: float,
    known_before: tuple[str, ...],
    runs: list[bool],
    reasons: int,
) -> None:
    asked: list[bool] = []

    def answered(*_: Any, believed: bool, weather: Any) -> Any:
        assert weather is NO_WEATHER
        asked.append(believed)
        return SimpleNamespace(told=sides(cold_c, 1200.0, 600.0, 1000.0), believed=believed)

    monkeypatch.setattr(room, "answer_season", answered)
    answer: Any
    answer, why_not = _answered((), np.ones(0), SPAN, ledger, NO_WEATHER, known_before)
    assert asked == runs
    assert len(why_not) == reasons
    assert why_not[: len(known_before)] == known_before
    assert answer.believed is (not why_not)
