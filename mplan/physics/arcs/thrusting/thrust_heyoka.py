"""A burn flown by the Taylor integrator: Moon and Sun carried along in the state.

A tenth of a millisecond, where SciPy takes ten: ways out fly hundreds of burns.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

import numpy as np

from mplan.physics.arcs import compiled, figure_heyoka, nbody_heyoka
from mplan.physics.arcs.nbody_heyoka import dot
from mplan.physics.arcs.thrust_arc import ThrustEnd, ThrustStart, meets_ground

NAME = "burns"
SOURCES = (*nbody_heyoka.SOURCES, Path(__file__))
OF_GRAVITY = 3 + figure_heyoka.PARAMETERS  # the parameters before those of thrust and steering
PARAMETERS = OF_GRAVITY + 17
GROUNDS = ("height over Earth", "height over the Moon")
STILL = 1e-20  # of squares, so that a craft that stands still has a direction: none
MOST_STEPS = 10_000  # of a burn; one of an hour in a low orbit takes some 30
_ALONE = Lock()  # an integrator holds the burn that it flies: no two threads' at once


def fly_burn(start: ThrustStart) -> ThrustEnd:
    """Fly one burn: see `thrust_arc.fly_thrust`."""
    bodies, turning = nbody_heyoka.bodies_carried(start.t, start.duration)
    law = start.steering
    body = 0.0 if start.about == "Earth" else 1.0
    with _ALONE:
        flier = _integrator()
        flier.state[:] = (*start.r, *start.v, *bodies, 0.0)
        flier.pars[:] = (
            *start.pole, *turning, body, start.thrust, start.flow, start.mass,
            law.along, law.aside, *law.held, *law.turning, *law.across,
            law.rate, law.since - start.t,
        )  # fmt: skip
        flier.time = 0.0
        flier.reset_cooldowns()
        outcome = int(flier.propagate_until(start.duration, max_steps=MOST_STEPS)[0])
        state, elapsed = flier.state.copy(), float(flier.time)
    if _MANY < outcome < 0:
        raise meets_ground(elapsed)
    if elapsed != start.duration or not np.isfinite(state).all():
        raise ArithmeticError("the burn could not be integrated: it leads into a body's centre")
    return ThrustEnd(state[:3], state[3:6], float(state[-1]))


_MANY = -1000  # heyoka numbers the terminal events -1, -2, ...; its other outcomes lie far below


@cache
def _integrator() -> Any:
    """Return the integrator, from the cache on disk if it is sound."""
    import heyoka  # noqa: F401 (which says its version, and what is kept is made of it)

    return compiled.load_integrator(NAME, SOURCES, _build)


def load_kept_burns() -> None:
    """Load the integrator if it is kept compiled, before it is needed."""
    if compiled.keeps_integrator(NAME, SOURCES):
        _integrator()


def _build() -> Any:
    import heyoka as hy

    rates, named = nbody_heyoka.equations(hy, 2)
    r, v, m, m_dot = (hy.make_vars(*(f"{n}{i}" for i in "xyz")) for n in ("r", "v", "m", "mv"))
    body, thrust, flow, mass, along, aside, *vectors, rate, since = (
        hy.par[i] for i in range(OF_GRAVITY, PARAMETERS)
    )
    held, turning, across = vectors[:3], vectors[3:6], vectors[6:]
    place = [x - body * y for x, y in zip(r, m, strict=True)]
    pace = [x - body * y for x, y in zip(v, m_dot, strict=True)]
    normal = [place[i - 2] * pace[i - 1] - place[i - 1] * pace[i - 2] for i in range(3)]
    fast = (dot(hy, pace, pace) + STILL) ** -0.5
    over = (dot(hy, normal, normal) + STILL) ** -0.5
    angle = rate * (hy.time - since)
    size = thrust / (mass - flow * hy.time)
    push = [
        size
        * (
            along * fast * pace[i]
            + aside * over * normal[i]
            + held[i]
            + hy.cos(angle) * turning[i]
            + hy.sin(angle) * across[i]
        )
        for i in range(3)
    ]
    for i, pushed in enumerate(push, start=3):  # the rates of the velocity
        rates[i] = rates[i][0], rates[i][1] + pushed
    given = hy.make_vars("given")
    falling = hy.event_direction.negative
    return hy.taylor_adaptive(
        [*rates, (given, fast * dot(hy, push, pace))],
        np.ones(19),
        pars=np.zeros(PARAMETERS),
        t_events=[hy.t_event(named[x], direction=falling) for x in GROUNDS],
        tol=nbody_heyoka.TOLERANCE,
        fast_math=True,
    )
