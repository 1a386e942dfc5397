"""Triangles laid through uneven bands, heat read between the points of a grid, nights of another time zone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.heat.bare import choose
from ledger.heat.climate import outdoor_of_normals_c
from ledger.heat.draws import from_band
from ledger.heat.excess import Excess
from ledger.heat.heat_curve import H_FACTORS, SHIFTS_K, HeatCurve
from ledger.heat.reckoning import prepare, reckon
from ledger.heat.results import BareAnswer, SeasonHeat
from ledger.model.climate import MonthNormal
from ledger.model.heaters import Kind
from ledger.model.house import BareWay
from ledger.model.logs import ChannelSpec, LogSpec
from ledger.model.values import MonthDay, Window
from tests.heat.builders import SITE, heater, ledger_of, plain_house, record_of, spread

JANUARY = Window(MonthDay(1, 10), MonthDay(1, 21))


@given(likely=st.floats(-50.0, 50.0), below=st.floats(0.05, 20.0), above=st.floats(0.05, 20.0))
def test_a_tenth_of_the_triangle_lies_beyond_either_end_of_its_band(likely: float, below: float, above: float) -> None:
    """The part of a triangle below x, left of its turn: (x − low)² / ((high − low)(turn − low)); mirrored, above."""
    laid = from_band(likely, p10=likely - below, p90=likely + above)
    width = laid.high - laid.low
    assert (likely - below - laid.low) ** 2 / (width * (likely - laid.low)) == pytest.approx(0.1, rel=1e-6)
    assert (laid.high - likely - above) ** 2 / (width * (laid.high - likely)) == pytest.approx(0.1, rel=1e-6)


def test_a_band_on_one_side_only_has_its_turn_a_tenth_from_that_end() -> None:
    """Nothing below 10, 12 above: a tenth of the width lies below 10 (r = √(0.1 · r)), and 12 is p90:
    w · (1 − 0.1 − √(0.1 · 0.9)) = w · 0.6 = 2."""
    laid = from_band(10.0, p10=10.0, p90=12.0)
    assert [laid.low, laid.high] == pytest.approx([10.0 - 1.0 / 3.0, 10.0 + 3.0])


def test_a_band_without_width_is_a_value() -> None:
    laid = from_band(7.0, p10=7.0, p90=7.0)
    assert (laid.low, laid.likely, laid.high) == (7.0, 7.0, 7.0)


@given(factor=st.floats(0.3, 2.5), shift=st.floats(-12.0, 30.0))
def test_a_plane_is_read_exactly_between_the_points_of_the_day_s_grid(factor: float, shift: float) -> None:
    """3 · factor − 2 · shift at every point of the grid, H 100 W/K at likely values, no dark hour."""
    grid = 3.0 * H_FACTORS[:, None] - 2.0 * SHIFTS_K[None, :]
    curve = HeatCurve(Excess.of(np.zeros(0), np.zeros(0)), 100.0, grid, 1.0)
    assert float(curve.kwh(100.0 * factor, shift)) == pytest.approx(3.0 * factor - 2.0 * shift, abs=1e-9)


def test_beyond_its_edges_the_grid_is_held() -> None:
    grid = 3.0 * H_FACTORS[:, None] - 2.0 * SHIFTS_K[None, :]
    curve = HeatCurve(Excess.of(np.zeros(0), np.zeros(0)), 100.0, grid, 1.0)
    assert float(curve.kwh(1000.0, 90.0)) == pytest.approx(3.0 * 2.5 - 2.0 * 30.0)
    assert float(curve.kwh(1.0, -90.0)) == pytest.approx(3.0 * 0.3 + 2.0 * 12.0)


def test_ranges_that_only_touch_agree() -> None:
    """A twin of 400 to 600 and a believed model of 600 to 700: the model answers, whichever of the two lies higher."""
    low, high = BareAnswer(1000, 500, 400, 600), BareAnswer(1000, 650, 600, 700)
    for twin, model in ((low, high), (high, low)):
        ways = {"twin": twin, "model": model, "lift": low}
        assert choose(BareWay.AUTO, ways, believed=True) is BareWay.MODEL


@pytest.mark.parametrize(
    ("day", "minutes"), [("2025-02-11", -14.2), ("2025-05-14", 3.7), ("2025-07-26", -6.5), ("2025-11-03", 16.4)]
)
def test_a_normal_day_is_warmest_at_three_by_a_sundial(day: str, minutes: float) -> None:
    """At Greenwich a sundial is ahead of the clock by the equation of time, whose four extremes almanacs print as
    −14.2, +3.7, −6.5 and +16.4 minutes (from memory; a minute allowed). A row stands for the middle of its hour."""
    begins = pd.date_range(f"{day}T00:00Z", periods=1440, freq="min")
    normal = [MonthNormal(m, -6.0, 4.0) for m in range(1, 13)]
    greenwich = replace(SITE, longitude_deg=0.0)
    outdoor = outdoor_of_normals_c(begins, np.asarray(begins.month, dtype=np.int64), normal, greenwich)
    warmest = begins[int(np.argmax(outdoor))] + pd.Timedelta(minutes=30)
    assert warmest.hour * 60 + warmest.minute == pytest.approx(15 * 60 - minutes, abs=1.0)


def _twelve_days(first: str, timezone: str, longitude_deg: float) -> SeasonHeat:
    """Colder from day to day and back, two days without indoors: open hours widen the range by whole nights."""
    ledger = ledger_of(
        plain_house(100.0, lift=spread(2.0, 1.0, 3.0)),
        season=JANUARY,
        site=replace(SITE, longitude_deg=longitude_deg, timezone=timezone),
    )
    outdoor = -3.0 - np.repeat(np.arange(12) % 4, 24)
    indoor = np.full(288, 3.0)
    indoor[72:120] = np.nan
    record = record_of({"indoor": indoor, "outdoor": outdoor}, first=first, timezone=timezone)
    return reckon(prepare(record, ledger), ledger).seasons[0]


def test_a_winter_carried_to_another_zone_by_its_clock_and_its_sun_has_the_same_answer() -> None:
    """11° east at one hour before Greenwich and 109° west at seven after it: the sun stands alike by the clock."""
    here = _twelve_days("2026-01-10T00:00+01:00", "Europe/Rome", 11.0)
    there = _twelve_days("2026-01-10T00:00-07:00", "America/Denver", -109.0)
    assert there.hours_counted == here.hours_counted
    for one, other in (
        (here.avoided_range_kwh, there.avoided_range_kwh),
        (here.avoided_whole_season_range_kwh, there.avoided_whole_season_range_kwh),
    ):
        assert one is not None
        assert other is not None
        assert [other.p10, other.p90] == pytest.approx([one.p10, one.p90])


def test_a_heater_that_states_what_it_delivers_may_stand_among_other_channels() -> None:
    """100 W on every hour of twelve days is 28.8 kWh, whatever the stove's efficiency: the watts are delivered."""
    stated = LogSpec("x.csv", (ChannelSpec("indoor", "i"), ChannelSpec("heater", "h", power_w=100.0)))
    gas = heater(name="gas", kind=Kind.PROPANE, efficiency=spread(0.8))
    house = plain_house(100.0, lift=spread(2.0, 1.0, 3.0))
    ledger = ledger_of(house, season=JANUARY, sources=(gas,), logs=(stated,))
    channels = {"indoor": np.full(288, 3.0), "outdoor": np.full(288, -3.0), "heater_w": np.full(288, 100.0)}
    record = record_of(channels, first="2026-01-10T00:00+01:00")
    assert reckon(prepare(record, ledger), ledger).seasons[0].backup_delivered_kwh == pytest.approx(28.8)
