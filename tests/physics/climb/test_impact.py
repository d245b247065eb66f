"""Falls through the air against closed forms, and ellipses against samples and limits."""

from __future__ import annotations

from dataclasses import replace
from math import exp, inf, pi, radians, sqrt

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.bodies.atmosphere import density_pressure_sound
from mplan.physics.climb import fall, impact
from mplan.physics.climb.fall import air_for
from mplan.physics.climb.impact import FallErrors, Falling
from mplan.physics.climb.motion import ground_velocity
from mplan.physics.climb.track import on_pad
from mplan.physics.climb.weather import CALM, Weather, WindRow

LATITUDE = radians(28.5)
NOTHING = FallErrors(0.0, 0.0, 0.0, 0.0)


def let_go(altitude: float, speed: float = 0.0, steep: float = 0.0) -> tuple[float, ...]:
    """Return a state over the pad that moves east at a `speed` over ground, `steep` [rad] up."""
    pad = np.array(on_pad(LATITUDE, 1.0)[:3])
    up, east = pad / np.linalg.norm(pad), np.array([0.0, 1.0, 0.0])
    r = pad + altitude * up
    v = np.cross([0.0, 0.0, c.W_EARTH], r) + speed * (np.cos(steep) * east + np.sin(steep) * up)
    return (*map(float, r), *map(float, v))


def body(state: tuple[float, ...], ballistic: float, name: str = "stage") -> Falling:
    area = 0.0 if ballistic == inf else 1e4 / ballistic
    return Falling(name, 0.0, (*state, 1e4), 1e4, area)


def over_ground(s: tuple[float, ...]) -> float:
    return float(np.linalg.norm(ground_velocity(s)))


def test_in_vacuum_it_is_keplers_ellipse():
    """Energy and the plane's momentum are kept (J2 apart: 0.1 %), and time is that of the fall.

    Straight down from rest over ground at 20 km: sqrt(2 h / g) to 0.5 %.
    """
    t, s = fall.fall(0.0, let_go(20e3), inf, air_for())
    assert t == pytest.approx(sqrt(2.0 * 20e3 / 9.79), rel=5e-3)
    assert over_ground(s) == pytest.approx(sqrt(2.0 * 20e3 * 9.76), rel=5e-3)


def test_little_drag_comes_to_the_vacuum():
    """A body of a thousand tonnes a square metre falls where one without drag does, to 0.1 %."""
    start = let_go(60e3, 2500.0, radians(25.0))
    dense = impact.impact(body(start, 1e6), LATITUDE)
    free = impact.impact(body(start, inf), LATITUDE)
    assert dense.range == pytest.approx(free.range, rel=2e-3)
    assert dense.t == pytest.approx(free.t, rel=2e-3)


@pytest.mark.parametrize("ballistic", [30.0, 100.0, 400.0])
def test_it_reaches_the_ground_at_its_terminal_speed(ballistic):
    """sqrt(2 g b / rho) at sea level, in 3 %: thickening air is followed a little late.

    The lag of a terminal fall is v2/(g H) of it: 0.2 to 3 % (Anderson, Introduction to Flight).
    """
    _, s = fall.fall(0.0, let_go(60e3, 2000.0, radians(20.0)), ballistic, air_for())
    terminal = sqrt(2.0 * 9.79 * ballistic / density_pressure_sound(0.0)[0])
    lag = terminal**2 / (9.8 * 9.7e3)
    assert over_ground(s) == pytest.approx(terminal, rel=2e-3 + lag)
    assert over_ground(s) >= terminal


def test_steep_entry_follows_allen_and_eggers(monkeypatch):
    """V = V0 exp(-rho H / (2 b sin g)) down to 15 km (Allen & Eggers 1958, NACA Report 1381).

    In an exponential air of 7 km. They neglect gravity, which adds 2 g h to the square of the
    speed, nearly all of it above the air; that the ground bends away is left, within 1 %.
    """
    height, ballistic, steep = 7e3, 5000.0, radians(60.0)

    def thin(altitude: float) -> tuple[float, float, float]:
        return 1.225 * exp(-altitude / height), 0.0, 300.0

    monkeypatch.setattr(fall, "day_air", lambda altitude, day: thin(altitude))
    s = let_go(100e3, 6000.0, -steep)
    while fall.altitude(s) > 15e3:
        s = fall.fall_step(s, 0.05, ballistic, air_for())
    fast = sqrt(6000.0**2 + 2.0 * 9.6 * 85e3)
    expected = fast * exp(-thin(15e3)[0] * height / (2.0 * ballistic * np.sin(steep)))
    assert over_ground(s) == pytest.approx(expected, rel=0.01)


def test_a_fall_drifts_with_the_wind():
    """Let go at rest 8 km up in a steady wind of 20 m/s: it drifts as long as it falls.

    But for the seconds in which the wind first takes it along, V/g of the fall: 3 %.
    """
    wind = Weather(wind=(WindRow(0.0, 20.0, 0.0), WindRow(20e3, 20.0, 0.0)))
    here = impact.impact(body(let_go(8e3), 60.0), LATITUDE, CALM)
    there = impact.impact(body(let_go(8e3), 60.0), LATITUDE, wind)
    drift = c.R_EARTH * np.cos(there.latitude) * (there.east - here.east)
    assert drift == pytest.approx(20.0 * there.t, rel=0.04)


@pytest.mark.parametrize("h", [0.25, 4.0])
def test_steps_are_short_enough(monkeypatch, h):
    """A quarter of the step, or a bound far tighter, moves the place by less than 200 m."""
    start = body(let_go(65e3, 2600.0, radians(22.0)), 150.0)
    usual = impact.impact(start, LATITUDE)
    monkeypatch.setattr(fall, "PART", fall.PART * min(h, 1.0))
    monkeypatch.setattr(fall, "DEEPEST", fall.DEEPEST / max(h, 1.0))
    finer = impact.impact(start, LATITUDE)
    assert c.R_EARTH * abs(finer.range - usual.range) < 200.0


def test_what_is_in_orbit_stays_up():
    """There is no place then, and no ellipse."""
    orbit = body(let_go(300e3, 7700.0), 100.0)
    assert impact.impact(orbit, LATITUDE) is None
    assert impact.footprint(orbit, LATITUDE, CALM, FallErrors()) is None


STAGE = body(let_go(65e3, 2600.0, radians(22.0)), 250.0)


def test_one_error_makes_an_ellipse_of_one_axis():
    """The speed alone: a line along the way, three times what a standard deviation moves it."""
    found = impact.footprint(STAGE, LATITUDE, CALM, replace(NOTHING, speed=10.0))
    x, y, z, vx, vy, vz = STAGE.state[:6]
    over = np.array(ground_velocity(STAGE.state))
    faster = np.array([vx, vy, vz]) + 10.0 * over / np.linalg.norm(over)
    moved = impact.impact(STAGE._replace(state=(x, y, z, *map(float, faster), 1e4)), LATITUDE)
    assert found.ellipse.minor < 1e-3 * found.ellipse.major
    assert found.ellipse.major == pytest.approx(
        3.0 * c.R_EARTH * (moved.range - found.impact.range), rel=0.01
    )
    assert found.ellipse.azimuth == pytest.approx(pi / 2.0, abs=0.1)  # it flies east


def test_errors_that_are_not_there_leave_a_point():
    assert impact.footprint(STAGE, LATITUDE, CALM, NOTHING).ellipse.major < 1.0


def test_a_sample_agrees_with_the_ellipse():
    """Of 300 falls with errors drawn from a seeded generator, the covariance is that told, to 15 %.

    (A sample of 300 tells a standard deviation to 4 %; the rest is that falls bend.)
    """
    errors = FallErrors(0.15, 5.0, radians(0.3), 10.0)
    found = impact.footprint(STAGE, LATITUDE, CALM, errors)
    draw = np.random.default_rng(11).standard_normal
    r, v = np.array(STAGE.state[:3]), np.array(STAGE.state[3:6])
    over = np.array(ground_velocity(STAGE.state))
    ahead, up = over / np.linalg.norm(over), r / np.linalg.norm(r)
    side = np.cross(ahead, up) / np.linalg.norm(np.cross(ahead, up))
    lift = np.cross(side, ahead)
    level = np.linalg.norm(np.cross(over, up))  # a turn about the vertical moves this part
    places = []
    for _ in range(300):
        a, b, d, e, f, g = draw(6)
        push = 5.0 * a * ahead + radians(0.3) * (np.linalg.norm(over) * b * lift + level * d * side)
        east, north = 10.0 * f / 75.0, 10.0 * g / 75.0
        gust = (float(np.hypot(east, north)), float(np.arctan2(east, north)))
        start = (*map(float, r), *map(float, v + push))
        down = fall.fall(0.0, start, STAGE.ballistic * (1.0 + 0.15 * e), air_for(CALM, gust))
        places.append(impact._moved(found.impact, *down))
    sampled = impact.ellipse_of(np.cov(np.array(places).T))
    assert found.ellipse.major == pytest.approx(sampled.major, rel=0.15)
    assert found.ellipse.minor == pytest.approx(sampled.minor, rel=0.15)
    assert found.ellipse.azimuth == pytest.approx(sampled.azimuth, abs=0.1)


def test_the_outline_lies_on_the_ellipse():
    """Its farthest point lies a semi-major axis away, its nearest a semi-minor one."""
    found = impact.footprint(STAGE, LATITUDE, CALM, FallErrors())
    there = found.impact
    away = [
        c.R_EARTH * np.hypot(np.cos(there.latitude) * (e - there.east), n - there.latitude)
        for n, e in impact.outline(found, 360)
    ]
    assert max(away) == pytest.approx(found.ellipse.major, rel=0.01)
    assert min(away) == pytest.approx(found.ellipse.minor, rel=0.02)
