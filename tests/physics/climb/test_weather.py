"""A climb through wind: what blows, what it does to the air speed, and the force aside."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.bodies.atmosphere import density_pressure_sound
from mplan.physics.climb.guidance import gravity_turn
from mplan.physics.climb.launch_vehicle import NOMINAL, Dispersions, LaunchVehicle
from mplan.physics.climb.motion import EngineThrust, air_velocity, ground_velocity, rates_of
from mplan.physics.climb.track import on_pad
from mplan.physics.climb.weather import CALM, Weather, WindRow, blows, wind_of, wind_row

ROWS = (wind_row(0.0, 10.0, radians(90.0)), wind_row(10e3, 50.0, radians(270.0)))
LATITUDE = radians(28.5)


def test_a_direction_is_where_the_wind_comes_from():
    """An east wind blows towards the west, a south-west wind towards north and east."""
    assert wind_row(0.0, 10.0, pi / 2.0) == pytest.approx((0.0, -10.0, 0.0))
    assert wind_row(5.0, 10.0, radians(225.0)) == pytest.approx((5.0, 50**0.5, 50**0.5))


@pytest.mark.parametrize(
    ("altitude", "east"),
    [
        (-100.0, -10.0),
        (0.0, -10.0),
        (5e3, 20.0),
        (10e3, 50.0),
        (45e3, 25.0),
        (80e3, 0.0),
        (9e4, 0.0),
    ],
)
def test_the_wind_over_the_altitude(altitude, east):
    """Straight between rows; as below the lowest; fading out from the highest to 80 km."""
    assert wind_of(ROWS)(altitude) == pytest.approx((east, 0.0), abs=1e-9)


def test_a_turning_wind_does_not_turn_the_long_way_round():
    """Half-way between 350 and 10 deg it comes from the north, a little weaker."""
    rows = (wind_row(0.0, 20.0, radians(350.0)), wind_row(1e3, 20.0, radians(10.0)))
    assert wind_of(rows)(500.0) == pytest.approx((0.0, -20.0 * cos(radians(10.0))))


def test_the_design_wind_comes_on_top():
    """Both add up; without either nothing blows."""
    both = blows(Weather(wind=ROWS), 1.0, pi / 2.0)
    assert both is not None
    assert both(10e3) == pytest.approx((50.0 + 75.0, 0.0))
    assert blows(CALM, 0.0, 0.0) is None


def at(altitude: float, speed: float, steep: float) -> tuple[float, ...]:
    """Return a state over the pad that moves east at a `speed` over ground, `steep` [rad] up."""
    x, y, z = on_pad(LATITUDE, 500e3)[:3]
    up = np.array([x, y, z]) / np.linalg.norm([x, y, z])
    r = np.array([x, y, z]) + altitude * up
    east = np.array([0.0, 1.0, 0.0])
    v = np.cross([0.0, 0.0, c.W_EARTH], r) + speed * (cos(steep) * east + sin(steep) * up)
    return (*r, *v, 500e3, 0.0, 0.0, 0.0, 0.0, 0.0)


def test_a_head_wind_adds_to_the_air_speed():
    """Ground speed 400 m/s east, wind 30 m/s from the east: 430 m/s through the air."""
    s = at(9e3, 400.0, 0.0)
    weather = Weather(wind=(WindRow(0.0, -30.0, 0.0), WindRow(20e3, -30.0, 0.0)))
    assert np.linalg.norm(air_velocity(s, NOMINAL, weather)) == pytest.approx(430.0, abs=0.01)


def test_the_force_aside_is_that_of_slender_bodies():
    """q times slope times the sine of the angle of attack, across the nose, away from the wind.

    A vertical nose at 300 m/s, a wind of 30 m/s from the west: tan a = 0.1 (Munk, NACA Report 184,
    for the linear slope; the force is across the nose, so that it neither brakes nor drives).
    """
    s, slope = at(9e3, 300.0, pi / 2.0), 100.0
    weather = Weather(wind=(WindRow(0.0, 30.0, 0.0), WindRow(20e3, 30.0, 0.0)))
    push = EngineThrust(1e6, 0.0, 300.0)
    plain, winged = (
        np.array(
            rates_of(
                LaunchVehicle(500e3, (), 0.0, normal_slope=x), NOMINAL, push, gravity_turn, weather
            )(0.0, s)[3:6]
        )
        for x in (0.0, slope)
    )
    force = (winged - plain) * 500e3
    q = 0.5 * density_pressure_sound(9e3)[0] * (300.0**2 + 30.0**2)
    aside = q * slope * 30.0 / (300.0**2 + 30.0**2) ** 0.5
    east = np.array([0.0, 1.0, 0.0])
    assert force @ east == pytest.approx(aside, rel=2e-3)  # the density 9 km up, over the ellipsoid
    nose = np.array(ground_velocity(s)) / 300.0
    assert force @ nose == pytest.approx(0.0, abs=1e-6 * aside)


def test_without_wind_nothing_pushes_aside():
    """The slope then changes nothing: the climbs of calm days stay as they are."""
    s, push = at(9e3, 300.0, 1.0), EngineThrust(1e6, 0.0, 300.0)
    one, other = (
        rates_of(LaunchVehicle(500e3, (), 50.0, normal_slope=x), NOMINAL, push, gravity_turn)(
            0.0, s
        )
        for x in (0.0, 100.0)
    )
    assert one == other


def test_dispersions_blow_as_the_weather_does():
    """A wind that is an off-nominal case moves the air as one of the launch day."""
    s = at(12e3, 400.0, 0.5)
    case = air_velocity(s, Dispersions(wind=1.0, wind_to=pi / 2.0))
    day = air_velocity(s, NOMINAL, Weather(wind=(WindRow(0.0, 75.0, 0.0), WindRow(2e4, 75.0, 0.0))))
    assert case == pytest.approx(day)
