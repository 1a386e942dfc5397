"""The typical year's curve by hand: its three forms, what backup and missing heat take off, how far shares reach."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from ledger.heat.curve import FLOOR_AREA, FLOOR_HEAT, LIFT, MODEL, Drawn, EnergyCurve, LoggedPart, heat_inputs
from ledger.heat.envelope import Doubt
from ledger.heat.season import BARE, NIGHTS
from ledger.model.house import BareWay
from tests.heat.builders import ledger_of, plain_house, spread

Floats = NDArray[np.float64]


class Line:
    """So many kilowatt-hours a watt per kelvin, one less for each kelvin of a shift."""

    def __init__(self, per_w_per_k: float) -> None:
        self._slope = per_w_per_k

    def kwh(self, h_w_per_k: Floats, shift_k: Floats) -> Floats:
        return np.asarray(self._slope * h_w_per_k - shift_k)


def logged(*, need: float = 10.0, short: float = 2.0, backup_kwh: float = 50.0, missing: float = 0.25) -> Any:
    need_line, short_line = Line(need), Line(short)
    return SimpleNamespace(need=need_line, shortfall=short_line, backup_kwh=backup_kwh, months_missing_share=missing)


def curve_of(
    part: Any = None, *, climate: Any = None, model: tuple[float, float] | None = None, paths: tuple[Doubt, ...] = ()
) -> EnergyCurve:
    ledger = ledger_of()
    loss: Any = None
    known: LoggedPart | None = part
    return EnergyCurve((), ledger, loss, 2.0, BareWay.TWIN, known, climate, paths, model)


def values(**changes: float) -> Drawn:
    """100 W/K as the house stands and 200 bare, nothing shifted."""
    plain = {
        "h_w_per_k": 100.0, "bare_h_w_per_k": 200.0, "bare_shift_k": 0.0, "indoor_shift_k": 0.0, "backup_factor": 1.0,
        "nights_factor": 1.0, "fraction": 0.3,
    }  # fmt: skip
    return Drawn(**{name: np.array([value]) for name, value in {**plain, **changes}.items()})


def at(curve: EnergyCurve, **changes: float) -> tuple[float, float]:
    need, avoided = curve.at(values(**changes))
    return float(need[0]), float(avoided[0])


def test_the_logged_seasons_need_their_missing_months_too_and_avoid_what_was_added_less_backup() -> None:
    """Need of 10 · 200 = 2,000 and a quarter more; missing 2 · 100 = 200, backup 50: 1,750 avoided."""
    assert at(curve_of(logged())) == pytest.approx((2500.0, 1750.0))


@pytest.mark.parametrize(
    ("changes", "need", "avoided"),
    [
        ({"bare_shift_k": 100.0}, 2375.0, 1650.0),
        ({"indoor_shift_k": 100.0}, 2500.0, 1850.0),
        ({"backup_factor": 1.2}, 2500.0, 1740.0),
        ({"nights_factor": 0.5}, 2500.0, 850.0),
        ({"h_w_per_k": 150.0}, 2500.0, 1650.0),
        ({"bare_h_w_per_k": 100.0}, 1250.0, 750.0),
        ({"nights_factor": 3.0}, 2500.0, 2500.0),
        ({"fraction": 0.9}, 2500.0, 1750.0),
    ],
)
def test_each_input_moves_its_own_part(changes: dict[str, float], need: float, avoided: float) -> None:
    """1,800 kWh were added; a warmer bare house needs less, a warmer house misses less; no more is avoided than needed.
    Three times 1,800 less 50 would be 5,350."""
    assert at(curve_of(logged()), **changes) == pytest.approx((need, avoided))


def test_a_climate_has_its_own_need_and_the_log_s_share_of_it() -> None:
    """4 · 200 = 800 of which 1,750 ÷ 2,000 are avoided; never more than all; missing months do not count."""
    curve = curve_of(logged(), climate=Line(4.0))
    assert at(curve) == pytest.approx((800.0, 700.0))
    assert at(curve, nights_factor=3.0) == pytest.approx((800.0, 800.0))
    assert at(curve_of(logged(need=0.0), climate=Line(4.0))) == pytest.approx((800.0, 0.0))
    assert at(curve_of(logged(need=0.0025, short=0.0, backup_kwh=0.0), climate=Line(4.0))) == pytest.approx(
        (800.0, 800.0)
    )
    assert at(curve_of(logged(need=0.0025, short=0.0, backup_kwh=0.25), climate=Line(4.0))) == pytest.approx(
        (800.0, 400.0)
    )


def test_a_climate_without_a_log_goes_by_the_expected_shares_which_never_pass_the_whole() -> None:
    curve = curve_of(climate=Line(4.0))
    assert at(curve) == pytest.approx((800.0, 240.0))
    assert at(curve, fraction=1.4) == pytest.approx((800.0, 800.0))
    paths = (Doubt("one", spread(0.2, 0.1, 0.3)), Doubt("two", spread(0.5, 0.4, 0.9)))
    both = curve_of(climate=Line(4.0), paths=paths)
    assert both._fraction({}).tolist() == pytest.approx([0.7])
    assert both._fraction({"one": np.array([0.1, 0.3])}).tolist() == pytest.approx([0.6, 0.8])
    assert both._fraction({"one": np.array([0.3]), "two": np.array([0.9])}).tolist() == [1.0]
    assert curve._fraction({}).tolist() == [0.0]


def test_the_model_s_own_band_is_drawn_and_its_need_stands() -> None:
    need, avoided = curve_of(model=(900.0, 300.0)).answer({})
    assert (need.tolist(), avoided.tolist()) == ([900.0], [300.0])
    need, avoided = curve_of(model=(900.0, 300.0)).answer({MODEL: np.array([250.0, 350.0])})
    assert (need.tolist(), avoided.tolist()) == ([900.0, 900.0], [250.0, 350.0])


def test_months_that_no_season_logged_count_only_where_nothing_else_fills_them() -> None:
    assert curve_of(logged()).months_missing_share == 0.25
    assert curve_of(logged(), climate=Line(4.0)).months_missing_share == 0.0
    assert curve_of(logged(), model=(900.0, 300.0)).months_missing_share == 0.0
    assert curve_of(climate=Line(4.0)).months_missing_share == 0.0
    assert curve_of(model=(900.0, 300.0)).months_missing_share == 0.0


def test_a_curve_of_nothing_is_our_own_slip() -> None:
    with pytest.raises(ValueError, match="without a log"):
        at(curve_of())


def test_need_and_avoided_have_one_entry_a_draw() -> None:
    many = values()
    need, avoided = curve_of(logged()).at(
        Drawn(
            many.h_w_per_k,
            many.bare_h_w_per_k,
            many.bare_shift_k,
            many.indoor_shift_k,
            np.array([1.0, 1.2]),
            many.nights_factor,
            many.fraction,
        )
    )
    assert (need.tolist(), avoided.tolist()) == ([2500.0, 2500.0], pytest.approx([1750.0, 1740.0]))


def shift_k(curve: EnergyCurve, **draws: float) -> float:
    """How much warmer the bare house is, its coefficient 200 W/K, the likely lift 2 K."""
    names = {"bare": BARE, "lift": LIFT, "floor_heat": FLOOR_HEAT, "floor_area": FLOOR_AREA}
    (found,) = curve.bare_shift_k({names[n]: np.array([v]) for n, v in draws.items()}, np.array([200.0]))
    return float(found)


def test_the_bare_house_is_shifted_by_its_own_doubt_or_by_its_lift() -> None:
    """By a thermometer 0.7 K; by a stated lift of 2 K one of 3 K is 1 K; by floor heat 25 · 20 ÷ 200 = 2.5 K, which is
    0.5 K over the likely one, and of 40 W/m2, or of 40 m2, 4 and 5 K."""
    twin = curve_of(logged())
    assert (shift_k(twin), shift_k(twin, bare=0.7)) == (0.0, 0.7)
    stated = replace(twin, way=BareWay.LIFT)
    assert (shift_k(stated), shift_k(stated, lift=3.0, bare=0.7)) == (0.0, 1.0)
    by_floor = replace(stated, ledger=ledger_of(plain_house()))
    found = [shift_k(by_floor), shift_k(by_floor, floor_heat=40.0), shift_k(by_floor, floor_area=40.0)]
    assert found == pytest.approx([0.5, 2.0, 3.0])


def test_only_what_has_a_range_is_drawn_and_of_the_bare_house_only_what_its_way_asks_for() -> None:
    wide = spread(1.0, 0.5, 1.5)
    bare, indoor, backup = Doubt(BARE, wide), Doubt("indoor", wide), Doubt("backup", spread(1.0))

    def paths(way: BareWay, *, stated: bool, doubt: Doubt | None = None) -> list[str]:
        house = plain_house(lift=spread(2.0, 1.0, 3.0)) if stated else plain_house()
        return [d.path for d in heat_inputs(ledger_of(house), way, bare=doubt, indoor=indoor, backup=backup)]

    assert paths(BareWay.LIFT, stated=True, doubt=bare) == [LIFT, "indoor"]
    assert paths(BareWay.LIFT, stated=False) == [FLOOR_HEAT, "indoor"], "the floor is measured"
    assert paths(BareWay.TWIN, stated=True, doubt=bare) == [BARE, NIGHTS, "indoor"]
    assert paths(BareWay.MODEL, stated=True) == ["indoor"]
