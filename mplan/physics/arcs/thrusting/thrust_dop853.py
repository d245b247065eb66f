"""A burn flown by SciPy's DOP853: Moon and Sun looked up in DE421."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

import numpy as np
from scipy.integrate import solve_ivp

from mplan.physics import constants as c
from mplan.physics.arcs import nbody_dop853
from mplan.physics.arcs.thrust_arc import ThrustEnd, ThrustStart, meets_ground
from mplan.physics.bodies import ephemeris
from mplan.physics.bodies.earth import surface_radius

TOLERANCE = {"rtol": 1e-10, "atol": 1e-6}  # of m, m/s


def fly_burn(start: ThrustStart) -> ThrustEnd:
    """Fly one burn: see `thrust_arc.fly_thrust`."""
    t, steering = start.t, start.steering
    gravity = nbody_dop853.motion(t, start.pole)
    origin = (lambda _: (0.0, 0.0)) if start.about == "Earth" else ephemeris.moon

    def rates(elapsed: float, state: np.ndarray) -> np.ndarray:
        found = np.empty(7)
        found[:6] = gravity(elapsed, state[:6])
        centre = origin(t + elapsed)
        place, pace = state[:3] - centre[0], state[3:6] - centre[1]
        size = start.thrust / (start.mass - start.flow * elapsed)
        push = size * steering.points(t + elapsed, place, pace)
        found[3:6] += push
        fast = sqrt(float(pace @ pace))
        found[6] = float(push @ pace) / fast if fast else sqrt(float(push @ push))
        return found

    begin = np.array([*start.r, *start.v, 0.0])
    run = solve_ivp(
        rates, (0.0, start.duration), begin, method="DOP853", events=_grounds(start), **TOLERANCE
    )
    if run.status == 1:
        raise meets_ground(run.t[-1])
    if not run.success:
        raise ArithmeticError(f"the burn could not be integrated: {run.message}")
    end = run.y[:, -1]
    return ThrustEnd(end[:3], end[3:6], float(end[6]))


def _grounds(start: ThrustStart) -> list[Callable[[float, np.ndarray], float]]:
    """Return the heights [m] over Earth's ellipsoid and the Moon's sphere; at zero a burn ends."""
    pole = np.array(start.pole)

    def over_earth(elapsed: float, state: np.ndarray) -> float:
        distance = sqrt(float(state[:3] @ state[:3]))
        return distance - surface_radius(float(state[:3] @ pole) / distance)

    def over_moon(elapsed: float, state: np.ndarray) -> float:
        r = state[:3] - ephemeris.moon(start.t + elapsed).r
        return sqrt(float(r @ r)) - c.R_MOON

    for ground in (over_earth, over_moon):
        vars(ground).update(terminal=True, direction=-1.0)  # as SciPy asks
    return [over_earth, over_moon]
