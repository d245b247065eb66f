"""Powered descent: the site is hit, the limits are kept, and the books balance."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import cos, exp, sin

import numpy as np
import pytest

from mplan.physics.constants import G0, MU_MOON, R_MOON
from mplan.physics.landing import approach
from mplan.physics.landing.descent import (
    DescentFlight,
    DescentProfile,
    Lander,
    braking_angle,
    fly_descent,
)

GROUND = R_MOON - 900.0
SPIN = (1e-8, -2.65e-6, 1e-7)
WAY = DescentProfile(26.0, 0.925, 2300.0, 154.0, 44.0, 155.0, 17.0, 5.0, 20.0, 15.0, 100.0, 0.9)
LANDER = Lander(16510.0, 45e3, 5.4e3, 312.0, 8400.0)
LOW = R_MOON + 15e3


def start(angle: float, off: float = 0.0):
    """A level state at 15 km, an angle [rad] short of the site and one off its track."""
    x, y, z = -LOW * cos(off) * sin(angle), LOW * sin(off), LOW * cos(off) * cos(angle)
    return x, y, z, 1697.0 * cos(angle), 0.0, 1697.0 * sin(angle)


@pytest.fixture(scope="module")
def ahead() -> float:
    return braking_angle((0.0, 0.0, LOW, 1697.0, 0.0, 0.0), LANDER, WAY, GROUND, SPIN)


@pytest.fixture(scope="module")
def descent(ahead) -> DescentFlight:
    return fly_descent(start(ahead), LANDER, WAY, GROUND, SPIN)


def test_the_plan_leads_to_the_site(descent):
    """From the angle that was planned, ignition is due at once."""
    assert descent.late == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize(("sooner", "off"), [(0.02, 0.0), (-0.02, 0.0), (0.0, 0.01), (0.01, -0.02)])
def test_the_site_is_hit_from_elsewhere(ahead, descent, sooner, off):
    """Along the track the time of ignition makes up for it, across it the steering does."""
    found = fly_descent(start(ahead + sooner, off), LANDER, WAY, GROUND, SPIN)
    assert found.miss < 0.1
    assert found.late == pytest.approx(sooner * LOW / 1697.0, rel=0.2, abs=6.0)
    assert found.losses["plane"] == pytest.approx(0.0, abs=1e-3 if off == 0.0 else 30.0)
    assert (found.delta_v > descent.delta_v + 2.0) == (off != 0.0)


def test_touchdown_is_as_asked(descent):
    """On the site, at the speed asked, upright over it."""
    assert descent.miss < 0.1
    assert descent.speed == pytest.approx(0.9, abs=1e-3)
    assert descent.drift < 1e-3
    assert descent.track.altitude[-1] == pytest.approx(0.0, abs=0.1)
    assert np.degrees(descent.track.pitch[-1]) == pytest.approx(90.0, abs=0.2)


def test_gates_are_passed_as_asked(descent):
    """Altitude and speeds at the high gate and the low gate are the scenario's."""
    for name, altitude, speed, sink in (
        ("approach", 2300.0, 154.0, 44.0),
        ("landing", 155.0, 17.0, 5.0),
    ):
        i = int(np.argmin(np.abs(descent.track.t - descent.phase(name).t)))
        assert descent.track.altitude[i] == pytest.approx(altitude, abs=2.0)
        assert -descent.track.climb[i] == pytest.approx(sink, abs=0.1)
        assert descent.track.speed[i] == pytest.approx(np.hypot(speed, sink), abs=0.1)


def test_the_hover_holds_the_weight(descent):
    """In the hover thrust is weight, and what it costs is gravity times time."""
    hover = descent.phase("hover")
    gravity = MU_MOON / (GROUND + 20.0) ** 2
    assert hover.delta_v == pytest.approx(gravity * hover.duration, rel=1e-3)
    sideways = descent.phase("redesignation")
    tilted = gravity * sideways.duration / cos(approach.TILT)
    assert sideways.delta_v == pytest.approx(tilted, rel=1e-3)


def test_the_touchdown_leg_in_closed_form():
    """An even easing from rest: v = v_t (2 s - s^2), so that h = (2/3) v_t T over the leg."""
    assert 2.0 / 3.0 * WAY.touchdown_speed * approach.touchdown_time(WAY) == pytest.approx(
        WAY.hover_altitude
    )


def test_books_balance(descent):
    """Phases follow one another; their velocity and propellant add up to the whole."""
    for one, then in pairwise(descent.phases):
        assert one.t + one.duration == pytest.approx(then.t)
    assert descent.duration == pytest.approx(sum(x.duration for x in descent.phases))
    assert descent.delta_v == pytest.approx(sum(x.delta_v for x in descent.phases))
    assert descent.propellant == pytest.approx(sum(x.propellant for x in descent.phases))
    assert descent.delta_v == pytest.approx(
        descent.speed_at_ignition + sum(descent.losses.values())
    )
    asked = LANDER.mass * (1.0 - exp(-descent.delta_v / (LANDER.isp * G0)))
    assert descent.propellant == pytest.approx(asked, rel=1e-12)


def test_losses_have_their_causes(descent):
    """Gravity and steering cost something, the plane nothing where there is none to turn."""
    assert descent.losses["gravity"] > 20.0
    assert 0.0 < descent.losses["steering"] < 80.0
    assert descent.losses["plane"] == pytest.approx(0.0, abs=1e-3)


def test_fuel_in_seconds(descent):
    """What is left would hold the landed mass for the seconds told."""
    weight = (LANDER.mass - descent.propellant) * MU_MOON / GROUND**2
    flow = weight / (LANDER.isp * G0)
    assert descent.seconds_left * flow == pytest.approx(LANDER.usable - descent.propellant)


def test_the_thrust_keeps_its_limits(ahead, descent):
    """With a least thrust just above what the landing asks for, it is cut there and not below."""
    least = 0.33 * LANDER.thrust
    narrow = fly_descent(start(ahead), LANDER._replace(least=0.12 * 45e3), WAY, GROUND, SPIN)
    assert narrow.track.throttle.min() >= 0.12 - 1e-9
    assert narrow.track.throttle.max() <= 1.0
    assert narrow.at_limit == 0.0
    heavy = LANDER._replace(mass=20000.0, usable=10000.0, least=least)
    way = WAY._replace(trim=0.0)
    cut = fly_descent(start(ahead), heavy, way, GROUND, SPIN)
    assert cut.track.throttle.min() >= 0.33 - 1e-9


def test_an_engine_that_cannot_hover(ahead, descent):
    """It is told, and the rest flown as if it could, so that the budget can be read."""
    stiff = fly_descent(start(ahead), LANDER._replace(least=0.6 * 45e3), WAY, GROUND, SPIN)
    assert not stiff.hovers
    assert descent.hovers
    assert stiff.miss < 0.1


def test_an_approach_that_the_engine_cannot_brake(ahead, descent):
    """It meets the ground and misses the site, and both are told."""
    fast = WAY._replace(high_altitude=1000.0, high_speed=300.0, low_speed=1.0, low_sink=20.0)
    missed = fly_descent(start(ahead), LANDER, fast, GROUND, SPIN)
    assert missed.at_limit > 10.0
    assert missed.miss > 100.0
    assert missed.lowest < -100.0
    assert descent.lowest == pytest.approx(0.0, abs=0.1)


def test_too_weak_to_brake(ahead):
    """A thrust that does not carry the weight is refused with a reason."""
    with pytest.raises(ArithmeticError, match="does not carry the weight"):
        fly_descent(start(ahead), LANDER._replace(thrust=12e3, least=1e3), WAY, GROUND, SPIN)


def test_a_site_elsewhere(ahead):
    """A site that the orbit does not lead to in time is told with when ignition would be due."""
    with pytest.raises(ArithmeticError, match=r"ignition would be due about 3\d\d s after"):
        fly_descent(start(ahead + 0.3), LANDER, WAY, GROUND, SPIN)


def test_what_the_crew_see(descent):
    """Level with the horizon's own depression, and by a right angle once over the site."""
    track = descent.track
    over = descent.phase("hover").t + 1.0
    assert np.degrees(track.between(over, over + 5.0).depression) == pytest.approx(90.0, abs=0.5)
    part = track.between(descent.phase("approach").t + 1.0, descent.phase("landing").t - 1.0)
    # in one plane: look = depression + how far the thrust leans back
    lean = np.pi / 2.0 - part.pitch
    assert part.look == pytest.approx(part.depression + lean, abs=2e-3)


def test_a_descent_never_changes(descent):
    """It is frozen; a changed copy is another one."""
    assert replace(descent, late=1.0).late == 1.0
    with pytest.raises(AttributeError, match="late"):
        descent.late = 2.0
