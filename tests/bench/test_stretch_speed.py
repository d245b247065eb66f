"""400 s of thrust above the air by linear tangents: as written, compiled, and by heyoka.

Heyoka's Taylor series need the motion written a second time, and take no tables of air and no
engines that throttle or run dry; what they would give where the motion is smooth is shown here.
"""

from __future__ import annotations

import numpy as np
import pytest

from mplan.physics import compiling
from mplan.physics import constants as c
from mplan.physics.climb import motion, steering, stretch
from mplan.physics.climb.launch_vehicle import NOMINAL, LaunchVehicle

START = (c.R_EARTH + 120e3, 0.0, 0.0, 900.0, 5200.0, 0.0, 400e3)
THRUST, FLOW, LASTS = 3.0e6, 3.0e6 / (440.0 * c.G0), 400.0
TANGENTS = steering.Tangents(0.45, -1e-3, 0.01, 1e-5)  # about the pole: the plane of the equator


@pytest.mark.parametrize("how", ["as written", "compiled"])
def test_a_stretch(benchmark, how):
    """By steps of 15 s: one source, whatever the vehicle."""
    around = motion.surroundings(LaunchVehicle(START[6], (), 0.0), NOMINAL)
    law = steering.SteeringLaw(steering.LINEAR_TANGENT, (0.0, 0.0, 1.0), tangents=TANGENTS)
    bounds = stretch.Bounds(LASTS, True, 0.0, False, -1e9, 1e9, 15.0, 600)
    push, none = motion.EngineThrust(THRUST, 0.0, FLOW), stretch.Beside(0.0, 0.0, 0.0)
    start, rows = (*START, 0.0, 0.0, 0.0, 0.0, 0.0), np.empty((0, 13))
    compiling.forget()  # other figures of the same run may have had them loaded
    assert how == "as written" or compiling.load()
    found = benchmark(stretch.fly_stretch, 0.0, start, 0.0, bounds, none, push, law, around, rows)
    compiling.forget()
    assert np.linalg.norm(np.subtract(found[1][:3], _by_heyoka(1)())) < 1.0  # m: steps of 15 s


@pytest.mark.parametrize("lanes", [1, 4])
def test_heyoka(benchmark, lanes):
    """One flight, and four at once."""
    assert np.linalg.norm(benchmark(_by_heyoka(lanes))) > c.R_EARTH


def _by_heyoka(lanes):
    """A function that flies and returns the place at the end."""
    hy = pytest.importorskip("heyoka")
    start = np.array([START] * lanes).T.copy()
    craft = hy.taylor_adaptive_batch(_motion(hy), start, tol=1e-9)

    def flown():
        craft.set_time(0.0)
        craft.state[:] = start
        craft.propagate_until(LASTS)
        return craft.state[:3, 0].copy()

    return flown


def _motion(hy):
    x, y, z, vx, vy, vz, mass = hy.make_vars("x", "y", "z", "vx", "vy", "vz", "mass")
    square = hy.sum([x * x, y * y, z * z])
    pull, oblate = -c.MU_EARTH * square**-1.5, 1.5 * c.J2_EARTH * c.R_EARTH**2 / square
    level = pull * (1.0 + oblate * (1.0 - 5.0 * z * z / square))
    flat = hy.sqrt(x * x + y * y)
    rise = TANGENTS.up + TANGENTS.up_rate * hy.time
    side = TANGENTS.side + TANGENTS.side_rate * hy.time
    size = THRUST / (mass * flat * hy.sqrt(1.0 + rise * rise + side * side))
    return [
        (x, vx),
        (y, vy),
        (z, vz),
        (vx, level * x + size * (rise * x - y)),
        (vy, level * y + size * (rise * y + x)),
        (vz, (level + 2.0 * pull * oblate) * z + size * side * flat),
        (mass, -FLOW + 0.0 * mass),
    ]
