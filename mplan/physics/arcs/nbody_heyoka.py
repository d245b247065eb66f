"""The Taylor integrator: spacecraft, Moon and Sun in one state, compiled once per machine."""

from __future__ import annotations

from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from scipy.interpolate import CubicHermiteSpline

from mplan.physics import constants as c
from mplan.physics.arcs import compiled, figure_heyoka
from mplan.physics.arcs.nbody import FAR, STOPS, Arrival, Stop
from mplan.physics.bodies import ephemeris, lunar_gravity
from mplan.physics.bodies.lunar_gravity import Degree

# The integrator holds its error to the greatest number in the state. With the Sun in these
# units that is the Moon's distance, a thousandfold better than the Sun's own.
SUN_UNIT = 1e3  # m
MOST_STEPS = 3000  # of an arc; one to the Moon and back takes about 100
CHUNK, NODE = c.DAY, 1800.0  # s: of ephemeris looked up at a time, and between its nodes
HERE = Path(__file__)
# What is compiled in: the equations, and the coefficients of the Moon's field.
SOURCES = (HERE, HERE.with_name("figure_heyoka.py"), Path(lunar_gravity.__file__))


def fly_arc(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    duration: float,
    stop: Stop,
    pole: np.ndarray,
    degree: Degree,
) -> Arrival:
    """Fly one arc: see `nbody.fly_arc`."""
    turning = figure_heyoka.turning(t, duration)
    flier = _start(_integrator(stop, degree), r, v, t, np.append(pole, turning))
    taken = 0
    while True:
        outcome, _, _, steps, *_ = flier.propagate_until(duration, max_steps=MOST_STEPS - taken)
        taken += steps
        # An apse far out is that of leaving the Moon, not one of coming home: fly on.
        far = stop == "earth" and np.linalg.norm(flier.state[:3]) > FAR
        if int(outcome) < _MANY or not far or taken >= MOST_STEPS:
            break
    if taken >= MOST_STEPS or not np.all(np.isfinite(flier.state)):
        raise ArithmeticError("the arc could not be integrated: it leads into a body's centre")
    outcome = int(outcome)
    name = STOPS[stop][-outcome - 1] if outcome > _MANY else "time"
    s = flier.state
    craft_r, craft_v, moon_r, moon_v = (s[i : i + 3].copy() for i in (0, 3, 6, 9))
    return Arrival(t + flier.time, craft_r, craft_v, moon_r, moon_v, name)


_MANY = -1000  # heyoka numbers the terminal events -1, -2, ...; its other outcomes lie far below


def path(
    r: np.ndarray,
    v: np.ndarray,
    t: float,
    after: np.ndarray,
    pole: np.ndarray,
    degree: Degree,
) -> np.ndarray:
    """Sample one arc: see `nbody.path`."""
    turning = figure_heyoka.turning(t, float(after[-1]))
    flier = _start(_integrator("time", degree), r, v, t, np.append(pole, turning))
    return np.asarray(flier.propagate_grid(np.ascontiguousarray(after))[-1])[:, :12]


def _start(flier: Any, r: np.ndarray, v: np.ndarray, t: float, axes: np.ndarray) -> Any:
    """Set an integrator to the start of an arc, with time counted from there.

    `axes` are Earth's pole and the parameters of the Moon's turning.
    """
    sky, begin = _sky(t)
    (moon_r, sun_r), (moon_v, sun_v) = (np.split(sky(begin, k), 2) for k in (0, 1))
    state = flier.state
    state[0:3], state[3:6], state[6:9], state[9:12] = r, v, moon_r, moon_v
    state[12:15], state[15:18] = sun_r / SUN_UNIT, sun_v / SUN_UNIT
    flier.pars[:] = axes
    flier.time = 0.0
    if flier.with_events:
        flier.reset_cooldowns()
    return flier


def _sky(t: float) -> tuple[CubicHermiteSpline, float]:
    """Return Moon's and Sun's places as a spline good around `t`, and `t` on its own clock.

    To a millimetre, in a twentieth of the time that DE421 itself takes.
    """
    day = round(t / CHUNK)
    return _spline(day), t - day * CHUNK


@lru_cache(maxsize=256)
def _spline(chunk: int) -> CubicHermiteSpline:
    nodes = np.arange(-CHUNK / 2.0, CHUNK / 2.0 + 1.0, NODE)
    luna, sun = (body(chunk * CHUNK + nodes) for body in (ephemeris.moon, ephemeris.sun))
    return CubicHermiteSpline(nodes, np.hstack([luna.r, sun.r]), np.hstack([luna.v, sun.v]))


@cache
def _integrator(stop: Stop, degree: Degree) -> Any:
    """Return the integrator that stops at `stop`, from the cache on disk if it is sound."""
    name = f"coast to {stop} degree {degree}"
    return compiled.load_integrator(name, SOURCES, lambda: _build(stop, degree))


def _build(stop: Stop, degree: Degree) -> Any:
    import heyoka as hy

    equations, events = _equations(hy, degree)
    stops = {
        "perilune": [hy.t_event(events["moon range rate"], direction=hy.event_direction.positive)],
        "earth": [
            hy.t_event(events["entry altitude"], direction=hy.event_direction.negative),
            # After an apse far out (see `fly_arc`) the same zero must not be found again.
            hy.t_event(
                events["earth range rate"], direction=hy.event_direction.positive, cooldown=c.HOUR
            ),
        ],
        "time": [],
    }
    pars = [0.0] * (3 + figure_heyoka.PARAMETERS)
    return hy.taylor_adaptive(
        equations, [1.0] * 18, pars=pars, t_events=stops[stop], compact_mode=degree > 2
    )


def _equations(hy: Any, degree: Degree) -> tuple[list, dict[str, Any]]:
    """Return the equations of motion and the quantities whose zeros end an arc."""
    r, v, m, m_dot = (hy.make_vars(*(f"{n}{i}" for i in "xyz")) for n in ("r", "v", "m", "mv"))
    s, s_dot = (hy.make_vars(*(f"{n}{i}" for i in "xyz")) for n in ("s", "sv"))
    sun = [SUN_UNIT * x for x in s]
    parameters = [hy.par[i] for i in range(3 + figure_heyoka.PARAMETERS)]
    pole, turning = parameters[:3], parameters[3:]

    def pull(mu: float, offset: list) -> list:
        """Return the gravity at `offset` from a body."""
        inverse = dot(hy, offset, offset) ** -1.5
        return [-mu * x * inverse for x in offset]

    to_moon, to_sun = _minus(r, m), _minus(r, sun)
    craft = _plus(
        pull(c.MU_EARTH, r),
        _oblateness(hy, r, pole),
        figure_heyoka.moon_pull(hy, to_moon, turning, degree),
        pull(c.MU_MOON, m),
        pull(c.MU_SUN, to_sun),
        pull(c.MU_SUN, sun),
    )
    luna = _plus(
        pull(c.MU_EARTH + c.MU_MOON, m), pull(c.MU_SUN, _minus(m, sun)), pull(c.MU_SUN, sun)
    )
    star = [a / SUN_UNIT for a in pull(c.MU_EARTH + c.MU_SUN, sun)]
    equations = [
        pair
        for place, rate, pulled in ((r, v, craft), (m, m_dot, luna), (s, s_dot, star))
        for pair in [*zip(place, rate, strict=True), *zip(rate, pulled, strict=True)]
    ]
    return equations, {
        "moon range rate": dot(hy, to_moon, _minus(v, m_dot)),
        "earth range rate": dot(hy, r, v),
        "entry altitude": _entry_altitude(hy, r, pole),
    }


def _oblateness(hy: Any, r: list, pole: list) -> list:
    """Return Earth's J2 acceleration about `pole` (Vallado 2013, ch. 8, for a free axis)."""
    k = 1.5 * c.J2_EARTH * c.MU_EARTH * c.R_EARTH**2
    square, height = dot(hy, r, r), dot(hy, r, pole)
    inverse = square**-2.5
    ahead = 5.0 * height * height / square - 1.0
    return [k * inverse * (ahead * x - 2.0 * height * p) for x, p in zip(r, pole, strict=True)]


def _entry_altitude(hy: Any, r: list, pole: list) -> Any:
    """Return the height [m] above the entry interface, over the ellipsoid below `r`."""
    square, height = dot(hy, r, r), dot(hy, r, pole)
    squash = 1.0 / (1.0 - c.F_EARTH) ** 2 - 1.0
    surface = c.R_EARTH * (1.0 + squash * height * height / square) ** -0.5
    return square**0.5 - surface - c.ENTRY_INTERFACE


def dot(hy: Any, a: list, b: list) -> Any:
    """Return the scalar product of two lists of expressions."""
    return hy.sum([x * y for x, y in zip(a, b, strict=True)])


def _minus(a: list, b: list) -> list:
    return [x - y for x, y in zip(a, b, strict=True)]


def _plus(*vectors: list) -> list:
    return [sum(parts[1:], parts[0]) for parts in zip(*vectors, strict=True)]
