"""Sun and Earth over landing sites: selenography and ephemeris together, against print."""

from math import degrees, radians

import numpy as np
import pytest

from mplan.physics.bodies import ephemeris, selenography, time
from mplan.physics.vectors import cross, unit


def seen(body, latitude, longitude, t):
    """Return altitude and azimuth [deg] of a body's direction from a place on the Moon."""
    place = selenography.site_position(radians(latitude), radians(longitude), t)
    towards = unit(body(t).r - ephemeris.moon(t).r - place)
    up = unit(place)
    east = unit(cross(selenography.lunar_pole(t), up))
    azimuth = degrees(np.arctan2(towards @ east, towards @ cross(up, east)))
    return degrees(np.arcsin(towards @ up)), azimuth % 360.0


def earth(t):
    """Return the Earth, as a body among the geocentric ones."""
    return ephemeris.BodyState(np.zeros(3), np.zeros(3))


@pytest.mark.parametrize("event", ["landing", "walk begins", "lift-off"])
def test_sky_over_tranquillity(table, event):
    """Lunar Surface Journal's table: Sun 0.1 deg, Earth's azimuth 0.1 and altitude 0.25 deg.

    Given to 0.01 deg from another lunar rotation (0.02 deg apart) and, by the look of it, to
    the minute; the Earth's altitude there leaves out the site's parallax of 0.15 deg.
    """
    row = table("landing_site_skies")[event]
    place = row["latitude_deg"], row["longitude_deg"], time.tdb_from_utc(row["utc"])
    altitude, azimuth = seen(ephemeris.sun, *place)
    assert altitude == pytest.approx(row["sun_altitude_deg"], abs=0.1)
    assert azimuth == pytest.approx(row["sun_azimuth_deg"], abs=0.1)
    altitude, azimuth = seen(earth, *place)
    assert altitude == pytest.approx(row["earth_altitude_deg"], abs=0.25)
    assert azimuth == pytest.approx(row["earth_azimuth_deg"], abs=0.1)


@pytest.mark.parametrize("mission", [11, 12, 14, 15, 17])
def test_sun_at_landing(table, mission):
    """SP-2000-4029's sun angles at the actual times: 0.4 deg.

    They are given to 0.1 deg for the planned minute of landing; half an hour is 0.25 deg.
    """
    row = table("manoeuvres")[mission]
    t = time.tdb_from_utc(row["landing_utc"])
    altitude, _ = seen(ephemeris.sun, row["latitude_deg"], row["longitude_deg"], t)
    published = table("landing_sun_angles")[mission]["sun_elevation_deg"]
    assert altitude == pytest.approx(published, abs=0.4)


def test_sun_at_the_late_landing(table):
    """16 landed some 5.7 h after its plan, which had 11.9 deg; the Sun rises 0.5 deg an hour."""
    row = table("manoeuvres")[16]
    t = time.tdb_from_utc(row["landing_utc"])
    site = row["latitude_deg"], row["longitude_deg"]
    assert seen(ephemeris.sun, *site, t)[0] == pytest.approx(14.76, abs=0.1)  # recomputed
    assert seen(ephemeris.sun, *site, t - 5.7 * 3600.0)[0] == pytest.approx(11.9, abs=0.3)
