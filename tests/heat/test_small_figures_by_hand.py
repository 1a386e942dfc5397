"""Small figures of a season and the typical year by hand: rows of two hours, thermometers, doubts, weights, errors."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray

from ledger.heat.curve import EnergyCurve
from ledger.heat.fan_nights import Night
from ledger.heat.fan_off import effect_k
from ledger.heat.reckoning import prepare, reckon
from ledger.heat.rungs import bare_doubt_kwh, gross_kwh
from ledger.heat.season import counted_air, sensor_accuracy_k, thermometer_shift_k
from ledger.heat.season_nights import season_nights
from ledger.heat.season_notices import _of_the_bare_house
from ledger.heat.spans import season_span, seasons_between
from ledger.heat.typical_growth import NO_GROWTH, typical_growth
from ledger.heat.typical_hours import LoggedYear, Stretch, logged_profile, logged_year
from ledger.model.house import BareWay
from ledger.model.logs import ChannelSpec, LogSpec
from tests.heat.builders import ledger_of, plain_house, record_of, spread
from tests.known import known
from tests.money.made import SEASON
from tests.running.made import typical

Floats = NDArray[np.float64]
LEDGER = ledger_of()
UNKNOWN = np.nan


def test_rows_of_two_hours_lose_twice_what_rows_of_one_do() -> None:
    """100 W/K · 6 K and nothing where it is warmer outdoors: 0.6 kWh an hour."""
    indoor, outdoor, loss = np.array([3.0, 3.0]), np.array([-3.0, 9.0]), np.full(2, 100.0)
    assert gross_kwh(indoor, outdoor, loss, step_h=1.0) == pytest.approx(0.6)
    assert gross_kwh(indoor, outdoor, loss, step_h=2.0) == pytest.approx(1.2)


def test_the_doubt_about_the_bare_house_is_the_sum_of_the_hours_in_which_it_is_warmer() -> None:
    assert bare_doubt_kwh(np.array([5.0, -0.25, 0.5, -0.5])) == pytest.approx(0.75)
    assert bare_doubt_kwh(np.array([0.25])) == 0.0


def test_by_day_the_sun_gives_its_share_of_what_falls_on_the_floor() -> None:
    """Half of 20 m2: 10 m2 in 300 W/m2 are 3 kW; a sensor below nothing gives nothing, and so does the night."""
    year: Any = SimpleNamespace(
        dark=np.array([False, True, False, False]),
        outdoor_c=np.arange(4.0),
        indoor_c=10.0 + np.arange(4.0),
        channels={"sun": np.array([300.0, 300.0, -4.0, 0.5])},
        step_h=1.0,
    )
    found = counted_air(year, np.array([0, 1, 2, 3]), LEDGER)
    assert found.sun_gain_w.tolist() == [3000.0, 0.0, 0.0, 5.0]
    assert found.day.tolist() == [True, False, True, True]
    assert counted_air(year, np.array([3]), LEDGER).indoor_c.tolist() == [13.0]


def test_a_thermometer_is_as_good_as_its_worst_log_says_and_errs_to_neither_side() -> None:
    logs = (
        LogSpec("a.csv", (ChannelSpec("indoor", "i", accuracy_k=0.2), ChannelSpec("outdoor", "o", accuracy_k=2.0))),
        LogSpec("b.csv", (ChannelSpec("indoor", "i", accuracy_k=0.9), ChannelSpec("water", "w"))),
    )
    ledger = replace(LEDGER, logs=logs)
    assert [sensor_accuracy_k(ledger, name) for name in ("indoor", "outdoor", "water")] == [0.9, 2.0, 0.5]
    shift = thermometer_shift_k(ledger, "indoor")
    assert shift.likely == 0.0
    assert shift.low == pytest.approx(-shift.high)
    assert shift.high > 0.9, "one in ten lies beyond its accuracy"


def test_of_less_than_a_kilowatt_hour_of_need_the_share_that_came_is_known_too() -> None:
    """One hour at −3 °C held at 5, the bare house 2 K above outdoors: 0.6 kWh needed; at 3 °C indoors 0.2 lack."""
    ledger = ledger_of(plain_house(100.0, lift=spread(2.0)))

    def share(outdoor_c: float) -> float | None:
        record = record_of({"indoor": [3.0], "outdoor": [outdoor_c]}, first="2026-01-10T20:00+01:00")
        return reckon(prepare(record, ledger), ledger).seasons[0].passive_fraction

    assert known(share(-3.0)) == pytest.approx(2.0 / 3.0)
    assert share(20.0) is None, "nothing was needed"


def test_the_typical_winter_is_cold_by_its_weights_over_the_hours_that_are_known_outdoors() -> None:
    """Hold 5 °C: 8 K short at −3, nothing at 8, unknown; all stand half a time: 4 K. This winter: 10 K."""
    year = typical([1.0] * 3, [0.0] * 3, outdoor=[-3.0, 8.0, UNKNOWN], weight=0.5)
    record = record_of({"indoor": np.full(240, 6.0), "outdoor": np.full(240, -5.0)}, first="2026-01-02T12:00+01:00")
    years = prepare(record, LEDGER).years

    def colder(of: Any) -> float | None:
        (told,) = season_nights(years, hold_c=5.0, timezone="Europe/Rome", typical=of)
        return told.colder_than_typical_k

    assert known(colder(year)) == pytest.approx(6.0)
    assert colder(typical([1.0], [0.0], outdoor=[UNKNOWN])) is None


@pytest.mark.parametrize(
    ("doubt", "added", "said"), [(9.9, 100.0, False), (10.1, 100.0, True), (0.1, -50.0, True), (0.0, -50.0, False)]
)
def test_a_bare_house_warmer_than_the_built_one_in_more_than_a_tenth_of_what_was_added_is_doubtful(
    doubt: float, added: float, said: bool
) -> None:
    """Where nothing was added in the sum, in any hour."""
    heat: Any = SimpleNamespace(
        bare=SimpleNamespace(used="twin"), bare_doubt_kwh=doubt, rungs=SimpleNamespace(added_kwh=added)
    )
    assert [code for code, _, _ in _of_the_bare_house(heat, LEDGER)] == ["bare-doubt"] * said


def test_a_season_shares_its_first_instant_with_what_ends_then_and_its_end_with_nothing() -> None:
    season = season_span(SEASON, year=2025, timezone="Europe/Rome")
    hour = pd.Timedelta(hours=1)

    def names(first: pd.Timestamp, last: pd.Timestamp) -> list[str]:
        return [s.name for s in seasons_between(SEASON, timezone="Europe/Rome", first_utc=first, last_utc=last)]

    assert names(season.begins_utc - 9 * hour, season.begins_utc) == [season.name]
    assert names(season.begins_utc - 9 * hour, season.begins_utc - hour) == []
    assert names(season.ends_utc - hour, season.ends_utc + hour) == [season.name]
    assert names(season.ends_utc, season.ends_utc + hour) == []
    assert len(names(season.begins_utc, season.begins_utc + pd.Timedelta(days=800))) == 3


def grown(
    days: float, valid: float, k_d: float, *, dark: float = 200.0, dark_valid: float = 200.0, by: float = 0.0
) -> Any:
    """A season's January; nothing in other months."""

    def january(value: float) -> Floats:
        return np.array([value, *[0.0] * 11])

    growth = SimpleNamespace(
        indoor_k_d=january(k_d), outdoor_k_d=january(k_d / 4.0), days=january(days), days_valid=january(valid),
        dark_hours=january(dark), dark_hours_valid=january(dark_valid),
    )  # fmt: skip
    by_build = SimpleNamespace(k_d=january(by), hours=january(300.0), hours_known=january(100.0 if by else 0.0))
    return SimpleNamespace(growth=growth, by_build=by_build)


def test_degree_days_of_a_month_are_filled_to_its_days_and_averaged_over_the_seasons_that_know_it() -> None:
    """40 K·d in 20 of 30 days are 60, 30 in 30 are 30: 45 in the mean, of which 3/4 over outdoors. The build's 10 in
    100 of 300 hours are 30, known of one season only."""
    found = typical_growth([grown(30, 20, 40.0, by=10.0), grown(30, 30, 30.0)])
    assert known(found.indoor_k_d) == pytest.approx(45.0)
    assert known(found.over_outdoors_k_d) == pytest.approx(33.75)
    assert known(found.by_build_k_d) == pytest.approx(30.0)
    assert found.months == (1,)
    alone = typical_growth([grown(30, 20, 40.0), grown(30, 0, 30.0), grown(30, 30, 30.0, dark_valid=50.0)])
    assert known(alone.indoor_k_d) == pytest.approx(60.0), "without a valid day, or with few dark hours, not at all"
    assert alone.by_build_k_d is None
    assert typical_growth([grown(30, 0, 30.0)]) == NO_GROWTH
    assert typical_growth([]) == NO_GROWTH


class Line:
    """So many kilowatt-hours a watt per kelvin."""

    def __init__(self, slope: float) -> None:
        self._slope = slope

    def kwh(self, h_w_per_k: Floats, shift_k: Floats) -> Floats:
        return np.asarray(self._slope * h_w_per_k - shift_k)


@pytest.mark.parametrize("way", [BareWay.TWIN, BareWay.LIFT])
def test_a_curve_of_which_nothing_is_drawn_answers_once(way: BareWay) -> None:
    """100 W/K on both sides: 1,000 kWh needed, 200 missing, 30 of backup."""
    part: Any = SimpleNamespace(need=Line(10.0), shortfall=Line(2.0), backup_kwh=30.0, months_missing_share=0.0)
    nothing: Any = None
    ledger = ledger_of(plain_house(100.0, lift=spread(2.0)))
    need, avoided = EnergyCurve((), ledger, nothing, 2.0, way, part, None, (), None).answer({})
    assert need.tolist() == pytest.approx([1000.0])
    assert avoided.tolist() == pytest.approx([770.0])


def test_the_error_of_a_fan_s_effect_is_that_of_two_means_where_blocks_say_no_more() -> None:
    """Ten nights on at 8 ± 1 K and ten off at 6 ± 1, the misfits of each block and week even out: 20 K² over 20 − 4
    is 1.25, of a tenth and a tenth 0.25: 0.5 K."""
    on = [Night(7 * (k // 2) + k % 2, 8.0 + (-1.0) ** k, -5.0, 100.0, False, 0, True) for k in range(10)]
    off = [Night(100 + k, 6.0 + (-1.0) ** k, -5.0, 100.0, True, 1 + k // 2, True) for k in range(10)]
    effect, error = effect_k(on, off)
    assert (effect, error) == pytest.approx((2.0, 0.5))


def test_nights_of_a_block_that_are_off_together_count_as_one() -> None:
    """Eight nights on at 8 K in four weeks, eight off in four blocks of two at 7 and 5 K by turns. Each block moves the
    mean of the off nights by 2/8: 4 · 1/16, and eight groups for seven: √(0.25 · 8/7) = 0.5345 K."""
    on = [Night(7 * (k // 2) + k % 2, 8.0, -5.0, 100.0, False, 0, True) for k in range(8)]
    off = [Night(100 + k, 6.0 + (-1.0) ** (k // 2), -5.0, 100.0, True, 1 + k // 2, True) for k in range(8)]
    assert effect_k(on, off) == pytest.approx((2.0, 0.534522))


def stretch(
    need: list[float], added: list[float], months: list[int], *, known_h: float, backup: float = 0.0, way: str = "twin"
) -> Stretch:
    """A season's hours, of which 200 of January count; what is known of them."""
    rows = np.arange(len(need))
    year = SimpleNamespace(
        month=np.array(months), outdoor_c=np.zeros(len(need)), indoor_c=np.full(len(need), 4.0), step_h=1.0,
        begins_utc=pd.date_range("2026-01-31T22:00Z", periods=len(need), freq="h"),
    )  # fmt: skip
    model = SimpleNamespace(bare_free_c=pd.Series(7.0, index=year.begins_utc))
    work: Any = SimpleNamespace(
        year=year, way=BareWay(way), model=model, reckoned=SimpleNamespace(bare_c=np.full(len(need), 2.0))
    )
    known_by, counted, taken = np.zeros(12), np.zeros(12), np.zeros(12)
    counted[:2], known_by[0], taken[0] = 200.0, known_h, backup
    known_by[1] = 10.0
    return Stretch(work, rows, np.array(need), np.array(added), counted, known_by, taken)


def year_of(monkeypatch: pytest.MonkeyPatch, *stretches: Stretch) -> LoggedYear:
    monkeypatch.setattr("ledger.heat.typical_hours.stretch_of", lambda one: one)
    works: Any = list(stretches)
    return known(logged_year(works))


def test_two_seasons_that_logged_a_month_stand_for_half_of_it_each(monkeypatch: pytest.MonkeyPatch) -> None:
    """150 and 200 of January's 200 hours: 200/150/2 and 1/2. February, 10 of 200 hours in both, is missing: as many
    hours as January's. Backup 40 and 60 in January: 50."""
    first = stretch([3.0], [1.0], [1], known_h=150.0, backup=40.0)
    second = stretch([5.0], [2.0], [1], known_h=200.0, backup=60.0)
    found = year_of(monkeypatch, first, second)
    assert [w.tolist() for w in found.weights] == [[pytest.approx(200.0 / 150.0 / 2.0)], [0.5]]
    assert (found.months_missing, found.missing_share, found.backup_kwh) == ((2,), 1.0, 50.0)
    assert (found.need_kwh, found.added_kwh) == pytest.approx((2.0 + 2.5, 2.0 / 3.0 + 1.0))
    third = stretch([5.0], [2.0], [1], known_h=20.0, backup=900.0)
    assert year_of(monkeypatch, first, third).backup_kwh == 40.0, "a season that hardly logged it is not asked"
    assert logged_year([]) is None


def test_the_hours_of_the_year_are_those_of_the_months_that_were_logged_and_the_missing_ones_without_saving(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Need 3 and 1 in January, missing 2 and 0, all of 200 hours known; an hour of February is not taken up. Twice as
    much is needed in the year, half of it in February; there is 7 to buy: 4 in February, 3 in the first hour."""
    logged = year_of(monkeypatch, stretch([3.0, 1.0, 9.0], [1.0, 1.5, 0.0], [1, 1, 2], known_h=200.0))
    profile = logged_profile(logged, need_kwh=8.0, to_buy_kwh=7.0)
    assert profile["need_kwh"].tolist() == [3.0, 1.0, 3.0, 1.0]
    assert profile["to_buy_kwh"].tolist() == pytest.approx([3.0, 0.0, 3.0, 1.0])
    assert profile["weight"].tolist() == [1.0] * 4
    half = logged_profile(replace(logged, missing_share=0.5), need_kwh=6.0, to_buy_kwh=5.0)
    assert half["weight"].tolist() == [1.0, 1.0, 0.5, 0.5]
    assert half["to_buy_kwh"].tolist() == pytest.approx([3.0, 0.0, 3.0, 1.0])
    assert profile["indoor_c"].tolist()[:2] == [4.0, 4.0]
    assert profile["indoor_c"].isna().tolist() == [False, False, True, True]
    assert profile["bare_c"].tolist() == [2.0] * 4


def test_where_nothing_was_missing_the_heat_to_buy_follows_the_need_and_where_nothing_was_needed_there_is_none(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    full = year_of(monkeypatch, stretch([0.3, 0.1], [0.3, 0.1], [1, 1], known_h=200.0))
    shaped = logged_profile(replace(full, missing_share=0.0), need_kwh=0.4, to_buy_kwh=0.2)
    assert shaped["to_buy_kwh"].tolist() == pytest.approx([0.15, 0.05])
    little = year_of(monkeypatch, stretch([0.3, 0.1], [0.1, 0.1], [1, 1], known_h=200.0))
    shaped = logged_profile(replace(little, missing_share=0.0), need_kwh=0.4, to_buy_kwh=0.4)
    assert shaped["to_buy_kwh"].tolist() == pytest.approx([0.4, 0.0]), "a fifth of a kilowatt-hour has a shape, too"
    warm = year_of(monkeypatch, stretch([0.0, 0.0], [0.0, 0.0], [1, 1], known_h=200.0))
    assert logged_profile(warm, need_kwh=0.0, to_buy_kwh=0.0)["to_buy_kwh"].tolist() == [0.0] * 4


def test_by_the_model_the_bare_house_of_the_hours_is_the_model_s(monkeypatch: pytest.MonkeyPatch) -> None:
    modelled = year_of(monkeypatch, stretch([3.0], [1.0], [1], known_h=200.0, way="model"))
    assert logged_profile(modelled, need_kwh=3.0, to_buy_kwh=2.0)["bare_c"].tolist() == [7.0, 7.0]
