"""Out of the orbit about Earth and down: by which engine, and where."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np
import pytest

import mplan
from mplan.contingencies.ways_out import every
from mplan.contingencies.ways_out.burners import NOTHING
from mplan.contingencies.ways_out.outbound.deorbit import OFF_LAND, is_low
from mplan.contingencies.ways_out.outbound.on_the_way import INJECTION, on_the_way
from mplan.contingencies.ways_out.point import CabinPoint
from mplan.flight.whereabouts import of as way_of
from mplan.physics import constants as c
from mplan.physics.arcs import nbody
from mplan.physics.arcs.homeward import INTERFACE_RADIUS, flight_path_angle
from mplan.physics.bodies import land
from mplan.physics.bodies.downrange import ground_distance
from mplan.physics.twobody import circular_speed

OTHER = nbody.back_ends()[-1]
AREA = {"name": "east", "latitude": "5 deg", "longitude": "-160 deg", "radius": "600 km"}


def in_orbit(flight, share: float = 0.4) -> CabinPoint:
    """A share of the way from the insertion to the injection."""
    inserted = flight.end.climb.duration
    return CabinPoint(
        flight,
        "crew_module",
        inserted + share * (flight.burn_of(INJECTION).elapsed - inserted),
    )


def test_each_engine_leads_down_to_the_sea(landing_plan):
    """Flown again by the other integrator it meets the air; it comes down away from land."""
    point = in_orbit(landing_plan.flight)
    ways = every.ways_out(point, "called off")
    opened = [way for way in ways if not way.closed]
    assert {way.burns[0].element for way in opened} >= {"transfer_stage", "service_module"}
    for way in opened:
        last = way.arcs[-1]
        end = nbody.fly_arc(last.r, last.v, last.begin, c.DAY, "earth", back_end=OTHER)
        assert end.stop == "entry interface"
        assert radians(-2.4) < flight_path_angle(end.r, end.v) < radians(-1.1)
        assert not land.land_near(*way.lands, 0.5 * OFF_LAND)
        assert way.home - point.elapsed < 3.0 * c.HOUR


def test_the_burn_is_that_of_a_textbook(landing_plan):
    """From a circle onto the ellipse that meets the interface at its angle: cos2 = ra rp / R (ra +
    rp - R), from h = R V cos and vis-viva. To 6 %: the least burn points down a little as well
    (3 %), the circle ripples with Earth's oblateness, and the burn loses 1 %.
    """
    point = in_orbit(landing_plan.flight)
    way = next(x for x in every.ways_out(point, "called off") if not x.closed)
    last = way.arcs[-1]
    end = nbody.fly_arc(last.r, last.v, last.begin, c.DAY, "earth")
    radius = landing_plan.flight.end.outbound.parking.radius
    share = INTERFACE_RADIUS * np.cos(flight_path_angle(end.r, end.v)) ** 2
    perigee = share * (radius - INTERFACE_RADIUS) / (radius - share)
    slow = np.sqrt(2.0 * c.MU_EARTH * perigee / (radius * (radius + perigee)))
    assert way.required == pytest.approx(circular_speed(radius, c.MU_EARTH) - slow, rel=0.06)


def test_the_motion_is_that_of_the_plan(landing_plan):
    """Where the ship is in orbit is where its way has it, to the chord of its straight lines."""
    flight = landing_plan.flight
    point = in_orbit(flight, 0.7)
    now = on_the_way(point, NOTHING).now
    stretch = next(x for x in way_of(flight, "crew_module").stretches if x.name == "Earth orbit")
    there = np.array([np.interp(now.t, stretch.t, x) for x in stretch.r.T])
    assert np.linalg.norm(now.r - there) < 5e3
    assert is_low(on_the_way(point, NOTHING))


def test_the_engine_of_the_injection_lost(landing_plan):
    """What is left is the ship's, whose nozzles point at what is then dropped."""
    point = in_orbit(landing_plan.flight)
    ways = every.ways_out(point, "main engine lost")
    lost = point.next_burn
    assert (lost.element, lost.engine) not in [x.burns[0][1:3] for x in ways if x.burns]
    way = next(x for x in ways if x.name == "deorbit by service module, main")
    assert not way.closed
    assert set(way.craft) == {"service_module", "crew_module"}
    assert "dropped before" in way.note


def test_to_a_named_area(reference_landing):
    """Within a day, within the area; and as soon as may be, wherever that is at sea."""
    changed = {f"recovery.{key}": value for key, value in AREA.items()}
    flight = mplan.fly(reference_landing.change(changed)).flight
    point = in_orbit(flight)
    ways = every.ways_out(point, "called off")
    soon, there = (
        next(x for x in ways if x.name == name)
        for name in ("deorbit by service module, main", "deorbit by service module, main, to east")
    )
    assert soon.home < there.home < point.elapsed + 26.0 * c.HOUR
    middle = radians(5.0), radians(-160.0)
    assert ground_distance(there.lands, middle) < 600e3
    assert "within east" in there.note


def test_an_injection_just_begun_is_deorbited_from(landing_plan):
    """A minute of it leaves a low ellipse, from whose top a small burn leads down."""
    burn = landing_plan.flight.burn_of(INJECTION)
    point = CabinPoint(landing_plan.flight, "crew_module", burn.elapsed + 0.15 * burn.duration)
    ways = every.ways_out(point, "main engine lost")
    way = next(x for x in ways if x.name.startswith("deorbit by service module, main"))
    assert not way.closed
    assert way.required < 250.0
    assert "injection cut off after" in way.note


def test_without_a_date_nothing_is_examined(landing_plan, monkeypatch):
    point = in_orbit(replace(landing_plan.flight))  # a flight that nothing is remembered of
    monkeypatch.setattr(type(point.flight), "dated", property(lambda _: False))
    with pytest.raises(LookupError, match="date of lift-off is not known"):
        every.ways_out(point, "called off")
