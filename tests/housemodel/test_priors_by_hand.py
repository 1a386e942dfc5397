"""What is known of a house before its log is read: every prior of one house worked out by hand from its measures.

Where a row names no source, the thicknesses, weights and shares that it is put together of are common practice, no
source.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ledger.heat.housemodel.priors import Figure, HouseNumbers, Prior, Scale, natural_values, priors
from ledger.heat.housemodel.structure import Bed, Floor, Structure

FLOOR_M2, COVER_M2, LOSS_W_PER_K, FAN_W, YEAR_C = 40.0, 90.0, 180.0, 125.0, 9.0
TANK_J_PER_K = 8.0 * 4.186e6
"""Eight cubic metres of water: a cube of two metres, whose six faces have 24 m2."""
SOIL_J_PER_M3_K = 2.0e6
SOIL_W_PER_M_K = 1.2
AIR_J_PER_M3_K = 1.2e3

HOUSE = HouseNumbers(
    floor_area_m2=FLOOR_M2,
    cover_area_m2=COVER_M2,
    heat_loss_w_per_k=LOSS_W_PER_K,
    heat_loss_log_sd=0.25,
    day_factor=1.0,
    bare_factor_night=1.0,
    bare_factor_day=1.0,
    tank_j_per_k=TANK_J_PER_K,
    tank_log_sd=0.08,
    fan_power_w=FAN_W,
    elevation_m=0.0,
)

LAYERS = Structure(Floor.TWO_LAYERS, Bed.NONE, tank=False)
LADDER = Structure(Floor.LADDER, Bed.NONE, tank=False)
WITH_TANK = Structure(Floor.LADDER, Bed.NONE, tank=True)
WITH_BED = Structure(Floor.LADDER, Bed.LINKED, tank=False)
ALL = Structure(Floor.TWO_LAYERS, Bed.LINKED, tank=True)

LOG, PLAIN, LOGIT = Scale.LOG, Scale.PLAIN, Scale.LOGIT

Row = tuple[Figure, Scale, float, float, str]
"""Figure, scale, centre, spread, unit."""

AIR: tuple[Row, ...] = (
    # As the ledger has it.
    (Figure.HEAT_LOSS, LOG, 180.0, 0.25, "W/K"),
    # Three metres of air, 3.6 kJ/m2/K, and four times as much of cover, beds and leaves.
    (Figure.AIR_MASS, LOG, (3.0 * AIR_J_PER_M3_K + 4.0 * 3.6e3) * 40.0, 0.7, "J/K"),
    # Five kilograms of plants, pots and earth on a square metre, 3 kJ/kg/K.
    (Figure.LIGHT_MASS, LOG, 5.0 * 3.0e3 * 40.0, 1.0, "J/K"),
    # Leaves of one floor area, 3 W/m2/K on both sides.
    (Figure.LIGHT_LINK, LOG, 2.0 * 3.0 * 40.0, 0.8, "W/K"),
    (Figure.SUN_EVAPORATED, PLAIN, 0.5, 1.0, ""),
    # A resistance of 1/6 m2·K/W (ISO 6946: 0.17 downwards).
    (Figure.FLOOR_FILM, LOG, 240.0, 0.5, "W/K"),
    # 22 of 40 m2.
    (Figure.SUN_AREA, LOG, 22.0, 0.4, "m2"),
    (Figure.SUN_FLOOR, LOGIT, 0.5, 0.8, ""),
    (Figure.SUN_LOW, PLAIN, 0.0, 0.3, ""),
    # 56 of 70 W/m2 are seen; 0.04 m2·K/W at 180 W/K over 90 m2, 2 W/m2/K, lets 0.08 of them be felt: 4.48.
    (Figure.SKY, LOG, 4.48, 0.7, "W/m2"),
)

SOIL: tuple[Row, ...] = (
    (Figure.SOIL_CONDUCTIVITY, LOG, SOIL_W_PER_M_K, 0.5, "W/m/K"),
    (Figure.SOIL_CAPACITY, LOG, SOIL_J_PER_M3_K, 0.3, "J/m3/K"),
)

TWO_LAYERS: tuple[Row, ...] = (
    # Nine centimetres: 0.09 m³ on a square metre.
    (Figure.FLOOR_TOP_MASS, LOG, 0.09 * SOIL_J_PER_M3_K * 40.0, 0.8, "J/K"),
    (Figure.FLOOR_LOW_MASS, LOG, 0.40 * SOIL_J_PER_M3_K * 40.0, 0.7, "J/K"),
    # Twenty-four centimetres of soil.
    (Figure.FLOOR_INSIDE, LOG, SOIL_W_PER_M_K / 0.24 * 40.0, 0.7, "W/K"),
    # A metre and a fifth.
    (Figure.FLOOR_DOWN, LOG, SOIL_W_PER_M_K / 1.2 * 40.0, 0.8, "W/K"),
)

GROUND: tuple[Row, ...] = (
    # The year's mean air of 9 °C, warmed by 4 K.
    (Figure.DEEP, PLAIN, 13.0, 5.0, "°C"),
    (Figure.DEEP_TREND, PLAIN, 0.0, 2.0, "K"),
    (Figure.FLOOR_START, PLAIN, 0.0, 3.0, "K"),
)

WIND: tuple[Row, ...] = ((Figure.WIND, PLAIN, 0.05, 0.04, "1/(m/s)"),)

TANK: tuple[Row, ...] = (
    # 24 m2 of faces, 10 W/m2/K.
    (Figure.TANK_LINK, LOG, 240.0, 0.8, "W/K"),
    (Figure.TANK_MASS, LOG, 8.0 * 4.186e6, 0.08, "J/K"),
    (Figure.TANK_SUN, LOGIT, 0.2, 1.0, ""),
)

BED: tuple[Row, ...] = (
    (Figure.FAN_HEAT, LOG, 1.0, 0.2, ""),
    # 125 W move a sixth of a cubic metre a second: 200 W/K.
    (Figure.BED_FLOW, LOG, AIR_J_PER_M3_K / 6.0, 0.8, "W/K"),
    (Figure.BED_NEAR_MASS, LOG, 0.25 * SOIL_J_PER_M3_K * 40.0, 1.0, "J/K"),
    (Figure.BED_FAR_MASS, LOG, 0.50 * SOIL_J_PER_M3_K * 40.0, 1.0, "J/K"),
    # Thirty centimetres, and a metre and a fifth.
    (Figure.BED_INSIDE, LOG, SOIL_W_PER_M_K / 0.30 * 40.0, 1.2, "W/K"),
    (Figure.BED_DOWN, LOG, SOIL_W_PER_M_K / 1.2 * 40.0, 1.2, "W/K"),
    (Figure.BED_START, PLAIN, 3.0, 5.0, "K"),
    (Figure.BED_DEEP, PLAIN, 2.0, 4.0, "K"),
    # A metre.
    (Figure.BED_UP, LOG, SOIL_W_PER_M_K * 40.0, 1.4, "W/K"),
)


def table(structure: Structure, house: HouseNumbers = HOUSE, *, windy: bool = False) -> tuple[Prior, ...]:
    return priors(house, structure, annual_outdoor_c=YEAR_C, windy=windy)


def one(figure: Figure, structure: Structure = ALL, house: HouseNumbers = HOUSE) -> Prior:
    (found,) = (p for p in table(structure, house) if p.figure is figure)
    return found


@pytest.mark.parametrize(
    ("structure", "windy", "expected"),
    [
        (LADDER, False, (*AIR, *SOIL, *GROUND)),
        (LADDER, True, (*AIR, *SOIL, *GROUND, *WIND)),
        (LAYERS, False, (*AIR, *TWO_LAYERS, *GROUND)),
        (WITH_TANK, False, (*AIR, *SOIL, *GROUND, *TANK)),
        (WITH_BED, False, (*AIR, *SOIL, *GROUND, *BED)),
        (ALL, True, (*AIR, *TWO_LAYERS, *GROUND, *WIND, *TANK, *BED)),
    ],
    ids=["ladder", "windy", "layers", "tank", "bed", "all"],
)
def test_a_house_of_40_m2_has_these_figures_and_no_others(
    structure: Structure, windy: bool, expected: tuple[Row, ...]
) -> None:
    found = table(structure, windy=windy)
    assert [(p.figure, p.scale, p.unit) for p in found] == [(r[0], r[1], r[4]) for r in expected]
    for prior, (figure, _, centre, sd, _) in zip(found, expected, strict=True):
        assert prior.centre == pytest.approx(centre, rel=1e-9), figure
        assert prior.sd == sd, figure


def test_a_tank_that_the_ledger_does_not_know_has_no_prior() -> None:
    found = table(WITH_TANK, replace(HOUSE, tank_j_per_k=None))
    assert [p.figure for p in found] == [r[0] for r in (*AIR, *SOIL, *GROUND)]


def test_masses_and_links_go_with_the_floor_and_the_sky_with_the_loss_of_a_square_metre() -> None:
    """Twice the floor: everything of the floor twice, nothing else moved. Half the cover: 4 W/m2/K feel 8.96 W/m2."""
    by_floor = {p.figure: p.centre for p in table(ALL, replace(HOUSE, floor_area_m2=80.0))}
    moved = {p.figure for p in table(ALL) if by_floor[p.figure] != p.centre}
    assert all(by_floor[f] == pytest.approx(2.0 * one(f).centre) for f in moved)
    still = {Figure.HEAT_LOSS, Figure.SUN_EVAPORATED, Figure.SUN_FLOOR, Figure.SUN_LOW, Figure.SKY}
    assert {r[0] for r in (*AIR, *TWO_LAYERS)} - moved == still
    assert one(Figure.SKY, house=replace(HOUSE, cover_area_m2=45.0)).centre == pytest.approx(8.96)


def test_no_heat_loss_is_surer_than_a_tenth_and_no_tank_than_three_in_a_hundred() -> None:
    sure = replace(HOUSE, heat_loss_log_sd=0.09, tank_log_sd=0.02)
    assert (one(Figure.HEAT_LOSS, house=sure).sd, one(Figure.TANK_MASS, house=sure).sd) == (0.10, 0.03)


def test_a_fan_of_unknown_power_is_taken_for_one_of_fifty_watts() -> None:
    """40 % of the 125 W that move 200 W/K: 80 W/K; one of 75 W moves 60 %."""
    for watts, expected in ((0.0, 80.0), (49.0, 80.0), (50.0, 80.0), (75.0, 120.0)):
        assert one(Figure.BED_FLOW, house=replace(HOUSE, fan_power_w=watts)).centre == pytest.approx(expected)


def test_a_figure_is_fitted_on_its_own_scale_and_comes_back_from_it() -> None:
    """ln 1.2; a fifth is one to four, −ln 4; one spread of a tank's sun above its centre is e/4 to one."""
    assert one(Figure.SOIL_CONDUCTIVITY, LADDER).fitted_centre == pytest.approx(np.log(1.2))
    assert one(Figure.TANK_SUN).fitted_centre == pytest.approx(-np.log(4.0))
    assert one(Figure.DEEP).fitted_centre == 13.0
    fitted = np.array([[np.log(1.5), -np.log(4.0) + 1.0, 11.0]])
    three = (one(Figure.SOIL_CONDUCTIVITY, LADDER), one(Figure.TANK_SUN), one(Figure.DEEP))
    found = {figure: values.tolist() for figure, values in natural_values(three, fitted).items()}
    assert found[Figure.SOIL_CONDUCTIVITY] == pytest.approx([1.5])
    assert found[Figure.TANK_SUN] == pytest.approx([np.e / (4.0 + np.e)])
    assert found[Figure.DEEP] == [11.0]
