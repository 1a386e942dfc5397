"""From measures to surfaces, edges and leaks; every area reckoned by hand."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.intake.houseforms import gable, lean_to, round_house
from ledger.intake.ledger_file import ledger_of
from ledger.model.house import House
from ledger.model.ledger import Ledger
from ledger.model.values import Basis
from tests.intake_ledger.test_least_ledger import LEAST

START = LEAST.index("[house]")
END = LEAST.index("[hold]")


def ledger_with(house: str) -> Ledger:
    return ledger_of(LEAST[:START] + "[house]\n" + house + "\n" + LEAST[END:], "farm.toml")


def house_with(house: str) -> House:
    return ledger_with(house).house


def test_a_3_4_5_gable_is_mental_arithmetic() -> None:
    """Length 10, width 8, side 2, ridge 5: rise 3, half width 4, slope 5. Floor 80; volume 80·3.5 = 280;
    cover 2·10·(2 + 5) + 2·(8·2 + 8·3/2) = 140 + 56 = 196; footing 36.
    """
    shape = gable(10.0, 8.0, 2.0, 5.0)
    assert (shape.floor_area_m2, shape.volume_m3) == (80.0, 280.0)
    assert shape.cover_area_m2 == pytest.approx(196.0)
    assert shape.footing_m == 36.0


def test_a_3_4_5_lean_to_is_mental_arithmetic() -> None:
    """Length 10, width 4, low wall 1, high wall 4: slope 5. Floor 40; volume 40·2.5 = 100;
    cover 10·(1 + 5) + 2·4·2.5 = 60 + 20 = 80; footing 10 + 2·4 = 18 (the wall it leans on is not counted).
    """
    shape = lean_to(10.0, 4.0, 1.0, 4.0)
    assert (shape.floor_area_m2, shape.volume_m3) == (40.0, 100.0)
    assert shape.cover_area_m2 == pytest.approx(80.0)
    assert shape.footing_m == 18.0


def test_a_half_circle_hoop_of_6_m_is_half_a_cylinder() -> None:
    """Length 10, width 6, ridge 3: arc π·3, end π·9/2. Volume 45π; cover 30π + 9π = 39π; footing 32."""
    shape = round_house(10.0, 6.0, 0.0, 3.0)
    assert shape.volume_m3 == pytest.approx(45.0 * math.pi)
    assert shape.cover_area_m2 == pytest.approx(39.0 * math.pi)
    assert (shape.floor_area_m2, shape.footing_m) == (60.0, 32.0)


def test_a_hoop_higher_than_half_its_width_stands_on_walls() -> None:
    """Ridge 4 on width 6 is the half circle of 3 m over walls of 1 m."""
    assert round_house(10.0, 6.0, 0.0, 4.0) == round_house(10.0, 6.0, 1.0, 4.0)


def test_a_hoop_on_side_walls_adds_a_box() -> None:
    """The same hoop on walls of 1 m: volume + 60, cover + 2·10 + 2·6 = 32."""
    shape = round_house(10.0, 6.0, 1.0, 4.0)
    assert shape.volume_m3 == pytest.approx(45.0 * math.pi + 60.0)
    assert shape.cover_area_m2 == pytest.approx(39.0 * math.pi + 32.0)


@settings(max_examples=60)
@given(st.floats(3, 40), st.floats(2, 12), st.floats(0.5, 3), st.floats(0.2, 4))
def test_every_form_encloses_at_least_what_a_flat_roof_would(
    length: float, width: float, side: float, rise: float
) -> None:
    for form in (gable, round_house):
        shape = form(length, width, side, side + rise)
        assert shape.cover_area_m2 > length * width + 2 * (length + width) * side
        assert length * width * side < shape.volume_m3 < length * width * (side + rise)


@settings(max_examples=60)
@given(st.floats(3, 40), st.floats(2, 12), st.floats(0.05, 1.0))
def test_a_flatter_hoop_agrees_with_its_polygon(length: float, width: float, flatness: float) -> None:
    """The arc by 1000 chords: an independent reckoning of arc length and segment area."""
    ridge = flatness * width / 2
    shape = round_house(length, width, 0.0, ridge)
    radius = (width**2 / 4 + ridge**2) / (2 * ridge)
    half = math.acos(max(-1.0, min(1.0, (radius - ridge) / radius)))
    angles = [-half + 2 * half * n / 1000 for n in range(1001)]
    points = [(radius * math.sin(a), radius * math.cos(a) - (radius - ridge)) for a in angles]
    arc = sum(math.dist(p, q) for p, q in pairwise(points))
    area = abs(sum(p[0] * q[1] - q[0] * p[1] for p, q in zip(points, [*points[1:], points[0]], strict=True))) / 2
    assert shape.volume_m3 == pytest.approx(length * area, rel=1e-4)
    assert shape.cover_area_m2 == pytest.approx(length * arc + 2 * area, rel=1e-4)


GABLE = 'form = "gable"\nlength = "10 m"\nwidth = "8 m"\nside_height = "2 m"\nridge_height = "5 m"\n'


def test_walls_that_differ_are_taken_off_the_cover() -> None:
    """Cover 196 less a wall of 20 m2 and a door of 2 m2 leaves 174."""
    house = house_with(
        GABLE
        + 'cover = "single glass"\n[[house.surface]]\nname = "north wall"\narea = "20 m2"\nu_value = "0.45 W/m2/K"\n'
        + '[[house.surface]]\nname = "door"\narea = "2 m2"\ncover = "wooden wall"'
    )
    assert [(s.name, round(s.area_m2.likely, 9)) for s in house.surfaces] == [
        ("cover", 174.0),
        ("north wall", 20.0),
        ("door", 2.0),
    ]
    assert house.surfaces[2].u_value_w_per_m2_k.basis is Basis.ASSUMED


def test_a_surface_beyond_the_form_takes_nothing_off_the_cover() -> None:
    wall = '[[house.surface]]\nname = "back wall"\narea = "20 m2"\nu_value = "0.45 W/m2/K"\nbeyond_form = true'
    house = house_with(GABLE + 'cover = "single glass"\n' + wall)
    assert [round(s.area_m2.likely, 9) for s in house.surfaces] == [196.0, 20.0]


def test_without_a_cover_of_the_form_the_surfaces_are_the_whole_envelope() -> None:
    house = house_with(GABLE + '[[house.surface]]\nname = "all"\narea = "190 m2"\nu_value = "3 W/m2/K"')
    assert [(s.name, s.area_m2.likely) for s in house.surfaces] == [("all", 190.0)]
    assert (house.floor_area_m2.likely, house.volume_m3.likely) == (80.0, 280.0)


def test_walls_that_take_the_whole_cover_leave_no_cover() -> None:
    house = house_with(
        GABLE + 'cover = "single glass"\n[[house.surface]]\nname = "all"\narea = "196 m2"\nu_value = "3 W/m2/K"'
    )
    assert [s.name for s in house.surfaces] == ["all"]


def test_a_u_value_of_the_form_stands_in_place_of_the_tables() -> None:
    ledger = ledger_with(GABLE + 'cover = "single glass"\nu_value = "5.5 W/m2/K"')
    assert ledger.house.surfaces[0].u_value_w_per_m2_k.likely == 5.5
    assert ledger.house.surfaces[0].cover == "single glass"
    assert "house.u_value" not in {one.path for one in ledger.assumed}


def test_a_house_of_surfaces_alone_takes_the_least_perimeter_of_its_floor() -> None:
    """4·√100 = 40 m at the uninsulated value, assumed and listed: never 0."""
    ledger = ledger_with(
        'floor_area = "100 m2"\nvolume = "280 m3"\n'
        '[[house.surface]]\nname = "all"\narea = "300 m2"\nu_value = "3 W/m2/K"'
    )
    (edge,) = ledger.house.edges
    assert edge.length_m.likely == pytest.approx(40.0)
    assert edge.loss_w_per_m_k.likely == pytest.approx(1.263, abs=6e-4)
    listed = {one.path: one for one in ledger.assumed}
    assert "root of the floor" in listed["house.edge.length"].source
    assert "Washington" in listed["house.edge.loss"].source


def test_length_and_width_without_a_form_give_the_perimeter() -> None:
    house = house_with(
        'length = "20 m"\nwidth = "5 m"\nfloor_area = "100 m2"\nvolume = "280 m3"\n'
        '[[house.surface]]\nname = "all"\narea = "300 m2"\nu_value = "3 W/m2/K"'
    )
    assert house.edges[0].length_m.likely == pytest.approx(50.0)


def test_an_edge_without_a_loss_is_uninsulated() -> None:
    ledger = ledger_with(GABLE + 'cover = "single glass"\n[[house.edge]]\nlength = "36 m"')
    assert ledger.house.edges[0].loss_w_per_m_k.basis is Basis.ASSUMED
    assert "house.edge[1].loss" in {one.path for one in ledger.assumed}


def test_floor_and_volume_may_be_given_in_place_of_the_forms() -> None:
    house = house_with(GABLE + 'cover = "single glass"\nfloor_area = "75 m2"\nvolume = "9000 ft3"')
    assert house.floor_area_m2.likely == 75.0
    assert house.volume_m3.likely == pytest.approx(9000 * 0.0283168466)


def test_a_hoop_from_the_ground_needs_no_side_height() -> None:
    ledger = ledger_with('form = "round"\nlength = "10 m"\nwidth = "6 m"\nridge_height = "3 m"\ncover = "double film"')
    assert ledger.house.volume_m3.likely == pytest.approx(45.0 * math.pi)
    assert "house.side_height" in {one.path for one in ledger.assumed}
    assert ledger.house.surfaces[0].cover == "double PE film"


@pytest.mark.parametrize(
    ("cover", "low", "likely", "high"),
    [("double PE film", 0.375, 0.75, 1.5), ("single glass", 0.45, 0.9, 1.8)],
)
def test_air_changes_follow_the_cover_when_not_stated(cover: str, low: float, likely: float, high: float) -> None:
    """Univ. of Georgia Extension B792: new double film 0.5 to 1.0, new glass 0.75 to 1.0 per hour."""
    leaks = house_with(GABLE + f'cover = "{cover}"').air_changes_per_h
    assert (leaks.low, leaks.likely, leaks.high, leaks.basis) == (low, likely, high, Basis.ASSUMED)


def test_without_a_known_cover_the_air_changes_are_common_practice() -> None:
    ledger = ledger_with(GABLE + 'u_value = "3 W/m2/K"')
    assert ledger.house.air_changes_per_h.likely == 1.0
    assert "no source" in next(one.source for one in ledger.assumed if one.path == "house.air_changes")


def test_areas_of_a_form_take_the_range_of_its_loosest_measure() -> None:
    """Measures metered (3 %) but the width estimated (25 %): floor and cover within 25 %."""
    measured = GABLE.replace('"10 m"', '{ likely = "10 m", basis = "metered" }')
    house = house_with(measured + 'cover = "single glass"')
    assert (house.floor_area_m2.low, house.floor_area_m2.high) == pytest.approx((60.0, 100.0))
    all_measured = "\n".join(
        f'{line.split(" = ")[0]} = {{ likely = {line.split(" = ")[1]}, basis = "metered" }}'
        for line in GABLE.strip().split("\n")[1:]
    )
    house = house_with('form = "gable"\n' + all_measured + '\ncover = "single glass"')
    assert (house.floor_area_m2.low, house.floor_area_m2.high) == pytest.approx((77.6, 82.4))
    assert house.floor_area_m2.basis is Basis.METERED


def test_the_floor_taken_for_the_cover_is_doubted() -> None:
    ledger = ledger_with(
        'floor_area = "100 m2"\nvolume = "280 m3"\n'
        '[[house.surface]]\nname = "all"\narea = "100 m2"\nu_value = "3 W/m2/K"'
    )
    assert "floor-for-cover" in {notice.code for notice in ledger.notices}


@pytest.mark.parametrize("u_value", ["30 W/m2/K", "0.02 W/m2/K"])
def test_a_u_value_out_of_this_world_is_doubted_with_its_line(u_value: str) -> None:
    ledger = ledger_with(GABLE + f'u_value = "{u_value}"')
    (notice,) = [notice for notice in ledger.notices if notice.code == "u-value-unit"]
    assert notice.line == 12
