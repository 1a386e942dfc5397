"""Every uncertain input has words of its own."""

import re
from dataclasses import replace

import pytest

from ledger.doubt.inputs import money_inputs
from ledger.doubt.words import in_words
from ledger.heat.curve import heat_inputs
from ledger.heat.envelope import Doubt
from ledger.heat.season import BACKUP, BARE, INDOOR
from ledger.model.build import Before
from ledger.model.house import BareWay, Edge, Surface
from tests.doubt.made import ranged
from tests.doubt.test_inputs import FULL

SOME = ranged(1.0, 0.5, 2.0)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("build[tubes].item[2].life_years", "the life of trench (tubes)"),
        ("build[tubes].upkeep[1].amount", "the upkeep for belt (tubes)"),
        ("source[plug heater].price", "the fuel price of plug heater"),
        ("source[plug heater].tariff[1].price", "the price of plug heater from 2025-09-01 on"),
        ("house.surface[north wall].u_value", "the U-value of north wall"),
        ("build[tubes].before[0]", "what stood there before tubes"),
        ("build[a [b].c].expected_running", "what a [b].c is expected to cost to run"),
        ("money.discount_rate", "the discount rate"),
        ("something new", "something new"),
    ],
)
def test_a_path_reads_as_words(path: str, words: str) -> None:
    assert in_words(path, FULL) == words


def test_no_input_of_the_money_is_left_without_words() -> None:
    sources = tuple(replace(s, life_years=SOME) for s in FULL.sources)
    for one in money_inputs(replace(FULL, sources=sources), sources):
        assert in_words(one.path, FULL) != one.path, one.path


@pytest.mark.parametrize("way", list(BareWay))
def test_no_input_of_the_heat_is_left_without_words(way: BareWay) -> None:
    house = replace(
        FULL.house,
        volume_m3=SOME,
        floor_area_m2=SOME,
        air_changes_per_h=SOME,
        unheated_lift_k=None,
        night_floor_heat_w_per_m2=SOME,
        surfaces=(Surface("roof", SOME, SOME),),
        edges=(Edge("footing", SOME, SOME),),
    )
    builds = (replace(FULL.builds[0], before=(Before(surface="roof", u_value_w_per_m2_k=SOME),)),)
    ledger = replace(FULL, house=house, builds=builds)
    found = heat_inputs(ledger, way, bare=Doubt(BARE, SOME), indoor=Doubt(INDOOR, SOME), backup=Doubt(BACKUP, SOME))
    assert len(found) >= 9
    for one in found:
        assert in_words(one.path, ledger) != one.path, one.path
        assert not re.search(r"[\[\]_]", in_words(one.path, ledger))
