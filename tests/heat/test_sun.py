"""Where the sun stands, against published examples, an almanac and a short formula of another kind."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from ledger.heat.sun import dark, sun_elevation_deg
from ledger.model.house import Site


def elevation_at(instant: str, site: Site) -> float:
    """Elevation at an instant: the middle of the hour that begins half an hour before."""
    begins = pd.DatetimeIndex([pd.Timestamp(instant) - pd.Timedelta(minutes=30)])
    return float(sun_elevation_deg(begins, site)[0])


def test_the_worked_example_of_the_algorithm_s_own_report_comes_out() -> None:
    """Reda & Andreas, NREL/TP-560-34302 (rev. 2008), appendix A.5: 17 October 2003, 12:30:30 at UTC−7, 39.742476 N,
    105.1786 W, 1830.14 m: topocentric elevation without refraction 39.872046°."""
    site = Site(39.742476, -105.1786, 1830.14, "Etc/GMT+7")
    assert elevation_at("2003-10-17T12:30:30-07:00", site) == pytest.approx(39.872046, abs=1e-3)


def test_the_library_s_reference_position_comes_out() -> None:
    """pvlib 0.16.1: 40.6413 N, 73.7781 W, 2013-12-21 17:00 UTC: zenith 64.0975°, less refraction."""
    site = Site(40.6413, -73.7781, 0.0, "America/New_York")
    assert 90 - elevation_at("2013-12-21T17:00+00:00", site) == pytest.approx(64.0975, abs=0.001)


@pytest.mark.parametrize(
    "instant",
    [
        "2024-06-20T04:43+01:00",
        "2024-06-20T21:21+01:00",
        "2024-12-21T08:04+00:00",
        "2024-12-21T15:53+00:00",
    ],
)
def test_at_an_almanac_s_sunrise_and_sunset_the_centre_stands_0_83_degrees_below(instant: str) -> None:
    """London (51.51 N, 0.13 W), sunrise and sunset of the solstices to the minute, almanac tables, from memory.

    An almanac's sunrise is the upper limb with refraction: centre at −0.833°; a minute is 0.16° at most here.
    """
    assert elevation_at(instant, Site(51.51, -0.13, 0.0, "Europe/London")) == pytest.approx(-0.833, abs=0.2)


def short_formula_deg(instants: pd.DatetimeIndex, site: Site) -> np.ndarray:
    """Low-precision sun of the Astronomical Almanac (mean longitude and anomaly, ecliptic longitude, sidereal time)."""
    days = np.asarray((instants - pd.Timestamp("2000-01-01T12:00Z")) / pd.Timedelta(days=1), dtype=np.float64)
    mean_longitude = np.radians((280.460 + 0.9856474 * days) % 360)
    anomaly = np.radians((357.528 + 0.9856003 * days) % 360)
    ecliptic = mean_longitude + np.radians(1.915 * np.sin(anomaly) + 0.020 * np.sin(2 * anomaly))
    tilt = np.radians(23.439 - 0.0000004 * days)
    declination = np.arcsin(np.sin(tilt) * np.sin(ecliptic))
    ascension = np.arctan2(np.cos(tilt) * np.sin(ecliptic), np.cos(ecliptic))
    sidereal = np.radians((280.46062 + 360.98564737 * days + site.longitude_deg) % 360)
    latitude = np.radians(site.latitude_deg)
    sine = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination) * np.cos(
        sidereal - ascension
    )
    return np.asarray(np.degrees(np.arcsin(sine)))


@pytest.mark.parametrize("site", [Site(46, 11, 0, "UTC"), Site(-33, 149, 900, "UTC"), Site(64, -21, 0, "UTC")])
def test_all_year_the_sun_agrees_with_a_short_formula_of_another_kind(site: Site) -> None:
    """The short formula is good to 0.01° and has no parallax (0.0024°)."""
    begins = pd.date_range("2025-01-01", periods=1460, freq="6h7min", tz="UTC")
    ours = sun_elevation_deg(begins, site)
    assert np.max(np.abs(ours - short_formula_deg(begins + pd.Timedelta(minutes=30), site))) < 0.03


def test_dark_begins_below_the_horizon_not_at_it() -> None:
    assert dark(np.array([-0.001, 0.0, 0.001])).tolist() == [True, False, False]


def test_instants_without_a_zone_are_a_fault_of_ours() -> None:
    with pytest.raises(ValueError, match="time zone"):
        sun_elevation_deg(pd.DatetimeIndex(["2025-01-01"]), Site(46, 11, 0, "UTC"))


def test_polar_night_is_dark_all_day_and_polar_day_never() -> None:
    site = Site(70.0, 25.0, 0.0, "Europe/Oslo")
    for day, expected in (("2025-12-21", 24), ("2025-06-21", 0)):
        hours = pd.date_range(day, periods=24, freq="h", tz="UTC")
        assert np.count_nonzero(dark(sun_elevation_deg(hours, site))) == expected
