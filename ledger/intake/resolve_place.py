"""From `[ledger]`, `[site]`, `[hold]` and `[crop]` to the place, the hold temperature and the crop of the model."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from ledger.errors import Doubt
from ledger.intake.desk import Desk
from ledger.intake.scalars import month_day
from ledger.intake.schema_house import CropSection, HoldSection, LedgerSection, SiteSection
from ledger.intake.slips import listed
from ledger.intake.zones import angle_to_zone, is_zone, likeliest
from ledger.model.house import Crop, GddMethod, Hold, Site
from ledger.model.ledger import Show
from ledger.model.values import Window
from ledger.sources import CROP_BASE_C, SEASON_NORTH, SEASON_SOURCE, SEASON_SOUTH
from ledger.units import is_fahrenheit

_CUSTOM = "the custom of this program"
_MOST_AHEAD_H, _MOST_BEHIND_H = 3.0, 1.75
_AHEAD_OF_ALL_NEAR_H, _NEAR = 1.9, 5
_MOST_DEGREES_OFF = 40.0
_DEGREES_PER_HOUR = 15.0
_ONE_CLOCK_FOR_ALL = "Asia/Shanghai"

ZONE = Doubt(
    "zone-and-place",
    f"the zone's clock in January is more than {_MOST_AHEAD_H:g} h ahead of the sun at the longitude or "
    f"{_MOST_BEHIND_H:g} h behind it, or {_AHEAD_OF_ALL_NEAR_H:g} h ahead and none of the {_NEAR} nearest zones has "
    f"its hour; or its principal place is more than {_MOST_DEGREES_OFF:g}° of arc away",
    "look at the signs of latitude and longitude (north and east are positive) and at the zone's name",
    "offsets and places: IANA time zone database; the limits lie beyond its widest zones (western China 2.9 h ahead)",
)


def resolve_site(desk: Desk, section: SiteSection) -> Site:
    """The place; an unknown time zone is answered with the likeliest ones."""
    if not is_zone(section.timezone):
        near = likeliest(section.latitude, section.longitude, typed=section.timezone)
        desk.fault(
            ("site", "timezone"),
            f'the time zone "{section.timezone}" is not known',
            f"for this place one of these is likely: {listed(near)}",
        )
    else:
        _doubt_zone(desk, section)
    return Site(
        latitude_deg=section.latitude,
        longitude_deg=section.longitude,
        elevation_m=section.elevation,
        timezone=section.timezone,
        design_temperature_c=section.design_temperature,
    )


def _doubt_zone(desk: Desk, section: SiteSection) -> None:
    """A zone that is hours off the sun at this longitude, or whose principal place lies far away, is doubted."""
    near = likeliest(section.latitude, section.longitude, count=_NEAR)
    clock = _january_h(section.timezone)
    ahead = (clock - section.longitude / _DEGREES_PER_HOUR + 12.0) % 24.0 - 12.0
    far = angle_to_zone(section.timezone, section.latitude, section.longitude) or 0.0
    alone = section.timezone != _ONE_CLOCK_FOR_ALL and all(_january_h(zone) != clock for zone in near)
    wrong = ahead > _MOST_AHEAD_H or ahead < -_MOST_BEHIND_H or (ahead > _AHEAD_OF_ALL_NEAR_H and alone)
    if wrong or far > _MOST_DEGREES_OFF:
        desk.notice(
            ZONE.code,
            ("site", "timezone"),
            f'"{section.timezone}" does not go with latitude {section.latitude:g}, longitude {section.longitude:g}: '
            f"are the signs right (north and east are positive)? Likely zones there: {listed(near[:3])}",
        )


def _january_h(zone: str) -> float:
    """A zone's offset in January. [h]"""
    offset = ZoneInfo(zone).utcoffset(datetime(2025, 1, 15))
    return 0.0 if offset is None else offset.total_seconds() / 3600.0


def resolve_hold(desk: Desk, section: HoldSection, latitude_deg: float | None) -> Hold:
    """The hold temperature and its season."""
    if section.season is not None:
        season = Window(section.season.begins, section.season.ends)
    else:
        begins, ends = SEASON_SOUTH if latitude_deg is not None and latitude_deg < 0 else SEASON_NORTH
        season = Window(month_day(begins), month_day(ends))
        desk.assume(("hold", "season"), f"{begins} to {ends}", SEASON_SOURCE)
    return Hold(section.temperature, season, section.count, section.backup_used is not None)


def resolve_crop(desk: Desk, section: CropSection | None, hold: Hold) -> Crop:
    """How degree-days are counted."""
    given = section or CropSection.model_validate({})
    if given.base is None:
        desk.assume_row(("crop", "base"), CROP_BASE_C)
    if section is None or "method" not in section.model_fields_set:
        desk.assume(("crop", "method"), GddMethod.HOURLY.value, _CUSTOM)
    base = CROP_BASE_C.likely if given.base is None else given.base
    if given.method is GddMethod.CAPPED and given.ceiling is None:
        desk.fault(("crop", "ceiling"), 'the method "capped" needs a ceiling', 'add ceiling = "30 degC"')
    if given.ceiling is not None and given.ceiling <= base:
        desk.fault(("crop", "ceiling"), "the ceiling is not above the base", "write a ceiling above the base")
    if (given.begins is None) != (given.ends is None):
        missing = "ends" if given.ends is None else "begins"
        desk.fault(
            ("crop", missing), f"the crop has only one end of its season: no {missing}", f'add {missing} = "MM-DD"'
        )
    if given.begins is None:
        desk.assume(("crop", "begins"), "the hold season", _CUSTOM)
    window = Window(given.begins or hold.season.begins, given.ends or hold.season.ends)
    return Crop(base, given.ceiling, given.method, window)


def show_of(desk: Desk, section: LedgerSection, typed_temperature: object) -> Show:
    """Units of screens as stated, else by the unit of the hold temperature."""
    if section.show is not None:
        return section.show
    show = Show.US if isinstance(typed_temperature, str) and is_fahrenheit(typed_temperature) else Show.METRIC
    desk.assume(("ledger", "show"), show.value, "by the unit of hold.temperature")
    return show
