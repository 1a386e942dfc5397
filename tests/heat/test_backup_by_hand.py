"""What a backup delivered and what builds used, by hand: from the heater's channel, from the book, from the fan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Unpack

import numpy as np
import pytest

from ledger.heat.backup import Backup, backup_delivered, build_energy_kwh
from ledger.heat.prepared import YearHours
from ledger.heat.reckoning import prepare
from ledger.model.book import RunningLine
from ledger.model.heaters import CopPoint, Kind
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from tests.changes import LedgerChanges
from tests.heat.builders import heater, ledger_of, record_of, spread

TURN_OF_MONTH = Window(MonthDay(1, 26), MonthDay(2, 4))
"""Ten days: six of January, four of February."""
HOURS = 240
UNKNOWN = np.nan


def year(**more: np.ndarray | float) -> YearHours:
    """The ten days at −3 °C outdoors and 3 °C indoors, with four days before them."""
    plain = {"indoor": 3.0, "outdoor": -3.0, **more}
    channels = {name: np.broadcast_to(np.asarray(v, float), HOURS + 96).copy() for name, v in plain.items()}
    record = record_of(channels, first="2026-01-22T00:00+01:00")
    (found,) = prepare(record, ledger_of(season=TURN_OF_MONTH)).years
    return found


def in_season(values: np.ndarray, *, before: float = 0.0) -> np.ndarray:
    return np.concatenate([np.full(96, before), values])


def backup(hours: YearHours, **changes: Unpack[LedgerChanges]) -> Backup:
    return backup_delivered(hours, ledger(**changes))


def ledger(**changes: Unpack[LedgerChanges]) -> Ledger:
    return ledger_of(season=TURN_OF_MONTH, **changes)


def line(target: str, first: date, last: date, energy_kwh: float | None, quantity: float | None = None) -> RunningLine:
    return RunningLine(last, target, "in the book", energy_kwh, quantity, None, 0.0, first, last)


PUMP = heater(name="pump", kind=Kind.HEAT_PUMP, cop=(CopPoint(-3.0, 2.0), CopPoint(0.0, 3.0)), backup=True)
STOVE = heater(name="stove", kind=Kind.WOOD_STOVE, efficiency=spread(0.6, 0.45, 0.75), backup=True)


def test_a_metered_heater_is_the_backup_and_of_several_the_electric_one() -> None:
    """100 W in 240 hours are 24 kWh: 48 by a pump of 2 at −3 °C, 14.4 by a fire of 60 % that is the only backup."""
    metered = year(heater_w=100.0)
    for sources in ((STOVE, PUMP), (PUMP, STOVE)):
        assert backup(metered, sources=sources).delivered_kwh == pytest.approx(48.0)
    idle = heater(name="pump", kind=Kind.HEAT_PUMP, cop=(CopPoint(-3.0, 2.0),), backup=False)
    found = backup(metered, sources=(idle, STOVE))
    assert found.delivered_kwh == pytest.approx(14.4)
    assert (found.low_factor, found.high_factor) == pytest.approx((0.75, 1.25))
    assert backup(metered, sources=()).delivered_kwh == pytest.approx(24.0)


def test_a_heater_s_channel_counts_in_the_season_alone_and_holes_are_filled_by_the_month() -> None:
    """100 W in the known half of January's 144 hours, 50 W in all of February's 96: 7.2 + 4.8 kWh, 14.4 with its
    holes."""
    watts = np.concatenate([np.tile([100.0, UNKNOWN], 72), np.full(96, 50.0)])
    found = backup(year(heater_w=in_season(watts, before=900.0)))
    assert found.delivered_kwh == pytest.approx(12.0)
    assert found.by_month_kwh.tolist()[:2] == pytest.approx([14.4, 4.8])
    assert [n.code for n in found.notices] == ["heater-hours-missing"]
    assert "missing in 72 hours" in found.notices[0].text
    assert backup(year(heater_w=100.0)).notices == ()


def test_a_channel_that_knows_nothing_of_the_season_leaves_it_to_the_book() -> None:
    nothing = in_season(np.full(HOURS, UNKNOWN), before=900.0)
    book = (line("electric heater", date(2026, 1, 26), date(2026, 1, 27), 6.0),)
    assert backup(year(heater_w=nothing), running=book).delivered_kwh == pytest.approx(6.0)


def test_a_line_of_the_book_counts_by_its_days_in_the_season_and_by_month() -> None:
    """40 kWh from 24 to 27 January, half of it inside; 30 kWh from 31 January to 2 February, a third in January."""
    book = (
        line("electric heater", date(2026, 1, 24), date(2026, 1, 27), 40.0),
        line("electric heater", date(2026, 1, 31), date(2026, 2, 2), 30.0),
    )
    found = backup(year(), running=book)
    assert found.delivered_kwh == pytest.approx(50.0)
    assert found.by_month_kwh.tolist()[:2] == pytest.approx([30.0, 20.0])
    over = backup(year(), running=(line("electric heater", date(2026, 2, 3), date(2026, 2, 8), 60.0),))
    assert over.by_month_kwh.tolist()[:2] == pytest.approx([0.0, 20.0])


def test_wood_in_the_book_is_its_heat_times_what_the_stove_gives_of_it() -> None:
    """Half a pile of 1,500 kWh at 60 % (45 to 75): 450 kWh. A line of money alone says nothing of heat."""
    stove = heater(
        name="stove", kind=Kind.WOOD_STOVE, efficiency=spread(0.6, 0.45, 0.75), heat_per_unit_kwh=spread(1500.0)
    )
    first, last = date(2026, 1, 27), date(2026, 1, 28)
    book = (line("stove", first, last, None, 0.5), line("stove", first, last, None))
    found = backup(year(), sources=(stove,), running=book)
    assert found.delivered_kwh == pytest.approx(450.0)
    assert (found.low_factor, found.high_factor) == pytest.approx((0.75, 1.25))
    nothing = backup(year(), sources=(stove,), running=(line("stove", first, last, 0.0),))
    assert (nothing.delivered_kwh, nothing.low_factor, nothing.high_factor) == (0.0, 1.0, 1.0)


def test_what_builds_used_is_the_book_s_and_else_the_fan_s_over_the_hours_that_are_known_of_it() -> None:
    """The book: 8 kWh, half of 20 and nothing of a heater's. The fan: 100 W in half the hours, 12 kWh, so 24."""
    names = ("buried air tubes", "electric heater")
    book = (
        line(names[0], date(2026, 1, 26), date(2026, 1, 26), 8.0),
        line(names[0], date(2026, 1, 24), date(2026, 1, 27), 20.0),
        line(names[0], date(2026, 1, 26), date(2026, 1, 26), None, 3.0),
        line(names[1], date(2026, 1, 26), date(2026, 1, 26), 99.0),
    )
    fan = year(fan_w=in_season(np.tile([100.0, UNKNOWN], HOURS // 2), before=900.0))
    assert build_energy_kwh(fan, ledger(running=book)) == pytest.approx(18.0)
    assert build_energy_kwh(fan, ledger(running=book[2:])) == pytest.approx(24.0)
    outside = (line(names[0], date(2026, 1, 22), date(2026, 1, 25), 8.0),)
    assert build_energy_kwh(fan, ledger(running=outside)) == pytest.approx(24.0)
    assert build_energy_kwh(year(), ledger()) is None
    before = in_season(np.full(HOURS, UNKNOWN), before=900.0)
    assert build_energy_kwh(year(fan_w=before), ledger()) is None


def test_a_backup_of_which_nothing_is_noted_is_asked_for_unless_none_was_used() -> None:
    none_used = ledger()
    asked = replace(none_used, hold=replace(none_used.hold, backup_none=False))
    assert len(backup_delivered(year(), asked).notices) == 1
    assert backup_delivered(year(), none_used).notices == ()
    assert backup_delivered(year(), replace(asked, sources=())).notices == ()


def test_a_heater_that_ran_before_the_season_only_is_not_asked_for_its_power() -> None:
    assert backup(year(heater_on=in_season(np.zeros(HOURS), before=1.0))).notices == ()
    ran = np.zeros(HOURS)
    ran[7] = 0.5
    assert [n.code for n in backup(year(heater_on=in_season(ran))).notices] == ["heater-power-unknown"]
