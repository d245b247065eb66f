"""Flying what is given: states, coasts to their stops, burns, orbits from insertions."""

from __future__ import annotations

from math import degrees, radians

import numpy as np
import pytest

import mplan
from mplan.calculations.states import ArgumentError
from mplan.physics import constants as c
from mplan.physics.arcs import coasting, nbody
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
