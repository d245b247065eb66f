"""How fast low lunar orbits sink, and what keeping them takes, against what was flown.

Lunar Prospector, from its status reports of NASA Ames (R: read): 99 by 100 km, inclined 90 deg, on
15 January 1998 (no. 12); 80 by 120 km on the 21st, 16:00 PST, with the same period, 118 min (no.
13); orbit adjustments by two burns half a revolution apart, some two months apart and timed for
when the orbit's normal points at Earth; the first on 8 March 1998 (no. 26). The node is not given:
it follows from that day.
"""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs.lunar_orbit import LunarOrbit, coast
from mplan.physics.arcs.orbit import apsides
from mplan.physics.bodies import ephemeris, selenography
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.burns.orbit_upkeep import restored, sunk
from mplan.physics.vectors import cross, turned, unit

BEGIN, SEEN, SIDEWAYS = (
    tdb_from_utc(datetime(*x)) for x in ((1998, 1, 15, 23), (1998, 1, 22, 0), (1998, 3, 8, 0))
)


def circle(height: float, place: float = 0.0) -> LunarOrbit:
    """A polar circle [m] whose normal points at Earth on 8 March 1998, from a `place` [rad] on."""
    pole, earth = selenography.lunar_pole(BEGIN), -unit(ephemeris.moon(SIDEWAYS).r)
    normal, radius = unit(earth - pole * float(earth @ pole)), c.R_MOON + height
    r = radius * turned(pole, normal, place)
    v = np.sqrt(c.MU_MOON / radius) * cross(normal, unit(r))
    return LunarOrbit(t=BEGIN, r=r, v=v, degree=8)


def heights(orbit: LunarOrbit) -> list[float]:
    return [(x - c.R_MOON) / 1e3 for x in apsides(orbit)]


@pytest.mark.parametrize("place", [0.0, 2.0, 4.0])
def test_a_polar_circle_in_a_week(place):
    """80 by 120 km (R), to 6 km: a day off in the node's day is 4 km, and degree 8 leaves out 2."""
    week = coast(circle(99.5e3, place), SEEN - BEGIN)
    assert heights(week) == pytest.approx([80.0, 120.0], abs=6.0)
    assert week.period / 60.0 == pytest.approx(118.0, abs=0.5)


def test_it_is_seen_to_sink_and_is_restored():
    """Below 80 km within the week; then two burns of 20 km each, by vis-viva 4.6 m/s, to 5 %."""
    begin = circle(99.5e3)
    low = sunk(begin, c.R_MOON + 80e3, BEGIN + 30.0 * c.DAY)
    assert low is not None
    assert 4.0 < (low.t - BEGIN) / c.DAY < 8.0
    assert sunk(begin, c.R_MOON + 80e3, BEGIN + 2.0 * c.DAY) is None
    done = restored(low, c.R_MOON + 99.5e3, c.R_MOON + 99.5e3)
    drop = c.R_MOON + 99.5e3 - apsides(done.first)[0]
    by_hand = np.sqrt(c.MU_MOON / (c.R_MOON + 99.5e3) ** 3) * drop / 4.0
    assert done.impulses == pytest.approx([by_hand, by_hand], rel=0.05)
    assert heights(done.after) == pytest.approx([99.5, 99.5], abs=1.5)  # the figure in half a turn
    assert (done.second.t - done.first.t) / 60.0 == pytest.approx(59.0, abs=0.5)


def test_an_ellipse_is_restored_to_its_apsides():
    """90 by 130 km out of 85 by 140: as cheap as the sum of both changes by hand, to 2 %."""
    radius = c.R_MOON + 85e3
    start = circle(85e3)
    pushed = start._replace(v=start.v * np.sqrt(2.0 * (radius + 55e3) / (2.0 * radius + 55e3)))
    done = restored(pushed._replace(degree=2), c.R_MOON + 90e3, c.R_MOON + 130e3)
    assert heights(done.after) == pytest.approx([90.0, 130.0], abs=1.5)
    rate = np.sqrt(c.MU_MOON / (c.R_MOON + 110e3) ** 3)
    assert done.total == pytest.approx(rate * (5e3 + 10e3) / 4.0, rel=0.1)  # J2 moves both by 1 km
