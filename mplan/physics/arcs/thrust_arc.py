"""A burn from any state under Earth, Moon and Sun: thrust, mass and gravity integrated together.

What a burn of a mission costs is flown about one body (`burns/finite_burn.py`, `aimed_burn.py`);
here nothing is aimed at. The engine burns at full thrust from the first moment to the last. Two
integrators stand behind it, as behind `nbody`, which share the constants alone.
"""

from __future__ import annotations

from math import log
from typing import NamedTuple, Protocol

import numpy as np

from mplan.physics.arcs import nbody
from mplan.physics.arcs.nbody import BackEnd
from mplan.physics.arcs.thrusting.steering import (
    Steering,
    along_velocity,
    at_turn_rate,
    out_of_plane,
    steady,
)
from mplan.physics.rocket import mass_flow
from mplan.physics.vectors import Vector, floats

__all__ = [
    "Steering",
    "ThrustArc",
    "ThrustStart",
    "along_velocity",
    "at_turn_rate",
    "fly_thrust",
    "out_of_plane",
    "steady",
]


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


class ThrustStart(NamedTuple):
    """A burn to be flown: from geocentric `r` [m], `v` [m/s] at `t` [TDB s] for `duration` [s].

    `thrust` [N], `flow` [kg/s], `mass` [kg] at ignition, steered by what is seen from the body
    `about`; `pole` is Earth's of date.
    """

    r: Vector
    v: Vector
    t: float
    duration: float
    thrust: float
    flow: float
    mass: float
    steering: Steering
    about: str
    pole: Vector


class ThrustEnd(NamedTuple):
    """Where a burn ends: place [m], velocity [m/s], what it gave along the velocity [m/s]."""

    r: np.ndarray
    v: np.ndarray
    along: float


class _ThrustIntegrator(Protocol):
    """What the modules of both integrators offer."""

    def fly_burn(self, start: ThrustStart) -> ThrustEnd:
        """Fly one burn: see `fly_thrust`."""


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
    back_end: BackEnd | None = None,
) -> ThrustArc:
    """Return the end of a burn of `duration` [s] from geocentric `r` [m], `v` [m/s] at `t` [TDB s].

    `thrust` [N], `isp` [s], `mass` [kg] at ignition; `steering` gives the unit vector of the
    thrust from time, and from place and velocity about the body `about`. Gravity is that of
    `nbody`, the Moon's field up to degree 2; air is left out. ArithmeticError where the craft would
    be used up, where the path meets the ground, or where it cannot be integrated.
    """
    flow = mass_flow(thrust, isp)
    if flow * duration >= mass:
        raise ArithmeticError("the burn would use up the craft itself")
    pole = floats(nbody.earth_pole(t))
    start = ThrustStart(
        floats(r), floats(v), t, duration, thrust, flow, mass, steering, about, pole
    )
    end = _integrator(back_end or nbody.back_ends()[0]).fly_burn(start)
    left = mass - flow * duration
    return ThrustArc(t + duration, end.r, end.v, left, thrust / flow * log(mass / left), end.along)


def load_burn_integrator() -> None:
    """Load what the preferred integrator keeps compiled, for who is about to fly often."""
    if nbody.back_ends()[0] == "heyoka":
        from mplan.physics.arcs.thrusting import thrust_heyoka

        thrust_heyoka.load_kept_burns()


def meets_ground(elapsed: float) -> ArithmeticError:
    """Return the error of a path that meets the ground `elapsed` [s] after ignition."""
    return ArithmeticError(f"the path meets the ground after {elapsed:,.1f} s")


def _integrator(name: BackEnd) -> _ThrustIntegrator:
    if name == "heyoka":
        from mplan.physics.arcs.thrusting import thrust_heyoka

        return thrust_heyoka
    from mplan.physics.arcs.thrusting import (
        thrust_dop853,  # half a second of a start that flies no such burn
    )

    return thrust_dop853
