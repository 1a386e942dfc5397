"""Stores held against losses on either side of each limit, the bare house's low lift, sunrise of an average day."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest

from ledger.heat import bare_lift as room
from ledger.heat.balance import StoreBalance, balance_notices
from ledger.heat.bare_lift import bare_lift_p10_k, lift_over_outdoors_k
from ledger.heat.climate import _sunrise_hour
from ledger.model.house import BareWay
from tests.heat.builders import build, ledger_of

TUBES, TANK = "buried air tubes", "tank"


def store(release_kwh: float, loss_kwh: float, *, nights: int = 10, dark_h: float = 100.0, of: str = TUBES) -> Any:
    return StoreBalance("2025-26", f"store of {of}", of, release_kwh, nights, loss_kwh, dark_h)


def said(*stores: Any, builds: tuple[str, ...] = (TUBES,)) -> list[str]:
    """The floor is 20 m2, at most 50 W/m2 by night: 100 kWh in 100 dark hours."""
    ledger = ledger_of(builds=tuple(build(name) for name in builds))
    return [notice.code for notice in balance_notices(stores, ledger)]


def test_a_loss_of_more_than_a_quarter_above_stores_and_floor_is_too_high() -> None:
    """60 kWh of the store and 100 of the floor: up to 200 kWh."""
    assert said(store(60.0, 200.1)) == ["heat-loss-too-high"]
    assert said(store(60.0, 199.9)) == []
    (notice,) = balance_notices([store(60.0, 300.0)], ledger_of())
    assert "300 kWh" in notice.text
    assert "the stores gave 60 kWh and the floor at most 100 kWh" in notice.text


def test_stores_of_more_than_a_quarter_above_the_loss_make_it_too_low() -> None:
    assert said(store(125.1, 100.0)) == ["heat-loss-too-low"]
    assert said(store(124.9, 100.0)) == []


def test_ten_nights_tell_and_nine_do_not() -> None:
    assert said(store(200.0, 100.0, nights=10)) == ["heat-loss-too-low"]
    assert said(store(200.0, 100.0, nights=9)) == []
    assert said() == []


def test_stores_are_added_up_and_the_one_that_was_logged_longest_has_the_loss_and_the_floor() -> None:
    """40 and 60 kWh: 100 of stores and 200 of the floor in 200 dark hours, up to 375 kWh; 100 against 80 lost is just
    a quarter more."""
    two = (TUBES, TANK)
    longer = store(60.0, 376.0, dark_h=200.0, of=TANK)
    assert said(store(40.0, 100.0), longer, builds=two) == ["heat-loss-too-high"]
    assert said(store(40.0, 376.0, dark_h=200.0), store(60.0, 100.0, of=TANK), builds=two) == ["heat-loss-too-high"]
    assert said(store(40.0, 100.0), store(60.0, 374.0, dark_h=200.0, of=TANK), builds=two) == []
    assert said(store(40.0, 79.0), store(60.0, 50.0, of=TANK), builds=two) == ["heat-loss-too-low"]


def test_a_build_without_a_logged_store_may_have_given_the_rest() -> None:
    assert said(store(60.0, 300.0), builds=(TUBES, TANK)) == []
    assert said(store(200.0, 100.0), builds=(TUBES, TANK)) == ["heat-loss-too-low"]


def work_of(*, way: BareWay, bare_c: list[float], model_c: list[float] | None = None) -> Any:
    """Four rows at 1 °C outdoors, of which the last does not count."""
    begins = pd.date_range("2026-01-01", periods=4, freq="h", tz="UTC")
    model = None if model_c is None else SimpleNamespace(bare_free_c=pd.Series(model_c, index=begins))
    year = SimpleNamespace(
        outdoor_c=np.ones(4), counted=np.array([True, True, True, False]), begins_utc=begins, step_h=1.0
    )
    return SimpleNamespace(year=year, way=way, model=model, reckoned=SimpleNamespace(bare_c=np.array(bare_c)))


def test_the_lift_is_that_of_the_counted_hours_in_which_the_bare_house_is_known() -> None:
    twin = work_of(way=BareWay.TWIN, bare_c=[3.0, np.nan, 2.0, 99.0], model_c=[7.0] * 4)
    assert lift_over_outdoors_k(twin).tolist() == [2.0, 1.0]
    model = work_of(way=BareWay.MODEL, bare_c=[99.0] * 4, model_c=[3.0, 4.0, np.nan, 99.0])
    assert lift_over_outdoors_k(model).tolist() == [2.0, 3.0]
    unfitted = work_of(way=BareWay.MODEL, bare_c=[3.0, 4.0, 5.0, 99.0])
    assert lift_over_outdoors_k(unfitted).tolist() == [2.0, 3.0, 4.0]


def test_a_heater_is_sized_by_the_lift_that_one_hour_in_ten_lies_below(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lifts 0 to 5 and 6 to 10 K: 1 K. Below outdoors: none. By a stated lift, which has a low end of its own: None."""
    monkeypatch.setattr(room, "lift_over_outdoors_k", lambda work: work.lifts)

    def season(lifts: list[float], way: BareWay = BareWay.TWIN) -> Any:
        return SimpleNamespace(way=way, lifts=np.array(lifts))

    first, second = season([0.0, 1.0, 2.0, 3.0, 4.0, 5.0]), season([6.0, 7.0, 8.0, 9.0, 10.0], BareWay.MODEL)
    assert bare_lift_p10_k([second, first]) == pytest.approx(1.0)
    by_lift = season([-50.0] * 9, BareWay.LIFT)
    assert bare_lift_p10_k([first, by_lift, second]) == pytest.approx(1.0)
    assert bare_lift_p10_k([by_lift]) is None
    assert bare_lift_p10_k([season([])]) is None
    assert bare_lift_p10_k([season([-3.0, -2.0])]) == 0.0


@pytest.mark.parametrize(
    ("day", "latitude_deg", "hour"),
    [
        # 284 + 81 = 365: no declination, sunrise at six everywhere.
        (81, 0.0, 6.0),
        (81, 60.0, 6.0),
        (81, -46.0, 6.0),
        # 284 + 172 = 365 + 91: sin(2π · 91/365) is 1 but for a hundred-thousandth; 23.45°. At 46°
        # tan 46° · tan 23.45° = 1.03553 · 0.43378 = 0.44919, arccos(−0.44919) = 116.692°, 12 − 7.7795 = 4.2205.
        (172, 46.0, 4.2205),
        # South of the equator the sun rises as late: 24 − 12 − 4.2205.
        (172, -46.0, 7.7795),
        (172, 0.0, 6.0),
        # Polar day and night.
        (172, 70.0, 3.0),
        (172, -70.0, 12.0),
    ],
)
def test_the_sun_of_an_average_day_rises_by_its_declination(day: int, latitude_deg: float, hour: float) -> None:
    """Cooper's declination: 23.45° · sin(2π · (284 + day) / 365)."""
    assert _sunrise_hour(np.array([float(day)]), latitude_deg)[0] == pytest.approx(hour, abs=2e-4)
