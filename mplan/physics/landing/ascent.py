"""Ascent from the Moon, flown: a vertical rise, then linear tangents to the insertion orbit.

Point mass over a sphere at full thrust, in axes that do not turn; the craft begins with the
ground's own speed. Duration, pitch and turn across the track are solved so that it is inserted
at perilune, level, in the plane y = 0 (`linear_tangent`). Bennett, NASA TN D-6846 (from memory),
has the flown ascents: a rise of some ten seconds, a quick pitch over, one burn.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
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
from mplan.physics.landing.track import (
    DescentTrack,
    gravity_loss,
    of_points,
    steered_burn,
    turning_loss,
)
from mplan.physics.targeting import NoArc

STEPS = 24  # of the steered part: the insertion is then met to 0.1 m and 1 mm/s
UPRIGHT = 1e9  # a tangent
_SCALE = TangentScale(
    step=(1.0, 1e-3, 1e-6, 1e-3, 1e-6, 1.0),
    limit=(60.0, 0.5, 2e-3, 0.5, 2e-3, 1.0),
    tolerance=(1.0, 0.01, 0.01, 1.0, 0.01, 1.0),
)


class InsertionTarget(NamedTuple):
    """The insertion: perilune radius [m] and the speed there [m/s]."""

    radius: float
    speed: float


@dataclass(frozen=True)
class AscentFlight:
    """An ascent as flown, `rise` [s] of it upright; `end` is the state at cut-off, still axes."""

    rise: float
    track: DescentTrack
    end: LunarState
    delta_v: float  # m/s
    propellant: float  # kg
    losses: Mapping[str, float]  # m/s beyond the speed at insertion, by cause

    @property
    def duration(self) -> float:
        """Time [s] from lift-off to cut-off."""
        return float(self.track.t[-1])


@lru_cache(maxsize=256)
def fly_ascent(
    start: LunarState, push: SteadyThrust, rise: float, aimed: InsertionTarget
) -> AscentFlight:
    """Return the ascent from rest on the ground at `start`, still axes, after a `rise` [s] upright.

    The plane is y = 0, the way ahead x. ArithmeticError where the thrust does not lift the craft
    or does not bring it there.
    """
    ground = sqrt(start[0] ** 2 + start[1] ** 2 + start[2] ** 2)
    _refuse_too_heavy(push, ground)
    upright = TangentSteering(1.0, UPRIGHT)
    points, risen = steered_burn(start, 0.0, rise, upright, push, STILL, steps=2)
    steered = push._replace(mass=push.mass_after(rise))
    found = _solved(risen, steered, aimed)
    duration = found[0]
    more, end = steered_burn(risen, rise, duration, _law(found), steered, STILL, steps=STEPS)
    track = of_points([*points, *more], ground, push.thrust)
    spent = push.spent(rise + duration)
    return AscentFlight(
        rise=rise,
        track=track,
        end=end,
        delta_v=spent,
        propellant=push.flow * (rise + duration),
        losses=_losses(track, spent, push, aimed),
    )


def _refuse_too_heavy(push: SteadyThrust, ground: float) -> None:
    weight = push.mass * MU_MOON / ground**2
    if push.thrust <= weight:
        raise ArithmeticError(
            f"a thrust of {push.thrust / 1e3:.1f} kN does not lift a weight of"
            f" {weight / 1e3:.1f} kN"
        )


def _solved(risen: LunarState, push: SteadyThrust, aimed: InsertionTarget) -> Sought:
    """Return duration, tangents and their rates that lead to the insertion."""
    wanted = LocalState(aimed.radius, 0.0, aimed.speed, 0.0, 0.0, 0.0)
    first = sought(
        *lt.guess_tangents(lt.local_state(risen), wanted, push), *_turn(risen, push, aimed)
    )
    burn = TangentBurn(risen, 1.0, push, 0.0, push, STILL, STEPS, wanted)
    try:
        return aim_tangents(burn, first, 5, _SCALE)
    except NoArc:
        raise ArithmeticError("no ascent at this thrust leads to the insertion orbit") from None


def _turn(risen: LunarState, push: SteadyThrust, aimed: InsertionTarget) -> tuple[float, float]:
    """Return a first guess of the tangent across the track and its rate [1/s].

    A linear one that takes distance and speed across to zero over a flat ground at a steady
    thrust.
    """
    here = lt.local_state(risen)
    time = (aimed.speed - here.speed) * push.mass / push.thrust * 0.8
    size = push.thrust / push.mass * 1.3
    first = (-6.0 * here.across / time - 4.0 * here.across_speed) / time
    rate = (12.0 * here.across / time + 6.0 * here.across_speed) / time**2
    return first / size, rate / size


def _law(x: Sought) -> TangentSteering:
    return TangentSteering(1.0, *x[1:5])


def _losses(
    track: DescentTrack, spent: float, push: SteadyThrust, aimed: InsertionTarget
) -> dict[str, float]:
    """Return what is spent beyond the speed at insertion, by cause [m/s].

    Gravity along the path; thrust across the track (plane); the rest, thrust not along the
    velocity (steering), with what the ground's own speed gives or takes.
    """
    gravity, plane = -gravity_loss(track), turning_loss(track, push.thrust)
    steering = spent - aimed.speed - gravity - plane
    return {"gravity": gravity, "steering": steering, "plane": plane}
