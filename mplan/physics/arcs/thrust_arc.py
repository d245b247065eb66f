"""A burn from any state under Earth, Moon and Sun: thrust, mass and gravity integrated together.

What a burn of a mission costs is flown about one body (`burns/finite_burn.py`, `aimed_burn.py`);
here nothing is aimed at. The engine burns at full thrust from the first moment to the last.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.earth import surface_radius
from mplan.physics.rocket import mass_flow
from mplan.physics.vectors import floats, turned, unit

Steering = Callable[[float, np.ndarray, np.ndarray], np.ndarray]
TOLERANCE = {"rtol": 1e-10, "atol": 1e-6}  # of m, m/s and kg


class ThrustArc(NamedTuple):
    """The end of a burn: geocentric `r` [m], `v` [m/s] at `t` [TDB s], `mass` left [kg].

    `along` [m/s] is what the thrust gave along the velocity steered by, `ideal` the rocket
    equation's; their difference was spent on turning.
    """

    t: float
    r: np.ndarray
    v: np.ndarray
    mass: float
    ideal: float
    along: float


def fly_thrust(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    duration: float,
    *,
    thrust: float,
    isp: float,
    mass: float,
    steering: Steering,
    about: str = "Earth",
) -> ThrustArc:
    """Return the end of a burn of `duration` [s] from geocentric `r` [m], `v` [m/s] at `t` [TDB s].

    `thrust` [N], `isp` [s], `mass` [kg] at ignition; `steering` gives the unit vector of the
    thrust from time [TDB s] and place and velocity about the body `about`. Gravity is that of
    `nbody`, air is left out. ArithmeticError where the craft would be used up, where the path meets
    the ground, or where it cannot be integrated.
    """
    from scipy.integrate import solve_ivp  # half a second of a start that flies no such burn

    from mplan.physics.arcs import nbody_dop853

    flow = mass_flow(thrust, isp)
    if flow * duration >= mass:
        raise ArithmeticError("the burn would use up the craft itself")
    gravity = nbody_dop853.motion(t, floats(nbody.earth_pole(t)))
    origin = (lambda _: (0.0, 0.0)) if about == "Earth" else ephemeris.moon

    def rates(elapsed: float, state: np.ndarray) -> np.ndarray:
        found = np.empty(8)
        found[:6] = gravity(elapsed, state[:6])
        centre = origin(t + elapsed)
        place, pace = state[:3] - centre[0], state[3:6] - centre[1]
        push = thrust / state[6] * steering(t + elapsed, place, pace)
        found[3:6] += push
        found[6] = -flow
        fast = sqrt(float(pace @ pace))
        found[7] = float(push @ pace) / fast if fast else sqrt(float(push @ push))
        return found

    start, grounds = np.array([*r, *v, mass, 0.0]), _grounds(t)
    run = solve_ivp(rates, (0.0, duration), start, method="DOP853", events=grounds, **TOLERANCE)
    if run.status == 1:
        raise ArithmeticError(f"the path meets the ground after {run.t[-1]:,.1f} s")
    if not run.success:
        raise ArithmeticError(f"the burn could not be integrated: {run.message}")
    end = run.y[:, -1]
    ideal = thrust / flow * float(np.log(mass / end[6]))
    return ThrustArc(t + duration, end[:3], end[3:6], float(end[6]), ideal, float(end[7]))


def _grounds(t: float) -> list[Callable[[float, np.ndarray], float]]:
    """Return the heights [m] over Earth's ellipsoid and the Moon's sphere; at zero a burn ends."""
    pole = nbody.earth_pole(t)

    def over_earth(elapsed: float, state: np.ndarray) -> float:
        distance = sqrt(float(state[:3] @ state[:3]))
        return distance - surface_radius(float(state[:3] @ pole) / distance)

    def over_moon(elapsed: float, state: np.ndarray) -> float:
        r = state[:3] - ephemeris.moon(t + elapsed).r
        return sqrt(float(r @ r)) - c.R_MOON

    for ground in (over_earth, over_moon):
        vars(ground).update(terminal=True, direction=-1.0)  # as SciPy asks
    return [over_earth, over_moon]


def along_velocity(sense: float) -> Steering:
    """Return the steering along the velocity: forwards (1.0) or against it (-1.0)."""
    return lambda t, r, v: sense * unit(v)


def steady(direction: np.ndarray) -> Steering:
    """Return the steering that holds a direction among the stars."""
    held = unit(direction)
    return lambda t, r, v: held


def at_turn_rate(direction: np.ndarray, axis: np.ndarray, rate: float, t: float) -> Steering:
    """Return the steering that turns from a direction at `t` [TDB s] about `axis` at a `rate`.

    Right-handed, at `rate` [rad/s]: about the orbit's normal with the motion, as a craft pitches
    to stay level.
    """
    first, about = unit(direction), unit(axis)
    return lambda now, r, v: turned(first, about, rate * (now - t))
