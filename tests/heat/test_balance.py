"""Stores beside losses, and the saving build by build."""

from __future__ import annotations

from dataclasses import replace
from typing import Unpack

import numpy as np
import pytest

from ledger.heat.balance import store_balances
from ledger.heat.by_build import split_by_build, split_notices
from ledger.heat.envelope import envelope
from ledger.heat.reckoning import heat_work, prepare, reckon
from ledger.model.build import Before, Store
from ledger.model.climate import Climate, MonthNormal
from ledger.model.house import House
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from ledger.series.record import HourlyRecord
from tests.changes import LedgerChanges
from tests.heat.builders import build, ledger_of, plain_house, record_of, spread

JANUARY = Window(MonthDay(1, 10), MonthDay(1, 21))
DAYS = 12


def record(*, indoor: float = 3.0, fall_k: float = 2.0, second_fall_k: float = 1.0) -> HourlyRecord:
    """Twelve like days: the tanks stand at 20 °C until 17:00 (the first dark hour), lower from 18:00 until 8:00."""
    hour = np.arange(DAYS * 24) % 24
    dark = (hour >= 18) | (hour < 8)
    channels = {
        "indoor": np.full(DAYS * 24, indoor),
        "outdoor": np.full(DAYS * 24, -3.0),
        "water": np.where(dark, 20.0 - fall_k, 20.0),
        "soil": np.where(dark, 15.0 - second_fall_k, 15.0),
    }
    return record_of(channels, first="2026-01-10T00:00+01:00")


def tank(kwh_per_k: float = 4.0, name: str = "tank", channel: str = "water", of: str = "buried air tubes") -> Store:
    return Store(name, of, channel, spread(kwh_per_k))


def january(house: House | None = None, **changes: Unpack[LedgerChanges]) -> Ledger:
    return ledger_of(house or plain_house(100.0, lift=spread(2.0)), season=JANUARY, **changes)


def test_a_tank_gives_back_its_fall_from_dusk_to_dawn_every_whole_night() -> None:
    """4 kWh/K · 2 K = 8 kWh a night; eleven whole nights lie inside twelve days; the house loses 0.1 · 6 · 15 = 9."""
    ledger = january(stores=(tank(),))
    year = prepare(record(), ledger).years[0]
    (balance,) = store_balances(year, ledger, envelope(ledger.house, ledger.builds, elevation_m=0.0))
    assert balance.nights == 11
    assert balance.release_kwh == pytest.approx(88.0)
    assert balance.loss_kwh == pytest.approx(0.6 * balance.dark_h)
    assert balance.dark_h == pytest.approx(11 * 15, abs=3)


def test_a_tank_that_warms_in_the_night_gives_nothing_back() -> None:
    ledger = january(stores=(tank(),))
    year = prepare(record(fall_k=-1.0), ledger).years[0]
    (balance,) = store_balances(year, ledger, envelope(ledger.house, ledger.builds, elevation_m=0.0))
    assert balance.release_kwh == 0.0


def test_a_night_with_a_hole_is_left_out() -> None:
    ledger = january(stores=(tank(),))
    logged = record()
    logged.hours.loc[logged.hours.index[2 * 24 + 20], "indoor"] = np.nan
    year = prepare(logged, ledger).years[0]
    (balance,) = store_balances(year, ledger, envelope(ledger.house, ledger.builds, elevation_m=0.0))
    assert balance.nights == 10


def codes(ledger: Ledger, logged: HourlyRecord) -> set[str]:
    return {n.code for n in reckon(prepare(logged, ledger), ledger).notices}


def test_a_store_that_gives_more_than_is_lost_says_that_the_loss_is_too_low() -> None:
    """20 kWh/K · 2 K = 40 kWh a night against 9 kWh lost."""
    assert "heat-loss-too-low" in codes(january(stores=(tank(20.0),)), record())


def test_a_loss_that_stores_and_floor_cannot_explain_says_that_the_loss_is_too_high() -> None:
    """H 1,000 W/K loses 90 kWh a night; the tank gives 8 and the floor at most 0.05 · 20 · 15 = 15."""
    assert "heat-loss-too-high" in codes(january(plain_house(1000.0, lift=spread(2.0)), stores=(tank(),)), record())


def test_figures_that_agree_are_left_alone_and_so_are_builds_without_a_logged_store() -> None:
    agreeing = codes(january(stores=(tank(),)), record())
    assert not agreeing & {"heat-loss-too-low", "heat-loss-too-high"}
    other = january(plain_house(1000.0, lift=spread(2.0)), stores=(tank(),), builds=(build(), build("tank")))
    assert "heat-loss-too-high" not in codes(other, record())


def parts(ledger: Ledger, logged: HourlyRecord | None) -> dict[str, float | None]:
    return dict(split_by_build(heat_work(prepare(logged, ledger), ledger), ledger).parts)


def total(ledger: Ledger, logged: HourlyRecord) -> float:
    found = reckon(prepare(logged, ledger), ledger).typical
    assert found is not None
    return found.avoided_kwh


def test_one_build_has_all_of_the_saving() -> None:
    assert parts(january(), record()) == {"buried air tubes": pytest.approx(total(january(), record()))}


def test_several_stores_share_by_what_the_grower_says() -> None:
    ledger = january(builds=(build("tubes", share_of_saving=0.75), build("tank", share_of_saving=0.25)))
    whole = total(ledger, record())
    assert parts(ledger, record()) == {"tubes": pytest.approx(0.75 * whole), "tank": pytest.approx(0.25 * whole)}


def test_several_stores_share_by_what_they_gave_back() -> None:
    """4 kWh/K · 2 K = 8 and 2 kWh/K · 1 K = 2 a night: four fifths and a fifth."""
    stores = (tank(of="tank"), tank(2.0, "bed", "soil", "tubes"))
    ledger = january(builds=(build("tubes"), build("tank")), stores=stores)
    whole = total(ledger, record())
    assert parts(ledger, record()) == {"tubes": pytest.approx(0.2 * whole), "tank": pytest.approx(0.8 * whole)}


def test_a_saving_that_nothing_splits_stays_unknown_and_says_what_would_split_it() -> None:
    found = parts(january(builds=(build("tubes"), build("tank"))), record())
    assert found == {"tubes": None, "tank": None}
    assert [n.code for n in split_notices(found)] == ["saving-not-split"]
    assert split_notices({"tubes": 3.0, "tank": 2.0}) == ()


def test_a_layer_and_a_store_have_the_parts_of_the_hand_reckoning() -> None:
    """H_bare 200, H 100 W/K, lift 2 K, −3 °C, hold 5 °C, indoors 3 °C; an hour:

    need 0.2 · (8 − 2) = 1.2; layer alone at −3 + 4 = 1 °C wants 0.4, so that its part is 0.8; short 0.2, the store's
    part 0.4 − 0.2 = 0.2; all of it 1.0.
    """
    layer = build("layer", before=(Before(surface="cover", u_value_w_per_m2_k=spread(4.0)),))
    ledger = january(builds=(layer, build("tank")))
    whole = total(ledger, record())
    assert parts(ledger, record()) == {"layer": pytest.approx(0.8 * whole), "tank": pytest.approx(0.2 * whole)}


def test_two_layers_share_by_what_leaving_each_out_would_cost() -> None:
    """Roof and walls in one: two changes of like size share alike, and the sum is the envelope's part."""
    house = replace(
        plain_house(100.0, lift=spread(2.0)),
        surfaces=tuple(
            replace(plain_house().surfaces[0], name=name, area_m2=spread(25.0), u_value_w_per_m2_k=spread(2.0))
            for name in ("roof", "walls")
        ),
    )
    layers = tuple(
        build(f"{name} layer", before=(Before(surface=name, u_value_w_per_m2_k=spread(4.0)),))
        for name in ("roof", "walls")
    )
    ledger = january(house, builds=layers)
    whole = total(ledger, record())
    assert parts(ledger, record()) == {
        "roof layer": pytest.approx(whole / 2),
        "walls layer": pytest.approx(whole / 2),
    }


def test_before_anything_is_logged_the_expected_shares_split_the_saving() -> None:
    climate = Climate(normals=tuple(MonthNormal(m, -3.0, -3.0) for m in range(1, 13)))
    builds = (build("a", expected_fraction=spread(0.3)), build("b", expected_fraction=spread(0.1)))
    ledger = january(builds=builds, climate=climate)
    heat = reckon(prepare(None, ledger), ledger).typical
    assert heat is not None
    found = parts(ledger, None)
    assert found == {"a": pytest.approx(0.75 * heat.avoided_kwh), "b": pytest.approx(0.25 * heat.avoided_kwh)}
