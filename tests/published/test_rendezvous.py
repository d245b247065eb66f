"""Rendezvous about the Moon as flown and as planned then."""

from __future__ import annotations

from math import acos, cos, degrees, pi, radians, sin

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.rendezvous import relative
from mplan.physics.rendezvous.lead import required_lead
from mplan.physics.rendezvous.meeting import BRAKING, LEVELLING, RAISING, meet
from mplan.physics.rendezvous.terms import Terms
from mplan.physics.targeting import Scaling, solve
from mplan.physics.twobody import circular_speed, speed
from mplan.physics.vectors import unit

FT, NMI, MINUTE = 0.3048, 1852.0, 60.0
SITE = 1735.5e3  # m, radius of 11's landing site, over which heights are published (read: a memo)
LOW, HIGH, CIRCLE = (SITE + x * NMI for x in (9.0, 47.0, 60.0))

# Concentric rendezvous of 11, hours:minutes:seconds since lift-off and ft/s.
# Source: R. W. Orloff, Apollo by the Numbers, NASA SP-2000-4029, chronology (from memory).
INSERTION, DOCKING = 448155.7, 460980.0  # 124:29:15.7, 128:03:00
FLOWN = {  # s, ft/s
    "raising": (451175.0, 51.5),  # 125:19:35
    "coelliptic": (454670.0, 19.9),  # 126:17:50
    "terminal": (457432.0, 25.3),  # 127:03:52
    "braking": (459970.0, 31.4),  # 127:46:10
}
SHORT = {14: 6431.0, 15: 7143.0, 16: 7770.0, 17: 8138.0}  # s, lift-off to docking; same source
ASCENT = 432.0  # s, of 14; same source


def circle(radius=CIRCLE, angle=0.0):
    up, ahead = np.array([cos(angle), sin(angle), 0.0]), np.array([-sin(angle), cos(angle), 0.0])
    return LunarOrbit(0.0, radius * up, circular_speed(radius, c.MU_MOON) * ahead)


def inserted():
    fast = speed(LOW, (LOW + HIGH) / 2.0, c.MU_MOON)
    return LunarOrbit(0.0, np.array([LOW, 0.0, 0.0]), np.array([0.0, fast, 0.0]))


@pytest.fixture(scope="module")
def concentric():
    """The schedule of 11 from its orbits, height difference and waits alone."""
    wait = FLOWN["terminal"][0] - FLOWN["coelliptic"][0]
    terms = Terms(height=15.0 * NMI, coast=wait)
    return meet(inserted(), circle(angle=required_lead(terms, LOW, HIGH, CIRCLE)), terms)


def named(meeting, name):
    return next(x for x in meeting.steps if x.name.startswith(name))


def test_the_raising_burn_of_the_concentric_flight(concentric):
    """51.5 ft/s, 5 %: a mile of either orbit, given to whole ones, is 1.4 ft/s; and it was
    flown six minutes before the apolune at which ours is.
    """
    assert named(concentric, RAISING).size / FT == pytest.approx(FLOWN["raising"][1], rel=0.05)


def test_the_terminal_burns_of_the_concentric_flight(concentric):
    """25.3 and 31.4 ft/s, 7 %: both go with the height difference, known to a mile in fifteen."""
    assert concentric.terminal.size / FT == pytest.approx(FLOWN["terminal"][1], rel=0.07)
    assert concentric.closing / FT == pytest.approx(FLOWN["braking"][1], rel=0.07)
    assert concentric.sum_of(BRAKING) / FT == pytest.approx(FLOWN["braking"][1], rel=0.07)


def test_the_times_of_the_concentric_flight(concentric):
    """Half a turn from the first burn to the second: 58 min 15 s, 1 min for a mile in the orbit.

    42 min 18 s from the terminal burn to braking, 2 min: braking began as the crew saw fit. In
    all 3 h 34 min from insertion to docking, 8 min: the raising burn was flown 6 min earlier.
    """
    turn = named(concentric, LEVELLING).t - named(concentric, RAISING).t
    assert turn == pytest.approx(FLOWN["coelliptic"][0] - FLOWN["raising"][0], abs=MINUTE)
    phase = named(concentric, BRAKING).t - concentric.terminal.t
    expected = FLOWN["braking"][0] - FLOWN["terminal"][0]
    assert phase == pytest.approx(expected, abs=2.0 * MINUTE)
    assert concentric.duration == pytest.approx(DOCKING - INSERTION, abs=8.0 * MINUTE)


def test_the_coelliptic_burn_of_the_concentric_flight():
    """19.9 ft/s: not of the height difference, but of the ship's ellipse.

    The burn takes on the climb of an orbit that was left at 66.1 x 54.5 n mi (table E of the same
    source), up to 31 ft/s by the place of its perilune, which is not published. Over all places
    the flown one lies between the least and the greatest; on a circle it would be some 2 ft/s.
    """
    low, high = SITE + 54.5 * NMI, SITE + 66.1 * NMI
    terms = Terms(height=15.0 * NMI, coast=FLOWN["terminal"][0] - FLOWN["coelliptic"][0])
    ahead, sizes = required_lead(terms, LOW, HIGH, (low + high) / 2.0), []
    for perilune in np.arange(8) * pi / 4.0:
        start = circle(low, perilune)
        fast = speed(low, (low + high) / 2.0, c.MU_MOON) * unit(start.v)
        orbit = LunarOrbit(0.0, start.r, fast)
        turn = (ahead - perilune) % (2.0 * pi)
        when = orbit.period * turn / (2.0 * pi)  # the mean place; the true one is 0.7 deg off
        there = relative.orbit_at(orbit, when)
        ship = LunarOrbit(0.0, there.r, there.v)
        sizes.append(named(meet(inserted(), ship, terms), LEVELLING).size / FT)
    assert min(sizes) < FLOWN["coelliptic"][1] < max(sizes) < 45.0


@pytest.mark.parametrize(("above", "published"), [(False, 26.6), (True, 28.3)])
def test_the_sight_along_which_the_terminal_burn_goes(above, published):
    """MSC memo 68-PA-T-195A of 12 September 1968 (read): the lunar rendezvous sets out at 26.6 deg
    coming from below and at 28.3 deg coming from above, so that the burn goes along the sight.

    Coelliptic orbits 15 n mi apart at 60 n mi; where the angle between both is least, to 0.3 deg.
    """

    def off(elevation):
        own, other = (CIRCLE, CIRCLE - 15.0 * NMI) if above else (CIRCLE - 15.0 * NMI, CIRCLE)
        target = circle(other, _ahead(radians(elevation), own, other))
        meeting = meet(circle(own), target, Terms(schedule="direct", wait=0.0))
        start = meeting.terminal
        sight = unit(meeting.target.r - start.before.r)
        return degrees(acos(float(sight @ unit(start.dv))))

    angles = np.arange(published - 2.0, published + 2.05, 0.1)
    assert angles[np.argmin([off(x) for x in angles])] == pytest.approx(published, abs=0.3)


def _ahead(elevation, own, other):
    """Return where on its circle the other craft is seen at an elevation, by Newton's method."""
    sign = 1.0 if other > own else -1.0

    def miss(x):
        found = relative.elevation(circle(own), circle(other, float(x[0])))
        return np.array([found - sign * elevation])

    aim = Scaling(np.array([1e-6]), np.array([0.01]), np.array([1e-9]))
    return float(solve(miss, np.array([sign * 0.03]), aim)[0])


def test_short_rendezvous():
    """Lift-off to docking took 1 h 47 min to 2 h 16 min on the direct flights.

    Ours allows 15 min from the stop to contact and waits for nothing: shorter than the shortest
    by no more than 10 min. Their ascent is added.
    """
    terms = Terms(schedule="direct")
    meeting = meet(inserted(), circle(angle=required_lead(terms, LOW, HIGH, CIRCLE)), terms)
    ours = ASCENT + meeting.duration
    assert min(SHORT.values()) - 10.0 * MINUTE < ours < min(SHORT.values())
