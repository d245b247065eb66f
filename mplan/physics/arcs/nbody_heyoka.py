"""The Taylor integrator: spacecraft, Moon and Sun in one state, compiled once per machine."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from itertools import product
from pathlib import Path
from threading import Lock
from typing import Any, get_args

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import compiled, figure_heyoka
from mplan.physics.arcs.nbody import FAR, STOPS, Arrival, FloatStart, Stop
from mplan.physics.bodies import ephemeris, lunar_gravity
from mplan.physics.bodies.lunar_gravity import Degree
from mplan.physics.vectors import length

# The integrator holds its error to the greatest number in the state. With the Sun in these
# units that is the Moon's distance, a thousandfold better than the Sun's own.
SUN_UNIT = 1e3  # m
# Four arcs fly side by side in the lanes of a vector unit, in the time of one (measured); each ends
# where it ends alone, to the last bit.
LANES = 4
# Of the numbers in the state, at each step. An arc to the Moon or home is then off by 2 mm at the
# perilune or entry that it ends at, by 0.1 m along its track at a stated time there, two days in
# a low lunar orbit by 6 cm (against 2e-16, measured), where DE421's own Moon is good to metres; it
# takes half the time.
TOLERANCE = 1e-11
MOST_STEPS = 3000  # of an arc; one to the Moon and back takes about 100
_ALONE = Lock()  # an integrator holds the arc that it flies: no two threads' at once
HERE = Path(__file__)
# What is compiled in: the equations, and the coefficients of the Moon's field.
SOURCES = (HERE, HERE.with_name("figure_heyoka.py"), Path(lunar_gravity.__file__))


def fly_abreast(arcs: Sequence[FloatStart], stop: Stop, degree: Degree) -> list[Arrival]:
    """Fly arcs side by side: see `nbody.fly_abreast`."""
    groups = (arcs[i : i + LANES] for i in range(0, len(arcs), LANES))
    with _ALONE:
        return [end for group in groups for end in _fly_lanes(group, stop, degree)]


def _fly_lanes(starts: Sequence[FloatStart], stop: Stop, degree: Degree) -> list[Arrival]:
    """Return the ends of as many arcs as there are lanes, or fewer."""
    flier, until = _set_out(_integrator(stop, degree), starts)
    ends: dict[int, Arrival] = {}
    left = MOST_STEPS
    while len(ends) < len(starts):
        flier.propagate_until(until, max_steps=left)
        results, times, states = flier.propagate_res, flier.time.tolist(), flier.state
        left -= max(steps for *_, steps in results)
        if left <= 0 or not np.isfinite(states).all():
            raise ArithmeticError("the arc could not be integrated: it leads into a body's centre")
        for i in (x for x in range(len(starts)) if x not in ends):
            outcome, after = int(results[i][0]), times[i]
            stopped = outcome > _MANY
            # An apse far out is that of leaving the Moon, not one of coming home: fly on.
            far = stop == "earth" and stopped and length(states[:3, i]) > FAR
            if (stopped and not far) or after == until[i]:  # else another arc's end has broken in
                until[i] = after  # it waits for the others
                name = STOPS[stop][-outcome - 1] if stopped else "time"
                r, v, moon_r, moon_v = states[:12, i].copy().reshape(4, 3)
                ends[i] = Arrival(starts[i].t + after, r, v, moon_r, moon_v, name)
    return [ends[i] for i in range(len(starts))]


_MANY = -1000  # heyoka numbers the terminal events -1, -2, ...; its other outcomes lie far below


def path(arc: FloatStart, after: np.ndarray, degree: Degree) -> np.ndarray:
    """Sample one arc: see `nbody.path`."""
    grid = np.repeat(np.ascontiguousarray(after)[:, None], LANES, axis=1)
    with _ALONE:
        flier, _ = _set_out(_integrator("time", degree), [arc])
        return np.asarray(flier.propagate_grid(grid)[-1])[:, :12, 0]


def _set_out(flier: Any, starts: Sequence[FloatStart]) -> tuple[Any, np.ndarray]:
    """Set an integrator to the start of arcs, time counted from there; return the durations too.

    Lanes that are left over fly the last arc.
    """
    state, axes = flier.state, flier.pars
    until = np.empty(LANES)
    for i, (r, v, t, duration, pole) in enumerate(starts):
        bodies, turning = bodies_carried(t, duration)
        state[:, i:] = np.array((*r, *v, *bodies))[:, None]
        axes[:, i:] = np.array((*pole, *turning))[:, None]
        until[i:] = duration
    flier.set_time(0.0)
    if flier.with_events:
        flier.reset_cooldowns()
    return flier, until


@lru_cache(maxsize=1024)  # the shots of one targeting set out at one time
def bodies_carried(t: float, duration: float) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return Moon and Sun in the state (12) at `t`, and how the Moon turns from then on (16)."""
    there = ephemeris.moon_and_sun_floats(t)
    bodies = (*there[:6], *(x / SUN_UNIT for x in there[6:]))
    return bodies, tuple(figure_heyoka.turning(t, duration))


@cache
def _integrator(stop: Stop, degree: Degree) -> Any:
    """Return the integrator that stops at `stop`, from the cache on disk if it is sound."""
    import heyoka  # noqa: F401 (which says its version, and what is kept is made of it)

    return compiled.load_integrator(_name(stop, degree), SOURCES, lambda: _build(stop, degree))


def load_compiled() -> None:
    """Load the integrators that are kept compiled, before any of them is needed."""
    for stop, degree in product(get_args(Stop), get_args(Degree)):
        if compiled.keeps_integrator(_name(stop, degree), SOURCES):
            _integrator(stop, degree)


def _name(stop: Stop, degree: Degree) -> str:
    return f"coasts to {stop} degree {degree}"


def _build(stop: Stop, degree: Degree) -> Any:
    import heyoka as hy

    motion, events = equations(hy, degree)
    rising, falling = hy.event_direction.positive, hy.event_direction.negative
    stops = {
        "perilune": [hy.t_event_batch(events["moon range rate"], direction=rising)],
        "earth": [
            hy.t_event_batch(events["entry altitude"], direction=falling),
            # After an apse far out (see `_fly_lanes`) the same zero must not be found again.
            hy.t_event_batch(events["earth range rate"], direction=rising, cooldown=c.HOUR),
        ],
        "time": [],
    }
    return hy.taylor_adaptive_batch(
        motion,
        np.ones((18, LANES)),
        pars=np.zeros((3 + figure_heyoka.PARAMETERS, LANES)),
        t_events=stops[stop],
        tol=TOLERANCE,
        compact_mode=degree > 2,
        fast_math=True,  # sums in another order: a fifth of the time, 1e-5 m
    )


def equations(hy: Any, degree: Degree) -> tuple[list, dict[str, Any]]:
    """Return the equations of motion, and by name what ends an arc where it passes zero.

    The craft's place comes first, then its velocity; Moon and Sun follow.
    """
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
        "entry altitude": _height(hy, r, pole) - c.ENTRY_INTERFACE,
        "height over Earth": _height(hy, r, pole),
        "height over the Moon": dot(hy, to_moon, to_moon) ** 0.5 - c.R_MOON,
    }


def _oblateness(hy: Any, r: list, pole: list) -> list:
    """Return Earth's J2 acceleration about `pole` (Vallado 2013, ch. 8, for a free axis)."""
    k = 1.5 * c.J2_EARTH * c.MU_EARTH * c.R_EARTH**2
    square, height = dot(hy, r, r), dot(hy, r, pole)
    inverse = square**-2.5
    ahead = 5.0 * height * height / square - 1.0
    return [k * inverse * (ahead * x - 2.0 * height * p) for x, p in zip(r, pole, strict=True)]


def _height(hy: Any, r: list, pole: list) -> Any:
    """Return the height [m] of `r` over the ellipsoid."""
    square, height = dot(hy, r, r), dot(hy, r, pole)
    squash = 1.0 / (1.0 - c.F_EARTH) ** 2 - 1.0
    surface = c.R_EARTH * (1.0 + squash * height * height / square) ** -0.5
    return square**0.5 - surface


def dot(hy: Any, a: list, b: list) -> Any:
    """Return the scalar product of two lists of expressions."""
    return hy.sum([x * y for x, y in zip(a, b, strict=True)])


def _minus(a: list, b: list) -> list:
    return [x - y for x, y in zip(a, b, strict=True)]


def _plus(*vectors: list) -> list:
    return [sum(parts[1:], parts[0]) for parts in zip(*vectors, strict=True)]
