"""Lines of sight, by hand-made geometry and by the shares of orbits that lie hidden."""

from datetime import datetime
from math import asin, atan2, hypot, pi

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris, selenography, sight
from mplan.physics.bodies.earth import earth_fixed_axes, true_equator
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.vectors import cross, unit

T = tdb_from_utc(datetime(2029, 4, 6, 7))
A = c.R_MOON + 110e3
FAR = np.array([3.8e8, 0.0, 0.0])
STEPS = 20_000


def circle(axis, towards, a=A):
    """Return places (n, 3) of a circle about the unit `axis`, evenly from `towards`."""
    first = unit(towards - (towards @ axis) * axis)
    angle = (np.arange(STEPS) + 0.5) * (2.0 * pi / STEPS)
    return a * (np.outer(np.cos(angle), first) + np.outer(np.sin(angle), cross(axis, first)))


def share(a, distance):
    """Return the share of a circle, in a plane through a body, from which a sphere hides it.

    The shadow's edge leans in from the asin(R / a) of parallel light by the parallax asin(R / D).
    """
    return 2.0 * (asin(c.R_MOON / a) + asin(c.R_MOON / distance)) / (2.0 * pi)


@pytest.mark.parametrize(
    ("place", "is_hidden"),
    [
        ([2e6, 0.0, 0.0], False),  # before the Moon
        ([-2e6, 0.0, 0.0], True),  # behind it
        ([0.0, 2e6, 0.0], False),  # beside it
        ([-2e6, c.R_MOON + 1e3 + 2e6 * 5e-3, 0.0], False),  # past the edge, by parallax and more
        ([-2e6, 0.0, c.R_MOON - 1e3 - 2e6 * 5e-3], True),  # inside the edge
    ],
)
def test_hidden_by_hand(place, is_hidden):
    """The sphere hides what lies behind it and nothing else."""
    assert sight.hidden(np.array(place), FAR) == is_hidden


def test_hidden_at_the_very_edge():
    """A place a metre either side of the tangent from FAR is told from the other."""
    angle = asin(c.R_MOON / FAR[0])  # between the tangent and the line of centres
    on_edge = np.array([-2e6, (FAR[0] + 2e6) * np.tan(angle), 0.0])
    aside = np.array([0.0, 1.0, 0.0])
    assert not sight.hidden(on_edge + aside, FAR)
    assert sight.hidden(on_edge - aside, FAR)


def test_hidden_takes_arrays_and_another_sphere():
    """Many places at once, each as if alone; a smaller sphere hides less."""
    places = circle(np.array([0.0, 0.0, 1.0]), FAR)
    found = sight.hidden(places, FAR)
    assert found.shape == (STEPS,)
    assert all(found[i] == sight.hidden(places[i], FAR) for i in range(0, STEPS, 1000))
    assert 0 < sight.hidden(places, FAR, c.R_MOON / 2.0).sum() < found.sum()


def test_share_of_an_orbit_out_of_contact():
    """Of a circle 110 km up, in a plane through Earth, 39.3 % is out of sight.

    2 asin(R / (R + h)) / (2 pi), and the parallax of 0.15 %; told to two of its steps.
    """
    to_earth = -ephemeris.moon(T).r
    axis = unit(cross(to_earth, selenography.lunar_pole(T)))
    lost = 1.0 - np.mean([sight.in_contact(place, T) for place in circle(axis, to_earth)])
    distance = float(np.linalg.norm(to_earth))
    assert lost == pytest.approx(share(A, distance), abs=2.0 / STEPS)
    assert lost == pytest.approx(2.0 * asin(c.R_MOON / A) / (2.0 * pi), abs=2e-3)


@pytest.mark.parametrize("day", range(1, 28, 4))
def test_share_out_of_contact_over_the_equator(day):
    """Over the Moon's equator it is less, by how far Earth stands out of that plane.

    The edge of the shadow, at `half` from the point opposite Earth, is reached where
    cos(half) = cos(latitude) cos(angle along the orbit).
    """
    t = tdb_from_utc(datetime(2029, 4, day))
    to_earth, pole = -ephemeris.moon(t).r, selenography.lunar_pole(t)
    hid = sight.hidden(circle(pole, to_earth), to_earth).mean()
    half = pi * share(A, float(np.linalg.norm(to_earth)))
    latitude = asin(float(unit(to_earth) @ pole))
    assert abs(latitude) < 6.9 * c.DEG  # of the sub-Earth point, Moon's libration
    wanted = np.arccos(np.cos(half) / np.cos(latitude)) / pi
    assert hid == pytest.approx(wanted, abs=2.0 / STEPS)


@pytest.mark.parametrize("beta", [0.0, 30.0, 60.0, 80.0])
def test_share_of_an_orbit_in_the_shadow(beta):
    """In a plane through the Sun the share is that above; it shrinks with beta and ends at 70 deg.

    The orbit of 110 km stays in sunlight once beta exceeds asin(R / a) = 70.1 deg.
    """
    to_sun = ephemeris.sun(T).r - ephemeris.moon(T).r
    flat = unit(cross(unit(to_sun), np.array([0.0, 0.0, 1.0])))
    axis = np.cos(beta * c.DEG) * flat + np.sin(beta * c.DEG) * unit(to_sun)
    dark = 1.0 - np.mean([sight.in_sunlight(place, T) for place in circle(axis, to_sun)])
    half = pi * share(A, float(np.linalg.norm(to_sun)))
    edge = min(1.0, np.cos(half) / np.cos(beta * c.DEG))
    assert dark == pytest.approx(np.arccos(edge) / pi, abs=2.0 / STEPS)
    assert (dark == 0.0) == (beta == 80.0)


def test_the_sun_lights_the_day_side():
    """Where the Sun stands over the horizon of a level place, it is in sight just above it."""
    for longitude in np.arange(-180.0, 180.0, 20.0) * c.DEG:
        elevation = sight.sun_elevation(0.2, longitude, T)
        above = selenography.site_position(0.2, longitude, T, elevation=1.0)
        if abs(elevation) > 1.0 * c.DEG:
            assert sight.in_sunlight(above, T) == (elevation > 0.0)


def test_sun_elevation_follows_the_subsolar_point():
    """Overhead under the Sun, on the horizon a quarter turn away, nadir on the other side."""
    sun = selenography.moon_fixed_axes(T) @ (ephemeris.sun(T).r - ephemeris.moon(T).r)
    latitude, longitude = atan2(sun[2], hypot(sun[0], sun[1])), atan2(sun[1], sun[0])
    horizon = c.R_MOON / float(np.linalg.norm(sun))  # parallax: 2.4 arcsec
    assert sight.sun_elevation(latitude, longitude, T) == pytest.approx(pi / 2, abs=1e-9)
    assert sight.sun_elevation(-latitude, longitude + pi, T) == pytest.approx(-pi / 2, abs=1e-9)
    for aside in (-pi / 2, pi / 2):
        found = sight.sun_elevation(0.0, longitude + aside, T)
        assert found == pytest.approx(-horizon, abs=1e-9)


def test_sun_rises_half_a_degree_an_hour_on_the_moon():
    """A lunation of 29.53 d: 0.508 deg an hour at the equator, near the terminator."""
    longitude = next(
        x
        for x in np.arange(0.0, 2.0 * pi, 0.01)
        if 0.0 < sight.sun_elevation(0.0, x, T) < 0.03
        and sight.sun_elevation(0.0, x, T + c.HOUR) > sight.sun_elevation(0.0, x, T)
    )
    later = sight.sun_elevation(0.0, longitude, T + 10 * c.HOUR)
    rate = (later - sight.sun_elevation(0.0, longitude, T)) / (10.0 * c.DEG)
    assert rate == pytest.approx(360.0 / (29.53 * 24.0), rel=0.02)  # the lunation's own swing


def test_sun_elevation_on_earth_at_the_equinox_and_at_noon():
    """At the equinox of 2029-03-20 08:02 UTC (almanacs; from memory) both poles see it half risen.

    The axis is that of date; the minute is 0.02 arcmin of declination, light time 0.34 arcmin.
    """
    t = tdb_from_utc(datetime(2029, 3, 20, 8, 2))
    pole = true_equator(t)[2] * c.R_EARTH
    for place in (pole, -pole):
        assert sight.sun_elevation_on_earth(place, t) == pytest.approx(0.0, abs=2e-4)
    to_sun = unit(ephemeris.sun(t).r) * c.R_EARTH
    assert sight.sun_elevation_on_earth(to_sun, t) == pytest.approx(pi / 2, abs=1e-9)


def test_sun_elevation_on_earth_turns_with_it():
    """At noon UTC on the equinox the Sun stands 1.8 deg short of the meridian at Greenwich.

    The equation of time is -7.4 min on 20 March (Astronomical Almanac; from memory).
    """
    t = tdb_from_utc(datetime(2029, 3, 20, 12))
    place = earth_fixed_axes(t).T @ np.array([c.R_EARTH, 0.0, 0.0])
    short = 90.0 - sight.sun_elevation_on_earth(place, t) / c.DEG
    assert short == pytest.approx(7.4 / 4.0, abs=0.1)


def test_night_is_half_of_a_month_on_the_moon():
    """At the equator, over the synodic month of 29.53 d; the rest of it is day, to the second."""
    begin = tdb_from_utc(datetime(2032, 5, 1))
    month = 29.53 * c.DAY
    night = sight.time_in_night(0.0, 0.4, begin, begin + month)
    assert night == pytest.approx(month / 2.0, rel=0.01)  # the Moon's pace varies by some per cent
    day = sight.time_in_night(0.0, 0.4 + pi, begin, begin + month)  # the far side of it
    assert night + day == pytest.approx(month, abs=3600.0)
    looks = np.arange(begin, begin + month, 600.0)
    dark = sum(sight.sun_elevation(0.0, 0.4, float(t)) < 0.0 for t in looks) * 600.0
    assert night == pytest.approx(dark, abs=1500.0)  # that is as coarse as its looks, twice


@pytest.mark.parametrize("hours", [0.0, 0.5, 100.0])
def test_night_alone_and_day_alone(hours):
    """From the middle of either the Sun stays where it is: all of the time, or none."""
    begin = tdb_from_utc(datetime(2032, 5, 1))
    sun = selenography.moon_fixed_axes(begin) @ (ephemeris.sun(begin).r - ephemeris.moon(begin).r)
    noon = atan2(sun[1], sun[0])
    for place, dark in ((noon, 0.0), (noon + pi, hours)):
        found = sight.time_in_night(0.0, place, begin, begin + hours * c.HOUR)
        assert found == pytest.approx(dark * c.HOUR, abs=1e-3)
