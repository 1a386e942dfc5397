"""Nights below hold, the coldest hour, how cold a winter was, and whether a store fades."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from ledger.heat.bare import NO_WAYS
from ledger.heat.forecast import forecasts, told_after
from ledger.heat.prepared import YearHours
from ledger.heat.reckoning import heat_work, prepare, reckon
from ledger.heat.results import TypicalHeat
from ledger.heat.season_nights import SeasonNights, fading_notices, season_nights
from tests.heat.builders import ledger_of, plain_house, record_of, spread, winter_record
from tests.running.made import typical

LEDGER = ledger_of()
HOLD_C = 5.0


def _laid(indoor: np.ndarray, outdoor: np.ndarray, *, first: str) -> tuple[YearHours, ...]:
    return prepare(record_of({"indoor": indoor, "outdoor": outdoor}, first=first), LEDGER).years


def _nights(years: tuple[YearHours, ...], of: TypicalHeat | None = None) -> tuple[SeasonNights, ...]:
    return season_nights(years, hold_c=HOLD_C, timezone="Europe/Rome", typical=of)


def test_nights_below_hold_run_from_noon_to_noon() -> None:
    """Ten days from noon on: at 23:00 and 0:00 of three nights 4 °C indoors, else 6 °C."""
    indoor = np.full(240, 6.0)
    for night in (1, 4, 5):
        indoor[24 * night + 11 : 24 * night + 13] = 4.0
    (told,) = _nights(_laid(indoor, np.full(240, -5.0), first="2026-01-02T12:00+01:00"))
    assert (told.nights_read, told.nights_below_hold, told.longest_below_hold_h) == (10, 3, 2.0)


def test_the_coldest_hour_is_named_and_said_to_be_unlogged_where_indoors_is_missing() -> None:
    """-12 °C at three on 4 January, when the power was out: 39 hours after noon on 2 January."""
    indoor, outdoor = np.full(240, 6.0), np.full(240, -5.0)
    outdoor[39] = -12.0
    (told,) = _nights(_laid(indoor, outdoor, first="2026-01-02T12:00+01:00"))
    assert (told.coldest_outdoor_c, told.coldest_at) == (-12.0, "2026-01-04T03:00:00+01:00")
    assert told.coldest_indoor_c == 6.0
    indoor[39] = np.nan
    (told,) = _nights(_laid(indoor, outdoor, first="2026-01-02T12:00+01:00"))
    assert told.coldest_outdoor_c == -12.0
    assert told.coldest_indoor_c is None


def test_a_winter_is_colder_than_the_typical_one_by_the_mean_over_its_counted_hours() -> None:
    """Hold 5 °C: -5 °C outdoors is 10 K short in every hour, the typical year's -3 °C 8 K: 2 K colder."""
    year = typical([1.0, 1.0], [0.0, 0.0], outdoor=[-3.0, -3.0])
    (told,) = _nights(_laid(np.full(240, 6.0), np.full(240, -5.0), first="2026-01-02T12:00+01:00"), year)
    assert told.colder_than_typical_k == pytest.approx(2.0)
    (untold,) = _nights(_laid(np.full(240, 6.0), np.full(240, -5.0), first="2026-01-02T12:00+01:00"))
    assert untold.colder_than_typical_k is None


def _two_winters(*, lift_k: float, outdoor_c: float) -> tuple[SeasonNights, ...]:
    """Forty days of January at -5 °C with 10 K of lift, and the same of the next year with other figures."""
    index = pd.date_range("2025-01-01T00:00+01:00", "2026-02-10T00:00+01:00", freq="h")
    indoor, outdoor = np.full(len(index), np.nan), np.full(len(index), np.nan)
    for year, out, lift in ((2025, -5.0, 10.0), (2026, outdoor_c, lift_k)):
        rows = (index.year == year) & (index.day_of_year <= 40)
        indoor[rows], outdoor[rows] = out + lift, out
    return _nights(_laid(indoor, outdoor, first="2025-01-01T00:00+01:00"))


@pytest.mark.parametrize("lift_k", [9.0, 10.0, 10.5])
def test_the_change_of_lift_is_that_of_like_nights(lift_k: float) -> None:
    first, second = _two_winters(lift_k=lift_k, outdoor_c=-5.0)
    assert first.lift_change_k is None
    assert second.like_nights >= 39
    assert second.lift_change_k == pytest.approx(lift_k - 10.0)
    assert second.lift_change_p90_k == pytest.approx(lift_k - 10.0)
    assert bool(fading_notices((first, second))) == (lift_k < 9.5)


def test_nights_of_other_weather_are_not_compared() -> None:
    """A lift of 9 K at 0 °C says nothing against one of 10 K at -5 °C."""
    _, second = _two_winters(lift_k=9.0, outdoor_c=0.0)
    assert (second.like_nights, second.lift_change_k) == (0, None)


def test_a_forecast_is_the_typical_year_of_the_earlier_seasons_alone() -> None:
    """What the ledger would have said a year earlier, from the first winter's log alone."""
    ledger = ledger_of(plain_house(lift=spread(2.0, 1.0, 3.0)))
    record = winter_record(2, seed=3)
    prepared = prepare(record, ledger)
    work = heat_work(prepared, ledger)
    first, second = forecasts(work, told_after(prepared, ledger, work, NO_WAYS))[:2]
    assert first is None
    assert second is not None
    half = record.hours.iloc[:8760]
    alone = record_of({str(name): half[name].to_numpy() for name in half}, first="2024-10-01T00:00+02:00")
    told = reckon(prepare(alone, ledger), ledger).typical
    assert told is not None
    assert (second.need_kwh, second.avoided_kwh) == pytest.approx((told.need_kwh, told.avoided_kwh))
    came = work.seasons[1].heat
    assert second.came_need_kwh in (came.need_kwh, came.need_whole_season_kwh)
    assert second.inside == (second.avoided_range_kwh.p10 <= second.came_avoided_kwh <= second.avoided_range_kwh.p90)


def test_a_new_winters_log_leaves_the_older_seasons_as_they_were() -> None:
    """Two winters, then the same two and a third one: heat, nights and forecasts of the first two do not move."""
    ledger = ledger_of(plain_house(lift=spread(2.0, 1.0, 3.0)))
    whole = winter_record(3, seed=4).hours
    told = []
    for hours in (whole.iloc[: 2 * 8760], whole):
        record = record_of({str(name): hours[name].to_numpy() for name in hours}, first="2024-10-01T00:00+02:00")
        prepared = prepare(record, ledger)
        work = heat_work(prepared, ledger)
        heats = [season.heat for season in work.seasons][:2]
        nights = season_nights(prepared.years, hold_c=HOLD_C, timezone="Europe/Rome", typical=None)[:2]
        told.append((heats, nights, forecasts(work, told_after(prepared, ledger, work, NO_WAYS))[:2]))
    assert told[0] == told[1]
