"""Descent abort: the velocity required to return to orbit from a state on the way down.

After the time it takes to part and light the engine, in free fall, the craft thrusts along linear
tangents (`linear_tangent`) until it stands level at the perilune of a safe orbit: where it is now,
or at the least height such an orbit may have. The plane it is in is kept.
"""

from __future__ import annotations

from functools import lru_cache
from math import hypot, inf, sqrt
from typing import NamedTuple

from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import (
    STILL,
    LocalState,
    LunarState,
    SteadyThrust,
    TangentSteering,
)
from mplan.physics.burns.tangent_targets import (
    Sought,
    TangentBurn,
    TangentScale,
    aim_tangents,
    sought,
)
from mplan.physics.constants import MU_MOON
from mplan.physics.rocket import burn_time, propellant
from mplan.physics.twobody import speed

STEPS = 12  # of the burn: what it needs is then good to 0.1 m/s
CLIMBING = 10.0  # m/s upwards before it pitches over, where the ground is near
UPRIGHT = 1e9  # a tangent
_SCALE = TangentScale(  # tolerances: what an abort need not meet better
    step=(0.5, 1e-3, 1e-6, 1.0, 1.0, 1.0),
    limit=(60.0, 0.5, 5e-3, 1.0, 1.0, 1.0),
    tolerance=(20.0, 0.1, 0.1, 1.0, 1.0, 1.0),
)


class SafeOrbit(NamedTuple):
    """The orbit an abort must reach, and what it must not meet: radii [m]."""

    perilune: float  # least
    apolune: float
    ground: float


class AbortClimb(NamedTuple):
    """Back to orbit: velocity spent [m/s], time from the call [s], and the state then.

    `laws` are how it was steered in turn, each with how long [s].
    """

    delta_v: float
    duration: float
    end: LunarState
    laws: tuple[tuple[TangentSteering, float], ...] = ()


def abort_delta_v(state: LunarState, push: SteadyThrust, staging: float, safe: SafeOrbit) -> float:
    """Return the velocity [m/s] that `abort_climb` takes; inf where there is none."""
    flown = abort_climb(state, push, staging, safe)
    return inf if flown is None else flown.delta_v


@lru_cache(maxsize=1024)
def abort_climb(
    state: LunarState, push: SteadyThrust, staging: float, safe: SafeOrbit
) -> AbortClimb | None:
    """Return the way to a safe orbit from `state`, still axes, lit `staging` [s] later.

    Where the steered burn would meet the ground, the craft first thrusts straight up until it
    climbs. None where the ground comes first all the same, or the thrust does not do it.
    """
    if staging:
        state = lt.fly_tangents(
            state, staging, TangentSteering(), SteadyThrust(0.0, 1.0, 1.0), STILL, steps=2
        )
    here = lt.local_state(state)
    if here.radius < safe.ground:
        return None
    if _is_safe(state, here, safe):
        return AbortClimb(0.0, staging, state)
    found = _steered(state, push, safe) or _stopped_first(state, push, safe)
    return found and found._replace(duration=staging + found.duration)


def abort_in_turn(
    state: LunarState,
    first: SteadyThrust,
    there: float,
    second: SteadyThrust,
    parting: float,
    safe: SafeOrbit,
) -> tuple[AbortClimb, AbortClimb] | None:
    """Return the way to a safe orbit by two engines: the first with all it has, then the second.

    The first, already lit, is steered for the orbit that it does not reach with `there` [m/s]; the
    second is lit `parting` [s] later. Each part ends where its own `end` is. None as `abort_climb`
    has it. Neglected: steering both parts together, which would take a little less.
    """
    whole = abort_climb(state, first, 0.0, safe)
    if whole is None or whole.delta_v <= there:
        return None
    begun = state
    left = burn_time(first.thrust, first.isp, propellant(first.isp, first.mass, there))
    lasted = 0.0
    for law, duration in whole.laws:
        lasts = min(duration, left - lasted)
        state, lowest = _flown(state, lasts, law, first._replace(mass=first.mass_after(lasted)))
        lasted += lasts
        if lowest < safe.ground:
            return None
    then = abort_climb(state, second, parting, safe) if state != begun else None
    return then and (AbortClimb(there, lasted, state, whole.laws), then)


def _stopped_first(state: LunarState, push: SteadyThrust, safe: SafeOrbit) -> AbortClimb | None:
    """Return the way if the craft first thrusts straight up until it climbs."""
    here = lt.local_state(state)
    lift = push.thrust / push.mass - MU_MOON / here.radius**2 + here.speed**2 / here.radius
    if lift <= 0.0:
        return None
    duration = max(0.0, CLIMBING - here.climb) / lift
    if duration >= push.mass / push.flow:
        return None
    upright = TangentSteering(1.0, UPRIGHT)
    risen, lowest = _flown(state, duration, upright, push)
    if lowest < safe.ground:
        return None
    rest = push._replace(mass=push.mass_after(duration))
    on = _steered(risen, rest, safe)
    return on and AbortClimb(
        push.spent(duration) + on.delta_v,
        duration + on.duration,
        on.end,
        ((upright, duration), *on.laws),
    )


def _steered(state: LunarState, push: SteadyThrust, safe: SafeOrbit) -> AbortClimb | None:
    """Return the way along linear tangents, None where that is no way."""
    here = lt.local_state(state)
    low = max(safe.perilune, here.radius)
    fast = speed(low, (low + max(safe.apolune, low)) / 2.0, MU_MOON)
    try:
        burn = _found(state, here, LocalState(low, 0.0, fast, 0.0, 0.0, 0.0), push)
    except ArithmeticError:
        return None
    duration = burn[0]
    law = _law(burn)
    end, lowest = _flown(state, duration, law, push)
    if lowest < safe.ground:
        return None
    return AbortClimb(push.spent(duration), duration, end, ((law, duration),))


def _found(state: LunarState, here: LocalState, wanted: LocalState, push: SteadyThrust) -> Sought:
    """Return duration, tangent and rate of the burn that leads from `here` to `wanted`."""
    first = sought(*lt.guess_tangents(here, wanted, push))
    burn = TangentBurn(state, 1.0, push, 0.0, push, STILL, STEPS, wanted)
    return aim_tangents(burn, first, 3, _SCALE, corrections=15, forwards=True)


def _law(x: Sought) -> TangentSteering:
    return TangentSteering(1.0, x[1], x[2])


def _flown(
    state: LunarState, duration: float, law: TangentSteering, push: SteadyThrust
) -> tuple[LunarState, float]:
    """Return the state after a burn, and the least radius [m] on the way."""
    dt, lowest = duration / STEPS, lt.local_state(state).radius
    for i in range(STEPS):
        state = lt.tangent_step(state, i * dt, dt, law, push, STILL)
        lowest = min(lowest, lt.local_state(state).radius)
    return state, lowest


def _is_safe(state: LunarState, here: LocalState, safe: SafeOrbit) -> bool:
    """Tell whether a state is on an orbit that is high enough, without a burn."""
    *_, u, v, w = state
    energy = (u * u + v * v + w * w) / 2.0 - MU_MOON / here.radius
    momentum = here.radius * hypot(here.speed, here.across_speed)
    parameter = momentum * momentum / MU_MOON
    e = sqrt(max(0.0, 1.0 + 2.0 * energy * parameter / MU_MOON))
    return parameter / (1.0 + e) >= safe.perilune


def dead_zone(sink: float, staging: float, push: SteadyThrust, gravity: float) -> float:
    """Return the height [m] below which an abort meets the ground, at a `sink` [m/s].

    h = s T + g T^2 / 2 + (s + g T)^2 / (2 (F/m - g)): the fall while the stages part (T), and until
    the engine has stopped it. Own, from constant accelerations straight down. inf where the
    thrust does not stop it; zero on the way up.
    """
    lift = push.thrust / push.mass - gravity
    fast = sink + gravity * staging
    if fast <= 0.0:
        return 0.0
    falling = max(0.0, sink * staging + gravity * staging * staging / 2.0)
    return falling + fast * fast / (2.0 * lift) if lift > 0.0 else inf
