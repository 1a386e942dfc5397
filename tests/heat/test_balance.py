"""Stores beside losses, and the saving build by build."""

from __future__ import annotations

from dataclasses import replace
from typing import Unpack

import numpy as np
import pytest

from ledger.heat.balance import store_balances
from ledger.heat.bare import ModelSeason, Ways
from ledger.heat.by_build import SplitBy, split_by_build, split_notices
from ledger.heat.envelope import envelope
from ledger.heat.reckoning import heat_work, prepare, reckon
from ledger.heat.results import BareAnswer
from ledger.model.build import Before, Store
from ledger.model.climate import Climate, MonthNormal
from ledger.model.house import BareWay, House
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from ledger.series.record import HourlyRecord
from tests.changes import LedgerChanges
from tests.heat.builders import build, ledger_of, plain_house, record_of, spread, through_january
from tests.known import known

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


def test_a_few_days_of_log_leave_the_saving_split_as_it_is_reckoned_by_the_expected_shares() -> None:
    """Two days are no month: the typical year still rests on 0.3 and 0.1 of the need, and so does the split."""
    climate = Climate(normals=tuple(MonthNormal(m, -3.0, -3.0) for m in range(1, 13)))
    builds = (build("a", expected_fraction=spread(0.3)), build("b", expected_fraction=spread(0.1)))
    ledger = january(builds=builds, climate=climate)
    two_days = record_of({"indoor": [3.0] * 48, "outdoor": [-3.0] * 48}, first="2026-01-10T00:00+01:00")
    work = heat_work(prepare(two_days, ledger), ledger)
    heat = known(work.typical.heat)
    assert heat.basis == "expected"
    found = split_by_build(work, ledger)
    assert found.by is SplitBy.EXPECTED
    assert found.parts == {"a": pytest.approx(0.3 * heat.need_kwh), "b": pytest.approx(0.1 * heat.need_kwh)}


def test_a_summer_without_a_dark_hour_has_no_night_to_look_at() -> None:
    """At 75 degrees north the sun stays up all June."""
    ledger = ledger_of(season=Window(MonthDay(6, 1), MonthDay(6, 20)), stores=(tank(),))
    ledger = replace(ledger, site=replace(ledger.site, latitude_deg=75.0))
    days = {"indoor": [3.0] * 480, "outdoor": [-3.0] * 480, "water": [20.0, 18.0] * 240}
    (year,) = prepare(record_of(days, first="2026-06-01T00:00+02:00"), ledger).years
    assert not (year.dark & year.in_season).any()
    assert store_balances(year, ledger, envelope(ledger.house, ledger.builds, elevation_m=0.0)) == ()


def test_a_store_that_is_no_build_s_takes_no_part_in_the_split() -> None:
    """Rain barrels that stood there anyway fall with the tank: its 8 kWh a night and the bed's 2 share as without."""
    stores = (tank(of="tank"), tank(2.0, "bed", "soil", "tubes"), Store("rain barrels", None, "water", spread(9.0)))
    ledger = january(builds=(build("tubes"), build("tank")), stores=stores)
    whole = total(ledger, record())
    assert parts(ledger, record()) == {"tubes": pytest.approx(0.2 * whole), "tank": pytest.approx(0.8 * whole)}


def test_where_nothing_was_needed_a_layer_and_a_store_have_nothing_to_split() -> None:
    """Held at −10 °C, with the bare house at −1: neither of them spared a kilowatt-hour."""
    layer = build("layer", before=(Before(surface="cover", u_value_w_per_m2_k=spread(4.0)),))
    ledger = january(builds=(layer, build("tank")))
    ledger = replace(ledger, hold=replace(ledger.hold, temperature_c=-10.0))
    work = heat_work(prepare(record(), ledger), ledger)
    heat = known(work.typical.heat)
    assert (heat.need_kwh, heat.avoided_kwh) == (0.0, 0.0)
    found = split_by_build(work, ledger)
    assert (found.parts, found.by) == ({"layer": None, "tank": None}, SplitBy.NOTHING)


def test_a_model_s_typical_year_without_a_month_logged_is_not_split_by_hours_that_are_not_there() -> None:
    """The model ran over a long record; of the season it knows two days, and it does not tell the builds apart."""
    layer = build("layer", before=(Before(surface="cover", u_value_w_per_m2_k=spread(4.0)),))
    ledger = january(builds=(layer, build("tank")))
    heat = heat_work(prepare(record(), ledger), ledger).typical.heat
    days = slice(9 * 24, 11 * 24)
    answer = BareAnswer(48.0, 24.0, 20.0, 28.0)
    hourly = [through_january(value)[days] for value in (-1.0, 3.0, 1.0, 0.5)]
    ways = Ways(model={"2026": ModelSeason(answer, answer, *hourly)}, model_believed=True, typical=heat)
    two_days = record_of({"indoor": [3.0] * 48, "outdoor": [-3.0] * 48}, first="2026-01-10T00:00+01:00")
    work = heat_work(prepare(two_days, ledger), ledger, ways=ways)
    assert work.seasons[0].way is BareWay.MODEL
    assert known(work.typical.heat).need_kwh == known(heat).need_kwh
    assert split_by_build(work, ledger).by is SplitBy.NOTHING
