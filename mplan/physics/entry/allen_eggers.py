"""Ballistic entry in closed form: a straight path through exponential air, and no gravity.

H. J. Allen and A. J. Eggers, NACA Report 1381 (1958). A check on flown entries and a rule for
steep ones; it knows neither lift nor the curve of the Earth and refuses where those decide.
"""

from __future__ import annotations

from math import e, exp, log, sin, tan
from typing import NamedTuple

from mplan.physics.constants import R_EARTH

TURN = 0.1  # of the entry angle: the most that the Earth may curve away in (our choice)
DEPTH = 3.0  # scale heights in which nearly all of the braking happens


class BallisticPeak(NamedTuple):
    """A maximum on the way down: its value, and altitude [m] and speed [m/s] there."""

    value: float
    altitude: float
    speed: float


def peak_acceleration(
    speed: float, angle: float, ballistic: float, scale_height: float, density: float
) -> BallisticPeak:
    """Return the largest deceleration [m/s2] of an entry at `speed` [m/s] and `angle` [rad, < 0].

    `ballistic` coefficient m/(Cd A) [kg/m2]; air of `density` [kg/m3] at the ground and
    `scale_height` [m]. Equation 17 of the report: V^2 sin(angle) / (2 e H), whatever falls.
    Raises ArithmeticError on shallow paths, and where the ground comes before the peak.
    """
    refuse_shallow(angle, scale_height)
    steep = sin(-angle)
    altitude = scale_height * log(density * scale_height / (ballistic * steep))
    refuse_ground(altitude)
    return BallisticPeak(speed**2 * steep / (2.0 * e * scale_height), altitude, speed * exp(-0.5))


def peak_heating(
    speed: float, angle: float, ballistic: float, scale_height: float, density: float
) -> BallisticPeak:
    """Return the largest sqrt(density) speed^3 on the way down, in SI; arguments as above.

    Times `heating.SUTTON_GRAVES` over the root of the nose radius it is the convective flux.
    Raises ArithmeticError as `peak_acceleration` does.
    """
    refuse_shallow(angle, scale_height)
    there = ballistic * sin(-angle) / (3.0 * scale_height)
    altitude = scale_height * log(density / there)
    refuse_ground(altitude)
    slower = speed * exp(-1.0 / 6.0)
    return BallisticPeak(there**0.5 * slower**3, altitude, slower)


def refuse_shallow(angle: float, scale_height: float) -> None:
    """Raise ArithmeticError where the path is far from straight while the air brakes.

    Over three scale heights of depth the horizon turns by 3 H / (R sin(angle)).
    """
    if angle >= 0.0 or DEPTH * scale_height / (R_EARTH * sin(-angle)) > TURN * tan(-angle):
        raise ArithmeticError(
            "the closed form takes the path for straight, which an entry this shallow is not: "
            "the Earth curves away by more than a tenth of the entry angle; fly it instead"
        )


def refuse_ground(altitude: float) -> None:
    """Raise ArithmeticError for a peak below the ground."""
    if altitude < 0.0:
        raise ArithmeticError("it reaches the ground before the peak: too heavy for its area")
