"""Units as headers, unit rows, cells and the ledger write them, and what they are held in."""

from __future__ import annotations

import re
from dataclasses import dataclass

from ledger.intake.log_words import plain
from ledger.model.logs import TEMPERATURE_CHANNELS
from ledger.series.readings import Kind

MPH_M_S = 0.44704  # exact: NIST SP 811 (2008), appendix B
KNOT_M_S = 1852 / 3600  # exact: NIST SP 811 (2008), appendix B
FOOT_M = 0.3048  # exact: NIST SP 811 (2008), appendix B


@dataclass(frozen=True, slots=True)
class LogUnit:
    """A unit: its name in reports and in the ledger, what it measures, and held = (written − zero) · factor."""

    name: str
    kind: Kind
    factor: float = 1.0
    zero: float = 0.0


_UNITS = (
    (LogUnit("degC", Kind.TEMPERATURE), "c degc celsius centigrade gradc grad"),
    (LogUnit("degF", Kind.TEMPERATURE, 5 / 9, 32.0), "f degf fahrenheit"),
    (LogUnit("K", Kind.TEMPERATURE, 1.0, 273.15), "k kelvin degk"),
    (LogUnit("%", Kind.PERCENT), "% %rh rh% percent pct %rf %hr %h"),
    (LogUnit("m/s", Kind.SPEED), "m/s ms-1 ms^-1 mps"),
    (LogUnit("km/h", Kind.SPEED, 1 / 3.6), "km/h kmh kph kmh-1"),
    (LogUnit("mph", Kind.SPEED, MPH_M_S), "mph mi/h"),
    (LogUnit("kn", Kind.SPEED, KNOT_M_S), "kn kt kts knot knots"),
    (LogUnit("ft/s", Kind.SPEED, FOOT_M), "ft/s fps"),
    (LogUnit("W/m2", Kind.IRRADIANCE), "w/m2 w/m^2 w/sqm wm-2 wm^-2 w/qm"),
    (LogUnit("kW/m2", Kind.IRRADIANCE, 1000.0), "kw/m2 kw/m^2"),
    (LogUnit("on/off", Kind.SWITCH), "on/off 0/1 1/0 off/on state switch"),
    (LogUnit("W", Kind.POWER), "w watt watts"),
    (LogUnit("kW", Kind.POWER, 1000.0), "kw kilowatt"),
    (LogUnit("kWh", Kind.STEP_ENERGY), "kwh"),
    (LogUnit("Wh", Kind.STEP_ENERGY, 0.001), "wh"),
)
_BY_NAME = {name: unit for unit, names in _UNITS for name in names.split()}
_OF_KIND = {
    "humidity": (Kind.PERCENT,),
    "wind": (Kind.SPEED,),
    "sun": (Kind.IRRADIANCE,),
    "fan": (Kind.SWITCH, Kind.POWER, Kind.STEP_ENERGY, Kind.PERCENT),
    "heater": (Kind.SWITCH, Kind.POWER, Kind.STEP_ENERGY, Kind.PERCENT),
}
_DEGREE = re.compile(r"(?:°|º|˚|¬∞|Â°|Â|ï¿½|�|ø|¡|∘|\bdegrees?\b|\bdeg\b\.?|\bgrad\b)\s*", re.IGNORECASE)
_BRACKETED = re.compile(r"[(\[{<]([^()\[\]{}<>]*)[)\]}>]")


_OTHER = re.compile(
    r"m?v|volts?|m?a|m?ah|hpa|k?pa|mbar|bar|inhg|mmhg|mm|cm|in|inch|ppm|k?lx|k?lux|%|%rh|dbm|db|w/m2|w|kw|m/s|km/h|mph|l|m3|ph|ms/cm",
    re.IGNORECASE,
)


def other_unit(header: str) -> str | None:
    """A bracketed unit that is of no temperature: volts, pressure, percent and the like; None where there is none."""
    for text in _BRACKETED.findall(header):
        bare: str = text.strip().replace("²", "2").replace("³", "3")
        if _OTHER.fullmatch(bare):
            return bare
    return None


def kinds_of(channel: str) -> tuple[Kind, ...]:
    """What a channel may measure."""
    return (Kind.TEMPERATURE,) if channel in TEMPERATURE_CHANNELS else _OF_KIND[channel]


def offered(channel: str) -> str:
    """The units a channel takes, for a message."""
    return ", ".join(f'"{unit.name}"' for unit, _ in _UNITS if unit.kind in kinds_of(channel))


def unit_named(text: str) -> LogUnit | None:
    """The unit that a text names and nothing else: "°C", "deg F", "Kelvin", "m s⁻¹", "W/m²"."""
    text = text.replace("²", "2").replace("⁻¹", "-1").replace("·", "").replace("％", "%")
    bare = plain(_DEGREE.sub("", text)).strip(" .'\"").replace(" ", "")
    bare = re.sub(r"[^\w%/^-]", "", bare)
    return _BY_NAME.get(bare)


def units_in(header: str) -> tuple[LogUnit, ...]:
    """Units written in a header: in brackets, behind a degree sign, or as its last word. The bare letters C, F and K
    count as a last word only next to a word for temperature, since a probe may be called C."""
    found = [unit for text in _BRACKETED.findall(header) if (unit := unit_named(text))]
    if found:
        return tuple(dict.fromkeys(found))
    outside = _BRACKETED.sub(" ", header)
    signed = re.search(_DEGREE.pattern + r"(c|f|k|celsius|fahrenheit|kelvin)\b", outside, re.IGNORECASE)
    if signed:
        unit = unit_named(signed[1])
        return (unit,) if unit else ()
    words = [w for w in re.split(r"[\s_,;:|.-]+", outside.strip()) if w]
    if words and unit_named(words[-1]) is None:
        words[-1:] = re.split(r"(?<=[a-z])(?=[A-Z]$)", words[-1])
    last = plain(words[-1]) if len(words) > 1 else ""
    unit = unit_named(last) if last else None
    if unit is None or (len(last) == 1 and last in "cfk" and not _speaks_of_temperature(words[:-1])):
        return ()
    return (unit,)


def _speaks_of_temperature(words: list[str]) -> bool:
    return any(
        plain(word).startswith(("temp", "tmp", "tmed", "air", "lufttemp")) or plain(word) == "t" for word in words
    )


def without_unit(header: str) -> str:
    """A header with its bracketed units and trailing degree unit taken off."""

    def keep(match: re.Match[str]) -> str:
        return " " if unit_named(match[1]) else match[0]

    bare = _BRACKETED.sub(keep, header)
    return re.sub(_DEGREE.pattern + r"(c|f|k|celsius|fahrenheit|kelvin)\b", " ", bare, flags=re.IGNORECASE)


def folded(header: str) -> str:
    """A header for comparison: no case, blanks, accents, degree signs or punctuation; % kept."""
    return re.sub(
        r"[^\w%]", "", plain(re.sub(r"°|º|˚|¬∞|Â|ï¿½|�|∘|(?<=[(\[\s])[ø¡?](?=[CFcf])", "", header)).replace("_", "")
    )
