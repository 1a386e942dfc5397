"""Figures carry their unit and no more digits than they deserve."""

from __future__ import annotations

import math

import pytest

from ledger.model.ledger import Show
from ledger.views.figures import Measure, Style, show_figure, show_span

EURO = Style(Show.METRIC, "EUR", 2)
DOLLAR = Style(Show.US, "USD", 2)


@pytest.mark.parametrize(
    ("value", "measure", "shown"),
    [
        (3850.0, Measure.COIN, "3,850.00 EUR"),
        (-3320.607, Measure.MONEY, "-3,320 EUR"),
        (284.71, Measure.MONEY, "285 EUR"),
        (7.384, Measure.MONEY, "7.38 EUR"),
        (0.0, Measure.MONEY, "0 EUR"),
        (-0.0, Measure.COIN, "0.00 EUR"),
        (2345.7, Measure.HEAT, "2,350 kWh"),
        (23456.0, Measure.HEAT, "23,500 kWh"),
        (54.4, Measure.HEAT, "54 kWh"),
        (13.52, Measure.YEARS, "13.5 years"),
        (41.7, Measure.YEARS, "42 years"),
        (0.0612, Measure.RATE, "6.1 %"),
        (0.963, Measure.SHARE, "96 %"),
        (-0.04, Measure.TEMPERATURE, "0.0 °C"),
        (0.16049, Measure.PRICE_PER_KWH, "0.160 EUR/kWh"),
        (407.8, Measure.HEAT_LOSS, "408 W/K"),
        (0.5, Measure.HOURS, "0.5 hours"),
        (2.0, Measure.HOURS, "2 hours"),
        (9.98, Measure.HOURS, "10 hours"),
        (1009.0, Measure.HOURS, "1,009 hours"),
    ],
)
def test_a_figure_is_rounded_to_what_it_deserves(value: float, measure: Measure, shown: str) -> None:
    assert str(show_figure(value, measure, EURO)) == shown


@pytest.mark.parametrize(
    ("value", "measure", "shown"),
    [
        (4.0, Measure.TEMPERATURE, "39.2 °F"),  # 4 · 1.8 + 32
        (5.0, Measure.DIFFERENCE, "9.0 °F"),
        (900.0, Measure.DEGREE_DAYS, "1,620 °F·d"),
        (1.8, Measure.COST_PER_DEGREE_DAY, "1.00 USD per °F·d"),
        (100.0, Measure.AREA, "1,076 ft²"),  # NIST SP 811: 1 ft = 0.3048 m exactly; 100 / 0.09290304 = 1076.39
        (100.0, Measure.HEAT_LOSS, "190 Btu/h/°F"),  # 100 · 3.412142 / 1.8 = 189.56
        (3.0, Measure.POWER, "10,200 Btu/h"),  # 3 · 3412.142 = 10 236
        (2345.7, Measure.HEAT, "2,350 kWh"),
    ],
)
def test_us_units_are_shown_where_the_ledger_asks_for_them(value: float, measure: Measure, shown: str) -> None:
    assert str(show_figure(value, measure, DOLLAR)) == shown


@pytest.mark.parametrize("value", [None, math.nan, math.inf, -math.inf])
def test_a_figure_that_is_not_there_is_said_in_words(value: float | None) -> None:
    assert str(show_figure(value, Measure.YEARS, EURO)) == "not known"


def test_a_currency_without_coins_shows_none() -> None:
    assert str(show_figure(1234.0, Measure.COIN, Style(Show.METRIC, "JPY", 0))) == "1,234 JPY"


def test_a_span_names_its_unit_once() -> None:
    assert str(show_span(1100.0, 3900.0, Measure.HEAT, EURO)) == "1,100 to 3,900 kWh"
    assert str(show_span(None, None, Measure.HEAT, EURO)) == "not known"
