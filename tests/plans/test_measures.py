"""Cheaper builds that nobody typed, followed by hand: heat spared, the most that each may cost."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.heat.results import TypicalHeat
from ledger.model.build import Before, Hours
from ledger.model.house import Surface
from ledger.model.ledger import Ledger
from ledger.plans.measures import WALLS, CheaperBuild, Measure, cheaper_builds
from ledger.sources import COVERS, NIGHT_SCREEN_RESISTANCE, SEALED_AIR_CHANGES, SECOND_LAYER_RESISTANCE
from tests.heat.builders import build, heater, ledger_of, plain_house, spread
from tests.money.made import sure
from tests.plans.made import money
from tests.running.made import typical

# 50 m2 of U 2 W/m2/K, hold 5 °C. An hour at −5 °C (10 K below) and one at 1 °C (4 K below), each 100 times:
# need 0.9 and 0.3 kWh, to buy 0.5 and 0.05 kWh in the hour.
HEAT = typical([0.9, 0.3], [0.5, 0.05], outdoor=[-5.0, 1.0], weight=100.0)


WATT_HOURS_UP = st.just(0.0) | st.floats(0.001, 5.0)
"""Heat of an hour, none or a watt-hour and more."""


def plain() -> Ledger:
    """Real rates of 0, ten years, a heater at 0.20 a kWh whose price does not grow; a build of 4000."""
    ledger = ledger_of(plain_house(100.0, lift=spread(2.0)))
    terms = replace(ledger.terms, discount_rate=sure(0.0), inflation=sure(0.0), rates_are_real=True, study_years=8)
    free = replace(build(), expected_running=money(0))
    source = heater(price=spread(0.20), price_growth=sure(0.0))
    return replace(ledger, terms=terms, builds=(free,), sources=(source,))


def found(ledger: Ledger, measure: Measure, heat: TypicalHeat = HEAT) -> CheaperBuild:
    return next(m for m in cheaper_builds(ledger, heat, fan_kwh=0.0) if m.measure is measure)


def test_the_resistance_of_a_second_layer_is_the_difference_of_the_published_u_values() -> None:
    """Any double layer 0.65, any single one 1.1 Btu/h/ft2/degF: 1/0.65 − 1/1.1 = 0.6294 h·ft2·°F/Btu = 0.11084 m2K/W.
    A screen on double film: 1/0.40 − 1/0.70 = 1.0714 = 0.18869 m2K/W. 1 Btu/h/ft2/degF = 5.678263 W/m2/K."""
    assert SECOND_LAYER_RESISTANCE.likely == pytest.approx(0.6294 / 5.678263, rel=1e-3)
    assert NIGHT_SCREEN_RESISTANCE.likely == pytest.approx(1.0714 / 5.678263, rel=1e-3)
    assert SECOND_LAYER_RESISTANCE.low < SECOND_LAYER_RESISTANCE.likely < SECOND_LAYER_RESISTANCE.high


def test_heat_spared_is_what_the_layer_keeps_in_as_far_as_any_was_to_be_bought() -> None:
    """ΔH = 50 · (2 − 1/(1/2 + 0.11084)) = 50 · (2 − 1.63709) = 18.15 W/K: 0.1815 kWh in the cold hour, 0.0726 in the
    mild one, of which 0.05 was to be bought: 100 · (0.1815 + 0.05) = 23.15 kWh beside the build. Instead of it 0.1815
    and 0.0726: 25.41 kWh."""
    one = found(plain(), Measure.SECOND_LAYER)
    spared = 50.0 * (2.0 - 1.0 / (0.5 + SECOND_LAYER_RESISTANCE.likely)) / 1000.0
    assert spared * 1000 == pytest.approx(18.15, abs=0.01)
    assert one.beside.avoided_kwh == pytest.approx(100 * (10 * spared + 0.05))
    assert one.instead.avoided_kwh == pytest.approx(100 * (10 * spared + 4 * spared))
    assert one.beside.avoided_low_kwh < one.beside.avoided_kwh < one.beside.avoided_high_kwh
    assert one.area_m2 == pytest.approx(50.0)


def test_the_prices_are_those_at_which_payback_is_the_builds_and_nothing_is_gained() -> None:
    """The build: 4000, avoids 100 · (0.4 + 0.25) = 65 kWh = 13 a year: 4000/13 years. The layer spares 23.15 kWh =
    4.63 a year: paid back sooner below 4.63 · 4000/13. It lasts 4 years, the study 8: bought twice, nothing left: gains
    below 8 · 4.63 ÷ 2."""
    one = found(plain(), Measure.SECOND_LAYER)
    yearly = one.beside.avoided_kwh * 0.20
    assert one.beside.yearly_saving == pytest.approx(yearly)
    assert one.build_payback_years == pytest.approx(4000 / 13)
    assert one.life_years == 4
    assert one.beside.pays_sooner_below == pytest.approx(yearly * 4000 / 13)
    assert one.beside.gains_below == pytest.approx(8 * yearly / 2)


def test_sealing_spares_the_air_that_no_longer_leaks() -> None:
    """50 m3 from 1.5 down to 0.5 changes at sea level: 1.2041 · 1006 · 50 · 1 / 3600 = 16.82 W/K."""
    leaky = plain()
    leaky = replace(leaky, house=replace(leaky.house, air_changes_per_h=spread(1.5)))
    one = found(leaky, Measure.SEALING)
    assert one.instead.avoided_kwh == pytest.approx(100 * 14 * 16.82 / 1000, rel=1e-3)
    assert one.effect == SEALED_AIR_CHANGES.likely
    assert one.area_m2 is None


def test_what_stands_already_is_not_offered() -> None:
    """The plain house does not leak; a build that put a screen up has one."""
    assert {m.measure for m in cheaper_builds(plain(), HEAT, fan_kwh=0.0)} == {
        Measure.SECOND_LAYER,
        Measure.NIGHT_SCREEN,
    }
    screen = replace(build("screen"), before=(Before("cover", spread(4.0), hours=Hours.NIGHT),))
    screened = replace(plain(), builds=(screen,))
    assert {m.measure for m in cheaper_builds(screened, HEAT, fan_kwh=0.0)} == {Measure.SECOND_LAYER}


def test_instead_of_a_second_layer_a_screen_hangs_under_the_single_one() -> None:
    """The cover was U 6 before the build and is 2 now: the screen spares 50 · (6 − 1/(1/6 + R)) on the bare house."""
    layer = replace(build("layer"), before=(Before("cover", spread(6.0)),), expected_running=money(0))
    ledger = plain()
    covered = replace(ledger.house, surfaces=(Surface("cover", spread(50.0), spread(2.0), cover="double PE film"),))
    ledger = replace(ledger, house=covered, builds=(layer,))
    plenty = typical([9.0], [0.001], outdoor=[-5.0], weight=1.0)
    one = found(ledger, Measure.NIGHT_SCREEN, plenty)
    assert one.instead.avoided_kwh == pytest.approx(0.5 * (6.0 - 1.0 / (1 / 6 + NIGHT_SCREEN_RESISTANCE.likely)))
    assert one.beside.avoided_kwh == pytest.approx(0.001)


def test_where_nothing_is_built_there_is_no_payback_to_come_before() -> None:
    """All 100 · (0.9 + 0.3) = 120 kWh are to be bought, so beside nothing and instead of nothing are one: the layer's
    0.1815 and 0.0726 kWh spare 25.41 kWh, 5.08 a year; bought twice in eight years it gains below 8 · 5.08 ÷ 2."""
    bare = typical([0.9, 0.3], [0.9, 0.3], outdoor=[-5.0, 1.0], weight=100.0)
    one = found(replace(plain(), builds=()), Measure.SECOND_LAYER, bare)
    assert one.build_payback_years is None
    assert one.beside == one.instead
    assert one.beside.avoided_kwh == pytest.approx(25.41, abs=0.01)
    assert one.beside.pays_sooner_below is None
    assert one.beside.gains_below == pytest.approx(8 * 25.41 * 0.20 / 2, abs=0.01)


def test_a_year_without_an_hour_that_counts_asks_for_no_measure() -> None:
    assert cheaper_builds(plain(), typical([], []), fan_kwh=0.0) == ()


def test_every_cover_of_the_table_is_glazing_or_a_wall() -> None:
    """Twin-wall sheets are glazing, whatever their name."""
    for name in COVERS:
        ledger = plain()
        surface = Surface("cover", spread(50.0), spread(2.0), cover=name)
        under = replace(ledger, house=replace(ledger.house, surfaces=(surface,)))
        tried = cheaper_builds(under, HEAT, fan_kwh=0.0)
        area = [m.area_m2 for m in tried if m.measure is Measure.SECOND_LAYER]
        assert area == [0.0 if name in WALLS else 50.0]
    assert set(COVERS) >= WALLS


def test_walls_take_no_film() -> None:
    ledger = plain()
    walls = (
        Surface("north wall", spread(30.0), spread(0.45)),
        Surface("gable", spread(10.0), spread(2.0), cover="plain masonry wall"),
    )
    one = found(
        replace(ledger, house=replace(ledger.house, surfaces=(*ledger.house.surfaces, *walls))), Measure.SECOND_LAYER
    )
    assert one.area_m2 == pytest.approx(50.0)


def test_a_build_that_never_comes_back_is_beaten_at_any_price() -> None:
    none = typical([0.9], [0.9], outdoor=[-5.0], weight=100.0)
    one = found(plain(), Measure.SECOND_LAYER, none)
    assert one.build_payback_years is None
    assert one.beside.pays_sooner_below is None
    assert one.beside.gains_below > 0.0


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(WATT_HOURS_UP, st.floats(0.0, 1.0), st.floats(-30.0, 10.0)), min_size=1, max_size=8),
    st.floats(0.5, 6.0),
)
def test_nothing_spares_more_than_was_to_be_bought(rows: list[tuple[float, float, float]], u: float) -> None:
    need = [n for n, _, _ in rows]
    buy = [n * part for n, part, _ in rows]
    heat = typical(need, buy, outdoor=[t for *_, t in rows], weight=10.0)
    ledger = replace(plain(), house=plain_house(50.0 * u, lift=spread(2.0)))
    for one in cheaper_builds(ledger, heat, fan_kwh=0.0):
        assert -1e-9 <= one.beside.avoided_kwh <= heat.to_buy_kwh + 1e-9
        assert -1e-9 <= one.instead.avoided_kwh <= heat.need_kwh + 1e-9
        assert one.beside.avoided_low_kwh <= one.beside.avoided_kwh + 1e-12
        assert one.beside.gains_below >= 0.0
