"""Free returns: round the Moon and home, told again by the other integrator."""

from math import degrees

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.bodies import selenography
from mplan.physics.circumlunar import free_return
from mplan.physics.targeting import NoArc
from mplan.physics.vectors import cross, unit

ALTITUDE, ENTRY_ANGLE = 111e3, -0.1134


def equatorial(incoming, t):
    backwards = -selenography.lunar_pole(t)
    return unit(backwards - (backwards @ incoming.s) * incoming.s)


def through_the_poles(incoming, t):
    return unit(cross(incoming.s, selenography.lunar_pole(t)))


def find(orbit, altitude=ALTITUDE, plane=equatorial):
    return free_return.find_free_return(
        orbit,
        revolutions=1,
        perilune=c.R_MOON + altitude,
        entry_angle=ENTRY_ANGLE,
        plane=plane,
    )


def test_comes_home(a_date, planned):
    """Perilune to 1 km, and the entry angle to what is left of metres at the Moon.

    A metre of B at the Moon is some 300 m of perigee, so the integrators' 15 m there make
    0.02 deg a fair tolerance for the angle at the interface.
    """
    orbit, _ = planned(a_date)
    found = find(orbit)
    out = found.outbound
    end = nbody.fly_arc(
        out.r, out.v, out.injection, 6 * c.DAY, "perilune", back_end=nbody.back_ends()[-1]
    )
    assert np.linalg.norm(end.lunar_r) - c.R_MOON == pytest.approx(ALTITUDE, abs=1e3)
    around = nbody.fly_arc(end.r, end.v, end.t, 12 * c.DAY, "earth", back_end=nbody.back_ends()[-1])
    assert around.stop == "entry interface"
    assert degrees(flight_path_angle(around.r, around.v) - ENTRY_ANGLE) == pytest.approx(
        0.0, abs=0.25
    )
    assert found.flight_path_angle == pytest.approx(ENTRY_ANGLE, abs=2e-5)
    assert cross(around.r, around.v) @ nbody.earth_pole(around.t) > 0.0  # prograde, as asked
    assert 55.0 < (out.perilune.t - out.injection) / c.HOUR < 90.0


def test_behind_the_moon(a_date, planned):
    """The passage is retrograde and over the far side: perilune turns its back on Earth."""
    orbit, _ = planned(a_date)
    there = find(orbit).outbound.perilune
    assert unit(there.lunar_r) @ unit(there.moon_r) > 0.8
    assert cross(there.lunar_r, there.lunar_v) @ selenography.lunar_pole(there.t) < 0.0


def test_higher_passages_take_longer(planned, a_date):
    orbit, _ = planned(a_date)
    low, high = (find(orbit, altitude) for altitude in (100e3, 1500e3))
    assert high.outbound.perilune.t - high.outbound.injection > (
        low.outbound.perilune.t - low.outbound.injection
    )


@pytest.mark.parametrize(("altitude", "plane"), [(60000e3, equatorial), (300e3, through_the_poles)])
def test_no_arc(planned, a_date, altitude, plane):
    orbit, _ = planned(a_date)
    with pytest.raises(NoArc, match="no time of flight from 50 to 110 h brings the arc home"):
        find(orbit, altitude, plane)
