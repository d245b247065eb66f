"""The climb against a textbook's gravity turn and against a large three-stage vehicle as flown."""

from __future__ import annotations

from math import asin, cos, degrees, log, pi, radians, sin, sqrt

import pytest

from mplan.physics import constants as c
from mplan.physics.bodies import atmosphere
from mplan.physics.climb import motion, optimum
from mplan.physics.climb.guidance import gravity_turn
from mplan.physics.climb.launch_vehicle import (
    NOMINAL,
    Booster,
    Drop,
    Launch,
    LaunchVehicle,
    Motor,
    Stage,
)
from mplan.physics.climb.motion import EngineThrust, climb_step, surroundings
from mplan.physics.climb.steering import HELD, SteeringLaw

FOOT, POUND, MILE = 0.3048, 0.45359237, 1852.0


@pytest.fixture
def still_planet(monkeypatch):
    """The textbook's world: round, at rest, with air that thins out by e every 7.5 km."""
    air = atmosphere.exponential(1.225, 7500.0)

    def thin(height, day):
        here = air(height)
        return here.density, here.pressure, here.sound_speed

    monkeypatch.setattr(motion, "day_air", thin)
    monkeypatch.setattr(motion, "_J2", 0.0)
    monkeypatch.setattr(motion, "_SQUASH", 0.0)
    monkeypatch.setattr(c, "W_EARTH", 0.0)
    monkeypatch.setattr(c, "R_EARTH", 6378e3)
    monkeypatch.setattr(c, "MU_EARTH", 9.81 * 6378e3**2)


def test_gravity_turn(still_planet):
    """Curtis, Orbital Mechanics for Engineering Students, 3rd ed., Example 11.3, mass ratio 15.

    Inputs from memory (68 t, thrust 1.4 of the weight, 390 s, 5 m wide, drag coefficient 0.5,
    tilted to 89.85 deg at 130 m), confirmed by the burn time and the sum of the losses, which
    they give to the last digit. Results: recomputed by another hand and remembered; 0.3 % is
    what the book's own rounding of constants (g0 9.81) leaves.
    """
    mass, g0 = 68e3, 9.81
    thrust = 1.4 * mass * g0
    flow = thrust / (390.0 * g0)
    burn = mass * (1.0 - 1.0 / 15.0) / flow
    assert burn == pytest.approx(260.0, abs=0.05)
    vehicle = LaunchVehicle(mass, (), pi / 4.0 * 25.0, ((0.0, 0.5),))
    push, around = EngineThrust(thrust, 0.0, flow), surroundings(vehicle, NOMINAL)
    up = SteeringLaw(HELD, (1.0, 0.0, 0.0))
    t, s, h = 0.0, (6378e3, 0.0, 0.0, 0.0, 0.0, 0.0, mass, 0.0, 0.0, 0.0, 0.0, 0.0), 0.02
    while s[0] < 6378e3 + 130.0 - 1e-6:
        h = min(h, (6378e3 + 130.0 - s[0]) / max(s[3], 1.0))
        t, s = t + h, climb_step(t, s, h, push, up, around)
    speed, off = s[3], radians(90.0 - 89.85)
    s = (*s[:3], speed * cos(off), speed * sin(off), 0.0, *s[6:])
    h = (burn - t) / 2000
    for i in range(2000):
        s = climb_step(t + i * h, s, h, push, gravity_turn, around)
    r, v = sqrt(s[0] ** 2 + s[1] ** 2), sqrt(s[3] ** 2 + s[4] ** 2)
    angle = asin((s[0] * s[3] + s[1] * s[4]) / (r * v))
    assert v == pytest.approx(8621.3, rel=3e-3)
    assert degrees(angle) == pytest.approx(8.813, rel=3e-3)
    assert r - 6378e3 == pytest.approx(133.3e3, rel=3e-3)
    assert 6378e3 * s[1] / r == pytest.approx(462.3e3, rel=4e-3)
    ideal, gravity, drag = s[7:10]
    assert ideal == pytest.approx(390.0 * g0 * log(15.0), rel=1e-6)
    assert drag == pytest.approx(298.1, rel=3e-3)
    assert gravity == pytest.approx(1441.3, rel=3e-3)


# A large three-stage vehicle of 1969: its flight evaluation report MPR-SAT-FE-69-9 and
# NASA SP-2000-4029. Times and dynamic pressure are as reprinted in public copies; masses,
# thrusts and the trajectory at the events are from memory.
RELEASED = 6_398_325 * POUND
FIRST_BURNED = 1_842_997 * POUND  # at the first stage's last cut-off
CENTRE_OUT, FIRST_OUT = 135.20, 161.63  # s
FIRST_FLOW = (RELEASED - FIRST_BURNED) / (CENTRE_OUT + 4.0 * FIRST_OUT)  # kg/s, of one engine
FIRST_ISP = 304.0, 264.0  # s, in vacuum and at sea level
FIRST_ENGINE = Motor(1, *(FIRST_FLOW * isp * c.G0 for isp in FIRST_ISP), FIRST_ISP[0])
SECOND_LIT, SECOND_CENTRE_OUT, SECOND_OUT = 163.0, 460.62, 548.22
SECOND_MASS = 1_465_700 * POUND  # at second-stage ignition
INTERSTAGE_GONE, TOWER_GONE = (192.3, 11_465 * POUND), (197.9, 8_910 * POUND)
THIRD_LIT, THIRD_OUT = 552.2, 699.33
THIRD_MASS = 166.5e3  # kg, at third-stage ignition
INSERTED = 299_562 * POUND  # predicted for parking-orbit insertion; 0.5 % less was flown


def flown_vehicle() -> LaunchVehicle:
    """The vehicle, with its centre engines as boosters of no mass that burn out sooner."""
    four = Motor(4, 4 * FIRST_ENGINE.thrust, 4 * FIRST_ENGINE.thrust_sea_level, 304.0)
    centre = Booster("centre engine", FIRST_ENGINE, FIRST_ENGINE.flow * CENTRE_OUT, 0.0)
    first_burns = four.flow * FIRST_OUT + centre.propellant
    first = Stage(
        "first",
        four,
        four.flow * FIRST_OUT,
        RELEASED - first_burns - SECOND_MASS,
        0.0,
        (centre,),
    )
    second_centre = Motor(1, 5.16e6 / 5, 5.16e6 / 5, 424.4, 1.5)
    lasts = SECOND_CENTRE_OUT - SECOND_LIT - 0.75
    second_four = Motor(4, 4.005e6, 4.005e6, 424.4, 1.5)
    second_burns = second_four.flow * (SECOND_OUT - SECOND_LIT - 0.75)
    inner = Booster("second centre engine", second_centre, second_centre.flow * lasts, 0.0)
    left_behind = SECOND_MASS - INTERSTAGE_GONE[1] - TOWER_GONE[1] - second_burns
    second = Stage(
        "second",
        second_four,
        second_burns,
        left_behind - inner.propellant - THIRD_MASS,
        SECOND_LIT - FIRST_OUT,
        (inner,),
        tuple(Drop(f"{t}", t - SECOND_LIT, mass) for t, mass in (INTERSTAGE_GONE, TOWER_GONE)),
    )
    third = Stage(
        "third", Motor(1, 901.2e3, 901.2e3, 425.6, 2.5), 105e3, 0.0, THIRD_LIT - SECOND_OUT
    )
    return LaunchVehicle(RELEASED, (first, second, third), pi / 4.0 * 10.06**2)


@pytest.fixture(scope="module")
def large():
    """Its best climb to the orbit that was flown: 32.52 deg inclined, 6563.1 km from the centre."""
    pad = Launch(radians(28.608), radians(73.57), 6563.07e3, hold_down=0.0)
    return optimum.best_climb(flown_vehicle(), pad, "a large three-stage vehicle")


def event(flown, what, name):
    return next(x for x in flown.track.events if (x.what, x.name) == (what, name))


def test_mass_in_orbit(large):
    """What reaches the parking orbit, against the weight predicted for insertion: 3 %.

    All thrusts and specific impulses are known to about 1 % here, and 1 % of the 9.3 km/s of
    ideal velocity is 2.2 % of the mass; the flown path kept limits that the best one does not.
    """
    assert large.reached
    assert large.track.mass[-1] == pytest.approx(INSERTED, rel=0.03)


def test_first_staging(large):
    """At the first stage's cut-off: 2402 m/s over ground (7882.9 ft/s), 66.1 km (35.70 n mi).

    3 % in speed, as above. The flown path was lofted for the tower's abort limits: 10 % in
    height.
    """
    out = event(large, "burn-out", "first")
    assert out.t == pytest.approx(FIRST_OUT, abs=0.01)
    assert out.airspeed == pytest.approx(7882.9 * FOOT, rel=0.03)
    assert out.speed == pytest.approx(9068.6 * FOOT, rel=0.03)
    assert out.altitude == pytest.approx(35.70 * MILE, rel=0.10)
    assert large.most_acceleration.value == pytest.approx(3.94 * c.G0, rel=0.05)


def test_dynamic_pressure(large):
    """735.17 lbf/ft2 at 83 s were flown: 10 % and 8 s, the drag curve and the wind being ours."""
    most = large.most_dynamic_pressure
    assert most.value == pytest.approx(735.17 * POUND * c.G0 / FOOT**2, rel=0.10)
    assert most.t == pytest.approx(83.0, abs=8.0)


def test_second_staging(large):
    """At the second stage's cut-off: 6513 m/s over ground, 187.3 km (101.14 n mi); 2 and 3 %."""
    out = event(large, "burn-out", "second")
    assert out.t == pytest.approx(SECOND_OUT, abs=1.0)
    assert out.airspeed == pytest.approx(21368.2 * FOOT, rel=0.02)
    assert out.altitude == pytest.approx(101.14 * MILE, rel=0.03)


def test_insertion(large):
    """Third cut-off at 699.3 s, some 2640 km down range: 25 s and 5 %.

    2 % of mass too much spent is 3 t, and the third stage burns 0.21 t/s.
    """
    assert large.duration == pytest.approx(THIRD_OUT, abs=25.0)
    out = large.track.events[-1]
    assert out.speed == pytest.approx(25567.9 * FOOT, rel=1e-3)
    assert out.downrange * c.R_EARTH == pytest.approx(1426.0 * MILE, rel=0.05)


def test_losses_are_of_the_size_that_is_known(large):
    """Gravity 1000 to 1600 m/s, drag 30 to 150 m/s, steering and pressure below 300 m/s each.

    Ranges of launch vehicles in textbooks, from memory; large vehicles have the least drag.
    """
    losses = large.losses
    assert 1000.0 < losses["gravity"] < 1600.0
    assert 30.0 < losses["drag"] < 150.0
    assert 0.0 < losses["steering"] < 300.0
    assert 0.0 < losses["pressure"] < 300.0


def test_losses_of_the_demo(landing_plan):
    """Gravity 1000 to 1600 m/s, drag 40 to 200, steering below 200: textbooks, from memory.

    Humble, Henry & Larson, Space Propulsion Analysis and Design, ch. 2, prints such losses of
    launch vehicles. The least drag is that of the heaviest; the demo presses as hard on its
    frontal area as those do (34 t/m2 at lift-off), and the drag curve of a plain body without
    fins and fairings is good to 20 %: so much may be missing of the 40 m/s.
    """
    climb = landing_plan.flight.end.climb
    assert climb.released / climb.vehicle.area > 30e3
    assert 1000.0 < climb.losses["gravity"] < 1600.0
    assert 0.8 * 40.0 < climb.losses["drag"] < 200.0
    assert 0.0 < climb.losses["steering"] < 200.0
