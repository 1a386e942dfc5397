"""The input that is worth measuring is the one whose narrowing shrinks the range, not the one that swings farthest."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.doubt.chain import MONTHS_NOT_LOGGED
from ledger.doubt.inputs import DISCOUNT_RATE
from ledger.doubt.measure_next import MeasureNext, measure_next
from ledger.doubt.measure_ways import NO_SOURCE, way_to_measure
from ledger.heat.curve import FLOOR_HEAT, LIFT
from ledger.heat.envelope import Doubt
from ledger.heat.season import INDOOR, NIGHTS
from ledger.model.heaters import Kind
from ledger.model.house import BareWay
from tests.doubt.made import chain_of, plain_ledger, ranged
from tests.money.made import heater

LEAKS = "house.air_changes"


def _doubt(path: str, half_width: float) -> Doubt:
    return Doubt(path, ranged(0.0, -half_width, half_width))


def _by_input(found: tuple[MeasureNext, ...]) -> dict[str, MeasureNext]:
    return {one.input: one for one in found}


def test_a_lone_input_at_half_its_width_halves_the_range() -> None:
    """The worth is linear in the avoided heat: half the width is half of p90 less p10."""
    (one,) = measure_next(chain_of(heat_inputs=((_doubt(LEAKS, 100.0), 1.0),)))
    assert one.input == LEAKS
    assert one.shrink == pytest.approx(0.5)
    assert one.range_half == pytest.approx(one.range_now / 2)
    assert one.way is not None
    assert "candle" in one.way


def test_ranges_add_by_their_squares() -> None:
    """Two triangles of half-widths 300 and 100, nearly normal together: √(3² + 1²) = 3.162. The wide one at half its
    width: √(1.5² + 1²) = 1.803, 43 % less. The narrow one at half: √(3² + 0.5²) = 3.041, 3.8 % less, although alone it
    swings a third as far. Tails of triangles are shorter than a normal's, hence a tolerance of 4 points."""
    found = measure_next(chain_of(heat_inputs=((_doubt(INDOOR, 100.0), 1.0), (_doubt(LEAKS, 300.0), 1.0))))
    assert [one.input for one in found] == [LEAKS, INDOOR]
    wide, narrow = found
    assert wide.shrink == pytest.approx(1 - 1.803 / 3.162, abs=0.04)
    assert narrow.shrink == pytest.approx(1 - 3.041 / 3.162, abs=0.04)


@settings(max_examples=12, deadline=None)
@given(st.lists(st.floats(1.0, 400.0), min_size=1, max_size=4))
def test_no_shrink_is_more_than_a_half_and_the_widest_input_comes_first(widths: list[float]) -> None:
    inputs = tuple((_doubt(f"house.surface[{i}].u_value", width), 1.0) for i, width in enumerate(widths))
    found = measure_next(chain_of(heat_inputs=inputs))
    assert found
    assert all(one.shrink <= 0.51 for one in found)  # the percentiles are of 4,000 draws
    assert widths[int(found[0].input.split("[")[1].split("]")[0])] >= 0.9 * max(widths)


@pytest.mark.parametrize("path", [LIFT, FLOOR_HEAT])
def test_by_a_lift_the_whole_span_is_halved_with_the_lift_and_the_way_is_the_fan_left_off(path: str) -> None:
    (one,) = measure_next(chain_of(heat_inputs=((_doubt(path, 2.0), -100.0),), way=BareWay.LIFT))
    assert one.shrink == pytest.approx(0.5)
    assert one.way is not None
    assert "fan left off" in one.way


def test_months_that_nobody_logged_are_something_to_measure() -> None:
    """Avoided 750 kWh, a third as much again unknown, nothing else uncertain: the range runs from 0 to 250 kWh above,
    and half of them logged halve it."""
    found = measure_next(chain_of(months_missing_share=1 / 3))
    assert [one.input for one in found] == [MONTHS_NOT_LOGGED]
    assert found[0].shrink == pytest.approx(0.5)


def test_what_is_decided_or_waited_for_has_no_way() -> None:
    ledger = plain_ledger()
    ledger = replace(ledger, terms=replace(ledger.terms, discount_rate=ranged(0.06, 0.03, 0.09)))
    found = _by_input(measure_next(chain_of(ledger)))
    assert found[DISCOUNT_RATE].way is None
    assert found[DISCOUNT_RATE].source is None


def test_a_sure_answer_needs_no_measuring() -> None:
    assert measure_next(chain_of()) == ()


@pytest.mark.parametrize(
    ("path", "word"),
    [
        ("house.surface[roof [old]].area", "tape"),
        ("house.edge[footing].length", "tape"),
        ("house.volume", "tape"),
        ("house.surface[roof].u_value", "three calm, cold nights"),
        (NIGHTS, "heater with a meter"),
        (INDOOR, "ice"),
        ("build[tubes].item[2].amount", "receipt"),
        ("build[tubes].expected_running", "plug-in meter"),
        ("build[tubes].expected_fraction", "winter's log"),
        ("source[stove].price", "receipts"),
        ("source[stove].tariff[1].price", "receipts"),
        ("source[stove].efficiency", "weighed"),
        ("source[stove].heat_per_unit", "moisture meter"),
        ("source[gas].heat_per_unit", "supplier"),
        ("build[tubes].item[1].hours", "season book"),
    ],
)
def test_each_kind_of_input_has_its_cheapest_way(path: str, word: str) -> None:
    sources = (heater("stove", kind=Kind.WOOD_STOVE), heater("gas", kind=Kind.PROPANE))
    way = way_to_measure(path, replace(plain_ledger(), sources=sources))
    assert way is not None
    assert word in way.words


@pytest.mark.parametrize("path", ["money.discount_rate", "source[gas].price_growth", "build[a].item[1].residual"])
def test_a_rate_a_growth_and_what_is_left_at_the_end_cannot_be_measured(path: str) -> None:
    assert way_to_measure(path, plain_ledger()) is None


def test_a_way_without_a_source_says_so() -> None:
    way = way_to_measure("house.volume", plain_ledger())
    assert way is not None
    assert way.source == NO_SOURCE
