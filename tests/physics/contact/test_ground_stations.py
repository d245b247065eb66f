"""Elevations over a station's horizon, against astropy's own transformations."""

from __future__ import annotations

from datetime import datetime
from math import degrees, radians

import numpy as np
import pytest

from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.time import tdb_from_utc, utc_from_tdb
from mplan.physics.contact import ground_stations
from mplan.physics.contact.ground_stations import GroundStation

# NumPy's own harmless notice about older binaries, met where astropy 5 is imported.
pytestmark = pytest.mark.filterwarnings("ignore:numpy.ndarray size changed")

PLACES = [(30.2, -111.6, 520.0), (38.1, -7.9, 210.0), (-31.3, 128.4, 150.0), (-89.0, 10.0, 2800.0)]


@pytest.mark.parametrize("place", PLACES)
def test_the_moon_over_the_horizon(place):
    """The Moon's elevation for ten days, hour by hour, to 0.02 deg.

    astropy turns Earth by UT1, for these dates up to 0.4 s off UTC (0.002 deg), and moves polar
    motion in; both see the Moon where DE421 has it, without light time.
    """
    from astropy import units as u
    from astropy.coordinates import GCRS, ITRS, CartesianRepresentation, EarthLocation
    from astropy.time import Time
    from astropy.utils import iers

    latitude, longitude, altitude = place
    first = tdb_from_utc(datetime(2012, 5, 14))
    t = first + np.arange(0.0, 10 * 86400.0, 3600.0)
    station = GroundStation("x", radians(latitude), radians(longitude), altitude)
    r = ephemeris.moon(t).r
    ours = np.degrees(ground_stations.elevations(station, r, t))
    with iers.conf.set_temp("auto_download", False), iers.conf.set_temp("auto_max_age", None):
        when = Time([utc_from_tdb(x).replace(tzinfo=None) for x in t.tolist()], scale="utc")
        seen = GCRS(CartesianRepresentation(*(r.T * u.m)), obstime=when)
        fixed = seen.transform_to(ITRS(obstime=when)).cartesian.xyz.to_value(u.m)
        here = EarthLocation.from_geodetic(longitude * u.deg, latitude * u.deg, altitude * u.m)
    towards = fixed.T - np.array([x.to_value(u.m) for x in here.geocentric])
    north, east = radians(latitude), radians(longitude)
    up = np.array([np.cos(north) * np.cos(east), np.cos(north) * np.sin(east), np.sin(north)])
    theirs = np.degrees(np.arcsin(towards @ up / np.linalg.norm(towards, axis=1)))
    assert np.abs(ours - theirs).max() < 0.02


def test_straight_overhead():
    """What stands on the station's own vertical has 90 deg, what lies below it has less than 0."""
    station = GroundStation("x", radians(-20.0), radians(50.0))
    t = np.array([1e9])
    here = ground_stations.places(station, t)
    longer = ground_stations.places(station._replace(altitude=400e3), t)
    assert degrees(ground_stations.elevations(station, longer, t)[0]) == pytest.approx(90.0)
    assert ground_stations.elevations(station, -here, t)[0] < 0.0
