"""Which way to the bare house is used."""

from __future__ import annotations

import pytest

from ledger.heat.bare import choose
from ledger.heat.results import BareAnswer
from ledger.model.house import BareWay

LOW = BareAnswer(need_kwh=1000, avoided_kwh=500, p10=400, p90=600)
HIGH = BareAnswer(need_kwh=1000, avoided_kwh=800, p10=700, p90=900)
NEAR = BareAnswer(need_kwh=1000, avoided_kwh=640, p10=580, p90=700)


def ways(**found: BareAnswer | None) -> dict[str, BareAnswer | None]:
    return {"twin": None, "fan-off": None, "model": None, "lift": LOW} | found


@pytest.mark.parametrize(
    ("found", "believed", "used"),
    [
        ({}, False, BareWay.LIFT),
        ({"model": NEAR}, False, BareWay.LIFT),
        ({"model": NEAR}, True, BareWay.MODEL),
        ({"twin": LOW}, False, BareWay.TWIN),
        ({"twin": LOW, "model": NEAR}, False, BareWay.TWIN),
        ({"twin": LOW, "model": NEAR}, True, BareWay.MODEL),
        ({"twin": LOW, "model": HIGH}, True, BareWay.TWIN),
    ],
)
def test_the_best_way_that_the_data_allow_is_used(
    found: dict[str, BareAnswer | None], believed: bool, used: BareWay
) -> None:
    assert choose(BareWay.AUTO, ways(**found), believed=believed) is used


def test_the_growers_choice_stands_where_the_data_allow_it() -> None:
    everything = ways(twin=LOW, model=NEAR)
    assert choose(BareWay.TWIN, everything, believed=True) is BareWay.TWIN
    assert choose(BareWay.LIFT, everything, believed=True) is BareWay.LIFT
    assert choose(BareWay.FAN_OFF, everything, believed=True) is BareWay.MODEL
