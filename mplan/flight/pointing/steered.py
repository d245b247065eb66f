"""Burns that are steered all the way: the climb, the landing and the ascent from the Moon."""

from __future__ import annotations

from math import cos, sin
from typing import NamedTuple

import numpy as np

from mplan.flight.descent import site
from mplan.flight.lunar_ascent import plane
from mplan.flight.pointing.attitude import ThrustDirection, towards
from mplan.flight.record import Passage
from mplan.flight.state import State
from mplan.physics.arcs.lunar_orbit import coast
from mplan.physics.bodies import lunar_axes
from mplan.physics.bodies.earth import true_equator_of_day

IGNITION, CUT_OFF = "ignition", "cut-off"
OVER_GROUND = "over the ground"


class SteeredThrust(NamedTuple):
    """The directions at ignition and cut-off, and the `speed` [m/s] at each, of which kind."""

    body: str
    directions: tuple[ThrustDirection, ...]
    speed: tuple[float, float]
    speeds: str = "inertial"


def climb(passage: Passage, end: State) -> SteeredThrust | None:
    """Return how a stage of the climb points when it is lit and when it has burned out.

    `end` is the state at the end of the flight, which knows the date of lift-off.
    """
    burn, after = passage.burn, passage.after
    if burn is None or after.launched is None:
        return None
    track, over = after.climb.track, burn.elapsed + burn.duration
    lit = (track.thrust > 0.0) & (track.t >= burn.elapsed - 1e-6) & (track.t <= over + 1e-6)
    rows = np.flatnonzero(lit & (np.linalg.norm(track.nose, axis=1) > 0.5))
    if not len(rows):
        return None
    axes = _to_icrf(end) if end.dated else None
    found = tuple(
        towards(name, track.nose[i], track.r[i], track.v[i], axes)
        for name, i in ((IGNITION, rows[0]), (CUT_OFF, rows[-1]))
    )
    first, last = (float(np.linalg.norm(track.v[i])) for i in (rows[0], rows[-1]))
    return SteeredThrust("Earth", found, (first, last))


def _to_icrf(state: State) -> np.ndarray:
    """Return the matrix that turns row vectors of the climb's axes into ICRF ones.

    Theirs are Earth's pole and the meridian of the launch site at lift-off.
    """
    orbit = state.second.chaser.parking if state.second else state.outbound.parking
    angle = orbit.longitude(state.lift_off)
    turned = np.array([[cos(angle), sin(angle), 0.0], [-sin(angle), cos(angle), 0.0], [0, 0, 1.0]])
    return turned @ true_equator_of_day(orbit.t)


def descent(passage: Passage) -> SteeredThrust | None:
    """Return how the lander points when braking begins and at touchdown, speeds over the ground."""
    before, burn, flown = passage.before, passage.burn, passage.after.descent
    if burn is None or flown is None or before.lander is None:
        return None
    orbit = coast(before.lander, before.t - before.lander.t)
    axes = lunar_axes.site_axes(site(before), orbit.normal, before.t)
    track = flown.track
    speed = float(np.linalg.norm(track.velocity[0])), flown.speed
    still = track.velocity + np.cross(np.array(flown.spin), track.place)
    return SteeredThrust(
        "Moon", _ends(track.pointing, track.place, still, axes.matrix), speed, OVER_GROUND
    )


def lunar_ascent(passage: Passage) -> SteeredThrust | None:
    """Return how the lander points at lift-off, and at insertion."""
    before, burn, flown = passage.before, passage.burn, passage.after.lunar_ascent
    if burn is None or flown is None:
        return None
    at = before.until(before.lift_off + burn.elapsed)
    level = lunar_axes.site_axes(site(at), at.orbit.normal, at.t)
    axes = plane(at) if passage.after.lander is not None else level
    track = flown.track
    speeds = np.linalg.norm(track.velocity, axis=1)
    directions = _ends(track.pointing, track.place, track.velocity, axes.matrix)
    return SteeredThrust("Moon", directions, (float(speeds[0]), float(speeds[-1])))


def _ends(
    thrust: np.ndarray, r: np.ndarray, v: np.ndarray, icrf: np.ndarray
) -> tuple[ThrustDirection, ...]:
    """Return the directions at both ends of a track (n, 3); axes are those of its ignition."""
    ends = ((IGNITION, 0), (CUT_OFF, len(thrust) - 1))
    return tuple(towards(name, thrust[i], r[i], v[i], icrf) for name, i in ends)
