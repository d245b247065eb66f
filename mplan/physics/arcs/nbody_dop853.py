"""SciPy's DOP853: the spacecraft alone in the state, Moon and Sun looked up in DE421."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from math import sqrt

import numpy as np
from scipy.integrate import solve_ivp
from scipy.interpolate import CubicHermiteSpline, CubicSpline

from mplan.physics import constants as c
from mplan.physics.arcs import figure_dop853
from mplan.physics.arcs.nbody import FAR, STOPS, Arrival, FloatStart, Stop
from mplan.physics.bodies import ephemeris, lunar_gravity
from mplan.physics.bodies.earth import surface_radius
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.vectors import Vector

# s between ephemeris nodes: cubic Hermite between them is good to a millimetre. Nodes 2 h apart,
# 0.2 m, would beat with a low lunar orbit and put a craft 180 m astray in a day.
NODE = 1800.0
SPAN = 16 * c.DAY  # s of ephemeris prepared at a time: 15 days on and 4 back at the least
TOLERANCE = {"rtol": 1e-11, "atol": 1e-6}  # of m and m/s
MOST = 50_000  # evaluations of the forces on an arc; one to the Moon takes some 2,000

_Rates = Callable[[float, np.ndarray], list[float]]


def fly_abreast(arcs: Sequence[FloatStart], stop: Stop, degree: Degree) -> list[Arrival]:
    """Fly arcs one after the other: see `nbody.fly_abreast`."""
    return [fly_arc(arc, stop, degree) for arc in arcs]


def fly_arc(arc: FloatStart, stop: Stop, degree: Degree) -> Arrival:
    """Fly one arc: see `nbody.fly_arc`."""
    r, v, t, duration, pole = arc
    rates, events = motion(t, pole, degree), _events(stop, t, pole)
    times, states, found = _solve(r, v, t, duration, rates, events=events)
    hit = [i for i, when in enumerate(found) if when.size]
    end = t + times[-1]
    luna = ephemeris.moon(end)
    name = STOPS[stop][hit[0]] if hit else "time"
    return Arrival(end, states[:3, -1], states[3:, -1], luna.r, luna.v, stop=name)


def path(arc: FloatStart, after: np.ndarray, degree: Degree) -> np.ndarray:
    """Sample one arc: see `nbody.path`."""
    r, v, t, _, pole = arc
    rates = motion(t, pole, degree)
    _, states, _ = _solve(r, v, t, after[-1], rates, t_eval=after)
    luna = ephemeris.moon(t + after)
    return np.hstack([states.T, luna.r, luna.v])


def _solve(
    r: Vector,
    v: Vector,
    t: float,
    duration: float,
    rates: _Rates,
    *,
    events: list[_ArcEnd] | None = None,
    t_eval: np.ndarray | None = None,
) -> tuple[np.ndarray, np.ndarray, list[np.ndarray]]:
    """Return times [s], states, and the times of each event."""
    bodies, begin = _bodies(t)
    if not bodies.x[0] <= begin + duration <= bodies.x[-1]:
        raise ArithmeticError(
            f"an arc of {duration / c.DAY:.1f} days: dop853 flies 15 days on and 4 back"
        )
    start = np.array((*r, *v))
    run = solve_ivp(
        rates,
        (0.0, duration),
        start,
        method="DOP853",
        events=events,
        t_eval=t_eval,
        **TOLERANCE,
    )
    if not run.success:
        raise ArithmeticError(f"the arc could not be integrated: {run.message}")
    return run.t, run.y, run.t_events or []


def motion(t: float, pole: Vector, degree: Degree = 2) -> _Rates:
    """Return the right-hand side, in plain floats: faster here than arrays of three."""
    bodies, start = _bodies(t)
    px, py, pz = pole
    k = 1.5 * c.J2_EARTH * c.MU_EARTH * c.R_EARTH**2
    field = lunar_gravity.terms(degree)
    taken = 0

    def rates(elapsed: float, state: np.ndarray) -> list[float]:
        nonlocal taken
        taken += 1
        if taken > MOST:
            raise ArithmeticError("the arc could not be integrated: it leads into a body's centre")
        x, y, z, vx, vy, vz = state.tolist()
        mx, my, mz, sx, sy, sz, *axes = bodies(start + elapsed).tolist()
        square = x * x + y * y + z * z
        height = x * px + y * py + z * pz
        j2 = k * square**-2.5
        ahead = j2 * (5.0 * height * height / square - 1.0) - c.MU_EARTH * square**-1.5
        aside = -2.0 * j2 * height
        moon = _tide(c.MU_MOON, x, y, z, mx, my, mz)
        sun = _tide(c.MU_SUN, x, y, z, sx, sy, sz)
        figure = figure_dop853.figure_pull((x - mx, y - my, z - mz), axes, field)
        return [
            vx,
            vy,
            vz,
            ahead * x + aside * px + moon[0] + sun[0] + figure[0],
            ahead * y + aside * py + moon[1] + sun[1] + figure[1],
            ahead * z + aside * pz + moon[2] + sun[2] + figure[2],
        ]

    return rates


def _tide(
    mu: float, x: float, y: float, z: float, bx: float, by: float, bz: float
) -> tuple[float, float, float]:
    """Return a third body's pull on the craft less its pull on Earth [m/s2]."""
    dx, dy, dz = x - bx, y - by, z - bz
    near = mu / (dx * dx + dy * dy + dz * dz) ** 1.5
    far = mu / (bx * bx + by * by + bz * bz) ** 1.5
    return -near * dx - far * bx, -near * dy - far * by, -near * dz - far * bz


def _bodies(t: float) -> tuple[CubicHermiteSpline, float]:
    """Return a spline good around `t`, and `t` on its own clock.

    Of the Moon's place, the Sun's, and the Moon's axis towards Earth and pole.
    """
    chunk = round(t / (SPAN / 2))
    return _spline(chunk), t - chunk * (SPAN / 2)


@lru_cache(maxsize=64)
def _spline(chunk: int) -> CubicHermiteSpline:
    nodes = np.arange(-SPAN / 2, SPAN * 1.25, NODE)
    t = chunk * (SPAN / 2) + nodes
    luna, sun = ephemeris.moon(t), ephemeris.sun(t)
    axes = lunar_gravity.principal_axes(t)[:, ::2].reshape(-1, 6)
    turning = CubicSpline(nodes, axes)(nodes, 1)
    return CubicHermiteSpline(
        nodes, np.hstack([luna.r, sun.r, axes]), np.hstack([luna.v, sun.v, turning])
    )


class _ArcEnd:
    """What ends an arc where its value passes zero, as the library asks for it."""

    terminal = True

    def __init__(self, value: Callable[[float, np.ndarray], float], direction: float) -> None:
        self._value, self.direction = value, direction

    def __call__(self, elapsed: float, state: np.ndarray) -> float:
        return self._value(elapsed, state)


def _events(stop: Stop, t: float, pole: Vector) -> list[_ArcEnd]:
    bodies, start = _bodies(t)
    axis = np.array(pole)

    def perilune(elapsed: float, state: np.ndarray) -> float:
        moon_r = bodies(start + elapsed)[:3]
        moon_v = bodies(start + elapsed, 1)[:3]
        return float((state[:3] - moon_r) @ (state[3:] - moon_v))

    def entry_interface(elapsed: float, state: np.ndarray) -> float:
        distance = sqrt(state[:3] @ state[:3])
        return distance - surface_radius(float(state[:3] @ axis) / distance) - c.ENTRY_INTERFACE

    def perigee(elapsed: float, state: np.ndarray) -> float:
        return float(state[:3] @ state[3:]) if state[:3] @ state[:3] < FAR**2 else -1.0

    named = {
        "perilune": _ArcEnd(perilune, 1.0),
        "entry interface": _ArcEnd(entry_interface, -1.0),
        "perigee": _ArcEnd(perigee, 1.0),
    }
    return [named[name] for name in STOPS[stop]]
