"""The typical year over a climate's winters, by hand: means, the middle winter's range in proportion, what is said."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pandas as pd
import pytest

from ledger.heat.bare import NO_WAYS
from ledger.heat.climate import CLIMATE_FILE
from ledger.heat.housemodel import typical_run as room
from ledger.heat.housemodel.other_years import WinterRange, WinterRun
from ledger.heat.housemodel.typical_run import over_climate, with_typical
from ledger.heat.results import Band, TypicalHeat
from tests.heat.builders import ledger_of


def run_of(season: str, need_kwh: float, avoided_kwh: float, *, step_h: float = 1.0, drawn: bool = False) -> WinterRun:
    """Three rows that share a winter's need and what is still bought."""
    index = pd.date_range("2021-01-01", periods=3, freq=pd.Timedelta(hours=step_h), tz="UTC")
    hours = pd.DataFrame(
        {"need_kwh": need_kwh / 3, "to_buy_kwh": (need_kwh - avoided_kwh) / 3, "fan_w": 50.0}, index=index
    )
    return WinterRun(season, need_kwh, avoided_kwh, hours, drawn)


def range_of(p10: float, p90: float, *, clouds: float = 0.0) -> WinterRange:
    return WinterRange(Band(p10, p90), Band(0.0, 0.0), clouds)


class Climate:
    """Winters that were run already; `asked` is the one whose range was wanted."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.runs: tuple[WinterRun, ...] = ()
        self.spread = range_of(0.0, 0.0)
        self.asked = ""
        self._patch = monkeypatch

    def year(
        self, *runs: WinterRun, spread: WinterRange, basis: str | None = None
    ) -> tuple[TypicalHeat, tuple[Any, ...]]:
        def middle(_house: object, winter: str, *, hold_c: float) -> WinterRange:
            assert hold_c == 5.0
            self.asked = winter
            return spread

        self._patch.setattr(room, "winter_of", lambda year: year)
        self._patch.setattr(room, "run_winters", lambda _house, _winters, *, hold_c: runs if hold_c == 5.0 else ())
        self._patch.setattr(room, "range_of_winter", middle)
        prepared: Any = SimpleNamespace(
            climate=[r.season for r in runs], climate_basis=basis, climate_notices=("first",)
        )
        house: Any = None
        ways = with_typical(NO_WAYS, house, prepared, ledger_of(hold_c=5.0))
        assert ways.typical is not None
        assert ways.typical_hold_c == 5.0
        return ways.typical, ways.typical_notices


@pytest.fixture
def climate(monkeypatch: pytest.MonkeyPatch) -> Climate:
    return Climate(monkeypatch)


HARD, MILD, USUAL = run_of("2021", 3000.0, 800.0), run_of("2022", 1000.0, 100.0), run_of("2023", 2000.0, 300.0)


def test_need_and_avoided_are_means_and_the_range_is_the_middle_winter_s_in_proportion(climate: Climate) -> None:
    """Savings 800, 100 and 300: 400 in the mean, 4/3 of the middle one, whose 30 below and 60 above are 40 and 80."""
    heat, _ = climate.year(HARD, MILD, USUAL, spread=range_of(270.0, 360.0))
    assert climate.asked == "2023"
    assert (heat.need_kwh, heat.avoided_kwh, heat.to_buy_kwh) == pytest.approx((2000.0, 400.0, 1600.0))
    assert (heat.avoided_range_kwh.p10, heat.avoided_range_kwh.p90) == pytest.approx((360.0, 480.0))
    assert (heat.highest_need_kwh, heat.lowest_need_kwh, heat.seasons_averaged) == (3000.0, 1000.0, 3)
    assert (heat.at_least, heat.months_not_logged, heat.bare) == (False, (), "model")


def test_of_two_winters_the_better_one_is_the_middle(climate: Climate) -> None:
    climate.year(HARD, MILD, spread=range_of(700.0, 900.0))
    assert climate.asked == "2021"
    climate.year(MILD, spread=range_of(90.0, 110.0))
    assert climate.asked == "2022"


def test_savings_near_nothing_are_in_proportion_to_a_tenth_of_the_need(climate: Climate) -> None:
    """Needs 1,000, 2,000 and 6,000, 3,000 in the mean: 300 against the middle winter's 200, so 1.5 times its range."""
    runs = [run_of("a", 1000.0, -10.0), run_of("b", 2000.0, 20.0), run_of("c", 6000.0, 50.0)]
    heat, _ = climate.year(*runs, spread=range_of(0.0, 60.0))
    assert heat.avoided_kwh == pytest.approx(20.0)
    assert (heat.avoided_range_kwh.p10, heat.avoided_range_kwh.p90) == pytest.approx((20.0 - 30.0, 20.0 + 60.0))


def test_a_store_that_costs_heat_has_its_range_in_proportion_too(climate: Climate) -> None:
    """A loss of 400 each: once the range, whatever its sign."""
    heat, _ = climate.year(run_of("a", 1000.0, -400.0), spread=range_of(-450.0, -380.0))
    assert (heat.avoided_range_kwh.p10, heat.avoided_range_kwh.p90) == pytest.approx((-450.0, -380.0))


def test_winters_that_need_nothing_have_a_range_of_nothing(climate: Climate) -> None:
    heat, _ = climate.year(run_of("a", 0.0, 0.0), spread=range_of(0.0, 0.0))
    assert (heat.need_kwh, heat.avoided_range_kwh) == (0.0, Band(0.0, 0.0))


def test_the_profile_holds_every_winter_s_hours_in_even_parts_without_the_fan(climate: Climate) -> None:
    heat, _ = climate.year(HARD, MILD, USUAL, spread=range_of(270.0, 360.0))
    assert list(heat.profile.columns) == ["need_kwh", "to_buy_kwh", "weight"]
    assert heat.profile["weight"].tolist() == pytest.approx([1 / 3] * 9)
    assert float((heat.profile["weight"] * heat.profile["need_kwh"]).sum()) == pytest.approx(2000.0)
    assert heat.step_h == 1.0
    coarse, _ = climate.year(run_of("a", 9.0, 3.0, step_h=2.0), spread=range_of(3.0, 3.0))
    assert coarse.step_h == 2.0


def test_its_basis_is_that_of_the_climate_or_a_file(climate: Climate) -> None:
    assert climate.year(MILD, spread=range_of(0.0, 0.0), basis="climate normals")[0].basis == "climate normals"
    assert climate.year(MILD, spread=range_of(0.0, 0.0))[0].basis == CLIMATE_FILE


def test_the_worst_and_the_best_winter_are_named_where_there_are_two(climate: Climate) -> None:
    _, notices = climate.year(HARD, MILD, USUAL, spread=range_of(270.0, 360.0))
    first, over = notices
    assert first == "first"
    assert over.code == "model-over-climate"
    assert "through 3 seasons" in over.text
    assert "100 kWh in the worst (2022) and 800 kWh in the best (2021)" in over.text
    assert climate.year(MILD, spread=range_of(0.0, 0.0))[1] == ("first",)
    assert len(climate.year(HARD, MILD, spread=range_of(0.0, 0.0))[1]) == 2


def test_winters_without_sun_are_counted_and_what_their_clouds_move_is_said(climate: Climate) -> None:
    drawn = [run_of("a", 9.0, 3.0, drawn=True), run_of("b", 9.0, 3.0), run_of("c", 9.0, 3.0, drawn=True)]
    *_, clouds = climate.year(*drawn, spread=range_of(2.0, 4.0, clouds=0.05))[1]
    assert clouds.code == "clouds-drawn"
    assert "in 2 of 3 seasons" in clouds.text
    assert "moves the saving by 5 %" in clouds.text


def test_without_a_climate_nothing_is_run(monkeypatch: pytest.MonkeyPatch) -> None:
    """Even a believed house stays as it is; with one it is asked for."""
    seen: list[object] = []

    def fitted(*asked: object) -> None:
        seen.append(asked)

    monkeypatch.setattr(room, "fitted_house", fitted)
    model: Any = object()
    none: Any = SimpleNamespace(climate=())
    some: Any = SimpleNamespace(climate=("a winter",))
    assert over_climate(NO_WAYS, model, none, ledger_of()) is NO_WAYS
    assert seen == []
    assert over_climate(NO_WAYS, model, some, ledger_of()) is NO_WAYS
    assert len(seen) == 1
