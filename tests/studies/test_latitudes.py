"""Latitudes of splash in reach of a return, and what each costs."""

from __future__ import annotations

import numpy as np
import pytest

import mplan
from mplan.physics.arcs import homeward, recovery
from mplan.physics.constants import DEG
from mplan.studies import latitudes


@pytest.fixture(scope="module")
def reaches(landing_plan):
    return latitudes.reaches(landing_plan)


def test_the_cheapest_is_the_plan_s_own(landing_plan, reaches):
    """The plan's return is at the best place; the family is good to 5 m/s of that, not below."""
    burn = landing_plan.flight.end.homeward.delta_v
    for reach in reaches:
        assert burn - 0.5 < reach.lowest < burn + 5.0


def test_a_longer_entry_reaches_further(reaches):
    """Past the point opposite to the Moon, a tilt tells in proportion to the way on.

    2400 km on, the splash is nearly opposite to the Moon (180 deg from where the arc began), so
    that the reach there is least: a few degrees.
    """
    widths = [np.ptp(x.family.reach) / DEG for x in reaches]
    assert widths[1] < 3.0 < widths[0]
    assert widths[1] < widths[2] < widths[3]


def test_costs(reaches):
    """Nothing at the cheapest, more towards the edges, nothing told beyond them."""
    reach = reaches[3]
    cheapest = reach.family.latitudes[np.argmin(reach.family.burns)]
    low, high = reach.family.reach
    assert reach.cost(cheapest) == pytest.approx(0.0, abs=1.0)
    assert reach.cost(low) > 100.0
    assert reach.cost(high) > 20.0
    assert reach.cost(high + 1.0 * DEG) is None


@pytest.mark.parametrize("tilt", [-45.0, 10.0, 50.0])
def test_between_the_planes_flown(landing_plan, reaches, tilt):
    """The polynomial through five planes against a sixth that is flown: 0.1 deg and 7 m/s.

    That is what the place of the burn costs, best on joined conics from a circle, which the orbit
    under the Moon's figure is not quite; and the polynomial.
    """
    orbit, reach = latitudes.orbit_before_return(landing_plan), reaches[2]
    plane, home = recovery.plane_at(orbit.t, tilt * DEG), landing_plan.flight.end.homeward
    asked = {
        "time_of_flight": home.interface.t - home.t,
        "entry_angle": landing_plan.scenario.orbits.entry_angle,
    }
    flown = homeward.target_return(orbit, **asked, plane=plane)
    there = recovery.splash_latitude(flown.interface, reach.downrange) / DEG
    told = np.interp(tilt * DEG, reach.family.tilts, reach.family.latitudes) / DEG
    assert told == pytest.approx(there, abs=0.1)
    burn = np.interp(tilt * DEG, reach.family.tilts, reach.family.burns)
    assert -0.5 < burn - flown.delta_v < 7.0


def test_a_flyby_has_no_choice(flyby_plan):
    assert latitudes.reaches(flyby_plan) == ()


def test_no_recovery_changes_nothing(landing_plan, reference_landing):
    """An area that help reaches from anywhere leaves the cheapest plane, at its longitude."""
    splash = landing_plan.flight.end.homeward.interface
    anywhere = {
        "name": "anywhere",
        "latitude": "0 deg",
        "longitude": "0 deg",
        "radius": "20020 km",
    }
    home = mplan.fly(reference_landing.change("recovery", anywhere)).flight.end.homeward
    assert home.reach is None
    assert home.interface.t != splash.t
