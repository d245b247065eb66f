"""Burns in three dimensions: against the plane case, an independent integration, known limits."""

from math import acos, cos, radians, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import minimize

from mplan.physics import constants as c
from mplan.physics.burns import aimed_burn, finite_burn
from mplan.physics.burns.aimed_burn import velocity_along_asymptote, velocity_in_plane
from mplan.physics.twobody import kepler, plane_change

LLO = c.R_MOON + 110e3
PACE = sqrt(c.MU_MOON / LLO)
START = np.array([LLO, 0.0, 0.0]), np.array([0.0, PACE, 0.0])
SHIP = {"thrust": 40e3, "isp": 314.0, "mass": 16e3}
FAR = 900.0  # m/s


def leaving(yaw: float) -> tuple[np.ndarray, float]:
    """Return asymptote and impulse of a level departure out of the plane by `yaw`."""
    fast = sqrt(FAR**2 + 2.0 * c.MU_MOON / LLO)
    ahead = np.array([0.0, cos(yaw), sin(yaw)])
    anomaly = acos(-1.0 / (1.0 + LLO * FAR**2 / c.MU_MOON))
    s = cos(anomaly) * np.array([1.0, 0.0, 0.0]) + sin(anomaly) * ahead
    return s, float(np.linalg.norm(fast * ahead - START[1]))


def flown(wanted, **craft):
    return aimed_burn.fly_aimed(*START, wanted, c.MU_MOON, **craft)


def test_in_the_plane_it_is_the_burn_along_the_velocity():
    """To the same energy, with no plane to turn: 0.01 m/s, by other steps and another rule."""
    energy = FAR**2 / 2.0
    burn = flown(velocity_in_plane(np.array([0.0, 0.0, 1.0]), energy, c.MU_MOON), **SHIP)
    fast = sqrt(FAR**2 + 2.0 * c.MU_MOON / LLO)
    plane = finite_burn.fly_finite(LLO, PACE, fast - PACE, c.MU_MOON, **SHIP)
    assert burn.delta_v == pytest.approx(plane.delta_v, abs=0.01)
    assert burn.duration == pytest.approx(plane.duration, abs=0.01)


def test_to_an_asymptote_in_the_plane():
    """A fixed asymptote asks for more than the energy does; the place to begin gives some back.

    Both are small against the loss: it stays within a tenth of that along the velocity.
    """
    s, impulse = leaving(0.0)
    burn = flown(velocity_along_asymptote(s, FAR, c.MU_MOON), **SHIP)
    plane = finite_burn.fly_finite(LLO, PACE, impulse, c.MU_MOON, **SHIP)
    assert burn.loss == pytest.approx(plane.loss, rel=0.1)


@pytest.mark.parametrize("yaw", [0.0, 0.05, 0.15])
def test_no_thrust_is_too_great(yaw):
    """The impulse is the limit: a hundredfold thrust leaves nothing but what its place costs."""
    s, impulse = leaving(yaw)
    burn = flown(velocity_along_asymptote(s, FAR, c.MU_MOON), **{**SHIP, "thrust": 4e6})
    assert burn.delta_v == pytest.approx(impulse, abs=0.05)


@pytest.mark.parametrize(("before", "long_way"), [(0.0, False), (100.0, False), (1200.0, True)])
def test_the_way_round_is_kept(before, long_way):
    """On a hyperbola its own velocity is wanted, also far ahead of periapsis: the long way out."""
    s, _ = leaving(0.0)
    fast = sqrt(FAR**2 + 2.0 * c.MU_MOON / LLO)
    r, v = kepler(START[0], np.array([0.0, fast, 0.0]), -before, c.MU_MOON)
    wanted = velocity_along_asymptote(s, FAR, c.MU_MOON, long_way=long_way)
    assert wanted(r, v) == pytest.approx(v, abs=1e-6)
    other = velocity_along_asymptote(s, FAR, c.MU_MOON, long_way=not long_way)
    assert float(np.linalg.norm(other(r, v) - v)) > 100.0


def best(s: np.ndarray) -> float:
    """Return the least velocity to an asymptote, by SciPy: thrust with a steady turning rate.

    Five numbers are chosen: start, duration, two angles of the first direction and the rate; the
    asymptote's velocity is met as closely as a penalty has it, some mm/s.
    """
    flow = SHIP["thrust"] / (SHIP["isp"] * c.G0)
    wanted = velocity_along_asymptote(s, FAR, c.MU_MOON)

    def end(x):
        lead, duration, pitch, yaw, rate = x
        r, v = kepler(*START, -100.0 * lead, c.MU_MOON)

        def rates(t, y):
            angle = pitch + 1e-3 * rate * t
            push = SHIP["thrust"] / (SHIP["mass"] - flow * t)
            u = np.array([-sin(angle) * cos(yaw), cos(angle) * cos(yaw), sin(yaw)])
            return [*y[3:], *(-c.MU_MOON * y[:3] / np.linalg.norm(y[:3]) ** 3 + push * u)]

        start = np.concatenate([r, v])
        return solve_ivp(rates, (0.0, 100.0 * duration), start, "DOP853", rtol=1e-9).y[:, -1]

    def cost(x):
        y = end(x)
        off = wanted(y[:3], y[3:]) - y[3:]
        ratio = 1.0 - flow * 100.0 * x[1] / SHIP["mass"]
        return -SHIP["isp"] * c.G0 * np.log(ratio) + 20.0 * float(off @ off)

    guess = np.array([1.4, 2.8, -0.1, float(np.arcsin(s[2])) * 2.0, 0.9])
    return minimize(cost, guess, method="Nelder-Mead", options={"maxfev": 900}).fun


def test_near_the_best_steering():
    """The least that a search over start, direction and rate finds lies 1 m/s below at most.

    The search is over another family of burns, so that it may also lie a little above.
    """
    s, _ = leaving(0.1)
    burn = flown(velocity_along_asymptote(s, FAR, c.MU_MOON), **SHIP)
    assert burn.delta_v - best(s) == pytest.approx(0.0, abs=1.0)


@pytest.mark.parametrize("degrees", [1.0, 5.0, 20.0])
def test_a_turn_of_the_plane(degrees):
    """Of a circle: 2 v sin(i / 2), and next to no loss: less than dv (w t)^2 / 24 (Robbins 1966).

    The formula from memory. Pull and thrust are square to one another, so that even that is too
    much; and as the level direction is met where the burn ends, some hundredths of a degree of
    the plane are left, for which the loss may come out below zero.
    """
    turn = radians(degrees)
    normal = np.array([0.0, -sin(turn), cos(turn)])
    burn = flown(velocity_in_plane(normal, -(PACE**2) / 2.0, c.MU_MOON), **SHIP)
    assert burn.delta_v - burn.loss == pytest.approx(plane_change(PACE, turn), rel=1e-6)
    whole = burn.duration * PACE / LLO
    estimate = burn.delta_v * whole**2 / 24.0
    assert abs(burn.loss) < estimate + 6e-3  # met to a millimetre a second


def test_nothing_to_do():
    burn = flown(velocity_in_plane(np.array([0.0, 0.0, 1.0]), -(PACE**2) / 2.0, c.MU_MOON), **SHIP)
    assert burn == (pytest.approx(0.0, abs=1e-6), 0.0, 0.0)


def test_too_little_thrust():
    s, _ = leaving(0.1)
    with pytest.raises(ArithmeticError, match="thrust is too low for the burn to end in one arc"):
        flown(velocity_along_asymptote(s, FAR, c.MU_MOON), **{**SHIP, "thrust": 1e3})


def test_a_craft_that_is_all_burnt():
    s, _ = leaving(0.1)
    with pytest.raises(ArithmeticError, match="would use up the craft itself"):
        flown(velocity_along_asymptote(s, FAR, c.MU_MOON), thrust=40e3, isp=20.0, mass=16e3)
