"""One direction of thrust in the two frames that crews and ground use."""

from __future__ import annotations

from math import asin, atan2, pi
from typing import NamedTuple

import numpy as np

from mplan.physics.vectors import cross, unit


class ThrustDirection(NamedTuple):
    """Where the thrust points, `at` what moment of a burn; angles in [rad].

    Over the local horizontal of the body that it flies about: `pitch` in the plane of motion, from
    the horizontal ahead, upwards positive, half a turn backwards; `yaw` out of that plane, towards
    the orbit's normal positive. `right_ascension` and `declination` in ICRF axes; None where the
    date is not known.
    """

    at: str
    pitch: float
    yaw: float
    right_ascension: float | None = None
    declination: float | None = None


def towards(
    at: str, thrust: np.ndarray, r: np.ndarray, v: np.ndarray, icrf: np.ndarray | None
) -> ThrustDirection:
    """Return a direction of `thrust` (3,), any length, at `r` [m] and `v` [m/s] of one set of axes.

    `icrf` (3, 3) turns row vectors of these axes into ICRF ones. Straight up or down, where no
    plane of motion is told, yaw is zero.
    """
    u, up, normal = unit(thrust), unit(r), cross(r, v)
    across = normal / max(float(np.linalg.norm(normal)), 1e-12)
    ahead = cross(across, up)
    pitch = atan2(float(u @ up), float(u @ ahead))
    yaw = asin(max(-1.0, min(1.0, float(u @ across))))
    if icrf is None:
        return ThrustDirection(at, pitch, yaw)
    x, y, z = (u @ icrf).tolist()
    return ThrustDirection(at, pitch, yaw, atan2(y, x) % (2.0 * pi), asin(max(-1.0, min(1.0, z))))
