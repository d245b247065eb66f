"""A burn from any state under Earth, Moon and Sun: thrust, mass and gravity integrated together.

What a burn of a mission costs is flown about one body (`burns/finite_burn.py`, `aimed_burn.py`);
here nothing is aimed at. The engine burns at full thrust from the first moment to the last.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from typing import NamedTuple

import numpy as np
from scipy.integrate import solve_ivp

from mplan.physics.arcs import nbody, nbody_dop853
from mplan.physics.bodies import ephemeris
from mplan.physics.rocket import mass_flow
from mplan.physics.vectors import unit

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
    `nbody`. ArithmeticError where the craft would be used up or the path cannot be integrated.
    """
    flow = mass_flow(thrust, isp)
    if flow * duration >= mass:
        raise ArithmeticError("the burn would use up the craft itself")
    gravity = nbody_dop853.motion(t, nbody.earth_pole(t))
    origin = (lambda _: (0.0, 0.0)) if about == "Earth" else ephemeris.moon

    def rates(elapsed: float, state: np.ndarray) -> np.ndarray:
        found = np.empty(8)
        found[:6] = gravity(elapsed, state[:6])
        centre = origin(t + elapsed)
        place, pace = state[:3] - centre[0], state[3:6] - centre[1]
        push = thrust / state[6] * steering(t + elapsed, place, pace)
        found[3:6] += push
        found[6] = -flow
        found[7] = float(push @ pace) / sqrt(float(pace @ pace))
        return found

    run = solve_ivp(
        rates, (0.0, duration), np.array([*r, *v, mass, 0.0]), method="DOP853", **TOLERANCE
    )
    if not run.success:
        raise ArithmeticError(f"the burn could not be integrated: {run.message}")
    end = run.y[:, -1]
    ideal = thrust / flow * float(np.log(mass / end[6]))
    return ThrustArc(t + duration, end[:3], end[3:6], float(end[6]), ideal, float(end[7]))


def along_velocity(sense: float) -> Steering:
    """Return the steering along the velocity: forwards (1.0) or against it (-1.0)."""
    return lambda t, r, v: sense * unit(v)


def steady(direction: np.ndarray) -> Steering:
    """Return the steering that holds a direction among the stars."""
    held = unit(direction)
    return lambda t, r, v: held
