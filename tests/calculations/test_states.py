"""Flying what is given: states, coasts to their stops, burns, orbits from insertions."""

from __future__ import annotations

from math import cos, degrees, radians, sin

import numpy as np
import pytest

import mplan
from mplan.calculations.states import ArgumentError
from mplan.physics import constants as c
from mplan.physics.arcs import coasting, nbody
from mplan.physics.bodies import earth, selenography
from mplan.physics.twobody import circular_speed, kepler, period

WHEN = "2031-05-25 20:00"
PUSH = {"thrust": "1 MN", "isp": "450 s", "mass": "130 t"}


@pytest.fixture(scope="module")
def there():
    return mplan.translunar(WHEN)


@pytest.fixture(scope="module")
def lunar_orbit(there):
    return mplan.lunar_orbit_insertion(there).orbit


def test_a_coast_to_perilune_meets_what_was_aimed_at(there):
    """The state after the injection leads where `translunar` aimed it."""
    past = mplan.coast(there.departure, until="perilune", longest="5 d")
    assert past.stop == "perilune"
    assert past.end.t == pytest.approx(there.perilune.t, abs=0.1)
    np.testing.assert_allclose(past.end_at_moon.r, there.perilune.r, atol=200.0)


def test_both_integrators_stop_at_the_same_place(there):
    """Within 30 m at the Moon, 3 ms, and 5 km at the perigee after it, which the Moon magnifies."""
    if len(nbody.back_ends()) < 2:
        pytest.skip("one integrator on this machine")
    start = there.departure
    for stop, near in (("perilune", 30.0), ("perigee", 5e3)):
        one, other = (
            coasting.coast_to(start.r, start.v, start.t, 12 * c.DAY, stop, back_end=each)
            for each in nbody.back_ends()
        )
        assert one.stop == other.stop == stop
        assert np.linalg.norm(one.r - other.r) < near + 2e3 * abs(one.t - other.t)


def test_a_lunar_orbit_goes_from_apse_to_apse(lunar_orbit):
    """On an ellipse the apses follow one another half a revolution apart.

    On the circle they would not: Earth's pull raises two tides a revolution on it.
    """
    start = mplan.state(
        str(lunar_orbit.utc), lunar_orbit.r, 1.05 * lunar_orbit.v, units="m, m/s", centre="Moon"
    )
    low = mplan.coast(start, until="perilune", longest="1 d")
    high = mplan.coast(low.end_at_moon, until="apolune", longest="1 d")
    again = mplan.coast(high.end_at_moon, until="perilune", longest="1 d")
    assert (low.stop, high.stop, again.stop) == ("perilune", "apolune", "perilune")
    assert low.end_at_moon.distance < high.end_at_moon.distance
    turn = period((low.end_at_moon.distance + high.end_at_moon.distance) / 2.0, c.MU_MOON)
    assert low.duration == pytest.approx(turn, rel=0.01)
    assert high.duration == pytest.approx(turn / 2.0, rel=0.01)
    assert again.duration == pytest.approx(turn / 2.0, rel=0.01)


def test_a_coast_ends_at_the_air_and_at_the_moon(there, lunar_orbit):
    """Whatever is asked for: an arc into Earth's air, one onto the Moon."""
    fast = circular_speed(6578e3, c.MU_EARTH)
    falling = mplan.state(WHEN, [6578.0, 0, 0], [0, 0.97 * fast / 1e3, 0], units="km, km/s")
    down = mplan.coast(falling, until="apogee", longest="1 d")
    assert down.stop == "entry interface"
    assert degrees(down.flight_path_angle) < -0.5
    r, v = lunar_orbit.r, 0.9 * lunar_orbit.v
    struck = mplan.coast(
        mplan.state(str(lunar_orbit.utc), r, v, units="m, m/s", centre="Moon"), longest="1 d"
    )
    assert struck.stop == "Moon's surface"
    assert struck.end_at_moon.distance == pytest.approx(c.R_MOON, abs=1.0)


def test_a_coast_for_a_time_is_keplers_where_nothing_else_pulls_much():
    """An hour in a low orbit: J2 moves it by tens of km, the rest by metres."""
    start = mplan.state(WHEN, [7000e3, 0, 0], [0, 0, 7546.0], units="m, m/s")
    end = mplan.coast(start, longest="1 h")
    assert (end.stop, end.duration) == ("time", 3600.0)
    r, _ = kepler(start.r, start.v, 3600.0, c.MU_EARTH)
    off = np.linalg.norm(end.end.r - r)
    assert 1e3 < off < 60e3


def test_a_burn_uses_what_the_rocket_equation_says(there):
    """Masses by the rocket equation; along the velocity, speed gained less what gravity takes."""
    flown = mplan.burn(there.before, **PUSH, delta_v="3190 m/s")
    spent = 130e3 * (1.0 - np.exp(-3190.0 / (450.0 * c.G0)))
    assert flown.propellant == pytest.approx(spent)
    assert flown.delta_v == pytest.approx(3190.0)
    assert flown.along == pytest.approx(3190.0, abs=1e-3)
    lost = flown.delta_v - (flown.end.speed - flown.start.speed)
    energy = [each.speed**2 / 2.0 - c.MU_EARTH / each.distance for each in (flown.start, flown.end)]
    climbed = flown.end.distance - flown.start.distance
    # all that gravity took from the speed is in the height climbed
    assert energy[1] - energy[0] > 0.0
    assert lost == pytest.approx(c.G0 * 0.94 * climbed / flown.end.speed, rel=0.2)


def test_a_burn_without_gravity_to_speak_of_is_the_rocket_equation():
    """Far from everything, held in a direction: the change of velocity is the delta-v, along it."""
    start = mplan.state(WHEN, [0, 9e5, 0], [0, 0, 0.1], units="km, km/s")
    along = np.array([1.0, 2.0, -2.0]) / 3.0
    flown = mplan.burn(start, **PUSH, delta_v="500 m/s", direction=list(along))
    free = mplan.coast(start, longest=f"{flown.duration} s").end
    np.testing.assert_allclose(flown.end.v - free.v, 500.0 * along, atol=0.01)


def test_a_burn_against_the_velocity_about_the_moon_lowers_the_orbit(lunar_orbit):
    """The velocity steered along is that about the Moon; the end is told about the Moon."""
    flown = mplan.burn(
        lunar_orbit,
        thrust="50 kN",
        isp="311 s",
        mass="15 t",
        direction="backwards",
        duration="10 s",
    )
    assert flown.end.speed - flown.start.speed == pytest.approx(-flown.delta_v, abs=0.1)
    assert flown.end.frame == lunar_orbit.frame
    low = mplan.coast(flown.end, until="perilune", longest="3 h")
    assert low.end_at_moon.distance < lunar_orbit.distance - 50e3


@pytest.mark.parametrize("latitude_is", ["geodetic", "geocentric"])
def test_an_insertion_gives_its_orbit_back(latitude_is):
    """Circular speed, level and due east over a latitude: that latitude is the inclination."""
    height = 185e3
    found = mplan.parking_orbit(
        WHEN,
        altitude="185 km",
        latitude="28 deg",
        longitude="-39 deg",
        speed="7800 m/s",
        heading="90 deg",
        latitude_is=latitude_is,
    )
    tilt = degrees(found.inclination)
    assert tilt == pytest.approx(28.0 if latitude_is == "geocentric" else 27.84, abs=0.01)
    assert found.state.distance == pytest.approx(6373.4e3 + height, abs=1e3)
    # level: at an apse, here perigee, as it is faster than the circle
    assert found.true_anomaly == pytest.approx(0.0, abs=1e-6) or found.true_anomaly > 6.28
    assert degrees(found.perigee_argument) == pytest.approx(90.0, abs=0.01)
    orbit = mplan.coast(found.state, until="apogee", longest="2 h")
    # J2 makes the orbit breathe by some km
    assert orbit.end.distance - c.R_EARTH == pytest.approx(found.apogee_altitude, abs=12e3)


REFUSED = {
    "a state within Earth": (
        lambda: mplan.state(WHEN, [6000, 0, 0], [0, 1, 0], units="km, km/s"),
        r"r: found 6,000\.000 km from the centre; accepted: from 6,356\.8 km, the body's radius",
    ),
    "metres taken for kilometres": (
        lambda: mplan.state(WHEN, [7000e3, 0, 0], [0, 7500, 0], units="km, km/s"),
        r"r: found 7,000,000\.000 km from the centre",
    ),
    "too fast": (
        lambda: mplan.state(WHEN, [7000, 0, 0], [0, 7500, 0], units="km, km/s"),
        r"v: found 7,500,000 m/s; accepted: up to 20,000 m/s",
    ),
    "two numbers": (
        lambda: mplan.state(WHEN, [7000, 0], [0, 7.5, 0], units="km, km/s"),
        r"r: found \[7000, 0\]; accepted: three numbers \(km, km/s\)",
    ),
    "not a number": (
        lambda: mplan.state(WHEN, [7000, float("nan"), 0], [0, 7.5, 0], units="km, km/s"),
        r"r: found .*nan.*; accepted: three numbers",
    ),
    "units unknown": (
        lambda: mplan.state(WHEN, [7000, 0, 0], [0, 7.5, 0], units="miles"),
        r"units: found .*miles",
    ),
    "a date outside the ephemeris": (
        lambda: mplan.state("1850-01-01", [7000, 0, 0], [0, 7.5, 0], units="km, km/s"),
        r"when: found .*1850-01-01.*outside the ephemeris",
    ),
    "a coast to nowhere": (
        lambda: mplan.coast(good(), until="pericentre", longest="1 d"),
        r"until: found .*pericentre",
    ),
    "a coast too long": (lambda: mplan.coast(good(), longest="40 d"), r"longest: found .*40 d"),
    "a coast of no state": (lambda: mplan.coast([1, 2], longest="1 d"), r"start: found list"),
    "a burn of both lengths": (
        lambda: mplan.burn(good(), **PUSH, delta_v="1 m/s", duration="1 s"),
        r"delta_v, duration: found both; accepted: one of the two",
    ),
    "a burn of no length": (lambda: mplan.burn(good(), **PUSH), r"found neither"),
    "a burn that uses up the craft": (
        lambda: mplan.burn(good(), **PUSH, duration="20 min"),
        r"duration: found 1,200\.0 s \(the burn would use up the craft itself\)",
    ),
    "a direction of zeros": (
        lambda: mplan.burn(good(), **PUSH, delta_v="1 m/s", direction=[0, 0, 0]),
        r"direction: found \(0, 0, 0\)",
    ),
    "a negative mass": (
        lambda: mplan.burn(good(), thrust="1 MN", isp="450 s", mass="-1 t", delta_v="1 m/s"),
        r"mass: found .*-1 t",
    ),
    "an insertion that escapes": (
        lambda: mplan.parking_orbit(
            WHEN,
            altitude="185 km",
            latitude="0 deg",
            longitude="0 deg",
            speed="11.1 km/s",
            heading="90 deg",
        ),
        r'speed: found "11\.1 km/s"; accepted: less than 11,0\d\d\.\d m/s, that of escape',
    ),
}


def good():
    return mplan.state(WHEN, [7000, 0, 0], [0, 7.5, 0], units="km, km/s")


@pytest.mark.parametrize(("call", "message"), REFUSED.values(), ids=REFUSED)
def test_bad_input_is_told(call, message):
    """One clear message: what, found, accepted."""
    with pytest.raises(ArgumentError, match=message):
        call()


def test_results_print_themselves(there):
    """With units and the caution."""
    orbit = mplan.parking_orbit(
        WHEN,
        altitude="191 km",
        latitude="32.5 deg",
        longitude="-52.7 deg",
        speed="7793 m/s",
        heading="88.8 deg",
    )
    for each in (
        orbit,
        mplan.burn(orbit.state, **PUSH, duration="100 s"),
        mplan.coast(orbit.state, longest="1 h"),
    ):
        assert "A planning study, not flight approval." in repr(each)
        assert " km" in repr(each)
        assert "UTC" in repr(each)
    assert radians(32.0) < orbit.inclination < radians(33.0)


def test_nodes_of_earths_equator():
    """Coasted to its nodes, an orbit crosses the equator where its elements say.

    J2 turns the node back by 0.35 deg a revolution; half a revolution lies between the two.
    """
    orbit = mplan.parking_orbit(
        WHEN,
        altitude="300 km",
        latitude="-20 deg",
        longitude="10 deg",
        speed="7730 m/s",
        heading="60 deg",
    )
    up = mplan.coast(orbit.state, until="ascending node", longest="3 h")
    down = mplan.coast(up.end, until="descending node", longest="3 h")
    again = mplan.coast(up.end, until="ascending node", longest="3 h")
    assert [x.stop for x in (up, down, again)] == [
        f"{x}ing node" for x in ("ascend", "descend", "ascend")
    ]
    axes = earth.true_equator(up.end.t)
    for end, sense in ((up.end, 1.0), (down.end, -1.0)):
        place, pace = axes @ end.r, axes @ end.v
        assert abs(place[2]) < 10.0
        assert sense * pace[2] > 0.0
        longitude = degrees(np.arctan2(sense * place[1], sense * place[0])) % 360.0
        assert longitude == pytest.approx(degrees(orbit.node), abs=0.5)
    assert down.duration == pytest.approx(orbit.period / 2.0, rel=0.01)
    assert again.duration == pytest.approx(orbit.period, rel=0.005)


def test_nodes_of_the_moons_equator(lunar_orbit):
    """Those of a state about the Moon are of the Moon's own equator."""
    up = mplan.coast(lunar_orbit, until="ascending node", longest="1 d")
    pole = selenography.lunar_pole(lunar_orbit.t)
    assert abs(up.end_at_moon.r @ pole) < 10.0
    assert up.end_at_moon.v @ pole > 0.0


def test_a_turning_burn_far_from_everything():
    """Turned at a steady rate: a / w (sin w t, 1 - cos w t), the mass hardly changing.

    A kilogram of 10 t is used; gravity is taken off as a coast without the burn feels it.
    """
    still = mplan.state(WHEN, [9e5, 0, 0], [0, 0.5, 0], units="km, km/s")
    flown = mplan.burn(
        still,
        thrust="100 N",
        isp="5000 s",
        mass="10 t",
        direction=[0, 1, 0],
        turn_rate="0.1 deg/s",
        duration="500 s",
    )
    free = mplan.coast(still, longest="500 s")
    w, a = radians(0.1), 100.0 / 10e3
    along, across = a / w * sin(w * 500.0), a / w * (1.0 - cos(w * 500.0))
    # The orbit's normal is z: the thrust turns from y towards -x.
    np.testing.assert_allclose(flown.end.v - free.end.v, [-across, along, 0.0], atol=2e-3)
    held = mplan.burn(
        still, thrust="100 N", isp="5000 s", mass="10 t", direction=[0, 1, 0], duration="500 s"
    )
    np.testing.assert_allclose(held.end.v - free.end.v, [0.0, a * 500.0, 0.0], atol=2e-3)


def test_what_gravity_and_steering_do_is_told():
    """Straight up from rest over the Moon: gravity takes g t; the thrust lies along all the way."""
    low = mplan.state(WHEN, [1740, 0, 0], [0, 0, 0], units="km, km/s", centre="Moon")
    flown = mplan.burn(
        low, thrust="50 kN", isp="311 s", mass="10 t", direction=[1, 0, 0], duration="20 s"
    )
    gravity = c.MU_MOON / 1740e3**2
    assert flown.by_gravity == pytest.approx(-gravity * 20.0, rel=0.01)
    assert flown.by_steering == pytest.approx(0.0, abs=1e-3)
    assert "by gravity" in repr(flown)


def test_an_insertion_over_ground():
    """Due east over the equator the ground's own 465 m/s at sea level is added."""
    given = {
        "altitude": "200 km",
        "latitude": "0 deg",
        "longitude": "0 deg",
        "heading": "90 deg",
    }
    over = mplan.parking_orbit(WHEN, speed="7300 m/s", speed_is="over ground", **given)
    own = c.W_EARTH * (c.R_EARTH + 200e3)
    assert over.state.speed == pytest.approx(7300.0 + own, abs=1e-3)
    still = mplan.parking_orbit(WHEN, speed=f"{7300.0 + own:.6f} m/s", **given)
    assert over.a == pytest.approx(still.a, abs=1.0)


@pytest.mark.parametrize("latitude", [-63.0, 5.0, 28.0, 51.6])
def test_a_geodetic_place_is_met(latitude):
    """The state stands over the place on the map, at the height given."""
    orbit = mplan.parking_orbit(
        WHEN,
        altitude="250 km",
        latitude=f"{latitude} deg",
        longitude="-75 deg",
        speed="7750 m/s",
        heading="80 deg",
    )
    north, east, height = earth.geodetic(orbit.state.r, orbit.state.t)
    assert degrees(north) == pytest.approx(latitude, abs=1e-9)
    assert degrees(east) == pytest.approx(-75.0, abs=1e-9)
    assert height == pytest.approx(250e3, abs=1e-3)


def test_a_perigee_in_the_air_is_said():
    """An orbit that comes down is a result, and told as one."""
    orbit = mplan.parking_orbit(
        WHEN,
        altitude="185 km",
        latitude="0 deg",
        longitude="0 deg",
        speed="7700 m/s",
        heading="90 deg",
    )
    assert orbit.flies_into_air
    assert "lies in the air" in repr(orbit)
    assert mplan.coast(orbit.state, until="apogee", longest="2 h").stop == "entry interface"


def test_a_burn_into_the_ground_is_refused(lunar_orbit):
    """No state below the surface is given out."""
    down = -lunar_orbit.r
    with pytest.raises(ArgumentError, match="the path meets the ground after"):
        mplan.burn(
            lunar_orbit, thrust="50 kN", isp="311 s", mass="15 t", direction=down, duration="500 s"
        )


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"turn_rate": "1 deg/s"}, "turn_rate: found .*; accepted: none with forwards"),
        ({"direction": [1, 0, 0], "turn_rate": "1 deg"}, "turn_rate: found .*dimension"),
        ({"direction": [1, 0, 0], "turn_rate": "20 deg/s"}, "turn_rate: found .*too large"),
    ],
)
def test_turning_that_makes_no_sense(change, text):
    """The rate is of a held vector, and within reason."""
    with pytest.raises(ArgumentError, match=text):
        mplan.burn(good(), **PUSH, delta_v="1 m/s", **change)


def test_a_burn_along_no_velocity():
    """A state at rest has no forwards."""
    low = mplan.state(WHEN, [1740, 0, 0], [0, 0, 0], units="km, km/s", centre="Moon")
    with pytest.raises(ArgumentError, match="a vector, from a state at rest"):
        mplan.burn(low, **PUSH, delta_v="1 m/s")


def test_a_coast_to_an_altitude(lunar_orbit, there):
    """Down to 15 km over the Moon's sphere before perilune; up through 1000 km on the way out."""
    fall = mplan.burn(
        lunar_orbit,
        thrust="50 kN",
        isp="311 s",
        mass="15 t",
        direction="backwards",
        delta_v="23 m/s",
    )
    low = mplan.coast(fall.end, until="altitude", altitude="15 km", longest="3 h")
    assert low.stop == "altitude"
    assert low.end_at_moon.distance - c.R_MOON == pytest.approx(15e3, abs=0.5)
    assert low.end_at_moon.r @ low.end_at_moon.v < 0.0
    again = mplan.coast(low.end_at_moon, until="altitude", altitude="15 km", longest="3 h")
    assert again.end_at_moon.r @ again.end_at_moon.v > 0.0
    up = mplan.coast(there.departure, until="altitude", altitude="1000 km", longest="1 d")
    assert earth.geodetic(up.end.r, up.end.t)[2] == pytest.approx(1000e3, abs=500.0)


def test_the_moons_field_tells_in_a_low_orbit(lunar_orbit):
    """A day at 110 km: terms of degree 3 to 8 move the craft by kilometres."""
    plain, full = (
        mplan.coast(lunar_orbit, longest="1 d", moon_field=x) for x in ("J2 and C22", "degree 8")
    )
    assert 1e3 < np.linalg.norm(plain.end.r - full.end.r) < 1e5


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"until": "altitude"}, "altitude: found none; accepted: one with"),
        ({"altitude": "10 km"}, 'altitude: found "10 km"; accepted: one with'),
        ({"until": "altitude", "altitude": "-1 km"}, "altitude: found .*too small"),
        ({"moon_field": "degree 60"}, 'moon_field: found .*accepted: "J2 and C22", "degree 8"'),
    ],
)
def test_a_coast_that_makes_no_sense(change, text):
    """What goes together is said."""
    with pytest.raises(ArgumentError, match=text):
        mplan.coast(good(), longest="1 d", **change)


@pytest.mark.parametrize("aside", [0, 500, 1700, 3000])
def test_no_coast_goes_through_the_moon(aside):
    """From far out towards the Moon's middle or nearly so, every path ends on its surface.

    At 1 km/s and `aside` [km] off the middle: below 4,500 km the Moon's pull draws it in.
    """
    far = mplan.state(WHEN, [60000, aside, 0], [-1.0, 0.0, 0.0], units="km, km/s", centre="Moon")
    for until in ("perilune", "apolune", "time"):
        found = mplan.coast(far, until=until, longest="3 d")
        assert found.stop == "Moon's surface"
        assert found.end_at_moon.distance == pytest.approx(c.R_MOON, abs=1.0)


def test_no_coast_goes_through_the_air():
    """Straight down from the Moon's distance, and past it with a perigee 1000 km deep."""
    for pace in (0.0, 0.15):
        far = mplan.state(WHEN, [0, 0, 3e5], [pace, 0, -1.0], units="km, km/s")
        found = mplan.coast(far, until="perigee", longest="10 d")
        assert found.stop == "entry interface"
        assert earth.geodetic(found.end.r, found.end.t)[2] == pytest.approx(121920.0, abs=500.0)


def test_an_altitude_just_over_perilune_is_met(there):
    """From two days out: 110 km is the perilune, 130 km are passed a minute before."""
    out = mplan.coast(there.departure, longest="50 h").end_at_moon
    found = mplan.coast(out, until="altitude", altitude="130 km", longest="3 d")
    assert found.stop == "altitude"
    assert found.end_at_moon.distance - c.R_MOON == pytest.approx(130e3, abs=1.0)
    assert 0.0 < there.perilune.t - found.end.t < 300.0
