"""Time zones: whether a name is known, and which are likely for a place."""

from __future__ import annotations

import difflib
import math
import re
from functools import lru_cache
from importlib import resources
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

_OFFSET = re.compile(r"(?:UTC|GMT)?([+−-])(\d{1,2})(?::?(\d{2}))?")
_PLACE = re.compile(r"([+-])(\d{2})(\d{2})(\d{2})?([+-])(\d{3})(\d{2})(\d{2})?")
_OF_THE_REGION = 40
_ALIKE = 0.8
_WORDS = ("local", "standard", "UTC")


def is_zone(name: str) -> bool:
    """Whether a name is one of the IANA time zone database, spelled as it stands there."""
    if not name or name.startswith(("/", ".")) or ".." in name or "\\" in name:
        return False
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True


def is_clock(words: str) -> bool:
    """Whether words name a log's clock: local, standard, UTC, an offset from UTC, or a zone."""
    if words in _WORDS or is_zone(words):
        return True
    match = _OFFSET.fullmatch(words.replace(" ", ""))
    return match is not None and int(match.group(2)) <= 14 and int(match.group(3) or 0) < 60


def likeliest(latitude_deg: float, longitude_deg: float, *, typed: str = "", count: int = 3) -> tuple[str, ...]:
    """The zones whose principal places lie nearest to a point; first one of the region that is spelled almost as typed.

    Parameters
    ----------
    latitude_deg, longitude_deg : the point, north and east positive. [°]
    typed : the name that is not known.
    count : how many names are wanted. [-]

    Source
    ------
    zone1970.tab of the IANA time zone database.
    """
    by_distance = sorted(_zone_places(), key=lambda place: _angle(latitude_deg, longitude_deg, place[0], place[1]))
    near = [place[2] for place in by_distance]
    alike = difflib.get_close_matches(typed, near[:_OF_THE_REGION], n=1, cutoff=_ALIKE) if typed else []
    return tuple(dict.fromkeys((*alike, *near)))[:count]


def angle_to_zone(name: str, latitude_deg: float, longitude_deg: float) -> float | None:
    """How far a point lies from a zone's principal place, as an angle on the globe; None for a zone without one. [°]"""
    for north, east, zone in _zone_places():
        if zone == name:
            return math.degrees(_angle(latitude_deg, longitude_deg, north, east))
    return None


@lru_cache(maxsize=1)
def _zone_places() -> tuple[tuple[float, float, str], ...]:
    """Latitude, longitude and name of every zone with its own place."""
    table = resources.files("tzdata").joinpath("zoneinfo", "zone1970.tab").read_text(encoding="utf-8")
    found: list[tuple[float, float, str]] = []
    for row in table.splitlines():
        cells = row.split("\t")
        match = None if row.startswith("#") or len(cells) < 3 else _PLACE.fullmatch(cells[1])
        if match is not None:
            north, east = _degrees(match.groups()[:4]), _degrees(match.groups()[4:])
            found.append((north, east, cells[2]))
    return tuple(found)


def _degrees(parts: tuple[str | None, ...]) -> float:
    sign, degrees, minutes, seconds = parts
    size = int(degrees or 0) + int(minutes or 0) / 60.0 + int(seconds or 0) / 3600.0
    return -size if sign == "-" else size


def _angle(north: float, east: float, other_north: float, other_east: float) -> float:
    """Great-circle angle between two points. [rad]"""
    a, b, c = math.radians(north), math.radians(other_north), math.radians(other_east - east)
    return math.acos(max(-1.0, min(1.0, math.sin(a) * math.sin(b) + math.cos(a) * math.cos(b) * math.cos(c))))
