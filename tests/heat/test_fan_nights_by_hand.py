"""Nights by whether the fan was free to run, by hand: which days asked for it, which blocks count, which nights do."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from ledger.heat.fan_nights import (
    _asked_cold,
    _asked_warm,
    _blocks,
    _gives_at_night,
    _idle,
    _idle_before,
    _night,
    _usual_start_c,
    _working_around,
    nights_of_season,
)

Floats = NDArray[np.float64]
UNKNOWN = np.nan


def flags(days: str) -> NDArray[np.bool_]:
    """One letter a day: x is true."""
    return np.array([d == "x" for d in days])


def year_of(
    air_c: list[float] | Floats, fan: list[float] | Floats, *, per_day: int, step_h: float = 1.0, in_season: str = ""
) -> Any:
    """As much of a season as is asked here: days of so many rows from day 0 on."""
    count = len(air_c)
    season = flags(in_season) if in_season else np.ones(count, dtype=bool)
    return SimpleNamespace(
        channels={"fan_on": np.array(fan, dtype=float)}, indoor_c=np.array(air_c, dtype=float), step_h=step_h,
        day_number=np.arange(count) // per_day, in_season=season,
    )  # fmt: skip


def test_the_usual_start_is_the_low_quartile_of_the_air_at_six_starts_or_more() -> None:
    """Starts at 20, 21, 22, 23, 24 and 25 °C: the low quartile is 21.25. Five are too few."""
    air = np.ravel([[10.0, 20.0 + k] for k in range(6)])
    fan = np.tile([0.0, 1.0], 6)
    assert _usual_start_c(year_of(air, fan, per_day=2)) == pytest.approx(21.25)
    assert _usual_start_c(year_of(air[:10], fan[:10], per_day=2)) is None


def test_a_start_is_the_first_hour_of_a_run_in_air_warmer_than_fourteen_degrees() -> None:
    """Each run of two hours counts once, by its first; one in air of 14 °C gives heat back; 0.05 of an hour is none."""
    air = np.ravel([[10.0, 20.0, 30.0] for _ in range(6)])
    fan = np.tile([0.05, 0.06, 1.0], 6)
    slow = year_of(np.tile([20.0, 30.0, 40.0], 6), np.tile([0.05, 0.05, 1.0], 6), per_day=3)
    assert _usual_start_c(slow) == pytest.approx(40.0)
    assert _usual_start_c(year_of(air, fan, per_day=3)) == pytest.approx(20.0)
    cool = [10.0, 14.0, *air[:15]]
    assert _usual_start_c(year_of(cool, [0.0, 1.0, *fan[:15]], per_day=3)) is None
    early = np.array([20.0, 30.0, *air[3:]])
    assert _usual_start_c(year_of(early, [1.0, 1.0, *fan[3:]], per_day=3)) is None, "runs from before the season"


def test_a_day_is_idle_where_the_fan_ran_in_no_hour_and_half_of_them_are_known() -> None:
    assert _idle(np.array([0.0, 0.05, 0.05, 0.0]))
    assert not _idle(np.array([0.0, 0.06, 0.0, 0.0]))
    assert _idle(np.array([0.0, 0.0, UNKNOWN, UNKNOWN]))
    assert not _idle(np.array([0.0, UNKNOWN, UNKNOWN, UNKNOWN]))
    assert not _idle(np.array([UNKNOWN, UNKNOWN, 0.0]))


def test_two_hours_more_than_a_kelvin_above_the_usual_start_ask_for_the_fan() -> None:
    """Usual start 20 °C. Of half-hours four are two hours; of two-hour rows one is."""
    every = np.ones(4, dtype=bool)
    idle = [0.0] * 4
    assert _asked_warm(year_of([21.1, 21.1, 21.0, 5.0], idle, per_day=4), every, 20.0)
    assert not _asked_warm(year_of([21.1, 21.0, 21.0, 5.0], idle, per_day=4), every, 20.0)
    assert _asked_warm(year_of([21.1] * 4, idle, per_day=4, step_h=0.5), every, 20.0)
    assert not _asked_warm(year_of([21.1] * 3 + [21.0], idle, per_day=4, step_h=0.5), every, 20.0)
    assert _asked_warm(year_of([21.1, 5.0, 5.0, 5.0], idle, per_day=4, step_h=2.0), every, 20.0)
    assert _asked_warm(year_of([21.1] * 4, idle, per_day=4), every, None) is False
    assert not _asked_warm(year_of([21.1] * 4, idle, per_day=4), flags("x---"), 20.0), "that day's rows alone"


def gives(air_c: float, fan: float, days: int, *, of: int, in_season: bool = True) -> bool:
    """A fan that runs at that air in one of two hours of the first days."""
    air = np.tile([20.0, air_c], of)
    ran = np.where((np.arange(2 * of) % 2 == 1) & (np.arange(2 * of) < 2 * days), fan, 0.0)
    season = ("x" if in_season else "-") * 2 * of
    return bool(_gives_at_night(year_of(air, ran, per_day=2, in_season=season), np.arange(of)))


def test_a_fan_that_gave_heat_back_on_six_days_of_the_season_gives_at_night() -> None:
    """Running in air below 14 °C; of a season of fewer days on all of them."""
    assert gives(13.9, 0.06, 6, of=10)
    assert not gives(13.9, 0.06, 5, of=10)
    assert not gives(14.0, 0.06, 6, of=10)
    assert not gives(13.9, 0.05, 6, of=10)
    assert not gives(13.9, 0.06, 6, of=10, in_season=False)
    assert gives(13.9, 0.06, 4, of=4)
    assert not gives(13.9, 0.06, 3, of=4)


def cold(*days: tuple[float, float, float]) -> str:
    """Days of two hours, air of both and the fan in the first; x where an idle day asked for it."""
    air = np.ravel([[a, b] for a, b, _ in days])
    fan = np.ravel([[f, 0.0] for _, _, f in days])
    year = year_of(air, fan, per_day=2)
    idle = np.array([f <= 0.05 for _, _, f in days])
    return "".join("x" if a else "-" for a in _asked_cold(year, np.arange(len(days)), idle))


def test_an_idle_day_asks_for_the_fan_where_it_was_colder_by_half_a_kelvin_than_when_it_last_gave_heat() -> None:
    """It gave heat at 6 °C. The coldest hour counts; 5.5 °C is not colder by more than half a kelvin; nothing read asks
    for nothing."""
    gave = (6.0, 9.0, 1.0)
    assert cold(gave, (9.0, 5.4, 0.0)) == "-x"
    assert cold(gave, (9.0, 5.5, 0.0)) == "--"
    assert cold(gave, (UNKNOWN, 5.4, 0.0)) == "-x"
    assert cold(gave, (UNKNOWN, UNKNOWN, 0.0)) == "--"
    assert cold((9.0, 1.0, 0.0), gave) == "--", "before it was ever seen to give"
    assert cold((14.0, 9.0, 1.0), (9.0, 1.0, 0.0)) == "--", "at 14 °C it charged"
    assert cold(gave, (5.4, 9.0, 0.05)) == "-x", "0.05 of an hour is not running"
    assert cold((2.0, 9.0, 1.0), gave, (9.0, 5.4, 0.0)) == "--x", "the last time counts"


def test_what_the_fan_gave_is_remembered_for_three_days_beside_those_it_stood_still() -> None:
    """Days on which the fan charged alone lie between: three days on it is still known, four days on no more. Idle days
    in a row before it do not count."""
    gave, charged, still = (6.0, 9.0, 1.0), (20.0, 9.0, 1.0), (9.0, 1.0, 0.0)
    assert cold(gave, charged, charged, still) == "---x"
    assert cold(charged, charged, gave, still) == "---x"
    assert cold(gave, charged, charged, charged, still) == "-----"
    assert cold(gave, charged, charged, still, still, still) == "---xxx"
    assert cold(gave, still, still, still, still, still) == "-xxxxx"


def test_the_middle_of_the_hours_in_which_it_gave_heat_counts() -> None:
    """Hours of 4, 6 and 13 °C with the fan on: 6 in the middle."""
    year = year_of([4.0, 6.0, 13.0, 9.0, 5.4, 9.0], [1.0, 1.0, 1.0, 0.0, 0.0, 0.0], per_day=3)
    assert _asked_cold(year, np.arange(2), flags("-x")).tolist() == [False, True]
    year.indoor_c[4] = 5.6
    assert _asked_cold(year, np.arange(2), flags("-x")).tolist() == [False, False]


def test_idle_days_before_a_day_are_counted_to_the_first_one_that_was_not() -> None:
    assert [_idle_before(flags("xx-xx"), day) for day in range(5)] == [0, 1, 2, 0, 1]


def blocks(idle: str, asked: str, proof: str = "") -> str:
    found = _blocks(flags(idle), flags(asked), proof=flags(proof or asked))
    return "".join(str(n) for n in found)


def test_a_block_is_three_idle_days_or_more_from_the_first_that_asked_to_the_last() -> None:
    assert blocks("---xxxxx---", "---xxxxx---") == "00011111000"
    assert blocks("---xxxxx--", "---xxxxx--") == "0001111100"
    assert blocks("---xxx", "---xxx") == "000000", "nobody knows whether it came on again"
    assert blocks("---xxxxx---", "----xxx----") == "00001110000"
    assert blocks("---xxxxx---", "----x-x----") == "00001110000"
    assert blocks("---xxxxx---", "----xx-----") == "00000000000"
    assert blocks("---xx---", "---xx---") == "00000000"
    assert blocks("---xxx---", "---------") == "000000000"
    assert blocks("---xxx---", "---xxx---", "----x----") == "000111000"
    assert blocks("---xxx---", "---xxx---", "---------") == "000000000", "nothing proves that it was switched off"
    assert blocks("---xxx---xxxx---", "---xxx---xxxx---") == "0001110002222000"
    assert blocks("---xxx---", "xxx---xxx") == "000000000", "days outside of it prove nothing"


def test_the_fan_was_at_work_on_two_of_three_days_before_and_after() -> None:
    assert _working_around(flags("x--xxx-x-"), 3, 6)
    assert not _working_around(flags("xx-xxx---"), 3, 6)
    assert not _working_around(flags("---xxx-xx"), 3, 6)
    assert not _working_around(flags("--xxxx-"), 2, 6), "one day after it is all there is"
    assert _working_around(flags("--xxxx--"), 2, 6)
    assert not _working_around(flags("-xxxx--"), 1, 5)
    assert not _working_around(flags("--xxxxxx--"), 5, 8), "only the three days next to it"


def clock(*, dark_h: int = 8, step_h: float = 1.0, sun: list[float] | None = None) -> Any:
    """Three days of 24 h: outdoors −4 °C by night, 10 by day but 2 at eight; indoors 3 K over it; dark from 20:00."""
    rows = np.arange(round(72 / step_h))
    hour = rows * step_h % 24
    dark = (hour >= 20) | (hour < dark_h - 4)
    outdoor = np.where(dark, -4.0, np.where(hour == 8, 2.0, 10.0))
    one = SimpleNamespace(
        channels={"sun": np.full(len(rows), UNKNOWN) if sun is None else np.array(sun)}, step_h=step_h, dark=dark,
        day_number=np.asarray(rows * step_h // 24, dtype=np.int64), outdoor_c=outdoor, indoor_c=outdoor + 3.0,
    )  # fmt: skip
    one.valid = np.ones(len(rows), dtype=bool)
    return one


def test_a_night_is_the_dark_from_noon_to_noon_and_the_sun_that_of_its_day() -> None:
    """Lift 3 K at −4 °C; the day's mean sun of 0 and 200 W/m2 where known, else how far outdoors swung, −4 to 10."""
    sun = [UNKNOWN] * 12 + [0.0, 200.0] * 6 + [777.0] * 48
    assert _night(clock(sun=sun), 0) == pytest.approx((3.0, -4.0, 100.0))
    assert _night(clock(), 1) == pytest.approx((3.0, -4.0, 14.0))
    assert _night(clock(), 3) is None, "no such day"


def test_the_night_belongs_to_the_day_on_whose_evening_it_begins() -> None:
    year = clock()
    year.indoor_c[44:52] += 2.0
    assert [night[0] for day in (0, 1) if (night := _night(year, day))] == pytest.approx([3.0, 5.0])


def test_six_dark_hours_with_both_readings_make_a_night() -> None:
    """Of eight dark hours two may be missing. Of rows of two hours three are six hours; the last evening has four."""
    year = clock()
    year.valid[[20, 21]] = False
    assert _night(year, 0) == pytest.approx((3.0, -4.0, 14.0))
    year.valid[22] = False
    assert _night(year, 0) is None
    assert _night(clock(dark_h=6, step_h=2.0), 0) == pytest.approx((3.0, -4.0, 14.0))
    assert _night(clock(dark_h=4, step_h=2.0), 0) is None
    assert _night(clock(), 2) is None


def test_where_no_sun_is_logged_the_known_hours_of_the_day_tell_how_far_it_swung() -> None:
    """Known are −4 and −7 °C in the evening: 3 K. The night's six hours are five of −4 and one of −7 °C, 3 K over it
    five times and 6 K once. A day of which nothing is known swung by nothing."""
    year = clock()
    year.outdoor_c[:20] = UNKNOWN
    year.outdoor_c[20:24] = [-4.0, UNKNOWN, UNKNOWN, -7.0]
    year.valid[[21, 22]] = False
    assert _night(year, 0) == pytest.approx((3.5, -4.5, 3.0))
    dark = clock(dark_h=12)
    dark.outdoor_c[:24] = UNKNOWN
    dark.valid[:24] = False
    assert _night(dark, 0) == pytest.approx((3.0, -4.0, 0.0))


def fortnight(*, gives_at_night: bool = False, colder_k: float = 0.0) -> Any:
    """Fourteen days, 6 to 9 with the fan off. It starts at ten o'clock, at 20 °C; on idle days three hours stand at 22.
    It may give heat back at one in the morning, at −1 °C; the mornings of idle days are colder by so much."""
    hour, day = np.arange(336) % 24, np.arange(336) // 24
    dark = (hour >= 20) | (hour < 4)
    noon, off = (hour >= 10) & (hour < 13), (day >= 6) & (day <= 9)
    outdoor = np.where(dark, -4.0, 10.0)
    indoor = np.where(noon, np.where(off, 22.0, 20.0), outdoor + 3.0) - np.where(off & (hour == 1), colder_k, 0.0)
    fan = np.where(~off & (noon | (gives_at_night & (hour == 1))), 1.0, 0.0)
    return SimpleNamespace(
        channels={"fan_on": fan, "sun": np.full(336, 50.0)}, step_h=1.0, dark=dark, day_number=day, indoor_c=indoor,
        outdoor_c=outdoor, valid=np.ones(336, dtype=bool), in_season=np.ones(336, dtype=bool),
    )  # fmt: skip


def test_nights_of_a_block_are_off_and_the_first_after_each_switch_is_not_used() -> None:
    """Of fourteen days thirteen have a night; that of day 2 was not read, and the others are still told."""
    year = fortnight()
    year.valid[2 * 24 + 12 : 3 * 24 + 12] = False
    nights = nights_of_season(year)
    assert [n.day for n in nights] == [0, 1, *range(3, 13)]
    assert [n.day for n in nights if n.off] == [6, 7, 8, 9]
    assert {n.block for n in nights if n.off} == {1}
    assert {n.block for n in nights if not n.off} == {0}
    assert [n.day for n in nights if not n.usable] == [6, 10]
    assert {(n.lift_k, n.outdoor_c, n.sun) for n in nights} == {(3.0, -4.0, 50.0)}


def test_of_a_fan_that_gives_heat_back_warm_days_prove_nothing_but_one_cold_night_does() -> None:
    assert not any(n.off for n in nights_of_season(fortnight(gives_at_night=True)))
    proven = nights_of_season(fortnight(gives_at_night=True, colder_k=2.0))
    assert [n.day for n in proven if n.off] == [6, 7, 8, 9]


def test_a_fan_whose_start_is_not_known_is_switched_off_where_cold_nights_ask_for_it() -> None:
    """Without a start in warm air only the cold days 7 and 8 to 9 ask: on day 6 the air was as warm as before."""
    year = fortnight(gives_at_night=True, colder_k=2.0)
    year.channels["fan_on"][np.arange(336) % 24 >= 10] = 0.0
    year.indoor_c[6 * 24 + 1] = -1.0
    assert [n.day for n in nights_of_season(year) if n.off] == [7, 8, 9]
