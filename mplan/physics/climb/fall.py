"""A fall to the ground through the air: gravity with Earth's J2, drag, and the wind.

The body tumbles: its drag is told by one ballistic coefficient, mass over drag coefficient times
area, which stands for all attitudes and Mach numbers. It stays whole: what breaks up or burns
falls apart over a wider area.
"""

from __future__ import annotations

from math import inf, sqrt
from typing import NamedTuple

from mplan.physics import constants as c
from mplan.physics.bodies.days import DayAir, day_air, day_tables
from mplan.physics.climb.motion import AIR_ENDS, altitude
from mplan.physics.climb.weather import CALM, Weather, Winds, blown, winds_of
from mplan.physics.compiling import entry, source

LONGEST = 7200.0  # s, a revolution and more: what has not come down by then stays up
LONG_STEP, SHORT_STEP = 20.0, 0.05  # s
DEEPEST = 6e3  # m of height in one step in the air, less than it takes to thin out by e
PART = 0.5  # of the time in which drag stops the body, in one step: the method stays stable to 2.8
ON_GROUND, MOST_CUTS = 1e-3, 60  # m off the ground that count as on it, and tries for that
_SQUASH = 1.0 / (1.0 - c.F_EARTH) ** 2 - 1.0
_J2 = 1.5 * c.J2_EARTH * c.R_EARTH**2

Place = tuple[float, float, float, float, float, float]  # x, y, z [m], vx, vy, vz [m/s], inertial


class FallAir(NamedTuple):
    """What a body falls through: the air of the day, and the winds."""

    day: DayAir
    winds: Winds


def air_for(weather: Weather = CALM, gust: tuple[float, float] = (0.0, 0.0)) -> FallAir:
    """Return the air of a weather, with a `gust` on top.

    That is a factor on the design wind, and the azimuth [rad] that it blows towards.
    """
    return FallAir(day_tables(weather.day), winds_of(weather, *gust))


def fall(t: float, s: Place, ballistic: float, air: FallAir) -> tuple[float, Place] | None:
    """Return when a body let go at `t` [s] in a state `s` is on the ground, and its state there.

    `ballistic` [kg/m2] may be infinite: a fall in vacuum. None if it stays up for two hours.
    """
    aloft, at, there = down_to_ground(t, s, float(ballistic), air)
    return None if aloft else (at, there)


@entry
def down_to_ground(t: float, s: Place, ballistic: float, air: FallAir) -> tuple[bool, float, Place]:
    """Return whether a body stays up, and when [s] and in what state it is on the ground."""
    end, height = t + LONGEST, altitude(s)
    if height <= 0.0:
        return False, t, s
    while t < end:
        h = _step_length(s, height, ballistic, air)
        after = fall_step(s, h, ballistic, air)
        lower = altitude(after)
        if lower <= 0.0:
            part = _to_ground(s, height, h, lower, ballistic, air)
            return False, t + part, fall_step(s, part, ballistic, air)
        t, s, height = t + h, after, lower
    return True, t, s


@source
def _to_ground(
    s: Place, height: float, h: float, lower: float, ballistic: float, air: FallAir
) -> float:
    """Return the part [s] of a step `h` from a `height` to one below the ground that meets it.

    By straight lines through a place above and one below, halving the value of the one that stays
    (Illinois; Dowell & Jarratt 1971, BIT 11, 168-174).
    """
    above, below, part = 0.0, h, h
    for _ in range(MOST_CUTS):
        part = below - lower * (below - above) / (lower - height)
        now = altitude(fall_step(s, part, ballistic, air))
        if abs(now) < ON_GROUND:
            break
        if now > 0.0:
            above, height, lower = part, now, lower / 2.0
        else:
            below, lower, height = part, now, height / 2.0
    return part


@source
def _rates(s: Place, ballistic: float, air: FallAir) -> Place:
    drag = 0.5 / ballistic
    x, y, z, vx, vy, vz = s
    w = c.W_EARTH
    r2 = x * x + y * y + z * z
    r = sqrt(r2)
    up2 = z * z / r2
    k, oblate = -c.MU_EARTH / (r2 * r), _J2 / r2
    level = k * (1.0 + oblate * (1.0 - 5.0 * up2))
    gx, gy, gz = level * x, level * y, (level + 2.0 * k * oblate) * z
    height = r - c.R_EARTH / sqrt(1.0 + _SQUASH * up2)
    if drag > 0.0 and height < AIR_ENDS:
        ux, uy, uz = vx + w * y, vy - w * x, vz
        if air.winds.blow:
            east, north = blown(height, air.winds)
            flat = sqrt(x * x + y * y)
            ux += (east * y + north * z * x / r) / flat
            uy -= (east * x - north * z * y / r) / flat
            uz -= north * flat / r
        stopped = drag * day_air(height, air.day)[0] * sqrt(ux * ux + uy * uy + uz * uz)
        gx, gy, gz = gx - stopped * ux, gy - stopped * uy, gz - stopped * uz
    return vx, vy, vz, gx, gy, gz


@source
def _step_length(s: Place, height: float, ballistic: float, air: FallAir) -> float:
    """Return a time step [s]: long in vacuum, in the air as its thickness and the drag allow."""
    if ballistic == inf or height > AIR_ENDS + 60e3:
        return LONG_STEP
    x, y, z, vx, vy, vz = s
    r = sqrt(x * x + y * y + z * z)
    sinks = abs(x * vx + y * vy + z * vz) / r
    ux, uy = vx + c.W_EARTH * y, vy - c.W_EARTH * x
    thin = 0.5 * day_air(max(0.0, height), air.day)[0] / ballistic
    # What is slow as yet may be at its terminal speed, sqrt(g / thin), before the step is over.
    stops = max(thin * sqrt(ux * ux + uy * uy + vz * vz), sqrt(c.G0 * thin))
    return max(SHORT_STEP, min(LONG_STEP, DEEPEST / max(sinks, 1.0), PART / max(stops, 1e-9)))


@source
def fall_step(s: Place, h: float, ballistic: float, air: FallAir) -> Place:
    """Return the state a time `h` [s] on: one step of the classical Runge-Kutta method."""
    a = _rates(s, ballistic, air)
    b = _rates(_moved(s, a, h / 2.0), ballistic, air)
    d = _rates(_moved(s, b, h / 2.0), ballistic, air)
    e = _rates(_moved(s, d, h), ballistic, air)
    sixth = h / 6.0
    return (
        s[0] + sixth * (a[0] + 2.0 * (b[0] + d[0]) + e[0]),
        s[1] + sixth * (a[1] + 2.0 * (b[1] + d[1]) + e[1]),
        s[2] + sixth * (a[2] + 2.0 * (b[2] + d[2]) + e[2]),
        s[3] + sixth * (a[3] + 2.0 * (b[3] + d[3]) + e[3]),
        s[4] + sixth * (a[4] + 2.0 * (b[4] + d[4]) + e[4]),
        s[5] + sixth * (a[5] + 2.0 * (b[5] + d[5]) + e[5]),
    )


@source
def _moved(s: Place, rate: Place, h: float) -> Place:
    return (
        s[0] + h * rate[0],
        s[1] + h * rate[1],
        s[2] + h * rate[2],
        s[3] + h * rate[3],
        s[4] + h * rate[4],
        s[5] + h * rate[5],
    )
