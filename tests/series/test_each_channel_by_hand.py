"""What holds for each kind of channel: its limits, how long it stands still, its spikes; clocks that never change."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from ledger.model.values import MonthDay, Window
from ledger.series.energy import is_counter, running
from ledger.series.faults import Limits, range_limits, stuck_least_h
from ledger.series.holes import in_window
from ledger.series.means import Keeping, keeping_of
from ledger.series.readings import Kind, Trace
from ledger.series.rows import counted
from ledger.series.spikes import spike_limit_k, spikes
from ledger.series.zone import ZoneRules, instants, wall_clock

MINUTE_MS, HOUR_MS = 60_000, 3_600_000


@pytest.mark.parametrize(
    ("channel", "low", "high"),
    [
        ("indoor", -40.0, 60.0),
        ("unheated", -40.0, 60.0),
        ("tube_in", -40.0, 60.0),
        ("tube_out", -40.0, 60.0),
        ("water", -5.0, 100.0),
        ("soil", -59.4, 65.6),
        ("humidity", 0.0, 105.0),
        ("wind", 0.0, 75.0),
        ("sun", -20.0, 1600.0),
    ],
)
def test_a_channel_has_the_limits_of_the_table_of_thresholds_all_year(channel: str, low: float, high: float) -> None:
    assert range_limits(channel, 46.0) == Limits(low, high, low, high)


def test_a_channel_of_which_nothing_is_believed_impossible_has_no_limits() -> None:
    assert range_limits("fan", 46.0) is None


@pytest.mark.parametrize(
    ("channel", "fine", "coarse"),
    [
        ("indoor", 12.0, 24.0),
        ("outdoor", 12.0, 24.0),
        ("tube_out", 12.0, 24.0),
        ("water", 96.0, 240.0),
        ("soil", 240.0, 504.0),
        ("fan", None, None),
    ],
)
def test_a_channel_may_stand_still_the_longer_the_slower_and_coarser_it_is(
    channel: str, fine: float | None, coarse: float | None
) -> None:
    """Digits of 0.1 K are fine, of 1 K coarse."""
    assert (stuck_least_h(channel, 0.1), stuck_least_h(channel, 1.0)) == (fine, coarse)


@pytest.mark.parametrize(
    ("channel", "quick", "slow"),
    [
        ("outdoor", 6.0, 10.0),
        ("indoor", 8.0, 15.0),
        ("unheated", 8.0, 15.0),
        ("water", 4.0, 6.0),
        ("soil", 4.0, 6.0),
        ("humidity", None, None),
    ],
)
def test_a_spike_is_a_smaller_jump_where_readings_are_close_together(
    channel: str, quick: float | None, slow: float | None
) -> None:
    """Up to twenty minutes apart; longer."""
    assert (spike_limit_k(channel, 20.0 * MINUTE_MS), spike_limit_k(channel, 21.0 * MINUTE_MS)) == (quick, slow)


def spiked(*values: float) -> list[int]:
    stamps = np.arange(len(values), dtype=np.int64) * 10 * MINUTE_MS
    return np.flatnonzero(spikes(stamps, np.array(values), limit_k=6.0, step_ms=10.0 * MINUTE_MS)).tolist()


def test_a_jump_away_and_back_is_a_spike_and_a_step_is_none() -> None:
    """7 K up and back; up and on up; up for good; two readings up 10 K (half as much again) or 7 K, unlike or alike."""
    assert spiked(5.0, 5.0, 12.0, 5.0, 5.0) == [2]
    assert spiked(5.0, 5.0, 12.0, 19.0, 19.0) == []
    assert spiked(5.0, 5.0, 12.0, 12.0, 12.0) == []
    assert spiked(5.0, 15.0, 15.5, 5.0) == [1, 2]
    assert spiked(5.0, 12.0, 12.5, 5.0) == []
    assert spiked(5.0, 12.0, 12.0, 5.0) == [1, 2]
    assert spiked(5.0, 12.0, 9.0, 12.0, 5.0) == []
    assert spiked(5.0, 12.0) == []
    assert spiked(5.0, 15.0, 5.0, 15.0, 5.0) == [1, 3]


def test_a_fan_in_percent_runs_at_that_share_of_its_power() -> None:
    trace = Trace("fan", Kind.PERCENT, np.zeros(0), 0.0, power_w=80.0)
    found = running(trace, np.arange(4, dtype=np.int64) * HOUR_MS, np.array([0.0, 25.0, 100.0, 130.0]))
    assert found.on.tolist() == [0.0, 1.0, 1.0, 1.0]
    assert found.watts is not None
    assert found.watts.tolist() == [0.0, 20.0, 80.0, 80.0]
    unknown = Trace("fan", Kind.PERCENT, np.zeros(0), 0.0)
    assert running(unknown, np.arange(1, dtype=np.int64), np.array([25.0])).watts is None


def test_energies_that_only_rise_are_a_counter_s() -> None:
    """One that fell once in three readings is not; one that never moved above 0 is; zeros all along are not."""
    assert is_counter(np.array([5.0, 6.0, 6.0, 9.0]))
    assert not is_counter(np.array([5.0, 6.0, 4.0, 9.0]))
    assert is_counter(np.array([7.0, 7.0, 7.0]))
    assert not is_counter(np.array([0.0, 0.0, 0.0]))
    assert not is_counter(np.array([1.0, 2.0]))


def test_energies_of_a_fan_that_is_seldom_switched_are_no_counter_s() -> None:
    """Nothing for half a day, 0.001 kWh a second for an hour, nothing, and on at the end: of 50,000 steps one falls,
    but of the changes it is one in three. A meter that is replaced falls once among 40,000 rises."""
    energies = np.zeros(50_000)
    energies[40_000:43_600] = energies[49_000:] = 0.001
    assert not is_counter(energies)
    meter = np.concatenate([100.0 + np.arange(20_000) * 0.001, np.arange(200_000) * 0.001])
    assert is_counter(meter)


def test_an_energy_of_an_interval_is_that_of_the_interval_that_is_said() -> None:
    """A mean of 0.0001 kWh a second is 360 W, though the readings stand a minute apart: 0.0001 · 3600 · 1000."""
    trace = Trace("fan", Kind.STEP_ENERGY, np.array([0.0, 0.0001, 0.0, 0.0001]), 0.0)
    stamps = np.arange(4, dtype=np.int64) * MINUTE_MS
    watts = running(trace, stamps, trace.values, interval_ms=1000.0).watts
    assert watts is not None
    assert watts.tolist() == pytest.approx([0.0, 360.0, 0.0, 360.0])


def test_rows_are_counted_by_file() -> None:
    assert counted(np.array([0, 2, 2, 0, 2])) == {0: 2, 2: 3}
    assert counted(np.array([], dtype=np.int64)) == {}
    assert counted(np.array([0, 2, 2, 0, 2]), np.array([60, 1, 5, 60, 2], np.int32)) == {0: 120, 2: 8}


@pytest.mark.parametrize(
    ("month", "day", "winter", "summer"),
    [(10, 1, True, False), (9, 30, False, True), (4, 30, True, True), (5, 1, False, True), (1, 1, True, False)],
)
def test_a_day_lies_in_a_span_of_the_year_with_both_its_ends(month: int, day: int, winter: bool, summer: bool) -> None:
    """1 October to 30 April, over the new year; 30 April to 30 September, within it."""
    at = date(2026, month, day)
    assert in_window(at, Window(MonthDay(10, 1), MonthDay(4, 30))) is winter
    assert in_window(at, Window(MonthDay(4, 30), MonthDay(9, 30))) is summer


def test_a_zone_that_never_changes_its_clock_is_off_by_one_number() -> None:
    """Seven hours behind Greenwich: noon by the wall is seven in the evening."""
    arizona = ZoneRules(np.array([], dtype=np.int64), np.array([-7 * HOUR_MS], dtype=np.int64))
    noon = np.array([12 * HOUR_MS], dtype=np.int64)
    assert instants(noon, arizona).tolist() == [19 * HOUR_MS]
    assert wall_clock(np.array([19 * HOUR_MS], dtype=np.int64), arizona).tolist() == noon.tolist()


def test_a_clock_that_changes_has_its_offset_before_and_after() -> None:
    """One hour ahead, from the tenth hour on two: 9:30 UTC is 10:30 by the wall, 10:30 UTC is 12:30."""
    rules = ZoneRules(np.array([10 * HOUR_MS], dtype=np.int64), np.array([HOUR_MS, 2 * HOUR_MS], dtype=np.int64))
    utc = np.array([9 * HOUR_MS + HOUR_MS // 2, 10 * HOUR_MS + HOUR_MS // 2], dtype=np.int64)
    wall = np.array([10 * HOUR_MS + HOUR_MS // 2, 12 * HOUR_MS + HOUR_MS // 2], dtype=np.int64)
    assert wall_clock(utc, rules).tolist() == wall.tolist()
    assert instants(wall, rules).tolist() == utc.tolist()


def on_change(minutes: list[int], values: list[float]) -> Keeping:
    stamps = np.cumsum(np.array(minutes, dtype=np.int64)) * MINUTE_MS
    return keeping_of(stamps, [np.array(values)])


def test_rows_that_stand_only_where_a_value_changed_are_kept_on_change() -> None:
    """Forty rows, 3 to 90 minutes apart without a usual interval, each a tenth of a degree from the one before."""
    uneven = [3, 90, 7, 41, 18, 66, 5, 33, 11, 54] * 4
    tenths = np.cumsum([0.1 if k % 3 else -0.1 for k in range(40)]).round(1).tolist()
    assert on_change(uneven, tenths) is Keeping.ON_CHANGE
    assert on_change([10] * 40, tenths) is Keeping.AT_INTERVALS
    assert on_change(uneven, [20.0] * 40) is Keeping.AT_INTERVALS
    assert on_change(uneven[:20], tenths[:20]) is Keeping.AT_INTERVALS
    assert keeping_of(np.arange(40, dtype=np.int64), []) is Keeping.AT_INTERVALS
    wide = [float(k * k) for k in range(40)]
    assert on_change(uneven, wide) is Keeping.AT_INTERVALS
