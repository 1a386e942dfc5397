"""The cheapest way to measure each kind of input, and where the way comes from."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ledger.doubt.chain import MONTHS_NOT_LOGGED
from ledger.heat.curve import FLOOR_AREA, FLOOR_HEAT, LIFT, MODEL
from ledger.heat.season import BACKUP, BARE, INDOOR, NIGHTS
from ledger.model.heaters import Kind
from ledger.model.ledger import Ledger

NO_SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class WayToMeasure:
    """How to find out, in a sentence, and its source."""

    words: str
    source: str = NO_SOURCE


_METERED_NIGHTS = WayToMeasure(
    "A heater with a meter, holding the house at a steady temperature for three calm, cold nights: what it burns is "
    "what the house loses."
)
_FAN_OFF = WayToMeasure(
    "The fan left off for blocks of three nights or more, in weather like that of nights with it on; or three nights "
    "with a metered heater."
)
_TAPE = WayToMeasure(
    "A tape, an hour with the plan of the house, and each measure taken so typed with its basis, as in "
    'length = { likely = "12 m", basis = "metered" }: 3 % of doubt in place of 25 %.'
)
_LEAKAGE = WayToMeasure(
    "A candle or smoke along seams, vents and doors on a windy night shows where; a borrowed door fan says how much.",
    "door fan: ISO 9972, fan pressurisation (from memory); candle: common practice, no source",
)
_SIDE_BY_SIDE = WayToMeasure(
    "The sensor in the other house hung beside the one in this house for a night: shows how far they differ."
)
_ICE = WayToMeasure(
    "The thermometers in crushed ice and water for an hour: they should read 0 °C.",
    "ice point of water, 0 °C: ASTM E563 (from memory)",
)
_FUEL_BURNT = WayToMeasure(
    "The fuel weighed or metered over three nights, beside an electric heater with a meter that holds the same house "
    "at the same temperature in like nights."
)
_FUEL_HEAT = WayToMeasure("The supplier's sheet for a batch, or the same fuel weighed over a known volume.")
_WOOD_HEAT = WayToMeasure(
    "A stacked measure of the wood weighed on a farm scale, and a moisture meter on a fresh split."
)
_BILLS = WayToMeasure("The last receipts, and two quotations for the next delivery.")
_PAPER = WayToMeasure("The receipt, or a firm quotation in writing.")
_SHARE = WayToMeasure("A quotation for the same work without the part that is for the heat.")
_LIFE = WayToMeasure("The maker's sheet, and the age of the same part on other farms.")
_HOURS = WayToMeasure("Hours of own work noted in the season book on the day, from now on.")
_PLUG_METER = WayToMeasure("A plug-in meter on the fan, read on the first and the last day of the season.")
_A_WINTER = WayToMeasure("A winter's log, indoors and outdoors, with the build at work.")
_MONTHS = WayToMeasure("Those months logged next time; until then twelve monthly normals in the ledger.")
_NOTED_UPKEEP = WayToMeasure(
    "Every repair noted in the season book with its amount: after three seasons their mean stands."
)
_OLD_SHEET = WayToMeasure(
    "The maker's sheet of what stood there, or a sample of it beside the new one in a cold night."
)

_BY_PATH: tuple[tuple[str, WayToMeasure | None], ...] = (
    (re.escape(LIFT), _FAN_OFF),
    (re.escape(FLOOR_HEAT), _FAN_OFF),
    (re.escape(MONTHS_NOT_LOGGED), _MONTHS),
    (re.escape(BARE), _SIDE_BY_SIDE),
    (re.escape(INDOOR), _ICE),
    (re.escape(BACKUP), _FUEL_BURNT),
    (f"({re.escape(NIGHTS)}|{re.escape(MODEL)})", _METERED_NIGHTS),
    (rf"({re.escape(FLOOR_AREA)}|house\.volume|house\.surface\[.*\]\.area|house\.edge\[.*\]\.length)", _TAPE),
    (r"house\.air_changes", _LEAKAGE),
    (r"house\.(surface|edge)\[.*\]\.(u_value|loss)", _METERED_NIGHTS),
    (r"build\[.*\]\.before\[.*", _OLD_SHEET),
    (r"build\[.*\]\.expected_fraction", _A_WINTER),
    (r"build\[.*\]\.expected_running", _PLUG_METER),
    (r"build\[.*\]\.upkeep\[\d+\]\.amount", _NOTED_UPKEEP),
    (r"build\[.*\]\.item\[\d+\]\.amount", _PAPER),
    (r"build\[.*\]\.item\[\d+\]\.share", _SHARE),
    (r"build\[.*\]\.item\[\d+\]\.hours", _HOURS),
    (r"(build\[.*\]\.item\[\d+\]|source\[.*\])\.life_years", _LIFE),
    (r"money\.grant\[.*\]\.amount", _PAPER),
    (r"(source\[.*\]|source\[.*\]\.tariff\[\d+\]|electricity)\.price", _BILLS),
    (r"source\[.*\]\.efficiency", _FUEL_BURNT),
    (r"source\[.*\]\.hours_per_unit", _HOURS),
    (r"source\[.*\]\.(capital|upkeep)", _PAPER),
)
"""What no line of this table names (rates, growths of prices, what is left at the end) is decided or waited for."""
_WOOD = (Kind.WOOD_STOVE, Kind.ROCKET_STOVE, Kind.ROCKET_MASS)
_HEAT_OF_FUEL = re.compile(r"source\[(?P<name>.*)\]\.heat_per_unit")


def way_to_measure(path: str, ledger: Ledger) -> WayToMeasure | None:
    """The cheapest way to measure an input.

    Parameters
    ----------
    path : of an uncertain input, as in `Driver.input`.
    ledger : for the kind of a source.

    Returns
    -------
    WayToMeasure or None : None where no measurement narrows it.
    """
    fuel = _HEAT_OF_FUEL.fullmatch(path)
    if fuel is not None:
        kind = next((one.kind for one in ledger.sources if one.name == fuel["name"]), None)
        return _WOOD_HEAT if kind in _WOOD else _FUEL_HEAT
    return next((way for pattern, way in _BY_PATH if re.fullmatch(pattern, path, re.DOTALL)), None)
