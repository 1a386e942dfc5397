"""Which nights of the next season to switch the fan off, by hand: how many blocks fit, and where they lie."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from ledger.heat.fan_off import FanOffAnswer, OffBlock, fan_off_answer
from ledger.heat.reckoning import prepare
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from tests.heat.builders import build, ledger_of, record_of


def asked(ledger: Ledger, days: int = 10) -> FanOffAnswer:
    """A few January days of 2026 in which the fan was never asked for."""
    hours = 24 * days
    channels = {"indoor": np.full(hours, 6.0), "outdoor": np.full(hours, -2.0), "fan_on": np.zeros(hours)}
    return fan_off_answer(prepare(record_of(channels, first="2026-01-10T00:00+01:00"), ledger), ledger)


def season(begins: MonthDay, ends: MonthDay) -> Ledger:
    return ledger_of(season=Window(begins, ends))


@pytest.mark.parametrize(
    ("begins", "ends", "first_nights"),
    [
        # 211 days: three blocks, 52.75 days apart, their middles there: days 50.25, 103 and 155.75.
        (MonthDay(10, 1), MonthDay(4, 30), [date(2026, 11, 20), date(2027, 1, 12), date(2027, 3, 6)]),
        # 50 days: two blocks with a fortnight after each, 16.67 days apart: days 14.17 and 30.83.
        (MonthDay(1, 1), MonthDay(2, 20), [date(2027, 1, 15), date(2027, 2, 1)]),
        # 38 days are just enough for two: 12.67 apart, days 10.17 and 22.83. One day fewer is not: 18.5 less 2.5.
        (MonthDay(1, 1), MonthDay(2, 8), [date(2027, 1, 11), date(2027, 1, 24)]),
        (MonthDay(1, 1), MonthDay(2, 7), [date(2027, 1, 17)]),
        # Nine days: one block all the same, from day 2.
        (MonthDay(1, 8), MonthDay(1, 17), [date(2027, 1, 10)]),
    ],
    ids=["winter", "fifty-days", "two-just-fit", "one-fits", "nine-days"],
)
def test_blocks_are_spread_evenly_over_the_next_season_as_many_as_fit(
    begins: MonthDay, ends: MonthDay, first_nights: list[date]
) -> None:
    """Three where there is room, of five nights each."""
    found = asked(season(begins, ends)).calendar
    assert found == tuple(OffBlock(first, first + timedelta(days=4)) for first in first_nights)


def test_nights_without_the_fan_say_nothing_of_other_builds_that_stand_then_too() -> None:
    """One build without a store is asked; two, or one that changes the cover, are not."""
    answer = asked(ledger_of())
    assert "0 usable nights with the fan switched off" in answer.why_not[0]
    assert len(answer.calendar) == 3
    two = asked(ledger_of(builds=(build("tubes"), build("tank"))))
    assert two.why_not == ("With the fan off the other builds still stand: such nights do not show the bare house.",)
    assert (two.calendar, dict(two.seasons)) == ((), {})
