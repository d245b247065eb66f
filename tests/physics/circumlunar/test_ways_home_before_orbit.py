"""Turned back before the Moon, round it after a trim, and hastened past it."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest

from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.circumlunar import coast_past
from mplan.physics.circumlunar.direct_return import (
    HIGHEST,
    least_return,
    return_in_time,
    soonest_return,
    turning_burn,
)
from mplan.physics.circumlunar.flyby_return import LOWEST, return_around
from mplan.physics.circumlunar.hastened_return import hastened_return
from mplan.physics.targeting import NoArc
from mplan.physics.twobody import conic

ANGLE = radians(-6.4)
OTHER = nbody.back_ends()[-1]


@pytest.fixture(scope="module")
def outbound(landing_plan):
    return landing_plan.flight.end.outbound


def on_the_way(outbound, hours):
    there = nbody.fly_arc(outbound.r, outbound.v, outbound.injection, hours * c.HOUR)
    return nbody.ArcStart(there.r, there.v, there.t, 0.0)


def flown_by_the_other(here, burn, lasts):
    return nbody.fly_arc(here.r, here.v + burn, here.t, lasts + c.DAY, "earth", back_end=OTHER)


@pytest.mark.parametrize("hours", [0.3, 2.0, 12.0, 30.0, 55.0, 68.0])
@pytest.mark.parametrize("size", [1000.0, 2500.0])
def test_soonest_by_the_other_integrator(outbound, hours, size):
    """The entry that was aimed for, to 0.01 deg and a second: the integrators lie metres apart."""
    here = on_the_way(outbound, hours)
    home = soonest_return(here, size, ANGLE)
    end = flown_by_the_other(here, home.burn, home.interface.t - here.t)
    assert home.delta_v == pytest.approx(size, abs=0.1)
    assert end.stop == "entry interface"
    assert flight_path_angle(end.r, end.v) == pytest.approx(ANGLE, abs=radians(0.01))
    assert end.t == pytest.approx(home.interface.t, abs=1.0)
    assert coast_past.is_prograde(end)


@pytest.mark.parametrize("hours", [1.0, 10.0, 40.0])
def test_more_velocity_is_sooner_home(outbound, hours):
    here = on_the_way(outbound, hours)
    sizes = (800.0, 1200.0, 1800.0, 2600.0)
    ends = [soonest_return(here, size, ANGLE).interface.t for size in sizes]
    assert ends == sorted(ends, reverse=True)
    assert ends[0] - ends[-1] > 2.0 * c.HOUR


def test_in_time_is_on_time(outbound):
    here = on_the_way(outbound, 20.0)
    home = return_in_time(here, 48.0 * c.HOUR, ANGLE)
    assert home.interface.t - here.t == pytest.approx(48.0 * c.HOUR, abs=1.0)
    assert home.delta_v == pytest.approx(turning_burn(here, 48.0 * c.HOUR, ANGLE), rel=0.02)
    again = soonest_return(here, home.delta_v, ANGLE)
    assert again.interface.t == pytest.approx(home.interface.t, abs=60.0)


def test_least_climbs_to_its_limit(outbound):
    """As two bodies have it; the Moon's pull then lets it climb a few hundredths higher."""
    here = on_the_way(outbound, 5.0)
    home = least_return(here, ANGLE)
    after = conic(here.r, here.v + home.burn, c.MU_EARTH)
    assert after.a * (1.0 + after.e) == pytest.approx(HIGHEST, rel=0.03)
    assert home.delta_v < soonest_return(here, 1000.0, ANGLE).delta_v


def test_too_small_a_burn_does_not_come_home(outbound):
    with pytest.raises(NoArc, match="would be the least"):
        soonest_return(on_the_way(outbound, 0.1), 20.0, ANGLE)


@pytest.mark.parametrize("hours", [1.0, 20.0, 60.0, 74.0])
def test_round_the_moon_by_the_other_integrator(outbound, hours):
    """To 0.2 deg of entry: a metre at the Moon is some 300 m of perigee."""
    here = on_the_way(outbound, hours)
    found = return_around(here, ANGLE)
    end = flown_by_the_other(here, found.trim.burn, found.trim.interface.t - here.t)
    assert end.stop == "entry interface"
    assert flight_path_angle(end.r, end.v) == pytest.approx(ANGLE, abs=radians(0.2))
    assert found.altitude > LOWEST
    assert here.t < found.perilune.t < found.trim.interface.t


def test_the_later_the_trim_the_dearer(outbound):
    sizes = [return_around(on_the_way(outbound, x), ANGLE).trim.delta_v for x in (5, 20, 40, 60)]
    assert sizes == sorted(sizes)


def test_a_free_return_needs_no_trim(flyby_plan):
    """What the mission's own corrections would take out is the ellipsoid's 2 km of interface."""
    out = flyby_plan.flight.end.outbound
    found = return_around(on_the_way(out, 10.0), flyby_plan.scenario.orbits.entry_angle)
    assert found.trim.delta_v < 0.1
    assert found.perilune.t == pytest.approx(out.perilune.t, abs=60.0)


@pytest.mark.parametrize("size", [300.0, 1000.0, 1600.0])
def test_hastened_by_the_other_integrator(outbound, size):
    there = outbound.perilune
    here = nbody.fly_arc(there.r, there.v, there.t, 2.0 * c.HOUR)
    home = hastened_return(here, size, ANGLE)
    start = nbody.ArcStart(here.r, here.v, here.t, 0.0)
    end = flown_by_the_other(start, home.burn, home.interface.t - here.t)
    assert home.delta_v == pytest.approx(size, abs=0.5)
    assert end.stop == "entry interface"
    assert flight_path_angle(end.r, end.v) == pytest.approx(ANGLE, abs=radians(0.05))
    assert coast_past.is_prograde(end)


def test_hastening_saves_hours(outbound):
    there = outbound.perilune
    here = nbody.fly_arc(there.r, there.v, there.t, 2.0 * c.HOUR)
    ends = [hastened_return(here, x, ANGLE).interface.t for x in (300.0, 1000.0, 2000.0)]
    assert np.diff(ends).max() < -5.0 * c.HOUR


def test_too_little_to_come_home_is_said(outbound):
    there = outbound.perilune
    here = nbody.fly_arc(there.r, there.v, there.t, 2.0 * c.HOUR)
    with pytest.raises(NoArc, match="would be the least that leads home"):
        hastened_return(here, 5.0, ANGLE)


def test_quicker_than_32_h_nothing_is_looked_for(outbound):
    """More than that takes is left unburnt."""
    there = outbound.perilune
    here = nbody.fly_arc(there.r, there.v, there.t, 2.0 * c.HOUR)
    home = hastened_return(here, 4000.0, ANGLE)
    assert home.interface.t - here.t == pytest.approx(32.0 * c.HOUR, abs=30.0)
    assert home.delta_v < 3000.0
