"""What the Moon's figure adds to its pull, in plain floats."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt

from mplan.physics import constants as c
from mplan.physics.bodies.lunar_gravity import Term

Vector = tuple[float, float, float]
Along = tuple[float, float, float, float]  # the axes to Earth, ahead, to the pole; and outwards

# m from the centre, where the series means nothing: steps of a search may lead there.
DEEP = c.R_MOON_FIELD / 2.0


def figure_pull(offset: Vector, axes: Sequence[float], terms: Sequence[Term]) -> Vector:
    """Return the pull [m/s2] of `terms` at `offset` [m] from the Moon's centre, ICRF axes.

    `axes` are the components of the Moon's axis towards Earth and of its pole. Pines 1973
    (AIAA J. 11, 1508-1511): derived Legendre functions of the direction cosines, with no
    singularity over the poles; the second degree is written out.
    """
    ox, oy, oz = offset
    ax, ay, az, px, py, pz = axes
    bx, by, bz = py * az - pz * ay, pz * ax - px * az, px * ay - py * ax
    r = sqrt(ox * ox + oy * oy + oz * oz)
    if r < DEEP:
        return 0.0, 0.0, 0.0
    s = (ox * ax + oy * ay + oz * az) / r
    t = (ox * bx + oy * by + oz * bz) / r
    u = (ox * px + oy * py + oz * pz) / r
    near, mu = c.R_MOON_FIELD / r, c.MU_MOON / (r * r)
    along = _second(s, t, u, near) if terms[-1].n == 2 else _pines(s, t, u, near, terms)
    one, two, three, out = (mu * each for each in along)
    out /= r
    return (
        one * ax + two * bx + three * px + out * ox,
        one * ay + two * by + three * py + out * oy,
        one * az + two * bz + three * pz + out * oz,
    )


def _second(s: float, t: float, u: float, near: float) -> Along:
    """Return what J2 and C22 pull along the three axes and outwards, in mu / r^2."""
    j2, c22 = c.J2_MOON * near * near, c.C22_MOON * near * near
    out = 1.5 * j2 * (5.0 * u * u - 1.0) - 15.0 * c22 * (s * s - t * t)
    return 6.0 * c22 * s, -6.0 * c22 * t, -3.0 * j2 * u, out


def _pines(s: float, t: float, u: float, near: float, terms: Sequence[Term]) -> Along:
    """Return what `terms` pull along the three axes and outwards, in mu / r^2."""
    legendre = _derived(u, terms[-1].n + 1)
    real, imaginary = [1.0], [0.0]
    for _ in range(terms[-1].n):
        real.append(s * real[-1] - t * imaginary[-1])
        imaginary.append(s * imaginary[-1] + t * real[-2])
    one = two = three = out = 0.0
    for n, m, cos, sin in terms:
        scale = near**n
        d = scale * (cos * real[m] + sin * imaginary[m])
        if m:
            k = scale * m * legendre[n][m]
            one += k * (cos * real[m - 1] + sin * imaginary[m - 1])
            two += k * (sin * real[m - 1] - cos * imaginary[m - 1])
        three += legendre[n][m + 1] * d
        out -= legendre[n + 1][m + 1] * d
    return one, two, three, out


def _derived(u: float, most: int) -> list[list[float]]:
    """Return the derived Legendre functions d^m P_n / du^m by degree and order."""
    rows = [[1.0, 0.0]]
    for n in range(1, most + 1):
        one, two = rows[-1], rows[-2] if n > 1 else [0.0] * n
        row = [
            ((2 * n - 1) * u * one[m] - (n + m - 1) * (two[m] if m < n - 1 else 0.0)) / (n - m)
            for m in range(n)
        ]
        rows.append([*row, (2 * n - 1) * one[n - 1], 0.0])
    return rows
