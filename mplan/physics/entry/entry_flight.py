"""Entry flown: a point mass with drag and lift over the turning, flattened Earth.

Axes of the true equator of date, not turning; the air turns with the Earth. Drag and lift are
constant shares of the dynamic pressure. Lift is banked; the part sideways is taken to average out
in rolls from side to side, so that the path stays over its ground track. Neglected: wind, changes
of drag with Mach number, the spacecraft's rates of roll, the Moon (1e-6 g).

Steering is one rule with one number: full lift up until pull-out, then one bank
angle to the drogues; or that angle all the way. `bank` finds the bank that comes down at
the target.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property
from math import acos, atan, atan2, cos, inf, sin, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import earth
from mplan.physics.entry import entry_air

PULL_OUT = -213.0  # m/s, climb rate that counts as pull-out: 700 ft/s (from memory of
# flown practice, no source)
NO_GRIP = (
    0.05 * c.G0
)  # m/s2: climbing with less of the air's force is a skip: lift no longer steers
LONGEST = 3600.0  # s: what is still flying then does not come down in one go
STEP, SHORTEST = 6.0, 0.05  # s
SOUND = 310.0  # m/s, below which the drag is the subsonic one
DEPTH = 1500.0  # m to sink or rise in one step, a fifth of a scale height
_FLAT = 1.0 / (1.0 - c.F_EARTH) ** 2 - 1.0
_J2 = 1.5 * c.J2_EARTH * c.R_EARTH**2

Six = tuple[float, float, float, float, float, float]


class EntryVehicle(NamedTuple):
    """What the air acts on: m/(Cd A) [kg/m2], and lift over drag; `slow`, m/(Cd A) below Mach 1."""

    ballistic: float
    lift_to_drag: float
    slow: float | None = None  # the same if None


class Planet(NamedTuple):
    """The planet flown on: air density [kg/m3] at an altitude [m], gravity, rate of turning."""

    density: Callable[[float], float] = entry_air.density
    mu: float = c.MU_EARTH
    rate: float = c.W_EARTH


EARTH = Planet()


class EntrySteering(NamedTuple):
    """Share of the lift that points up, -1 to 1: the cosine of the bank angle.

    With `pull_out`, all lift points up until then.
    """

    up: float
    pull_out: bool = True

    @property
    def bank(self) -> float:
        """The bank angle [rad]."""
        return acos(self.up)


class EntryRow(NamedTuple):
    """One moment: time since the interface [s], state, and what the air does."""

    t: float
    state: Six
    altitude: float
    speed: float  # through the air
    climb: float  # m/s
    load: float  # m/s2, of drag and lift together
    up: float  # share of the lift that points up


@dataclass(frozen=True)
class EntryFlight:
    """An entry as flown. `end` says why it stopped: `down`, `skip` or `long`."""

    rows: tuple[EntryRow, ...]
    end: str
    steering: EntrySteering

    @cached_property
    def peak(self) -> EntryRow:
        """The moment of the largest load."""
        return max(self.rows, key=lambda row: row.load)

    @property
    def range(self) -> float:
        """Distance over the ground [m]; infinite if it does not come down."""
        first, last = self.rows[0], self.rows[-1]
        return inf if self.end != "down" else ground_range(first.state, last.state, last.t)


def entry_axes(t: float) -> np.ndarray:
    """Return the (3, 3) matrix from GCRS to the axes of an entry that begins at `t` [TDB s]."""
    return earth.true_equator(t)


def entry_state(r: np.ndarray, v: np.ndarray, t: float) -> Six:
    """Return the state of an entry from GCRS position [m] and velocity [m/s] at `t` [TDB s]."""
    axes = entry_axes(t)
    return (*(axes @ r).tolist(), *(axes @ v).tolist())


def steepened(state: Six, angle: float) -> Six:
    """Return `state` with its flight-path angle [rad] changed, at the same speed and heading."""
    r, v = np.array(state[:3]), np.array(state[3:])
    up = r / np.linalg.norm(r)
    level = v - up * (up @ v)
    ahead = level / np.linalg.norm(level)
    turned = np.linalg.norm(v) * (ahead * cos(angle) + up * sin(angle))
    return (*r.tolist(), *turned.tolist())


def fly_entry(
    state: Six,
    vehicle: EntryVehicle,
    steering: EntrySteering,
    stop: float,
    *,
    world: Planet = EARTH,
) -> EntryFlight:
    """Fly from the interface until an altitude `stop` [m] going down, a skip, or an hour is over.

    Runge-Kutta of fourth order; a step covers at most 1500 m of height; far shorter ones
    move the range by less than 500 m and the peak load by less than 0.5 %.
    """
    rows: list[EntryRow] = []
    for row in _steps(state, vehicle, steering, stop, world):
        rows.append(row)
        if row.climb > 0.0 and row.load < NO_GRIP and len(rows) > 1:
            return EntryFlight(tuple(rows), "skip", steering)
    end = "down" if rows[-1].altitude <= stop + 1.0 else "long"
    return EntryFlight(tuple(rows), end, steering)


def _steps(
    state: Six, vehicle: EntryVehicle, steering: EntrySteering, stop: float, world: Planet
) -> Iterator[EntryRow]:
    """Yield the moments; a step that passes pull-out or the end is taken again, to fit."""
    t, pulling_out = 0.0, steering.pull_out
    row = _row(t, state, vehicle, 1.0 if pulling_out else steering.up, world)
    yield row
    while t < LONGEST and row.altitude > stop:
        size = _size(row)
        k, pull = _ballistic(vehicle, row.speed), vehicle.lift_to_drag * row.up
        after = _row(t + size, _step(row.state, size, k, pull, world), vehicle, row.up, world)
        share = _share(row, after, stop, pulling_out)
        if share < 1.0:
            size *= max(share, 1e-6)
            state = _step(row.state, size, k, pull, world)
            after = _row(t + size, state, vehicle, row.up, world)
        if pulling_out and after.climb > PULL_OUT - 1.0 and after.altitude < 100e3:
            pulling_out = False
            after = after._replace(up=steering.up)
        t, row = t + size, after
        yield row


def _share(before: EntryRow, after: EntryRow, stop: float, pulling_out: bool) -> float:
    """Return how much of a step leads to pull-out or to the end; 1 if it passes neither."""
    if after.altitude < stop:
        return (before.altitude - stop) / (before.altitude - after.altitude)
    if pulling_out and after.climb > PULL_OUT and before.climb < PULL_OUT - 1.0:
        return (PULL_OUT - before.climb) / (after.climb - before.climb)
    return 1.0


def _size(row: EntryRow) -> float:
    """Return the next step [s]: short where the air thickens fast or the speed fades fast."""
    fall = DEPTH / max(abs(row.climb), 1.0)
    fade = 0.4 * row.speed / (row.load + c.G0)
    return max(SHORTEST, min(STEP, fall, fade))


def _ballistic(vehicle: EntryVehicle, speed: float) -> float:
    return vehicle.slow if vehicle.slow and speed < SOUND else vehicle.ballistic


def _row(t: float, state: Six, vehicle: EntryVehicle, up: float, world: Planet) -> EntryRow:
    x, y, z, u, v, w = state
    r2 = x * x + y * y + z * z
    r = sqrt(r2)
    altitude = r - c.R_EARTH / sqrt(1.0 + _FLAT * z * z / r2)
    a, b = u + world.rate * y, v - world.rate * x
    speed2 = a * a + b * b + w * w
    drag = 0.5 * world.density(altitude) * speed2 / _ballistic(vehicle, sqrt(speed2))
    load = drag * sqrt(1.0 + vehicle.lift_to_drag**2)
    return EntryRow(t, state, altitude, sqrt(speed2), (x * a + y * b + z * w) / r, load, up)


def _step(state: Six, size: float, k: float, pull: float, world: Planet) -> Six:
    """Return the state one Runge-Kutta step on, at m/(Cd A) `k`; plain floats, for speed."""
    x, y, z, u, v, w = state
    half = size / 2.0
    a1, b1, c1 = _pull(x, y, z, u, v, w, k, pull, world)
    u2, v2, w2 = u + half * a1, v + half * b1, w + half * c1
    a2, b2, c2 = _pull(x + half * u, y + half * v, z + half * w, u2, v2, w2, k, pull, world)
    u3, v3, w3 = u + half * a2, v + half * b2, w + half * c2
    a3, b3, c3 = _pull(x + half * u2, y + half * v2, z + half * w2, u3, v3, w3, k, pull, world)
    u4, v4, w4 = u + size * a3, v + size * b3, w + size * c3
    a4, b4, c4 = _pull(x + size * u3, y + size * v3, z + size * w3, u4, v4, w4, k, pull, world)
    sixth = size / 6.0
    return (
        x + sixth * (u + 2.0 * (u2 + u3) + u4),
        y + sixth * (v + 2.0 * (v2 + v3) + v4),
        z + sixth * (w + 2.0 * (w2 + w3) + w4),
        u + sixth * (a1 + 2.0 * (a2 + a3) + a4),
        v + sixth * (b1 + 2.0 * (b2 + b3) + b4),
        w + sixth * (c1 + 2.0 * (c2 + c3) + c4),
    )


def _pull(
    x: float,
    y: float,
    z: float,
    u: float,
    v: float,
    w: float,
    ballistic: float,
    pull: float,
    world: Planet,
) -> tuple[float, float, float]:
    """Return the acceleration [m/s2]: gravity with J2, drag against the turning air, lift."""
    r2 = x * x + y * y + z * z
    r = sqrt(r2)
    s2 = z * z / r2
    gravity, bulge = -world.mu / (r2 * r), _J2 / r2
    flat = gravity * (1.0 + bulge * (1.0 - 5.0 * s2))
    a, b = u + world.rate * y, v - world.rate * x
    speed = sqrt(a * a + b * b + w * w)
    density = world.density(r - c.R_EARTH / sqrt(1.0 + _FLAT * s2))
    drag = 0.5 * density * speed / ballistic
    along = (x * a + y * b + z * w) / (r * speed)  # sine of the flight-path angle
    lift = drag * speed * pull / sqrt(max(1.0 - along * along, 1e-12))
    back = drag + lift * along / speed
    out = lift / r
    return (
        (flat + out) * x - back * a,
        (flat + out) * y - back * b,
        (flat + 2.0 * gravity * bulge + out) * z - back * w,
    )


def geodetic_place(state: Six, t: float) -> tuple[float, float]:
    """Return geodetic latitude and longitude [rad] from the meridian of right ascension zero.

    At `t` [s] after the interface; take the sidereal angle there away for the longitude.
    """
    x, y, z = state[:3]
    latitude = atan(z / sqrt(x * x + y * y) / (1.0 - c.F_EARTH) ** 2)
    return latitude, atan2(y, x) - c.W_EARTH * t


def ground_range(first: Six, last: Six, t: float) -> float:
    """Return the distance [m] over the turning ground, on a sphere of the equatorial radius."""
    (latitude, longitude), (there, beyond) = geodetic_place(first, 0.0), geodetic_place(last, t)
    cosine = sin(latitude) * sin(there) + cos(latitude) * cos(there) * cos(beyond - longitude)
    return c.R_EARTH * acos(max(-1.0, min(1.0, cosine)))
