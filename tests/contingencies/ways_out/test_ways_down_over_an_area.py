"""Down to a named area that one burn leads beside: phased first, so that a pass leads over it."""

from __future__ import annotations

from math import pi, radians

import numpy as np
import pytest

import mplan
from mplan.contingencies.ways_out import every, looks
from mplan.contingencies.ways_out.outbound.deorbit import LONGEST
from mplan.contingencies.ways_out.outbound.on_the_way import INJECTION
from mplan.contingencies.ways_out.outbound.over_the_area import PHASING
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.entry import aimed_range
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.bodies.downrange import ground_distance, place_ahead
from mplan.physics.twobody import conic

OTHER = nbody.back_ends()[-1]
RADIUS = 80e3  # m
NAME = "deorbit by service module, main, to the islands"


def in_orbit(scenario: mplan.Scenario, latitude: float, longitude: float) -> CabinPoint:
    """In the parking orbit of a mission with a small area [deg]."""
    area = {"name": "the islands", "latitude": f"{latitude} deg", "longitude": f"{longitude} deg"}
    changed = {f"recovery.{key}": x for key, x in area.items()}
    flight = mplan.fly(scenario.change(changed | {"recovery.radius": "80 km"})).flight
    inserted = flight.end.climb.duration
    elapsed = inserted + 0.2 * (flight.burn_of(INJECTION).elapsed - inserted)
    return CabinPoint(flight, "crew_module", elapsed)


@pytest.fixture(scope="module")
def point(reference_landing):
    return in_orbit(reference_landing, 10.0, 170.0)


@pytest.fixture(scope="module")
def ways(point):
    return {x.name: x for x in every.ways_out(point, "called off")}


def off(point, there) -> float:
    area = point.flight.scenario.recovery
    return ground_distance(there, (area.latitude, area.longitude))


def test_one_burn_leads_beside_it_and_two_do_not(point, ways):
    once, twice = ways[NAME], ways[f"{NAME} in 2 burns"]
    assert off(point, once.lands) > RADIUS
    assert not twice.closed
    assert off(point, twice.lands) < RADIUS
    assert "within the islands" in twice.note
    assert [x.what for x in twice.burns] == [PHASING, "deorbit burn"]
    assert all(x.margin > 0.0 for x in twice.burns)
    spent = twice.burns[0].available - twice.burns[1].available
    assert spent == pytest.approx(twice.burns[0].required, abs=1e-6)
    assert twice.home - point.elapsed < LONGEST + 3.0 * c.HOUR


def test_its_arcs_lead_there_flown_by_the_other_integrator(point, ways):
    """Each from the end of the one before and a burn; the last to the range before the area.

    Twenty kilometres for a minute and a half of an entry that falls short or long of its range.
    """
    way = ways[f"{NAME} in 2 burns"]
    last = way.arcs[-1]
    end = nbody.fly_arc(last.r, last.v, last.begin, c.DAY, "earth", back_end=OTHER)
    assert end.stop == "entry interface"
    there = place_ahead(end.r, end.v, end.t, aimed_range(point.flight.scenario))
    assert off(point, there) < RADIUS
    assert ground_distance(there, way.lands) < 20e3


def test_revolutions_take_what_kepler_says(point, ways):
    """From the phasing burn, a perigee, to the burn down, an apogee: half revolutions, an odd
    number, of 2 pi sqrt(a3 / mu) (Vallado 2013, ch. 1). To 1 %, for Earth's oblateness.
    """
    way = ways[f"{NAME} in 2 burns"]
    phased = way.arcs[1]
    orbit = conic(phased.r, phased.v, c.MU_EARTH)
    half = pi * np.sqrt(orbit.a**3 / c.MU_EARTH)
    halves = (way.burns[1].elapsed - way.burns[0].elapsed) / half
    assert round(halves) % 2 == 1
    assert halves == pytest.approx(round(halves), abs=0.01 * halves)
    assert orbit.e > 0.01


def test_it_is_told_with_what_lasts(point):
    """As every way: supplies and energy at its end."""
    found = {x.name: x for x in looks.ways_at(point, "called off")}
    left = found[f"{NAME} in 2 burns"].left
    assert left.days > 0.0
    assert left.energy is None or left.energy > 0.0


def test_no_pass_leads_further_north_than_the_orbit(reference_landing):
    """One burn comes as near as the orbit does; phasing helps nothing, and none is told."""
    point = in_orbit(reference_landing, 40.0, -150.0)
    ways = {x.name: x for x in every.ways_out(point, "called off")}
    assert f"{NAME} in 2 burns" not in ways
    way = point.flight.end.outbound.parking
    nearest = (radians(40.0) - way.site.inclination) * c.R_EARTH
    assert nearest - 100e3 < off(point, ways[NAME].lands) < nearest + 700e3
