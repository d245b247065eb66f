"""Where elements are: ways without gaps, through the places that the flight itself records."""

from __future__ import annotations

import numpy as np
import pytest

from mplan.flight import walk, whereabouts
from mplan.flight.record import BEHIND, Flight
from mplan.physics import constants as c
from mplan.physics.bodies import earth, ephemeris, selenography
from mplan.physics.contact import sightings
from mplan.vehicle.stack import crew_module

APART = 20e3  # m: a rendezvous is flown as in two bodies, and ends some 10 to 17 km off the ship


def cabin(flight: Flight) -> str:
    """The element that people live in on the Moon."""
    return next(x.element for x in flight.stretches if x.element != crew_module(flight.scenario))


def joins(way: whereabouts.Way) -> list[tuple[float, float]]:
    """Gaps [s] and jumps [m] between the stretches of a way."""
    pairs = zip(way.stretches, way.stretches[1:], strict=False)
    return [(b.t[0] - a.t[-1], float(np.linalg.norm(b.r[0] - a.r[-1]))) for a, b in pairs]


def at(way: whereabouts.Way, t: float) -> np.ndarray:
    """The place at a time, on the last stretch that has it."""
    stretch = [x for x in way.stretches if x.t[0] <= t <= x.t[-1]][-1]
    return np.array([np.interp(t, stretch.t, x) for x in stretch.r.T])


def test_the_ship_is_somewhere_at_any_time(any_plan):
    """From lift-off to splash without a gap or a leap."""
    flight = any_plan.flight
    way = whereabouts.of(flight, crew_module(flight.scenario))
    assert way.begin == pytest.approx(flight.end.lift_off, abs=1.0)
    assert way.end == pytest.approx(flight.end.lift_off + flight.duration, abs=1.0)
    for gap, jump in joins(way):
        assert abs(gap) < 1.0
        assert jump < APART


def test_the_lander_too(landing_plan):
    """Down, on the ground, up and back, as long as it is part of the flight."""
    flight = landing_plan.flight
    way = whereabouts.of(flight, cabin(flight))
    names = [each.name for each in way.stretches]
    for name in ("powered descent", "on the Moon", "lunar ascent", "lunar rendezvous"):
        assert name in names
    assert all(abs(gap) < 1.0 and jump < APART for gap, jump in joins(way))
    assert way.end < flight.end.lift_off + flight.duration - c.DAY  # left behind at the Moon


@pytest.mark.parametrize("craft", ["main", "lander"])
def test_two_ships(two_launches, craft):
    """Through the meeting in Earth orbit, which Earth's oblateness carries along."""
    flight = two_launches
    way = whereabouts.of(flight, crew_module(flight.scenario) if craft == "main" else cabin(flight))
    assert way.stretches
    assert all(abs(gap) < 1.0 and jump < APART for gap, jump in joins(way))


def test_the_pad_is_where_it_is(landing_plan):
    """The first place lies at the launch site, to its altitude over the sea."""
    flight, site = landing_plan.flight, landing_plan.scenario.launch_site
    way = whereabouts.of(flight, crew_module(flight.scenario))
    latitude, longitude, altitude = earth.geodetic(way.stretches[0].r[0], way.begin)
    assert latitude == pytest.approx(site.latitude, abs=2e-5)
    assert longitude == pytest.approx(site.longitude, abs=2e-5)
    assert abs(altitude) < 500.0


def test_known_places(landing_plan):
    """Injection, perilune, interface, and the site at touchdown, as the flight has them."""
    flight, end = landing_plan.flight, landing_plan.flight.end
    ship = whereabouts.of(flight, crew_module(flight.scenario))
    out, home = end.outbound, end.homeward
    for t, r in ((out.injection, out.r), (out.perilune.t, out.perilune.r), (home.t, home.r)):
        assert np.linalg.norm(at(ship, t) - r) < 1e3
    assert np.linalg.norm(at(ship, home.interface.t) - home.interface.r) < 1e3
    down = next(x for x in flight.moments if x.kind == "land")
    t, site = end.lift_off + down.elapsed, flight.scenario.site
    place = selenography.site_position(site.latitude, site.longitude, t, site.elevation)
    here = at(whereabouts.of(flight, cabin(flight)), t) - ephemeris.moon(t).r
    assert np.linalg.norm(here - place) < 200.0  # as far as the descent lands off the point


def test_it_agrees_with_what_burns_say_of_contact(landing_plan):
    """In the middle of each burn near the Moon, Earth's centre is hidden or seen as recorded."""
    flight = landing_plan.flight
    burns = [x for x in flight.burns if x.contact]
    assert {x.contact for x in burns} == {BEHIND, "in contact"}
    for burn in burns:
        aboard = [x for x in burn.craft if flight.scenario.elements[x].seats]
        t = flight.end.lift_off + burn.elapsed + burn.duration / 2.0
        r = at(whereabouts.of(flight, aboard[-1]), t)[None, :]
        clear = sightings.beside_moon(r, np.zeros((1, 3)), np.array([t]))[0]
        assert (clear < 0.0) == (burn.contact == BEHIND), burn.name


def test_no_date_no_way(reference_landing):
    """A climb that does not reach its orbit leaves no date, and no way."""
    heavy = reference_landing.change("mission.payload_down", "300 t")
    flight = walk.fly(heavy)
    assert not flight.dated
    assert whereabouts.of(flight, crew_module(heavy)).stretches == ()
