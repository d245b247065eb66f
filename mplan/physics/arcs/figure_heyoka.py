"""The Moon's gravity with its figure as expressions of heyoka: how it pulls, and how it turns.

The principal axes are set out from those at the start of an arc: the pole leans on evenly, and
the turn about it is a quadratic in time, both met at the arc's end, the turn in its middle too.
On five days that is good to 1e-4 rad, 100 m on the ground.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from math import atan2, copysign, pi
from typing import Any

import numpy as np

from mplan.physics import constants as c
from mplan.physics.bodies import ephemeris, lunar_gravity
from mplan.physics.bodies.even_nodes import EvenNodes
from mplan.physics.bodies.lunar_axes import RATE
from mplan.physics.bodies.lunar_gravity import Degree, Term

PARAMETERS = 16
FADE = c.R_MOON_FIELD / 2.0  # m from the centre, below which the figure is let fade away
SHORTEST, LONGEST = c.DAY, 15.0 * c.DAY  # s, over which the axes are set out
CHUNK, NODE = 16.0 * c.DAY, 0.25 * c.DAY  # s: cubics between such nodes are good to 1e-7 rad
BESIDE = c.MINUTE  # s either side of a node, for how fast the axes turn there: good to 1e-14 rad/s


def turning(t: float, duration: float) -> list[float]:
    """Return the parameters of the axes on an arc of `duration` [s, may be negative] from `t`."""
    span = copysign(min(max(abs(duration), SHORTEST), LONGEST), duration)
    chunk = round(t / CHUNK)
    begin, axes = t - chunk * CHUNK, _axes(chunk)
    ax, ay, az, bx, by, bz, *pole = axes.numbers(begin)  # the two across: the others turn to them
    late = axes.numbers(begin + span)
    lean = [(after - before) / span for after, before in zip(late[6:], pole, strict=True)]
    half, whole = (
        _turned(ax * x + ay * y + az * z, bx * x + by * y + bz * z, RATE * after)
        for (x, y, z, *_), after in ((axes.numbers(begin + span / 2.0), span / 2.0), (late, span))
    )
    rates = (4.0 * half - whole) / span, (whole - 2.0 * half) * 2.0 / span**2
    p, q, r = lean
    sunk = ax * p + ay * q + az * r, bx * p + by * q + bz * r
    return [*pole, *lean, ax, ay, az, bx, by, bz, *rates, *sunk]


def _turned(x: float, y: float, about: float) -> float:
    """Return the angle [rad] of a vector by its parts along two axes, the one near `about`."""
    return about + (atan2(y, x) - about + pi) % (2.0 * pi) - pi


@lru_cache(maxsize=64)
def _axes(chunk: int) -> EvenNodes:
    """Return the principal axes (n, 3, 3) for arcs that begin in a chunk, on its own clock."""
    nodes = np.arange(-1.5 * CHUNK, 1.5 * CHUNK + NODE, NODE)
    dates = chunk * CHUNK + nodes
    nodes = nodes[ephemeris.covers(dates - BESIDE) & ephemeris.covers(dates + BESIDE)]
    before, here, after = (
        lunar_gravity.principal_axes(chunk * CHUNK + nodes + x) for x in (-BESIDE, 0.0, BESIDE)
    )
    return EvenNodes(float(nodes[0]), NODE, here, (after - before) / (2.0 * BESIDE))


def moon_pull(hy: Any, offset: list, parameters: list, degree: Degree) -> list:
    """Return the Moon's gravity at `offset` from its centre, figure and all, ICRF axes."""
    x, pole = _pointing(hy, parameters)
    square = hy.sum([each * each for each in offset])
    if degree == 2:
        return _oblate(hy, offset, square, x, pole)
    y = [pole[i - 2] * x[i - 1] - pole[i - 1] * x[i - 2] for i in range(3)]
    axes = (x, y, pole)
    place = [_dot(hy, offset, axis) for axis in axes]
    pulled = _harmonic(hy, place, square, lunar_gravity.terms(degree))
    # The centre's pull takes no part: the axes are not at right angles to the last digit.
    central = -c.MU_MOON * square**-1.5
    return [central * offset[i] + _dot(hy, pulled, [axis[i] for axis in axes]) for i in range(3)]


def _pointing(hy: Any, parameters: list) -> tuple[list, list]:
    """Return the unit vectors of the axis towards Earth and of the pole, as time goes on."""
    pole, lean, a, b = (parameters[i : i + 3] for i in (0, 3, 6, 9))
    rate, bend, along, across = parameters[12:]
    turn = hy.time * (rate + hy.time * bend)
    near, far = hy.cos(turn), hy.sin(turn)
    sunk = hy.time * (along * near + across * far)  # x stays at right angles to the leaning pole
    x = [near * a[i] + far * b[i] - sunk * pole[i] for i in range(3)]
    return x, [pole[i] + hy.time * lean[i] for i in range(3)]


def _oblate(hy: Any, offset: list, square: Any, x: list, pole: list) -> list:
    """Return the pull of centre, J2 and C22: of a body longest along `x`, flattest along `pole`.

    The gradient of mu/r (1 - J2 (R/r)^2 (3 z^2/r^2 - 1)/2 + 3 C22 (R/r)^2 (x^2 - y^2)/r^2), with
    x^2 - y^2 = 2 x^2 + z^2 - r^2.
    """
    bulge = 1.5 * c.J2_MOON * c.R_MOON_FIELD**2
    length = 3.0 * c.C22_MOON * c.R_MOON_FIELD**2
    near, height = _dot(hy, offset, x), _dot(hy, offset, pole)
    inverse = _outside(square)
    central = c.MU_MOON * square**-1.5
    fifth = central * inverse
    steep = height * height * (5.0 * (bulge - length)) - near * near * (10.0 * length)
    ahead = fifth * (steep * inverse + (3.0 * length - bulge)) - central
    forth = fifth * near * (4.0 * length)
    up = fifth * height * (2.0 * (length - bulge))
    return [ahead * offset[i] + forth * x[i] + up * pole[i] for i in range(3)]


def _outside(square: Any) -> Any:
    """Return 1 / r^2, as it is outside the Moon and fading to nothing within.

    At the surface it is off by 6e-8. Near the centre, where steps of a search may lead, terms in
    r^-4 and beyond would turn the arc this way and that for ever.
    """
    return 1.0 / (square + FADE**24 * square**-11.0)


def _harmonic(hy: Any, place: list, square: Any, terms: Sequence[Term]) -> list:
    """Return what the terms pull in the axes of the field, `place` being in them too.

    Cunningham's recursion of the solid harmonics (Montenbruck & Gill 2000, eqs. 3.29 to 3.33).
    """
    solid = _solid_harmonics(place, square, terms[-1].n + 1)
    parts = [_term_pull(solid, term) for term in terms]
    return [c.MU_MOON / c.R_MOON_FIELD**2 * hy.sum(list(each)) for each in zip(*parts, strict=True)]


Solid = dict[tuple[int, int], tuple[Any, Any]]


def _solid_harmonics(place: list, square: Any, most: int) -> Solid:
    """Return V and W by degree and order, up to degree `most`."""
    inverse = _outside(square)
    x, y, z = (c.R_MOON_FIELD * each * inverse for each in place)
    inner = c.R_MOON_FIELD**2 * inverse
    solid: Solid = {(0, 0): (c.R_MOON_FIELD * square**-0.5, 0.0)}
    for m in range(most + 1):
        if m:
            v, w = solid[m - 1, m - 1]
            solid[m, m] = (2 * m - 1) * (x * v - y * w), (2 * m - 1) * (x * w + y * v)
        for n in range(m + 1, most + 1):
            k, j = (2 * n - 1) / (n - m), (n + m - 1) / (n - m)
            below = solid.get((n - 2, m), (0.0, 0.0))
            one, two = (
                k * z * near - j * inner * far
                for near, far in zip(solid[n - 1, m], below, strict=True)
            )
            solid[n, m] = one, two
    return solid


def _term_pull(solid: Solid, term: Term) -> tuple[Any, Any, Any]:
    """Return the pull of one term, without mu / R^2."""
    n, m, cos, sin = term
    level, up = solid[n + 1, m], solid[n + 1, m + 1]
    z = -(n - m + 1) * (cos * level[0] + sin * level[1])
    if m == 0:
        return -cos * up[0], -cos * up[1], z
    k, down = (n - m + 2) * (n - m + 1), solid[n + 1, m - 1]
    x = k * (cos * down[0] + sin * down[1]) - (cos * up[0] + sin * up[1])
    y = k * (sin * down[0] - cos * down[1]) - (cos * up[1] - sin * up[0])
    return 0.5 * x, 0.5 * y, z


def _dot(hy: Any, one: list, other: list) -> Any:
    return hy.sum([x * y for x, y in zip(one, other, strict=True)])
