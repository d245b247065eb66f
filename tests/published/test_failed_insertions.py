"""Home without insertion, beside the one crew that did it (NASA SP-2000-4029; MSC-02680)."""

from __future__ import annotations

from datetime import datetime, timezone
from math import radians

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import ROUGH, correct_return
from mplan.physics.arcs.lunar_orbit import LunarOrbit
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies import selenography
from mplan.physics.bodies.time import tdb_from_utc
from mplan.physics.circumlunar import coast_past, free_return
from mplan.physics.vectors import unit
from mplan.studies.flown import FOOT, NAUTICAL_MILE

# April 1970, hours since lift-off; all from memory of the reports, not opened.
PERICYNTHION, ABOVE = 77.143, 137.0 * NAUTICAL_MILE  # 77:08:35
BURN, LASTED = 79.461, 263.8  # 79:27:39, s
SPEEDED_UP = 860.5 * FOOT
INTERFACE = 142.679  # 142:40:45.7
UNTOUCHED_SPLASH = 152.0  # foreseen before the burn
ANGLE = radians(-6.269)


@pytest.fixture(scope="module")
def found():
    """The free return of the day past the height flown, from the azimuth flown."""
    site = Site(radians(28.608), radians(-80.604), radians(72.043), 760.0, radians(24.0))
    midnight = tdb_from_utc(datetime(1970, 4, 11, tzinfo=timezone.utc))

    def level(incoming, t):
        backwards = -selenography.lunar_pole(t)
        return unit(backwards - (backwards @ incoming.s) * incoming.s)

    return free_return.find_free_return(
        Parking(site, c.R_EARTH + 185e3, midnight),
        revolutions=1,
        perilune=c.R_MOON + ABOVE,
        entry_angle=ANGLE,
        plane=level,
    )


def test_hours_home_with_no_burn(found):
    """Half an hour: the flown arc was put onto its free return only on the way, by 38 ft/s.

    From the interface to the splash it is a quarter of an hour.
    """
    home = coast_past.coast_past(found.outbound.perilune)
    hours = (home.end.t - found.outbound.perilune.t) / c.HOUR
    assert hours + 0.25 == pytest.approx(UNTOUCHED_SPLASH - PERICYNTHION, abs=0.5)
    assert coast_past.correct_home(found.outbound.perilune, 2.0 * c.HOUR, ANGLE).delta_v < 0.1


def test_the_burn_that_brought_them_home_sooner(found):
    """Two hours after pericynthion, home at the interface when they were: within 4 %.

    The plane of the passage (here the Moon's equator), the place of the splash and the half hour
    above are what the 4 % hold: half an hour of the gain is 6 % of the burn.
    """
    there = found.outbound.perilune
    middle = BURN * c.HOUR + LASTED / 2.0
    here = nbody.fly_arc(there.r, there.v, there.t, middle - PERICYNTHION * c.HOUR)
    leaving = LunarOrbit(here.t, here.lunar_r, here.lunar_v)
    flown = correct_return(leaving, np.zeros(3), INTERFACE * c.HOUR - middle, ANGLE, ROUGH)
    assert flown.delta_v == pytest.approx(SPEEDED_UP, rel=0.04)
