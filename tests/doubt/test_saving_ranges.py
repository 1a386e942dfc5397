"""The yearly saving under doubt, against each source."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.doubt.saving_ranges import saving_ranges
from ledger.heat.curve import LIFT
from ledger.heat.envelope import Doubt
from ledger.model.house import BareWay
from ledger.model.ledger import Ledger
from tests.doubt.made import chain_of, plain_ledger, ranged
from tests.known import known
from tests.money.made import heater

HEAT = Doubt("house.something", ranged(10.0, 6.0, 18.0))


def two_heaters() -> Ledger:
    return plain_ledger(sources=(heater(), heater("dear heater", 0.50, backup=False)))


def test_without_ranges_the_saving_is_that_of_the_year_by_hand() -> None:
    """750 kWh avoided: at 0.20 a kWh 150, at 0.50 a kWh 375; less the fan's 100 kWh at 0.20, which is 20."""
    plug, dear = saving_ranges(chain_of(two_heaters()))
    assert (plug.source, dear.source) == (two_heaters().sources[0].name, "dear heater")
    assert plug.likely == pytest.approx(130.0)
    assert dear.likely == pytest.approx(355.0)
    assert plug.range.p10 == plug.range.p90 == pytest.approx(130.0)


def test_by_the_lift_the_ends_of_the_span_stand_as_range() -> None:
    """Avoided heat 750 ± 10 kWh a kelvin, lift 2 to 9 K about 5 K: 720 to 790 kWh, so 144 − 20 and 158 − 20."""
    lift = Doubt(LIFT, ranged(5.0, 2.0, 9.0))
    (plug,) = saving_ranges(chain_of(heat_inputs=((lift, 10.0),), way=BareWay.LIFT))
    assert plug.range.p10 == pytest.approx(124.0)
    assert plug.range.p50 == plug.likely == pytest.approx(130.0)
    assert plug.range.p90 == pytest.approx(138.0)


@settings(max_examples=15, deadline=None)
@given(st.floats(0.05, 2.0))
def test_a_dearer_fuel_never_lowers_the_saving(price: float) -> None:
    ledger = plain_ledger(sources=(heater(), heater("other", price, backup=False)))
    dearer = replace(ledger, sources=(heater(), heater("other", price * 1.5, backup=False)))
    chain, after = (chain_of(one, heat_inputs=((HEAT, 12.0),)) for one in (ledger, dearer))
    assert saving_ranges(after)[1].likely > saving_ranges(chain)[1].likely
    assert known(saving_ranges(after)[1].range.p10) > known(saving_ranges(chain)[1].range.p10)
