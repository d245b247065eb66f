"""What a climb is steered by, as numbers: the law that tells where the nose points.

Plain data, so that a stretch of a climb is flown at compiled speed; `guidance` makes the laws.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from math import cos, sin, sqrt
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.compiling import Table, source, table
from mplan.physics.vectors import Vector

Twelve = tuple[float, float, float, float, float, float, float, float, float, float, float, float]
ZERO: Vector = (0.0, 0.0, 0.0)
# Kinds of law.
HELD, PITCHOVER, GRAVITY_TURN, PLANE_TURN, LINEAR_TANGENT, PROGRAMME = range(6)


class AttitudeProgramme(NamedTuple):
    """Attitudes at rising heights [m], turned evenly between: unit vectors of the turning Earth."""

    heights: Table
    x: Table
    y: Table
    z: Table


NO_PROGRAMME = AttitudeProgramme(table(()), table(()), table(()), table(()))


class Tangents(NamedTuple):
    """Tangents of the thrust upwards and sideways, and their rates [1/s]."""

    up: float = 0.0
    up_rate: float = 0.0
    side: float = 0.0
    side_rate: float = 0.0


class SteeringLaw(NamedTuple):
    """A `kind` of law and its numbers; which of them count is told by `nose`.

    `first` and `second` are directions, `since` [s] and `span` [s] times, `angle` [rad].
    """

    kind: int
    first: Vector = ZERO
    second: Vector = ZERO
    since: float = 0.0
    span: float = 1.0
    angle: float = 0.0
    tangents: Tangents = Tangents()
    programme: AttitudeProgramme = NO_PROGRAMME


NOWHERE = SteeringLaw(HELD)


def programmed(heights: Sequence[float], noses: Sequence[Vector]) -> SteeringLaw:
    """Return the steering by a programme: attitudes at rising heights [m], turned evenly between.

    Attitudes are those of the turning Earth, as `ground_axes` gives them.
    """
    x, y, z = (table(axis) for axis in zip(*noses, strict=True))
    return SteeringLaw(PROGRAMME, programme=AttitudeProgramme(table(heights), x, y, z))


@source
def nose(t: float, s: Twelve, u: Vector, size: float, height: float, law: SteeringLaw) -> Vector:
    """Return the unit vector of the thrust at `t` [s] in a state `s`.

    `u` is the velocity over ground and `size` its size [m/s], `height` above the ellipsoid [m].
    """
    if law.kind == LINEAR_TANGENT:
        return _linear_tangent(t, s, law)
    if law.kind == GRAVITY_TURN:
        return u[0] / size, u[1] / size, u[2] / size
    if law.kind == PLANE_TURN:
        return _in_plane(t, u, law.first)
    if law.kind == PITCHOVER:
        return _pitched(t, law)
    if law.kind == PROGRAMME:
        return _looked_up(t, height, law.programme)
    return law.first


@source
def _pitched(t: float, law: SteeringLaw) -> Vector:
    """From `first`, up, towards `second`: turned by `angle` over a `span` from `since` on."""
    up, ahead = law.first, law.second
    turn = c.W_EARTH * t
    cs, sn = cos(turn), sin(turn)
    tilt = law.angle * min(1.0, max(0.0, (t - law.since) / law.span))
    a, b = cos(tilt), sin(tilt)
    x, y = a * up[0] + b * ahead[0], a * up[1] + b * ahead[1]
    return cs * x - sn * y, sn * x + cs * y, a * up[2] + b * ahead[2]


@source
def _in_plane(t: float, u: Vector, across: Vector) -> Vector:
    """Along the way over ground, its part `across` (turning with the Earth) left out."""
    cs, sn = cos(c.W_EARTH * t), sin(c.W_EARTH * t)
    ax, ay, nz = cs * across[0] - sn * across[1], sn * across[0] + cs * across[1], across[2]
    aside = u[0] * ax + u[1] * ay + u[2] * nz
    x, y, z = u[0] - aside * ax, u[1] - aside * ay, u[2] - aside * nz
    length = sqrt(x * x + y * y + z * z)
    return x / length, y / length, z / length


@source
def _looked_up(t: float, height: float, programme: AttitudeProgramme) -> Vector:
    heights = programme.heights
    i = min(max(bisect_right(heights, height), 1), len(heights) - 1)
    part = (height - heights[i - 1]) / (heights[i] - heights[i - 1])
    part = min(1.0, max(0.0, part))
    ax, ay, az = programme.x[i - 1], programme.y[i - 1], programme.z[i - 1]
    bx, by, bz = programme.x[i], programme.y[i], programme.z[i]
    x, y, z = ax + part * (bx - ax), ay + part * (by - ay), az + part * (bz - az)
    length = sqrt(x * x + y * y + z * z)
    cs, sn = cos(c.W_EARTH * t) / length, sin(c.W_EARTH * t) / length
    return cs * x - sn * y, sn * x + cs * y, z / length


@source
def _linear_tangent(t: float, s: Twelve, law: SteeringLaw) -> Vector:
    """Tangents to the local level in the plane whose normal is `first`, counting from `since`."""
    x, y, z = s[0], s[1], s[2]
    nx, ny, nz = law.first
    past = t - law.since
    # level in the orbit's plane: normal x r
    hx, hy, hz = ny * z - nz * y, nz * x - nx * z, nx * y - ny * x
    level = sqrt(hx * hx + hy * hy + hz * hz)
    # up: level direction x normal
    rx, ry, rz = hy * nz - hz * ny, hz * nx - hx * nz, hx * ny - hy * nx
    rise = law.tangents.up + law.tangents.up_rate * past
    side = law.tangents.side + law.tangents.side_rate * past
    size = level * sqrt(1.0 + rise * rise + side * side)
    side = side * level
    return (
        (hx + rise * rx + side * nx) / size,
        (hy + rise * ry + side * ny) / size,
        (hz + rise * rz + side * nz) / size,
    )
