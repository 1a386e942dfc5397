"""The draws against the chain itself, reckoned again from the hourly record with each value changed in the ledger."""

from __future__ import annotations

from dataclasses import replace
from typing import TypedDict, Unpack

import numpy as np
import pytest

from ledger.doubt.chain import Chain
from ledger.doubt.draws import worth_range
from ledger.doubt.drivers import drivers
from ledger.doubt.hold_steps import HoldStep, first_that_pays, hold_steps
from ledger.heat.bare import NO_WAYS
from ledger.heat.reckoning import heat_work, prepare
from ledger.model.build import Before
from ledger.model.house import BareWay, Surface
from ledger.model.ledger import Ledger
from ledger.model.values import MoneyRange, Spread
from ledger.money.avoided import to_year_money
from ledger.money.capital import capital
from ledger.money.project import project_from
from ledger.money.running import typical_running, typical_upkeep
from ledger.money.worth import npv
from ledger.series.record import HourlyRecord
from tests.doubt.made import ranged
from tests.heat.builders import build, heater, ledger_of, plain_house, winter_record
from tests.known import known

HOUSE = replace(
    plain_house(lift=ranged(2.0, 1.0, 3.0)),
    surfaces=(Surface("cover", ranged(50.0, 40.0, 60.0), ranged(2.0, 1.5, 3.0)),),
    volume_m3=ranged(50.0, 45.0, 60.0),
    air_changes_per_h=ranged(1.0, 0.5, 2.0),
)
LEDGER = ledger_of(
    HOUSE,
    builds=(
        build(
            before=(Before(surface="cover", u_value_w_per_m2_k=ranged(2.5, 2.2, 3.2)),),
            expected_running=MoneyRange.sure("12"),
        ),
    ),
    sources=(heater(price=ranged(0.16, 0.12, 0.25)),),
)
RECORD = winter_record()
TWIN = RECORD.hours["indoor"].to_numpy() - 3.0


def chain_from(ledger: Ledger, record: HourlyRecord) -> Chain:
    work = heat_work(prepare(record, ledger), ledger)
    return Chain(ledger, known(work.typical.heat), known(work.typical.curve), None)


def reckoned_again(ledger: Ledger, record: HourlyRecord) -> float:
    """NPV of another ledger, all the way from the record, without the doubt room."""
    heat = known(heat_work(prepare(record, ledger), ledger).typical.heat)
    running, _ = typical_running(ledger, ledger.builds, fan_kwh=None)
    year, _ = to_year_money(
        ledger, heat, ledger.source(ledger.terms.against), running=running, upkeep=typical_upkeep(ledger, ledger.builds)
    )
    return float(npv(project_from(ledger, year)))


class HouseChanges(TypedDict, total=False):
    """Of the house, what is uncertain here."""

    unheated_lift_k: Spread
    air_changes_per_h: Spread
    volume_m3: Spread
    surfaces: tuple[Surface, ...]


def with_house(**changes: Unpack[HouseChanges]) -> Ledger:
    return replace(LEDGER, house=replace(LEDGER.house, **changes))


def end(spread: Spread | None, value: float) -> Spread:
    """The same range around another likely value (which may lie at its end)."""
    return replace(known(spread), likely=value)


COVER = LEDGER.house.surfaces[0]
CHANGED = {
    "house.unheated_lift": lambda v: with_house(unheated_lift_k=end(HOUSE.unheated_lift_k, v)),
    "house.air_changes": lambda v: with_house(air_changes_per_h=end(HOUSE.air_changes_per_h, v)),
    "house.volume": lambda v: with_house(volume_m3=end(HOUSE.volume_m3, v)),
    "house.surface[cover].u_value": lambda v: with_house(
        surfaces=(replace(COVER, u_value_w_per_m2_k=end(COVER.u_value_w_per_m2_k, v)),)
    ),
    "house.surface[cover].area": lambda v: with_house(surfaces=(replace(COVER, area_m2=end(COVER.area_m2, v)),)),
    "source[electric heater].price": lambda v: replace(LEDGER, sources=(heater(price=ranged(v, 0.12, 0.25)),)),
}
VALUES = {
    "house.unheated_lift": HOUSE.unheated_lift_k,
    "house.air_changes": HOUSE.air_changes_per_h,
    "house.volume": HOUSE.volume_m3,
    "house.surface[cover].u_value": COVER.u_value_w_per_m2_k,
    "house.surface[cover].area": COVER.area_m2,
    "source[electric heater].price": LEDGER.sources[0].price,
}


def test_the_likely_values_give_the_plain_answer() -> None:
    chain = chain_from(LEDGER, RECORD)
    assert float(npv(chain.project({}))) == pytest.approx(reckoned_again(LEDGER, RECORD), rel=1e-12)
    need, avoided = chain.response.answer({})
    assert float(need[0]) == pytest.approx(chain.heat.need_kwh, rel=1e-9)
    assert float(avoided[0]) == pytest.approx(chain.heat.avoided_kwh, rel=1e-9)


@pytest.mark.parametrize("path", list(CHANGED))
def test_a_swing_is_what_the_changed_ledger_answers_from_the_record_on(path: str) -> None:
    """A swing through the curve and the drawn ledger against everything reckoned again with the value typed in."""
    swing = {d.input: d for d in drivers(chain_from(LEDGER, RECORD))}[path]
    low, high = known(VALUES[path]).low, known(VALUES[path]).high
    assert swing.npv_low == pytest.approx(reckoned_again(CHANGED[path](low), RECORD), rel=1e-6)
    assert swing.npv_high == pytest.approx(reckoned_again(CHANGED[path](high), RECORD), rel=1e-6)


def test_several_inputs_drawn_together_are_the_ledger_with_all_of_them_changed() -> None:
    chain = chain_from(LEDGER, RECORD)
    draws = {"house.air_changes": np.array([0.6, 1.7]), "house.unheated_lift": np.array([2.8, 1.3])}
    together = npv(chain.project(draws))
    for k in range(2):
        both = with_house(
            air_changes_per_h=end(HOUSE.air_changes_per_h, float(draws["house.air_changes"][k])),
            unheated_lift_k=end(HOUSE.unheated_lift_k, float(draws["house.unheated_lift"][k])),
        )
        assert float(together[k]) == pytest.approx(reckoned_again(both, RECORD), rel=1e-6)


def test_with_a_twin_house_the_swing_of_h_is_the_changed_ledger_s_too() -> None:
    record = winter_record(unheated=TWIN)
    ledger = replace(LEDGER, house=replace(LEDGER.house, bare=BareWay.TWIN))
    swing = {d.input: d for d in drivers(chain_from(ledger, record))}["house.air_changes"]
    changed = replace(ledger, house=replace(ledger.house, air_changes_per_h=end(HOUSE.air_changes_per_h, 2.0)))
    assert swing.npv_high == pytest.approx(reckoned_again(changed, record), rel=1e-6)
    answer = worth_range(chain_from(ledger, record), draws=2_000)
    assert answer.chance_npv_positive is not None
    assert known(answer.npv.p10) < known(answer.npv.p50) < known(answer.npv.p90)


def test_h_moves_need_and_avoided_heat_together() -> None:
    """A leakier house needs more and was spared more: drawn once, they are correlated almost fully by the lift."""
    chain = chain_from(LEDGER, RECORD)
    values = np.linspace(0.5, 2.0, 50)
    heat = chain.drawn_heat({"house.air_changes": values})
    assert np.corrcoef(heat.need_kwh, heat.avoided_kwh)[0, 1] > 0.99
    assert heat.to_buy_kwh == pytest.approx(heat.need_kwh - heat.avoided_kwh)


def test_by_the_lift_the_span_is_the_two_ends_from_the_record_on() -> None:
    answer = worth_range(chain_from(LEDGER, RECORD))
    ends = sorted(reckoned_again(CHANGED["house.unheated_lift"](v), RECORD) for v in (1.0, 3.0))
    assert answer.npv.p10 == pytest.approx(ends[0], rel=1e-6)
    assert answer.npv.p90 == pytest.approx(ends[1], rel=1e-6)
    assert answer.npv.p50 == pytest.approx(reckoned_again(LEDGER, RECORD), rel=1e-12)
    assert capital(LEDGER).net == 4000.0


def test_a_warmer_house_is_reckoned_again_from_the_record_on() -> None:
    steps = hold_steps(prepare(RECORD, LEDGER), LEDGER, ways=NO_WAYS, fan_kwh=None, steps_k=(2.0, -2.0, 0.0))
    assert [s.hold_c for s in steps] == [3.0, 5.0, 7.0]
    for step in steps:
        held = replace(LEDGER, hold=replace(LEDGER.hold, temperature_c=step.hold_c))
        assert step.npv == pytest.approx(reckoned_again(held, RECORD), rel=1e-12)
        assert step.to_buy_kwh == pytest.approx(step.need_kwh - step.avoided_kwh)
    assert steps[0].need_kwh < steps[1].need_kwh < steps[2].need_kwh


def test_the_first_hold_that_pays_is_the_lowest() -> None:
    steps = (
        HoldStep(3, 1, 1, 0, -5.0),
        HoldStep(4, 1, 1, 0, -1.0),
        HoldStep(5, 1, 1, 0, 0.0),
        HoldStep(6, 1, 1, 0, 9.0),
    )
    assert known(first_that_pays(steps)).hold_c == 5
    assert first_that_pays(steps[:2]) is None
