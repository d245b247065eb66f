"""With the lift-off time fixed, the azimuth takes its place among the unknowns."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import launch_time, outbound
from mplan.physics.arcs.bplane import Asymptote
from mplan.physics.arcs.parking import Parking, Site
from mplan.physics.bodies import selenography
from mplan.physics.vectors import unit

DAY = 9600.0 * c.DAY  # TDB past J2000
HOW = {"revolutions": 1, "perilune": c.R_MOON + 111e3}


def level(translunar: Asymptote, t: float) -> np.ndarray:
    """Normal of the retrograde orbit nearest to the Moon's equator."""
    pole = -selenography.lunar_pole(t)
    return unit(pole - (pole @ translunar.s) * translunar.s)


def parking(azimuth: float) -> Parking:
    site = Site(30.0 * c.DEG, 40.0 * c.DEG, azimuth * c.DEG, 710.0, 24.0 * c.DEG)
    return Parking(site, c.R_EARTH + 185e3, DAY)


@pytest.mark.parametrize("azimuth", [80.0, 95.0])
def test_the_clock_gives_the_azimuth_back(azimuth):
    """A launch at the time found for an azimuth takes that azimuth, to 0.001 deg, and no more."""
    out = outbound.target_outbound(parking(azimuth), time_of_flight=74 * c.HOUR, plane=level, **HOW)
    flight = out.perilune.t - out.injection
    there = outbound.LunarPassage(time_of_flight=flight, plane=level, **HOW)
    again = launch_time.target_at_launch_time(parking(72.0), out.lift_off, there)
    assert again.parking.site.azimuth / c.DEG == pytest.approx(azimuth, abs=1e-3)
    assert again.delta_v == pytest.approx(out.delta_v, abs=1e-3)
