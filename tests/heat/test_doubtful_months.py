"""How warm a month must read before the log is doubted, on either side of each limit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from ledger.heat.doubtful_log import log_doubts
from ledger.model.book import RunningLine
from ledger.model.ledger import Ledger
from ledger.model.logs import ChannelSpec, LogSpec
from tests.heat.builders import SITE, ledger_of, record_of

MONTH_H = 31 * 24


def said(
    indoor: float | np.ndarray,
    outdoor: float | np.ndarray,
    *,
    hours: int = MONTH_H,
    first: str = "2026-01-01T00:00+01:00",
    step_minutes: float = 60.0,
    ledger: Ledger | None = None,
) -> list[tuple[str, str]]:
    """Code and place of what is doubted in so many hours from the first of a month on."""
    channels = {
        name: np.broadcast_to(np.asarray(v, float), hours) for name, v in (("indoor", indoor), ("outdoor", outdoor))
    }
    record = replace(record_of(channels, first=first), step_minutes=step_minutes)
    return [(n.code, n.path) for n in log_doubts(record, ledger or ledger_of())]


def at(latitude_deg: float, elevation_m: float = 0.0) -> Ledger:
    return ledger_of(site=replace(SITE, latitude_deg=latitude_deg, elevation_m=elevation_m))


@pytest.mark.parametrize(
    ("outdoor", "latitude_deg", "elevation_m", "first", "doubted"),
    [
        (14.3, 46.0, 0.0, "2026-01-01T00:00+01:00", False),
        (14.5, 46.0, 0.0, "2026-01-01T00:00+01:00", True),
        (9.3, 46.0, 1000.0, "2026-01-01T00:00+01:00", False),
        (9.5, 46.0, 1000.0, "2026-01-01T00:00+01:00", True),
        (25.0, 29.9, 0.0, "2026-01-01T00:00+01:00", False),
        (20.1, 30.0, 0.0, "2026-01-01T00:00+01:00", True),
        (14.5, -46.0, 0.0, "2026-07-01T00:00+02:00", True),
        (14.5, -46.0, 0.0, "2026-01-01T00:00+01:00", False),
        (14.5, 46.0, 0.0, "2026-03-01T00:00+01:00", False),
    ],
)
def test_a_winter_month_is_no_warmer_than_the_mildest_coast(
    outdoor: float, latitude_deg: float, elevation_m: float, first: str, doubted: bool
) -> None:
    """20 °C at 30° less 0.35 K a degree: 14.4 at 46°; 5 K a kilometre: 9.4 at 1,000 m. South of the equator in July."""
    found = said(16.0, outdoor, first=first, ledger=at(latitude_deg, elevation_m))
    assert (("log-too-warm", "log.outdoor") in found) is doubted


def test_a_month_is_judged_only_where_enough_of_its_hours_are_known() -> None:
    """240 hours and more."""
    assert said(16.0, 14.5, hours=240) == [("log-too-warm", "log.outdoor")]
    assert said(16.0, 14.5, hours=239) == []
    assert said(31.0, 9.0, hours=240) == [("log-too-warm", "log.indoor")]
    assert said(31.0, 9.0, hours=239) == []


def test_readings_three_hours_apart_stand_for_three_hours_each() -> None:
    assert said(16.0, 14.5, hours=80, step_minutes=180.0) == [("log-too-warm", "log.outdoor")]
    assert said(16.0, 14.5, hours=79, step_minutes=180.0) == []
    assert said(16.0, 14.5, hours=239, step_minutes=10.0) == [], "a row stands for an hour at least"


def test_indoors_above_thirty_and_far_above_the_hold_is_doubted_in_the_cold() -> None:
    """Held at 5 °C: above 30. Held at 18 °C: above 33. Not at 10 °C outdoors and more."""
    assert said(30.1, 9.0) == [("log-too-warm", "log.indoor")]
    assert said(29.0, 9.5) == []
    warm = ledger_of(hold_c=18.0)
    assert said(32.9, 9.9, ledger=_with_heater(warm)) == []
    assert said(33.1, 9.9, ledger=_with_heater(warm)) == [("log-too-warm", "log.indoor")]
    assert said(30.1, 10.1, ledger=_with_heater(ledger_of())) == []


def _with_heater(ledger: Ledger) -> Ledger:
    return replace(ledger, logs=(LogSpec("x.csv", (ChannelSpec("heater", "h"),)),))


def _noted(target: str) -> Ledger:
    day = date(2026, 1, 9)
    return ledger_of(running=(RunningLine(day, target, "x", 1.0, None, None, 0.0, day, day),))


def test_nights_twenty_kelvin_above_outdoors_want_a_heater() -> None:
    """Five hours of each night, twelve nights for sixty: 20.1 K above, and no heater in the log or the book."""
    night = np.arange(MONTH_H) % 24 < 5
    lifted, usual = np.where(night, 15.1, 5.0), np.where(night, 14.9, 5.0)
    assert said(lifted, -5.0) == [("log-too-warm", "log.indoor")]
    assert said(usual, -5.0) == []
    assert said(lifted[: 12 * 24], -5.0, hours=12 * 24) == [("log-too-warm", "log.indoor")]
    assert said(lifted[: 11 * 24], -5.0, hours=11 * 24) == []
    assert said(np.where(night, 5.0, 16.0), -5.0) == [], "only the night counts"
    assert said(lifted, -5.0, ledger=_with_heater(ledger_of())) == []
    assert said(lifted, -5.0, ledger=_noted("electric heater")) == []
    assert said(lifted, -5.0, ledger=_noted("house")) == [("log-too-warm", "log.indoor")]
    assert said(lifted, -5.0, ledger=_noted("buried air tubes")) == [("log-too-warm", "log.indoor")]


def test_a_house_that_never_warms_in_a_month_is_doubted_but_not_near_the_pole() -> None:
    """30 days and more under 2 °C."""
    assert said(1.9, -5.0, hours=720) == [("log-too-cold", "log.indoor")]
    assert said(1.9, -5.0, hours=719) == []
    assert said(2.0, -5.0, hours=720) == []
    assert said(1.9, -5.0, hours=720, ledger=at(60.0)) == []
    assert said(1.9, -5.0, hours=240, step_minutes=180.0) == [("log-too-cold", "log.indoor")]


def test_columns_changed_round_read_crossed_in_the_cold_and_nothing_else_is_said() -> None:
    """Colder indoors by 1 K and more in the cold hours; by 0.9 K it is not."""
    crossed = said(1.0, 2.0)
    assert [code for code, _ in crossed] == ["log-swapped"]
    assert "log-swapped" not in [code for code, _ in said(1.1, 2.0)]
    assert said(12.0, 13.0, first="2026-05-01T00:00+02:00") == [], "no cold hour"
