"""Motion about one body: speeds, transfers, conics. First guesses and closed-form legs.

States are `r` [m], `v` [m/s] with vectors on the last axis, then `mu` [m3/s2].
"""

from __future__ import annotations

from math import acos, asinh, atan, atan2, copysign, cos, cosh, pi, sin, sinh, sqrt, tan
from typing import NamedTuple

import numpy as np

from mplan.physics.compiling import entry, source
from mplan.physics.vectors import crossed, dotted, floats


def speed(r: float, a: float, mu: float) -> float:
    """Return the speed [m/s] at radius `r` on a conic of semi-major axis `a` (vis-viva).

    `a` below zero is a hyperbola (Vallado 2013, ch. 1). ValueError where the conic does
    not reach `r`.
    """
    square = mu * (2.0 / r - 1.0 / a)
    if square < 0.0:
        raise ValueError(
            f"an orbit of semi-major axis {a / 1e3:.0f} km ends below {r / 1e3:.0f} km"
        )
    return sqrt(square)


def circular_speed(r: float, mu: float) -> float:
    """Return the speed [m/s] on a circle of radius `r`."""
    return sqrt(mu / r)


def period(a: float, mu: float) -> float:
    """Return the period [s] of an ellipse of semi-major axis `a`."""
    return 2.0 * pi * sqrt(a**3 / mu)


class Transfer(NamedTuple):
    """Burns [m/s] in order, their signs showing forward or back, and the time between [s]."""

    burns: tuple[float, ...]
    duration: float

    @property
    def total(self) -> float:
        """Sum of the burns' sizes [m/s]."""
        return sum(abs(burn) for burn in self.burns)


def hohmann(r1: float, r2: float, mu: float) -> Transfer:
    """Return the two-burn transfer between circles `r1` and `r2` (Vallado 2013, alg. 36)."""
    a = (r1 + r2) / 2.0
    leave = speed(r1, a, mu) - circular_speed(r1, mu)
    arrive = circular_speed(r2, mu) - speed(r2, a, mu)
    return Transfer((leave, arrive), period(a, mu) / 2.0)


def bielliptic(r1: float, rb: float, r2: float, mu: float) -> Transfer:
    """Return the three-burn transfer from circle `r1` over `rb` to `r2` (Vallado 2013, alg. 37)."""
    out, back = (r1 + rb) / 2.0, (rb + r2) / 2.0
    burns = (
        speed(r1, out, mu) - circular_speed(r1, mu),
        speed(rb, back, mu) - speed(rb, out, mu),
        circular_speed(r2, mu) - speed(r2, back, mu),
    )
    return Transfer(burns, (period(out, mu) + period(back, mu)) / 2.0)


def plane_change(v: float, angle: float, flight_path_angle: float = 0.0) -> float:
    """Return the burn [m/s] that turns a velocity's plane by `angle` [rad], its size kept.

    Vallado 2013, ch. 6, inclination alone: 2 v cos(phi) sin(angle / 2).
    """
    return 2.0 * v * cos(flight_path_angle) * sin(abs(angle) / 2.0)


class Conic(NamedTuple):
    """A Kepler orbit seen from a state on it."""

    a: float  # m, below zero for a hyperbola
    e: float
    periapsis: float  # m, from the centre
    h: np.ndarray  # m2/s, angular momentum, shape (3,)
    true_anomaly: float  # rad, -pi..pi
    since_periapsis: float  # s, below zero on the way in


def conic(r: np.ndarray, v: np.ndarray, mu: float) -> Conic:
    """Return the Kepler orbit through a state (Vallado 2013, alg. 9, and Kepler's equation).

    ValueError for a parabola or a straight line, where these elements break down.
    """
    place, pace = floats(r), floats(v)
    distance = sqrt(dotted(place, place))
    h = crossed(place, pace)
    x, y, z = crossed(pace, h)
    i, j, k = place
    pointing = x / mu - i / distance, y / mu - j / distance, z / mu - k / distance
    e = sqrt(dotted(pointing, pointing))
    energy = dotted(pace, pace) / 2.0 - mu / distance
    if e == 0.0 or energy == 0.0 or not any(h):
        raise ValueError("a circle, a parabola or a straight line has no such elements")
    a = -mu / (2.0 * energy)
    sine = dotted(crossed(pointing, place), h) / (e * distance * sqrt(dotted(h, h)))
    true_anomaly = atan2(sine, dotted(pointing, place) / (e * distance))
    since = time_since_periapsis(a, e, true_anomaly, mu)
    return Conic(a, e, a * (1.0 - e), np.array(h), true_anomaly, since)


def time_since_periapsis(a: float, e: float, true_anomaly: float, mu: float) -> float:
    """Return the time [s] from periapsis to a true anomaly in -pi..pi (Vallado 2013, ch. 2)."""
    if e < 1.0:
        half = sqrt((1.0 - e) / (1.0 + e)) * tan(true_anomaly / 2.0)
        eccentric = 2.0 * atan(half)
        return (eccentric - e * sin(eccentric)) * sqrt(a**3 / mu)
    hyperbolic = asinh(sin(true_anomaly) * sqrt(e * e - 1.0) / (1.0 + e * cos(true_anomaly)))
    return (e * sinh(hyperbolic) - hyperbolic) * sqrt(-(a**3) / mu)


def true_anomaly_at(radius: float, a: float, e: float) -> float:
    """Return the true anomaly [rad], 0..pi, at which a conic outbound passes `radius` [m]."""
    cosine = (a * (1.0 - e * e) / radius - 1.0) / e
    return acos(max(-1.0, min(1.0, cosine)))


def kepler(
    r: np.ndarray, v: np.ndarray, duration: float, mu: float
) -> tuple[np.ndarray, np.ndarray]:
    """Return the state `duration` [s] later on the same conic (Vallado 2013, alg. 8).

    Universal variables, so ellipse, parabola and hyperbola alike; ArithmeticError if
    Laguerre's method does not settle.
    """
    found = _later(floats(r), floats(v), float(duration), mu)
    return np.array(found[:3]), np.array(found[3:])


@entry
def _later(
    r: tuple[float, float, float], v: tuple[float, float, float], duration: float, mu: float
) -> tuple[float, float, float, float, float, float]:
    """Return what `kepler` does as plain floats: a rendezvous asks a hundred times."""
    (x, y, z), (vx, vy, vz) = r, v
    distance, root = sqrt(x * x + y * y + z * z), sqrt(mu)
    radial = (x * vx + y * vy + z * vz) / root
    alpha = 2.0 / distance - (vx * vx + vy * vy + vz * vz) / mu
    chi = _chi(radial, distance, alpha, root * duration)
    turn = chi * chi * alpha
    c, s = stumpff(turn)
    f, g = 1.0 - chi * chi * c / distance, duration - chi * chi * chi * s / root
    px, py, pz = f * x + g * vx, f * y + g * vy, f * z + g * vz
    far = sqrt(px * px + py * py + pz * pz)
    f, g = root / (far * distance) * chi * (turn * s - 1.0), 1.0 - chi * chi * c / far
    return px, py, pz, f * x + g * vx, f * y + g * vy, f * z + g * vz


@source
def _chi(radial: float, distance: float, alpha: float, wanted: float) -> float:
    """Solve the universal Kepler equation for sqrt(mu) t = `wanted`.

    Laguerre's method with n = 5 settles from any start (Conway 1986, Celest. Mech. 39, 199-211),
    where Newton's overshoots on fast and on nearly parabolic flights.
    """
    chi = _first_chi(distance, alpha, wanted)
    for _ in range(60):
        z = chi * chi * alpha
        c, s = stumpff(z)
        over = chi * (chi * (chi * s + radial * c) + distance * (1.0 - z * s)) - wanted
        slope = chi * chi * c + radial * chi * (1.0 - z * s) + distance * (1.0 - z * c)
        bend = radial * (1.0 - z * c) + (1.0 - alpha * distance) * chi * (1.0 - z * s)
        step = 5.0 * over / (slope + sqrt(abs(16.0 * slope * slope - 20.0 * over * bend)))
        chi -= step
        if abs(step) <= 1e-9 * max(1.0, abs(chi)):
            return chi
    raise ArithmeticError("Kepler's equation did not settle")


@source
def _first_chi(distance: float, alpha: float, wanted: float) -> float:
    """Return a start: the mean motion's on an ellipse, else what the least distance allows."""
    if alpha > 0.0:
        return wanted * alpha
    chi = abs(wanted) / distance
    if alpha < 0.0:  # no flight turns the hyperbolic anomaly by more: keeps cosh in range
        size = sqrt(-1.0 / alpha)
        most = asinh(1.2 * abs(wanted) / (size * size * size))
        chi = min(chi, 2.0 * size * max(2.0, most))
    return copysign(chi, wanted)


@source
def stumpff(z: float) -> tuple[float, float]:
    """Return Stumpff's c2(z) and c3(z) (Vallado 2013, alg. 1)."""
    if z > 1e-2:
        root = sqrt(z)
        return (1.0 - cos(root)) / z, (root - sin(root)) / (root * root * root)
    if z < -1e-2:
        root = sqrt(-z)
        return (1.0 - cosh(root)) / z, (sinh(root) - root) / (root * root * root)
    return (  # the closed forms would lose digits here; four terms are good to 1e-14
        0.5 - z / 24.0 * (1.0 - z / 30.0 * (1.0 - z / 56.0)),
        1.0 / 6.0 - z / 120.0 * (1.0 - z / 42.0 * (1.0 - z / 72.0)),
    )
