"""Past the Moon with no burn there: where the arc leads, and the least burn that leads home."""

from __future__ import annotations

from dataclasses import replace
from math import degrees, radians

import numpy as np
import pytest

import mplan
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.circumlunar import coast_past
from mplan.physics.twobody import conic
from mplan.physics.vectors import cross, unit

ANGLE, WAIT = radians(-6.4), 2.0 * c.HOUR
OTHER = nbody.back_ends()[-1]


@pytest.fixture(scope="module")
def there(landing_plan):
    """Perilune of the reference landing, whose arc comes back and passes above the air."""
    return landing_plan.flight.end.outbound.perilune


def arrivals(reference_landing, **changes):
    made = {"orbits.approach": changes.pop("approach", "retrograde"), **changes}
    return mplan.fly(reference_landing.change(made)).flight.end.outbound.perilune


@pytest.fixture(scope="module")
def fast(reference_landing):
    """A quick arc, which comes back against Earth's turn."""
    return arrivals(reference_landing, **{"dates.translunar_time": "62 h"})


@pytest.fixture(scope="module")
def forward(reference_landing):
    """Round the near side of the Moon's motion: the arc is thrown out."""
    return arrivals(reference_landing, approach="prograde")


def test_perigee_as_the_other_integrator_has_it(there):
    """To 20 km of perigee: the integrators differ by 15 m at the Moon, times a thousand."""
    past = coast_past.coast_past(there)
    end = nbody.fly_arc(there.r, there.v, there.t, 12 * c.DAY, "earth", back_end=OTHER)
    here = conic(end.r, end.v, c.MU_EARTH)
    assert past.fate == "comes back to Earth"
    assert past.prograde
    assert past.perigee == pytest.approx(here.periapsis - c.R_EARTH, abs=20e3)
    assert past.t == pytest.approx(end.t - here.since_periapsis, abs=60.0)


def test_correction_leads_home_by_the_other_integrator(there):
    """A metre at the Moon is some 300 m of perigee: 0.05 deg at the interface."""
    found = coast_past.correct_home(there, WAIT, ANGLE)
    here = nbody.fly_arc(there.r, there.v, there.t, WAIT, back_end=OTHER)
    v = here.v + found.burn
    end = nbody.fly_arc(here.r, v, here.t, 12 * c.DAY, "earth", back_end=OTHER)
    assert end.stop == "entry interface"
    assert degrees(flight_path_angle(end.r, end.v) - ANGLE) == pytest.approx(0.0, abs=0.05)
    assert found.t == there.t + WAIT


def test_correction_is_the_least(there):
    """The burn lies along the slope of perigee: no other of its size does more (Lagrange)."""
    found = coast_past.correct_home(there, WAIT, ANGLE)
    here = nbody.fly_arc(there.r, there.v, there.t, WAIT)

    def perigee(burn):
        end = nbody.fly_arc(here.r, here.v + burn, here.t, 12 * c.DAY, "earth")
        return conic(end.r, end.v, c.MU_EARTH).periapsis

    slope = [
        (perigee(found.burn + step) - perigee(found.burn - step)) / 0.02
        for step in 0.01 * np.eye(3)
    ]
    # perigee is to come down; a tilt of 0.03 costs the square of it, half a thousandth
    assert unit(np.array(slope)) @ unit(found.burn) == pytest.approx(-1.0, abs=5e-4)


def test_an_arc_against_the_turn_is_brought_round(fast):
    past, found = coast_past.coast_past(fast), coast_past.correct_home(fast, WAIT, ANGLE)
    assert past.prograde is False
    end = found.interface
    assert cross(end.r, end.v) @ nbody.earth_pole(end.t) > 0.0
    assert degrees(flight_path_angle(end.r, end.v) - ANGLE) == pytest.approx(0.0, abs=0.01)


def test_an_arc_that_is_thrown_out(forward):
    """It leaves Earth; what would turn it round is of the size of a descent."""
    past, found = coast_past.coast_past(forward), coast_past.correct_home(forward, WAIT, ANGLE)
    assert (past.fate, past.perigee, past.t) == ("leaves Earth", None, None)
    assert 1500.0 < found.delta_v < 2500.0
    assert degrees(flight_path_angle(found.interface.r, found.interface.v)) == pytest.approx(
        -6.4, abs=0.02
    )


def test_an_arc_into_the_moon(there):
    """A perilune below the surface is the end of it."""
    low = there.moon_r + unit(there.lunar_r) * (c.R_MOON - 1e3)
    assert coast_past.coast_past(replace(there, r=low)).fate == "hits the Moon"
