"""The curve for thousands of draws says what the slow reckoning says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.heat.curve import FLOOR_HEAT, LIFT
from ledger.heat.draws import drawn, from_band
from ledger.heat.envelope import Doubt
from ledger.heat.excess import Excess
from ledger.heat.prepared import Prepared
from ledger.heat.reckoning import energy_response, heat_work, prepare, reckon
from ledger.heat.results import TypicalHeat
from ledger.model.book import RunningLine
from ledger.model.build import Before
from ledger.model.climate import Climate, MonthNormal
from ledger.model.house import CountRule, Surface
from ledger.model.ledger import Ledger
from ledger.model.values import Spread
from tests.heat.builders import build, ledger_of, plain_house, spread, winter_record


@settings(max_examples=100)
@given(
    margins=st.lists(st.floats(-20, 20), min_size=1, max_size=20),
    weights=st.lists(st.floats(0, 3), min_size=20, max_size=20),
    threshold=st.floats(-25, 25),
)
def test_the_sum_above_a_threshold_is_that_of_the_plain_formula(
    margins: list[float], weights: list[float], threshold: float
) -> None:
    m, w = np.array(margins), np.array(weights[: len(margins)])
    expected = float(np.sum(w * np.maximum(0.0, m - threshold)))
    assert float(Excess.of(m, w).above(threshold)) == pytest.approx(expected, abs=1e-9)


def doubtful_house(u_low: float = 1.5, u_high: float = 2.5) -> Ledger:
    house = replace(plain_house(), surfaces=(Surface("cover", spread(50.0), spread(2.0, u_low, u_high)),))
    return ledger_of(house, hold_c=4.0)


@pytest.fixture(scope="module")
def winter() -> Prepared:
    return prepare(winter_record(2), ledger_of())


def typical(prepared: Prepared, ledger: Ledger) -> TypicalHeat:
    found = reckon(prepared, ledger).typical
    assert found is not None
    return found


def at(prepared: Prepared, ledger: Ledger, **draws: float) -> tuple[float, float]:
    curve = energy_response(prepared, ledger)
    assert curve is not None
    need, avoided = curve.answer({path: np.array([value]) for path, value in draws.items()})
    return float(need[0]), float(avoided[0])


def close(year: TypicalHeat) -> tuple[object, object]:
    return pytest.approx(year.need_kwh, rel=1e-9), pytest.approx(year.avoided_kwh, rel=1e-9)


def test_at_its_likely_values_the_curve_is_the_typical_year(winter: Prepared) -> None:
    ledger = doubtful_house()
    assert at(winter, ledger) == close(typical(winter, ledger))


@pytest.mark.parametrize("u_value", [1.5, 2.0, 2.4])
def test_a_drawn_u_value_gives_what_a_ledger_with_it_gives(winter: Prepared, u_value: float) -> None:
    """By the default lift the bare house follows the coefficient, in the curve as in the ledger."""
    changed = replace(plain_house(), surfaces=(Surface("cover", spread(50.0), spread(u_value)),))
    expected = typical(winter, ledger_of(changed, hold_c=4.0))
    assert at(winter, doubtful_house(), **{"house.surface[cover].u_value": u_value}) == close(expected)


def test_a_drawn_floor_heat_and_a_drawn_lift_do_too(winter: Prepared) -> None:
    ledger = doubtful_house()
    floor = replace(ledger, house=replace(ledger.house, night_floor_heat_w_per_m2=spread(40.0)))
    assert at(winter, ledger, **{FLOOR_HEAT: 40.0}) == close(typical(winter, floor))
    stated = replace(ledger, house=replace(ledger.house, unheated_lift_k=spread(2.0, 1.0, 3.0)))
    lifted = replace(ledger, house=replace(ledger.house, unheated_lift_k=spread(3.0)))
    assert at(winter, stated, **{LIFT: 3.0}) == close(typical(winter, lifted))


def test_a_changed_envelope_is_drawn_on_both_sides(winter: Prepared) -> None:
    def ledger(before: Spread) -> Ledger:
        layer = build("second layer", before=(Before(surface="cover", u_value_w_per_m2_k=before),))
        return replace(doubtful_house(), builds=(layer,))

    expected = typical(winter, ledger(spread(7.0)))
    path = "build[second layer].before[0]"
    assert at(winter, ledger(spread(6.0, 5.0, 7.0)), **{path: 7.0}) == close(expected)


def test_day_hours_by_balance_follow_the_curve_closely(winter: Prepared) -> None:
    """Day hours are read off a grid of coefficients and shifts: within half a per cent of the need."""
    del winter
    sun = 300.0 * np.maximum(0.0, np.sin(2 * np.pi * (np.arange(8760) - 6) / 24))
    ledger = doubtful_house()
    ledger = replace(ledger, hold=replace(ledger.hold, count=CountRule.BALANCE, temperature_c=10.0))
    prepared = prepare(winter_record(1, sun=sun), ledger)
    for u_value in (1.5, 2.0, 2.5):
        house = replace(ledger.house, surfaces=(Surface("cover", spread(50.0), spread(u_value)),))
        expected = typical(prepared, replace(ledger, house=house))
        need, avoided = at(prepared, ledger, **{"house.surface[cover].u_value": u_value})
        assert need == pytest.approx(expected.need_kwh, rel=0.005)
        assert avoided == pytest.approx(expected.avoided_kwh, abs=0.005 * expected.need_kwh)


def test_a_climate_s_curve_carries_need_and_share_together(winter: Prepared) -> None:
    climate = Climate(normals=tuple(MonthNormal(m, -4.0, 6.0) for m in range(1, 13)))
    ledger = replace(doubtful_house(), climate=climate)
    prepared = prepare(winter_record(1), ledger)
    del winter
    assert typical(prepared, ledger).basis == "climate normals"
    assert at(prepared, ledger) == close(typical(prepared, ledger))
    changed = replace(ledger.house, surfaces=(Surface("cover", spread(50.0), spread(2.4)),))
    expected = typical(prepared, replace(ledger, house=changed))
    assert at(prepared, ledger, **{"house.surface[cover].u_value": 2.4}) == close(expected)


def test_backup_of_a_doubtful_stove_is_drawn_by_its_efficiency(winter: Prepared) -> None:
    from datetime import date

    from tests.heat.builders import heater

    first, last = date(2025, 1, 1), date(2025, 1, 31)
    book = (RunningLine(last, "electric heater", "heat", 100.0, None, None, 0.0, first, last),)
    source = heater(efficiency=spread(0.6, 0.45, 0.75))
    ledger = replace(doubtful_house(), running=book, sources=(source,))
    curve = energy_response(winter, ledger)
    assert curve is not None
    assert "backup.efficiency" in [d.path for d in curve.inputs]
    _, likely = at(winter, ledger)
    _, more = at(winter, ledger, **{"backup.efficiency": 1.25})
    assert likely - more == pytest.approx(0.25 * 60.0 / 2)


def test_thousands_of_draws_take_a_moment_and_centre_on_the_likely_answer(winter: Prepared) -> None:
    curve = energy_response(winter, doubtful_house())
    assert curve is not None
    need, avoided = curve.answer(drawn(curve.inputs, draws=20_000))
    assert need.shape == avoided.shape == (20_000,)
    assert np.all(avoided <= need + 1e-9)
    likely_need, _ = curve.answer({})
    assert float(np.median(need)) == pytest.approx(float(likely_need[0]), rel=0.2)


def test_draws_are_the_same_on_every_run_and_keep_to_their_triangle() -> None:
    doubt = Doubt("x", spread(2.0, 1.0, 5.0))
    first, second = drawn([doubt], draws=500)["x"], drawn([doubt], draws=500)["x"]
    assert np.array_equal(first, second)
    assert first.min() >= 1.0
    assert first.max() <= 5.0
    assert float(np.mean(first)) == pytest.approx((1 + 2 + 5) / 3, abs=0.01)


def test_a_triangle_laid_through_a_band_has_it_as_its_percentiles() -> None:
    values = drawn([Doubt("x", from_band(10.0, p10=8.0, p90=12.0))], draws=4000)["x"]
    assert np.quantile(values, [0.1, 0.9]) == pytest.approx([8.0, 12.0], abs=0.02)


def test_the_band_of_a_typical_year_by_lift_is_the_curve_at_the_two_ends(winter: Prepared) -> None:
    ledger = doubtful_house()
    ends = sorted(at(winter, ledger, **{FLOOR_HEAT: value})[1] for value in (10.0, 50.0))
    band = typical(winter, ledger).avoided_range_kwh
    assert (band.p10, band.p90) == pytest.approx((ends[0], ends[1]))


def test_the_work_behind_an_answer_holds_the_same_typical_year(winter: Prepared) -> None:
    ledger = doubtful_house()
    heat = heat_work(winter, ledger).typical.heat
    assert heat is not None
    assert heat.avoided_kwh == typical(winter, ledger).avoided_kwh
