"""A flown injection burn: what it spent against the impulse, with its loss and its turn of plane.

Tables: data/parking_orbits.csv and data/injections.csv. The burn of 11 spent about 10 441 ft/s
(from memory of SP-2000-4029) in 346.8 s, from 296 379 lb (its press kit, p. 110).
"""

from math import acos, cos, exp, radians, sqrt

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.bodies import earth, time
from mplan.physics.burns import aimed_burn
from mplan.physics.burns.aimed_burn import velocity_in_plane
from mplan.physics.vectors import cross, turned, unit

FT, LB = 0.3048, 0.45359237
SPENT, DURATION, MASS = 10441.0 * FT, 346.8, 296379.0 * LB
ISP = 427.0  # s, from memory: 424 s to 431 s are published; 3 s are 0.1 m/s of the loss
CIRCLE = 6562.7e3  # m


def normal(row):
    """Return epoch [TDB s] and the normal of the orbit of a published state, GCRS."""
    t = time.tdb_from_utc(row["lift_off_utc"]) + (row.get("get") or row["get_s"])
    latitude, longitude = radians(row["latitude_deg"]), radians(row["longitude_deg"])
    up = np.array(
        [cos(latitude) * cos(longitude), cos(latitude) * np.sin(longitude), np.sin(latitude)]
    )
    east = unit(cross(np.array([0.0, 0.0, 1.0]), up))
    heading = radians(row["heading_deg"])
    level = cos(heading) * cross(up, east) + np.sin(heading) * east
    return t, earth.earth_fixed_axes(t).T @ cross(up, level)


def plane_turned(table, mission):
    """Return the angle [rad] from the parking plane, turned by J2, to the outbound arc's."""
    injection = table("injections")[mission]
    parking = {**table("parking_orbits")[mission], "lift_off_utc": injection["lift_off_utc"]}
    (start, before), (end, after) = normal(parking), normal(injection)
    rate = -1.5 * sqrt(c.MU_EARTH / CIRCLE**3) * c.J2_EARTH * (c.R_EARTH / CIRCLE) ** 2
    pole = earth.earth_fixed_axes(end).T[:, 2]
    carried = turned(before, pole, rate * float(before @ pole) * (end - start))
    return acos(float(carried @ after))


def test_the_burn_of_11(table):
    """Impulse, loss and turn of the plane flown in one: within 3 m/s of what it spent.

    The published inclinations alone differ by 1.14 deg. A heading is given to 0.001 deg, but the
    real plane of the parking orbit is known to some hundredths of a degree (0.1 m/s each), the
    circle's radius to 2 km (1 m/s), the velocity spent to a foot a second or two and from memory.
    Without the loss, or without the turn, it would be missed by 11 or by 6 m/s.
    """
    turn = plane_turned(table, 11)
    assert 1.1 < np.degrees(turn) < 1.5
    c3 = table("injections")[11]["c3_ft2_s2"] * FT**2
    flow = MASS * (1.0 - exp(-SPENT / (ISP * c.G0))) / DURATION
    pace = sqrt(c.MU_EARTH / CIRCLE)
    tilted = turned(np.array([0.0, 0.0, 1.0]), np.array([1.0, 0.0, 0.0]), turn)
    burn = aimed_burn.fly_aimed(
        np.array([CIRCLE, 0.0, 0.0]),
        np.array([0.0, pace, 0.0]),
        velocity_in_plane(tilted, c3 / 2.0, c.MU_EARTH),
        c.MU_EARTH,
        thrust=flow * ISP * c.G0,
        isp=ISP,
        mass=MASS,
    )
    assert burn.delta_v == pytest.approx(SPENT, abs=3.0)
    assert burn.duration == pytest.approx(DURATION, abs=1.0)
    straight = sqrt(c3 + 2.0 * c.MU_EARTH / CIRCLE) - pace
    assert 0.0045 < burn.delta_v / straight - 1.0 < 0.006  # 0.5 %, with the turn
