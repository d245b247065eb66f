"""The way home: a burn whose arc meets the entry interface, told again by the other integrator."""

from dataclasses import replace
from math import cos, degrees, radians, sin

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import homeward, lunar_orbit, nbody
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, entry_miss, flight_path_angle
from mplan.physics.bodies import ephemeris
from mplan.physics.targeting import NoArc
from mplan.physics.twobody import conic, kepler, speed

HOURS, ENTRY_ANGLE = 70, -0.1134


@pytest.fixture
def circle(planned, a_date):
    there = planned(a_date)[1].perilune
    return lunar_orbit.circular(lunar_orbit.LunarOrbit(there.t, there.lunar_r, there.lunar_v))


def test_meets_its_entry(date, returned):
    """The angle to 0.01 deg and the time to 1 s by the integrator that did not plan it."""
    arc = returned(date)
    end = nbody.fly_arc(arc.r, arc.v, arc.t, 6 * c.DAY, "earth", back_end=nbody.back_ends()[-1])
    assert end.stop == "entry interface"
    assert degrees(flight_path_angle(end.r, end.v) - ENTRY_ANGLE) == pytest.approx(0.0, abs=0.01)
    assert end.t - arc.t == pytest.approx(HOURS * c.HOUR, abs=1.0)
    assert arc.flight_path_angle == pytest.approx(ENTRY_ANGLE, abs=radians(0.001))


def test_leaves_from_the_orbit_within_one_revolution(returned, a_date, circle):
    arc = returned(a_date)
    luna = ephemeris.moon(arc.t)
    here = lunar_orbit.coast(circle, arc.t - circle.t)
    np.testing.assert_allclose(arc.r - luna.r, here.r, atol=1.0)
    np.testing.assert_allclose(arc.v - arc.burn - luna.v, here.v, atol=1e-3)
    assert 0.0 <= arc.t - circle.t <= 7200.0
    assert arc.delta_v == pytest.approx(np.linalg.norm(arc.burn))


def test_no_cheaper_burn_is_near(returned, a_date, circle):
    """Ten minutes of orbit either way, the burn aimed anew, costs no less.

    The place is chosen on joined conics, five degrees apart: 3 m/s of the true best.
    """
    best = returned(a_date).delta_v
    for later in (-600.0, 600.0):
        place = lunar_orbit.coast(circle, returned(a_date).t + later - circle.t)
        luna = ephemeris.moon(place.t)
        miss = _aimed(place, luna)
        assert miss > best - 3.0


def _aimed(place, luna):
    """Return the size of the burn at one place that meets the same entry."""
    from mplan.physics.targeting import solve

    def arrive(burn):
        end = nbody.fly_arc(place.r + luna.r, place.v + luna.v + burn, place.t, 6 * c.DAY, "earth")
        return entry_miss(end, place.t + HOURS * c.HOUR, ENTRY_ANGLE)

    asymptotes = homeward.return_asymptotes(place.t, HOURS * c.HOUR, ENTRY_ANGLE)
    burns = homeward.departures(place.r[None], asymptotes)[0] - place.v
    start = burns[np.argmin(np.linalg.norm(burns, axis=-1))]
    return float(np.linalg.norm(solve(arrive, start, homeward.SCALING, corrections=60)))


def test_departures_reach_their_asymptotes():
    """Battin's velocities, flown by Kepler's motion far out, run along the asked asymptote."""
    places = np.array([[1.85e6, 0.0, 0.0], [0.0, 1.8e6, 5e5]])
    asymptotes = np.array([[900.0, 300.0, 0.0], [-200.0, 800.0, 300.0]])
    leaving = homeward.departures(places, asymptotes)
    assert leaving.shape == (2, 2, 3)
    for place, row in zip(places, leaving, strict=True):
        for asymptote, v in zip(asymptotes, row, strict=True):
            _, far = kepler(place, v, 3e7, c.MU_MOON)
            np.testing.assert_allclose(far, asymptote, atol=2.0)


@pytest.mark.parametrize("hours", [45.0, 60.0, 80.0, 100.0])
def test_return_asymptotes_fall_to_the_interface(hours):
    """The conics of the first guess, flown by Kepler's motion with the Moon neglected."""
    t = 5e8
    luna = ephemeris.moon(t)
    for v in homeward.return_asymptotes(t, hours * c.HOUR, ENTRY_ANGLE)[::12]:
        r, v = kepler(luna.r, luna.v + v, hours * c.HOUR, c.MU_EARTH)
        fall = conic(r, v, c.MU_EARTH)
        wanted = homeward.perigee_for(ENTRY_ANGLE, INTERFACE_RADIUS, fall.a)
        assert fall.periapsis == pytest.approx(wanted, rel=1e-6)
        assert np.linalg.norm(r) < 1.3e7  # the guess is told at perigee's side of the interface


@pytest.mark.parametrize("a", [-3e8, 1.9e8, 2.4e8])
@pytest.mark.parametrize("angle", [-0.5, -5.0, -6.5, -40.0])
def test_perigee_for(a, angle):
    """Built from the angle at the interface, the conic has the perigee that was told."""
    radius, pace = INTERFACE_RADIUS, speed(INTERFACE_RADIUS, a, c.MU_EARTH)
    fpa = radians(angle)
    here = conic(
        np.array([radius, 0.0, 0.0]), pace * np.array([sin(fpa), cos(fpa), 0.0]), c.MU_EARTH
    )
    assert homeward.perigee_for(fpa, radius, a) == pytest.approx(here.periapsis, rel=1e-9)
    assert flight_path_angle(np.array([1.0, 0.0, 0.0]), np.array([sin(fpa), cos(fpa), 0.0])) == (
        pytest.approx(fpa)
    )


@pytest.mark.parametrize(
    ("hours", "angle", "text"),
    [
        (30, ENTRY_ANGLE, r"30\.0 h is too short a flight home from the Moon"),
        (HOURS, 0.0, "passes above the entry interface"),
    ],
)
def test_no_arc(circle, hours, angle, text):
    with pytest.raises(NoArc, match=text):
        homeward.target_return(circle, time_of_flight=hours * c.HOUR, entry_angle=angle)


def test_an_arc_that_never_comes_back(returned, a_date):
    lost = replace(returned(a_date).interface, stop="time")
    with pytest.raises(NoArc, match="does not come back to Earth"):
        entry_miss(lost, lost.t, ENTRY_ANGLE)
