"""The single burns of a rendezvous, each found on the orbits as flown."""

from __future__ import annotations

from collections.abc import Callable
from math import asin, pi, sin, sqrt

import numpy as np

from mplan.physics.arcs.orbit import Orbit
from mplan.physics.constants import DEG
from mplan.physics.rendezvous.relative import (
    AnOrbit,
    clohessy_wiltshire,
    elevation,
    orbit_at,
    orbit_axes,
    passing,
    phase_angle,
    pushed,
)
from mplan.physics.vectors import cross, inner, length, turned, unit

LOOK = 600.0  # s between looks at the target
NEAR = 0.05  # m: an aim this good is met
SHOTS = 25


class NoMeeting(ArithmeticError):
    """The two craft cannot meet as asked; the text says why."""


def into_plane(active: AnOrbit, target: Orbit) -> tuple[AnOrbit, np.ndarray]:
    """Return the next place where the two planes cross, and the burn there into the target's.

    The velocity is turned, its size kept.
    """
    line = unit(cross(active.normal, target.normal))
    angle = min(active.angle_to(line), active.angle_to(-line))
    node = orbit_at(active, active.t + travel_time(active, angle))
    up = unit(node.r)
    angle = asin(inner(cross(active.normal, target.normal), up))
    return node, turned(node.v, up, angle) - node.v


def travel_time(orbit: Orbit, angle: float) -> float:
    """Return the time [s] until the craft has gone on by `angle` [rad, 0..2 pi]."""
    mean = orbit.period * angle / (2.0 * pi)
    end = turned(unit(orbit.r), orbit.normal, angle)
    for _ in range(8):
        there = orbit_at(orbit, orbit.t + mean)
        off = inner(unit(cross(there.normal, unit(there.r))), end)
        mean += off / (length(cross(there.r, there.v)) / inner(there.r, there.r))
        if abs(off) < 1e-9:
            break
    return mean


def towards_height(active: Orbit, target: Orbit, height: float) -> np.ndarray:
    """Return the level burn after which half a turn leads to `height` [m] below the target's orbit.

    Two radii half a turn apart give the parameter p of the conic, 2 / p = 1 / r1 + 1 / r2, and so
    the level speed, whatever the climb.
    """
    here = length(active.r)
    there = passing(target, -active.r)[0] - height
    ahead = orbit_axes(active)[1]
    level = sqrt(2.0 * active.mu * there / (here * (here + there)))
    return (level - inner(active.v, ahead)) * ahead


def coelliptic(active: Orbit, target: Orbit) -> np.ndarray:
    """Return the burn that makes the difference in height to the target's orbit stay as it is.

    The semi-major axis is less by that difference, the climb that of the target times the ratio
    of the axes to 3/2 (concentric flight plans; the rule from memory).
    """
    radius, climb = passing(target, active.r)
    here = length(active.r)
    a = target.a - (radius - here)
    climb *= (target.a / a) ** 1.5
    level = sqrt(active.mu * (2.0 / here - 1.0 / a) - climb**2)
    up, ahead, _ = orbit_axes(active)
    return climb * up + level * ahead - active.v


def when_seen(active: Orbit, target: Orbit, angle: float, longest: float) -> float:
    """Return the time [TDB s] at which the line of sight to the target first rises to `angle`.

    `angle` [rad] over the horizon of the active craft, which is below and behind; less than
    zero for one that is above and ahead. NoMeeting where it is past that already, or not there
    within `longest` [s].
    """
    side = 1.0 if angle > 0.0 else -1.0

    def beyond(t: float) -> float:
        return side * (sin(elevation(orbit_at(active, t), orbit_at(target, t))) - sin(angle))

    if side * phase_angle(active, orbit_at(target, active.t)) < 0.0:
        raise NoMeeting("it has passed the target already when the terminal phase could begin")
    begin, before = active.t, beyond(active.t)
    if before > 0.0:
        there = elevation(active, orbit_at(target, active.t))
        raise NoMeeting(
            f"the target already stands {abs(there) / DEG:.0f} deg off the horizon, past the "
            f"{abs(angle) / DEG:.1f} deg at which the terminal phase begins"
        )
    while begin < active.t + longest:
        end, after = begin + LOOK, beyond(begin + LOOK)
        if after > 0.0:
            return root_between(beyond, (begin, before), (end, after), 1e-3)
        begin, before = end, after
    raise NoMeeting(
        f"the target does not come {abs(angle) / DEG:.1f} deg off the horizon within "
        f"{longest / 60.0:.0f} min"
    )


def root_between(
    f: Callable[[float], float],
    low: tuple[float, float],
    high: tuple[float, float],
    tolerance: float,
) -> float:
    """Return where `f` is zero between two places with their values, of unlike sign.

    Regula falsi with halved ends (the Illinois rule: Dowell & Jarratt 1971, BIT 11, 168-174).
    """
    (a, fa), (b, fb) = low, high
    for _ in range(60):
        x = b - fb * (b - a) / (fb - fa)
        fx = f(x)
        if abs(x - b) < tolerance or fx == 0.0:
            return x
        if fx * fb < 0.0:
            a, fa = b, fb
        else:
            fa /= 2.0
        b, fb = x, fx
    return b


def intercept(active: Orbit, goal: Orbit) -> np.ndarray:
    """Return the burn after which the active craft is where `goal` is, at the goal's time.

    The linear theory's matrix turns each miss of the arc as flown into a change of the burn.
    NoMeeting where that does not settle: the two are too far apart for one arc.
    """
    duration = goal.t - active.t
    rate = sqrt(goal.mu / goal.a**3)
    way = np.linalg.inv(clohessy_wiltshire(rate, duration)[:3, 3:])
    here, there = orbit_axes(active), orbit_axes(goal)
    dv = np.zeros(3)
    for _ in range(SHOTS):
        try:
            miss = there @ (goal.r - orbit_at(pushed(active, dv), goal.t).r)
        except ArithmeticError:
            break
        if inner(miss, miss) < NEAR**2:
            return dv
        dv = dv + here.T @ (way @ miss)
    raise NoMeeting("the target is too far off for one arc to lead there")
