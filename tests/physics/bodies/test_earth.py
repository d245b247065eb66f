"""The turning Earth, against astropy's own transformations (ERFA below both, but other paths)."""

from datetime import datetime, timedelta
from math import acos, atan2, cos, pi, radians, sin

import erfa
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from mplan.physics import constants as c
from mplan.physics.bodies import earth, time

DATES = [datetime(1969, 7, 16, 13, 32), datetime(2000, 1, 1, 12), datetime(2031, 5, 6, 7, 8, 9)]
angles = st.floats(-1.5, 1.5)

pytestmark = [
    # NumPy's own harmless notice about older binaries, met where astropy 5 is imported.
    pytest.mark.filterwarnings("ignore:numpy.ndarray size changed"),
    pytest.mark.filterwarnings("ignore:.*dubious year"),
    pytest.mark.filterwarnings("ignore:Tried to get polar motions"),
]


@pytest.fixture(autouse=True)
def _no_downloads():
    from astropy.utils import iers

    with iers.conf.set_temp("auto_download", False), iers.conf.set_temp("auto_max_age", None):
        yield


def astropy_time(moment):
    """Return the astropy Time of a UTC date whose UT1 is set equal to UTC."""
    from astropy.time import Time

    t = Time(moment, scale="utc")
    t.delta_ut1_utc = 0.0
    return t


@pytest.mark.parametrize("moment", DATES, ids=str)
def test_sidereal_angle(moment):
    """Apparent sidereal time, IAU 2006/2000A: 1e-9 rad is 6 mm on the equator.

    Before 1972 UTC ran slow by 3e-8, up to 2.6 ms or 2e-7 rad in the day, so that to set UT1
    equal to it means one thing at midnight and another at noon.
    """
    tolerance = 1e-9 if moment.year >= 1972 else 2e-7
    theirs = astropy_time(moment).sidereal_time("apparent", "greenwich").rad
    ours = earth.sidereal_angle(time.tdb_from_utc(moment))
    assert abs((ours - theirs + pi) % (2 * pi) - pi) < tolerance


def test_sidereal_angle_of_an_arrays_element_is_a_plain_number():
    """Who tells east from west by it takes its answer as an index."""
    assert type(earth.sidereal_angle(np.float64(1.25e9))) is float


@pytest.mark.parametrize("day", [datetime(2016, 12, 31), datetime(2031, 5, 4)], ids=str)
def test_sidereal_angle_all_day(day):
    """Between noon and midnight, and at a leap second (2016): what ERFA has, to 1e-9 rad."""
    for quarter in range(4 * 48):
        moment = day + timedelta(minutes=15.0 * quarter, seconds=-1.5)
        since = (moment - datetime(2000, 1, 1, 12)).total_seconds() / c.DAY
        t = time.tdb_from_utc(moment)
        erfas = erfa.gst06a(time.J2000, since, *time.tt_from_tdb(t))
        assert abs((earth.sidereal_angle(t) - erfas + pi) % (2 * pi) - pi) < 1e-9


@pytest.mark.parametrize("moment", [*DATES[:2], datetime(2015, 6, 1)], ids=str)
def test_earth_fixed_axes(moment):
    """GCRS to ITRS by the other, CIO-based path; polar motion, 0.5 arcsec at most, is neglected.

    astropy turns with the true UT1 (0.9 s off UTC at most) and the true polar motion, so it is
    given a date later by UT1 - UTC and the rest allowed for: 20 m on the ground.
    """
    import astropy.units as u
    from astropy.coordinates import GCRS, ITRS, CartesianRepresentation
    from astropy.time import Time

    r = np.array([4.0e6, -3.0e6, 4.5e6])
    theirs_at = Time(moment, scale="utc")
    sky = GCRS(CartesianRepresentation(r * u.m), obstime=theirs_at)
    ground = sky.transform_to(ITRS(obstime=theirs_at)).cartesian.xyz.to_value(u.m)
    turned_by = theirs_at.delta_ut1_utc * earth.SIDEREAL_RATE
    ours = earth.earth_fixed_axes(time.tdb_from_utc(moment)) @ r
    later = np.array(
        [
            ours[0] * cos(turned_by) + ours[1] * sin(turned_by),
            ours[1] * cos(turned_by) - ours[0] * sin(turned_by),
            ours[2],
        ]
    )
    assert np.linalg.norm(later - ground) < 20.0


@settings(deadline=None)
@given(latitude=angles, longitude=st.floats(-3.1, 3.1), altitude=st.floats(-400.0, 4e5))
def test_geodetic_against_earth_location(latitude, longitude, altitude):
    import astropy.units as u
    from astropy.coordinates import EarthLocation

    place = EarthLocation.from_geodetic(longitude * u.rad, latitude * u.rad, altitude * u.m)
    t = 5.0e8
    on_axes = np.array([getattr(place, x).to_value(u.m) for x in "xyz"])
    found = earth.geodetic(earth.earth_fixed_axes(t).T @ on_axes, t)
    np.testing.assert_allclose(found[:2], (latitude, longitude), rtol=0, atol=1e-9)
    assert found[2] == pytest.approx(altitude, abs=1e-3)


def test_axes_are_turned_not_bent():
    for axes in (earth.true_equator(3e8), earth.earth_fixed_axes(3e8)):
        np.testing.assert_allclose(axes @ axes.T, np.eye(3), atol=1e-14)
        assert np.linalg.det(axes) == pytest.approx(1.0)


def test_the_pole_precesses():
    """Precession carries the pole by 20.04 arcsec a year (Lieske 1977); nutation by 9 more."""
    turned = acos(earth.true_equator(0.0)[2] @ earth.true_equator(50 * 365.25 * c.DAY)[2])
    assert np.degrees(turned) * 3600 == pytest.approx(50 * 20.04, abs=20.0)


def test_true_equator_of_day_keeps_to_the_nearest_half_day():
    """Half a day of precession and nutation is below 0.2 arcsec, 6 m at the Earth's surface."""
    t = 2.2e8
    apart = earth.true_equator(t) - earth.true_equator_of_day(t)
    assert np.abs(apart).max() < radians(0.2 / 3600)
    assert earth.true_equator_of_day(t) is earth.true_equator_of_day(t + 10.0)


@pytest.mark.parametrize("latitude", [-80.0, -28.6, 0.0, 5.2, 45.0, 89.0, 90.0, -90.0])
def test_geocentric_latitude_and_radius(latitude):
    """Against the ellipse itself: x = N cos(lat), z = N (1 - e2) sin(lat)."""
    phi, e2 = radians(latitude), c.F_EARTH * (2.0 - c.F_EARTH)
    n = c.R_EARTH / (1.0 - e2 * sin(phi) ** 2) ** 0.5
    x, z = n * cos(phi), n * (1.0 - e2) * sin(phi)
    geocentric = earth.geocentric_latitude(phi)
    assert geocentric == pytest.approx(atan2(z, x), abs=1e-12)
    assert earth.surface_radius(sin(geocentric)) == pytest.approx((x * x + z * z) ** 0.5, abs=1e-6)


@given(latitude=angles, azimuth=st.floats(0.01, pi - 0.01), node=st.floats(-3.0, 3.0))
def test_inclination_argument_and_node_belong_to_one_plane(latitude, azimuth, node):
    """The normal built from place and azimuth tilts by the inclination and hides the node."""
    longitude = node + earth.node_behind(latitude, azimuth)
    up = np.array([cos(latitude) * cos(longitude), cos(latitude) * sin(longitude), sin(latitude)])
    east = np.array([-sin(longitude), cos(longitude), 0.0])
    ahead = cos(azimuth) * np.cross(up, east) + sin(azimuth) * east
    normal = np.cross(up, ahead)
    i = earth.inclination(latitude, azimuth)
    assert normal[2] == pytest.approx(cos(i), abs=1e-9)
    ascending = np.array([cos(node), sin(node), 0.0])
    u = earth.argument_of_latitude(latitude, azimuth)
    rebuilt = cos(u) * ascending + sin(u) * np.cross(normal, ascending)
    np.testing.assert_allclose(rebuilt, up, atol=1e-9)


@given(st.floats(-1.0, 1.0), st.floats(-3.0, 3.0))
def test_declination(tilt, around):
    direction = np.array([cos(tilt) * cos(around), cos(tilt) * sin(around), sin(tilt)])
    assert earth.declination(direction) == pytest.approx(tilt, abs=1e-9)
    assert earth.declination(np.array([0.0, 0.0, 1.0 + 1e-16])) == pytest.approx(pi / 2)
