"""Every default of ours: value, range, unit, and where it comes from.

A row's source is a publication, or the words "common practice, no source", or "from memory" with the publication it is
remembered from. What is read here enters an answer only where the grower said nothing, and is then listed as assumed.
Figures printed in US units are given as printed and converted here, once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from ledger.units import Dimension, to_held

NO_SOURCE = "common practice, no source"
GUIDELINE_REGULATION = "40 CFR 98, table C-1 (2016)"


@dataclass(frozen=True, slots=True)
class Row:
    """One default: likely value, low and high end, unit, source."""

    likely: float
    low: float
    high: float
    unit: str
    source: str

    def words(self) -> str:
        """The value with its unit and range, as the list of assumptions prints it."""
        unit = f" {self.unit}" if self.unit else ""
        if self.low == self.high:
            return f"{self.likely:.4g}{unit}"
        return f"{self.likely:.4g}{unit} ({self.low:.4g} to {self.high:.4g})"


class Knowing(StrEnum):
    """How a value is known; the same words as the ledger's `basis`."""

    METERED = "metered"
    RECEIPT = "receipt"
    QUOTED = "quoted"
    PUBLISHED = "published"
    ESTIMATED = "estimated"
    ASSUMED = "assumed"


HALF_WIDTHS: Mapping[Knowing, float] = {
    Knowing.METERED: 0.03,
    Knowing.RECEIPT: 0.0,
    Knowing.QUOTED: 0.10,
    Knowing.PUBLISHED: 0.15,
    Knowing.ESTIMATED: 0.25,
    Knowing.ASSUMED: 0.25,
}
"""Half-width of a plain value, as a share of it, by how it is known. Common practice, no source."""

U_VALUE_LEAST = 0.15
"""A plain U-value is never surer than this: wind alone moves glass by 8 % per m/s
(J. Agric. Meteorology 35(1), 1979)."""

AIR_CHANGES_LEAST = (0.50, 1.00)
"""A plain air-change rate is never surer than half to double. Common practice, no source."""

LIFT_HALF_WIDTH = 0.50
"""A plain lift of the bare house. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Cover:
    """A kind of cover: U-value [W/m2/K], share of light it lets through, air changes of a house under it."""

    name: str
    u_value: Row
    light: Row | None
    air_changes: Row
    also: tuple[str, ...] = ()


def _u_us(likely: float, low: float, high: float, source: str) -> Row:
    """A U-value printed in Btu/h/ft2/degF."""
    values = [to_held(v, "Btu/h/ft2/degF", Dimension.U_VALUE) for v in (likely, low, high)]
    return _u(values[0], values[1], values[2], source)


def _u(likely: float, low: float, high: float, source: str) -> Row:
    """A U-value in W/m2/K, never surer than a plain one."""
    least, most = likely * (1.0 - U_VALUE_LEAST), likely * (1.0 + U_VALUE_LEAST)
    return Row(likely, min(low, least), max(high, most), "W/m2/K", source)


_EXTENSION = "eXtension farm energy, unit 2.6, Glazing Materials"
_EP406 = "from memory (ANSI/ASABE EP406; NRAES-33)"
_VENDOR = "weak source (a vendor's page)"
_R_LIST = "weak source (a list of R-values)"
_B792 = "Univ. of Georgia Extension B792 (secondary source)"
_LIGHT_WEAK = "weak source (growers' association text on a vendor's page)"

_LEAKS_GLASS = Row(
    0.9, 0.45, 1.8, "air changes per hour", f"{_B792}: new glass or fibreglass 0.75 to 1.0; widened to half and double"
)
_LEAKS_SINGLE_FILM = Row(1.0, 0.5, 2.0, "air changes per hour", NO_SOURCE)
_LEAKS_DOUBLE_FILM = Row(
    0.75, 0.375, 1.5, "air changes per hour", f"{_B792}: new double film 0.5 to 1.0; widened to half and double"
)
_LEAKS_RIGID = Row(
    0.75, 0.375, 1.5, "air changes per hour", f"taken as for double film ({_B792}); {NO_SOURCE} for twin-wall sheets"
)
_LEAKS_WALL = Row(0.5, 0.25, 1.0, "air changes per hour", NO_SOURCE)
AIR_CHANGES_ANY = Row(1.0, 0.5, 2.0, "air changes per hour", NO_SOURCE)

_ROWS = (
    Cover(
        "single glass",
        _u_us(1.1, 0.935, 1.265, f"{_EP406}; within 1.0 to 1.2 Btu/h/ft2/degF of {_EXTENSION}"),
        Row(0.88, 0.85, 0.90, "", _LIGHT_WEAK),
        _LEAKS_GLASS,
        ("glass", "single-pane glass", "glass 3 mm", "glass 4 mm"),
    ),
    Cover(
        "double glass",
        _u(2.81, 2.39, 3.4, f"{_R_LIST}; {_EXTENSION} has 3.4 to 4.0 for any double layer"),
        Row(0.77, 0.74, 0.80, "", _LIGHT_WEAK),
        _LEAKS_GLASS,
        ("double glazing", "insulating glass"),
    ),
    Cover(
        "single PE film",
        _u_us(1.15, 0.9775, 1.3225, f"{_EP406}; within 1.0 to 1.2 Btu/h/ft2/degF of {_EXTENSION}"),
        None,
        _LEAKS_SINGLE_FILM,
        ("single film", "single polyethylene", "PE film", "polyethylene film", "single poly", "film"),
    ),
    Cover(
        "double PE film",
        _u_us(0.70, 0.595, 0.805, f"{_EP406}; upper end of 0.6 to 0.7 Btu/h/ft2/degF of {_EXTENSION}"),
        Row(0.775, 0.75, 0.80, "", _EP406),
        _LEAKS_DOUBLE_FILM,
        ("double film", "double polyethylene", "inflated double film", "double poly", "double PE"),
    ),
    Cover(
        "double PE film with night screen",
        _u_us(0.40, 0.30, 0.50, _EP406),
        None,
        _LEAKS_DOUBLE_FILM,
        ("double film with screen",),
    ),
    Cover(
        "single PVC film", _u(5.41, 4.6, 6.5, "J. Agric. Meteorology 35(1), 1979, at 1 m/s"), None, _LEAKS_SINGLE_FILM
    ),
    Cover(
        "twin-wall polycarbonate 4 mm",
        _u(3.9, 3.3, 4.5, NO_SOURCE),
        Row(0.80, 0.78, 0.82, "", _EXTENSION),
        _LEAKS_RIGID,
        ("polycarbonate 4 mm",),
    ),
    Cover(
        "twin-wall polycarbonate 6 mm",
        _u(3.58, 3.04, 4.12, _R_LIST),
        Row(0.80, 0.78, 0.82, "", _EXTENSION),
        _LEAKS_RIGID,
        ("polycarbonate 6 mm",),
    ),
    Cover(
        "twin-wall polycarbonate 8 mm",
        _u(3.3, 2.8, 3.8, f"{_VENDOR} has 3.0; {_EP406} has 3.7"),
        Row(0.80, 0.78, 0.82, "", _EXTENSION),
        _LEAKS_RIGID,
        ("polycarbonate 8 mm",),
    ),
    Cover(
        "twin-wall polycarbonate 10 mm",
        _u(3.04, 2.58, 3.5, _R_LIST),
        Row(0.80, 0.78, 0.82, "", _EXTENSION),
        _LEAKS_RIGID,
        ("polycarbonate 10 mm",),
    ),
    Cover(
        "triple-wall polycarbonate 16 mm",
        _u(2.33, 1.98, 2.68, _R_LIST),
        None,
        _LEAKS_RIGID,
        ("polycarbonate 16 mm", "multi-wall polycarbonate 16 mm"),
    ),
    Cover(
        "any single layer",
        _u_us(1.1, 0.935, 1.265, f"{_EXTENSION}: 1.0 to 1.2 Btu/h/ft2/degF"),
        None,
        _LEAKS_SINGLE_FILM,
        ("fibreglass", "fiberglass", "single acrylic", "corrugated polycarbonate"),
    ),
    Cover(
        "any double layer",
        _u_us(0.65, 0.5525, 0.7475, f"{_EXTENSION}: 0.6 to 0.7 Btu/h/ft2/degF"),
        None,
        _LEAKS_DOUBLE_FILM,
        ("double acrylic", "acrylic multiwall"),
    ),
    Cover("insulated wall", _u(0.45, 0.3, 0.7, NO_SOURCE), None, _LEAKS_WALL, ("opaque insulated wall",)),
    Cover("plain masonry wall", _u(2.0, 1.5, 2.6, NO_SOURCE), None, _LEAKS_WALL, ("brick wall", "stone wall")),
    Cover("wooden wall", _u(2.2, 1.6, 3.0, NO_SOURCE), None, _LEAKS_WALL, ("boards", "plank wall")),
)
COVERS: Mapping[str, Cover] = {cover.name: cover for cover in _ROWS}

_WALL_FEW = ("twin-wall", "twinwall", "twin wall", "double-wall", "multiwall")


def folded(text: str) -> str:
    """A name without case, doubled blanks or hyphens, for comparing."""
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())


_BY_NAME = {folded(name): cover for cover in _ROWS for name in (cover.name, *cover.also)}


def cover_named(name: str) -> Cover | None:
    """The cover of that name, in any case and with or without hyphens; None when it is not in the table."""
    key = folded(name).replace("twinwall", "twin wall").replace("mm", " mm")
    return _BY_NAME.get(" ".join(key.split()))


def cover_names() -> tuple[str, ...]:
    """Every name that `cover_named` knows, the table's own first."""
    own = tuple(COVERS)
    return own + tuple(name for cover in _ROWS for name in cover.also)


def _edge_us(likely: float, low: float, high: float, source: str) -> Row:
    values = [to_held(v, "Btu/h/ft/degF", Dimension.LINEAR_LOSS) for v in (likely, low, high)]
    return Row(values[0], values[1], values[2], "W/m/K", source)


_CODE = "Washington Administrative Code 51-11C, table A106.1 (2013), slab of a house"
EDGE_UNINSULATED = _edge_us(0.73, 0.6205, 0.84, f"{_CODE}, no insulation 0.73 (heated slab 0.84) Btu/h/ft/degF")
EDGE_INSULATED = _edge_us(0.58, 0.493, 0.667, f"{_CODE}, R-5, 2 ft vertical, 0.58 Btu/h/ft/degF")

WATER_HEAT_CAPACITY = Row(4.18, 4.18, 4.18, "MJ/m3/K", "physics: volumetric heat capacity of water near 15 °C")
NIGHT_FLOOR_HEAT = Row(25.0, 10.0, 50.0, "W/m2", NO_SOURCE)
SUN_GAIN = Row(0.5, 0.3, 0.7, "", "no source")
THERMOMETER_ACCURACY = Row(0.5, 0.5, 0.5, "K either way", NO_SOURCE)
NIGHTS_FOR_A_HEATER = Row(
    1.0,
    0.8,
    1.43,
    "of the heat that a heater gives",
    "up to 1 / 0.7: 70 to 80 % of heating is at night (eXtension, Thermal Curtains); down to 0.8: no source",
)

CROP_BASE_C = Row(10.0, 10.0, 10.0, "degC", f"{NO_SOURCE} (50 degF is usual for warm-season crops)")
STUDY_YEARS = Row(25, 25, 25, "years", "25-year horizon; the usual limit of NIST Handbook 135 studies, from memory")
DISCOUNT_RATE = Row(0.06, 0.06, 0.06, "a year", f"{NO_SOURCE}; NPV at 3 % and 9 % is shown beside it")
INFLATION = Row(0.02, 0.01, 0.04, "a year", NO_SOURCE)
SEASON_NORTH = ("10-01", "04-30")
SEASON_SOUTH = ("04-01", "10-31")
SEASON_SOURCE = NO_SOURCE
LOAN_PAYMENTS_PER_YEAR = Row(12, 12, 12, "a year", NO_SOURCE)
POWER_USABLE = Row(0.8, 0.5, 0.95, "", NO_SOURCE)
INVERTER_EFFICIENCY = Row(0.9, 0.8, 0.95, "", NO_SOURCE)


def _more_resistance(with_it: tuple[float, float, float], without: tuple[float, float, float], source: str) -> Row:
    """What a layer adds to the resistance of a cover, from U-values with and without it in Btu/h/ft2/degF."""
    u_with, u_without = (
        [to_held(v, "Btu/h/ft2/degF", Dimension.U_VALUE) for v in values] for values in (with_it, without)
    )
    likely, low, high = (1.0 / w - 1.0 / o for w, o in zip(u_with, u_without, strict=True))
    return Row(likely, low, high, "m2 K/W", source)


SECOND_LAYER_RESISTANCE = _more_resistance(
    (0.65, 0.70, 0.60),
    (1.10, 1.00, 1.20),
    f"{_EXTENSION}: any double layer 0.6 to 0.7, any single one 1.0 to 1.2 Btu/h/ft2/degF; their difference",
)
NIGHT_SCREEN_RESISTANCE = _more_resistance(
    (0.40, 0.50, 0.30),
    (0.70, 0.70, 0.70),
    f"{_EP406}: double film 0.70, with a night screen 0.40 Btu/h/ft2/degF; ends 0.50 and 0.30: no source",
)
SEALED_AIR_CHANGES = Row(
    0.5,
    0.4,
    0.75,
    "air changes per hour",
    f"{_B792}: the tight end of new double film; that sealing reaches it: no source",
)


NO_TEST = (
    "no accredited whole-heater test was found; 50 to 75 %, cap 85 %: common practice, no source. "
    "Flue readings of 87 to 95 % are combustion, not delivered heat"
)
WOOD_CAP = 0.85
WOOD_CAP_SOURCE = (
    "ceiling of a non-condensing wood heater, about 85 % of gross heat: federal Canadian laboratory letter, 2008 "
    "(secondary source)"
)


@dataclass(frozen=True, slots=True)
class HeatContent:
    """Gross heat in one unit of a fuel. [kWh]"""

    unit: str
    row: Row


def _heat(unit: str, likely: float, given_in: str, source: str, doubt: float = 0.02) -> HeatContent:
    kwh = to_held(likely, given_in, Dimension.ENERGY)
    return HeatContent(unit, Row(kwh, kwh * (1 - doubt), kwh * (1 + doubt), "kWh", f"{source}, gross"))


_LITRE_PER_GAL = 3.785411784
_FT3_PER_M3 = 35.31466672148859
_LB_PER_KG = 2.2046226218487757

_PROPANE = 91_000.0
_GAS = 1026.0
_OIL = 138_000.0
_PELLETS = 8200.0
_WOOD_AIR_DRY = 7000.0
_PELLET_SOURCE = "Univ. of Connecticut Extension, Comparing Fuel Costs (2013), 8200 Btu/lb"
_WOOD_SOURCE = "Iowa State Univ. Extension, air-dry wood (20 %) about 7000 Btu/lb"
_WOOD_BY_WEIGHT = (
    _heat("kg", _WOOD_AIR_DRY * _LB_PER_KG, "Btu", _WOOD_SOURCE, 0.10),
    _heat("lb", _WOOD_AIR_DRY, "Btu", _WOOD_SOURCE, 0.10),
    _heat("tonne", _WOOD_AIR_DRY * _LB_PER_KG * 1000, "Btu", _WOOD_SOURCE, 0.10),
    _heat("short_ton", _WOOD_AIR_DRY * 2000, "Btu", _WOOD_SOURCE, 0.10),
)


@dataclass(frozen=True, slots=True)
class Fuel:
    """Defaults of a kind of heat source. None: unknown, and shown as such; the grower is asked where it must be known.

    `contents`: gross heat by unit, the first one the default unit where `unit` is None.
    """

    unit: str | None
    contents: tuple[HeatContent, ...]
    efficiency: Row | None
    life_years: Row
    needs_mains: bool | None
    hours_per_unit: float | None


_FURNACE = Row(0.80, 0.75, 0.90, "", "Univ. of Connecticut Extension 2013: gas or oil furnace 75 to 90 %, gross")
_STOVE = Row(
    0.67,
    0.55,
    0.77,
    "",
    "weak source: old regulatory default 63 %, verified non-catalytic stoves 71 %, catalytic 77 % "
    "(CSA B415.1-10, gross), widened downward for use in the field",
)
_ROCKET = Row(0.62, 0.50, 0.75, "", NO_TEST)
_NO_HEAT: tuple[HeatContent, ...] = ()
_KWH = _heat("kWh", 1.0, "kWh", "definition", 0.0)

FUELS: Mapping[str, Fuel] = {
    "electric resistance": Fuel(
        "kWh",
        (_KWH,),
        Row(1.0, 1.0, 1.0, "", "Univ. of Connecticut Extension 2013: 100 % at the point of use"),
        Row(10, 6, 15, "years", NO_SOURCE),
        True,
        0.0,
    ),
    "heat pump": Fuel(
        "kWh",
        (_KWH,),
        Row(
            2.4,
            1.5,
            2.9,
            "",
            "2023 meta-study of seven field studies (secondary source): mean COP 2.74 above -10 degC, 1.5 to 2 below; "
            "likely value between the two",
        ),
        Row(15, 10, 20, "years", NO_SOURCE),
        True,
        0.0,
    ),
    "wood stove": Fuel("cord", _WOOD_BY_WEIGHT, _STOVE, Row(20, 12, 30, "years", NO_SOURCE), False, None),
    "rocket stove": Fuel("cord", _WOOD_BY_WEIGHT, _ROCKET, Row(10, 5, 15, "years", NO_SOURCE), False, None),
    "rocket mass heater": Fuel("cord", _WOOD_BY_WEIGHT, _ROCKET, Row(15, 8, 25, "years", NO_SOURCE), False, None),
    "propane": Fuel(
        "gal",
        (
            _heat("gal", _PROPANE, "Btu", GUIDELINE_REGULATION),
            _heat("L", _PROPANE / _LITRE_PER_GAL, "Btu", GUIDELINE_REGULATION),
            _heat("kg", 50.3, "MJ", "from memory: gross heat of propane", 0.03),
            _heat("lb", 50.3 / _LB_PER_KG, "MJ", "from memory: gross heat of propane", 0.03),
        ),
        _FURNACE,
        Row(15, 10, 20, "years", NO_SOURCE),
        None,
        0.0,
    ),
    "natural gas": Fuel(
        "therm",
        (
            _heat("therm", 1.0, "therm", "definition", 0.0),
            _heat("m3", _GAS * _FT3_PER_M3, "Btu", GUIDELINE_REGULATION, 0.05),
            _heat("ft3", _GAS, "Btu", GUIDELINE_REGULATION, 0.05),
            _heat("ccf", _GAS * 100, "Btu", GUIDELINE_REGULATION, 0.05),
            _heat("mcf", _GAS * 1000, "Btu", GUIDELINE_REGULATION, 0.05),
        ),
        _FURNACE,
        Row(18, 12, 25, "years", NO_SOURCE),
        None,
        0.0,
    ),
    "heating oil": Fuel(
        "gal",
        (
            _heat("gal", _OIL, "Btu", GUIDELINE_REGULATION),
            _heat("L", _OIL / _LITRE_PER_GAL, "Btu", GUIDELINE_REGULATION),
        ),
        _FURNACE,
        Row(18, 12, 25, "years", NO_SOURCE),
        None,
        0.0,
    ),
    "pellets": Fuel(
        "short_ton",
        (
            _heat("short_ton", _PELLETS * 2000, "Btu", _PELLET_SOURCE, 0.05),
            _heat("tonne", _PELLETS * _LB_PER_KG * 1000, "Btu", _PELLET_SOURCE, 0.05),
            _heat("kg", _PELLETS * _LB_PER_KG, "Btu", _PELLET_SOURCE, 0.05),
            _heat("lb", _PELLETS, "Btu", _PELLET_SOURCE, 0.05),
            _heat("bag", _PELLETS * 40, "Btu", f"{_PELLET_SOURCE}; a bag of 40 lb", 0.05),
        ),
        Row(0.74, 0.58, 0.87, "", "weak source: verified pellet stoves 74 % (58 to 87), CSA B415.1-10, gross"),
        Row(15, 10, 20, "years", NO_SOURCE),
        True,
        None,
    ),
    "other": Fuel(None, _NO_HEAT, None, Row(15, 8, 25, "years", NO_SOURCE), None, None),
}

WOOD_KINDS = ("wood stove", "rocket stove", "rocket mass heater")
ROCKET_KINDS = ("rocket stove", "rocket mass heater")
CORDWOOD_WHY = (
    "published tables for a cord of one species differ by almost half (12 to 21.7 MMBtu for ponderosa pine), "
    "so nothing is assumed"
)


@dataclass(frozen=True, slots=True)
class LifeRow:
    """How long a kind of item lasts, known by words in its description."""

    kind: str
    words: tuple[str, ...]
    row: Row


def _life(kind: str, words: str, likely: float, low: float, high: float) -> LifeRow:
    return LifeRow(kind, tuple(folded(word) for word in words.split("|")), Row(likely, low, high, "years", NO_SOURCE))


LIVES: tuple[LifeRow, ...] = (
    _life("electrics", "thermostat|controller|control|sensor|relay|timer|probe|switch", 10, 6, 15),
    _life("fan", "fan|blower|ventilator", 8, 5, 12),
    _life("pump", "pump|circulator", 8, 5, 12),
    _life("battery", "battery|batteries", 10, 6, 15),
    _life("solar panels", "panel|photovoltaic|inverter|charge controller", 20, 12, 30),
    _life("film", "film|polyethylene|foil|plastic sheet", 4, 3, 6),
    _life("polycarbonate", "polycarbonate|twin-wall|twinwall|multiwall|glazing sheet", 15, 10, 20),
    _life("glass", "glass|glazing", 30, 20, 40),
    _life("night screen", "screen|curtain|thermal blanket|fleece|row cover", 8, 5, 12),
    _life("insulation", "insulation|insulate|foam|eps|xps|mineral wool|bubble", 25, 15, 35),
    _life("sealing", "seal|weatherstrip|caulk|gasket", 6, 3, 10),
    _life("tubes", "tube|tubing|pipe|duct|drain|perforated|manifold|plenum", 30, 20, 40),
    _life("tank", "tank|barrel|drum|cistern|ibc", 20, 12, 30),
    _life("wiring", "wire|wiring|cable|electrician|electrics|conduit", 25, 15, 35),
    _life(
        "earthwork",
        "excavat|dig|digging|trench|earth|gravel|stone|backfill|soil|concrete|footing|foundation|mason",
        40,
        25,
        60,
    ),
    _life("timber", "timber|wood|lumber|framing|frame|door", 20, 12, 30),
)
LIFE_ANY = Row(20, 10, 30, "years", NO_SOURCE)


def life_of(what: str) -> tuple[str, Row]:
    """How long an item lasts by the words of its description: the kind it is taken for, and its life.

    Of several kinds named ("digging and tubing") the shortest life stands: what wears out first must be replaced.
    """
    plain = folded(what)
    found = [row for row in LIVES if any(_begins_a_word(plain, word) for word in row.words)]
    if not found:
        return "any item", LIFE_ANY
    shortest = min(found, key=lambda row: row.row.likely)
    return shortest.kind, shortest.row


def _begins_a_word(text: str, word: str) -> bool:
    """Whether a word stands in the text: the longer ones with any ending, the short ones alone or in the plural."""
    if len(word) > 3:
        return f" {word}" in f" {text}"
    return any(token in (word, f"{word}s") for token in text.replace(",", " ").split())
