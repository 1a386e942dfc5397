"""Heaters in log and book, electricity against heat, nights not logged: by hand on twelve days that do not change."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from ledger.heat.backup import Backup, backup_delivered
from ledger.heat.reckoning import prepare, reckon
from ledger.heat.results import SeasonHeat
from ledger.model.book import RunningLine
from ledger.model.heaters import CopPoint, Kind
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from tests.heat.builders import heater, ledger_of, plain_house, record_of, spread
from tests.known import known

JANUARY = Window(MonthDay(1, 10), MonthDay(1, 21))
FIRST = "2026-01-10T00:00+01:00"
HOUSE = plain_house(100.0, lift=spread(2.0))


def flat(**more: np.ndarray | float) -> dict[str, np.ndarray]:
    """Indoors 3 °C, outdoors −3 °C, bare house −1 °C: of 0.6 kWh needed to hold 5 °C in a dark hour 0.4 is there."""
    plain = {"indoor": 3.0, "outdoor": -3.0, **more}
    return {name: np.broadcast_to(np.asarray(v, float), 288).copy() for name, v in plain.items()}


def season_of(channels: dict[str, np.ndarray], ledger: Ledger) -> SeasonHeat:
    return reckon(prepare(record_of(channels, first=FIRST), ledger), ledger).seasons[0]


def backup_of(channels: dict[str, np.ndarray], ledger: Ledger) -> Backup:
    return backup_delivered(prepare(record_of(channels, first=FIRST), ledger).years[0], ledger)


def line(target: str, energy_kwh: float) -> RunningLine:
    day = date(2026, 1, 15)
    return RunningLine(day, target, "in the book", energy_kwh, None, None, 0.0, day, day)


@pytest.mark.parametrize(("share", "said"), [(0.25, ("heater-power-unknown",)), (0.0, ())])
def test_a_heater_that_ran_without_known_watts_is_said_and_one_that_never_ran_is_not(
    share: float, said: tuple[str, ...]
) -> None:
    backup = backup_of(flat(heater_on=share), ledger_of(HOUSE, season=JANUARY))
    assert tuple(n.code for n in backup.notices) == said
    assert backup.delivered_kwh == 0.0


def test_a_stove_s_doubt_weighs_by_its_part_of_the_backup_and_a_heat_pump_has_none() -> None:
    """100 kWh of wood at 60 % (50 to 80) is 60 kWh (50 to 80); 20 kWh into a pump of COP 3 is 60: 120 (110 to 140)."""
    stove = heater(name="stove", kind=Kind.WOOD_STOVE, efficiency=spread(0.6, 0.5, 0.8))
    pump = heater(name="pump", kind=Kind.HEAT_PUMP, efficiency=spread(1.0, 0.5, 2.0), cop=(CopPoint(0.0, 3.0),))
    book = (line("stove", 100.0), line("pump", 20.0))
    backup = backup_of(flat(), ledger_of(HOUSE, season=JANUARY, sources=(stove, pump), running=book))
    assert backup.delivered_kwh == pytest.approx(120.0)
    assert (backup.low_factor, backup.high_factor) == pytest.approx((110.0 / 120.0, 140.0 / 120.0))


def test_a_metered_heat_pump_delivers_its_coefficient_at_each_hour_s_cold_and_its_holes_take_the_mean() -> None:
    """COP 2 at −3 °C and 4 at 3 °C: 100 W on 288 hours at −3 °C are 57.6 kWh; with half the hours at 3 °C, 86.4."""
    pump = heater(name="pump", kind=Kind.HEAT_PUMP, cop=(CopPoint(-3.0, 2.0), CopPoint(3.0, 4.0)))
    ledger = ledger_of(HOUSE, season=JANUARY, sources=(pump,))
    assert backup_of(flat(heater_w=100.0), ledger).delivered_kwh == pytest.approx(57.6)
    halves = np.repeat([-3.0, 3.0], 144)
    half = backup_of(flat(heater_w=100.0, outdoor=halves), ledger)
    assert half.delivered_kwh == pytest.approx(86.4)
    assert (half.low_factor, half.high_factor) == (1.0, 1.0)
    holes = halves.copy()
    holes[[10, 200]] = np.nan
    assert backup_of(flat(heater_w=100.0, outdoor=holes), ledger).delivered_kwh == pytest.approx(86.4)


@pytest.mark.parametrize(
    ("per_kwh", "words"),
    [(0.5, "an electric heater would have given more"), (1.5, "a heat pump gives more"), (2.5, None)],
)
def test_a_build_that_gives_little_heat_for_its_electricity_is_told_what_gives_more(
    per_kwh: float, words: str | None
) -> None:
    """The book's electricity is chosen so that each kilowatt-hour of it avoided so much heat."""
    used = season_of(flat(), ledger_of(HOUSE, season=JANUARY)).avoided_kwh / per_kwh
    ledger = ledger_of(HOUSE, season=JANUARY, running=(line("buried air tubes", used),))
    answer = reckon(prepare(record_of(flat(), first=FIRST), ledger), ledger)
    assert answer.seasons[0].avoided_per_kwh_used == pytest.approx(per_kwh)
    said = [n.text for n in answer.notices if n.path == "seasons.avoided_per_kwh_used"]
    assert (words is None) == (said == [])
    assert words is None or words in said[0]


def test_nights_not_logged_are_between_all_poor_and_all_good_ones() -> None:
    """By turns nights at −3 and −6 °C, from noon to noon: 0.4 and 0.7 kWh there in a dark hour, the lift being sure.

    Two nights are open. A tenth of nights at most is poorer than 0.4, a tenth better than 0.7: the open hours hold
    between 0.4 and 0.7 kWh each, around the mean of the hours that were logged.
    """
    outdoor = -3.0 - 3.0 * (np.arange(-12, 276) // 24 % 2)
    channels = flat(outdoor=outdoor)
    ledger = ledger_of(HOUSE, season=JANUARY)
    full = season_of(channels, ledger).hours_counted
    channels["indoor"][84:132] = np.nan
    season = season_of(channels, ledger)
    open_hours, mean = full - season.hours_counted, season.avoided_kwh / season.hours_counted
    band = known(season.avoided_whole_season_range_kwh)
    assert open_hours > 20
    assert season.avoided_whole_season_kwh == pytest.approx(full * mean)
    assert band.p10 == pytest.approx(full * mean - open_hours * (mean - 0.4))
    assert band.p90 == pytest.approx(full * mean + open_hours * (0.7 - mean))
