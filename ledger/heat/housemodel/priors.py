"""What is known of a house's physical figures before the log is read: centre, spread, unit, why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from ledger.heat.housemodel.structure import Bed, Floor, Structure

Floats = NDArray[np.float64]


class Figure(StrEnum):
    """The figures that are fitted."""

    HEAT_LOSS = "heat loss to outdoors"
    AIR_MASS = "air and what swings with it"
    LIGHT_MASS = "plants, pots and other light things"
    LIGHT_LINK = "air to light things"
    SUN_EVAPORATED = "how much less warmer plants leave of the sun"
    FLOOR_FILM = "air to floor surface"
    FLOOR_TOP_MASS = "floor, upper layer"
    FLOOR_LOW_MASS = "floor, lower layer"
    FLOOR_INSIDE = "upper to lower floor layer"
    FLOOR_DOWN = "lower floor layer to deep ground"
    SOIL_CONDUCTIVITY = "conductivity of the soil"
    SOIL_CAPACITY = "heat capacity of the soil"
    SUN_AREA = "sun taken up, as floor lit in full"
    SUN_FLOOR = "share of the sun that falls on the floor"
    SUN_LOW = "how much more a low sun gives"
    SKY = "loss to a clear sky"
    WIND = "more loss per wind"
    DEEP = "deep ground"
    DEEP_TREND = "change of the deep ground over the log"
    FLOOR_START = "floor at the start, over the first days' air"
    TANK_LINK = "air to tank"
    TANK_MASS = "tank"
    TANK_SUN = "share of the floor's sun that the tank takes"
    FAN_HEAT = "fan's heat over its stated power"
    BED_FLOW = "air to bed while the fan runs"
    BED_NEAR_MASS = "bed near the tubes"
    BED_FAR_MASS = "bed farther off"
    BED_INSIDE = "near to far bed"
    BED_UP = "bed to floor"
    BED_DOWN = "bed to deep ground"
    BED_START = "bed at the start, over the ground around it"
    BED_DEEP = "ground around the bed, over that under the floor"


class Scale(StrEnum):
    """On which scale a figure is fitted."""

    LOG = "log"
    PLAIN = "plain"
    LOGIT = "logit"


@dataclass(frozen=True, slots=True)
class Prior:
    """A figure before the log is read.

    `centre` in `unit`; `sd` on the fitting scale (natural logarithm, the unit itself, or log-odds); `why`: what it
    rests on.
    """

    figure: Figure
    scale: Scale
    centre: float
    sd: float
    unit: str
    why: str

    @property
    def fitted_centre(self) -> float:
        """The centre on the fitting scale."""
        if self.scale is Scale.LOG:
            return float(np.log(self.centre))
        if self.scale is Scale.LOGIT:
            return float(np.log(self.centre / (1.0 - self.centre)))
        return self.centre

    def natural(self, fitted: Floats) -> Floats:
        """From the fitting scale to the unit."""
        if self.scale is Scale.LOG:
            return np.exp(fitted)
        if self.scale is Scale.LOGIT:
            return 1.0 / (1.0 + np.exp(-fitted))
        return fitted


@dataclass(frozen=True, slots=True)
class HouseNumbers:
    """What the ledger says of the house, as the model needs it.

    Attributes
    ----------
    floor_area_m2, cover_area_m2 : areas. [m2]
    heat_loss_w_per_k : coefficient as the house stands, at night. [W/K]
    heat_loss_log_sd : its doubt, standard deviation of the logarithm.
    day_factor : coefficient by day over that by night (a screen is open by day).
    bare_factor_night, bare_factor_day : coefficient of the bare house over `heat_loss_w_per_k`.
    tank_j_per_k, tank_log_sd : heat capacity of the logged tank and its doubt; None without one. [J/K]
    fan_power_w : what the fan draws when it runs, 0 where unknown. [W]
    elevation_m : height above the sea. [m]
    """

    floor_area_m2: float
    cover_area_m2: float
    heat_loss_w_per_k: float
    heat_loss_log_sd: float
    day_factor: float
    bare_factor_night: float
    bare_factor_day: float
    tank_j_per_k: float | None
    tank_log_sd: float
    fan_power_w: float
    elevation_m: float


LEAST_HEAT_LOSS_LOG_SD = 0.10
"""No table of U-values is surer than this: wind, wet and clear skies move the loss of one cover by a tenth."""
CLEAR_SKY_W_PER_M2 = 70.0
OUTER_FILM_M2_K_PER_W = 0.04
SEES_OF_THE_SKY = 0.8
"""What a cover loses to a clear sky is felt indoors in the measure that the outside is coupled to the inside: R_se · U
of it (ISO 13790:2008, 11.3.5; R_se 0.04, ISO 6946). 70 W/m2: net long wave of a clear night, FAO-56, equation 39, at
5 °C and 0.7 kPa. The share of the sky that roof and walls see together: common practice, no source."""
PRACTICE = "common practice, no source"


def priors(house: HouseNumbers, structure: Structure, *, annual_outdoor_c: float, windy: bool) -> tuple[Prior, ...]:
    """Every figure of a structure before the log is read.

    The one anchor in watts is the ledger's heat loss (and a tank of known mass, a fan or heater of known power). All
    other conductances and masses are known to a factor only, wide enough not to drag the scale along.

    Parameters
    ----------
    house : the ledger's figures.
    structure : which masses.
    annual_outdoor_c : outdoor temperature over a whole year, as the log lets it be judged. [°C]
    windy : a wind channel is logged.

    Returns
    -------
    tuple of Prior
    """
    found = (
        *_air(house),
        *_floor(house, structure),
        *_ground(annual_outdoor_c),
        *(
            (Prior(Figure.WIND, Scale.PLAIN, 0.05, 0.04, "1/(m/s)", "J. Agric. Meteorology 35(1): 0.08 on glass"),)
            * windy
        ),
    )
    if structure.tank and house.tank_j_per_k is not None:
        found += _tank(house, house.tank_j_per_k)
    if structure.bed is not Bed.NONE:
        found += _bed(house)
    return found


def fitted_centres(table: Sequence[Prior]) -> Floats:
    """Centres on the fitting scale."""
    return np.array([p.fitted_centre for p in table])


def fitted_sds(table: Sequence[Prior]) -> Floats:
    """Standard deviations on the fitting scale."""
    return np.array([p.sd for p in table])


def natural_values(table: Sequence[Prior], fitted: Floats) -> dict[Figure, Floats]:
    """Figures in their units, one entry a row of `fitted`."""
    return {p.figure: p.natural(fitted[:, i]) for i, p in enumerate(table)}


def _log(figure: Figure, centre: float, sd: float, unit: str, why: str = PRACTICE) -> Prior:
    return Prior(figure, Scale.LOG, centre, sd, unit, why)


def _air(house: HouseNumbers) -> tuple[Prior, ...]:
    area = house.floor_area_m2
    loss_sd = max(LEAST_HEAT_LOSS_LOG_SD, house.heat_loss_log_sd)
    return (
        _log(Figure.HEAT_LOSS, house.heat_loss_w_per_k, loss_sd, "W/K", "the ledger's own figure with its range"),
        _log(Figure.AIR_MASS, 18e3 * area, 0.7, "J/K", "three metres of air, cover, leaves: 5 to 40 kJ/m2/K"),
        _log(Figure.LIGHT_MASS, 15e3 * area, 1.0, "J/K", "3 to 15 kg of wet plants and pots on a square metre"),
        _log(
            Figure.LIGHT_LINK, 6.0 * area, 0.8, "W/K", "leaves of one to two floor areas, 3 to 8 W/m2/K on both sides"
        ),
        Prior(Figure.SUN_EVAPORATED, Scale.PLAIN, 0.5, 1.0, "", "half the sun on wet leaves, or none, or nearly all"),
        _log(Figure.FLOOR_FILM, 6.0 * area, 0.5, "W/K", "convection and radiation at a floor, ISO 6946: 5.9 W/m2/K"),
        _log(Figure.SUN_AREA, 0.55 * area, 0.4, "m2", "light let in, less what plants and leaks take away"),
        Prior(Figure.SUN_FLOOR, Scale.LOGIT, 0.5, 0.8, "", PRACTICE),
        Prior(Figure.SUN_LOW, Scale.PLAIN, 0.0, 0.3, "", PRACTICE),
        _log(Figure.SKY, _clear_sky_w_per_m2(house), 0.7, "W/m2", "long wave to a clear sky, felt by R_se · U of it"),
    )


def _clear_sky_w_per_m2(house: HouseNumbers) -> float:
    """What a square metre of cover takes more from the house under a clear sky [W/m2]."""
    through = house.heat_loss_w_per_k / house.cover_area_m2
    return CLEAR_SKY_W_PER_M2 * SEES_OF_THE_SKY * OUTER_FILM_M2_K_PER_W * through


def _floor(house: HouseNumbers, structure: Structure) -> tuple[Prior, ...]:
    area = house.floor_area_m2
    if structure.floor is Floor.LADDER:
        return (
            _log(Figure.SOIL_CONDUCTIVITY, 1.2, 0.5, "W/m/K", "soils 0.5 to 2.5, ISO 13370: 1.5 to 2.0"),
            _log(Figure.SOIL_CAPACITY, 2.0e6, 0.3, "J/m3/K", "most soils 1.3 to 2.5, ISO 13370: 2 to 3"),
        )
    return (
        _log(Figure.FLOOR_TOP_MASS, 1.8e5 * area, 0.8, "J/K", "9 cm of soil: what a day's swing reaches"),
        _log(Figure.FLOOR_LOW_MASS, 8.0e5 * area, 0.7, "J/K", "40 cm of soil: what a week's swing reaches"),
        _log(Figure.FLOOR_INSIDE, 5.0 * area, 0.7, "W/K", "soil of 1.2 W/m/K over a quarter of a metre"),
        _log(Figure.FLOOR_DOWN, 1.0 * area, 0.8, "W/K", "soil of 1.2 W/m/K over more than a metre"),
    )


def _ground(annual_outdoor_c: float) -> tuple[Prior, ...]:
    deep = annual_outdoor_c + 4.0
    return (
        Prior(Figure.DEEP, Scale.PLAIN, deep, 5.0, "°C", "the year's mean air, warmed by a glazed house"),
        Prior(Figure.DEEP_TREND, Scale.PLAIN, 0.0, 2.0, "K", PRACTICE),
        Prior(Figure.FLOOR_START, Scale.PLAIN, 0.0, 3.0, "K", PRACTICE),
    )


def _tank(house: HouseNumbers, tank_j_per_k: float) -> tuple[Prior, ...]:
    square_metres = (tank_j_per_k / 4.186e6) ** (2.0 / 3.0) * 6.0
    return (
        _log(Figure.TANK_LINK, 10.0 * square_metres, 0.8, "W/K", "10 W/m2/K on the faces of a cube of that volume"),
        _log(Figure.TANK_MASS, tank_j_per_k, max(0.03, house.tank_log_sd), "J/K", "the ledger's own figure"),
        Prior(Figure.TANK_SUN, Scale.LOGIT, 0.2, 1.0, "", PRACTICE),
    )


def _bed(house: HouseNumbers) -> tuple[Prior, ...]:
    area = house.floor_area_m2
    found = (
        _log(Figure.FAN_HEAT, 1.0, 0.2, "", "what a fan draws is seldom what its plate says"),
        _log(
            Figure.BED_FLOW,
            1.6 * max(house.fan_power_w, 50.0),
            0.8,
            "W/K",
            "1.3 L/s of air per watt of fan, or more of which a part is exchanged",
        ),
        _log(Figure.BED_NEAR_MASS, 0.25 * area * 2e6, 1.0, "J/K", "a quarter of a metre of soil under the floor"),
        _log(Figure.BED_FAR_MASS, 0.50 * area * 2e6, 1.0, "J/K", "half a metre of soil under the floor"),
        _log(Figure.BED_INSIDE, 4.0 * area, 1.2, "W/K", "soil of 1.2 W/m/K over a third of a metre"),
        _log(Figure.BED_DOWN, 1.0 * area, 1.2, "W/K", "soil of 1.2 W/m/K over more than a metre"),
        Prior(Figure.BED_START, Scale.PLAIN, 3.0, 5.0, "K", "a summer's warmth left in the bed"),
        Prior(Figure.BED_DEEP, Scale.PLAIN, 2.0, 4.0, "K", "tubes lie where a summer's warmth still is"),
    )
    return (*found, _log(Figure.BED_UP, 1.2 * area, 1.4, "W/K", "soil of 1.2 W/m/K over a metre, or next to nothing"))
