"""Burns integrated with gravity: both integrators against each other, and how a burn ends."""

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import nbody, thrust_arc
from mplan.physics.arcs.thrust_arc import ThrustArc
from mplan.physics.bodies import ephemeris

both = pytest.mark.skipif(len(nbody.back_ends()) < 2, reason="only one integrator installs here")

T = 9.0e8  # TDB s past J2000
ENGINE = {"thrust": 10e3, "isp": 310.0, "mass": 15e3}
LASTS = 900.0  # s
AXIS, AIM = np.array([0.0, 1.0, 2.0]), np.array([1.0, 2.0, 3.0])
LAWS = {
    "forwards": thrust_arc.along_velocity(1.0),
    "backwards": thrust_arc.along_velocity(-1.0),
    "aside": thrust_arc.out_of_plane(0.8, 0.6),
    "held": thrust_arc.steady(AIM),
    "turning": thrust_arc.at_turn_rate(AIM, AXIS, 1e-3, T + 200.0),
}


def begin(about: str) -> tuple[np.ndarray, np.ndarray]:
    """Return place [m] and velocity [m/s] in a low orbit, geocentric."""
    if about == "Earth":
        return np.array([6.7e6, 1e5, 3e5]), np.array([100.0, 7600.0, 1300.0])
    luna = ephemeris.moon(T)
    return np.array([1.9e6, 1e5, 3e5]) + luna.r, np.array([100.0, 1500.0, 300.0]) + luna.v


def flown(about: str, law: str, back_end: nbody.BackEnd) -> ThrustArc:
    return thrust_arc.fly_thrust(
        *begin(about), T, LASTS, steering=LAWS[law], about=about, back_end=back_end, **ENGINE
    )


@both
@pytest.mark.parametrize("about", ["Earth", "Moon"])
@pytest.mark.parametrize("law", LAWS)
def test_integrators_agree(about, law):
    """To 2 mm and 2 um/s after a quarter of an hour: SciPy's tolerance, 1e-10 of 4e8 m, decides."""
    one, other = (flown(about, law, name) for name in ("heyoka", "dop853"))
    assert np.linalg.norm(one.r - other.r) < 2e-3
    assert np.linalg.norm(one.v - other.v) < 2e-6
    assert one.along == pytest.approx(other.along, abs=1e-6)
    assert (one.t, one.mass, one.ideal) == (other.t, other.mass, other.ideal)


@pytest.mark.parametrize("name", nbody.back_ends())
def test_along_the_velocity_all_of_it_counts(name):
    """Along the velocity the thrust gives what the rocket equation says; held, the cosine of it."""
    spent = ENGINE["isp"] * c.G0 * np.log(ENGINE["mass"] / flown("Moon", "held", name).mass)
    assert flown("Moon", "forwards", name).along == pytest.approx(spent, rel=1e-9)
    assert flown("Moon", "backwards", name).along == pytest.approx(-spent, rel=1e-9)
    assert flown("Earth", "aside", name).along == pytest.approx(0.8 * spent, rel=1e-9)
    assert abs(flown("Moon", "held", name).along) < 0.99 * spent


@pytest.mark.parametrize("name", nbody.back_ends())
def test_out_of_the_field_it_is_the_rocket_equation(name):
    """A million kilometres off, held: gravity over ten minutes is known, the rest the equation's.

    What gravity gives is told by an arc without thrust; along the way it changes by 1e-6.
    """
    r, v = np.array([1e9, 0.0, 0.0]), np.zeros(3)
    end = thrust_arc.fly_thrust(r, v, T, 600.0, steering=LAWS["held"], back_end=name, **ENGINE)
    fallen = nbody.fly_arc(r, v, T, 600.0, back_end=name).v
    wanted = end.ideal * AIM / np.linalg.norm(AIM)
    assert end.v - fallen == pytest.approx(wanted, abs=1e-5)


@pytest.mark.parametrize("name", nbody.back_ends())
@pytest.mark.parametrize("about", ["Earth", "Moon"])
def test_the_ground_ends_a_burn(about, name):
    """Straight down it meets the ground at the time that the height and the speed tell."""
    r, _ = begin(about)
    luna = ephemeris.moon(T)
    up = r if about == "Earth" else r - luna.r
    down = -2e3 * up / np.linalg.norm(up) + (0.0 if about == "Earth" else luna.v)
    with pytest.raises(ArithmeticError, match="the path meets the ground after") as caught:
        thrust_arc.fly_thrust(
            r, down, T, LASTS, steering=LAWS["forwards"], about=about, back_end=name, **ENGINE
        )
    height = np.linalg.norm(up) - (c.R_EARTH if about == "Earth" else c.R_MOON)
    told = float(str(caught.value).split()[-2])
    assert 0.7 * height / 2e3 < told < height / 2e3 + 5.0  # it falls; Earth is flat by 21 km


def test_a_craft_is_not_burned_up():
    with pytest.raises(ArithmeticError, match="use up the craft"):
        thrust_arc.fly_thrust(*begin("Moon"), T, 1e5, steering=LAWS["held"], **ENGINE)
