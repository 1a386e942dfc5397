"""Another winter by hand: steps made into hours, structures blended by their share, its range, which season speaks."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest

from ledger.heat.housemodel import other_years as room
from ledger.heat.housemodel.answer import fit_house
from ledger.heat.housemodel.other_years import WinterRange, _hours, _range, _run_of, fitted_house
from ledger.heat.housemodel.runs import Outcome
from ledger.heat.housemodel.spread import DRAWS
from ledger.heat.housemodel.structure import Bed, Floor, Structure
from ledger.heat.housemodel.thermostat import NO_FAN
from ledger.heat.reckoning import prepare
from tests.heat.builders import ledger_of, record_of
from tests.housemodel.plain import plain_grid


def outcome(air_c: list[float], heater_kwh: list[float], fan_on: list[float]) -> Outcome:
    """The first of a batch of two; the second is not asked."""
    return Outcome(*(np.array([values, [999.0] * len(values)]).T for values in (air_c, heater_kwh, fan_on)))


def hours_of(step_s: float, inside: list[bool]) -> pd.DataFrame:
    """Four steps; the fan draws 100 W."""
    grid = plain_grid(4, step_s=step_s)
    place: Any = SimpleNamespace(problem=SimpleNamespace(grid=grid), inside=np.array(inside))
    off = [0.0] * 4
    outcomes = (
        outcome([50.0] * 4, [1.0, 2.0, 3.0, 4.0], off),
        outcome([60.0] * 4, [0.5, 0.0, 1.0, 2.0], [1.0, 0.0, 0.5, 0.5]),
        outcome([2.0, 4.0, 6.0, 10.0], off, off),
        outcome([3.0, 5.0, 7.0, 11.0], off, off),
    )
    return _hours(place, outcomes, 100.0)


def test_half_hours_are_made_into_hours_temperatures_by_their_mean_and_heat_by_its_sum() -> None:
    found = hours_of(1800.0, [True] * 4)
    assert found.index.tolist() == list(pd.date_range("2025-01-01", periods=2, freq="h", tz="UTC"))
    assert found["bare_c"].tolist() == [3.0, 8.0]
    assert found["indoor_c"].tolist() == [4.0, 9.0]
    assert found["fan_w"].tolist() == [50.0, 50.0]
    assert found["outdoor_c"].tolist() == [0.0, 0.0]
    assert found["need_kwh"].tolist() == [3.0, 7.0]
    assert found["to_buy_kwh"].tolist() == [0.5, 3.0]


@pytest.mark.parametrize("step_h", [1, 2])
def test_steps_of_an_hour_or_more_stay_as_they_are(step_h: int) -> None:
    found = hours_of(3600.0 * step_h, [True] * 4)
    assert found.index.tolist() == list(pd.date_range("2025-01-01", periods=4, freq=f"{step_h}h", tz="UTC"))
    assert found["bare_c"].tolist() == [2.0, 4.0, 6.0, 10.0]
    assert found["need_kwh"].tolist() == [1.0, 2.0, 3.0, 4.0]


def test_the_run_up_before_a_season_is_left_out() -> None:
    found = hours_of(1800.0, [False, False, True, True])
    assert found.index.tolist() == [pd.Timestamp("2025-01-01T01:00Z")]
    assert (found["bare_c"].tolist(), found["need_kwh"].tolist()) == ([8.0], [7.0])


def test_structures_are_blended_by_their_share_hour_for_hour() -> None:
    """Three quarters of 8 and 12, a quarter of 4 and 0: 7 and 9 needed; 2 and 4 against 2 and 0: 2 and 3 bought."""
    index = pd.date_range("2025-01-01", periods=2, freq="h", tz="UTC")
    frames = [
        pd.DataFrame({"need_kwh": [8.0, 12.0], "to_buy_kwh": [2.0, 4.0]}, index=index),
        pd.DataFrame({"need_kwh": [4.0, 0.0], "to_buy_kwh": [2.0, 0.0]}, index=index),
    ]
    house: Any = SimpleNamespace(voices=[SimpleNamespace(weight=0.75), SimpleNamespace(weight=0.25)])
    found = _run_of("2030", house, frames, sun_drawn=True)
    assert found.hours["need_kwh"].tolist() == [7.0, 9.0]
    assert (found.season, found.need_kwh, found.avoided_kwh, found.sun_drawn) == ("2030", 16.0, 11.0, True)


PLAIN_FLOOR = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=False)
WITH_BED = Structure(Floor.TWO_LAYERS, Bed.LINKED, tank=False)


def fit_of(name: str, read: int, *, structure: Structure = PLAIN_FLOOR, near: bool = False) -> Any:
    grid = SimpleNamespace(read=np.arange(10) < read)
    near_c = np.zeros(10) if near else None
    return SimpleNamespace(
        name=name, problem=SimpleNamespace(grid=grid, structure=structure), marched=SimpleNamespace(near_c=near_c)
    )


def season_of(name: str, *fits: Any, weights: tuple[float, ...] = (1.0,)) -> Any:
    return SimpleNamespace(season=name, fits=fits, weights=weights)


def voices_of(monkeypatch: pytest.MonkeyPatch, *seasons: Any, believed: bool = True) -> Any:
    """Season, and name, share and fan rule of each voice; None where there is no house."""
    monkeypatch.setattr(room, "seen_days", lambda fit: fit.name)
    monkeypatch.setattr(room, "fan_rule", lambda _grid, _near_c: "its thermostat")
    model: Any = SimpleNamespace(believed=believed, seasons={s.season: s for s in seasons})
    years = [SimpleNamespace(span=SimpleNamespace(name=s.season)) for s in seasons]
    prepared: Any = SimpleNamespace(years=years)
    house = fitted_house(model, prepared, ledger_of())
    if house is None:
        return None
    return house.span.name, [(v.seen, v.weight, v.rule) for v in house.voices]


def test_the_season_with_the_most_readings_speaks_and_of_equal_ones_the_last(monkeypatch: pytest.MonkeyPatch) -> None:
    few, more, most = season_of("2023", fit_of("a", 5)), season_of("2024", fit_of("b", 9)), season_of("2025")
    assert voices_of(monkeypatch, few, more, most) == ("2024", [("b", 1.0, NO_FAN)])
    assert voices_of(monkeypatch, more, season_of("2022", fit_of("c", 9)))[0] == "2024"
    assert voices_of(monkeypatch, few, more, believed=False) is None
    assert voices_of(monkeypatch, most) is None
    nothing: Any = None
    assert fitted_house(nothing, nothing, ledger_of()) is None


def test_structures_of_two_in_a_hundred_and_more_share_it_all_the_largest_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """1, 24 and 75 in a hundred: 24/99 and 75/99. Two in a hundred are heard."""
    fits = (fit_of("a", 9), fit_of("b", 9), fit_of("c", 9))
    name, voices = voices_of(monkeypatch, season_of("2025", *fits, weights=(0.01, 0.24, 0.75)))
    assert name == "2025"
    assert [v[0] for v in voices] == ["c", "b"]
    assert [v[1] for v in voices] == pytest.approx([75.0 / 99.0, 24.0 / 99.0])
    _, three = voices_of(monkeypatch, season_of("2025", *fits, weights=(0.02, 0.23, 0.75)))
    assert [v[1] for v in three] == pytest.approx([0.75, 0.23, 0.02])


def test_only_a_bed_that_was_run_has_a_fan_s_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    fits = (
        fit_of("bed", 9, structure=WITH_BED, near=True), fit_of("unrun", 9, structure=WITH_BED),
        fit_of("no bed", 9, near=True),
    )  # fmt: skip
    _, voices = voices_of(monkeypatch, season_of("2025", *fits, weights=(0.5, 0.3, 0.2)))
    assert [(v[0], v[2]) for v in voices] == [("bed", "its thermostat"), ("unrun", NO_FAN), ("no bed", NO_FAN)]


def test_a_season_in_which_one_air_was_never_read_says_what_it_lacks() -> None:
    """No step can be laid out, and the reason is that of too few readings."""
    hours = 24 * 40
    channels = {"indoor": np.full(hours, np.nan), "outdoor": np.full(hours, -2.0), "fan_on": np.zeros(hours)}
    record, ledger = record_of(channels, first="2026-01-01T00:00+01:00"), ledger_of()
    answer = fit_house(record, prepare(record, ledger), ledger)
    assert not answer.believed
    assert answer.why_not == ("Season 2025-26: fewer than 28 days of readings indoors and outdoors.",)


def range_of(*voices: tuple[float, float, float, float, float], clouds: float, elsewhere: float) -> WinterRange:
    """Voices by their share, need and heat bought at the found figures, and the same in every draw."""
    fit = SimpleNamespace(problem=SimpleNamespace(structure=PLAIN_FLOOR, house=SimpleNamespace(heat_loss_log_sd=0.15)))
    house: Any = SimpleNamespace(voices=[SimpleNamespace(weight=v[0], fit=fit, rule=NO_FAN) for v in voices])
    needs = [np.array([v[1], *[v[3]] * DRAWS]) for v in voices]
    buys = [np.array([v[2], *[v[4]] * DRAWS]) for v in voices]
    return _range(house, needs, buys, clouds=clouds, elsewhere=elsewhere, hold_c=5.0)


def test_a_winter_s_range_goes_by_structures_physics_clouds_and_another_winter() -> None:
    """3 to 1: need 2,500, bought 1,100, avoided 1,400, as in every draw. Physics 5 in a hundred of it and 0.35 of the
    need, 70 and 8.75; clouds a tenth, 140; another winter a fifth, 280: √102,977 = 320.90. The draws buy 600 or 2,600:
    500 below and 1,500 above, which count at two fifths."""
    found = range_of((0.75, 2000.0, 800.0, 2000.0, 600.0), (0.25, 4000.0, 2000.0, 4000.0, 2600.0), clouds=0.1,
                     elsewhere=0.2)  # fmt: skip
    doubt = 1.2816 * 320.900
    assert (found.avoided_kwh.p10, found.avoided_kwh.p90) == pytest.approx((1400.0 - doubt, 1400.0 + doubt), rel=1e-4)
    below, above = np.hypot(200.0, doubt), np.hypot(600.0, doubt)
    assert (found.to_buy_kwh.p10, found.to_buy_kwh.p90) == pytest.approx((1100.0 - below, 1100.0 + above), rel=1e-4)
    assert found.cloud_share == 0.1


@pytest.mark.parametrize(
    ("to_buy", "sd"),
    [
        # Avoided 50: physics 2.5 and 8.75; clouds a tenth of a tenth of the need, 25.
        (2450.0, 26.605),
        # A loss of 500: 25, 8.75 and 50.
        (3000.0, 56.583),
    ],
)
def test_a_saving_near_nothing_is_doubted_by_a_tenth_of_the_need_and_a_loss_like_a_saving(
    to_buy: float, sd: float
) -> None:
    found = range_of((1.0, 2500.0, to_buy, 2500.0, to_buy), clouds=0.1, elsewhere=0.0)
    avoided = 2500.0 - to_buy
    assert found.avoided_kwh.p10 == pytest.approx(avoided - 1.2816 * sd, abs=0.01)
    assert found.avoided_kwh.p90 == pytest.approx(avoided + 1.2816 * sd, abs=0.01)


def test_no_less_than_nothing_is_bought() -> None:
    found = range_of((1.0, 1000.0, 10.0, 1000.0, 10.0), clouds=0.0, elsewhere=0.0)
    assert found.to_buy_kwh.p10 == 0.0
    assert found.avoided_kwh.p90 > 1000.0, "what is avoided has its range on both sides"


def test_the_middle_of_a_winter_s_range_is_that_of_the_found_figures_not_of_a_draw() -> None:
    """Both voices need 2,500 and buy 1,000; their draws need 2,400 and 2,700 and buy 800 and 1,200, so that 1,600 and
    1,500 are avoided: nothing below 1,500, 100 above it. Physics 75 and 8.75: 75.509."""
    found = range_of((0.4, 2500.0, 1000.0, 2400.0, 800.0), (0.6, 2500.0, 1000.0, 2700.0, 1200.0), clouds=0.0,
                     elsewhere=0.0)  # fmt: skip
    doubt = 1.2816 * 75.509
    assert found.avoided_kwh.p10 == pytest.approx(1500.0 - doubt, abs=0.01)
    assert found.avoided_kwh.p90 == pytest.approx(1500.0 + np.hypot(40.0, doubt), abs=0.01)
    half = np.hypot(80.0, doubt)
    assert (found.to_buy_kwh.p10, found.to_buy_kwh.p90) == pytest.approx((1000.0 - half, 1000.0 + half), abs=0.01)
