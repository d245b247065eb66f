"""Out of the orbit about Earth by thrusters too weak for one burn: in several, at the apsides."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from mplan.contingencies.ways_out.burners import LostEngines
from mplan.contingencies.ways_out.outbound import earth_orbit
from mplan.contingencies.ways_out.outbound.deorbit import LONGEST, OFF_LAND
from mplan.contingencies.ways_out.outbound.in_several_burns import CLOSE, LOWER, RAISE
from mplan.contingencies.ways_out.outbound.on_the_way import INJECTION, OnTheWay, on_the_way
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.contingencies.ways_out.way_out import WayOut
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import flight_path_angle
from mplan.physics.bodies import land
from mplan.physics.bodies.downrange import ground_distance
from mplan.physics.twobody import conic, speed
from mplan.scenario.models import Recovery
from mplan.vehicle.evolved import evolved

OTHER = nbody.back_ends()[-1]
THRUSTERS = ("service_module", "thrusters")


@pytest.fixture(scope="module")
def way(landing_plan) -> OnTheWay:
    """In the parking orbit with nothing but thrusters left."""
    flight = landing_plan.flight
    inserted, elements = flight.end.climb.duration, flight.scenario.elements
    lost = frozenset(
        (name, key)
        for name, element in elements.items()
        for key, engine in element.engines.items()
        if engine.purpose == "main"
    )
    elapsed = inserted + 0.4 * (flight.burn_of(INJECTION).elapsed - inserted)
    return on_the_way(CabinPoint(flight, "crew_module", elapsed), LostEngines(lost))


def in_several(way: OnTheWay) -> list[WayOut]:
    return [x for x in earth_orbit.deorbited_by_each(way) if x.name.endswith("burns")]


@pytest.fixture(scope="module")
def down(way) -> WayOut:
    (found,) = in_several(way)
    return found


def test_it_leads_down_where_one_burn_does_not(way, down):
    """Within a day, to the sea; each burn within what the tanks hold then."""
    once = [x for x in earth_orbit.deorbited_by_each(way) if not x.name.endswith("burns")]
    assert once
    assert all(x.closed for x in once)
    assert not down.closed
    assert {(x.element, x.engine) for x in down.burns} == {THRUSTERS}
    assert all(x.margin > 0.0 for x in down.burns)
    assert way.called < down.burns[0].elapsed < down.home < way.called + LONGEST + 6.0 * c.HOUR
    assert not land.land_near(*down.lands, 0.5 * OFF_LAND)


def test_its_last_arc_meets_the_air(down):
    """Flown again by the other integrator."""
    last = down.arcs[-1]
    end = nbody.fly_arc(last.r, last.v, last.begin, c.DAY, "earth", back_end=OTHER)
    assert end.stop == "entry interface"
    assert radians(-2.4) < flight_path_angle(end.r, end.v) < radians(-1.1)


def test_each_burn_changes_the_apsis_by_what_vis_viva_says(way, down):
    """To a tenth: a burn of a radian loses 4 %, Earth's oblateness ripples the rest."""
    orbits = [conic(x.r, x.v, c.MU_EARTH) for x in down.arcs]
    for burn, before, after in zip(down.burns[:-1], orbits, orbits[1:], strict=False):
        raises = burn.what.startswith(RAISE)
        assert raises or burn.what.startswith(LOWER)
        at = before.periapsis if raises else before.a * (1.0 + before.e)
        change = speed(at, after.a, c.MU_EARTH) - speed(at, before.a, c.MU_EARTH)
        assert abs(change) == pytest.approx(burn.required, rel=0.1, abs=0.5)
        assert (change > 0.0) == raises


def test_the_burns_are_at_the_apsides(way, down):
    """Each is lit at most half a radian from its own, half of the longest burn."""
    for burn, arc in zip(down.burns[1:], down.arcs[1:], strict=False):
        here = nbody.fly_arc(arc.r, arc.v, arc.begin, arc.end - arc.begin)
        orbit = conic(here.r, here.v, c.MU_EARTH)
        turn = 2.0 * np.pi * np.sqrt(orbit.a**3 / c.MU_EARTH)
        if burn.what.startswith(RAISE):
            off = min(orbit.since_periapsis % turn, -orbit.since_periapsis % turn)
        else:
            off = abs(orbit.since_periapsis % turn - turn / 2.0)
        assert off < 0.09 * turn


def test_the_perigee_stays_up_until_the_last_burn(landing_plan, down):
    """Not below the lowest orbit that an abort may end in, and no further down than it has to."""
    safe = landing_plan.scenario.aborts.safe_orbit
    heights = [conic(x.r, x.v, c.MU_EARTH).periapsis - c.R_EARTH for x in down.arcs[:-1]]
    assert all(x > safe - CLOSE for x in heights)
    assert "whose air is left out" in down.note


def test_a_tank_that_is_nearly_empty_leads_nowhere(way):
    """With less than the three burns take nothing is flown."""
    assert in_several(with_velocity(way, 100.0)) == []


def test_the_starts_that_are_left_count(way):
    engine = way.flight.scenario.elements[THRUSTERS[0]].engines[THRUSTERS[1]]
    ledger = way.state.ledger.after_burn(*THRUSTERS, engine, 0.0, 0.0, starts=engine.starts - 2)
    assert in_several(replace(way, state=evolved(way.state, ledger=ledger))) == []


def test_who_has_a_main_engine_does_without(landing_plan, way):
    """One burn leads down: several are not looked for."""
    sound = replace(way, lost=LostEngines())
    assert in_several(sound) == []
    assert any(not x.closed for x in earth_orbit.deorbited_by_each(sound))


def with_velocity(way: OnTheWay, velocity: float) -> OnTheWay:
    """The thrusters' tanks drained to about a velocity [m/s] of ship and crew module."""
    engine = way.flight.scenario.elements[THRUSTERS[0]].engines[THRUSTERS[1]]
    mass = way.state.mass(("service_module", "crew_module"))
    kept = mass * (1.0 - np.exp(-velocity / (engine.isp_vacuum * c.G0)))
    drawn = way.state.ledger.usable(THRUSTERS[0], engine) - kept
    ledger = way.state.ledger.after_burn(*THRUSTERS, engine, drawn, 0.0)
    return replace(way, state=evolved(way.state, ledger=ledger))


def test_to_an_area_from_the_same_orbit(way, down):
    """As soon as may be, and at the pass that comes nearest to a named area."""
    where = {"latitude": "5 deg", "longitude": "-160 deg", "radius": "600 km"}
    area = Recovery.model_validate({"name": "the islands", **where})
    ways = list(earth_orbit.deorbited_by_each(way, area))
    (there,) = (x for x in ways if "to the islands in" in x.name)
    assert not there.closed
    assert len(there.burns) == len(down.burns)
    assert there.burns[:-1] == down.burns[:-1]
    middle = area.latitude, area.longitude
    assert ground_distance(there.lands, middle) <= ground_distance(down.lands, middle)
    assert there.home >= down.home
