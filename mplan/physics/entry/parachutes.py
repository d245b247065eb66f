"""Down under parachutes: speeds, times and opening loads, straight down through still air.

Opening loads are those of parachutes small against what they carry (infinite mass), which is
on the safe side; filling times, disreefing and swinging are neglected.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import exp, log, pi, sqrt
from typing import NamedTuple

import numpy as np

from mplan.physics.bodies.atmosphere import Air
from mplan.physics.compiling import Table, entry, source, table
from mplan.physics.constants import G0

LAYER = 60.0  # m, within which the air is taken as uniform: 0.1 s in five minutes
OPENING = 1.1  # peak over steady drag of a slotted canopy, common practice, no source


class ParachuteFall(NamedTuple):
    """One moment of the descent: time [s] from its start, altitude [m], speed [m/s] downwards."""

    t: float
    altitude: float
    speed: float


class CanopySet(NamedTuple):
    """One kind of parachute: drag area of all [m2], altitude of opening [m], share then open."""

    drag_area: float
    altitude: float
    reefed: float = 1.0


class Opening(NamedTuple):
    """Parachutes opening: altitude [m], speed [m/s], dynamic pressure [Pa], Mach, load [g]."""

    altitude: float
    speed: float
    pressure: float
    mach: float
    load: float


class ParachuteDescent(NamedTuple):
    """From the opening of the drogues to touchdown; times [s] from there."""

    drogues: tuple[ParachuteFall, ...]
    mains: tuple[ParachuteFall, ...]
    drogue_opening: Opening
    main_opening: Opening

    @property
    def main_time(self) -> float:
        """Time [s] from the opening of the drogues to that of the mains."""
        return self.drogues[-1].t

    @property
    def duration(self) -> float:
        """Time [s] from the opening of the drogues to touchdown."""
        return self.main_time + self.mains[-1].t

    @property
    def touchdown(self) -> float:
        """Speed at touchdown [m/s]."""
        return self.mains[-1].speed


def drag_area(count: int, diameter: float, drag_coefficient: float) -> float:
    """Return the drag area [m2] of `count` canopies of nominal `diameter` [m]."""
    return count * drag_coefficient * pi / 4.0 * diameter**2


@source
def terminal_speed(mass: float, drag_area: float, density: float) -> float:
    """Return the steady speed of descent [m/s]: weight is drag. `mass` [kg], `drag_area` [m2]."""
    return sqrt(2.0 * mass * G0 / (density * drag_area))


def opening_load(pressure: float, drag_area: float, mass: float) -> float:
    """Return the peak opening load in standard gravities, at a dynamic `pressure` [Pa]."""
    return OPENING * pressure * drag_area / (mass * G0)


def under(
    mass: float,
    body: float,
    speed: float,
    sinking: float,
    drogues: CanopySet,
    mains: CanopySet,
    air: Callable[[float], Air],
) -> ParachuteDescent:
    """Return the descent to sea level of a `mass` [kg] whose own drag area is `body` [m2].

    It opens its drogues at `speed` through the air, `sinking` downwards [m/s]. They fall away as
    the mains open, which are whole from then on: reefing counts for the opening load only.
    """
    top, middle = drogues.altitude, mains.altitude
    high, low = layers(air, top, middle), layers(air, middle, 0.0)
    first = descend(mass, drogues.drag_area + body, sinking, top, middle, high)
    second = descend(mass, mains.drag_area + body, first[-1].speed, middle, 0.0, low)
    return ParachuteDescent(
        first,
        second,
        _opening(mass, drogues, speed, air(drogues.altitude)),
        _opening(mass, mains, first[-1].speed, air(mains.altitude)),
    )


def _opening(mass: float, canopies: CanopySet, speed: float, air: Air) -> Opening:
    pressure = air.density * speed**2 / 2.0
    load = opening_load(pressure, canopies.drag_area * canopies.reefed, mass)
    return Opening(canopies.altitude, speed, pressure, speed / air.sound_speed, load)


@lru_cache(maxsize=32)  # the same at every descent of a craft
def layers(air: Callable[[float], Air], top: float, bottom: float) -> Table:
    """Return the densities [kg/m3] of layers from `top` to `bottom` [m], each at its middle."""
    count = max(1, round((top - bottom) / LAYER))
    step = (top - bottom) / count
    return table(air(top - (i + 0.5) * step).density for i in range(count))


def descend(
    mass: float,
    drag_area: float,
    speed: float,
    top: float,
    bottom: float,
    densities: Table,
) -> tuple[ParachuteFall, ...]:
    """Return the way down from `top` to `bottom` [m], begun at `speed` [m/s] downwards.

    Through layers of equal height and of `densities` [kg/m3], from above. In a layer of uniform
    air half the speed squared closes in on its steady value exponentially, d(w2/2)/ds =
    g - (density A / m) w2/2, so that no step is ever unstable; the time follows in closed form.
    Gravity is standard gravity.
    """
    rows = np.empty((len(densities) + 1, 3))
    step = (top - bottom) / len(densities)
    fall_through(float(mass), float(drag_area), float(speed), float(top), step, densities, rows)
    return tuple(map(ParachuteFall._make, rows.tolist()))


@entry
def fall_through(
    mass: float,
    drag_area: float,
    speed: float,
    top: float,
    step: float,
    densities: Table,
    rows: np.ndarray,
) -> int:
    """Write what `descend` says into `rows` (n + 1, 3) for n layers; return how many layers."""
    t, before = 0.0, speed
    rows[0, 0], rows[0, 1], rows[0, 2] = t, top, before
    for i in range(len(densities)):
        steady = terminal_speed(mass, drag_area, densities[i])
        square = steady * steady
        fading = exp(-2.0 * G0 * step / square)
        after = sqrt(square + (before * before - square) * fading)
        t += step / steady + steady / G0 * log((after + steady) / (before + steady))
        rows[i + 1, 0], rows[i + 1, 1], rows[i + 1, 2] = t, top - (i + 1) * step, after
        before = after
    return len(densities)
