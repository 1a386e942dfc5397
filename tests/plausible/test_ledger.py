"""Doubts that the ledger alone raises: each once, with its line, and honest edge cases in peace."""

from __future__ import annotations

from pathlib import Path

import pytest

from ledger.intake.doubts import DOUBTS
from ledger.intake.ledger_file import ledger_of, read_ledger
from ledger.intake.start import templates
from tests.demo import DEMO
from tests.plausible.made import CODES, doubted, ledger, line_of

TRUE_OF_DEMOS = {"life-beyond-study"}
"""Said of demos and templates because it is so: their diggings outlast the study."""


def test_the_plain_ledger_is_not_doubted() -> None:
    assert doubted() == []


@pytest.mark.parametrize("name", [one.name for one in templates()])
def test_no_template_is_doubted(name: str) -> None:
    text = next(one.text for one in templates() if one.name == name)
    assert {n.code for n in ledger_of(text, "ledger.toml").notices} & CODES <= TRUE_OF_DEMOS


@pytest.mark.parametrize("path", sorted(DEMO.glob("*/ledger.toml")), ids=lambda path: path.parent.name)
def test_no_demo_is_doubted(path: Path) -> None:
    assert {n.code for n in read_ledger(path).ledger.notices} & CODES <= TRUE_OF_DEMOS


def test_every_row_of_the_table_says_when_and_how_to_mend() -> None:
    assert len(CODES) == len(DOUBTS)
    assert all(doubt.when and doubt.mend and doubt.source for doubt in DOUBTS)


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('"3 W/m2/K"', '"3 Btu/h/ft2/degF"', 'u_value = "3'),  # 17 W/m2/K
        ('"3 W/m2/K"', '"0.55 W/m2/K"', 'u_value = "3'),  # a double film's Btu figure under W: nothing lets light in
        ('"0.45 W/m2/K"', '"30 W/m2/K"', 'u_value = "0.45'),  # an R-value of US make
    ],
)
def test_a_u_value_in_another_unit_is_doubted_at_its_line(old: str, new: str, line: str) -> None:
    (notice,) = doubted((old, new))
    assert (notice.code, notice.line) == ("u-value-unit", line_of(line))
    assert "5.68" in notice.text


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"3 W/m2/K"', '"1.2 Btu/h/ft2/degF"'),  # single glass: 6.8
        ('"3 W/m2/K"', '"1.1 W/m2/K"'),  # the best double glass
        ('"0.45 W/m2/K"', '"0.15 W/m2/K"'),  # a thick straw wall
    ],
)
def test_u_values_that_covers_have_are_not_doubted(old: str, new: str) -> None:
    assert doubted((old, new)) == []


def test_what_stood_before_a_build_is_doubted_like_what_stands() -> None:
    more = '[[build.before]]\nsurface = "skin"\nu_value = "1.1 Btu/h/ft2/degF"\n'
    at = ('what = "barrels"\namount = 800\n', 'what = "barrels"\namount = 800\n' + more)
    assert doubted(at) == []
    (notice,) = doubted((at[0], at[1].replace("1.1 Btu", "6.2 Btu")))
    assert (notice.code, notice.line) == ("u-value-unit", line_of('what = "barrels"') + 4)


def test_a_floor_taken_for_the_cover_is_doubted() -> None:
    """60 m2 of floor under 30 + 30 m2."""
    (notice,) = doubted(('area = "140 m2"', 'area = "30 m2"'))
    assert (notice.code, notice.line) == ("floor-for-cover", line_of("[house]"))


def test_a_low_wide_tunnel_is_not_doubted() -> None:
    """A roof bent over a floor of 60 m2, and low gables: 64 m2 in all."""
    assert doubted(('area = "140 m2"', 'area = "58 m2"'), ('area = "30 m2"', 'area = "6 m2"')) == []


def test_a_floor_that_is_not_length_times_width_is_doubted() -> None:
    (notice,) = doubted(('floor_area = "60 m2"', 'floor_area = "60 ft2"\nlength = "12 m"\nwidth = "5 m"'))
    assert notice.code == "floor-and-measures"


def test_a_price_of_a_therm_on_a_kilowatt_hour_is_doubted() -> None:
    """1.45 a therm is 0.049 a kWh; on a kWh it would be eight times the dearest gas there is."""
    gas = '[[source]]\nname = "gas"\nkind = "natural gas"\nunit = "{}"\nprice = {}\ncapital = 900\n'
    assert doubted(more=gas.format("therm", 1.45)) == []
    assert doubted(more=gas.format("kWh", 0.05)) == []
    for unit, price in (("kWh", 1.45), ("therm", 0.05)):
        (notice,) = doubted(more=gas.format(unit, price))
        assert notice.code == "price-unit"
        assert notice.line == line_of('name = "gas"', more=gas.format(unit, price)) + 3
        assert f"a {unit} of" in notice.text


@pytest.mark.parametrize(
    ("kind", "unit", "price"),
    [
        ("electric resistance", "kWh", 0.45),  # Denmark in 2022
        ("electric resistance", "kWh", 1.1),  # off the grid, batteries and all
        ("propane", "gal", 2.6),
        ("propane", "gal", 6.5),  # by the small bottle
        ("heating oil", "gal", 4.1),
        ("pellets", "short_ton", 320),
        ("wood stove", "cord", 260),
        ("wood stove", "cord", 0),  # from the own forest
    ],
)
def test_prices_that_people_pay_are_not_doubted(kind: str, unit: str, price: float) -> None:
    cord = 'heat_per_unit = "20 MMBtu"\n' if unit == "cord" else ""
    more = f'[[source]]\nname = "other"\nkind = "{kind}"\nunit = "{unit}"\nprice = {price}\n{cord}'
    assert doubted(more=more) == []


@pytest.mark.parametrize(
    ("kind", "unit", "price"),
    [
        ("electric resistance", "kWh", 13.47),  # in cents
        ("propane", "gal", 60),  # the price of a cylinder
        ("pellets", "short_ton", 6),  # the price of a bag
        ("wood stove", "cord", 4000),
    ],
)
def test_prices_for_another_unit_are_doubted(kind: str, unit: str, price: float) -> None:
    cord = 'heat_per_unit = "20 MMBtu"\n' if unit == "cord" else ""
    more = f'[[source]]\nname = "other"\nkind = "{kind}"\nunit = "{unit}"\nprice = {price}\n{cord}'
    assert [notice.code for notice in doubted(more=more)] == ["price-unit"]


def test_money_whose_worth_is_not_near_a_euro_is_not_doubted() -> None:
    """45 yen for a kilowatt-hour is a plain price."""
    assert doubted(('currency = "EUR"', 'currency = "JPY"'), ("price = 0.2\ncapital", "price = 45\ncapital")) == []


@pytest.mark.parametrize(
    ("what", "build"),
    [
        ("water tank", "buried air tubes"),
        ("pump of the water tank", "buried air tubes"),
        ("Buried air-tubes", "water tank"),
    ],
)
def test_an_item_that_bears_another_build_s_name_is_doubted(what: str, build: str) -> None:
    row = f'[[spent]]\nfor = "{build}"\ndate = 2025-07-01\nwhat = "{what}"\namount = 5\n'
    (notice,) = doubted(more=row)
    assert notice.code == "wrong-build"


@pytest.mark.parametrize(
    ("what", "build"),
    [
        ("pipe from the water tank to the tubes", "buried air tubes"),
        ("water tank lid", "water tank"),
        ("water", "water tank"),
        ("tank", "buried air tubes"),
    ],
)
def test_an_item_with_a_word_of_its_own_build_is_not_doubted(what: str, build: str) -> None:
    row = f'[[spent]]\nfor = "{build}"\ndate = 2025-07-01\nwhat = "{what}"\namount = 5\n'
    assert doubted(more=row) == []


def test_an_item_that_outlasts_the_study_is_doubted() -> None:
    (notice,) = doubted(("study_years = 30", "study_years = 25"))
    assert (notice.code, notice.line) == ("life-beyond-study", line_of("study_years"))


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (46, 11, "America/Denver"),
        (-46, 11, "Europe/Rome"),  # a sign lost
        (11, 46, "Europe/Rome"),  # the two changed round
        (38.9, 105.9, "America/Denver"),
        (38.9, -105.9, "America/New_York"),
        (40.7, -74, "America/Los_Angeles"),
        (37, 175, "Pacific/Auckland"),
        (38.9, -105.9, "UTC"),
    ],
)
def test_a_zone_that_does_not_go_with_its_place_is_doubted(latitude: float, longitude: float, zone: str) -> None:
    season = ('begins = "10-01", ends = "04-30"', 'begins = "01-01", ends = "12-31"')
    place = (("latitude = 46", f"latitude = {latitude}"), ("longitude = 11", f"longitude = {longitude}"))
    (notice,) = doubted(*place, ("Europe/Rome", zone), season)
    assert (notice.code, notice.line) == ("zone-and-place", line_of("timezone"))


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone"),
    [
        (39.5, 76, "Asia/Shanghai"),  # Kashgar: the widest zone there is
        (64.5, -165.4, "America/Anchorage"),  # the far west of Alaska
        (42.9, -9, "Europe/Madrid"),
        (-54.8, -68.3, "America/Argentina/Buenos_Aires"),
        (70.4, 31.1, "Europe/Oslo"),  # the sun an hour ahead of the clock
        (-15.8, 128.7, "Australia/Perth"),
        (-21, 55.5, "Indian/Reunion"),  # a name without a place of its own in the database
        (64.1, -22, "Atlantic/Reykjavik"),
        (46, 0, "UTC"),
    ],
)
def test_places_at_the_edge_of_their_zone_are_not_doubted(latitude: float, longitude: float, zone: str) -> None:
    season = ('begins = "10-01", ends = "04-30"', 'begins = "01-01", ends = "12-31"')
    place = (("latitude = 46", f"latitude = {latitude}"), ("longitude = 11", f"longitude = {longitude}"))
    assert doubted(*place, ("Europe/Rome", zone), season) == []


def test_a_northern_winter_in_the_south_is_doubted() -> None:
    place = (("latitude = 46", "latitude = -43.6"), ("longitude = 11", "longitude = 172.5"))
    (notice,) = doubted(*place, ("Europe/Rome", "Pacific/Auckland"))
    assert (notice.code, notice.line) == ("season-in-summer", line_of("season ="))


@pytest.mark.parametrize(
    ("latitude", "longitude", "zone", "begins", "ends"),
    [
        (-43.6, 172.5, "Pacific/Auckland", "04-01", "10-31"),
        (46, 11, "Europe/Rome", "02-15", "06-15"),  # spring seedlings only: 45 of 121 days lie in winter
        (46, 11, "Europe/Rome", "01-01", "12-31"),
        (-1.3, 36.8, "Africa/Nairobi", "06-01", "08-31"),  # no winter half on the equator
    ],
)
def test_honest_seasons_are_not_doubted(latitude: float, longitude: float, zone: str, begins: str, ends: str) -> None:
    place = (("latitude = 46", f"latitude = {latitude}"), ("longitude = 11", f"longitude = {longitude}"))
    season = ('begins = "10-01", ends = "04-30"', f'begins = "{begins}", ends = "{ends}"')
    assert doubted(*place, ("Europe/Rome", zone), season) == []


def test_a_doubt_changes_no_figure() -> None:
    """The same ledger with a build's name on an item and without."""
    row = '[[spent]]\nfor = "water tank"\ndate = 2025-07-01\nwhat = "{}"\namount = 5\n'
    one, other = ledger(more=row.format("lid")), ledger(more=row.format("buried air tubes"))
    assert one.notices == ()
    assert len(other.notices) == 1
    assert [[i.amount for i in b.items] for b in one.builds] == [[i.amount for i in b.items] for b in other.builds]


LOG_AGAIN = """
[[log]]
file = "log.csv"
indoor = { column = "in" }
outdoor = { column = "out" }
"""


def test_a_log_section_typed_again_is_doubted_at_its_line_and_read_once() -> None:
    again = ledger(more=LOG_AGAIN)
    (notice,) = [one for one in again.notices if one.code in CODES]
    assert notice.code == "log-named-twice"
    assert notice.line is not None
    assert notice.line > line_of("[[log]]")
    assert again.logs == ledger().logs


def test_a_second_section_for_another_column_of_the_same_file_stays() -> None:
    other = LOG_AGAIN.replace('outdoor = { column = "out" }', 'water = { column = "tank" }')
    both = ledger(more=other)
    assert len(both.logs) == 2
    assert not [one for one in both.notices if one.code in CODES]
