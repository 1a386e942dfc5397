"""What the screen of `seasons` tells of a season, in figures that the tests of the reckoning follow by hand."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TypedDict, Unpack

from ledger.appraisal import Appraisal, SeasonAnswer
from ledger.heat.forecast import Forecast
from ledger.heat.results import Band
from ledger.heat.season_nights import SeasonNights
from ledger.money.season_track import Difference, LineSum, Pace, SeasonTrack
from ledger.money.season_worth import SeasonWorth
from ledger.views.json_view import appraisal_document
from ledger.views.lists import season_lines
from ledger.views.screen import Screen
from tests.views.example import example, example_by_lift

SCREEN = Screen(width=100)
NIGHTS = SeasonNights("2025-26", 1.25, 212, 51, 46.0, -21.5, "2026-02-05T06:00:00+01:00", None, -0.9, -1.2, -0.6, 44)
TRACK = SeasonTrack(
    "2025-26",
    (
        LineSum("buried air tubes", "fan", 7, 65.6, 410.0, None, 1.0),
        LineSum("wood stove", "", 1, 8.64, None, 0.25, 0.0),
    ),
    0.125,
    0.06,
    Difference(200.0, 5.0, -75.0, 170.0),
    Difference(-100.0, None, 0.0, None),
    Pace(284.71, 12.5, "2039-03-31"),
)
FORECAST = Forecast("2025-26", "logged seasons", 2900.0, 2000.0, Band(1500.0, 2500.0), 3100.0, 2400.0, True, True)


class Parts(TypedDict, total=False):
    """What stands beside a season's heat and money."""

    track: SeasonTrack
    nights: SeasonNights
    forecast: Forecast
    worth: SeasonWorth


def _told(of: Appraisal, **parts: Unpack[Parts]) -> str:
    season = of.seasons[0]
    answer = SeasonAnswer(season.heat, season.account, **parts)
    return re.sub(r"\s+", " ", " ".join(season_lines(replace(of, seasons=(answer,)), screen=SCREEN)))


def test_nights_costs_differences_forecast_lift_and_pace_are_told() -> None:
    said = _told(example(), track=TRACK, nights=NIGHTS, forecast=FORECAST)
    for words in (
        "Colder than the typical year, mean of the hours that count 1.2 K",
        "Nights below hold, of 212 that were read 51 nights",
        "Coldest hour outdoors, 2026-02-05 06:00 -21.5 °C",
        "indoors in that hour not logged",
        "fan (buried air tubes): 410 kWh, 1 h of own work 66 EUR",
        "wood stove: 0.25 units 8.64 EUR",
        "for each kWh not bought 0.125 EUR/kWh",
        "Against the season before: +200 kWh heat not bought, +5.00 EUR running, -75 EUR upkeep, +170 EUR left over.",
        "Against the typical year: -100 kWh heat not bought, 0 EUR upkeep.",
        "let 2,000 kWh of heat not bought be expected (1,500 to 2,500 kWh); 2,400 kWh came, holes filled: inside",
        "In 44 nights like earlier ones the house lay 0.9 K less above outdoors",
        "At the pace of the one season so far (285 EUR a season), in their own weather, it is paid in 12.5 years",
    ):
        assert words in said, (words, said)


def test_the_worth_in_the_typical_year_stands_apart_from_the_cash_of_the_season() -> None:
    said = _told(example(), track=TRACK, worth=SeasonWorth("2025-26", 2100.0, 250.0, None, -400.0))
    cash, worth = (said.index(words) for words in ("cash, each in its own weather", "a typical year, at prices of"))
    assert cash < said.index("285") < worth
    assert re.search(r"2025-26 2,100 250 never -400", said[worth:])
    assert "Known after" not in _told(example_by_lift(), worth=SeasonWorth("2025-26", 2100.0, 250.0, 8.4, 10.0))


def test_degree_hours_and_the_unit_of_a_source_are_told() -> None:
    """The electric heater of the example sells kilowatt-hours."""
    bought = replace(TRACK, lines=(LineSum("electric heater", "frost guard", 1, 3.2, None, 20.0, 0.0),))
    said = _told(example(), track=bought, nights=NIGHTS)
    assert "Degree-hours below hold outdoors, in the hours that count 12,000 K·h" in said
    assert "frost guard (electric heater): 20 kWh 3.20 EUR" in said


def test_what_is_paid_and_what_never_will_be_is_said() -> None:
    for pace, words in (
        (Pace(100.0, 0.0, None), "It is paid"),
        (Pace(-10.0, None, None), "it is never paid"),
        (Pace(1.0, 900.0, None), "it is paid in 900 years"),
    ):
        assert words in _told(example(), track=replace(TRACK, pace=pace))


def test_money_that_rests_on_an_assumed_lift_is_left_out() -> None:
    said = _told(example_by_lift(), track=TRACK, nights=NIGHTS, forecast=FORECAST)
    assert "Nights below hold" in said
    assert "fan (buried air tubes)" in said
    for words in ("At the pace", "for each kWh not bought", "Against the", "be expected"):
        assert words not in said


def test_scripts_get_the_same_under_their_keys_and_null_where_nothing_is_known() -> None:
    season = example().seasons[0]
    whole = replace(example(), seasons=(SeasonAnswer(season.heat, season.account, TRACK, NIGHTS, FORECAST),))
    document = appraisal_document(whole)["seasons"][0]
    assert document["track"]["pace"] == {"net_saving_a_season": 284.71, "years_to_go": 12.5, "paid_on": "2039-03-31"}
    assert document["nights"]["coldest_indoor_c"] is None
    assert document["forecast"]["avoided_range_kwh"] == {"p10": 1500.0, "p90": 2500.0}
    bare = appraisal_document(example())["seasons"][0]
    assert (bare["track"], bare["nights"], bare["forecast"]) == (None, None, None)
