"""Entry flown: a point mass with drag and lift over the turning, flattened Earth.

Axes of the true equator of date, not turning; the air turns with the Earth. Drag and lift are
constant shares of the dynamic pressure. Lift is banked: with a target its part sideways turns the
path, and the bank reverses from side to side to hold it (`reversals`); without one that part is
left out and the path stays over its ground track. Neglected: wind, changes of drag with Mach
number, the spacecraft's rates of roll, the Moon (1e-6 g).

Steering is one rule with one number: all lift up, or down, until pull-out, then one bank angle to
the drogues; or that angle all the way. `bank` finds the one that comes down at the target.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import acos, inf, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import earth
from mplan.physics.compiling import entry, source
from mplan.physics.entry.entry_air import density_in, standard
from mplan.physics.entry.entry_motion import FLAT, Planet, Six, step
from mplan.physics.entry.homing import STRAIGHT, TowardsTarget, side
from mplan.physics.entry.over_ground import ground_range
from mplan.physics.vectors import lock

PULL_OUT = -213.0  # m/s, climb rate that counts as pull-out: 700 ft/s (from memory of
# flown practice, no source)
CAUGHT = 2.5 * c.G0  # m/s2, at which lift that pulls down into the air has done so: of 1 to 3 g
# what leaves most shallow entries their range (our choice; flown practice: 1.3 to 2 g, from memory)
NO_GRIP = 0.05 * c.G0  # m/s2: climbing with less of the air's force, lift no longer steers: a skip
LONGEST = 3600.0  # s: what is still flying then does not come down in one go
STEP, SHORTEST = 6.0, 0.05  # s
SOUND = 310.0  # m/s, below which the drag is the subsonic one
MOMENTS = 512  # that a table has room for at first: few entries take more
LOAD = 10  # the column of a table of moments that has the load
DEPTH = 1500.0  # m to sink or rise in one step, a fifth of a scale height


class EntryVehicle(NamedTuple):
    """What the air acts on: m/(Cd A) [kg/m2], and lift over drag; `slow`, m/(Cd A) below Mach 1."""

    ballistic: float
    lift_to_drag: float
    slow: float | None = None  # the same if None


class Aerodynamics(NamedTuple):
    """The same in plain numbers: m/(Cd A) [kg/m2] above Mach 1 and below, lift over drag."""

    ballistic: float
    slow: float
    lift_to_drag: float


class EntrySteering(NamedTuple):
    """Share of the lift that points up, -1 to 1: the cosine of the bank angle.

    With `pull_out`, the share is `first` until then: all lift up; or all down, until 2.5 g.
    """

    up: float
    pull_out: bool = True
    first: float = 1.0

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
    side: float  # and to the right of the path


@dataclass(frozen=True, eq=False)
class EntryFlight:
    """An entry as flown. `end` says why it stopped: `down`, `skip` or `long`.

    `table` (n, 13) has the moments that were stepped to, each an `EntryRow` in plain numbers; a
    search for a bank flies a dozen entries of which it looks at the ends.
    """

    table: np.ndarray
    end: str
    steering: EntrySteering
    craft: Aerodynamics
    world: Planet

    def __post_init__(self) -> None:
        """Make the array read-only: the record is handed out again."""
        lock(self.table)

    @cached_property
    def rows(self) -> tuple[EntryRow, ...]:
        """The moments, and among them those of the largest loads, found between steps."""
        rows = list(map(_row_of, self.table.tolist()))
        for i in reversed(_tops(self.table)):
            found = _peak_at(rows[i - 1], rows[i], rows[i + 1], self.craft, self.world)
            if found is not None:
                rows.insert(i if found.t < rows[i].t else i + 1, found)
        return tuple(rows)

    @cached_property
    def peak(self) -> EntryRow:
        """The moment of the largest load."""
        return max(self.rows, key=lambda row: row.load)

    @property
    def peaks(self) -> tuple[EntryRow, ...]:
        """The moments at which the load passes a maximum, in flight order."""
        rows = self.rows
        inner = zip(rows, rows[1:], rows[2:], strict=False)
        return tuple(row for a, row, b in inner if a.load <= row.load > b.load)

    @property
    def reversals(self) -> tuple[float, ...]:
        """When the bank went over to the other side [s]."""
        pairs = zip(self.rows, self.rows[1:], strict=False)
        return tuple(after.t for before, after in pairs if before.side * after.side < 0.0)

    @cached_property
    def last(self) -> EntryRow:
        """The last moment."""
        return _row_of(self.table[-1].tolist())

    @cached_property
    def range(self) -> float:
        """Distance over the ground [m]; infinite if it does not come down."""
        if self.end != "down":
            return inf
        first, last = _row_of(self.table[0].tolist()), self.last
        return ground_range(first.state, last.state, last.t)


def entry_axes(t: float) -> np.ndarray:
    """Return the (3, 3) matrix from GCRS to the axes of an entry that begins at `t` [TDB s]."""
    return earth.true_equator(t)


def entry_state(r: np.ndarray, v: np.ndarray, t: float) -> Six:
    """Return the state of an entry from GCRS position [m] and velocity [m/s] at `t` [TDB s]."""
    axes = entry_axes(t)
    return (*(axes @ r).tolist(), *(axes @ v).tolist())


def fly_entry(
    state: Six,
    vehicle: EntryVehicle,
    steering: EntrySteering,
    stop: float,
    *,
    world: Planet | None = None,
    homing: TowardsTarget = STRAIGHT,
) -> EntryFlight:
    """Fly from the interface until an altitude `stop` [m] going down, a skip, or an hour is over.

    On Earth, or another `world`. With `homing`, lift acts sideways too, to the side that it tells.
    Runge-Kutta of fourth order; a step covers at most 1500 m of height; far shorter ones move the
    range by less than 500 m and the peak load by less than 0.1 %.
    """
    world = world or Planet(standard())
    slow = float(vehicle.slow or vehicle.ballistic)
    craft = Aerodynamics(float(vehicle.ballistic), slow, float(vehicle.lift_to_drag))
    table = _flown(state, craft, steering, stop, world, homing)
    end, last = "down", _row_of(table[-1].tolist())
    if last.climb > 0.0 and last.load < NO_GRIP and len(table) > 1:
        end = "skip"
    elif last.altitude > stop + 1.0:
        end = "long"
    return EntryFlight(table, end, steering, craft, world)


def _flown(
    state: Six,
    craft: Aerodynamics,
    steering: EntrySteering,
    stop: float,
    world: Planet,
    homing: TowardsTarget,
) -> np.ndarray:
    """Return the moments; where a table has no room for all of them, in a larger one."""
    asked = EntrySteering(float(steering.up), steering.pull_out, float(steering.first))
    count, room = 0, MOMENTS
    while count in (0, room):
        room = MOMENTS if count == 0 else 8 * room
        table = np.empty((room, 13))
        count = fly_moments(state, craft, asked, float(stop), world, homing, table)
    return table[:count].copy()


def _row_of(moment: Sequence[float]) -> EntryRow:
    t, x, y, z, u, v, w, *rest = moment
    return EntryRow(t, (x, y, z, u, v, w), *rest)


@entry
def fly_moments(
    state: Six,
    craft: Aerodynamics,
    steering: EntrySteering,
    stop: float,
    world: Planet,
    homing: TowardsTarget,
    rows: np.ndarray,
) -> int:
    """Write the moments into `rows` (n, 13), one an `EntryRow`, and return how many, n at most.

    A step that passes pull-out or the end is taken again, to fit.
    """
    pulling_out = steering.pull_out
    up = steering.first if pulling_out else steering.up
    row = _banked(_row(0.0, state, craft, world, up, 0.0), up, homing)
    count = _write(rows, 0, row)
    while row.t < LONGEST and row.altitude > stop and count < rows.shape[0]:
        size = _size(row)
        after = _on(row, size, craft, world)
        share = _share(row, after, stop, pulling_out)
        if share < 1.0:
            after = _on(row, size * max(share, 1e-6), craft, world)
        if pulling_out and _pulled_out(after, up):
            pulling_out, up = False, steering.up
        row = _banked(after, up, homing)
        count = _write(rows, count, row)
        if row.climb > 0.0 and row.load < NO_GRIP:
            break
    return count


@source
def _write(rows: np.ndarray, i: int, row: EntryRow) -> int:
    rows[i, 0] = row.t
    rows[i, 1], rows[i, 2], rows[i, 3] = row.state[0], row.state[1], row.state[2]
    rows[i, 4], rows[i, 5], rows[i, 6] = row.state[3], row.state[4], row.state[5]
    rows[i, 7], rows[i, 8], rows[i, 9] = row.altitude, row.speed, row.climb
    rows[i, 10], rows[i, 11], rows[i, 12] = row.load, row.up, row.side
    return i + 1


@source
def _on(row: EntryRow, size: float, craft: Aerodynamics, world: Planet) -> EntryRow:
    """Return the moment one step of `size` [s] on, banked as before."""
    k, lift = _ballistic(craft, row.speed), craft.lift_to_drag
    state = step(row.state, size, k, lift * row.up, lift * row.side, world)
    return _row(row.t + size, state, craft, world, row.up, row.side)


@source
def _banked(row: EntryRow, up: float, homing: TowardsTarget) -> EntryRow:
    """Return a moment with its lift turned: the share up is told, the side found."""
    aside = 0.0
    if not homing.straight:
        aside = sqrt(max(1.0 - up * up, 0.0))
        aside *= side(row.t, row.state, row.speed, row.side, homing)
    return EntryRow(row.t, row.state, row.altitude, row.speed, row.climb, row.load, up, aside)


def _tops(table: np.ndarray) -> list[int]:
    """Return the moments at which a load is larger than those before and after."""
    load = table[:, LOAD]
    risen, falls = load[:-2] <= load[1:-1], load[1:-1] > load[2:]
    found: list[int] = (np.flatnonzero(risen & falls) + 1).tolist()
    return found


def _peak_at(
    before: EntryRow, row: EntryRow, after: EntryRow, craft: Aerodynamics, world: Planet
) -> EntryRow | None:
    """Return the moment of the largest load about a `row`, flown to; None if that is the row's.

    A parabola through the three loads says when.
    """
    t = _top(before, row, after)
    begin = before if t < row.t else row
    found = _on(begin, t - begin.t, craft, world)
    return found if found.load > row.load else None


def _top(before: EntryRow, row: EntryRow, after: EntryRow) -> float:
    """Return when a parabola through three loads is highest [s]."""
    rise = (row.load - before.load) / (row.t - before.t)
    fall = (row.load - after.load) / (after.t - row.t)
    whole = after.t - before.t
    slope = (rise * (after.t - row.t) - fall * (row.t - before.t)) / whole
    return row.t + 0.5 * slope * whole / (rise + fall)


@source
def _pulled_out(row: EntryRow, up: float) -> bool:
    if up < 0.0:
        return row.load > 0.98 * CAUGHT
    return row.climb > PULL_OUT - 1.0 and row.altitude < 100e3


@source
def _share(before: EntryRow, after: EntryRow, stop: float, pulling_out: bool) -> float:
    """Return how much of a step leads to the first bank or the end; 1 if it passes neither."""
    if after.altitude < stop:
        return (before.altitude - stop) / (before.altitude - after.altitude)
    if pulling_out and before.up < 0.0:
        return (CAUGHT - before.load) / (after.load - before.load) if after.load > CAUGHT else 1.0
    if pulling_out and after.climb > PULL_OUT and before.climb < PULL_OUT - 1.0:
        return (PULL_OUT - before.climb) / (after.climb - before.climb)
    return 1.0


@source
def _size(row: EntryRow) -> float:
    """Return the next step [s]: short where the air thickens fast or the speed fades fast."""
    fall = DEPTH / max(abs(row.climb), 1.0)
    fade = 0.4 * row.speed / (row.load + c.G0)
    return max(SHORTEST, min(STEP, fall, fade))


@source
def _ballistic(craft: Aerodynamics, speed: float) -> float:
    return craft.slow if speed < SOUND else craft.ballistic


@source
def _row(
    t: float, state: Six, craft: Aerodynamics, world: Planet, up: float, side: float
) -> EntryRow:
    x, y, z, u, v, w = state
    r2 = x * x + y * y + z * z
    r = sqrt(r2)
    altitude = r - c.R_EARTH / sqrt(1.0 + FLAT * z * z / r2)
    a, b = u + world.rate * y, v - world.rate * x
    speed2 = a * a + b * b + w * w
    speed = sqrt(speed2)
    drag = 0.5 * density_in(altitude, world.air) * speed2 / _ballistic(craft, speed)
    load = drag * sqrt(1.0 + craft.lift_to_drag * craft.lift_to_drag)
    return EntryRow(t, state, altitude, speed, (x * a + y * b + z * w) / r, load, up, side)
