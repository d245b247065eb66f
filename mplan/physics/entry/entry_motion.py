"""The motion of an entry, one step at a time: gravity, drag and lift on a point mass.

Plain floats, for speed: an entry takes a few hundred steps and is flown a hundred times.
"""

from __future__ import annotations

from math import sqrt
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.compiling import source
from mplan.physics.entry.entry_air import EntryAir, density_in

FLAT = 1.0 / (1.0 - c.F_EARTH) ** 2 - 1.0  # of the ellipsoid: what z2 counts more than x2 and y2
_J2 = 1.5 * c.J2_EARTH * c.R_EARTH**2

Six = tuple[float, float, float, float, float, float]


class Planet(NamedTuple):
    """The planet flown on: its air, gravity, rate of turning."""

    air: EntryAir
    mu: float = c.MU_EARTH
    rate: float = c.W_EARTH


@source
def step(state: Six, size: float, k: float, pull: float, push: float, world: Planet) -> Six:
    """Return the state one Runge-Kutta step on; plain floats, for speed.

    At m/(Cd A) `k`, with lift over drag `pull` upwards and `push` to the right.
    """
    x, y, z, u, v, w = state
    half = size / 2.0
    a1, b1, c1 = _pull(x, y, z, u, v, w, k, pull, push, world)
    u2, v2, w2 = u + half * a1, v + half * b1, w + half * c1
    a2, b2, c2 = _pull(x + half * u, y + half * v, z + half * w, u2, v2, w2, k, pull, push, world)
    u3, v3, w3 = u + half * a2, v + half * b2, w + half * c2
    a3, b3, c3 = _pull(
        x + half * u2, y + half * v2, z + half * w2, u3, v3, w3, k, pull, push, world
    )
    u4, v4, w4 = u + size * a3, v + size * b3, w + size * c3
    a4, b4, c4 = _pull(
        x + size * u3, y + size * v3, z + size * w3, u4, v4, w4, k, pull, push, world
    )
    sixth = size / 6.0
    return (
        x + sixth * (u + 2.0 * (u2 + u3) + u4),
        y + sixth * (v + 2.0 * (v2 + v3) + v4),
        z + sixth * (w + 2.0 * (w2 + w3) + w4),
        u + sixth * (a1 + 2.0 * (a2 + a3) + a4),
        v + sixth * (b1 + 2.0 * (b2 + b3) + b4),
        w + sixth * (c1 + 2.0 * (c2 + c3) + c4),
    )


@source
def _pull(
    x: float,
    y: float,
    z: float,
    u: float,
    v: float,
    w: float,
    ballistic: float,
    pull: float,
    push: float,
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
    density = density_in(r - c.R_EARTH / sqrt(1.0 + FLAT * s2), world.air)
    drag = 0.5 * density * speed / ballistic
    along = (x * a + y * b + z * w) / (r * speed)  # sine of the flight-path angle
    level = drag * speed / sqrt(max(1.0 - along * along, 1e-12))
    back = drag + level * pull * along / speed
    out, right = level * pull / r, level * push / (speed * r)
    return (
        (flat + out) * x - back * a + right * (b * z - w * y),
        (flat + out) * y - back * b + right * (w * x - a * z),
        (flat + 2.0 * gravity * bulge + out) * z - back * w + right * (a * y - b * x),
    )
