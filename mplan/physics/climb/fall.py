"""A fall to the ground through the air: gravity with Earth's J2, drag, and the wind.

The body tumbles: its drag is told by one ballistic coefficient, mass over drag coefficient times
area, which stands for all attitudes and Mach numbers. It stays whole: what breaks up or burns
falls apart over a wider area.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf, sqrt
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.bodies.days import ThinAir, air_of
from mplan.physics.climb.motion import AIR_ENDS, altitude
from mplan.physics.climb.weather import CALM, Weather, Wind, blows
from mplan.physics.roots import root

LONGEST = 7200.0  # s, a revolution and more: what has not come down by then stays up
LONG_STEP, SHORT_STEP = 20.0, 0.05  # s
DEEPEST = 6e3  # m of height in one step in the air, less than it takes to thin out by e
PART = 0.5  # of the time in which drag stops the body, in one step: the method stays stable to 2.8
_SQUASH = 1.0 / (1.0 - c.F_EARTH) ** 2 - 1.0
_J2 = 1.5 * c.J2_EARTH * c.R_EARTH**2

Place = tuple[float, float, float, float, float, float]  # x, y, z [m], vx, vy, vz [m/s], inertial


class FallAir(NamedTuple):
    """What a body falls through: the air by altitude, and a wind, if there is one."""

    thin: ThinAir
    wind: Wind | None


def air_for(weather: Weather = CALM, gust: tuple[float, float] = (0.0, 0.0)) -> FallAir:
    """Return the air of a weather, with a `gust` on top.

    That is a factor on the design wind, and the azimuth [rad] that it blows towards.
    """
    return FallAir(air_of(weather.day), blows(weather, *gust))


def fall(t: float, s: Place, ballistic: float, air: FallAir) -> tuple[float, Place] | None:
    """Return when a body let go at `t` [s] in a state `s` is on the ground, and its state there.

    `ballistic` [kg/m2] may be infinite: a fall in vacuum. None if it stays up for two hours.
    """
    rates, end, height = _rates(ballistic, air), t + LONGEST, altitude(s)
    while t < end:
        h = _step_length(s, height, ballistic, air)
        after = _step(rates, s, h)
        lower = altitude(after)
        if lower <= 0.0:
            return _landed(rates, t, s, h)
        t, s, height = t + h, after, lower
    return None


def _landed(rates: Callable[[Place], Place], t: float, s: Place, h: float) -> tuple[float, Place]:
    """Return when and where the step of `h` [s] that leads below the ground meets it."""
    if altitude(s) <= 0.0:
        return t, s
    part = root(lambda x: altitude(_step(rates, s, x)), 0.0, h, 1e-3)
    return t + part, _step(rates, s, part)


def _rates(ballistic: float, air: FallAir) -> Callable[[Place], Place]:
    drag, (thin, wind) = 0.5 / ballistic, air
    mu, w, re = c.MU_EARTH, c.W_EARTH, c.R_EARTH

    def rates(s: Place) -> Place:
        x, y, z, vx, vy, vz = s
        r2 = x * x + y * y + z * z
        r = sqrt(r2)
        up2 = z * z / r2
        k, oblate = -mu / (r2 * r), _J2 / r2
        level = k * (1.0 + oblate * (1.0 - 5.0 * up2))
        gx, gy, gz = level * x, level * y, (level + 2.0 * k * oblate) * z
        height = r - re / sqrt(1.0 + _SQUASH * up2)
        if drag and height < AIR_ENDS:
            ux, uy, uz = vx + w * y, vy - w * x, vz
            if wind:
                east, north = wind(height)
                flat = sqrt(x * x + y * y)
                ux += (east * y + north * z * x / r) / flat
                uy -= (east * x - north * z * y / r) / flat
                uz -= north * flat / r
            stopped = drag * thin(height)[0] * sqrt(ux * ux + uy * uy + uz * uz)
            gx, gy, gz = gx - stopped * ux, gy - stopped * uy, gz - stopped * uz
        return vx, vy, vz, gx, gy, gz

    return rates


def _step_length(s: Place, height: float, ballistic: float, air: FallAir) -> float:
    """Return a time step [s]: long in vacuum, in the air as its thickness and the drag allow."""
    if ballistic == inf or height > AIR_ENDS + 60e3:
        return LONG_STEP
    x, y, z, vx, vy, vz = s
    r = sqrt(x * x + y * y + z * z)
    sinks = abs(x * vx + y * vy + z * vz) / r
    ux, uy = vx + c.W_EARTH * y, vy - c.W_EARTH * x
    thin = 0.5 * air.thin(max(0.0, height))[0] / ballistic
    # What is slow as yet may be at its terminal speed, sqrt(g / thin), before the step is over.
    stops = max(thin * sqrt(ux * ux + uy * uy + vz * vz), sqrt(c.G0 * thin))
    return max(SHORT_STEP, min(LONG_STEP, DEEPEST / max(sinks, 1.0), PART / max(stops, 1e-9)))


def _step(rates: Callable[[Place], Place], s: Place, h: float) -> Place:
    """Return the state a time `h` [s] on: one step of the classical Runge-Kutta method."""
    a = rates(s)
    b = rates(_moved(s, a, h / 2.0))
    d = rates(_moved(s, b, h / 2.0))
    e = rates(_moved(s, d, h))
    x, y, z, vx, vy, vz = (  # same length throughout
        p + h / 6.0 * (k1 + 2.0 * (k2 + k3) + k4)
        for p, k1, k2, k3, k4 in zip(s, a, b, d, e)  # noqa: B905
    )
    return x, y, z, vx, vy, vz


def _moved(s: Place, rate: Place, h: float) -> Place:
    return (
        s[0] + h * rate[0],
        s[1] + h * rate[1],
        s[2] + h * rate[2],
        s[3] + h * rate[3],
        s[4] + h * rate[4],
        s[5] + h * rate[5],
    )
