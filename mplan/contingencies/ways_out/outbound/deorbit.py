"""Out of an orbit about Earth and down: where, with which engine, how soon.

From a circle the burn waits for the place from which the crew come down in the recovery area, or
on the ground that their parachutes are made for; from an ellipse it is made at the top. The entry
angle suits the speed: shallow, as from any low orbit.
"""

from __future__ import annotations

from math import cos, sin, sqrt
from typing import NamedTuple

import numpy as np

from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.pushed_home import Pushing, flown
from mplan.contingencies.ways_out.outbound.told import NamedBurn, shut, told
from mplan.contingencies.ways_out.outbound.turning_back import entry_angle
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.entry import aimed_range
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, perigee_for
from mplan.physics.bodies import earth, land
from mplan.physics.bodies.downrange import ground_distance, place_ahead
from mplan.physics.circumlunar.coast_past import CorrectionHome, least_correction
from mplan.physics.twobody import conic, speed
from mplan.physics.vectors import cross, length, unit
from mplan.scenario.models import Recovery
from mplan.vehicle.stack import crew_module

LOW = 1.5e7  # m, apogee radius: higher ellipses are turned back from as from the way to the Moon
ROUND = 0.02  # eccentricity of what is taken for a circle
LONGEST = 24 * c.HOUR  # s, for which the burn waits for its place (our choice)
SHALLOWER = (-1.5 * c.DEG, -1.2 * c.DEG)  # tried by weak engines (common practice, no source)
STEP = 60.0  # s, 4 deg of an orbit
OFF_LAND = 100e3  # m that a splash keeps from land (our choice)
AHEAD = 200e3  # m of the track about the splash, over which its nearest place is looked for
SETTLED, TRIES = 5.0, 4  # s of the burn's time
BURN = "deorbit burn"


class _Fall(NamedTuple):
    """How a burn leads down: the angle to the interface [rad], and how long it takes [s]."""

    angle: float
    lasts: float


def is_low(way: OnTheWay) -> bool:
    """Tell whether the craft goes round Earth on an orbit that it is deorbited from."""
    orbit = conic(way.now.r, way.now.v, c.MU_EARTH)
    return orbit.e < 1.0 and orbit.a * (1.0 + orbit.e) < LOW


def deorbited(way: OnTheWay, pushes: Pushing, area: Recovery | None = None) -> WayOut:
    """Return the way down by one engine, to an `area` or as soon as the ground below suits.

    At a shallower angle where the engine has not the thrust for the usual one.
    """
    name = f"deorbit by {pushes.burner.title}{f', to {area.name}' if area else ''}"
    found = shut(way, pushes, name, "")
    for steepest in (-np.inf, *SHALLOWER):
        try:
            here = _place(way, steepest, area)
            home, angle = _down(way, here, steepest)
            burn = flown(way, pushes, here, home, angle)
        except ArithmeticError as problem:
            found = shut(way, pushes, name, found.closed or str(problem))
            continue
        found = told(way, pushes, name, [NamedBurn(BURN, burn)])
        if not found.closed:
            break
    return found


def _place(way: OnTheWay, steepest: float, area: Recovery | None) -> nbody.Arrival:
    """Return where the burn is made: at the top of an ellipse, else where it leads to its place."""
    ready = way.ready
    orbit = conic(ready.r, ready.v, c.MU_EARTH)
    if orbit.e > ROUND:
        half = np.pi * sqrt(orbit.a**3 / c.MU_EARTH)
        return nbody.fly_arc(ready.r, ready.v, ready.t, (half - orbit.since_periapsis) % (2 * half))
    home, _ = _down(way, ready, steepest)
    wait = _wait(way, ready, _fall(ready, home), area)
    for _ in range(TRIES if area else 0):
        here = nbody.fly_arc(ready.r, ready.v, ready.t, wait)
        late = _late(way, here, _down(way, here, steepest)[0], area)
        wait = max(0.0, wait + late)
        if abs(late) < SETTLED:
            break
    return nbody.fly_arc(ready.r, ready.v, ready.t, wait)


def _down(way: OnTheWay, here: nbody.Arrival, steepest: float) -> tuple[CorrectionHome, float]:
    """Return the least burn that leads down from a place, and the entry angle [rad] it is for."""
    radius = length(here.r)
    angle, perigee = entry_angle(way, 0.0), INTERFACE_RADIUS
    for _ in range(8):
        a = (radius + perigee) / 2.0
        angle = max(steepest, entry_angle(way, speed(INTERFACE_RADIUS, a, c.MU_EARTH)))
        perigee = perigee_for(angle, INTERFACE_RADIUS, a)
    slower = length(here.v) - speed(radius, (radius + perigee) / 2.0, c.MU_EARTH)
    begin = nbody.ArcStart(here.r, here.v, here.t, c.DAY)
    return least_correction(begin, -slower * unit(here.v), angle), angle


def _fall(here: nbody.Arrival, home: CorrectionHome) -> _Fall:
    end, normal = home.interface, unit(cross(here.r, here.v))
    angle = np.arctan2(cross(here.r, end.r) @ normal, here.r @ end.r) % (2.0 * np.pi)
    return _Fall(float(angle), end.t - here.t)


def _wait(way: OnTheWay, ready: nbody.Arrival, fall: _Fall, area: Recovery | None) -> float:
    """Return how long to wait [s] for the first place, of a day, that leads where it should.

    Zero where none does.
    """
    after = np.arange(0.0, LONGEST, STEP)
    path = nbody.path(ready.r, ready.v, ready.t, after)
    latitude, longitude = _splashes(way, ready.t + after, path[:, :3], path[:, 3:6], fall)
    if area is not None:
        there = area.latitude, area.longitude
        off = np.array([ground_distance(x, there) for x in zip(latitude, longitude, strict=True)])
        near = np.flatnonzero(off < area.radius / 2.0)
        return float(after[near[0] if near.size else np.argmin(off)])
    fits = _fits(way, latitude, longitude)
    return float(after[np.argmax(fits)])


def _fits(way: OnTheWay, latitude: np.ndarray, longitude: np.ndarray) -> np.ndarray:
    """Tell which places are what the parachutes are made for: water, away from land; or land."""
    scenario = way.flight.scenario
    chutes = scenario.elements[crew_module(scenario)].parachutes
    if chutes is not None and chutes.surface == "land":
        places = zip(latitude.tolist(), longitude.tolist(), strict=True)
        return np.array([land.is_land(*place) for place in places])
    return ~land.near_land(latitude, longitude, OFF_LAND)


def _splashes(
    way: OnTheWay, t: np.ndarray, r: np.ndarray, v: np.ndarray, fall: _Fall
) -> tuple[np.ndarray, np.ndarray]:
    """Return about where burns at times (n,) [TDB s] lead down, latitudes and longitudes [rad]."""
    angle = fall.angle + aimed_range(way.flight.scenario) / c.R_EARTH
    up = r / np.linalg.norm(r, axis=-1)[:, None]
    normal = np.cross(r, v)
    ahead = np.cross(normal / np.linalg.norm(normal, axis=-1)[:, None], up)
    there = cos(angle) * up + sin(angle) * ahead
    fixed = there @ earth.earth_fixed_axes(float(t[0])).T
    turned = earth.SIDEREAL_RATE * (t + fall.lasts - t[0])
    longitude = np.arctan2(fixed[:, 1], fixed[:, 0]) - turned
    return np.arcsin(fixed[:, 2]), (longitude + np.pi) % (2.0 * np.pi) - np.pi


def _late(way: OnTheWay, here: nbody.Arrival, home: CorrectionHome, area: Recovery | None) -> float:
    """Return by how much later [s] a burn comes down beside the area's middle, along its track."""
    end = home.interface
    if area is None:
        return 0.0
    aimed = aimed_range(way.flight.scenario)
    before, after = (
        place_ahead(end.r, end.v, end.t, aimed + x) for x in (-AHEAD / 2.0, AHEAD / 2.0)
    )
    off = [ground_distance(x, (area.latitude, area.longitude)) for x in (before, after)]
    along = (off[0] ** 2 - off[1] ** 2) / (2.0 * AHEAD)  # m, on from where it comes down
    rate = length(cross(here.r, here.v)) / length(here.r) ** 2
    return along / (rate * c.R_EARTH)
