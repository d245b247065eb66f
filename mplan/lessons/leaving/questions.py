"""The questions of lesson 1: what is right by the formula, and which slips lead elsewhere.

Circles, vis-viva, Hohmann's transfer and plane changes as in Vallado 2013, ch. 1, 2 and 6, and
Bate, Mueller & White 1971, ch. 1 and 3. Altitudes count from Earth's equatorial radius.
"""

from __future__ import annotations

from math import pi, sin, sqrt

from mplan.lessons.answers import Question, Slip, Verdict, judged
from mplan.physics import constants as c
from mplan.physics.twobody import circular_speed, hohmann, period, plane_change
from mplan.scenario.quantities import parse

KM = 1e3  # m
AS_RADIUS = "the altitude is taken for the distance from Earth's centre: add Earth's radius"


def check_circle(answer: object, altitude: str) -> Verdict:
    """Judge the speed on a circle at an altitude such as "400 km"."""
    height = parse(altitude, "m")
    r = c.R_EARTH + height
    slips = (
        Slip(AS_RADIUS, circular_speed(height, c.MU_EARTH)),
        Slip("the factor 2 of the escape speed stands under the root", sqrt(2.0 * c.MU_EARTH / r)),
        Slip("the root is left out", c.MU_EARTH / r),
        Slip("the Moon's mu stands in place of Earth's", circular_speed(r, c.MU_MOON)),
        Slip("kilometres are divided into a mu in metres", circular_speed(r / KM, c.MU_EARTH)),
        Slip(
            "the altitude in km is added to a radius in m",
            circular_speed(c.R_EARTH + height / KM, c.MU_EARTH),
        ),
    )
    return judged(answer, Question("speed", "km/s", circular_speed(r, c.MU_EARTH), slips))


def check_distance(answer: object, altitude: str, burn: str) -> Verdict:
    """Judge how far from Earth's centre a forward burn in a circle at an altitude leads."""
    height, gain = parse(altitude, "m"), parse(burn, "m/s")
    r = c.R_EARTH + height
    right = _apogee(r, circular_speed(r, c.MU_EARTH) + gain)
    slips = (
        Slip("it is the altitude: add Earth's radius", right - c.R_EARTH),
        Slip("it is the semi-major axis: the far end lies at 2 a - r", (right + r) / 2.0),
        Slip("it is the whole ellipse, 2 a: take the near end off", right + r),
        Slip(AS_RADIUS, _apogee(height, circular_speed(height, c.MU_EARTH) + gain)),
        Slip(
            "the burn is added to the squares of the speeds, not to the speed",
            _apogee(r, sqrt(circular_speed(r, c.MU_EARTH) ** 2 + gain**2)),
        ),
    )
    # The far end moves by 1 % as the speed moves by 0.03 % there, so rounded steps may be off more.
    return judged(answer, Question("length", "km", right, slips, within=0.02))


def check_time(answer: object, altitude: str, distance: str) -> Verdict:
    """Judge how long Hohmann's transfer takes from a circle to a distance from Earth's centre."""
    height, far = parse(altitude, "m"), parse(distance, "m")
    r = c.R_EARTH + height
    right = hohmann(r, far, c.MU_EARTH).duration
    slips = (
        Slip("the whole ellipse is flown: half of it leads there", 2.0 * right),
        Slip("a is the sum of both distances, not half of it", period(r + far, c.MU_EARTH) / 2.0),
        Slip("a is the far distance", period(far, c.MU_EARTH) / 2.0),
        Slip(AS_RADIUS, hohmann(height, far, c.MU_EARTH).duration),
        Slip("the root is left out", right**2 / pi),
        Slip("pi is left out", right / pi),
        Slip("kilometres are used with a mu in metres", right / KM**1.5),
    )
    return judged(answer, Question("time", "h", right, slips))


def check_far_and_near(answer: object, altitude: str, near: str, far: str) -> Verdict:
    """Judge by how much the burn for the far Moon is larger than that for the near one."""
    height, low, high = parse(altitude, "m"), parse(near, "m"), parse(far, "m")
    r = c.R_EARTH + height

    def burn(start: float, end: float) -> float:
        return hohmann(start, end, c.MU_EARTH).burns[0]

    right = burn(r, high) - burn(r, low)
    slips = (
        Slip("it is the burn for the far Moon itself: take the other one off", burn(r, high)),
        Slip("it is the burn for the near Moon itself", burn(r, low)),
        Slip(AS_RADIUS, burn(height, high) - burn(height, low)),
        Slip(
            "the second burns of both transfers are counted in: there is none at the Moon",
            hohmann(r, high, c.MU_EARTH).total - hohmann(r, low, c.MU_EARTH).total,
        ),
    )
    # A small difference of large numbers: speeds rounded to 0.1 m/s move it by a few per cent.
    return judged(answer, Question("speed", "m/s", right, slips, within=0.04))


def check_turn(answer: object, altitude: str, angle: str) -> Verdict:
    """Judge the burn that turns the plane of a circle at an altitude by an angle."""
    height, turn = parse(altitude, "m"), parse(angle, "rad")
    v = circular_speed(c.R_EARTH + height, c.MU_EARTH)
    slips = (
        Slip("degrees are put in where radians are asked", 2.0 * v * sin(turn / c.DEG / 2.0)),
        Slip("the angle is not halved", 2.0 * v * sin(turn)),
        Slip("the factor 2 is left out", v * sin(turn / 2.0)),
        Slip(AS_RADIUS, plane_change(circular_speed(height, c.MU_EARTH), turn)),
        Slip("the angle is halved twice", 2.0 * v * sin(turn / 4.0)),
    )
    return judged(answer, Question("speed", "km/s", plane_change(v, turn), slips))


def _semi(r: float, v: float) -> float:
    """Return the semi-major axis [m] of a conic with speed `v` at `r` (vis-viva)."""
    return 1.0 / (2.0 / r - v * v / c.MU_EARTH)


def _apogee(r: float, v: float) -> float:
    """Return the far end [m] of the ellipse that starts level with `v` at `r`."""
    return 2.0 * _semi(r, v) - r
