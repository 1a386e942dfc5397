"""Every conversion against a published factor or an independent library."""

from __future__ import annotations

import importlib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.units import (
    Dimension,
    System,
    UnitError,
    from_held,
    is_fahrenheit,
    parse_quantity,
    same_unit,
    shown,
    to_held,
    units_of,
)

D = Dimension

# NIST Special Publication 811 (2008), Appendix B.8/B.9: unit, dimension, factor to the unit printed there, that unit
NIST = [
    ("ft", D.LENGTH, 3.048e-01, "m"),
    ("in", D.LENGTH, 2.54e-02, "m"),
    ("yd", D.LENGTH, 9.144e-01, "m"),
    ("ft2", D.AREA, 9.290304e-02, "m2"),
    ("yd2", D.AREA, 8.361274e-01, "m2"),
    ("ft3", D.VOLUME, 2.831685e-02, "m3"),
    ("gal", D.VOLUME, 3.785412e-03, "m3"),
    ("imp_gal", D.VOLUME, 4.54609e-03, "m3"),
    ("L", D.VOLUME, 1.0e-03, "m3"),
    ("lb", D.MASS, 4.535924e-01, "kg"),
    ("short_ton", D.MASS, 9.071847e02, "kg"),
    ("tonne", D.MASS, 1.0e03, "kg"),
    ("Btu", D.ENERGY, 1.055056e03 / 3.6e6, "kWh"),
    ("MMBtu", D.ENERGY, 1.055056e09 / 3.6e6, "kWh"),
    ("therm", D.ENERGY, 1.05506e08 / 3.6e6, "kWh"),
    ("MJ", D.ENERGY, 1.0 / 3.6, "kWh"),
    ("kcal", D.ENERGY, 4.1868e03 / 3.6e6, "kWh"),
    ("Btu/h", D.POWER, 2.930711e-01, "W"),
    ("Btu/h/ft2/degF", D.U_VALUE, 5.678263, "W/m2/K"),
    ("Btu/lb/degF", D.SPECIFIC_HEAT, 4.1868, "kJ/kg/K"),
    ("Btu/h/ft2", D.HEAT_FLUX, 3.154591, "W/m2"),
    ("mph", D.SPEED, 4.4704e-01, "m/s"),
    ("kn", D.SPEED, 5.144444e-01, "m/s"),
]

# our unit, dimension, pint's unit, pint's name of the unit we hold it in (pint is for tests only)
PINT = [
    ("cm", D.LENGTH, "cm", "m"),
    ("ft2", D.AREA, "foot**2", "m**2"),
    ("yd3", D.VOLUME, "yard**3", "m**3"),
    ("gal", D.VOLUME, "US_liquid_gallon", "m**3"),
    ("imp_gal", D.VOLUME, "imperial_gallon", "m**3"),
    ("lb", D.MASS, "pound", "kg"),
    ("short_ton", D.MASS, "short_ton", "kg"),
    ("Btu", D.ENERGY, "Btu_it", "kWh"),
    ("kBtu", D.ENERGY, "kiloBtu_it", "kWh"),
    ("MMBtu", D.ENERGY, "megaBtu_it", "kWh"),
    ("GJ", D.ENERGY, "GJ", "kWh"),
    ("Btu/h", D.POWER, "Btu_it/hour", "W"),
    ("Btu/h/ft2/degF", D.U_VALUE, "Btu_it/hour/foot**2/delta_degF", "W/m**2/delta_degC"),
    ("Btu/h/ft/degF", D.LINEAR_LOSS, "Btu_it/hour/foot/delta_degF", "W/m/delta_degC"),
    ("Btu/h/degF", D.HEAT_LOSS, "Btu_it/hour/delta_degF", "W/delta_degC"),
    ("Btu/degF", D.HEAT_CAPACITY, "Btu_it/delta_degF", "kWh/delta_degC"),
    ("Btu/ft3/degF", D.VOLUMETRIC_HEAT_CAPACITY, "Btu_it/foot**3/delta_degF", "MJ/m**3/delta_degC"),
    ("kWh/m3/K", D.VOLUMETRIC_HEAT_CAPACITY, "kWh/m**3/delta_degC", "MJ/m**3/delta_degC"),
    ("Btu/lb/degF", D.SPECIFIC_HEAT, "Btu_it/pound/delta_degF", "kJ/kg/delta_degC"),
    ("delta_degF", D.DIFFERENCE, "delta_degF", "delta_degC"),
    ("km/h", D.SPEED, "km/hour", "m/s"),
    ("day", D.TIME, "day", "hour"),
]


@pytest.mark.parametrize(("unit", "dimension", "factor", "into"), NIST, ids=[row[0] for row in NIST])
def test_factors_agree_with_nist_sp_811_to_its_printed_digits(
    unit: str, dimension: Dimension, factor: float, into: str
) -> None:
    assert dimension.held_in == into
    assert to_held(1.0, unit, dimension) == pytest.approx(factor, rel=5e-6)


@pytest.fixture(scope="module")
def registry() -> Any:
    return importlib.import_module("pint").UnitRegistry()


@pytest.mark.parametrize(("unit", "dimension", "theirs", "into"), PINT, ids=[row[0] for row in PINT])
def test_factors_agree_with_an_independent_library(
    registry: Any, unit: str, dimension: Dimension, theirs: str, into: str
) -> None:
    expected = registry.Quantity(1.0, theirs).to(into).magnitude
    assert to_held(1.0, unit, dimension) == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [
        ("32 degF", 0.0),
        ("212 °F", 100.0),
        ("-40 F", -40.0),
        ("273.15 K", 0.0),
        ("4 °C", 4.0),
        ("41 ℉", 5.0),
        ("-14 C", -14.0),
    ],
)
def test_temperatures_meet_at_their_fixed_points(typed: str, celsius: float) -> None:
    assert parse_quantity(typed, D.TEMPERATURE) == pytest.approx(celsius, abs=1e-12)


@pytest.mark.parametrize("typed", ["5 degF", "5 delta_degF", "5 °F", "2.7777777777777777 K", "2.7777777777777777 degC"])
def test_a_key_that_can_only_be_a_difference_takes_all_three_spellings(typed: str) -> None:
    assert parse_quantity(typed, D.DIFFERENCE) == pytest.approx(5 / 1.8)


@pytest.mark.parametrize(
    "typed",
    [
        "0.7 Btu/h/ft2/degF",
        "0.7 Btu/h·ft²·°F",
        "0.7 Btu/(h·ft²·°F)",
        "0.7 BTU/hr/ft^2/F",
        "0.7 Btu/h ft2 °F",
        "0.7 Btu per hour per sq ft per degF",
        "0.7 Btu/hft2F",
        "3.9747843387794 W/m2/K",
        "3.9747843387794 W/m²K",
        "3.9747843387794 W/(m2 K)",
        "3.9747843387794 W m-2 K-1",
        "3.9747843387794 W/m2·°C",
    ],
)
def test_u_values_may_be_spelled_as_on_any_data_sheet(typed: str) -> None:
    assert parse_quantity(typed, D.U_VALUE) == pytest.approx(0.7 * 5.678263, rel=1e-6)


@pytest.mark.parametrize(
    ("typed", "dimension", "held"),
    [
        ("520 sq ft", D.AREA, 520 * 0.09290304),
        ("520 sq. ft.", D.AREA, 520 * 0.09290304),
        ("520 square feet", D.AREA, 520 * 0.09290304),
        ("48m2", D.AREA, 48.0),
        ("100 cubic feet", D.VOLUME, 2.8316846592),
        ("250 gallons", D.VOLUME, 0.946352946),
        ("250 imp gal", D.VOLUME, 1.1365225),
        ("3 short tons", D.MASS, 2721.55422),
        ("30000 BTUH", D.POWER, 8792.132105),
        ("1.5 kw", D.POWER, 1500.0),
        ("41 kwh", D.ENERGY, 41.0),
        ("1450 meters", D.LENGTH, 1450.0),
        ("−5 K", D.DIFFERENCE, -5.0),
        ("1e3 m", D.LENGTH, 1000.0),
    ],
)
def test_common_spellings_are_read(typed: str, dimension: Dimension, held: float) -> None:
    assert parse_quantity(typed, dimension) == pytest.approx(held, rel=1e-9)


@pytest.mark.parametrize(
    ("typed", "dimension", "what", "mend"),
    [
        ("20 MBtu", D.ENERGY, "thousand Btu to some and a million", "MMBtu"),
        ("20 MBTU", D.ENERGY, "thousand Btu to some and a million", "kBtu"),
        ("3 ton", D.MASS, "three different weights", "short_ton"),
        ("3 tons", D.MASS, "three different weights", "tonne"),
        ("48", D.AREA, "no unit", "m2, ft2"),
        ("48 m", D.AREA, "not a unit of area", "m2, ft2"),
        ("48 sqm2x", D.AREA, "unknown unit", "m2, ft2"),
        ("4,5 m", D.LENGTH, "comma", '"4.5 m"'),
        ("1,250 ft2", D.AREA, "comma", '"1250 ft2"'),
        ("about 5 m", D.LENGTH, "begin with a number", "number and its unit"),
        ("5 delta_degF", D.TEMPERATURE, "a difference", "degC, degF, K"),
        ("1e400 m", D.LENGTH, "too large", "check"),
        ("1e99999999999999999999 m", D.LENGTH, "too large", "check"),
        ("5 W/", D.U_VALUE, "not a unit", "W/m2/K"),
        ("", D.AREA, "begin with a number", "number and its unit"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_mend(typed: str, dimension: Dimension, what: str, mend: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_quantity(typed, dimension)
    assert what in caught.value.what
    assert mend in caught.value.mend


@pytest.mark.parametrize("dimension", list(Dimension))
def test_the_first_unit_offered_is_one_that_is_taken(dimension: Dimension) -> None:
    for unit in units_of(dimension):
        to_held(1.0, unit, dimension)
    for system in System:
        assert to_held(*shown(3.0, dimension, system), dimension) == pytest.approx(3.0)


def test_fahrenheit_is_known_by_its_spelling() -> None:
    assert is_fahrenheit("40 degF")
    assert is_fahrenheit("40 °F")
    assert not is_fahrenheit("4 degC")
    assert not is_fahrenheit("warm")


def test_like_units_are_known_as_one() -> None:
    assert same_unit("m²", "m2")
    assert same_unit("litres", "L")
    assert not same_unit("gal", "imp_gal")
    assert not same_unit("cord", "cord")


@settings(max_examples=60)
@given(
    value=st.floats(-1e6, 1e6, allow_nan=False),
    dimension=st.sampled_from(list(Dimension)),
    pick=st.integers(0, 5),
)
def test_there_and_back_is_where_one_was(value: float, dimension: Dimension, pick: int) -> None:
    unit = units_of(dimension)[pick % len(units_of(dimension))]
    assert from_held(to_held(value, unit, dimension), unit, dimension) == pytest.approx(value, rel=1e-9, abs=1e-9)


@settings(max_examples=200)
@given(st.text(max_size=30), st.sampled_from(list(Dimension)))
def test_no_text_does_worse_than_a_complaint(text: str, dimension: Dimension) -> None:
    try:
        parse_quantity(text, dimension)
    except UnitError as error:
        complaint = (error.what, error.mend)
    else:
        complaint = ("read", "read")
    assert all(complaint)


def test_a_pasted_page_is_no_quantity_and_is_shown_by_its_beginning() -> None:
    with pytest.raises(UnitError, match="too long for a quantity") as refused:
        parse_quantity("12 m " + "and so on " * 50, D.LENGTH)
    assert len(str(refused.value)) < 120
