"""Two winters of ten days each, in a place where the sun does not rise in December: all of it in the head.

The house loses 100 W/K, is held at 5 °C, and stands where it is -5 °C outdoors throughout. The like house with nothing
built lies at 0 °C: 5 K short in each of 240 hours is 0.5 kWh · 240 = 120 kWh needed. In the first winter the house lies
at 4 °C: 0.4 · 240 = 96 kWh not bought, a night and a day 1 K short all the time. In the second it lies at 3 °C: 72 kWh.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from ledger.heat.bare import NO_WAYS
from ledger.heat.forecast import forecasts, told_after
from ledger.heat.reckoning import heat_work, prepare
from ledger.heat.season_nights import season_nights
from ledger.model.heaters import Tariff
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from ledger.money.season_account import season_accounts
from ledger.money.season_track import season_tracks
from ledger.money.season_worth import season_worths
from ledger.series.record import HourlyRecord
from tests.heat.builders import SITE, heater, ledger_of, plain_house, record_of, spread
from tests.running.made import line

DECEMBER = Window(MonthDay(12, 1), MonthDay(12, 10))
BOOK = (
    line("buried air tubes", date(2025, 12, 1), date(2025, 12, 10), kwh=10.0),
    line("buried air tubes", date(2026, 12, 1), date(2026, 12, 10), kwh=10.0),
    line("buried air tubes", date(2026, 12, 5), date(2026, 12, 5), amount="3", what="new belt"),
)


def _ledger() -> Ledger:
    """Heat costs 1 a kilowatt-hour, from December 2026 on 2; the fan's current costs 0.10."""
    source = heater(price=spread(1.0), tariffs=(Tariff(date(2026, 12, 1), spread(2.0)),))
    plain = ledger_of(plain_house(bare=BareWay.TWIN), season=DECEMBER, running=BOOK, sources=(source,))
    electricity = replace(plain.electricity, price=spread(0.10))
    return replace(plain, site=replace(SITE, latitude_deg=80.0), electricity=electricity)


def _record() -> HourlyRecord:
    hours = 366 * 24
    at = np.arange(hours)
    indoor = np.where(at < 240, 4.0, 3.0)
    inside = (at < 240) | ((at >= 365 * 24) & (at < 365 * 24 + 240))
    channels = {"indoor": indoor, "outdoor": np.full(hours, -5.0), "unheated": np.zeros(hours)}
    kept = {name: np.where(inside, values, np.nan) for name, values in channels.items()}
    more = {name: np.concatenate([values, np.full(240, values[-24])]) for name, values in kept.items()}
    return record_of({name: values[: 365 * 24 + 240] for name, values in more.items()}, first="2025-12-01T00:00+01:00")


def test_two_short_winters_are_followed_in_the_head() -> None:
    """Winter 2025: 96 kWh at 1 = 96, less 10 kWh of the fan at 0.10 = 1: 95 left over.
    Winter 2026: 72 kWh at 2 = 144, less 1, less a new belt of 3: 140 left over. 235 recovered of 4000, 3765 to go;
    at (95 + 140) / 2 = 117.50 a winter that is 3765 / 117.50 = 32.04 years.

    The typical year is the mean of the two, 84 kWh at the price of the base date, 1; its fan runs the whole December,
    1 kWh a day for 31 days, as the method makes months whole: 84 less 3.10 is 80.90 left over, after the first winter
    96 less 3.10 (the belt is no expected upkeep, and two winters are not yet three). Before the second winter 96 kWh
    were expected, 72 came. Each kilowatt-hour of the fan stood for 9.6 and 7.2 of heat; degree-hours 10 · 240 = 2400 in
    both.
    """
    ledger, record = _ledger(), _record()
    prepared = prepare(record, ledger)
    work = heat_work(prepared, ledger)
    heats = [one.heat for one in work.seasons]
    assert [h.hours_counted for h in heats] == [240, 240]
    assert [h.need_kwh for h in heats] == pytest.approx([120.0, 120.0])
    assert [h.avoided_kwh for h in heats] == pytest.approx([96.0, 72.0])
    assert [h.passive_fraction for h in heats] == pytest.approx([0.8, 0.6])
    assert [h.dark_degree_hours_k_h for h in heats] == pytest.approx([2400.0, 2400.0])
    assert [h.avoided_per_kwh_used for h in heats] == pytest.approx([9.6, 7.2])
    accounts, _ = season_accounts(ledger, heats, typical=work.typical.heat, net_capital=4000.0)
    assert [a.net_saving for a in accounts] == pytest.approx([95.0, 140.0])
    assert accounts[1].recovered_to_date == pytest.approx(235.0)
    tracks = season_tracks(ledger, heats, accounts, plan_kwh=None, plan=None)
    pace = tracks[1].pace
    assert pace is not None
    assert pace.years_to_go == pytest.approx(3765 / 117.5)
    told = told_after(prepared, ledger, work, NO_WAYS)
    first, second = season_worths(ledger, ["2025", "2026"], told, fan_kwh=None)
    assert first is not None
    assert second is not None
    assert [first.avoided_kwh, first.net_saving] == pytest.approx([96.0, 92.9])
    assert [second.avoided_kwh, second.net_saving] == pytest.approx([84.0, 80.9])
    assert second.simple_payback_years == pytest.approx(4000 / 80.9)
    _, forecast = forecasts(work, told)
    assert forecast is not None
    assert [forecast.avoided_kwh, forecast.came_avoided_kwh] == pytest.approx([96.0, 72.0])
    nights = season_nights(prepared.years, hold_c=5.0, timezone="Europe/Rome", typical=work.typical.heat)
    assert [n.colder_than_typical_k for n in nights] == pytest.approx([0.0, 0.0])
    assert [n.longest_below_hold_h for n in nights] == [240.0, 240.0]
    assert [(n.coldest_outdoor_c, n.coldest_indoor_c) for n in nights] == [(-5.0, 4.0), (-5.0, 3.0)]
