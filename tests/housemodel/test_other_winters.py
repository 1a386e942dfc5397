"""A fitted house in winters that its log never saw: closed forms, clouds drawn from like days, a power cut."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.heat.bare import NO_WAYS
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.left_alone import Alone, Standing, coldest_night, left_alone
from ledger.heat.housemodel.network import BARE, BUILT
from ledger.heat.housemodel.other_weather import Winter, figures_at_the_start, rule_elsewhere
from ledger.heat.housemodel.other_years import FittedHouse, fitted_house, range_of_winter, run_own_winter, run_winters
from ledger.heat.housemodel.priors import Figure
from ledger.heat.housemodel.seen_days import SeenDays, daily_range_k, sun_of_like_days_w_per_m2
from ledger.heat.housemodel.thermostat import FanRule
from ledger.heat.housemodel.typical_run import over_climate, with_typical
from ledger.heat.reckoning import prepare
from ledger.heat.spans import season_span
from tests.heat.builders import SITE, ledger_of, record_of
from tests.housemodel.carried import (
    CLEAR_SHARE,
    DAYS,
    DULL_SHARE,
    SPAN,
    WINDOW,
    clear_days,
    known_house,
    weather,
)

HEATED_ALWAYS_C = 25.0
"""So warm that the heater never stops and the vents never open in the weather of these tests."""


@pytest.fixture(scope="module")
def house() -> FittedHouse:
    return known_house()


def winter(year: int, *, mean_c: float = -2.0, sun: bool = False) -> Winter:
    span = season_span(WINDOW, year=year, timezone=SITE.timezone)
    outdoor, clear = weather(DAYS, mean_c=mean_c)
    index = pd.date_range(span.begins_utc, periods=24 * DAYS, freq="h")
    return Winter(span, index, 1.0, outdoor, np.where(clear > 0, 100.0, 20.0) if sun else np.full(24 * DAYS, np.nan))


def test_a_house_that_is_heated_all_the_time_needs_its_heat_loss_for_every_kelvin_more(house: FittedHouse) -> None:
    """HOUSE loses 200 W/K: 5 K colder for 40 days of 24 h is 200 · 5 · 960 Wh = 960 kWh more, bare or built, where no
    sun shines and the heater never stops; a thousandth is left of where floor and tank began."""
    night = [replace(winter(2022, mean_c=c), sun_w_m2=np.zeros(24 * DAYS)) for c in (-2.0, -7.0)]
    mild, hard = run_winters(house, night, hold_c=HEATED_ALWAYS_C)
    assert hard.need_kwh - mild.need_kwh == pytest.approx(960.0, rel=1e-3)
    assert hard.hours["to_buy_kwh"].sum() - mild.hours["to_buy_kwh"].sum() == pytest.approx(960.0, rel=1e-3)


def test_another_winter_with_the_same_weather_needs_what_the_logs_own_did(house: FittedHouse) -> None:
    """The same swing and the same clear days; only the date of the sun and the way to the start differ."""
    own = run_own_winter(house, hold_c=5.0, colder_k=0.0)
    (other,) = run_winters(house, [winter(2026)], hold_c=5.0)
    assert other.sun_drawn
    assert other.need_kwh == pytest.approx(own.need_kwh, rel=0.05)
    assert other.avoided_kwh == pytest.approx(own.avoided_kwh, abs=0.05 * own.need_kwh)


def test_winters_side_by_side_are_the_same_as_one_by_one(house: FittedHouse) -> None:
    both = run_winters(house, [winter(2021), winter(2022, mean_c=-6.0)], hold_c=5.0)
    alone = run_winters(house, [winter(2022, mean_c=-6.0)], hold_c=5.0)
    assert both[1].need_kwh == pytest.approx(alone[0].need_kwh, rel=1e-9)
    assert both[1].need_kwh > both[0].need_kwh
    assert list(both[1].hours.columns) == ["outdoor_c", "bare_c", "indoor_c", "fan_w", "need_kwh", "to_buy_kwh"]
    assert len(both[1].hours) == 24 * DAYS
    assert both[1].hours["outdoor_c"].mean() == pytest.approx(-6.0, abs=0.05)


@settings(max_examples=5, deadline=None)
@given(st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_a_colder_winter_never_needs_less(one: float, other: float) -> None:
    house = known_house()
    mild, hard = (run_own_winter(house, hold_c=5.0, colder_k=k) for k in sorted((one, other)))
    assert hard.need_kwh >= mild.need_kwh - 1e-9
    assert hard.need_kwh - hard.avoided_kwh >= mild.need_kwh - mild.avoided_kwh - 1e-9


def test_what_came_through_the_clouds_is_read_off_the_log_day_by_day(house: FittedHouse) -> None:
    seen = house.voices[0].seen
    assert set(np.round(np.unique(np.round(seen.shares, 2)), 2)) == {DULL_SHARE, CLEAR_SHARE}
    assert len(seen.range_k) >= DAYS - 3


def test_days_without_a_sensor_take_the_clouds_of_days_that_swing_alike(house: FittedHouse) -> None:
    """Clear days swing 12 K and dull ones 3 K: every drawn day has the share of its kind. The first model day is the
    night before the first of January."""
    grid = house.voices[0].fit.problem.grid
    sun = sun_of_like_days_w_per_m2(grid, house.voices[0].seen, draw=1)
    lit = grid.clear_w_m2 > 50.0
    clear = clear_days(DAYS + 1)[np.maximum(grid.sun_day - 1, 0)]
    share = sun[lit] / grid.clear_w_m2[lit]
    assert np.mean(share[clear[lit]]) == pytest.approx(CLEAR_SHARE, abs=0.03)
    assert np.mean(share[~clear[lit]]) == pytest.approx(DULL_SHARE, abs=0.06)


def test_where_days_hardly_differ_any_day_of_the_time_of_year_may_be_drawn(house: FittedHouse) -> None:
    """Twelve normals swing alike every day: their clouds are the log's own, two clear days to one dull one on the
    mean: 0.6."""
    grid = replace(house.voices[0].fit.problem.grid, outdoor_c=np.zeros(house.voices[0].fit.problem.grid.steps))
    assert float(np.std(daily_range_k(grid)[0])) == 0.0
    shares = [
        float(sun_of_like_days_w_per_m2(grid, house.voices[0].seen, draw=d).sum() / grid.clear_w_m2.sum())
        for d in range(8)
    ]
    assert np.mean(shares) == pytest.approx((2 * CLEAR_SHARE + DULL_SHARE) / 3, abs=0.05)


def test_a_day_is_never_drawn_from_its_own_date(house: FittedHouse) -> None:
    """Sixteen seen days; only that of the date asked for is bright."""
    grid = house.voices[0].fit.problem.grid
    date = int(grid.stamps_utc.day_of_year[24 * 2 * 10])
    days = np.arange(date - 8, date + 8)
    shares = np.where(days[:, None] == date, 1.0, 0.3) * np.ones((16, 3))
    seen = SeenDays(np.full(16, 9.0), days, shares)
    sun = sun_of_like_days_w_per_m2(grid, seen, draw=0)
    own = grid.stamps_utc.day_of_year == date
    noon = own & (grid.clear_w_m2 > 0.9 * grid.clear_w_m2.max() * 0.5)
    assert sun[noon] == pytest.approx(0.3 * grid.clear_w_m2[noon])


def test_measured_sun_is_used_as_it_is(house: FittedHouse) -> None:
    (dark,) = run_winters(house, [replace(winter(2022), sun_w_m2=np.zeros(24 * DAYS))], hold_c=5.0)
    (lit,) = run_winters(house, [winter(2022, sun=True)], hold_c=5.0)
    assert not lit.sun_drawn
    assert not dark.sun_drawn
    assert lit.need_kwh < dark.need_kwh


def test_drawn_clouds_widen_the_range_and_the_range_holds_the_answer(house: FittedHouse) -> None:
    own = range_of_winter(house, None, hold_c=5.0)
    drawn = range_of_winter(house, winter(2022), hold_c=5.0)
    (run,) = run_winters(house, [winter(2022)], hold_c=5.0)
    assert own.cloud_share == 0.0
    assert drawn.cloud_share >= 0.03
    assert drawn.avoided_kwh.p10 < run.avoided_kwh < drawn.avoided_kwh.p90
    assert 0.0 <= drawn.to_buy_kwh.p10 < run.need_kwh - run.avoided_kwh < drawn.to_buy_kwh.p90


def test_a_log_that_begins_late_says_nothing_of_how_warm_the_floor_began(house: FittedHouse) -> None:
    fit = house.voices[0].fit
    place = next(i for i, p in enumerate(fit.problem.table) if p.figure is Figure.FLOOR_START)
    figures = np.tile(fit.fitted, (5, 1))
    figures[:, place] = 7.0
    late = replace(SPAN, begins_utc=SPAN.begins_utc - pd.Timedelta(days=60))
    assert figures_at_the_start(fit, figures, SPAN)[:, place] == pytest.approx(np.full(5, 7.0))
    told = figures_at_the_start(fit, figures, late)[:, place]
    assert told[0] == fit.problem.table[place].fitted_centre
    assert told.std() > 0.0


def test_logged_fan_hours_are_replayed_on_their_dates(house: FittedHouse) -> None:
    grid = house.voices[0].fit.problem.grid
    hours = np.arange(grid.steps) % 7 == 0
    again = rule_elsewhere(FanRule(None, None, hours), grid, grid)
    assert again.hours is not None
    assert np.array_equal(again.hours, hours)
    later = replace(grid, stamps_utc=grid.stamps_utc + pd.Timedelta(days=120))
    elsewhere = rule_elsewhere(FanRule(None, None, hours), grid, later)
    assert elsewhere.hours is not None
    assert not elsewhere.hours.any()


def test_the_typical_year_is_the_mean_of_the_climates_winters(house: FittedHouse) -> None:
    """Two whole winters of another record: need and avoided are their means, the profile adds up to them."""
    parts = []
    for year, mean_c in ((2021, -2.0), (2022, -6.0)):
        outdoor, _ = weather(365, mean_c=mean_c)
        parts.append(record_of({"outdoor": outdoor}, first=f"{year}-01-01T00:00+01:00").hours)
    climate = replace(record_of({"outdoor": np.zeros(2)}, first="2021-01-01T00:00+01:00"), hours=pd.concat(parts))
    ledger = ledger_of(season=WINDOW)
    prepared = prepare(None, ledger, climate_record=climate)
    assert [y.span.name for y in prepared.climate] == ["2021", "2022"]
    ways = with_typical(NO_WAYS, house, prepared, ledger)
    heat = ways.typical
    assert heat is not None
    runs = run_winters(house, [winter(2021), winter(2022, mean_c=-6.0)], hold_c=5.0)
    assert heat.need_kwh == pytest.approx(np.mean([r.need_kwh for r in runs]), rel=1e-6)
    assert heat.avoided_kwh == pytest.approx(np.mean([r.avoided_kwh for r in runs]), rel=1e-6)
    profile = heat.profile
    assert float((profile["weight"] * profile["need_kwh"]).sum()) == pytest.approx(heat.need_kwh)
    assert float((profile["weight"] * profile["to_buy_kwh"]).sum()) == pytest.approx(heat.to_buy_kwh)
    assert (heat.seasons_averaged, heat.basis, heat.bare) == (2, "climate file", "model")
    assert heat.avoided_range_kwh.p10 < heat.avoided_kwh < heat.avoided_range_kwh.p90
    assert {n.code for n in ways.typical_notices} == {"model-over-climate", "clouds-drawn"}
    assert over_climate(NO_WAYS, None, prepared, ledger) is NO_WAYS


def test_a_model_that_is_not_believed_is_run_through_no_other_winter() -> None:
    ledger = ledger_of(season=WINDOW)
    prepared = prepare(None, ledger)
    assert fitted_house(None, prepared, ledger) is None
    assert fitted_house(HouseModelAnswer(believed=False), prepared, ledger) is None


def test_hours_until_a_mark_are_read_by_straight_lines() -> None:
    """From 5 by way of 3 to −1 °C in steps of half an hour: at 4 after a quarter hour, at 0 after 0.5 + 0.5 · 3/4."""
    air = Alone(5.0, np.array([3.0, -1.0, -2.0]), 0.5)
    assert air.hours_above(4.0) == pytest.approx(0.25)
    assert air.hours_above(0.0) == pytest.approx(0.875)
    assert air.hours_above(5.5) == 0.0
    assert air.hours_above(-3.0) is None


def test_a_house_whose_power_fails_starts_from_what_its_heater_held_and_cools_the_slower_for_its_tank(
    house: FittedHouse,
) -> None:
    bare, built, free = left_alone(
        house, [Standing(BARE, 5.0), Standing(BUILT, 5.0), Standing(BUILT, None)], design_c=-15.0
    )
    assert min(bare.start_c, built.start_c) >= 5.0 - 1e-9
    assert free.start_c < built.start_c
    to_frost = [a.hours_above(0.0) for a in (bare, built)]
    assert to_frost[0] is not None
    assert to_frost[1] is not None
    assert 0.0 < to_frost[0] < to_frost[1]


def test_the_design_night_is_the_coldest_one_shifted(house: FittedHouse) -> None:
    grid = house.voices[0].fit.problem.grid
    night = coldest_night(grid)
    assert grid.dark[night].all()
    assert float(grid.outdoor_c[night].mean()) == pytest.approx(
        min(float(grid.outdoor_c[g].mean()) for g in _nights(grid.dark) if g[0] >= 48 and g[-1] < grid.steps - 1)
    )
    mild, hard = (left_alone(house, [Standing(BUILT, 5.0)], design_c=c)[0].hours_above(0.0) for c in (-18.0, -26.0))
    assert mild is not None
    assert hard is not None
    assert hard < mild


def _nights(dark: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> list[np.ndarray[tuple[int], np.dtype[np.intp]]]:
    rows = np.flatnonzero(dark)
    return np.split(rows, np.flatnonzero(np.diff(rows) != 1) + 1)
