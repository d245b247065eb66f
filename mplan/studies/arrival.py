"""The arrival on the turning Moon: the last hours of the arc, ground tracks, site, Earth and Sun.

Everything stands in the Moon's own axes.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.lunar_orbit import LunarOrbit, circular, coast
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.vectors import cross, unit
from mplan.plan import Plan

BEFORE = 2.0 * c.HOUR  # of the arrival, and after it where the ship flies past
POINTS, ROUND = 97, 72  # of the arc, and of a revolution


class Arrived(NamedTuple):
    """Places (n, 3) [m] and directions (3,) in the Moon's axes; `when` says the time of the Sun."""

    minutes: np.ndarray  # of the arc's points, from perilune
    arc: np.ndarray
    tracks: list[tuple[str, np.ndarray]]  # the ground under the lunar orbit, by name
    normal: np.ndarray  # of the orbit at arrival
    site: np.ndarray | None
    earth: np.ndarray
    sun: np.ndarray
    when: str


def arrived(plan: Plan) -> Arrived:
    """Return the arrival of a plan."""
    here, place = plan.flight.end.outbound.perilune, plan.scenario.landing_site
    minutes, arc = _arc(plan)
    when, t = _light(plan)
    return Arrived(
        minutes,
        arc,
        _ground_tracks(plan),
        _normal(plan),
        ground(place.latitude, place.longitude) if place else None,
        selenography.moon_fixed_axes(here.t) @ unit(-here.moon_r),
        selenography.moon_fixed_axes(t) @ unit(ephemeris.sun(t).r - ephemeris.moon(t).r),
        when,
    )


def _normal(plan: Plan) -> np.ndarray:
    """Return the normal of the orbit in which the ship arrives, in the Moon's axes."""
    here = plan.flight.end.outbound.perilune
    return (
        selenography.moon_fixed_axes(here.t) @ LunarOrbit(here.t, here.lunar_r, here.lunar_v).normal
    )


def ground(latitude: float, longitude: float) -> np.ndarray:
    """Return the direction (3,) of a place [rad] on the Moon, in its axes."""
    flat = np.cos(latitude)
    return np.array([flat * np.cos(longitude), flat * np.sin(longitude), np.sin(latitude)])


def _light(plan: Plan) -> tuple[str, float]:
    """Return when the Sun is looked at, in words and as a time [TDB s]."""
    landing = _landing(plan)
    arrival = plan.flight.end.outbound.perilune.t
    return ("at arrival", arrival) if landing is None else ("at landing", landing)


def _landing(plan: Plan) -> float | None:
    end = plan.flight.end
    times = [end.lift_off + x.elapsed for x in plan.timeline if x.kind == "land"]
    return times[0] if times else None


def _arc(plan: Plan) -> tuple[np.ndarray, np.ndarray]:
    """Return minutes from perilune and places (n, 3) [m] on the turning Moon."""
    end = plan.flight.end
    out, past = end.outbound, BEFORE if end.free_return is not None else 0.0
    t = np.linspace(out.perilune.t - BEFORE, out.perilune.t + past, POINTS)
    last = end.translunar_arcs[-1]
    states = nbody.path(last.r, last.v, last.begin, np.append(0.0, t - last.begin))[1:]
    places = on_the_ground(t, states[:, :3] - states[:, 6:9])
    return (t - out.perilune.t) / c.MINUTE, places


def on_the_ground(t: np.ndarray, r: np.ndarray) -> np.ndarray:
    """Return places (n, 3) [m] from the Moon's centre in its own axes at `t` (n,) [TDB s].

    Its turn between the first time and the last is taken as even: within a few arc seconds.
    """
    axes = selenography.moon_fixed_axes(t[0])
    turn = selenography.rotation(t[-1])[2] - selenography.rotation(t[0])[2]
    angles = (turn % (2.0 * np.pi)) * (t - t[0]) / (t[-1] - t[0])
    x, y, z = axes @ r.T
    cosine, sine = np.cos(angles), np.sin(angles)
    return np.column_stack([cosine * x + sine * y, cosine * y - sine * x, z])


def _ground_tracks(plan: Plan) -> list[tuple[str, np.ndarray]]:
    """Return the ground under the lunar orbit, one revolution at arrival and one later."""
    end = plan.flight.end
    if end.homeward is None:
        return []
    here = end.outbound.perilune
    first = circular(LunarOrbit(here.t, here.lunar_r, here.lunar_v))
    landing = _landing(plan)
    if landing is None:
        last = ("track at departure", coast(end.homeward.leaving, 0.0))
    else:
        last = ("track at landing", coast(first, landing - first.t))
    return [(name, _track(orbit)) for name, orbit in (("track at arrival", first), last)]


def _track(orbit: LunarOrbit) -> np.ndarray:
    """Return the ground (n, 3) [m] under one revolution about `orbit`'s time."""
    angles = np.linspace(-np.pi, np.pi, ROUND + 1)
    up = unit(orbit.r)
    circle = np.outer(np.cos(angles), up) + np.outer(np.sin(angles), cross(orbit.normal, up))
    t = orbit.t + angles / (2.0 * np.pi) * orbit.period
    return on_the_ground(t, circle * c.R_MOON)
