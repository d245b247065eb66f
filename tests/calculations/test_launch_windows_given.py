"""Launch windows for a fixed arrival at the Moon: their ends, and their messages."""

from __future__ import annotations

from datetime import datetime
from math import acos, cos, degrees, sin, sqrt

import numpy as np
import pytest

import mplan
from mplan.physics import constants as c
from mplan.physics.bodies import earth
from mplan.physics.bodies.time import tdb_from_utc, utc_from_tdb
from mplan.physics.climb import launch_azimuth
from mplan.physics.vectors import turned, unit
from mplan.scenario.arguments import ArgumentError

CLIMB = 11.8 * c.MINUTE  # the default
GIVEN = {
    "arrival": "2031-05-29 00:00",
    "latitude": "28 deg",
    "longitude": "-80 deg",
    "azimuths": ("80 deg", "95 deg"),
}


@pytest.fixture(scope="module")
def found():
    return mplan.launch_windows("2031-05-25", **GIVEN)


def test_each_end_lies_on_a_limit_and_arrives_in_time(found):
    """Both windows go from one azimuth limit to the other; each flight arrives at the moment."""
    arrival = tdb_from_utc(datetime(2031, 5, 29))
    assert len(found) == 2
    assert {x.side for x in found} == {"ascending", "descending"}
    for window in found:
        assert window.opens.t < window.closes.t
        assert sorted(degrees(x.azimuth) for x in (window.opens, window.closes)) == pytest.approx(
            [80.0, 95.0], abs=1e-3
        )
        for end in (window.opens, window.closes):
            assert end.injection + end.time_of_flight == pytest.approx(arrival, abs=0.01)
            plane = launch_azimuth.of_plane(end.azimuth, 28 * c.DEG)
            assert end.plane_azimuth == pytest.approx(plane)


def normal_of(end):
    """Return the normal (3,), GCRS, of the plane at injection.

    That left at lift-off, turned by J2 from insertion on, from the site's place and the plane's
    azimuth alone: 1.5 n J2 (R / a)^2 cos i (Vallado 2013, sec. 9.6).
    """
    latitude, longitude = earth.geocentric_latitude(28 * c.DEG), -80 * c.DEG
    up = np.array([cos(latitude) * cos(longitude), cos(latitude) * sin(longitude), sin(latitude)])
    east = np.array([-sin(longitude), cos(longitude), 0.0])
    ahead = sin(end.plane_azimuth) * east + cos(end.plane_azimuth) * np.cross(up, east)
    normal = earth.earth_fixed_axes(end.t).T @ np.cross(up, ahead)
    a = c.R_EARTH + 185e3
    rate = 1.5 * sqrt(c.MU_EARTH / a**3) * c.J2_EARTH * (c.R_EARTH / a) ** 2 * cos(end.inclination)
    pole = earth.true_equator(end.t)[2]
    return turned(normal, pole, -rate * (end.injection - end.t - CLIMB))


def test_the_way_is_that_of_a_free_node(found):
    """`translunar`, which knows no launch site, needs the plane that the site leads to.

    Of the same date of injection, time of flight, inclination and side it finds the node itself:
    within 0.002 deg, half a second of lift-off, and the same burn to 1 mm/s.
    """
    for window in found:
        for end in (window.opens, window.closes):
            there = mplan.translunar(
                utc_from_tdb(end.injection),
                time_of_flight=f"{end.time_of_flight / 3600} h",
                inclination=f"{degrees(end.inclination)} deg",
                side=window.side,
            )
            assert there.delta_v == pytest.approx(end.delta_v, abs=1e-3)
            normal = unit(np.cross(there.before.r, there.before.v))
            assert degrees(acos(normal @ normal_of(end))) < 0.002


def test_no_window_is_a_result():
    """Along due east from 2 deg no orbit comes under a Moon 24 deg from the equator."""
    none = mplan.launch_windows(
        "2031-05-25", **{**GIVEN, "latitude": "2 deg", "azimuths": ("89.9 deg", "90.1 deg")}
    )
    assert list(none) == []
    assert "none on this day" in repr(none)


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"day": "2031-05-25 12:00"}, "day: found .*, with a time of day"),
        ({"day": "someday"}, "day: found .*, not a date"),
        ({"arrival": "2031-05-25 12:00"}, "arrival: found .*12.0 h after the day begins"),
        ({"arrival": "2031-06-25 12:00"}, "flights take 40 h to 130 h"),
        ({"azimuths": "72 deg"}, "azimuths: found '72 deg'; accepted: two"),
        ({"azimuths": ("108 deg", "72 deg")}, "the lesser one first"),
        ({"azimuths": (72, 108)}, "a bare number"),
        ({"revolutions": 1.5}, "revolutions: found 1.5"),
        ({"revolutions": True}, "revolutions: found True"),
        ({"approach": "polar"}, 'accepted: "retrograde", "prograde"'),
        ({"climb": "2 h"}, "climb: found .*, too large"),
        ({"latitude": "95 deg"}, "latitude: found .*, too large"),
    ],
)
def test_bad_input(change, text):
    """One message with the argument's name, what was found and what is accepted."""
    given = {"day": "2031-05-25"} | GIVEN | change
    day = given.pop("day")
    with pytest.raises(ArgumentError, match=text):
        mplan.launch_windows(day, **given)
