"""Powered descent to a place on the Moon, flown: braking, approach, hover, touchdown.

Point mass over a sphere that turns, thrust between its limits at one specific impulse. Braking is
constant thrust steered by linear tangents to the high gate (`linear_tangent`), all six of its
numbers solved so that position and velocity there come out: the time of ignition among them, and
the turn across the track. From the gate down the craft flies polynomials to points fixed over the
site (`lunar_descent_approach`). Phases and names follow Bennett, NASA TN D-6846 (from memory).

Crew safety rests on this leg: a planning study's figures, not a guidance design.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from math import hypot, log, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.burns import linear_tangent as lt
from mplan.physics.burns.linear_tangent import (
    LocalState,
    LunarState,
    Spin,
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
from mplan.physics.constants import G0, MU_MOON
from mplan.physics.landing import approach
from mplan.physics.landing.track import (
    DescentTrack,
    gravity_loss,
    of_points,
    steered_burn,
    turning_loss,
)
from mplan.physics.targeting import NoArc

LATEST = 120.0  # s from the state given to ignition: further off, its orbit is another one
STEPS = 20  # of braking: the gate is then met to 0.2 m, which the approach takes out
_SCALE = TangentScale(
    step=(1.0, 1e-3, 1e-6, 1e-3, 1e-6, 0.5),
    limit=(60.0, 0.3, 1e-3, 0.3, 1e-3, 60.0),
    tolerance=(1.0, 0.02, 0.02, 1.0, 0.02, 1.0),
)


class Lander(NamedTuple):
    """What comes down: `mass` [kg], full and `least` thrust [N], `isp` [s], `usable` [kg]."""

    mass: float
    thrust: float
    least: float
    isp: float
    usable: float


class DescentProfile(NamedTuple):
    """How it comes down: heights over the site [m], speeds over the ground [m/s], times [s].

    `trim` is spent at least thrust before full braking, `braking` the share of full thrust used
    then; a `_sink` is a speed downwards. `redesignation` [m] is flown sideways in the hover.
    """

    trim: float
    braking: float
    high_altitude: float
    high_speed: float
    high_sink: float
    low_altitude: float
    low_speed: float
    low_sink: float
    hover_altitude: float
    hover: float
    redesignation: float
    touchdown_speed: float


class DescentPhase(NamedTuple):
    """One phase: it begins at `t` [s] after ignition; velocity spent [m/s] and propellant [kg]."""

    name: str
    t: float
    duration: float
    delta_v: float
    propellant: float


@dataclass(frozen=True)
class DescentFlight:
    """A descent as flown. `late` [s] is the ignition after the state it began from."""

    late: float
    spin: Spin  # rad/s, of the axes of `track`
    track: DescentTrack
    phases: tuple[DescentPhase, ...]
    delta_v: float  # m/s
    propellant: float  # kg
    speed_at_ignition: float  # m/s over the ground
    losses: Mapping[str, float]  # m/s beyond that speed, by cause
    miss: float  # m from the site at touchdown
    speed: float  # m/s at touchdown, of which
    drift: float  # m/s sideways
    lowest: float  # m, least altitude over the site's on the way: below zero it hit the ground
    at_limit: float  # s for which guidance asked for a thrust beyond the limits
    hovers: bool  # the least thrust is below the weight; else flown as if it were
    left: float  # kg that can still be used at touchdown
    seconds_left: float  # s for which it would hold the craft in a hover

    @property
    def duration(self) -> float:
        """Time [s] from ignition to touchdown."""
        return float(self.track.t[-1])

    def phase(self, name: str) -> DescentPhase:
        """Return the phase called `name`."""
        return next(x for x in self.phases if x.name == name)


def high_gate(way: DescentProfile, site_radius: float) -> LocalState:
    """Return where braking ends: over the ground, and how far ahead of it the site lies."""
    radius = site_radius + way.high_altitude
    return LocalState(
        radius, -way.high_sink, way.high_speed, -approach.gate_range(way) / radius, 0.0, 0.0
    )


@lru_cache(maxsize=64)
def braking_angle(
    start: LunarState, lander: Lander, way: DescentProfile, site_radius: float, spin: Spin
) -> float:
    """Return the angle [rad] from ignition at `start` to a site that lies wherever it must.

    The craft comes level in the plane y = 0. ArithmeticError where the braking does not work out.
    """
    gate = high_gate(way, site_radius)
    guess = _guess(lt.local_state(start), gate, lander, way)

    burn = _burn(start, gate, lander, way, spin)
    found = aim_tangents(burn, sought(*guess), 3, _SCALE)
    end = lt.local_state(_braked(start, found, lander, way, spin))
    return end.angle - lt.local_state(start).angle - gate.angle


@lru_cache(maxsize=64)
def fly_descent(
    start: LunarState, lander: Lander, way: DescentProfile, site_radius: float, spin: Spin
) -> DescentFlight:
    """Return the descent from an orbit that passes `start` to the site at (0, 0, `site_radius`).

    `start` is a state in the site's turning axes within a minute or so of where ignition must
    be; the ignition itself is solved for. ArithmeticError where no braking leads to the gate, or
    ignition would be far from there.
    """
    gate = high_gate(way, site_radius)
    guess = _guess(lt.local_state(start), gate, lander, way)

    wait = _wait(start, guess, gate, lander, way, spin)
    if abs(wait) > LATEST:
        raise ArithmeticError(
            f"the site is not where the descent orbit leads: ignition would be due about "
            f"{wait:.0f} s after perilune"
        )
    first = sought(*guess, 0.0, 0.0, wait)
    try:
        found = aim_tangents(_burn(start, gate, lander, way, spin), first, 6, _SCALE)
    except NoArc:
        raise ArithmeticError("no braking leads to the high gate before the site") from None
    return _flown(start, found, lander, way, site_radius, spin)


def _burn(
    start: LunarState, gate: LocalState, lander: Lander, way: DescentProfile, spin: Spin
) -> TangentBurn:
    trim, braking = _trim(lander, way), _braking(lander, way)
    return TangentBurn(start, -1.0, trim, float(way.trim), braking, spin, STEPS, gate)


def _wait(
    start: LunarState,
    guess: lt.TangentGuess,
    gate: LocalState,
    lander: Lander,
    way: DescentProfile,
    spin: Spin,
) -> float:
    """Return about how much later [s] than `start` ignition brings the gate to its place."""
    end = lt.local_state(_braked(start, sought(*guess), lander, way, spin))
    here = lt.local_state(start)
    return (gate.angle - end.angle) * here.radius / here.speed


def _guess(
    start: LocalState, gate: LocalState, lander: Lander, way: DescentProfile
) -> lt.TangentGuess:
    trim = _trim(lander, way)
    slower = start._replace(speed=start.speed - trim.spent(way.trim))
    return lt.guess_tangents(slower, gate, _braking(lander, way))


def _trim(lander: Lander, way: DescentProfile) -> SteadyThrust:
    return SteadyThrust(lander.least, lander.isp, lander.mass)


def _braking(lander: Lander, way: DescentProfile) -> SteadyThrust:
    after = _trim(lander, way).mass_after(way.trim)
    return SteadyThrust(lander.thrust * way.braking, lander.isp, after)


def _law(x: Sought) -> TangentSteering:
    return TangentSteering(-1.0, *x[1:5])


def _braked(
    ignition: LunarState, x: Sought, lander: Lander, way: DescentProfile, spin: Spin
) -> LunarState:
    """Return the state after trim and braking with the numbers `x`, from a state at ignition."""
    level = TangentSteering(-1.0)
    begun = lt.fly_tangents(ignition, way.trim, level, _trim(lander, way), spin, steps=2)
    return lt.fly_tangents(begun, x[0], _law(x), _braking(lander, way), spin, steps=STEPS)


def _flown(
    start: LunarState,
    x: Sought,
    lander: Lander,
    way: DescentProfile,
    site_radius: float,
    spin: Spin,
) -> DescentFlight:
    burning, late = x[0], x[5]
    ignition = lt.free_fall(start, late, spin)
    trim, braking = _trim(lander, way), _braking(lander, way)
    points, state = steered_burn(
        ignition, 0.0, way.trim, TangentSteering(-1.0), trim, spin, steps=2
    )
    main, gate = steered_burn(state, way.trim, burning, _law(x), braking, spin, steps=STEPS)
    begun, mass = way.trim + burning, braking.mass_after(burning)
    last, hovers = _down(approach.ApproachFlight(gate, mass, begun), lander, way, site_radius, spin)
    phases = [
        DescentPhase("trim", 0.0, way.trim, trim.spent(way.trim), trim.flow * way.trim),
        DescentPhase("braking", way.trim, burning, braking.spent(burning), braking.flow * burning),
        *(DescentPhase(*each) for each in last.phases),
    ]
    braked = of_points([*points, *main], site_radius, lander.thrust)
    losses = _losses(braked, phases, lander, way)
    track = of_points([*points, *main, *last.points], site_radius, lander.thrust)
    return DescentFlight(
        late=late,
        spin=spin,
        track=track,
        lowest=float(np.min(track.altitude)),
        phases=tuple(x for x in phases if x.duration > 0.0),
        losses=losses,
        speed_at_ignition=lt.ground_speed(ignition),
        hovers=hovers,
        **_touchdown(last, lander, site_radius),
    )


def _down(
    gate: approach.ApproachFlight,
    lander: Lander,
    way: DescentProfile,
    site_radius: float,
    spin: Spin,
) -> tuple[approach.ApproachFlight, bool]:
    """Return the flight from the high gate, and whether the engine can throttle down for it."""
    free = approach.ThrottleLimits(lander.thrust, 0.0, lander.isp)
    last = approach.fly_approach(replace(gate, points=[], phases=[]), free, way, site_radius, spin)
    if lander.least > last.mass * MU_MOON / site_radius**2:
        return last, False
    if last.least >= lander.least:
        return last, True
    return approach.fly_approach(
        gate, free._replace(least=lander.least), way, site_radius, spin
    ), True


def _touchdown(
    last: approach.ApproachFlight, lander: Lander, site_radius: float
) -> dict[str, float]:
    x, y, z, u, v, w = last.state
    burned = lander.mass - last.mass
    left = lander.usable - burned
    hovering = last.mass * MU_MOON / site_radius**2 / (lander.isp * G0)
    return {
        "delta_v": lander.isp * G0 * log(lander.mass / last.mass),
        "propellant": burned,
        "miss": sqrt(x * x + y * y + (z - site_radius) ** 2),
        "speed": sqrt(u * u + v * v + w * w),
        "drift": hypot(u, v),
        "at_limit": last.at_limit,
        "left": left,
        "seconds_left": left / hovering,
    }


def _losses(
    braked: DescentTrack, phases: list[DescentPhase], lander: Lander, way: DescentProfile
) -> dict[str, float]:
    """Return what is spent beyond the speed at ignition, by cause [m/s].

    To the gate: gravity along the path, thrust across the track (plane), and what is left, thrust
    not against the velocity (steering). From the gate: all that goes beyond the speed there.
    """
    spent = phases[0].delta_v + phases[1].delta_v
    gone = float(braked.speed[0] - braked.speed[-1])
    gravity = gravity_loss(braked)
    plane = turning_loss(braked.between(way.trim, np.inf), lander.thrust * way.braking)
    below = sum(each.delta_v for each in phases[2:])
    return {
        "gravity": gravity,
        "steering": spent - gone - gravity - plane,
        "plane": plane,
        "approach": below - float(braked.speed[-1]),
    }
