"""Out of an orbit about Earth and down: where, with which engine, how soon.

From a circle the burn waits for the place from which the crew come down in the recovery area, or
on the ground that their parachutes are made for; from an ellipse it is made at the top, at the pass
that leads there. The entry angle suits the speed: shallow, as from any low orbit.
"""

from __future__ import annotations

from functools import lru_cache
from math import cos, sin
from typing import NamedTuple

import numpy as np

from mplan.contingencies.ways_out.outbound.on_the_way import OnTheWay
from mplan.contingencies.ways_out.outbound.pushed_home import Pushing, flown
from mplan.contingencies.ways_out.outbound.told import NamedBurn, shut, told
from mplan.contingencies.ways_out.outbound.turning_back import SHALLOW, entry_angle
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.flight.entry import aimed_range
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, perigee_for
from mplan.physics.bodies import earth, land
from mplan.physics.bodies.downrange import ground_distance, place_ahead
from mplan.physics.circumlunar.coast_past import CorrectionHome, least_correction
from mplan.physics.twobody import Conic, conic, period, speed
from mplan.physics.vectors import cross, length, unit
from mplan.scenario import Scenario
from mplan.scenario.models import Recovery
from mplan.vehicle.same import Same
from mplan.vehicle.stack import crew_module

LOW = 1.5e7  # m, apogee radius: higher ellipses are turned back from as from the way to the Moon
ROUND = 0.005  # eccentricity of what is taken for a circle: 30 km either way (our choice)
LONGEST = 48 * c.HOUR  # s, for which the burn waits for its place (our choice)
SHALLOWER = (-1.5 * c.DEG, -1.2 * c.DEG)  # tried by weak engines (common practice, no source)
STEP = 60.0  # s, 4 deg of an orbit
OFF_LAND = 100e3  # m that a splash keeps from land (our choice)
AHEAD = 200e3  # m of the track about the splash, over which its nearest place is looked for
FAR_OFF = 3.0  # of what an engine has: no shallower angle takes so much less
AT_ONCE = 20  # places held against the land at a time
SETTLED, TRIES = 5.0, 4  # s of the burn's time
BURN = "deorbit burn"


class FallDown(NamedTuple):
    """How a burn leads down: the angle to the interface [rad], and how long it takes [s]."""

    angle: float
    lasts: float


class BurnPlace(NamedTuple):
    """Where a burn is made, the burn and where it leads, and the entry angle [rad] it is for."""

    here: nbody.Arrival
    home: CorrectionHome
    angle: float


def down_from(orbit: Conic) -> str:
    """Return in words which orbit the crew come down from."""
    low, high = (x / 1e3 - c.R_EARTH / 1e3 for x in (orbit.periapsis, orbit.a * (1.0 + orbit.e)))
    return f"down from an orbit of {low:,.0f} by {high:,.0f} km, whose air is left out"


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
            place = best_place(Same(way.flight.scenario), Same(way.ready), steepest, area)
            burn = flown(way, pushes, place.here, place.home, place.angle)
        except ArithmeticError as problem:
            found = shut(way, pushes, name, found.closed or str(problem))
            continue
        found = told(way, pushes, name, [NamedBurn(BURN, burn)])
        if not found.closed or burn.required > FAR_OFF * pushes.available:
            break
    return found


@lru_cache(maxsize=256)  # one for all engines and failures at a time
def best_place(
    of: Same[Scenario], at: Same[nbody.Arrival], steepest: float, area: Recovery | None
) -> BurnPlace:
    """Return where the burn is made: at a top of an ellipse, else where it leads to its place."""
    scenario, ready = of.it, at.it
    orbit = conic(ready.r, ready.v, c.MU_EARTH)
    if orbit.e > ROUND:
        tops = tops_ahead(ready)
        here = down_after(scenario, ready, float(tops[0]), steepest)
        top, later = here.here, tops - tops[0]
        wait = _wait(scenario, top, fall_from(top, here.home), area, later)
        return down_after(scenario, top, wait, steepest) if wait else here
    if area is not None:
        return _to_area(scenario, ready, steepest, area)
    here = least_down(scenario, ready, steepest)
    wait = _wait(scenario, ready, fall_from(ready, here.home), None, np.arange(0.0, LONGEST, STEP))
    return down_after(scenario, ready, wait, steepest)


def tops_ahead(ready: nbody.Arrival) -> np.ndarray:
    """Return the waits [s] to the tops of an ellipse that come while a burn waits for its place."""
    orbit = conic(ready.r, ready.v, c.MU_EARTH)
    turn = period(orbit.a, c.MU_EARTH)
    return np.arange((turn / 2.0 - orbit.since_periapsis) % turn, LONGEST, turn)


def _to_area(
    scenario: Scenario, ready: nbody.Arrival, steepest: float, area: Recovery
) -> BurnPlace:
    """Return the place on a circle whose burn leads to an area, or nearest to it.

    Of two burns that are all but equal one leads down at once, one a quarter of a turn on. Places
    are told by the one that is less from here, which is then flown from each of them too.
    """
    first = least_down(scenario, ready, steepest)
    after = np.arange(0.0, LONGEST, STEP)
    wait = _wait(scenario, ready, fall_from(ready, first.home), area, after)
    here = down_after(scenario, ready, wait, steepest, first)
    for _ in range(TRIES):
        late = _late(scenario, here, area)
        if abs(late) < SETTLED:
            break
        wait = max(0.0, wait + late)
        here = down_after(scenario, ready, wait, steepest, first)
    return here


def down_after(
    scenario: Scenario,
    ready: nbody.Arrival,
    wait: float,
    steepest: float = -np.inf,
    like: BurnPlace | None = None,
) -> BurnPlace:
    """Return the least burn down after a `wait` [s]; of two of them that which is `like` one."""
    here = nbody.fly_arc(ready.r, ready.v, ready.t, wait)
    start = like and _level(here).T @ (_level(like.here) @ like.home.burn)
    return least_down(scenario, here, steepest, start)


def _level(here: nbody.Arrival) -> np.ndarray:
    """Return the unit vectors up, ahead and across at a place, as rows."""
    up, normal = unit(here.r), unit(cross(here.r, here.v))
    return np.array([up, cross(normal, up), normal])


def least_down(
    scenario: Scenario, here: nbody.Arrival, steepest: float, start: np.ndarray | None = None
) -> BurnPlace:
    """Return the least burn that leads down from a place, and the entry angle [rad] it is for.

    Found from one that is near, against the velocity if none is given [m/s].
    """
    radius = length(here.r)
    angle, perigee = SHALLOW, INTERFACE_RADIUS
    for _ in range(8):
        a = (radius + perigee) / 2.0
        suits = entry_angle(scenario, speed(INTERFACE_RADIUS, a, c.MU_EARTH))
        angle = max(steepest, suits)
        perigee = perigee_for(angle, INTERFACE_RADIUS, a)
    slower = length(here.v) - speed(radius, (radius + perigee) / 2.0, c.MU_EARTH)
    begin = nbody.ArcStart(here.r, here.v, here.t, c.DAY)
    near = -slower * unit(here.v) if start is None else start
    return BurnPlace(here, least_correction(begin, near, angle), angle)


def fall_from(here: nbody.Arrival, home: CorrectionHome) -> FallDown:
    """Return how a burn `here` leads down."""
    end, normal = home.interface, unit(cross(here.r, here.v))
    angle = np.arctan2(cross(here.r, end.r) @ normal, here.r @ end.r) % (2.0 * np.pi)
    return FallDown(float(angle), end.t - here.t)


def _wait(
    scenario: Scenario,
    ready: nbody.Arrival,
    fall: FallDown,
    area: Recovery | None,
    after: np.ndarray,
) -> float:
    """Return which of the waits `after` [s], from zero on, is the first that leads where it should.

    The one nearest to the area where none leads there; none at all without an area.
    """
    path = nbody.path(ready.r, ready.v, ready.t, after)
    places = splashes(scenario, ready.t + after, path[:, :3], path[:, 3:6], fall)
    if area is not None:
        off = np.array([off_middle(x, area) for x in zip(*places, strict=True)])
        near = np.flatnonzero(off < area.radius / 2.0)
        return float(after[int(near[0]) if near.size else int(np.argmin(off))])
    for first in range(0, after.size, AT_ONCE):
        fits = _fits(scenario, *(x[first : first + AT_ONCE] for x in places))
        if fits.any():
            return float(after[first + int(np.argmax(fits))])
    return 0.0


def off_middle(there: tuple[float, float], area: Recovery) -> float:
    """Return the distance of a place from the middle of an area [m]."""
    return ground_distance(there, (area.latitude, area.longitude))


def _fits(scenario: Scenario, latitude: np.ndarray, longitude: np.ndarray) -> np.ndarray:
    """Tell which places are what the parachutes are made for: water, away from land; or land."""
    chutes = scenario.elements[crew_module(scenario)].parachutes
    if chutes is not None and chutes.surface == "land":
        places = zip(latitude.tolist(), longitude.tolist(), strict=True)
        return np.array([land.is_land(*place) for place in places])
    return ~land.near_land(latitude, longitude, OFF_LAND)


def splashes(
    scenario: Scenario, t: np.ndarray, r: np.ndarray, v: np.ndarray, fall: FallDown
) -> tuple[np.ndarray, np.ndarray]:
    """Return about where burns at times (n,) [TDB s] lead down, latitudes and longitudes [rad]."""
    angle = fall.angle + aimed_range(scenario) / c.R_EARTH
    up = r / np.linalg.norm(r, axis=-1)[:, None]
    normal = np.cross(r, v)
    ahead = np.cross(normal / np.linalg.norm(normal, axis=-1)[:, None], up)
    there = cos(angle) * up + sin(angle) * ahead
    fixed = there @ earth.earth_fixed_axes(float(t[0])).T
    turned = earth.SIDEREAL_RATE * (t + fall.lasts - t[0])
    longitude = np.arctan2(fixed[:, 1], fixed[:, 0]) - turned
    return np.arcsin(fixed[:, 2]), (longitude + np.pi) % (2.0 * np.pi) - np.pi


def _late(scenario: Scenario, place: BurnPlace, area: Recovery) -> float:
    """Return by how much later [s] a burn comes down beside the area's middle, along its track."""
    here, end = place.here, place.home.interface
    aimed = aimed_range(scenario)
    before, after = (
        place_ahead(end.r, end.v, end.t, aimed + x) for x in (-AHEAD / 2.0, AHEAD / 2.0)
    )
    off = [off_middle(x, area) for x in (before, after)]
    along = (off[0] ** 2 - off[1] ** 2) / (2.0 * AHEAD)  # m, on from where it comes down
    rate = length(cross(here.r, here.v)) / length(here.r) ** 2
    return along / (rate * c.R_EARTH)
