"""Rendezvous about the Moon: as planned, in other hands, and where it cannot be."""

from __future__ import annotations

from math import cos, degrees, radians, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.rendezvous import relative
from mplan.physics.rendezvous.impulses import NoMeeting, intercept, into_plane, root_between
from mplan.physics.rendezvous.lead import angle_at, required_lead
from mplan.physics.rendezvous.meeting import BRAKING, LEVELLING, PLANE, RAISING, TERMINAL, meet
from mplan.physics.rendezvous.terms import Gate, Terms
from mplan.physics.twobody import circular_speed, speed
from mplan.physics.vectors import unit

LOW, HIGH, CIRCLE = (c.R_MOON + x for x in (17e3, 85e3, 110e3))
T = 3.0e8
COELLIPTIC = [Terms(revolutions=turns) for turns in (1, 2, 3)]
DIRECT = Terms(schedule="direct")


def circle(radius=CIRCLE, angle=0.0):
    """Return a craft on a circle in the plane x, y, so far round."""
    up, ahead = np.array([cos(angle), sin(angle), 0.0]), np.array([-sin(angle), cos(angle), 0.0])
    return LunarOrbit(T, radius * up, circular_speed(radius, c.MU_MOON) * ahead)


def inserted(off=0.0, low=LOW, high=HIGH, node=0.0):
    """Return an ascent stage at perilune on the x axis; its plane is turned by `off`, about
    the direction `node` [rad] further on.
    """
    fast = speed(low, (low + high) / 2.0, c.MU_MOON)
    line = np.array([cos(node), sin(node), 0.0])

    def turned(x):
        return x * cos(off) + np.cross(line, x) * sin(off) + line * (line @ x) * (1.0 - cos(off))

    return LunarOrbit(T, turned(np.array([low, 0.0, 0.0])), turned(np.array([0.0, fast, 0.0])))


def planned(terms, off=0.0, node=0.0):
    """Return the rendezvous with the ship where the schedule wants it."""
    return meet(
        inserted(off, node=node), circle(angle=required_lead(terms, LOW, HIGH, CIRCLE)), terms
    )


def step(meeting, name):
    return next(x for x in meeting.steps if x.name == name)


@pytest.mark.parametrize("terms", COELLIPTIC)
def test_the_lead_makes_it_run_as_planned(terms):
    """Closed form against flight: the terminal phase begins as long after as planned, to 0.1 s."""
    meeting = planned(terms)
    assert meeting.terminal.t - step(meeting, LEVELLING).t == pytest.approx(terms.coast, abs=0.1)
    raising = (terms.revolutions - 0.5) * meeting.active.period
    assert step(meeting, RAISING).t - T == pytest.approx(raising, abs=1e-3)
    assert meeting.docked - meeting.steps[-1].t == terms.docking


def test_the_lead_of_a_direct_one():
    """At the time set, the line of sight stands as asked, to a thousandth of a degree."""
    meeting = planned(DIRECT)
    assert meeting.terminal.t - T == DIRECT.wait
    assert degrees(meeting.terminal.elevation) == pytest.approx(26.6, abs=1e-3)
    assert meeting.steps[0].name == TERMINAL


def point_mass(pole=None):
    """Return the rates of two craft, 12 numbers, about a point mass, or with J2 about a pole."""

    def one(y):
        place, far = y[:3], np.linalg.norm(y[:3])
        pull = -c.MU_MOON * place / far**3
        if pole is not None:
            height = place @ pole
            bulge = (1.0 - 5.0 * height**2 / far**2) * place + 2.0 * height * pole
            pull = pull - 1.5 * c.J2_MOON * c.MU_MOON * c.R_MOON_FIELD**2 / far**5 * bulge
        return [*y[3:], *pull]

    return lambda _, y: [*one(y[:6]), *one(y[6:])]


def flown_again(meeting, rates, until=None):
    """Integrate both craft, with each burn in the active one's own axes; return both at the end."""
    active, target = meeting.active, meeting.target
    y = np.concatenate([active.r, active.v, target.r, target.v])
    t = active.t
    for each in meeting.steps[:until]:
        run = solve_ivp(rates, (0.0, each.t - t), y, "DOP853", rtol=1e-12, atol=1e-6)
        y, t = run.y[:, -1], each.t
        local = relative.orbit_axes(each.before) @ each.dv
        y[3:6] += relative.orbit_axes(LunarOrbit(t, y[:3], y[3:6])).T @ local
    return y[:6], y[6:], t


@pytest.mark.parametrize(
    "meeting", [planned(COELLIPTIC[0]), planned(DIRECT), planned(COELLIPTIC[1], 0.004, 1.0)]
)
def test_in_other_hands_it_comes_to_a_stop_beside_the_ship(meeting):
    """SciPy's DOP853 flies both craft with the same burns: 30 m off, at rest.

    Both are good to a millimetre an hour; the gates are met to a centimetre.
    """
    active, target, _ = flown_again(meeting, point_mass())
    assert np.linalg.norm(target[:3] - active[:3]) == pytest.approx(30.0, abs=0.1)
    assert np.linalg.norm(target[3:] - active[3:]) < 1e-3


@pytest.mark.parametrize("inclination", [10.0, 90.0, 170.0])
def test_what_the_moons_oblateness_would_change(inclination):
    """J2's force on both craft: at the first gate they are less than 3 km from where they would be.

    A correction in the middle of the terminal phase, 20 min before, takes that out with 3 km /
    1200 s = 2.5 m/s, about what is allowed for midcourse.
    """
    meeting = planned(COELLIPTIC[0])
    pole = np.array([0.0, sin(radians(inclination)), cos(radians(inclination))])
    first = next(i for i, x in enumerate(meeting.steps) if x.name.startswith(BRAKING)) + 1
    there, target, t = flown_again(meeting, point_mass(pole), first)
    plain = meeting.steps[first - 1].before
    ship = relative.orbit_at(meeting.target, t)
    expected = relative.orbit_axes(ship) @ (plain.r - ship.r)
    found = relative.orbit_axes(LunarOrbit(t, target[:3], target[3:])) @ (there[:3] - target[:3])
    assert 1.0 < np.linalg.norm(found - expected) < 3e3


def test_the_coelliptic_orbit_keeps_its_height():
    """Below a circle to a metre, below an ellipse to the square of its eccentricity and more."""
    terms = COELLIPTIC[0]
    meeting = planned(terms)
    between = np.linspace(step(meeting, LEVELLING).t, meeting.terminal.t, 12)
    after = step(meeting, LEVELLING).after
    for t in between:
        assert np.linalg.norm(relative.orbit_at(after, t).r) == pytest.approx(
            CIRCLE - 27780.0, abs=1.0
        )
    ellipse = LunarOrbit(T, circle(angle=0.31).r, circle(angle=0.31).v * 1.003)
    meeting = meet(inserted(), ellipse, terms)
    after = step(meeting, LEVELLING).after
    for t in np.linspace(after.t, meeting.terminal.t, 12):
        here = relative.orbit_at(after, t)
        below = relative.passing(ellipse, here.r)[0] - np.linalg.norm(here.r)
        assert below == pytest.approx(27780.0, abs=30.0)


@pytest.mark.parametrize("node", [0.6, 1.9, 3.0, 5.0])
def test_the_plane_is_turned_where_the_planes_cross(node):
    """One burn of 2 v sin(i / 2), of the speed across the radius; the rest as in one plane."""
    off, flat = 0.01, planned(COELLIPTIC[0])
    meeting = planned(COELLIPTIC[0], off, node)
    turn = step(meeting, PLANE)
    h = np.linalg.norm(np.cross(turn.before.r, turn.before.v)) / np.linalg.norm(turn.before.r)
    assert turn.size == pytest.approx(2.0 * h * sin(off / 2.0), rel=1e-6)
    assert meeting.total - turn.size == pytest.approx(flat.total, abs=0.05)
    later = meeting.track.across[meeting.track.t > turn.t - T + 1.0]
    assert np.abs(later).max() < 1.0


def test_a_plane_left_to_the_terminal_phase():
    """Direct, the planes crossing only behind: the arc leads there all the same, and costs."""
    meeting = planned(DIRECT, 0.004, -0.05)
    assert [x.name for x in meeting.steps if x.name == PLANE] == []
    assert meeting.total > planned(DIRECT).total + 1.0
    assert meeting.steps[-1].range == pytest.approx(30.0, abs=0.02)


def test_into_plane_ends_in_the_plane():
    """After the turn both angular momenta point alike, and speed and radius are as before."""
    active, target = inserted(0.02, node=2.0), circle()
    node, dv = into_plane(active, target)
    after = relative.pushed(node, dv)
    assert relative.angle_between(after, target) < 1e-7
    assert abs(node.r @ target.normal) < 1.0
    assert np.linalg.norm(after.v) == pytest.approx(np.linalg.norm(node.v), rel=1e-12)


def test_gates_are_kept():
    """Past each gate the closing speed is no more than it says; a slow approach is left slow."""
    meeting = planned(DIRECT)
    braking = [x for x in meeting.steps if x.name.startswith(BRAKING)]
    assert [round(x.range) for x in braking] == [900, 450, 150, 30]
    for burn, gate in zip(braking, (*DIRECT.gates, Gate(30.0, 0.0)), strict=True):
        ship = relative.orbit_at(meeting.target, burn.t)
        gap = ship.r - burn.before.r
        closing = (burn.after.v - ship.v) @ gap / np.linalg.norm(gap)
        assert closing == pytest.approx(gate.speed, abs=1e-9)
    assert meeting.total == pytest.approx(meeting.impulse + meeting.braking_loss)
    slow = planned(DIRECT._replace(gates=(Gate(900.0, 20.0), Gate(300.0, 20.0))))
    assert slow.sum_of("braking at 900") < 0.1
    assert slow.sum_of("braking at 30 m") == pytest.approx(slow.closing, rel=0.01)


def test_too_near_for_the_schedule():
    """A ship that the raising orbit would overtake is refused in words."""
    with pytest.raises(NoMeeting, match=r"already stands .* past the 26\.6 deg"):
        meet(inserted(), circle(angle=radians(13.6)), COELLIPTIC[0])


def test_too_far_for_the_schedule():
    """A ship a third of the Moon ahead is not reached within three revolutions."""
    with pytest.raises(NoMeeting, match=r"does not come 26\.6 deg off the horizon within"):
        meet(inserted(), circle(angle=radians(120.0)), COELLIPTIC[0])


@pytest.mark.parametrize("ahead", [-20.0, 3.0])
def test_overtaken(ahead):
    """A ship that is behind by then is not waited for to come round."""
    with pytest.raises(NoMeeting, match="it has passed the target already"):
        meet(inserted(), circle(angle=radians(ahead)), COELLIPTIC[0])


def test_too_far_for_one_arc():
    """Half the Moon apart, the terminal phase has no arc to offer."""
    with pytest.raises(NoMeeting, match="too far off for one arc"):
        intercept(inserted(), relative.orbit_at(circle(angle=2.5), T + 2500.0))


def test_braked_too_far_out():
    """At walking pace from five kilometres the craft is carried off by the orbits' drift."""
    slow = COELLIPTIC[0]._replace(gates=(Gate(5000.0, 0.3),))
    with pytest.raises(NoMeeting, match="it drifts off before it comes within 30 m"):
        planned(slow)


def test_no_lead_from_above():
    """An insertion orbit above the ship's has none."""
    with pytest.raises(NoMeeting, match="does not pass below"):
        required_lead(DIRECT, LOW, CIRCLE + 600e3, CIRCLE)


def test_the_sight_from_below():
    """The closed form is the triangle's: seen from there, the ship stands as asked."""
    angle = angle_at(radians(26.6), CIRCLE - 27780.0, CIRCLE)
    seen = relative.elevation(circle(CIRCLE - 27780.0), circle(angle=angle))
    assert degrees(seen) == pytest.approx(26.6, abs=1e-9)


def test_linear_theory_is_its_equations_solved():
    """The transition matrix is the exponential of Hill's equations, written here afresh."""
    n, t = 9e-4, 3456.0
    rates = np.zeros((6, 6))
    rates[:3, 3:] = np.eye(3)
    rates[3, 0], rates[3, 4], rates[4, 3], rates[5, 2] = 3 * n**2, 2 * n, -2 * n, -(n**2)
    assert relative.clohessy_wiltshire(n, t) == pytest.approx(expm(rates * t), rel=1e-9, abs=1e-9)


def test_linear_theory_near_the_ship():
    """Against two Kepler orbits, a kilometre apart, half an hour: to the square over the radius."""
    target = circle()
    n = sqrt(c.MU_MOON / CIRCLE**3)
    gap, drift = np.array([-800.0, 600.0, 300.0]), np.array([0.3, -0.2, 0.4])
    axes = relative.orbit_axes(target)
    spin = n * target.normal
    active = LunarOrbit(
        T, target.r + gap @ axes, target.v + drift @ axes + np.cross(spin, gap @ axes)
    )
    later, there = relative.orbit_at(active, T + 1800.0), relative.orbit_at(target, T + 1800.0)
    found = relative.orbit_axes(there) @ (later.r - there.r)
    expected = (relative.clohessy_wiltshire(n, 1800.0) @ np.concatenate([gap, drift]))[:3]
    assert np.linalg.norm(found - expected) < 5.0 * np.linalg.norm(expected) ** 2 / CIRCLE


def test_geometry():
    """Phase, offset and half turns of simple orbits."""
    ship = circle(angle=0.2)
    assert relative.phase_angle(circle(CIRCLE - 1e4), ship) == pytest.approx(0.2)
    behind, above, across = relative.offset(circle(CIRCLE - 1e4), ship)
    assert (behind, above, across) == pytest.approx((-0.2 * CIRCLE, -1e4, 0.0), abs=1e-6)
    assert relative.half_turn(ship) == pytest.approx(ship.period / 2.0)
    some = relative.orbit_at(inserted(), T + 1234.0)
    there = relative.orbit_at(some, some.t + relative.half_turn(some))
    assert unit(some.r) == pytest.approx(-unit(there.r), abs=1e-9)
    assert relative.apsides(some) == pytest.approx((LOW, HIGH), abs=1e-3)
    assert relative.passing(some, np.array([-1.0, 0.0, 0.0]))[0] == pytest.approx(HIGH)


def test_root_of_a_bent_function():
    """The rule finds the root to its tolerance where plain regula falsi creeps."""
    assert root_between(lambda x: x**9 - 0.1, (0.0, -0.1), (2.0, 511.9), 1e-9) == pytest.approx(
        0.1 ** (1 / 9)
    )


def test_from_above_the_ship_is_the_active_one():
    """The ship meets the ascent stage in its insertion orbit: beside it and at rest."""
    terms = COELLIPTIC[0]
    ship = circle(angle=required_lead(terms, LOW, HIGH, CIRCLE))
    meeting = meet(ship, inserted(), terms.from_above())
    active, target, _ = flown_again(meeting, point_mass())
    assert np.linalg.norm(target[:3] - active[:3]) == pytest.approx(30.0, abs=0.1)
    assert meeting.terminal.elevation == pytest.approx(-radians(28.3), abs=1e-5)
    assert meeting.lowest > LOW
    assert meeting.track.along[0] > 0.0


def test_the_track_begins_and_ends_where_the_craft_do():
    """First at insertion, last beside the ship; the times never go back."""
    meeting = planned(COELLIPTIC[0])
    track = meeting.track
    assert track.height[0] == pytest.approx(LOW - CIRCLE)
    assert track.range[-1] == pytest.approx(30.0, abs=0.02)
    assert (np.diff(track.t) >= 0.0).all()
    assert meeting.lowest == pytest.approx(LOW, abs=1.0)
