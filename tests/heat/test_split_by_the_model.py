"""The saving split by a believed house model, and what must add up with it."""

from __future__ import annotations

from dataclasses import replace
from typing import Unpack

import numpy as np
import pytest

from ledger.heat.adds_up import adds_up, heat_loss_notices
from ledger.heat.by_build import SplitBy, split_by_build
from ledger.heat.envelope import envelope
from ledger.heat.housemodel.answer import HouseModelAnswer
from ledger.heat.housemodel.left_out import Part, PartOfSaving, Split
from ledger.heat.part_of_build import builds_of_part
from ledger.heat.reckoning import HeatWork, answer_of, heat_work, prepare
from ledger.model.build import Before, Store
from ledger.model.ledger import Ledger
from ledger.model.values import MonthDay, Window
from ledger.series.record import HourlyRecord
from tests.changes import LedgerChanges
from tests.heat.builders import build, ledger_of, plain_house, record_of, spread
from tests.housemodel.fitted import about, model_of, season_of, told_of

JANUARY = Window(MonthDay(1, 10), MonthDay(1, 21))
TANK = Store("water", "tank", "water", spread(4.0))


def record() -> HourlyRecord:
    """Twelve days at 3 °C indoors and −3 °C outdoors; the water falls by 2 K every night."""
    hour = np.arange(12 * 24) % 24
    water = np.where((hour >= 18) | (hour < 8), 18.0, 20.0)
    channels = {"indoor": np.full(288, 3.0), "outdoor": np.full(288, -3.0), "water": water}
    return record_of(channels, first="2026-01-10T00:00+01:00")


def farm(**changes: Unpack[LedgerChanges]) -> Ledger:
    """Tubes and a tank; the grower's own guess is an even split."""
    builds = (build("tubes", share_of_saving=0.5), build("tank", share_of_saving=0.5))
    house = plain_house(100.0, lift=spread(2.0))
    plain = ledger_of(house, season=JANUARY, builds=builds, stores=(TANK,))
    return replace(plain, **changes)


def worked(ledger: Ledger) -> HeatWork:
    return heat_work(prepare(record(), ledger), ledger)


def total(work: HeatWork) -> float:
    assert work.typical.heat is not None
    return work.typical.heat.avoided_kwh


def believed(**saved: float) -> HouseModelAnswer:
    return model_of(season_of(told_of(**saved), name="2026"))


def test_a_believed_model_s_parts_split_the_typical_year_in_proportion() -> None:
    """Alone 300 and 900, together 1,100: owns 250 and 850, of 1,100."""
    work = worked(farm())
    found = split_by_build(work, farm(), believed())
    assert found.by is SplitBy.MODEL
    assert found.parts == {
        "tubes": pytest.approx(total(work) * 850 / 1100),
        "tank": pytest.approx(total(work) * 250 / 1100),
    }


def test_a_model_that_is_not_believed_leaves_the_split_to_the_grower_s_shares() -> None:
    work = worked(farm())
    doubted = model_of(season_of(told_of(), name="2026", believed=False))
    found = split_by_build(work, farm(), doubted)
    assert found.by is SplitBy.SHARES
    assert found.parts == {"tubes": pytest.approx(total(work) / 2), "tank": pytest.approx(total(work) / 2)}


def test_where_one_build_takes_what_the_other_gives_the_signs_stay_and_the_sum_is_the_year_s() -> None:
    """Tank 1,200 alone, bed −200 alone, together 1,000: owns 1,200 and −200; what the year has besides by size."""
    work = worked(farm())
    found = split_by_build(work, farm(), believed(tank=1200.0, bed=-200.0, both=1000.0)).parts
    rest = total(work) - 1000.0
    assert found["tank"] == pytest.approx(1200.0 + rest * 1200 / 1400)
    assert found["tubes"] == pytest.approx(-200.0 + rest * 200 / 1400)
    assert sum(kwh or 0.0 for kwh in found.values()) == pytest.approx(total(work))


def test_owns_of_several_seasons_are_added_up() -> None:
    """Tank 250 and 450, bed 850 and 850: 700 and 1,700 of 2,400."""
    work = worked(farm())
    two = model_of(season_of(told_of(), name="2025"), season_of(told_of(tank=700.0, bed=1100.0, both=1300.0)))
    found = split_by_build(work, farm(), two).parts
    assert found["tank"] == pytest.approx(total(work) * 700 / 2400)


def test_two_tanks_share_the_tank_s_part_by_what_they_hold() -> None:
    """A third tank of a third of the water: a quarter of the 250."""
    stores = (TANK, Store("barrels", "barrels", "water", spread(4.0 / 3.0)))
    ledger = farm(builds=(build("tubes"), build("tank"), build("barrels")), stores=stores)
    work = worked(ledger)
    found = split_by_build(work, ledger, believed()).parts
    assert found["barrels"] == pytest.approx(total(work) * 62.5 / 1100)
    assert found["tank"] == pytest.approx(total(work) * 187.5 / 1100)


def test_each_part_of_the_model_is_the_builds_that_it_stands_for() -> None:
    layer = build("layer", before=(Before(surface="cover", u_value_w_per_m2_k=spread(4.0)),))
    ledger = farm(builds=(build("tubes"), build("tank"), layer))
    named = {part: [b.name for b in builds_of_part(part, ledger)] for part in Part}
    assert named == {Part.TANK: ["tank"], Part.BED: ["tubes"], Part.ENVELOPE: ["layer"]}


def test_a_bed_in_the_log_that_no_build_stands_for_is_not_split() -> None:
    ledger = farm(
        builds=(build("tank"), build("other tank")), stores=(TANK, Store("b", "other tank", "water", spread(1.0)))
    )
    assert builds_of_part(Part.BED, ledger) == ()
    assert split_by_build(worked(ledger), ledger, believed()).by is not SplitBy.MODEL


def test_one_build_with_a_tank_and_a_bed_has_both_parts() -> None:
    ledger = farm(builds=(build("tank"),))
    assert builds_of_part(Part.BED, ledger) == builds_of_part(Part.TANK, ledger) == ledger.builds


def test_a_fitted_heat_loss_outside_the_ledger_s_range_is_said_with_the_figure_that_is_doubted() -> None:
    """A surface of 50 m2 (45 to 55) at 2 W/m2/K: 100 W/K, 90 to 110 at the very ends; the log wants 130."""
    surface = plain_house().surfaces[0]
    house = replace(
        plain_house(100.0, lift=spread(2.0)), surfaces=(replace(surface, area_m2=spread(50.0, 45.0, 55.0)),)
    )
    ledger = ledger_of(house, season=JANUARY, builds=(build("tubes"), build("tank")), stores=(TANK,))
    work = worked(ledger)
    model = model_of(season_of(told_of(), name="2026", loss_w_per_k=130.0))
    (notice,) = heat_loss_notices(work.seasons, ledger, model)
    assert notice.code == "heat-loss-not-as-fitted"
    assert "130 W/K" in notice.text
    assert "house.surface[cover].area" in notice.text
    assert notice in answer_of(work, ledger, model).notices
    agreeing = model_of(season_of(told_of(), name="2026", loss_w_per_k=103.0))
    assert heat_loss_notices(work.seasons, ledger, agreeing) == ()
    unbelieved = model_of(season_of(told_of(), name="2026", loss_w_per_k=130.0, believed=False))
    assert heat_loss_notices(work.seasons, ledger, unbelieved) == ()


def test_stores_losses_and_the_two_heat_losses_stand_side_by_side() -> None:
    """4 kWh/K · 2 K = 8 kWh in each of eleven whole nights."""
    ledger = farm()
    work = worked(ledger)
    loss = envelope(ledger.house, ledger.builds, elevation_m=0.0)
    (season,) = adds_up(work.seasons, ledger, believed(), loss=loss)
    (store,) = season.stores
    assert (store.store, store.nights) == ("water", 11)
    assert store.release_kwh == pytest.approx(88.0)
    assert season.held_kwh == work.seasons[0].heat.rungs.held_kwh
    assert season.heat_loss is not None
    assert (season.heat_loss.ledger_w_per_k, season.heat_loss.fitted_w_per_k) == pytest.approx((100.0, 430.0))
    (alone,) = adds_up(work.seasons, ledger, None, loss=loss)
    assert alone.heat_loss is None


def test_a_model_by_which_no_build_gave_anything_leaves_the_split_to_the_grower_s_shares() -> None:
    work = worked(farm())
    found = split_by_build(work, farm(), believed(tank=0.0, bed=0.0, both=0.0))
    assert found.by is SplitBy.SHARES
    assert found.parts == {"tubes": pytest.approx(total(work) / 2), "tank": pytest.approx(total(work) / 2)}


def test_two_changes_of_the_envelope_share_the_model_s_part_by_what_leaving_each_out_costs() -> None:
    """The envelope's own is 850 of 1,100, the tank's 250. The layer took 100 W/K off, the seal 50 m3 · 1 change an hour
    = 1.2041 · 1006 · 50 / 3600 = 16.82 W/K; each left out costs its W/K times the same kelvins."""
    layer = build("layer", before=(Before(surface="cover", u_value_w_per_m2_k=spread(4.0)),))
    seal = build("seal", before=(Before(air_changes_per_h=spread(1.0)),))
    ledger = farm(builds=(layer, seal, build("tank")))
    own = (
        PartOfSaving(Part.TANK, about(300.0), about(200.0), 250.0),
        PartOfSaving(Part.ENVELOPE, about(900.0), about(800.0), 850.0),
    )
    told = replace(told_of(), split=Split(about(1100.0), own))
    work = worked(ledger)
    found = split_by_build(work, ledger, model_of(season_of(told, name="2026")))
    assert found.by is SplitBy.MODEL
    envelope_kwh, sealed = total(work) * 850 / 1100, 1.2041 * 1006 * 50 / 3600
    assert found.parts["tank"] == pytest.approx(total(work) * 250 / 1100)
    assert found.parts["layer"] == pytest.approx(envelope_kwh * 100 / (100 + sealed), rel=1e-4)
    assert found.parts["seal"] == pytest.approx(envelope_kwh * sealed / (100 + sealed), rel=1e-4)
