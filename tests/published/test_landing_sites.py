"""Sun and Earth over landing sites: selenography and ephemeris together, against print."""

from datetime import timedelta
from math import degrees

import pytest

import mplan


def seen(body, latitude, longitude, utc):
    """Return altitude and azimuth [deg] of the Sun or Earth over a place on the Moon."""
    over = mplan.sky(utc, latitude=f"{latitude} deg", longitude=f"{longitude} deg")
    altitude, azimuth, _ = getattr(over, body)
    return degrees(altitude), degrees(azimuth)


@pytest.mark.parametrize("event", ["landing", "walk begins", "lift-off"])
def test_sky_over_tranquillity(table, event):
    """Lunar Surface Journal's table: Sun 0.1 deg, Earth's azimuth 0.1 and altitude 0.25 deg.

    Given to 0.01 deg from another lunar rotation (0.02 deg apart) and, by the look of it, to
    the minute; the Earth's altitude there leaves out the site's parallax of 0.15 deg.
    """
    row = table("landing_site_skies")[event]
    place = row["latitude_deg"], row["longitude_deg"], row["utc"]
    altitude, azimuth = seen("sun", *place)
    assert altitude == pytest.approx(row["sun_altitude_deg"], abs=0.1)
    assert azimuth == pytest.approx(row["sun_azimuth_deg"], abs=0.1)
    altitude, azimuth = seen("earth", *place)
    assert altitude == pytest.approx(row["earth_altitude_deg"], abs=0.25)
    assert azimuth == pytest.approx(row["earth_azimuth_deg"], abs=0.1)


@pytest.mark.parametrize("mission", [11, 12, 14, 15, 17])
def test_sun_at_landing(table, mission):
    """SP-2000-4029's sun angles at the actual times: 0.4 deg.

    They are given to 0.1 deg for the planned minute of landing; half an hour is 0.25 deg.
    """
    row = table("manoeuvres")[mission]
    site = row["latitude_deg"], row["longitude_deg"]
    altitude, _ = seen("sun", *site, row["landing_utc"])
    published = table("landing_sun_angles")[mission]["sun_elevation_deg"]
    assert altitude == pytest.approx(published, abs=0.4)


def test_sun_at_the_late_landing(table):
    """16 landed some 5.7 h after its plan, which had 11.9 deg; the Sun rises 0.5 deg an hour."""
    row = table("manoeuvres")[16]
    site, landed = (row["latitude_deg"], row["longitude_deg"]), row["landing_utc"]
    assert seen("sun", *site, landed)[0] == pytest.approx(14.76, abs=0.1)  # recomputed
    planned = landed - timedelta(hours=5.7)
    assert seen("sun", *site, planned)[0] == pytest.approx(11.9, abs=0.3)
