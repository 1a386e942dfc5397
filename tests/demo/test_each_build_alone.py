"""What the fitted house says of each build on the demo with two, against the simulator run with each of them alone."""

from __future__ import annotations

from functools import cache
from typing import Any

import make_logs
import numpy as np
import pytest
from places import clock, weather, within
from simulator import STEP_S, Heater, simulate

from tests.demo.shared import document

SCENE = {scene.key: scene for scene in make_logs.SCENES}["torvena"]


@cache
def truly_saved_kwh(*, tubes: bool, tank: bool) -> float:
    """Heater energy of the bare house less that of the house with these builds, day and night over the season."""
    if tubes and tank:
        return float(make_logs.truth(SCENE).avoided_kwh)
    season, mains = within(SCENE, clock(SCENE), SCENE.season), np.ones(len(clock(SCENE)), dtype=bool)
    ran = simulate(
        SCENE.house,
        weather(SCENE),
        tubes=SCENE.tubes if tubes else None,
        tank=SCENE.tank if tank else None,
        heater=Heater(SCENE.hold_c),
        mains=mains,
    )
    return float(make_logs.truth(SCENE).bare_kwh - ran.heater_w[season].sum() * STEP_S / 3.6e6)


@pytest.fixture(scope="module")
def split() -> dict[str, Any]:
    return dict(document("torvena")["model"]["split"])


def part(split: dict[str, Any], name: str) -> dict[str, Any]:
    (found,) = (one for one in split["parts"] if one["part"] == name)
    return dict(found)


def holds(span: dict[str, float], kwh: float) -> bool:
    return span["p10"] < kwh < span["p90"]


def test_the_range_of_each_build_alone_holds_what_it_truly_saves_alone(split: dict[str, Any]) -> None:
    assert holds(part(split, "tube bed")["alone_range_kwh"], truly_saved_kwh(tubes=True, tank=False))
    assert holds(part(split, "tank")["alone_range_kwh"], truly_saved_kwh(tubes=False, tank=True))
    assert holds(split["together_range_kwh"], truly_saved_kwh(tubes=True, tank=True))


def test_the_tubes_give_most_of_it_and_the_grower_s_even_guess_is_far_off(split: dict[str, Any]) -> None:
    """The ledger guesses 55 % for the tubes; run alone in the simulator they give three quarters of both alone."""
    tubes, tank = truly_saved_kwh(tubes=True, tank=False), truly_saved_kwh(tubes=False, tank=True)
    found = part(split, "tube bed")["own_kwh"] / split["together_kwh"]
    assert tubes / (tubes + tank) > 0.7
    assert abs(found - tubes / (tubes + tank)) < abs(0.55 - tubes / (tubes + tank))


def test_both_do_some_of_the_same_work_and_the_parts_add_up(split: dict[str, Any]) -> None:
    both = truly_saved_kwh(tubes=True, tank=True)
    assert truly_saved_kwh(tubes=True, tank=False) + truly_saved_kwh(tubes=False, tank=True) > both
    assert split["shared_kwh"] > 0
    assert sum(one["own_kwh"] for one in split["parts"]) == pytest.approx(split["together_kwh"])
